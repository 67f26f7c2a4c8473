#include "report/inside/judged.h"

#include <fmt/format.h>

#include "report/inside/shown.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

// From here on a reading that is too high is told in times and not in percent, and from there on not told exactly.
constexpr double kTimes = 2;
constexpr double kManyTimes = 100;

// `off` is a share of the nearer end of the window, below 0 for what is too low.
std::string how_far(double off) {
  if (off < 0) return percent(-off) + " below the lowest";
  if (off > kManyTimes) return fmt::format("over {:.0f} times the highest", kManyTimes);
  if (off > kTimes) return fmt::format("{:.0f} times the highest", off + 1);
  return percent(off) + " above the highest";
}

}  // namespace

Shown of_sound(const Meter& meter, const Comparison& comparison) {
  if (comparison.capacitance) return shown(meter, *comparison.capacitance);
  return shown(meter, comparison.range, comparison.expected, comparison.shows);
}

std::string judged(const Meter& meter, const Observation& observation, const Comparison& comparison) {
  std::string text = "agrees";
  const bool by_its_ends =
      observation.action == Action::Sweep && observation.shows == Shows::Smooth && !comparison.agrees;
  if (!comparison.agrees && !by_its_ends) {
    text = "WRONG";
    if (observation.shows == Shows::Value && comparison.off != 0 && !of_sound(meter, comparison).over) {
      text += ", " + how_far(comparison.off);
    }
  }
  if (comparison.at_20 && *comparison.at_20 != observation.value) {
    text += "; at 20 °C " + value_on(meter, comparison.range, *comparison.at_20);
  }
  if (comparison.doubtful) text += "; doubtful, take it again";
  return text;
}

}  // namespace inside
}  // namespace lugwise::report
