// What a meter can and can't tell apart: asked of displays drawn within what it promises.
#include <cmath>
#include <optional>
#include <random>
#include <vector>

#include "meter/meter.h"
#include "support/catch.h"

using namespace lugwise;
using Catch::Matchers::WithinRel;

namespace {

// One display, errors at their ends or between; none is OL.
std::optional<double> shown(const Meter& meter, const Range& set, Ohms ohms, std::mt19937& random) {
  if (std::isinf(ohms)) return std::nullopt;
  std::uniform_real_distribution<double> even(-1, 1);
  const auto error = [&] { return even(random) < 0 ? std::copysign(1, even(random)) : even(random); };
  const double share = error();
  const double digits = error();
  const double truth = ohms + meter.leads_low + (error() + 1) / 2 * (meter.leads_high - meter.leads_low);
  for (const Range& range : meter.ranges) {
    if (!meter.automatic && range.top != set.top) continue;
    const double here =
        std::max(0.0, truth * (1 + share * range.share) + digits * range.digits * meter.step(range));
    if (!over_range(meter, range, here)) return std::round(here / meter.step(range)) * meter.step(range);
  }
  return std::nullopt;
}

Meter meter_with(int counts, const std::vector<double>& tops, bool automatic) {
  Meter meter;
  meter.counts = counts;
  for (double top : tops) meter.ranges.push_back({top, 0.01, 3});
  meter.automatic = automatic;
  return meter;
}

}  // namespace

TEST_CASE("no display of what lies beyond a meter's margins is one of a sound reading", "[meter]") {
  const std::vector<Meter> meters{
      assumed_meter(),
      meter_with(2000, {20e3}, false),
      meter_with(2000, {200, 2e3}, false),
      meter_with(2000, {200, 2e3, 20e3, 200e3}, true),
      meter_with(6000, {600, 6e3, 60e3, 600e3, 6e6, 60e6}, true),
      meter_with(20000, {20e3, 200e3}, true),
  };
  std::mt19937 random(5);
  std::uniform_real_distribution<double> even(0, 1);
  int told = 0;
  for (int round = 0; round < 3000; ++round) {
    const Meter& meter = meters[static_cast<std::size_t>(round) % meters.size()];
    const Ohms low = std::pow(10, -2 + 9 * even(random));
    const Ohms high = low * (1 + even(random));
    const Range& range = range_for(meter, high);
    const Margins margins = lugwise::margins(meter, range, {low, high, high});
    std::vector<std::optional<double>> sound;
    for (int draw = 0; draw < 60; ++draw)
      sound.push_back(shown(meter, range,
                            draw % 3 == 0   ? low
                            : draw % 3 == 1 ? high
                                            : low + even(random) * (high - low),
                            random));
    const auto is_sound = [&](const std::optional<double>& one) {
      for (const auto& other : sound) {
        if (one.has_value() == other.has_value() && (!one || std::abs(*one - *other) < 1e-9 * *one))
          return true;
      }
      return false;
    };
    INFO(round << ": " << low << " to " << high << ", margins " << margins.below << ", " << margins.above);
    if (margins.open) CHECK_FALSE(is_sound(std::nullopt));
    for (int draw = 0; draw < 20; ++draw) {
      const double farther = draw == 0 ? 1 + 1e-9 : std::pow(10, 3 * even(random) * even(random));
      if (std::isfinite(margins.above) && margins.above > 0) {
        CHECK_FALSE(is_sound(shown(meter, range, margins.above * farther, random)));
        ++told;
      }
      if (margins.below > 0) {
        CHECK_FALSE(is_sound(shown(meter, range, margins.below / farther, random)));
        ++told;
      }
    }
  }
  CHECK(told > 50'000);
}

TEST_CASE("above its top range a meter tells nothing but what falls back into it", "[meter]") {
  // 20k in 2000 counts: 10 ohms a digit. 1 % + 3 digits: what is below 19.98k less 40 ohms, over 1.01, is a number.
  const Meter meter = meter_with(2000, {20e3}, false);
  for (const Margins& margins : {lugwise::margins(meter, meter.ranges[0], {50e3, 60e3, 70e3}),
                                 margins_of_open(meter, meter.ranges[0])}) {
    CHECK_FALSE(margins.open);
    CHECK(std::isinf(margins.above));
    CHECK_THAT(margins.below, WithinRel((19980 - 40) / 1.01 - 0.5, 1e-9));
  }
  // And below a digit or two nothing: 0 to 5 ohms show 0.00 to 0.04 there, as up to 75 may: (5.5 * 1.01 + 30 + 40) / 0.99.
  const Margins nought = margins(meter, meter.ranges[0], {0, 2, 5});
  CHECK(nought.open);
  CHECK(nought.below < 0);
  CHECK_THAT(nought.above, WithinRel((5.5 * 1.01 + 30 + 40) / 0.99, 1e-9));
}

TEST_CASE("an automatic meter's coarser ranges put its margins farther out", "[meter]") {
  // 3.9k is 3.939k + 3 at most on 4k (step 1): a number above it is one of 40k's (step 10), which errs by 40 ohms.
  const Meter manual = meter_with(4000, {4e3, 40e3}, false);
  Meter automatic = manual;
  automatic.automatic = true;
  const Band sound{3.5e3, 3.9e3, 3.9e3};
  const Range& range = range_for(manual, sound.high);
  CHECK(range.top == 4e3);
  CHECK(margins(automatic, range, sound).above > margins(manual, range, sound).above + 20);
  CHECK_THAT(margins(automatic, range, sound).below, WithinRel(margins(manual, range, sound).below, 1e-9));
}
