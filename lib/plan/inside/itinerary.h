// How long do the hands take along an order of stops? Private to this room.
//
// All of it stands here, for the compiler to put it where it is called millions of times.
#pragma once

#include <utility>
#include <vector>

#include "plan/inside/delay.h"
#include "plan/inside/legs.h"

namespace lugwise::plan::inside {

class Itinerary {
 public:
  // `after` is where the hands are before the first stop; nothing: as the instrument came.
  Itinerary(const Stops& stops, const Legs& legs, const Visit* after)
      : stops_(stops), legs_(legs), after_(after) {}

  double first(const Visit& stop) const { return after_ ? legs_.between(*after_, stop) : legs_.first(stop); }

  double leg(const Order& order, std::size_t at) const {
    return at == 0 ? first(stops_[order[0]]) : legs_.between(stops_[order[at - 1]], stops_[order[at]]);
  }

  std::vector<double> all_legs(const Order& order) const {
    std::vector<double> legs;
    legs.reserve(order.size());
    for (std::size_t i = 0; i < order.size(); ++i) legs.push_back(leg(order, i));
    return legs;
  }

  double handling(const Order& order) const {
    double sum = 0;
    for (std::size_t i = 0; i < order.size(); ++i) sum += leg(order, i);
    return sum;
  }

  // What a stop put before place `at` adds; `legs` are the order's.
  double added(const Order& order, const std::vector<double>& legs, std::size_t at, const Stop& stop) const {
    const double into = at == 0 ? first(stop) : legs_.between(stops_[order[at - 1]], stop);
    return at == order.size() ? into : into + legs_.between(stop, stops_[order[at]]) - legs[at];
  }

  // What it saves to leave out the stop at a place.
  double saving(const Order& order, std::size_t at) const {
    if (at + 1 == order.size()) return leg(order, at);
    const Stop& next = stops_[order[at + 1]];
    return leg(order, at) + leg(order, at + 1) -
           (at == 0 ? first(next) : legs_.between(stops_[order[at - 1]], next));
  }

  // What it adds, saving if less than nothing, to turn a stretch of the order round: it begins and ends with stops that can
  // be made the other way.
  double turning(const Order& order, std::size_t from, std::size_t to) const {
    const Stop& head = stops_[stops_[order[from]].twin];
    const Stop& tail = stops_[stops_[order[to]].twin];
    double change =
        (from == 0 ? first(tail) : legs_.between(stops_[order[from - 1]], tail)) - leg(order, from);
    if (to + 1 < order.size()) change += legs_.between(head, stops_[order[to + 1]]) - leg(order, to + 1);
    // Within the stretch each leg costs the same the other way, but for the seconds of its end.
    return change + (stops_[order[from]].seconds - tail.seconds);
  }

  // The places a stop may take, first and last: nothing is closed again.
  std::pair<std::size_t, std::size_t> places(const Order& order, const Stop& stop) const {
    std::size_t from = 0;
    while (from < order.size() && stops_[order[from]].choice.survey < stop.choice.survey) ++from;
    std::size_t to = from;
    while (to < order.size() && stops_[order[to]].choice.survey == stop.choice.survey) ++to;
    return {from, to};
  }

 private:
  const Stops& stops_;
  const Legs& legs_;
  const Visit* after_;
};

}  // namespace lugwise::plan::inside
