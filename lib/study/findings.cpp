#include "study/findings.h"

#include <algorithm>

namespace lugwise {
namespace {

constexpr std::array<double, 13> kEdges{0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.98, 1};
constexpr std::size_t kMostMishaps = 50;

void add_to(Score& score, const Case& one) {
  ++score.cases;
  if (!one.visible) return;
  ++score.visible;
  score.missed += one.verdict == Verdict::Sound ? 1 : 0;
  score.unsure += one.verdict == Verdict::Unsure || one.verdict == Verdict::Unfinished ? 1 : 0;
  score.named += one.named ? 1 : 0;
  score.placed += one.placed ? 1 : 0;
  score.first += one.first ? 1 : 0;
  score.all_named += one.all_named ? 1 : 0;
  score.explained += one.all_named || one.explained ? 1 : 0;
  if (one.ills.size() == 2) {
    ++(one.lone ? score.one_may : score.takes_two);
    (one.lone ? score.one_may_named : score.takes_two_named) += one.named ? 1 : 0;
  }
  score.sized += one.size ? 1 : 0;
  score.size_fits += one.size && one.size_fits ? 1 : 0;
}

}  // namespace

Findings::Findings() {
  for (std::size_t i = 0; i + 1 < kEdges.size(); ++i) stated.push_back({kEdges[i], kEdges[i + 1], 0, 0, 0});
}

void Findings::add(const Case& one) {
  ++cases;
  readings += static_cast<double>(one.readings);
  all_seconds += one.seconds;
  again += one.again;
  for (const Claim& claim : one.claims) {
    const auto at = std::find_if(stated.begin(), stated.end() - 1,
                                 [&](const Stated& each) { return claim.probability < each.to; });
    ++at->claims;
    at->expected += claim.probability;
    at->right += claim.right ? 1 : 0;
  }
  const auto note = [&](const char* what) {
    if (mishaps.size() < kMostMishaps) mishaps.push_back({one.number, what});
  };
  if (one.ills.empty()) {
    ++sound;
    false_alarms += one.verdict == Verdict::Fault ? 1 : 0;
    sound_unsure += one.verdict == Verdict::Unsure || one.verdict == Verdict::Unfinished ? 1 : 0;
    if (one.verdict != Verdict::Sound)
      note(one.verdict == Verdict::Fault ? "false alarm" : "sound, but unsure");
    return;
  }
  add_to(all, one);
  const Fault& fault = one.ills.front().fault;
  add_to(kinds[is_worn_track(fault) ? "worn" : std::string(mode_name(fault.mode))], one);
  if (one.visible && one.verdict == Verdict::Sound) note("missed");
  if (one.visible && one.verdict != Verdict::Sound && !one.named)
    note(one.placed ? "place named, fault not" : "fault not in the first group");
  if (!one.alarmed) return;
  ++located;
  probes += static_cast<double>(one.probes);
  seconds += one.seconds_after;
  bound += one.bound;
  stood += one.at_once;
  groups += static_cast<double>(one.group);
  places += static_cast<double>(one.places);
  if (one.group > 0) ++group_sizes[std::min(one.group, group_sizes.size()) - 1];
  ++probe_counts[std::min(one.probes, probe_counts.size() - 1)];
  in_order.probes += one.in_order.probes;
  in_order.seconds += one.in_order.seconds;
  halving.probes += one.halving.probes;
  halving.seconds += one.halving.seconds;
}

}  // namespace lugwise
