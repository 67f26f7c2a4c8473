#include "meter/meter.h"

#include <algorithm>
#include <cmath>
#include <span>
#include <stdexcept>

#include <fmt/format.h>

namespace lugwise {
namespace {

// Tops and steps are quotients like 200 / 2000; what separates them from the number meant is far below this.
constexpr double kSlack = 1e-9;

// The largest power of ten not above a number.
int decade(double number) { return static_cast<int>(std::floor(std::log10(number) + kSlack)); }

// How often 10^power goes into a number. Powers of ten below one have no exact double, those above have:
// divide by these, multiply by those.
double in_units_of(double number, int power) {
  return power < 0 ? number * std::pow(10, -power) : number / std::pow(10, power);
}

// The place of the last digit on a range, as a power of ten.
int last_place(const Meter& meter, const Range& range) { return decade(meter.step(range)); }

// The display without its point, unit and limit.
double rounded(const Meter& meter, const Range& range, Ohms shown) {
  return std::round(in_units_of(std::max(shown, 0.0), last_place(meter, range)));
}

struct Unit {
  int power;
  const char* letter;
};

Unit unit_of(Ohms ohms) {
  if (ohms < 1e3) return {0, ""};
  if (ohms < 1e6) return {3, "k"};
  return {6, "M"};
}

Unit unit_of_farads(double farads) {
  if (farads < 1e-9 * (1 - kSlack)) return {-12, "p"};
  if (farads < 1e-6 * (1 - kSlack)) return {-9, "n"};
  if (farads < 1e-3 * (1 - kSlack)) return {-6, "u"};
  return {-3, "m"};
}

const Range* find(const std::vector<Range>& ranges, double top) {
  for (const Range& range : ranges) {
    if (std::abs(range.top - top) <= kSlack * range.top) return &range;
  }
  return nullptr;
}

std::string display_in(const Unit& unit, const Meter& meter, const Range& range, double shown) {
  if (over_range(meter, range, shown)) return "OL";
  const int place = last_place(meter, range);
  const double value = in_units_of(rounded(meter, range, shown), unit.power - place);
  return fmt::format("{:.{}f}{}", value, std::max(0, unit.power - place), unit.letter);
}

// What surely stands on one range: ohms that may come out within what the display of the others may be.
struct Scale {
  const Meter& meter;
  const Range& range;
  Ohms least_added, most_added;  // leads and cable

  Ohms step() const { return meter.step(range); }

  // A hair below what the largest number on the display stands for, however its last digit rounds.
  Ohms limit() const { return range.top - 2 * step(); }

  Ohms highest(Ohms ohms) const { return (ohms + most_added) * (1 + range.share) + range.digits * step(); }
  Ohms lowest(Ohms ohms) const { return (ohms + least_added) * (1 - range.share) - range.digits * step(); }

  // Up to that many ohms this range may be the one; from the second on it may be above it.
  Ohms last() const { return (range.top + range.digits * step()) / (1 - range.share) - least_added; }
  Ohms over() const { return (limit() - range.digits * step()) / (1 + range.share) - most_added; }

