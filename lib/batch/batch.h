// A batch of instruments of one kind: which pass, by which rule, and which should be looked at again.
//
// All of it is computed from the units' records; nothing is kept beside them.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "batch/dispersion.h"
#include "diagnosis/diagnosis.h"
#include "fault/fault.h"
#include "intake/netlist.h"
#include "plan/plan.h"
#include "record/conditions.h"
#include "record/job.h"
#include "sheet/batch_head.h"

namespace lugwise {

// Pass: the verdict is `sound` and the readings show all that the plan shows. Fail: the verdict is a fault. Undecided: all
// else; the three answers of ILAC-G8:09/2019.
enum class Decision { Pass, Fail, Undecided };
std::string_view decision_name(Decision decision);  // "pass", "fail", "undecided"
std::string_view decision_rule();                   // the same in a sentence

// What the head says of the conditions where a unit's record says nothing.
Netlist with_head(Netlist netlist, const BatchHead& head);

// The plan every unit goes through, as netlist and head give it now. Its id is another than the head's where one of them has
// changed since the batch was begun. Throws NetworkTooDense.
Plan plan_of(const Netlist& netlist, const BatchHead& head);

// What a unit's record says of it: what it says itself, else what is named now, else the head. Its serial is this one.
Unit unit_of(const BatchHead& head, const std::string& serial, const Unit& named, Unit unit);

// One record of a unit.
struct UnitRecord {
  std::string serial;
  std::string file;  // the record's name in the folder
  std::string plan;  // the id of another plan that it says it was taken by; empty: the batch's, or none
  bool counts = true;
  Unit unit;
  Conditions conditions;
  std::vector<Observation> observations;
  std::vector<PointId> repaired;  // where it was mended between its readings
  std::vector<Diagnosis> before;  // what was found before each repair
  Diagnosis diagnosis;
  std::size_t shown = 0;        // of the faults that the plan shows, how many these readings rule out
  std::vector<Fault> unproven;  // the others
  Decision decision = Decision::Undecided;

  bool again = false;  // it counts, and an earlier record of the same unit does not
};

// Whether the meter's calibration was due before the day it was taken; not where one of them is not stated.
bool overdue(const Unit& unit);

// What a unit's readings come to by the plan. Throws NetworkTooDense.
UnitRecord assess(const Netlist& netlist, const Plan& plan, const Job& job, std::string serial,
                  std::string file);

// The step of the plan at whose place a reading was taken, as an index into Plan::steps; none: it is of no step.
std::optional<std::size_t> step_at(const Harness& harness, const Plan& plan, const Observation& reading);

// Whether what a sound harness shows reaches ten times further above what is expected than below it, as of a wiper at its stop: 0.8
// (0.1 to 51). Some good units then lie far above the others, and logarithms are compared. The ten is a judgement.
bool is_skewed(const Window& sound);

// One step of the plan over all units that count, or one end of a sweep; a unit that didn't take it is left out.
struct StepSeries {
  struct Point {
    std::size_t unit = 0;  // index into Batch::units
    bool open = false;     // OL: then it has no value
    double value = 0;      // ohms, or farads of a capacitance step, as displayed
    double compared =
        0;  // the same; with `at_20` what it would be at 20 degrees C, with `logarithm` that of it
    bool agrees = true;
    double z = 0;  // modified z among those that passed; 0 where there are too few
  };
  std::size_t step = 0;            // index into Plan::steps
  std::optional<std::size_t> end;  // of a sweep: 0 where it begins, 1 at the other stop
  std::vector<Point> points;
  bool at_20 =
      false;  // the units were measured at several temperatures, and all of this is read through a coil
  bool logarithm = false;        // what a sound harness shows is skewed
  double digit = 0;              // one of the display's last digit, as it is compared
  std::optional<double> middle;  // median of the values of units that passed
  std::optional<double> cutoff;  // of z; none: too few passed
  std::optional<Drift> drift;    // of what is compared of those that passed, in the order they were taken
};

// A unit that passed and should be looked at again all the same.
struct SecondLook {
  enum class Why { FarOff, Outside, Jump };
  std::size_t unit = 0;
  std::size_t series = 0;  // index into Batch::steps
  Why why = Why::FarOff;
  double z = 0;  // FarOff
};

// The same fault at more than one unit that failed, or did before it was mended: something in the making. Where readings can't tell it apart from others at all of
// these units, they are named too.
struct SameFault {
  Fault fault;  // the likeliest of them
  std::vector<Fault> others;
  std::vector<std::size_t> units;
};

struct Batch {
  BatchHead head;
  Plan plan;
  std::vector<UnitRecord>
      units;  // in the order they were taken, by the instant and not the clock on the wall; those that don't count too
  std::vector<StepSeries> steps;
  std::vector<SecondLook> looks;
  std::vector<SameFault> same;

  std::size_t counted() const;
  std::size_t how_many(Decision decision) const;

  // At which temperatures, and with which meters by name and kind, the units that count were measured: each once, the first
  // first.
  std::vector<std::optional<double>> temperatures() const;
  std::size_t meters() const;
};

// `units` in any order; of one serial the record that counts is said by each.
Batch compare_units(const Harness& harness, BatchHead head, Plan plan, std::vector<UnitRecord> units);

}  // namespace lugwise
