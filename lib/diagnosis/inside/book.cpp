#include "diagnosis/inside/book.h"

#include <algorithm>

#include "diagnosis/inside/comparison.h"

namespace lugwise::diagnosis::inside {

Book::Book(const Harness& harness, const DiagnosisOptions& options, std::vector<Fault> faults)
    : harness_(harness), options_(options), faults_(std::move(faults)) {}

Book::Situation& Book::situation_of(const Observation& observation) {
  const bool open = observation.access.depth > 0;
  for (const auto& known : situations_) {
    if (known->setting == observation.setting && known->cavity_open == open &&
        known->lifted == observation.lifted)
      return *known;
  }
  auto fresh = std::make_unique<Situation>();
  fresh->setting = observation.setting;
  fresh->cavity_open = open;
  fresh->lifted = observation.lifted;
  fresh->chapter = std::make_unique<Chapter>(circuit_of(harness_, state_of(observation, options_)));
  fresh->index = fresh->chapter->index(faults_);
  situations_.push_back(std::move(fresh));
  return *situations_.back();
}

Book::Place& Book::at(const Observation& observation) {
  Situation& situation = situation_of(observation);
  const std::pair<PointId, PointId> ends = std::minmax(observation.a, observation.b);
  const auto [known, fresh] = situation.places.try_emplace(ends);
  Place& place = known->second;
  if (fresh) {
    place.chapter = situation.chapter.get();
    place.a = ends.first;
    place.b = ends.second;
    place.sound = place.chapter->sound(place.a, place.b);
    place.moved = place.chapter->among(situation.index, place.a, place.b);
  }
  return place;
}

const Found& Book::found(Place& place, std::uint32_t fault, double size) {
  const auto [known, fresh] = place.with.try_emplace({fault, size});
  if (fresh) known->second = place.chapter->with(faults_[fault], size, place.a, place.b);
  return known->second;
}

}  // namespace lugwise::diagnosis::inside
