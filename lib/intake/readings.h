// The readings file: what a technician wrote down about one harness, read and checked against its netlist.
//
// Every problem of the file is found in one go. Not asked here, because it takes the plan: whether a `step` exists and
// whether its reading fits the step's range (reading_problem in intake/value.h answers that).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "intake/netlist.h"
#include "sheet/sheet.h"
#include "source/diagnostic.h"

namespace lugwise {

// Nothing where there are errors. Sheet::meter and Sheet::temperature hold only what the readings file itself says; a
// reading without range is judged by `meter` where one is named, else by that meter, else by the netlist's, else by the
// assumed one.
std::optional<Sheet> read_sheet(std::string_view text, const Netlist& netlist, Diagnostics& diagnostics,
                                const Meter* meter = nullptr);

// The netlist a readings file names; empty where it names none, or can't be read at all.
std::string harness_named_in(std::string_view text);

// The values that its netlist is to be read with; none where it says none, or is no readings file. What is wrong with them
// read_sheet() says.
std::vector<ChosenValue> values_chosen_in(std::string_view text, const std::string& file);

}  // namespace lugwise
