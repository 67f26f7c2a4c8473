// What a capacitance range shows.
#include "meter/meter.h"
#include "support/catch.h"

namespace lugwise {
namespace {

using Catch::Matchers::WithinRel;

Meter meter() {
  Meter meter = assumed_meter();
  for (const double top : {2e-9, 20e-9, 200e-9, 2e-6, 20e-6}) meter.capacitance.push_back({top, 0.04, 3});
  return meter;
}

TEST_CASE("a capacitor shows its band and the accuracy on the lowest range that surely holds it", "[meter]") {
  const Meter ours = meter();
  // One of the last digit on 200n is 0.1n: 42.3 - 1.692 - 0.3 and 51.7 + 2.068 + 0.3.
  const CapacitanceReading reading = capacitance_reading(ours, {42.3e-9, 47e-9, 51.7e-9});
  CHECK(reading.range.top == 200e-9);
  CHECK_THAT(reading.shows.low, WithinRel(40.308e-9, 1e-9));
  CHECK_THAT(reading.shows.high, WithinRel(54.068e-9, 1e-9));
  // 19.2 + 0.768 + 0.03 = 19.998, rounded to 20.00, is over 19.99.
  CHECK(capacitance_reading(ours, {18e-9, 19e-9, 19.2e-9}).range.top == 200e-9);
  CHECK(capacitance_reading(ours, {18e-9, 19e-9, 19.1e-9}).range.top == 20e-9);
  CHECK(capacitance_reading(ours, {90e-6, 100e-6, 110e-6}).range.top == 20e-6);  // OL, on the top one
}

TEST_CASE("farads are displayed with the digits of their range, and named as on the dial", "[meter]") {
  const Meter ours = meter();
  const auto& ranges = ours.capacitance;
  CHECK(capacitance_display(ours, ranges[0], 1e-9) == "1.000n");
  CHECK(capacitance_display(ours, ranges[1], 4.7e-9) == "4.70n");
  CHECK(capacitance_display(ours, ranges[2], 47e-9) == "47.0n");
  CHECK(capacitance_display(ours, ranges[2], 199.9e-9) == "199.9n");
  CHECK(capacitance_display(ours, ranges[2], 200e-9) == "OL");
  CHECK(capacitance_display(ours, ranges[3], 47e-9) == "0.047u");
  CHECK(capacitance_display(ours, ranges[4], 4.7e-6) == "4.70u");
  const std::pair<double, const char*> names[] = {{200e-12, "200p"}, {2e-9, "2n"},     {200e-9, "200n"},
                                                  {2e-6, "2u"},      {600e-6, "600u"}, {2e-3, "2m"}};
  for (const auto& [top, name] : names) CHECK(capacitance_range_name(top) == name);
  CHECK(capacitance_in_words(680e-12) == "680 pF");
  CHECK(capacitance_in_words(42.3e-9) == "42.3 nF");
  CHECK(capacitance_in_words(0.1e-6) == "100 nF");
  CHECK(capacitance_in_words(2.2e-6) == "2.2 µF");
}

TEST_CASE("a capacitance range is found by its top only", "[meter]") {
  const Meter ours = meter();
  REQUIRE(ours.find_capacitance(200e-9) != nullptr);
  CHECK(ours.find_capacitance(0.2e-6) == ours.find_capacitance(200e-9));
  CHECK(ours.find_capacitance(400e-9) == nullptr);
  CHECK(assumed_meter().find_capacitance(200e-9) == nullptr);
}

}  // namespace
}  // namespace lugwise
