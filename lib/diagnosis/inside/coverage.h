// Which faults of a checklist's scope readings rule out. Private to this room.
#pragma once

#include <vector>

#include "diagnosis/diagnosis.h"
#include "diagnosis/inside/book.h"

namespace lugwise::diagnosis::inside {

class Coverage {
 public:
  // Both must outlive it; `options` have a scope.
  Coverage(const Harness& harness, const DiagnosisOptions& options);

  const Scope& scope() const { return *options_.scope; }

  // Nothing is ruled out yet.
  void begin();

  // A number or a bound that agrees rules out all that could not stand there with the fault, whatever the tolerances.
  void take(const Observation& observation, const Comparison& sound);

  // A fault that is ruled out otherwise.
  void rule_out(std::size_t fault) { out_[fault] = kBoth; }

  bool ruled_out(std::size_t fault) const { return out_[fault] == kBoth; }
  RuledOut shown() const;

 private:
  static constexpr unsigned char kBoth = 3;

  const Harness& harness_;
  const DiagnosisOptions& options_;
  Book book_;
  std::vector<unsigned char> out_;  // of each fault: as large as its size, 1, and of a value as small, 2
};

}  // namespace lugwise::diagnosis::inside
