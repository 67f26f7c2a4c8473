// What `expect` says: what a meter should show between two points, and what the reading runs through.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "circuit/setting.h"
#include "diagnosis/diagnosis.h"
#include "expectation/expectation.h"
#include "expectation/narrowing.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "page/text.h"
#include "report/heading.h"

namespace lugwise {

// A reading that was asked for: between which points, with what set and taken off, and what it should be.
struct ExpectedReading {
  PointId a, b;
  Setting setting;
  std::optional<std::size_t> stage;  // index into Harness::stages()
  std::vector<PointId> lifted;
  Expected expected;
  Range range;   // the one to take
  Window shows;  // what a sound harness may show there, ohms

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

// What the meter should show there, through what the reading runs, and whether what somebody read agrees. `columns` is the width of
// the text, 24 at least. All throw std::logic_error where the heading has no meter.
std::string as_text(const Heading& heading, const Harness& harness, const ExpectedReading& reading,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness, const ExpectedReading& reading);
std::string as_json(const Heading& heading, const Harness& harness, const ExpectedReading& reading);

}  // namespace lugwise
