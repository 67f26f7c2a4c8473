#include "diagnosis/inside/reasoning.h"

#include <algorithm>

#include "diagnosis/inside/comparison.h"

namespace lugwise {
namespace {

// A harness whose every reading lies in its sound window is sound from here on: what coincidences hint at is no fault
// that anything shows.
constexpr double kSoundInside = 0.15;

// Where an OL says next to nothing, the rest must leave so little doubt for the harness to be sound.
constexpr double kSoundAnyway = 0.95;

}  // namespace

void Reasoning::decide() {
  bool all_agree = true;
  bool doubtful = false;
  bool too_low = false;
  for (const Comparison& each : answer_.readings) {
    all_agree = all_agree && each.agrees;
    doubtful = doubtful || each.doubtful;
    too_low = too_low || says_too_little(all_[each.observation], each);
  }
  const double faulty = 1 - answer_.sound - answer_.unmodelled;
  const double sure = doubtful ? kSure : kSureUncontradicted;
  if (all_.empty()) {
    answer_.verdict = Verdict::Unsure;
  } else if (all_agree && answer_.sound >= (too_low ? kSoundAnyway : kSoundInside)) {
    answer_.verdict = Verdict::Sound;
  } else if (!all_agree && faulty >= sure) {
    answer_.verdict = Verdict::Fault;
  } else {
    answer_.verdict = Verdict::Unsure;
  }
}

}  // namespace lugwise
