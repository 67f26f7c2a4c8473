// What all units of one batch have in common, as its head file says.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "meter/meter.h"
#include "sheet/sheet.h"
#include "sheet/unit.h"

namespace lugwise {

struct BatchHead {
  std::string harness_file;         // as seen from the batch's folder
  std::string harness_id;           // the check sum of the netlist it was begun with
  std::vector<ChosenValue> values;  // that it is read with
  PlanReference plan;               // that every unit goes through
  std::optional<Meter> meter;
  std::optional<double> temperature;  // degrees C
  Unit unit;                          // by whom, with which meter: unless a unit's own record says otherwise
};

}  // namespace lugwise
