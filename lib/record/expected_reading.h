// A reading between two points: what the meter in use should show there, how to narrow that, and how what was read
// compares with it.
//
//   Observation seen = observation_between(harness, tip, sleeve, Setting(harness), {}, {});
//   const ExpectedReading reading = expected_reading(harness, seen, {}, conditions_for(netlist));
//   reading.expected.ohms.nominal; reading.shows.high;   // ohms
#pragma once

#include <optional>
#include <string>

#include "diagnosis/diagnosis.h"
#include "expectation/expectation.h"
#include "expectation/narrowing.h"
#include "harness/harness.h"
#include "intake/judge.h"
#include "meter/meter.h"
#include "record/conditions.h"
#include "sheet/observation.h"

namespace lugwise {

struct ExpectedReading {
  Observation taken;                 // the points, the setting and what is lifted, with nothing read
  std::optional<std::size_t> stage;  // index into Harness::stages()
  Expected expected;
  Range range;   // the one to take
  Window shows;  // there

  // The part to measure alone, and what the display would then show.
  struct Measure {
    Narrowing narrowing;
    Window shows;
  };
  std::optional<Measure> measure;

  // What somebody read there.
  struct Reads {
    Observation observation;
    Comparison comparison;
    std::string impossible;  // why the meter could not have shown it, or empty
    bool agrees() const { return comparison.agrees && impossible.empty(); }
  };
  std::optional<Reads> reads;

  std::optional<CapacitanceReading>
      capacitance;  // where they are a capacitor's ends, and nothing else joins them
};

// What a sound harness shows where `seen` has the probes, on its range or else on the one to take. Both points must be there,
// see why_absent(). Throws NetworkTooDense.
ExpectedReading expected_reading(const Harness& harness, const Observation& seen,
                                 std::optional<std::size_t> stage, const Conditions& conditions);

// Why what was typed can't be held against the reading.
enum class Unfit {
  NoReading,       // the meter shows no such thing at all; see JudgedReading::wrong
  NotOfCapacitor,  // farads, and the points are not the two ends of a capacitor
  NoCapacitance,   // farads, and the meter measures none
  NotAlone,        // farads, and something else lies between the two ends
};

struct Held {
  JudgedReading read;
  std::optional<Unfit> unfit;  // then the reading is as it was
};

// Holds what a display showed against the reading, by itself: fills in its `reads`, and has it on the range it was on from then
// on.
Held hold_against(const Harness& harness, const std::string& shown, const Conditions& conditions,
                  ExpectedReading& reading);

}  // namespace lugwise
