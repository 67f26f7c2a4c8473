#include "expectation/narrowing.h"

#include <algorithm>
#include <utility>

namespace lugwise {
namespace {

// Each part tried is a reading expected anew: no instrument has more on its way, and a larger loom would take seconds.
constexpr std::size_t kMostTried = 8;
constexpr std::size_t kMostBranches = 1000;

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
};

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
  std::optional<Narrowing> best;
  for (const Candidate& candidate : candidates) {
    Expected narrowed = expect(with_known(circuit, *candidate.part), a, b);
    // Twins come out alike but for the last bits: the first of them stays.
    if (best && width(narrowed) >= width(best->expected) * (1 - 1e-9)) continue;
    best = Narrowing{*candidate.part, std::move(narrowed)};
  }
  if (best && width(expected) - width(best->expected) < resolves) return std::nullopt;
  return best;
}

}  // namespace lugwise
