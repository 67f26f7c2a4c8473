#include <algorithm>
#include <map>

#include "drawing/inside/placer.h"
#include "drawing/inside/trade_name.h"

namespace lugwise::drawing::inside {

void Placer::seat(std::size_t p, Seat on) {
  riders_[on.on].push_back(p);
  seats_[p] = on;
}

void Placer::seat_on_shafts() {
  for (std::size_t p = 0; p < shapes_.size(); ++p) {
    if (given(p)) continue;
    if (part(p).pot && part(p).pot->gang) {
      seat(p, {part(p).pot->gang->index, Seat::Place::Right, false});
    } else if (part(p).mounted) {
      // One shaft has one place: that of the pot whose case it comes through.
      const auto& pot = harness_[*part(p).mounted].pot;
      seat(p, {(pot->gang ? *pot->gang : *part(p).mounted).index, Seat::Place::Above, false});
      face(p, {Stance::OneSided, Stance::Mirrored});
    }
  }
}

void Placer::seat_all() {
  seats_.assign(shapes_.size(), std::nullopt);
  riders_.assign(shapes_.size(), {});
  seat_on_shafts();
  for (std::size_t p = 0; p < shapes_.size(); ++p) {
    const bool small = part(p).kind == PartKind::Capacitor || part(p).kind == PartKind::Resistor;
    if (given(p) || !small || stands_in(part(p))) continue;
    std::optional<Seat> found = seat_of(harness_, PartId{static_cast<std::uint32_t>(p)});
    if (!found) continue;
    // What ends on a switch that sits on a pot stands beside that pot.
    if (const auto& host = seats_[found->on]) *found = {host->on, Seat::Place::Right, found->turned};
    seat(p, *found);
    const std::size_t lying = shapes_[p].size() - 2;
    made_.variant[p] = (found->place == Seat::Place::Below ? lying : 0) + (found->turned ? 1 : 0);
  }
}

Placer::Cluster Placer::cluster_of(std::size_t p) const {
  using Place = Seat::Place;
  constexpr int kApart = 3, kBeside = 2, kBelow = 6, kUnder = 2;
  const int own = shape(p).width;
  std::map<Place, int> width;
  int above = 0, tallest = 0;
  for (std::size_t rider : riders_[p]) {
    const Place place = seats_[rider]->place;
    if (place == Place::Below)
      width[place] = std::max(width[place], shape(rider).width);
    else
      width[place] += shape(rider).width + (place == Place::Left ? kApart : kBeside);
    if (place == Place::Above) above = std::max(above, shape(rider).height + kBeside);
  }
  // What lies below may stand out on both sides.
  const int out = std::max(0, (width[Place::Below] - own) / 2);
  const int left = std::max(width[Place::Left], out);
  std::map<Place, int> x{{Place::Left, left - width[Place::Left]},
                         {Place::Right, left + own + kBeside},
                         {Place::Above, left + (own - width[Place::Above] + kBeside) / 2}};
  Cluster cluster;
  cluster.members.push_back({p, {left, above}});
  tallest = above + shape(p).height;
  int low = tallest + kBelow;  // what lies below lies one under the other
  for (std::size_t rider : riders_[p]) {
    const Place place = seats_[rider]->place;
    const int across = shape(rider).width;
    int y = place == Place::Above ? 0 : above + lift_of(p, rider);
    if (place == Place::Below) {
      x[place] = left + (own - across) / 2;
      y = low;
      low += shape(rider).height + kUnder;
    }
    cluster.members.push_back({rider, {std::max(0, x[place]), y}});
    x[place] += across + (place == Place::Left ? kApart : kBeside);
    tallest = std::max(tallest, y + shape(rider).height);
  }
  cluster.width = left + own + std::max(width[Place::Right], out);
  cluster.height = tallest;
  cluster.above = above;
  return cluster;
}

int Placer::lift_of(std::size_t p, std::size_t rider) const {
  return std::max(0, shape(p).height - shape(rider).height - (part(p).kind == PartKind::Pot ? 2 : 0));
}

}  // namespace lugwise::drawing::inside
