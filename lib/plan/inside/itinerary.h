// How long do the hands take along an order of stops? Private to this room.
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

  std::vector<double> all_legs(const Order& order) const;
  double handling(const Order& order) const;

  // What a stop put before place `at` adds; `legs` are the order's.
  double added(const Order& order, const std::vector<double>& legs, std::size_t at, const Stop& stop) const {
    const double into = at == 0 ? first(stop) : legs_.between(stops_[order[at - 1]], stop);
    return at == order.size() ? into : into + legs_.between(stop, stops_[order[at]]) - legs[at];
  }

  // What it saves to leave out the stop at a place.
  double saving(const Order& order, std::size_t at) const;

  // What it adds, saving if less than nothing, to turn a stretch of the order round: it begins and ends with stops that can
  // be made the other way.
  double turning(const Order& order, std::size_t from, std::size_t to) const;

  // The places a stop may take, first and last: nothing is closed again.
  std::pair<std::size_t, std::size_t> places(const Order& order, const Stop& stop) const;

 private:
  const Stops& stops_;
  const Legs& legs_;
  const Visit* after_;
};

}  // namespace lugwise::plan::inside
