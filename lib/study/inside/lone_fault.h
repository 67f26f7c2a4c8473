// Can one fault alone have shown a whole sheet of readings? Private to this room.
//
// By no likelihood: each reading must lie within the limits that the fault leaves it, whatever the tolerances, in one size for
// all. Each reading is looked at by itself, so what is called explained here may still be unlikely; what is not is impossible.
#pragma once

#include <map>
#include <optional>
#include <tuple>
#include <utility>
#include <vector>

#include "fault/fault.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "plan/plan.h"
#include "sheet/observation.h"
#include "study/inside/reach.h"

namespace lugwise::study::inside {

class LoneFault {
 public:
  // All must outlive it. `steps` are those of the plan that take a reading in ohms, or sweep.
  LoneFault(const Harness& harness, const std::vector<Fault>& faults, const Plan& plan,
            const std::vector<const Step*>& steps, const Meter& meter, std::optional<std::size_t> stage);

  // The first fault of the list that may have shown all of these, which are readings of steps; none: it takes two.
  std::optional<std::size_t> explaining(const std::vector<Observation>& sheet);

  // Whether this one may have.
  bool may_show(std::size_t fault, const std::vector<Observation>& sheet);

 private:
  using Taken = std::vector<std::pair<const Step*, const Observation*>>;
  Taken taken(const std::vector<Observation>& sheet) const;
  bool explains(std::size_t fault, const Taken& sheet);
  bool moves(const Fault& fault, const Step& step) const;
  Reach reach_between(std::size_t fault, std::size_t cell, const Step& step);
  const Reach& reach(std::size_t fault, std::size_t size, const Step& step);

  const Harness& harness_;
  const std::vector<Fault>& faults_;
  const Plan& plan_;
  const std::vector<const Step*>& steps_;
  const Meter& meter_;
  const std::optional<std::size_t> stage_;
  std::map<int, Circuit> circuits_;  // by the step's number
  std::map<std::tuple<int, std::size_t, std::size_t>, Reach> known_;
};

}  // namespace lugwise::study::inside
