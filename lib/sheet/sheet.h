// What a technician wrote down: readings, what was heard, the meter and the temperature.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "circuit/setting.h"
#include "handling/aim.h"
#include "harness/harness.h"
#include "hearing/sound.h"
#include "meter/meter.h"
#include "sheet/aside.h"
#include "sheet/chosen_value.h"
#include "sheet/unit.h"
#include "source/span.h"

namespace lugwise {

enum class Shows { Value, OverRange, Beep, NoBeep, Unstable, Steady, Smooth, Jumps };

enum class Action { Read, Sweep, Wiggle };

// What stood on the display.
struct Display {
  Shows shows = Shows::Value;
  Ohms value = 0;                   // Value: ohms as displayed
  Ohms resolution = 0;              // Value: one of the last digit as typed; 0.01k is 10
  std::string text;                 // as typed
  std::optional<Range> range = {};  // of an end of a sweep: its own; none: the sweep's
};

// What an entry of the list of readings is. Only a Reading is weighed; the rest is the record of a session.
enum class EntryKind {
  Reading,
  Tips,      // what the meter showed with the tips together: its leads
  Skipped,   // a reading that could not be taken
  Done,      // something to be done before a reading was
  Note,      // a remark
  Repaired,  // something was mended
};

struct Entry {
  EntryKind kind = EntryKind::Reading;
  std::string note;  // a remark on it; Skipped: why; Done: what; Note: the remark itself
  Aside aside;
  std::string cover;  // what was open when it was taken, by name; empty: what its points need
  std::vector<PointId> repaired;
  Action action = Action::Read;
  std::optional<int> step;  // of the plan; then the fields below it come from there where not given
  bool placed = false;      // `a` and `b` are given
  PointId a, b;
  bool set_given = false;
  Setting setting;
  std::vector<PointId> lifted;
  std::optional<PartId> swept;   // Sweep: the control
  std::vector<Display> ends;     // Sweep: none, or what was read at both ends, the one it started from first
  std::vector<PointId> wiggled;  // Wiggle: the points pressed and moved
  Shows shows = Shows::Value;
  bool farads = false;          // taken on a capacitance range: the next three are in farads, else in ohms
  double value = 0;             // Value: as displayed
  double resolution = 0;        // Value: one of the last digit as typed; 0.01k is 10
  std::optional<double> range;  // the range it was taken on
  std::string text;             // as typed
  Span at;

  bool weighed() const { return kind == EntryKind::Reading && !aside; }
};

// Whether a complaint may name this part as a control: a pot or a switch.
inline bool can_be_complained_of(const Part& part) {
  return part.kind == PartKind::Pot || part.kind == PartKind::Switch;
}

struct Heard {
  std::optional<PartId> pickup;
  std::optional<PartId> control = {};  // the pot or switch that is complained of
  bool set_given = false;              // else wherever it should sound, and `setting` says nothing
  Setting setting;
  Sound sound = Sound::Silent;
  Span at;
  Aside aside = {};
};

// Stands for the id of a plan where the readings were taken by none.
inline constexpr std::string_view kNoPlan = "000000";

// Which plan the steps of a sheet are of.
struct PlanReference {
  std::string id;
  std::string stage;  // empty: all parts are there
  Depth depth = Depth::Full;
  Span at;
  Aim aim = Aim::Usual;
  bool lift = false;  // it takes leads off
  std::string after;  // a place, as written; empty: no repair
};

struct Sheet {
  std::string harness_file;         // as written
  std::vector<ChosenValue> values;  // that the netlist is to be read with
  Unit unit;
  std::optional<PlanReference> plan;
  std::optional<Meter> meter;
  std::optional<double> temperature;  // degrees C
  std::vector<Entry> entries;
  std::vector<Heard> heard;
};

}  // namespace lugwise
