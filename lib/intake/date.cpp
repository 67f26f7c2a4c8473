#include "intake/date.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>

namespace lugwise {
namespace {

// The number of exactly so many digits at the front, which it takes away.
std::optional<int> take_digits(std::string_view& text, std::size_t digits) {
  if (text.size() < digits) return std::nullopt;
  int number = 0;
  for (std::size_t i = 0; i < digits; ++i) {
    if (text[i] < '0' || text[i] > '9') return std::nullopt;
    number = number * 10 + (text[i] - '0');
  }
  text.remove_prefix(digits);
  return number;
}

bool take(std::string_view& text, char letter) {
  if (text.empty() || text.front() != letter) return false;
  text.remove_prefix(1);
  return true;
}

// As in the Gregorian calendar.
bool is_leap(int year) { return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0; }

int days_of(int year, int month) {
  constexpr std::array<int, 12> kDays{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  return kDays[static_cast<std::size_t>(month - 1)] + (month == 2 && is_leap(year) ? 1 : 0);
}

// From the first of January 1970 to that of a year from 0 on.
std::int64_t days_until(int year) {
  const auto leaps_before = [](int each) { return (each + 3) / 4 - (each + 99) / 100 + (each + 399) / 400; };
  return 365LL * (year - 1970) + leaps_before(year) - leaps_before(1970);
}

int day_of_year(int year, int month, int day) {
  for (int each = 1; each < month; ++each) day += days_of(year, each);
  return day - 1;
}

// In days since 1970.
std::optional<std::int64_t> take_day(std::string_view& text) {
  const auto year = take_digits(text, 4);
  if (!year || !take(text, '-')) return std::nullopt;
  const auto month = take_digits(text, 2);
  if (!month || *month < 1 || *month > 12 || !take(text, '-')) return std::nullopt;
  const auto day = take_digits(text, 2);
  if (!day) return std::nullopt;
  if (*day < 1 || *day > days_of(*year, *month)) return std::nullopt;
  return days_until(*year) + day_of_year(*year, *month, *day);
}

// "14:05", in minutes.
std::optional<int> take_clock(std::string_view& text) {
  const auto hour = take_digits(text, 2);
  if (!hour || *hour > 23 || !take(text, ':')) return std::nullopt;
  const auto minute = take_digits(text, 2);
  if (!minute || *minute > 59) return std::nullopt;
  return *hour * 60 + *minute;
}

}  // namespace

bool is_day(std::string_view text) { return take_day(text) && text.empty(); }

std::optional<std::int64_t> instant_of(std::string_view text) {
  const auto days = take_day(text);
  if (!days) return std::nullopt;
  if (text.empty()) return *days * 86400;
  if (!take(text, 'T')) return std::nullopt;
  const auto clock = take_clock(text);
  if (!clock) return std::nullopt;
  int second = 0;
  if (take(text, ':')) {
    const auto found = take_digits(text, 2);
    if (!found || *found > 60) return std::nullopt;
    second = *found;
  }
  // East of Greenwich the clocks are ahead.
  int ahead = 0;
  if (!take(text, 'Z')) {
    const bool west = !text.empty() && text.front() == '-';
    if (!take(text, west ? '-' : '+')) return std::nullopt;
    const auto zone = take_clock(text);
    if (!zone) return std::nullopt;
    ahead = west ? -*zone : *zone;
  }
  if (!text.empty()) return std::nullopt;
  return *days * 86400 + (*clock - ahead) * 60 + second;
}

bool is_date(std::string_view text) { return instant_of(text).has_value(); }

}  // namespace lugwise