  // From how many ohms on the display, rounded, stands above `shown`; and up to how many below.
  Ohms above(Ohms shown) const {
    return (shown + (range.digits + 1) * step()) / (1 - range.share) - least_added;
  }
  Ohms below(Ohms shown) const {
    return (shown - (range.digits + 1) * step()) / (1 + range.share) - most_added;
  }
};

// A manual meter has the one range it is set to; an automatic one each in turn, from where the one below may be too low to
// where it is surely too low itself.
Margins margins_among(std::span<const Scale> scales, const Band& sound) {
  const Scale& top = scales.back();
  const auto first = [&](std::size_t r) { return r == 0 ? 0.0 : scales[r - 1].over(); };
  const auto last = [&](std::size_t r) { return r + 1 == scales.size() ? HUGE_VAL : scales[r].last(); };
  // What may stand there of a sound reading.
  Ohms low = top.limit();
  Ohms high = 0;
  for (std::size_t r = 0; r < scales.size(); ++r) {
    if (last(r) < sound.low || first(r) > sound.high) continue;
    low = std::min(low, scales[r].lowest(sound.low));
    high = std::max(high, scales[r].highest(sound.high));
  }
  Margins margins;
  margins.open = sound.high < top.over();
  margins.above = margins.open ? 0 : HUGE_VAL;
  margins.below = top.over();
  // What is surely above the top range is told too.
  const auto from = [&](std::size_t r) { return std::min(scales[r].above(high), top.last()); };
  for (std::size_t r = 0; r < scales.size(); ++r) {
    if (from(r) > first(r)) margins.above = std::max(margins.above, std::min(from(r), last(r)));
    if (scales[r].below(low) < last(r))
      margins.below =
          std::min(margins.below, r == 0 ? scales[r].below(low) : std::max(scales[r].below(low), first(r)));
  }
  return margins;
}

}  // namespace

const Range* Meter::find_range(Ohms top) const { return find(ranges, top); }

const Range* Meter::find_capacitance(Farads top) const { return find(capacitance, top); }

Meter assumed_meter() {
  Meter meter;
  meter.counts = 2000;
  meter.ranges = usual_ranges(meter.counts, 0.008, 2);
  meter.leads_low = meter.leads_high = 0.3;
  meter.beeps_below = 40;
  meter.assumed = true;
  return meter;
}

std::vector<Range> usual_ranges(int counts, double share, double digits) {
  if (counts < 2) throw std::logic_error("a meter counts to two at least");
  const double lowest = in_units_of(counts, decade(counts) - 2);  // 200, 400, 600: the counts as hundreds
  std::vector<Range> ranges;
  for (double scale : {1e0, 1e1, 1e2, 1e3, 1e4, 1e5}) ranges.push_back({lowest * scale, share, digits});
  return ranges;
}

double error_bound(const Meter& meter, const Range& range, double measured) {
  return range.share * measured + range.digits * meter.step(range);
}

Window window(const Meter& meter, const Range& range, const Band& ohms, int plugs) {
  const Ohms cable = plugs * meter.cable / 2;
  const Ohms low = ohms.low + meter.leads_low + cable;
  const Ohms high = ohms.high + meter.leads_high + cable;
  const Ohms middle = ohms.nominal + (meter.leads_low + meter.leads_high) / 2 + cable;
  return {std::max(0.0, low - error_bound(meter, range, low)), middle,
          high + error_bound(meter, range, high)};
}

const Range& range_for(const Meter& meter, Ohms high, int plugs) {
  if (meter.ranges.empty()) throw std::logic_error("a meter without a range");
  for (const Range& range : meter.ranges) {
    if (!over_range(meter, range, window(meter, range, {high, high, high}, plugs).high)) return range;
  }
  return meter.ranges.back();
}

bool over_range(const Meter& meter, const Range& range, double shown) {
  const double most = range.top - meter.step(range);
  // Plans ask for many thousands of pairs; only near the end does it depend on how the display rounds.
  if (shown < most - 2 * meter.step(range)) return false;
  if (shown > range.top) return true;
  const double limit = std::floor(in_units_of(most, last_place(meter, range)) * (1 + kSlack));
  return !(rounded(meter, range, shown) <= limit);
}

Margins margins(const Meter& meter, const Range& range, const Band& sound, int plugs) {
  const Ohms least = meter.leads_low + plugs * meter.cable / 2;
  const Ohms most = meter.leads_high + plugs * meter.cable / 2;
  const Scale chosen{meter, range, least, most};
  if (!meter.automatic) return margins_among({&chosen, 1}, sound);
  std::vector<Scale> scales;
  for (const Range& each : meter.ranges) scales.push_back({meter, each, least, most});
  return margins_among(scales, sound);
}

Margins margins_of_open(const Meter& meter, const Range& range, int plugs) {
  return margins(meter, range, {HUGE_VAL, HUGE_VAL, HUGE_VAL}, plugs);
}

std::string display(const Meter& meter, const Range& range, Ohms shown) {
  return display_in(unit_of(range.top), meter, range, shown);
}

std::string range_name(Ohms top) {
  const Unit unit = unit_of(top);
  return fmt::format("{:.12g}{}", in_units_of(top, unit.power), unit.letter);
}

CapacitanceReading capacitance_reading(const Meter& meter, const Range& range, const Capacitance& farads) {
  return {farads,
          range,
          {std::max(0.0, farads.low - error_bound(meter, range, farads.low)), farads.nominal,
           farads.high + error_bound(meter, range, farads.high)}};
}

CapacitanceReading capacitance_reading(const Meter& meter, const Capacitance& farads) {
  if (meter.capacitance.empty()) throw std::logic_error("a meter without a range of capacitance");
  for (const Range& range : meter.capacitance) {
    CapacitanceReading reading = capacitance_reading(meter, range, farads);
    if (!over_range(meter, range, reading.shows.high)) return reading;
  }
  return capacitance_reading(meter, meter.capacitance.back(), farads);
}

bool tells_open(const Meter& meter, const CapacitanceReading& sound) {
  return sound.shows.low > (2 * sound.range.digits + 3) * meter.step(sound.range);
}

std::string capacitance_display(const Meter& meter, const Range& range, double shown) {
  return display_in(unit_of_farads(range.top), meter, range, shown);
}

std::string capacitance_range_name(double top) {
  const Unit unit = unit_of_farads(top);
  return fmt::format("{:.12g}{}", in_units_of(top, unit.power), unit.letter);
}

std::string capacitance_in_words(double farads) {
  const Unit unit = unit_of_farads(farads);
  return fmt::format("{:.4g} {}F", in_units_of(farads, unit.power), unit.power == -6 ? "µ" : unit.letter);
}

std::string in_words(Ohms ohms) {
  if (!std::isfinite(ohms)) return "open";
  const double size = std::abs(ohms);
  double value = 0;
  if (size > 0) {
    const int first = decade(size);
    const bool begins_with_one = in_units_of(size, first) < 2;
    const int place = std::max(-3, first - (begins_with_one ? 3 : 2));
    value = std::round(in_units_of(size, place));
    value = place < 0 ? value / std::pow(10, -place) : value * std::pow(10, place);
  }
  const Unit unit = unit_of(value);
  return fmt::format("{}{:.12g} {}Ω", ohms < 0 && value > 0 ? "-" : "", in_units_of(value, unit.power),
                     unit.letter);
}

}  // namespace lugwise
