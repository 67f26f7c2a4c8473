// Which probes prove a harness, in which order: the checklist.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "circuit/circuit.h"
#include "expectation/expectation.h"
#include "fault/fault.h"
#include "fault/kind.h"
#include "handling/aim.h"
#include "handling/circumstances.h"
#include "handling/handling.h"
#include "handling/reached.h"
#include "handling/scope.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "plan/walk.h"

namespace lugwise {

struct PlanOptions : Circumstances {
  Depth depth = Depth::Full;
  Temperature temperature;
  Aim aim = Aim::Usual;
  bool lift = false;           // steps may take a lead off, for what else would stay unseen
  bool walk = false;           // the ground walk too: Plan::walk
  std::vector<PointId> after;  // a repair there: only what it may have disturbed is proved; empty: all
};

// Read is one number; a Sweep and a Wiggle are watched, and start from one. A Lift takes a lead off, a Refit puts it back.
enum class StepKind { Prepare, Read, Sweep, Wiggle, Lift, Refit };

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
  std::vector<PointId>
      lifted;  // leads that are off meanwhile; Lift, Refit: the one that comes off, goes back
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

// What a plan of another aim would take, and show of its own list; see Plan::faults.
struct Trade {
  Aim aim = Aim::Usual;
  std::size_t steps = 0;  // preparations and wiggles not counted
  double seconds = 0;
  std::size_t seen = 0, of = 0;
  double weight = 0;  // the share of the opens, shorts and worn tracks it shows, by how common they are
  std::size_t cold = 0, joints = 0;  // joints, blobs and contacts where it notices kModest ohms, of so many
};

// What is a modest cold joint, in ohms: a thorough plan notices that much wherever some probe can.
inline constexpr Ohms kModest = 10;

struct Plan {
  std::string id;  // of harness and options: equal plans, equal ids
  PlanOptions options;
  std::vector<std::string> cautions;
  std::vector<Step> steps;
  std::vector<Fault>
      faults;  // all that coverage counts: opens, shorts and worn tracks, and what the aim adds
  // By fault: from how many added ohms on a High is shown, by which factor up or down a Value; 0 of the others.
  std::vector<double> sizes;
  std::size_t seen = 0;  // how many of them some step shows
  std::vector<Unseen> unseen;
  std::vector<Smallest> smallest;
  double seconds = 0;          // without the wiggles
  double opening_seconds = 0;  // of these, for opening it
  double wiggle_seconds = 0;   // that these take after it: they prove none of the faults
  int least_steps = 0;       // no plan with this coverage has fewer readings; sweeps and wiggles not counted
  bool least_exact = false;  // and some choice of probes has no more
  double least_seconds = 0;  // nor takes less time
  double lift_seconds = 0;   // with a lead off, and for getting it off and on; in no bound
  std::optional<Walk> walk;  // where asked for and there is a ground to walk
  std::vector<Trade> trade;  // of an aim that is not the usual one: each aim beside the others
};

// `harness_id` stands for the netlist's text in the plan's id. On the bench every depth is full, and nothing is opened.
// Throws NetworkTooDense, and std::logic_error where the meter has no range. A harness that too_large_to_search() refuses takes
// hours or all memory.
Plan plan_for(const Harness& harness, const std::string& harness_id, const PlanOptions& options,
              const Reached& reached = {});

// What its steps show, and where they read: what an instrument's readings are held against.
Scope scope_of(const Plan& plan);

}  // namespace lugwise
