// What stands on the display: table, and laws for random values on the ladders of common meters.
//
// Ladders and resolutions: published specification sheets of hand-held meters, read; 2000 counts from 200 to
// 20M with 0.1 ohm on 200, 4000 counts from 400 to 40M with 0.1 ohm on 400. OL for over-range: the same.
// Rounding: worked by hand.
#include <cmath>
#include <random>
#include <string>

#include <fmt/format.h>

#include "meter/meter.h"
#include "support/catch.h"

using namespace lugwise;

namespace {

Meter meter_of(int counts) {
  Meter meter;
  meter.counts = counts;
  meter.ranges = usual_ranges(counts, 0.008, 2);
  return meter;
}

Meter meter_of(int counts, Ohms top) {
  Meter meter;
  meter.counts = counts;
  meter.ranges = {{top, 0.008, 2}};
  return meter;
}

// A display read back as a person does: the number, times what its letter says.
Ohms read_back(const std::string& shown) {
  std::size_t used = 0;
  const double number = std::stod(shown, &used);
  const std::string unit = shown.substr(used);
  REQUIRE((unit.empty() || unit == "k" || unit == "M"));
  return number * (unit == "M" ? 1e6 : unit == "k" ? 1e3 : 1);
}

std::size_t figures_after_point(const std::string& shown) {
  const auto point = shown.find('.');
  return point == std::string::npos ? 0
         : shown.find_first_not_of("0123456789", point + 1) == std::string::npos
             ? shown.size() - point - 1
             : shown.find_first_not_of("0123456789", point + 1) - point - 1;
}

}  // namespace

TEST_CASE("a display has the digits and the unit of its range", "[meter]") {
  struct Row {
    int counts;
    Ohms top;
    Ohms ohms;
    const char* shown;
  };
  const Row rows[] = {
      // 2000 counts
      {2000, 200, 0, "0.0"},
      {2000, 200, 0.04, "0.0"},
      {2000, 200, 0.06, "0.1"},
      {2000, 200, 0.3, "0.3"},
      {2000, 200, 0.44, "0.4"},
      {2000, 200, 0.46, "0.5"},
      {2000, 200, 39.97, "40.0"},
      {2000, 200, 100, "100.0"},
      {2000, 200, 199.94, "199.9"},
      {2000, 200, 199.96, "OL"},
      {2000, 200, 200, "OL"},
      {2000, 2e3, 0, "0.000k"},
      {2000, 2e3, 3, "0.003k"},
      {2000, 2e3, 220.4, "0.220k"},
      {2000, 2e3, 1999.4, "1.999k"},
      {2000, 2e3, 1999.6, "OL"},
      {2000, 20e3, 0.3, "0.00k"},
      {2000, 20e3, 6, "0.01k"},
      {2000, 20e3, 6710, "6.71k"},
      {2000, 20e3, 6714.9, "6.71k"},
      {2000, 20e3, 6715.1, "6.72k"},
      {2000, 20e3, 10000, "10.00k"},
      {2000, 20e3, 19994, "19.99k"},
      {2000, 20e3, 19996, "OL"},
      {2000, 20e3, 251000, "OL"},
      {2000, 200e3, 6710, "6.7k"},
      {2000, 200e3, 15040, "15.0k"},
      {2000, 200e3, 199940, "199.9k"},
      {2000, 200e3, 199960, "OL"},
      {2000, 2e6, 251000, "0.251M"},
      {2000, 2e6, 499600, "0.500M"},
      {2000, 2e6, 7870, "0.008M"},
      {2000, 2e6, 1999400, "1.999M"},
      {2000, 2e6, 1999600, "OL"},
      {2000, 20e6, 251000, "0.25M"},
      {2000, 20e6, 10e6, "10.00M"},
      {2000, 20e6, 19.994e6, "19.99M"},
      {2000, 20e6, 20e6, "OL"},
      // 4000 counts
      {4000, 400, 0.24, "0.2"},
      {4000, 400, 399.9, "399.9"},
      {4000, 400, 399.96, "OL"},
      {4000, 4e3, 3999, "3.999k"},
      {4000, 4e3, 4000, "OL"},
      {4000, 40e3, 7500, "7.50k"},
      {4000, 40e3, 39990, "39.99k"},
      {4000, 400e3, 250000, "250.0k"},
      {4000, 4e6, 498300, "0.498M"},
      {4000, 40e6, 1e6, "1.00M"},
      // 6000 counts
      {6000, 600, 599.94, "599.9"},
      {6000, 600, 599.96, "OL"},
      {6000, 6e3, 5999.4, "5.999k"},
      {6000, 60e3, 8012, "8.01k"},
      {6000, 600e3, 251040, "251.0k"},
      {6000, 6e6, 251040, "0.251M"},
      {6000, 60e6, 59.994e6, "59.99M"},
      // 20000 counts
      {20000, 200, 0.044, "0.04"},
      {20000, 20e3, 6712.4, "6.712k"},
      {20000, 2e6, 250130, "0.2501M"},
      {20000, 2e6, 1.99994e6, "1.9999M"},
      {20000, 2e6, 1.99996e6, "OL"},
      // one of the last digit is no power of ten: a quarter, a third and half of one
      {2000, 500, 0.44, "0.4"},
      {2000, 500, 499.7, "499.7"},
      {2000, 500, 499.84, "OL"},
      {6000, 20e3, 6712.4, "6.712k"},
      {6000, 20e3, 19996.4, "19.996k"},
      {6000, 20e3, 19996.6, "OL"},
      {4000, 2e3, 220.44, "0.2204k"},
      // no figures after the point
      {200, 200, 99.6, "100"},
      {200, 200, 199.4, "199"},
      {20, 200, 74, "70"},
      {20, 200, 194, "190"},
      {20, 200, 196, "OL"},
  };
  for (const Row& row : rows) {
    const Meter meter = meter_of(row.counts, row.top);
    INFO(row.counts << " counts, range " << row.top << ", " << row.ohms << " ohms");
    CHECK(display(meter, meter.ranges[0], row.ohms) == row.shown);
    CHECK(over_range(meter, meter.ranges[0], row.ohms) == (std::string(row.shown) == "OL"));
  }
}

