#include "plan/inside/itinerary.h"

namespace lugwise::plan::inside {

std::vector<double> Itinerary::all_legs(const Order& order) const {
  std::vector<double> legs;
  for (std::size_t i = 0; i < order.size(); ++i) legs.push_back(leg(order, i));
  return legs;
}

double Itinerary::handling(const Order& order) const {
  double sum = 0;
  for (std::size_t i = 0; i < order.size(); ++i) sum += leg(order, i);
  return sum;
}

double Itinerary::saving(const Order& order, std::size_t at) const {
  if (at + 1 == order.size()) return leg(order, at);
  const Stop& next = stops_[order[at + 1]];
  return leg(order, at) + leg(order, at + 1) -
         (at == 0 ? first(next) : legs_.between(stops_[order[at - 1]], next));
}

double Itinerary::turning(const Order& order, std::size_t from, std::size_t to) const {
  const Stop& head = stops_[stops_[order[from]].twin];
  const Stop& tail = stops_[stops_[order[to]].twin];
  double change = (from == 0 ? first(tail) : legs_.between(stops_[order[from - 1]], tail)) - leg(order, from);
  if (to + 1 < order.size()) change += legs_.between(head, stops_[order[to + 1]]) - leg(order, to + 1);
  // Within the stretch each leg costs the same the other way, but for the seconds of its end.
  return change + (stops_[order[from]].seconds - tail.seconds);
}

std::pair<std::size_t, std::size_t> Itinerary::places(const Order& order, const Stop& stop) const {
  std::size_t from = 0;
  while (from < order.size() && stops_[order[from]].choice.survey < stop.choice.survey) ++from;
  std::size_t to = from;
  while (to < order.size() && stops_[order[to]].choice.survey == stop.choice.survey) ++to;
  return {from, to};
}

}  // namespace lugwise::plan::inside
