#include "simulation/meter_in_use.h"

#include <algorithm>
#include <cmath>

namespace lugwise {

MeterInUse::MeterInUse(const Meter& meter, Dice& dice) : meter_(meter) {
  leads_ = dice.between(meter.leads_low, meter.leads_high);
  for (const Range& range : meter.ranges) gains_.push_back(dice.between(-range.share, range.share));
  for (const Range& range : meter.capacitance)
    capacitance_gains_.push_back(dice.between(-range.share, range.share));
}

void MeterInUse::show(std::optional<Ohms> ohms, int plugs, const Range& range, Dice& dice, Observation& seen,
                      double scale) const {
  const Ohms truth = ohms.value_or(HUGE_VAL) + leads_ + meter_.cable / 2 * plugs;
  const auto shown_on = [&](std::size_t r) {
    const Range& on = meter_.ranges[r];
    return truth * (1 + gains_[r]) + dice.between(-on.digits, on.digits) * meter_.step(on);
  };
  std::size_t r = 0;
  double shown = 0;
  if (meter_.automatic) {
    for (; r < meter_.ranges.size(); ++r) {
      shown = std::max(0.0, shown_on(r));
      if (!over_range(meter_, meter_.ranges[r], shown)) break;
    }
    r = std::min(r, meter_.ranges.size() - 1);
    seen.range.reset();
  } else {
    while (r + 1 < meter_.ranges.size() && meter_.ranges[r].top != range.top) ++r;
    shown = std::max(0.0, shown_on(r));
    seen.range = meter_.ranges[r];
  }
  const Range& on = meter_.ranges[r];
  const double unit = meter_.step(on);
  if (over_range(meter_, on, shown)) {
    seen.shows = Shows::OverRange;
    seen.text = "OL";
    return;
  }
  seen.shows = Shows::Value;
  seen.value = std::round(shown / unit) * unit * scale;
  seen.resolution = unit * scale;
  seen.text = display(meter_, on, shown);
}

void MeterInUse::show_farads(std::optional<double> farads, const Range& range, Dice& dice,
                             Observation& seen) const {
  std::size_t r = 0;
  while (r + 1 < meter_.capacitance.size() && meter_.capacitance[r].top != range.top) ++r;
  const Range& on = meter_.capacitance[r];
  const double unit = meter_.step(on);
  const double error = dice.between(-on.digits, on.digits) * unit;
  seen.range = on;
  const double shown = farads ? std::max(0.0, *farads * (1 + capacitance_gains_[r]) + error) : HUGE_VAL;
  if (over_range(meter_, on, shown)) {
    seen.shows = Shows::OverRange;
    seen.text = "OL";
    return;
  }
  seen.shows = Shows::Value;
  seen.value = std::round(shown / unit) * unit;
  seen.resolution = unit;
  seen.text = capacitance_display(meter_, on, shown);
}

}  // namespace lugwise
