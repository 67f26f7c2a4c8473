// Days and times as ISO 8601 writes them in full: "2026-11-28", "2026-11-28T14:05+01:00", "2026-11-28T14:05:09Z".
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace lugwise {

// A day that the calendar has.
bool is_day(std::string_view text);

// A day alone, or with hours, minutes, seconds if given, and its zone.
bool is_date(std::string_view text);

// When that was: seconds since 1970 began, in UTC, by the Gregorian calendar. A day alone, whose zone nobody knows, begins as in UTC. Nothing
// where it is no date.
std::optional<std::int64_t> instant_of(std::string_view date);

}  // namespace lugwise
