// Which probes prove a harness, in which order: the checklist.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "circuit/circuit.h"
#include "expectation/expectation.h"
#include "fault/fault.h"
#include "handling/handling.h"
#include "harness/harness.h"
#include "meter/meter.h"

namespace lugwise {

enum class Depth { Outside, Full };

struct PlanOptions {
  std::optional<std::size_t> stage;
  Depth depth = Depth::Full;
  Meter meter = assumed_meter();
  Temperature temperature;
  Costs costs;
};

enum class StepKind { Prepare, Read };

struct Step {
  int number = 0;  // from 1; preparations count too
  StepKind kind = StepKind::Read;
  std::string instruction;     // Prepare: the whole sentence
  bool tips_together = false;  // Prepare: what the meter shows here is its leads
  Access access;               // how far the instrument is open
  Setting setting;
  PointId a, b;         // a is the probe that stays parked where one does
  bool parked = false;  // `a` is where the step before had a probe
  Expected expected;
  Range range;
  Window shows;                     // on that range, this meter
  std::vector<std::size_t> proves;  // faults (indices into Plan::faults) that this step would show
  std::vector<std::size_t> fresh;   // those that no earlier step has proved
};

struct Unseen {
  std::size_t fault = 0;  // index into Plan::faults
  std::string why;
  std::string would;  // what would reveal it
};

// The smallest resistance added at a joint, blob or contact that some step would notice.
struct Smallest {
  ElementId element;
  Ohms ohms = 0;
  int step = 0;
};

struct Plan {
  std::string id;  // of harness and options: equal plans, equal ids
  PlanOptions options;
  std::vector<std::string> cautions;
  std::vector<Step> steps;
  std::vector<Fault> faults;  // all that coverage counts
  std::size_t seen = 0;       // how many of them some step shows
  std::vector<Unseen> unseen;
  std::vector<Smallest> smallest;
  double seconds = 0;
  int least_steps = 0;       // no plan with this coverage has fewer readings
  bool least_exact = false;  // and some choice of probes has no more
  double least_seconds = 0;  // nor takes less time
};

// `harness_id` stands for the netlist's text in the plan's id.
Plan plan_for(const Harness& harness, const std::string& harness_id, const PlanOptions& options);

}  // namespace lugwise
