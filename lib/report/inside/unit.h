// How one unit of a batch is said: its remark in the table, its page, its JSON.
#pragma once

#include <cstddef>
#include <string>

#include "batch/batch.h"
#include "page/document.h"
#include "report/heading.h"
#include "report/inside/json.h"

namespace lugwise::report {
inline namespace inside {

// Suspects of a unit that are named, and faults that are marked on its picture.
inline constexpr std::size_t kNamedOfUnit = 3;

// Of the faults that the plan shows, how many its readings rule out: "61 of 63".
std::string shown_of(const UnitRecord& unit);

// Why a unit is what it is, and what else is to be known of how it was taken; empty where there is nothing.
std::string remark_on(const Harness& harness, const UnitRecord& unit);

// The same where it is said elsewhere that the calibration of each unit's meter was overdue.
std::string remark_but_calibration(const Harness& harness, const UnitRecord& unit);

// Its page. It lists what ISO/IEC 17025:2017 asks of a report (7.8.2.1) and of its decision rule (7.8.6), as far as that
// applies to a bench. `svg` is its picture.
page::Section certificate_of(const Heading& heading, const Harness& harness, const Batch& batch,
                             const UnitRecord& unit, const std::string& svg);

Json json_of(const Harness& harness, const UnitRecord& unit);

}  // namespace inside
}  // namespace lugwise::report
