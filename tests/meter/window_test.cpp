// What a display may show of a resistance, and which range holds it.
#include <algorithm>
#include <cmath>
#include <random>
#include <stdexcept>
#include <utility>

#include "meter/meter.h"
#include "support/catch.h"

using namespace lugwise;
using Catch::Matchers::WithinAbs;

namespace {

auto about(double value) { return WithinAbs(value, 1e-12 * std::max(1000.0, std::abs(value))); }

constexpr Band exactly(Ohms ohms) { return {ohms, ohms, ohms}; }

// The middle of three published sheets of 4000 counts, read, its maker not named: 0.8 % + 5 on 400, 0.8 % + 4
// up to 4M, 1.2 % + 10 on 40M. Leads zeroed.
Meter sheet_a() {
  Meter meter;
  meter.counts = 4000;
  meter.ranges = usual_ranges(4000, 0.008, 4);
  meter.ranges.front().digits = 5;
  meter.ranges.back() = {40e6, 0.012, 10};
  meter.automatic = true;
  meter.leads_low = meter.leads_high = 0;
  return meter;
}

// The coarsest of the three: 1.5 % + 8 on 400, 1.5 % + 3 up to 4M, 3 % + 5 on 40M.
Meter sheet_c() {
  Meter meter = sheet_a();
  meter.ranges = usual_ranges(4000, 0.015, 3);
  meter.ranges.front().digits = 8;
  meter.ranges.back() = {40e6, 0.03, 5};
  return meter;
}

// A bench-class meter of our own.
Meter fine_meter() {
  Meter meter;
  meter.counts = 20000;
  meter.ranges = usual_ranges(20000, 0.001, 3);
  meter.leads_low = meter.leads_high = 0;
  return meter;
}

}  // namespace

TEST_CASE("the meter taken where nobody names one", "[meter]") {
  const Meter meter = assumed_meter();
  CHECK(meter.assumed);
  CHECK_FALSE(meter.automatic);
  CHECK(meter.counts == 2000);
  CHECK(meter.leads_low == 0.3);
  CHECK(meter.leads_high == 0.3);
  CHECK(meter.beeps_below == 40);
  CHECK(meter.cable == 0);
  const Ohms tops[] = {200, 2e3, 20e3, 200e3, 2e6, 20e6};
  REQUIRE(meter.ranges.size() == std::size(tops));
  for (std::size_t i = 0; i < std::size(tops); ++i) {
    CHECK(meter.ranges[i].top == tops[i]);
    CHECK(meter.ranges[i].share == 0.008);
    CHECK(meter.ranges[i].digits == 2);
  }
}

TEST_CASE("the usual ranges follow the counts", "[meter]") {
  // 2000 and 4000 counts: published specification sheets, read. The rest: common practice, no source.
  const std::pair<int, Ohms> rows[] = {{2000, 200}, {4000, 400}, {6000, 600}, {20000, 200}, {50000, 500}};
  for (const auto& [counts, lowest] : rows) {
    const auto ranges = usual_ranges(counts, 0.01, 3);
    REQUIRE(ranges.size() == 6);
    for (std::size_t i = 0; i < ranges.size(); ++i) {
      CHECK_THAT(ranges[i].top, about(lowest * std::pow(10, i)));
      CHECK(ranges[i].share == 0.01);
      CHECK(ranges[i].digits == 3);
    }
  }
}

TEST_CASE("an error bound is the share of the reading and the digits", "[meter]") {
  // Accuracy figures: published sheet, read. The bounds are worked by hand.
  const Meter meter = sheet_a();
  CHECK_THAT(error_bound(meter, *meter.find_range(40e3), 7500),
             about(100));  // 0.8 % is 60, 4 digits of 10 are 40
  CHECK_THAT(error_bound(meter, *meter.find_range(400e3), 250e3), about(2400));  // 2000 + 4 x 100
  CHECK_THAT(error_bound(meter, *meter.find_range(400), 0.5),
             about(0.504));  // 0.004 + 5 x 0.1: the digits rule
  CHECK_THAT(error_bound(meter, *meter.find_range(4e6), 250e3), about(6000));  // 2000 + 4 x 1000
  CHECK_THAT(error_bound(meter, *meter.find_range(40e6), 1e6), about(112e3));  // 12000 + 10 x 10000

  const Window coil = window(meter, *meter.find_range(40e3), exactly(7500));
  CHECK_THAT(coil.low, about(7400));
  CHECK_THAT(coil.nominal, about(7500));
  CHECK_THAT(coil.high, about(7600));
}

