#include "plan/inside/novelty.h"

#include <algorithm>
#include <map>
#include <string>

namespace lugwise::plan::inside {

Novelty::Novelty(const Harness& harness, const Costs& costs, const std::vector<Setting>& settings,
                 const Visit* after)
    : costs_(costs), after_(after), points_(harness.points().size()), settings_(settings.size()) {
  for (const PartId control : harness.controls()) {
    std::map<std::string, std::uint32_t> numbers{{Setting(harness).place_name(harness, control), 0}};
    places_.emplace_back();
    for (const Setting& setting : settings)
      places_.back().push_back(
          numbers.try_emplace(setting.place_name(harness, control), numbers.size()).first->second);
    most_places_ = std::max(most_places_, numbers.size());
  }
}

Used Novelty::used_by(const Stops& stops, const Order& order) const {
  Used used;
  used.points.assign(points_, 0);
  used.ranges.assign(256, 0);
  std::vector<char> places(places_.size() * most_places_, 0);
  const auto use = [&](const Visit& visit) {
    used.points[visit.a.index] = used.points[visit.b.index] = 1;
    used.ranges[visit.range & 255U] = 1;
    for (std::size_t c = 0; c < places_.size(); ++c)
      places[c * most_places_ + places_[c][visit.setting]] =
          places[c * most_places_ + places_[c][visit.left]] = 1;
  };
  if (after_) {
    use(*after_);
  } else {
    for (std::size_t c = 0; c < places_.size(); ++c) places[c * most_places_] = 1;
  }
  for (const std::size_t stop : order) use(stops[stop]);
  used.turns.assign(settings_, 0);
  for (std::size_t c = 0; c < places_.size(); ++c) {
    for (std::size_t s = 0; s < settings_; ++s)
      used.turns[s] += places[c * most_places_ + places_[c][s]] ? 0 : 1;
  }
  return used;
}

}  // namespace lugwise::plan::inside
