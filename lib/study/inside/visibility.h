// Which faults must a plan show, whatever the tolerances? Private to this room.
#pragma once

#include <optional>
#include <vector>

#include "circuit/circuit.h"
#include "fault/fault.h"
#include "meter/meter.h"
#include "plan/plan.h"
#include "simulation/specimen.h"

namespace lugwise::study::inside {

class Visibility {
 public:
  // All must outlive it. `steps` are those of the plan that take a reading in ohms, or sweep.
  Visibility(const Harness& harness, const std::vector<Fault>& faults, const Plan& plan,
             const std::vector<const Step*>& steps, const Meter& meter, std::optional<std::size_t> stage);

  // Whether some step cannot show with this fault what a sound instrument shows.
  bool visible(const Ailment& ailment);

  // The same beside another fault: what that other's alone cannot show.
  bool visible(const Ailment& ailment, const Ailment& beside) const;

 private:
  // From which size on a fault shows: above `over`, or below `under`. A fault without a size shows where `over` is 0.
  struct Threshold {
    double over = HUGE_VAL;
    double under = 0;
  };

  bool shows(const Fault& fault, double size, const Ailment* beside = nullptr) const;
  bool proved(const Fault& fault) const;
  const Threshold& threshold(std::size_t fault);

  const Harness& harness_;
  const std::vector<Fault>& faults_;
  const Plan& plan_;
  const std::vector<const Step*>& steps_;
  const Meter& meter_;
  const std::optional<std::size_t> stage_;
  std::vector<std::optional<Threshold>> thresholds_;
};

}  // namespace lugwise::study::inside