TEST_CASE("a band is widened at both ends by leads, cable and accuracy", "[meter]") {
  Meter meter = assumed_meter();
  const Range& coils = *meter.find_range(20e3);
  // 6.2k, 10 %: 5580.3 - (0.008 x 5580.3 + 20) = 5515.6576; 6820.3 + (0.008 x 6820.3 + 20) = 6894.8624
  Window shown = window(meter, coils, around(6200, 0.1));
  CHECK_THAT(shown.low, about(5515.6576));
  CHECK_THAT(shown.nominal, about(6200.3));
  CHECK_THAT(shown.high, about(6894.8624));

  meter.leads_low = 0.2;
  meter.leads_high = 0.5;
  meter.cable = 0.4;
  const Range& joints = *meter.find_range(200);
  // 0 to 1 ohm, one probe on the cable's far end: 0.4 - 0.0032 - 0.2 = 0.1968; 1.7 + 0.0136 + 0.2 = 1.9136
  shown = window(meter, joints, {0, 0.5, 1}, 1);
  CHECK_THAT(shown.low, about(0.1968));
  CHECK_THAT(shown.nominal, about(0.5 + 0.35 + 0.2));
  CHECK_THAT(shown.high, about(1.9136));
  // both probes: the whole cable
  shown = window(meter, joints, {0, 0.5, 1}, 2);
  CHECK_THAT(shown.nominal, about(0.5 + 0.35 + 0.4));
  CHECK_THAT(shown.high, about(1.9 * 1.008 + 0.2));
  // none: no cable
  CHECK_THAT(window(meter, joints, {0, 0.5, 1}).nominal, about(0.85));
}

TEST_CASE("a window never reaches below zero", "[meter]") {
  Meter meter = assumed_meter();
  meter.leads_low = 0;
  for (const Range& range : meter.ranges) CHECK(window(meter, range, {0, 0.02, 0.05}).low == 0);
}

TEST_CASE("a better meter narrows the window and shows more figures", "[meter]") {
  const Meter plain = assumed_meter();
  const Meter fine = fine_meter();
  const Band coil = around(6710, 0.02);
  const Range& on_plain = range_for(plain, coil.high);
  const Range& on_fine = range_for(fine, coil.high);
  const Window wide = window(plain, on_plain, coil);
  const Window narrow = window(fine, on_fine, coil);
  CHECK(wide.low < narrow.low);
  CHECK(narrow.high < wide.high);
  CHECK(display(plain, on_plain, 6712.4) == "6.71k");
  CHECK(display(fine, on_fine, 6712.4) == "6.712k");

  // 250k: the 2000 counts go to 2M, the 4000 counts stay on 400k and show ten times as fine
  const Meter middle = sheet_a();
  CHECK(range_name(range_for(plain, 250e3).top) == "2M");
  CHECK(range_name(range_for(middle, 250e3).top) == "400k");
  CHECK(display(plain, range_for(plain, 250e3), 251040) == "0.251M");
  CHECK(display(middle, range_for(middle, 250e3), 251040) == "251.0k");
}

TEST_CASE("two published accuracy sheets disagree about one part", "[meter]") {
  // Same counts and ranges. 8k, shown as 8.15k: sheet A allows 64 + 40 = 104 ohms and refuses it, sheet C
  // allows 120 + 30 = 150 and takes it.
  const Window a = window(sheet_a(), *sheet_a().find_range(40e3), exactly(8000));
  const Window c = window(sheet_c(), *sheet_c().find_range(40e3), exactly(8000));
  CHECK_THAT(a.high, about(8104));
  CHECK_THAT(c.high, about(8150));
  // The coarse meter's range ends earlier for what must surely be shown: 3.95k + 1.5 % + 3 digits is above
  // 4k.
  CHECK(range_name(range_for(sheet_a(), 3950).top) == "4k");
  CHECK(range_name(range_for(sheet_c(), 3950).top) == "40k");
}

