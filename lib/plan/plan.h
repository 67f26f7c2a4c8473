// Which probes prove a harness, in which order: the checklist.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "circuit/circuit.h"
#include "expectation/expectation.h"
#include "fault/fault.h"
#include "fault/kind.h"
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
  std::vector<KindWeight> common;  // kinds of fault that are not as common as usual
};

// Read is one number; a Sweep and a Wiggle are watched, and start from one.
enum class StepKind { Prepare, Read, Sweep, Wiggle };

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
  Window shows;                 // on that range, this meter
  std::optional<PartId> swept;  // Sweep: the knob, turned from where `setting` has it to the other stop
  Expected end;                 // Sweep: the reading there
  Window end_shows;             // on the same range
  std::optional<Ohms> most;     // Sweep: the highest display between the ends, where it is above both
  // Read: on a capacitance range (`range` is one of those), what stands there of the capacitor between the points.
  std::optional<CapacitanceReading> capacitance;
  std::vector<PointId> wiggled;     // Wiggle: what is pressed and moved; plug points: the plug in its jack
  std::vector<std::string> notes;   // what to mind, a short line each
  std::vector<std::size_t> proves;  // faults (indices into Plan::faults) that this step would show
  std::vector<std::size_t> fresh;   // those that no earlier step has proved
};

// Where the controls stand after a step: a sweep leaves its knob at the other stop.
Setting left_at(const Step& step);

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
  std::vector<Fault> faults;  // all that coverage counts: opens, shorts and worn tracks
  std::size_t seen = 0;       // how many of them some step shows
  std::vector<Unseen> unseen;
  std::vector<Smallest> smallest;
  double seconds = 0;         // without the wiggles
  double wiggle_seconds = 0;  // that these take after it: they prove none of the faults
  int least_steps = 0;        // no plan with this coverage has fewer readings; sweeps and wiggles not counted
  bool least_exact = false;   // and some choice of probes has no more
  double least_seconds = 0;   // nor takes less time
};

// `harness_id` stands for the netlist's text in the plan's id. On the bench every depth is full, and nothing is opened.
Plan plan_for(const Harness& harness, const std::string& harness_id, const PlanOptions& options);

}  // namespace lugwise
