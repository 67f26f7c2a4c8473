#include "intake/fault_size.h"

#include <fmt/format.h>

namespace lugwise {
namespace {

constexpr double kMostTimes = 1000;

Parsed<double> parse_added_ohms(std::string_view typed) {
  Parsed<Ohms> ohms = parse_ohms(typed);
  if (!ohms.value || *ohms.value > 0) return ohms;
  return {std::nullopt, fmt::format("write more than 0 ohms, not '{}'", typed), {}};
}

Parsed<double> parse_times(std::string_view typed) {
  const Parsed<double> share = parse_share(typed);
  const Parsed<double> times = share.value ? share : parse_number(typed);
  if (times.value && *times.value > 0 && *times.value <= kMostTimes) return times;
  return {
      std::nullopt,
      fmt::format("of a wrong value write how many times the right one it is, such as 0.5 or 50%, not '{}'",
                  typed),
      {}};
}

}  // namespace

Parsed<double> parse_fault_size(const Harness& harness, const Fault& fault, std::string_view typed) {
  if (fault.mode == Mode::High && !is_worn_track(fault)) return parse_added_ohms(typed);
  if (fault.mode == Mode::Value) return parse_times(typed);
  return {std::nullopt, fmt::format("'{}' has none", in_words(harness, fault)), {}};
}

}  // namespace lugwise