// A second published sheet of 4000 counts, read, its maker not named: 1 % + 3 on 400, 1 % + 2 up to 4M, 2 % + 3 on 40M.
TEST_CASE("the bounds of another published sheet, and the digits at a range's edge", "[meter]") {
  Meter b = sheet_a();
  b.ranges = usual_ranges(4000, 0.01, 2);
  b.ranges.front().digits = 3;
  b.ranges.back() = {40e6, 0.02, 3};
  CHECK_THAT(error_bound(b, *b.find_range(400), 100), about(1.3));       // 1 + 3 x 0.1
  CHECK_THAT(error_bound(b, *b.find_range(40e3), 7500), about(95));      // 75 + 2 x 10
  CHECK_THAT(error_bound(b, *b.find_range(400e3), 250e3), about(2700));  // 2500 + 2 x 100
  CHECK_THAT(error_bound(b, *b.find_range(40e6), 10e6), about(230e3));   // 200k + 3 x 10k
  // A range higher, and the digits weigh ten times as much.
  const Ohms edge = 4000;
  const Ohms below = error_bound(b, *b.find_range(4e3), edge) - 0.01 * edge;
  const Ohms above = error_bound(b, *b.find_range(40e3), edge) - 0.01 * edge;
  CHECK_THAT(above, about(10 * below));
}

// The rungs of a 2000-count ladder with the accuracy usual for the class: from memory. Leads of 0.1 to 0.2 ohm show on
// the lowest range: published sheets, read.
TEST_CASE("leads show on the lowest range and on no other", "[meter]") {
  Meter meter;
  meter.counts = 2000;
  meter.ranges = usual_ranges(2000, 0.008, 2);
  meter.leads_low = 0.1;
  meter.leads_high = 0.2;
  for (const Range& range : meter.ranges) {
    const Window together = window(meter, range, exactly(0));
    CHECK_THAT(together.nominal, about(0.15));
    const bool shows = display(meter, range, together.nominal) != display(meter, range, 0);
    CHECK(shows == (range.top == 200));
  }
}

TEST_CASE("the range taken is the lowest that surely holds the reading", "[meter]") {
  const Meter meter = assumed_meter();
  const std::pair<Ohms, const char*> rows[] = {
      {0, "200"},        {0.5, "200"},   {197.7, "200"},  // 198 + 1.584 + 0.2 = 199.784 shows 199.8
      {198, "2k"},                                        // 198.3 + 1.5864 + 0.2 = 200.09
      {1980, "2k"},                                       // 1980.3 + 15.8424 + 2 = 1998.14 shows 1.998k
      {1983, "20k"},                                      // 1983.3 + 15.8664 + 2 = 2001.2
      {6820, "20k"},     {19700, "20k"}, {19900, "200k"}, {100e3, "200k"}, {250e3, "2M"},
      {600e3, "2M"},     {2e6, "20M"},   {19.8e6, "20M"},  // 19.8M + 0.1584M + 0.02M = 19.978M shows 19.98M
      {50e6, "20M"},                                       // no range holds it: the top one
      {INFINITY, "20M"},
  };
  for (const auto& [high, name] : rows) {
    INFO(high);
    CHECK(range_name(range_for(meter, high).top) == name);
  }
}

TEST_CASE("the test cable counts when the range is chosen", "[meter]") {
  Meter meter = assumed_meter();
  meter.cable = 2;
  CHECK(range_name(range_for(meter, 197, 0).top) == "200");
  CHECK(range_name(range_for(meter, 197, 2).top) == "2k");
}

