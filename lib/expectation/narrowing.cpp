#include "expectation/narrowing.h"

#include <algorithm>
#include <utility>

#include "expectation/corner.h"

namespace lugwise {
namespace {

// No instrument has more on its way, and a larger loom would take seconds.
constexpr std::size_t kMostTried = 32;

// A reading with this share in one part is that part measured alone.
constexpr double kAlone = 0.999;

Ohms width(const Expected& expected) { return expected.ohms.high - expected.ohms.low; }

bool among(const std::vector<ElementId>& elements, ElementId element) {
  return std::find(elements.begin(), elements.end(), element) != elements.end();
}

struct Candidate {
  const std::vector<ElementId>* part;
  double share = 0;  // of the reading
  Ohms spread = 0;
  Ohms at_least = 0;  // as narrow as it can become
};

// With the wipers where the limits were found the reading still lies between the new limits, so they are at least so far
// apart. Without wipers in mid-travel they are exactly so far apart.
Ohms least_width(const Circuit& known, PointId a, PointId b, const Expected& expected) {
  const auto reading = [&](Corner corner, const std::vector<double>& travel) {
    return *network_at(known, resistors_at(known, corner, &travel)).resistance(a.index, b.index);
  };
  return reading(Corner::High, expected.highest_at) - reading(Corner::Low, expected.lowest_at);
}

// Twins come out alike but for the last bits: the first of them stays.
bool clearly_less(Ohms x, Ohms y) { return x < y * (1 - 1e-9); }

}  // namespace

Circuit with_known(const Circuit& circuit, const std::vector<ElementId>& elements) {
  Circuit known = circuit;
  for (Branch& branch : known.branches) {
    const Ohms nominal = branch.ohms.nominal;
    if (among(elements, branch.element)) branch.ohms = {nominal, nominal, nominal};
  }
  return known;
}

std::optional<Narrowing> best_to_measure(const Circuit& circuit, PointId a, PointId b,
                                         const Expected& expected,
                                         const std::vector<std::vector<ElementId>>& parts, Ohms resolves) {
  if (expected.open || expected.unlimited || width(expected) <= resolves) return std::nullopt;
  if (circuit.branches.size() > kMostBranches) return std::nullopt;
  std::vector<Candidate> candidates;
  for (const std::vector<ElementId>& part : parts) {
    Candidate candidate{&part};
    for (const Contribution& each : expected.through) {
      if (!among(part, each.element)) continue;
      candidate.share += each.share;
      candidate.spread += each.spread;
    }
    if (candidate.share >= kAlone) return std::nullopt;
    if (candidate.share > 0) candidates.push_back(candidate);
  }
  std::stable_sort(candidates.begin(), candidates.end(),
                   [](const Candidate& x, const Candidate& y) { return x.spread > y.spread; });
  if (candidates.size() > kMostTried) candidates.resize(kMostTried);
  for (Candidate& each : candidates)
    each.at_least = least_width(with_known(circuit, *each.part), a, b, expected);
  // The one that may become narrowest first, until none left can beat what was found.
  std::optional<Narrowing> best;
  while (!candidates.empty()) {
    auto next = candidates.begin();
    for (auto each = candidates.begin(); each != candidates.end(); ++each) {
      if (clearly_less(each->at_least, next->at_least)) next = each;
    }
    if (best && !clearly_less(next->at_least, width(best->expected))) break;
    Expected narrowed = expect(with_known(circuit, *next->part), a, b);
    if (!best || clearly_less(width(narrowed), width(best->expected)))
      best = Narrowing{*next->part, std::move(narrowed)};
    candidates.erase(next);
  }
  if (best && width(expected) - width(best->expected) < resolves) return std::nullopt;
  return best;
}

}  // namespace lugwise
