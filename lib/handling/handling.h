// What a probe costs the technician's hands, and which probes are allowed.
//
// A stage is an index into Harness::stages(); none: all parts are there.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "circuit/circuit.h"
#include "fault/kind.h"
#include "harness/harness.h"

namespace lugwise {

// Seconds. A judgement (common practice, no source).
struct Costs {
  double open_cavity = 180;  // a control plate; see kScratchplate
  double open_cover = 60;
  double read = 15;  // and written down
  double move_probe = 3;
  double turn_control = 4;
  double change_range = 2;
  double sweep = 17;    // a knob from end to end, watching, and a word written
  double wiggle = 2;    // a point pressed and moved, watching
  double lift = 45;     // a lead or wire end unsoldered
  double refit = 75;    // and soldered again, cold before it is measured
  double faulty = 0.5;  // no seconds: the share of instruments on the bench that have a fault
};

// What lies over the cavity: a control plate comes off in the seconds above; of a scratchplate the strings have to go first.
inline constexpr double kControlPlate = 180;
inline constexpr double kScratchplate = 600;

// What a workshop says of itself: how long its hands take, and which faults its bench sees.
struct Workshop {
  Costs costs;
  std::vector<KindWeight> common;  // kinds of fault that are not as common there as usual
};

// How far the instrument has been opened: nothing, the cavity, then one cover after another. On the bench there is nothing
// to open, and all lies as in an open cavity.
struct Access {
  int depth = 0;  // 0 outside, 1 cavity or bench, 2 and on: covers in the order the netlist first names them
  std::string name;  // "outside", "cavity", "bench", or the cover's name
  friend bool operator==(const Access&, const Access&) = default;
};

// Whether a harness is not in an instrument: neither jack nor metal is there, or the stage leaves out the metal with the
// bridge or the strings.
bool on_bench(const Harness& harness, std::optional<std::size_t> stage);

// Outside first, then the cavity, then the covers; only those some point needs. Or just the bench.
std::vector<Access> accesses(const Harness& harness, std::optional<std::size_t> stage = std::nullopt);

// What must be open to reach a point; none if nothing helps.
std::optional<Access> access_to(const Harness& harness, PointId point,
                                std::optional<std::size_t> stage = std::nullopt);

// The points a probe can reach when opened to `depth`, and that are there at this stage.
std::vector<PointId> reachable(const Harness& harness, std::optional<std::size_t> stage, int depth);

// What can be measured alone with one lead off: each coil, track and resistor with both ends in reach. A pickup's coils
// that end where no probe gets are measured together, from lead to lead.
std::vector<std::vector<ElementId>> measured_alone(const Harness& harness);

// The settings a plan may ask for: every place of every switch, all pots at rest or one or all of them at a stop,
// plugs in or out. Nothing between the stops but `normal`: it can't be repeated by hand.
std::vector<Setting> settings_to_try(const Harness& harness, std::optional<std::size_t> stage);

// How many of two probes go to the far end of the test cable: each adds half the cable to a reading.
int plugs_among(const Harness& harness, PointId a, PointId b);

// How many controls differ.
int turns_between(const Harness& harness, const Setting& from, const Setting& to);

// Where the hands are: at the last reading, or at an instrument as it came, with nothing touched.
struct Hands {
  Setting setting;
  std::optional<PointId> a, b;       // where the probes are
  int depth = 0;                     // how far it is open
  double range = 0;                  // the meter's, by its top; 0: none chosen yet
  std::vector<PointId> lifted = {};  // leads and wire ends that are off

  bool hold(PointId point) const { return a == point || b == point; }
};

// Seconds for the hands to set, open, unsolder, solder again and touch what a reading needs. `range` 0: chosen by the meter.
double seconds_to_reach(const Harness& harness, const Costs& costs, const Hands& hands, const Hands& reading);

// And to read it.
double seconds_to_read(const Harness& harness, const Costs& costs, const Hands& hands, const Hands& reading);

}  // namespace lugwise