TEST_CASE("a display never goes below zero, and is OL for what is no number", "[meter]") {
  const Meter meter = assumed_meter();
  CHECK(display(meter, meter.ranges[0], -0.04) == "0.0");
  CHECK(display(meter, meter.ranges[0], -3) == "0.0");
  CHECK(display(meter, meter.ranges[0], INFINITY) == "OL");
  CHECK(display(meter, meter.ranges[0], NAN) == "OL");
  CHECK(display(meter, meter.ranges[5], 1e300) == "OL");
}

TEST_CASE("a display reads back as what was shown, within half of the last digit", "[meter]") {
  std::mt19937 dice(11);
  for (int counts : {2000, 4000, 5000, 6000, 9999, 20000, 50000}) {
    const Meter meter = meter_of(counts);
    for (const Range& range : meter.ranges) {
      std::uniform_real_distribution<Ohms> any(0, range.top - meter.step(range));
      for (int i = 0; i < 200; ++i) {
        const Ohms ohms = any(dice);
        const std::string shown = display(meter, range, ohms);
        INFO(counts << " counts, range " << range_name(range.top) << ", " << ohms << " ohms: " << shown);
        REQUIRE(shown != "OL");
        const Ohms back = read_back(shown);
        CHECK(std::abs(back - ohms) <= meter.step(range) / 2 * (1 + 1e-9));
        CHECK(display(meter, range, back) == shown);  // nothing is lost when it is entered again
        CHECK(figures_after_point(shown) == figures_after_point(display(meter, range, 0)));
      }
      CHECK(display(meter, range, range.top) == "OL");
    }
  }
}

TEST_CASE("every count of a display is one of its own, up to one below the counts", "[meter]") {
  const Meter meter = assumed_meter();
  const std::string letters[] = {"", "k", "k", "k", "M", "M"};
  const int after[] = {1, 3, 2, 1, 3, 2};
  for (std::size_t i = 0; i < meter.ranges.size(); ++i) {
    for (int count = 0; count < meter.counts; ++count) {
      // The same digits by integers: the count with a point put in.
      const int part = after[i] == 1 ? 10 : after[i] == 2 ? 100 : 1000;
      const std::string expected =
          fmt::format("{}.{:0{}}{}", count / part, count % part, after[i], letters[i]);
      CHECK(display(meter, meter.ranges[i], count * meter.step(meter.ranges[i])) == expected);
    }
  }
}

TEST_CASE("a range is named as on the dial", "[meter]") {
  const std::pair<Ohms, const char*> rows[] = {
      {200, "200"}, {400, "400"},  {2e3, "2k"},     {20e3, "20k"},  {200e3, "200k"}, {600e3, "600k"},
      {2e6, "2M"},  {20e6, "20M"}, {200e6, "200M"}, {2500, "2.5k"}, {6.6e6, "6.6M"}, {999, "999"}};
  for (const auto& [top, name] : rows) CHECK(range_name(top) == name);
}

TEST_CASE("a range is found by its top only", "[meter]") {
  const Meter meter = assumed_meter();
  REQUIRE(meter.find_range(20e3) != nullptr);
  CHECK(meter.find_range(20e3)->top == 20e3);
  CHECK(meter.find_range(0.02 * 1e6) == meter.find_range(20e3));
  CHECK(meter.find_range(40e3) == nullptr);
  CHECK(meter.find_range(19990) == nullptr);
  CHECK(meter.find_range(0) == nullptr);
  CHECK(Meter{}.find_range(200) == nullptr);
}

TEST_CASE("a resistance in words has three figures, four where the first is 1", "[meter]") {
  const std::pair<Ohms, const char*> rows[] = {
      {0, "0 Ω"},          {0.0004, "0 Ω"},        {0.005, "0.005 Ω"},  {0.045, "0.045 Ω"},
      {0.0452, "0.045 Ω"}, {0.3, "0.3 Ω"},         {0.5234, "0.523 Ω"}, {1.2344, "1.234 Ω"},
      {1.2346, "1.235 Ω"}, {2.3456, "2.35 Ω"},     {40, "40 Ω"},        {99.96, "100 Ω"},
      {123.44, "123.4 Ω"}, {470, "470 Ω"},         {999.4, "999 Ω"},    {999.6, "1 kΩ"},
      {6710, "6.71 kΩ"},   {7874.0157, "7.87 kΩ"}, {10053, "10.05 kΩ"}, {12344, "12.34 kΩ"},
      {251040, "251 kΩ"},  {500000, "500 kΩ"},     {999600, "1 MΩ"},    {1.5e6, "1.5 MΩ"},
      {20e6, "20 MΩ"},     {INFINITY, "open"},     {-0.45, "-0.45 Ω"},  {-0.0001, "0 Ω"},
  };
  for (const auto& [ohms, words] : rows) {
    INFO(ohms);
    CHECK(in_words(ohms) == words);
  }
}
