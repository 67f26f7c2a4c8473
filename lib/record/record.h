// The record of a session: what was done, in order, kept as a readings file.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "harness/harness.h"
#include "meter/meter.h"
#include "sheet/batch_head.h"
#include "sheet/observation.h"
#include "sheet/sheet.h"

namespace lugwise {

// One thing that was done; `note` and `aside` as in an Entry.
struct Deed {
  EntryKind kind = EntryKind::Reading;
  Observation seen;               // Reading; Skipped: what it would have been; Tips: its text and value
  std::vector<PointId> repaired;  // Repaired: where
  std::string note;
  Aside aside;

  bool weighed() const { return kind == EntryKind::Reading && !aside; }
};

struct Record {
  std::string harness_file;         // as seen from the record's folder
  std::vector<ChosenValue> values;  // that the netlist is read with
  Unit unit;
  PlanReference plan;
  std::optional<Meter> meter;         // none: nobody named one
  std::optional<double> temperature;  // degrees C
  std::vector<Deed> deeds;
  std::vector<Heard> heard;
};

// The whole text of the readings file, which `diagnose` and `guide --resume` read.
std::string as_readings_file(const Harness& harness, const Record& record);

// The whole text of a batch's head file; `rule` is the decision rule in words, a note for whoever opens it.
std::string as_batch_file(const BatchHead& head, std::string_view rule);

}  // namespace lugwise
