// Days and times as ISO 8601 writes them in full: "2026-11-28", "2026-11-28T14:05+01:00", "2026-11-28T14:05:09Z".
#pragma once

#include <string_view>

namespace lugwise {

// A day that the calendar has.
bool is_day(std::string_view text);

// A day alone, or with hours, minutes, seconds if given, and its zone.
bool is_date(std::string_view text);

}  // namespace lugwise
