#include "intake/date.h"

#include <array>
#include <cstddef>
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
int days_of(int year, int month) {
  constexpr std::array<int, 12> kDays{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
  return kDays[static_cast<std::size_t>(month - 1)] + (month == 2 && leap ? 1 : 0);
}

bool take_day(std::string_view& text) {
  const auto year = take_digits(text, 4);
  if (!year || !take(text, '-')) return false;
  const auto month = take_digits(text, 2);
  if (!month || *month < 1 || *month > 12 || !take(text, '-')) return false;
  const auto day = take_digits(text, 2);
  return day && *day >= 1 && *day <= days_of(*year, *month);
}

// "14:05"
bool take_clock(std::string_view& text) {
  const auto hour = take_digits(text, 2);
  if (!hour || *hour > 23 || !take(text, ':')) return false;
  const auto minute = take_digits(text, 2);
  return minute && *minute < 60;
}

}  // namespace

bool is_day(std::string_view text) { return take_day(text) && text.empty(); }

bool is_date(std::string_view text) {
  if (!take_day(text)) return false;
  if (text.empty()) return true;
  if (!take(text, 'T') || !take_clock(text)) return false;
  if (take(text, ':')) {
    const auto second = take_digits(text, 2);
    if (!second || *second > 60) return false;
  }
  if (take(text, 'Z')) return text.empty();
  return (take(text, '+') || take(text, '-')) && take_clock(text) && text.empty();
}

}  // namespace lugwise
