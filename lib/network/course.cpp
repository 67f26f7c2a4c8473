#include <algorithm>
#include <cmath>
#include <optional>

#include "network/inside/reduction.h"
#include "network/inside/shape.h"
#include "network/network.h"

namespace lugwise {

using namespace network::inside;

// One block of the way: a single edge, or several reduced to where the current goes in and out.
struct Course::Leg {
  std::uint32_t first = 0;  // of the conducting edges of all legs
  bool along = false;       // a single edge's way from its a to its b
  Seats seats;              // of each edge that conducts
  std::optional<Reduction> reduction;
};

Course::Course(const Network& of, std::uint32_t a, std::uint32_t b) {
  if (!of.connected(a, b)) throw std::invalid_argument("no current flows where there is no way");
  const Network::Shape& shape = *of.shape_;
  for (const Stretch& stretch : of.way(a, b)) {
    Leg leg;
    leg.first = static_cast<std::uint32_t>(siemens_.size());
    const auto edges = shape.block_edges[stretch.block];
    const Seats seats = shape.seats_of_edges(stretch.block);
    if (edges.size() == 1) {
      leg.along = stretch.from == shape.edges[edges.front()].a;
    } else {
      leg.reduction.emplace(shape.block_places[stretch.block].size(), seats, of.conducting(stretch.block),
                            shape.seat(stretch.block, stretch.from), shape.seat(stretch.block, stretch.to));
    }
    for (std::size_t i = 0; i < edges.size(); ++i) {
      const std::uint32_t e = edges[i];
      if (of.siemens_[e] == 0) continue;
      const auto edge = static_cast<std::uint32_t>(siemens_.size());
      for (std::uint32_t resistor : shape.resistors_of[e]) {
        const Resistor& r = of.resistors_[resistor];
        carriers_.push_back({resistor, edge, of.merged(r.a) == shape.edges[e].a, r.ohms});
      }
      siemens_.push_back(of.siemens_[e]);
      leg.seats.push_back(seats[i]);
    }
    legs_.push_back(std::move(leg));
  }
  std::sort(carriers_.begin(), carriers_.end(),
            [](const Carrier& x, const Carrier& y) { return x.resistor < y.resistor; });
}

Course::Course(Course&&) noexcept = default;
Course::~Course() = default;

Flow Course::flow() {
  Flow flow;
  drop_.assign(siemens_.size(), 0);
  for (Leg& leg : legs_) {
    if (!leg.reduction) {
      drop_[leg.first] = (leg.along ? 1 : -1) / siemens_[leg.first];
      flow.ohms += 1 / siemens_[leg.first];
      continue;
    }
    flow.ohms += leg.reduction->ohms();
    leg.reduction->carry();
    for (std::size_t i = 0; i < leg.seats.size(); ++i) {
      drop_[leg.first + i] = leg.reduction->drop(leg.seats[i].first, leg.seats[i].second);
    }
  }
  flow.currents.reserve(carriers_.size());
  for (const Carrier& each : carriers_) {
    const double drop = drop_[each.edge];
    if (drop == 0 || each.ohms == HUGE_VAL) continue;
    flow.currents.push_back({each.resistor, (each.along ? drop : -drop) / each.ohms});
  }
  return flow;
}

Flow Course::flow_at(const std::vector<double>& ohms) {
  std::fill(siemens_.begin(), siemens_.end(), 0);
  for (Carrier& each : carriers_) {
    const double now = ohms.at(each.resistor);
    if ((now == HUGE_VAL) != (each.ohms == HUGE_VAL) || !(now > 0) || (now != HUGE_VAL && !possible(now)))
      throw std::invalid_argument(
          "new ohms must be infinite where the old ones are, and only there, and not zero");
    each.ohms = now;
    siemens_[each.edge] += 1 / now;
  }
  for (Leg& leg : legs_) {
    if (leg.reduction) leg.reduction->reweigh(leg.seats, siemens_.data() + leg.first);
  }
  return flow();
}

}  // namespace lugwise
