#include "diagnosis/inside/coverage.h"

#include "diagnosis/inside/comparison.h"
#include "diagnosis/inside/likelihood.h"

namespace lugwise::diagnosis::inside {

Coverage::Coverage(const Harness& harness, const DiagnosisOptions& options)
    : harness_(harness), options_(options), book_(harness, options, options.scope->faults) {}

void Coverage::begin() { out_.assign(scope().faults.size(), 0); }

void Coverage::take(const Observation& observation, const Comparison& sound) {
  if (!is_value(observation) && !is_bound(observation)) return;
  Book::Place& place = book_.at(observation);
  for (std::uint32_t f : place.moved) {
    if (ruled_out(f)) continue;
    const auto impossible = [&](double size) {
      return !can_show(harness_, options_.meter, observation, sound, book_.found(place, f, size));
    };
    const double size = scope().sizes[f];
    if (scope().faults[f].mode != Mode::Value) {
      if (impossible(size)) rule_out(f);
      continue;
    }
    if ((out_[f] & 1U) == 0 && impossible(size)) out_[f] |= 1U;
    if ((out_[f] & 2U) == 0 && impossible(1 / size)) out_[f] |= 2U;
  }
}

RuledOut Coverage::shown() const {
  RuledOut shown;
  shown.of = scope().faults.size();
  for (std::size_t f = 0; f < shown.of; ++f) {
    if (ruled_out(f)) {
      ++shown.seen;
    } else {
      shown.open.push_back(scope().faults[f]);
    }
  }
  return shown;
}

}  // namespace lugwise::diagnosis::inside