TEST_CASE("a higher resistance never takes a lower range, and the lower range would not hold it", "[meter]") {
  std::mt19937 dice(5);
  std::uniform_real_distribution<double> power(-2, 7.8);
  for (const Meter& meter : {assumed_meter(), sheet_a(), sheet_c(), fine_meter()}) {
    std::vector<Ohms> values;
    for (int i = 0; i < 1000; ++i) values.push_back(std::pow(10, power(dice)));
    std::sort(values.begin(), values.end());
    Ohms last = 0;
    for (Ohms high : values) {
      const Range& range = range_for(meter, high);
      CHECK(range.top >= last);
      last = range.top;
      const bool held = !over_range(meter, range, window(meter, range, exactly(high)).high);
      CHECK((held || &range == &meter.ranges.back()));
      for (const Range& lower : meter.ranges) {
        if (lower.top < range.top) CHECK(over_range(meter, lower, window(meter, lower, exactly(high)).high));
      }
    }
  }
}

TEST_CASE("whatever an accurate meter displays lies in the window of the truth", "[meter]") {
  std::mt19937 dice(7);
  std::uniform_real_distribution<double> power(-2, 7), part(0, 1), sign(-1, 1);
  for (Meter meter : {assumed_meter(), sheet_a(), sheet_c(), fine_meter()}) {
    meter.leads_low = 0.1;
    meter.leads_high = 0.4;
    for (int i = 0; i < 1000; ++i) {
      const Band truth = around(std::pow(10, power(dice)), 0.1);
      const Range& range = range_for(meter, truth.high);
      const Window all = window(meter, range, truth);
      CHECK(all.low <= all.nominal);
      CHECK(all.nominal <= all.high);
      // a part of the band, leads of theirs, and the meter off by part of what it may be
      const Ohms ohms = truth.low + part(dice) * (truth.high - truth.low);
      const Ohms at_jacks = ohms + 0.1 + part(dice) * 0.3;
      const Ohms shown = std::max(0.0, at_jacks + sign(dice) * error_bound(meter, range, at_jacks));
      INFO(truth.nominal << " ohms on " << range_name(range.top) << " shows " << shown);
      CHECK(all.low <= shown * (1 + 1e-12));
      CHECK(shown <= all.high * (1 + 1e-12));
      // and with no error but its rounding, half a digit is within the digits
      const Ohms rounded = std::round(at_jacks / meter.step(range)) * meter.step(range);
      CHECK(all.low <= rounded * (1 + 1e-12));
      CHECK(rounded <= all.high * (1 + 1e-12));
    }
  }
}

TEST_CASE("more digits, more share, longer leads or a wider band never narrow a window", "[meter]") {
  std::mt19937 dice(3);
  std::uniform_real_distribution<double> part(0, 1);
  for (int i = 0; i < 500; ++i) {
    Meter meter = assumed_meter();
    const Range range = meter.ranges[i % meter.ranges.size()];
    const Band band = around(range.top * part(dice), 0.1);
    const Window before = window(meter, range, band);
    const auto contains = [&](const Window& after) {
      return after.low <= before.low && before.high <= after.high;
    };
    CHECK(contains(window(meter, {range.top, range.share + part(dice) / 50, range.digits}, band)));
    CHECK(contains(window(meter, {range.top, range.share, range.digits + 3 * part(dice)}, band)));
    CHECK(contains(window(meter, range, {band.low * 0.9, band.nominal, band.high * 1.1})));
    meter.leads_low -= 0.3 * part(dice);
    meter.leads_high += part(dice);
    CHECK(contains(window(meter, range, band)));
  }
}

TEST_CASE("a meter that can show nothing is a broken promise, whatever the build", "[meter]") {
  Meter meter = assumed_meter();
  CHECK_THROWS_AS(usual_ranges(1, 0.01, 2), std::logic_error);
  CHECK_THROWS_AS(capacitance_reading(meter, Capacitance{1e-9, 1e-9, 1e-9}), std::logic_error);
  meter.ranges.clear();
  CHECK_THROWS_AS(range_for(meter, 100), std::logic_error);
}
