// Which probe would tell the remaining explanations apart, for the least handling. Private to this room.
//
// In each setting worth trying, each explanation that still stands says what every pair of probes would read. Two are told
// apart where this meter could tell them: parts' tolerances, its accuracy and its digits allowed for. Of the probes that say
// most for their seconds the room `sequence` picks the one that leads to the place of the fault soonest.
#pragma once

#include <cstddef>
#include <memory>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "sequence/sequence.h"

namespace lugwise::diagnosis::inside {

// First probes from a complaint, at most.
inline constexpr std::size_t kMostFirst = 3;

// What is solved for one harness is kept from call to call.
class ProbeFinder {
 public:
  // Both must outlive it.
  ProbeFinder(const Harness& harness, const DiagnosisOptions& options);
  ~ProbeFinder();

  // Fills `next` and `separate` of an answer from its suspects. None where one place is sure enough, and where no probe
  // within reach that was not taken says more.
  void suggest(const std::vector<Observation>& taken, Diagnosis& answer,
               const std::vector<Heard>& heard = {});

  // What is asked of the search: the explanations that stand, and the probes among which it picks.
  Inquiry inquiry(const std::vector<Observation>& taken, const Diagnosis& answer);

 private:
  class Tables;
  std::unique_ptr<Tables> tables_;
};

}  // namespace lugwise::diagnosis::inside
