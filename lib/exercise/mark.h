// What is an answer worth: the place named, the probes taken, and the time they took.
//
// Each probe is judged by what it could have been expected to tell when it was taken, not by what it happened to show, against
// the best at hand then. That a probe splits what is still possible, or can tell nothing new, is how troubleshooting is judged in
// Mislevy and Gitomer 1996 (User Modeling and User-Adapted Interaction 5:253-282) and, from a model of the device, in Towne
// 1997 (AAAI Fall Symposium FS-97-01); the weights are ours. docs/instructor.md tells the rule.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "sheet/sheet.h"

namespace lugwise {

// Points. `place`, `probes` and `hands` add up to what can be had at most.
struct MarkRule {
  double place = 60;   // for the right place or group
  double probes = 25;  // for the information of the probes
  double hands = 15;   // for the time of the hands
  double wrong = 5;    // off for each wrong claim
};

// What a key knows.
struct Key {
  std::string number;                            // of the exercise, as "03"
  std::vector<std::vector<std::size_t>> answer;  // as in Exercise
  std::vector<std::size_t> is;                   // what is wrong, whatever the readings can tell
  double least_seconds = 0;                      // that the hands need on the key's path
};

// A fault as it was named.
struct ClaimedFault {
  std::string words;                 // as typed
  std::optional<std::size_t> fault;  // none: the words name no fault of the harness
};

// What a student did.
struct Attempt {
  std::string by;
  std::vector<Observation> given;   // the readings that were on the sheet, as far as they are here
  bool readings_given = false;      // the sheet had the readings, whether they are here or not
  std::vector<Observation> probes;  // those that were asked for, in order
  std::vector<bool> of_the_key;  // by probe, or empty: it is on the key's way, none of which could be better
  std::vector<Heard> heard;
  std::vector<ClaimedFault> claims;  // in the order they were named
};

// Probes that are judged each by itself. So many a bench never sees; all behind them are wasted.
inline constexpr std::size_t kMostJudged = 100;

struct ProbeMark {
  double bits = 0;     // it could have been expected to tell
  double best = 0;     // the best at hand could
  double seconds = 0;  // that it took the hands
  bool wasted = false;
  std::optional<std::size_t> repeats;  // wasted: of `probes`, the same reading before it
};

struct Grade {
  double place = 0, probes = 0, hands = 0, wrong = 0;  // points; `wrong` is taken off
  double most = 100;                      // that could be had: without probes only the place counts
  std::vector<bool> right;                // by group of the answer: named
  std::vector<std::size_t> wrong_claims;  // indices into Attempt::claims
  std::vector<ProbeMark> each;            // by probe
  double seconds = 0;                     // that the probes took
  double total() const;                   // of 100, never below 0
};

// The faults are those of the stage, to which keys and claims point. `options` is what the meter and the temperature are.
// Throws NetworkTooDense.
Grade mark(const Harness& harness, const std::vector<Fault>& faults, const DiagnosisOptions& options,
           const Key& key, const Attempt& attempt, const MarkRule& rule);

}  // namespace lugwise
