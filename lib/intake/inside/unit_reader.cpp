#include "intake/inside/unit_reader.h"

#include <fmt/format.h>

#include <string>

#include "intake/date.h"
#include "intake/inside/fields.h"

namespace lugwise::intake::inside {

Unit read_unit(const Node& node, Span at, Diagnostics& diagnostics) {
  Unit unit;
  if (!as_map(node, "'unit'", diagnostics)) return unit;
  const Fields fields(node, "'unit'", at, {"serial", "date", "by", "meter", "calibration-due"}, diagnostics);
  const auto take = [&](const char* key, std::string& text, bool (*right)(std::string_view),
                        const char* how) {
    const Node* const value = fields.find(key);
    const std::string* const found = value ? as_text(*value, fmt::format("'{}'", key), diagnostics) : nullptr;
    if (!found) return;
    if (right && !right(*found)) {
      diagnostics.error("R411", value->at, fmt::format("not a date: '{}'", found->substr(0, 60))).note(how);
      return;
    }
    text = *found;
  };
  take("serial", unit.serial, nullptr, "");
  take("date", unit.date, is_date, "write it with its zone, as '2026-11-28T14:05+01:00', or a day alone");
  take("by", unit.by, nullptr, "");
  take("meter", unit.meter, nullptr, "");
  take("calibration-due", unit.calibration_due, is_day, "write a day, as '2026-11-28'");
  return unit;
}

}  // namespace lugwise::intake::inside
