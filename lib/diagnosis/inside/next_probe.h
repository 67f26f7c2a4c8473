// Which probe would tell the remaining explanations apart, for the least handling. Private to this room.
#pragma once

#include <vector>

#include "diagnosis/diagnosis.h"

namespace lugwise {

// An explanation still standing: sound where `fault` is null.
struct Standing {
  const Fault* fault = nullptr;
  double size = 0;
  double probability = 0;
  std::size_t suspect = 0;  // index into Diagnosis::suspects; meaningless for sound
};

// Where the technician is: the last reading taken.
struct Bench {
  Setting setting;
  std::optional<PointId> a, b;
  int depth = 0;
};

// The best probes first, at most `most`; empty if no probe within reach splits them.
std::vector<NextProbe> best_probes(const Harness& harness, const std::vector<Standing>& standing,
                                   const Bench& bench, const DiagnosisOptions& options, std::size_t most);

}  // namespace lugwise
