// Two meters of different class look at the same step: other ranges, limits and displays, each worked by hand from the
// meter's file. The figures in those files are generic ones of their class (published sheets, read, makers not named).
#include <string>

#include "intake/instrument.h"
#include "plan/plan.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

// Two resistors for a pickup and a track: nothing else has any ohms, so each reading is one part.
const char* const kCard = R"(
parts:
  coil:  {kind: resistor, value: 8k, tolerance: 10%}
  track: {kind: resistor, value: 250k, tolerance: 20%}
  link:  {kind: resistor, value: 10, tolerance: 10%}
defaults: {joint: 0, wire: 0, contact: 0}
)";

Meter shipped(const std::string& name) {
  Diagnostics diagnostics(name);
  const auto meter = read_meter(file_text("harnesses/meters/" + name), diagnostics);
  REQUIRE(meter);
  return *meter;
}

struct Shown {
  std::string range, low, nominal, high;
};

void check(const Meter& meter, const char* part, const Window& window, const Shown& shown) {
  const Harness harness = harness_from(kCard);
  PlanOptions options;
  options.meter = meter;
  const PointId a = *harness.find_point(std::string(part) + ".1");
  const PointId b = *harness.find_point(std::string(part) + ".2");
  bool found = false;
  for (const Step& step : plan_for(harness, "card", options).steps) {
    if (step.kind != StepKind::Read || !((step.a == a && step.b == b) || (step.a == b && step.b == a)))
      continue;
    found = true;
    CHECK(range_name(step.range.top) == shown.range);
    CHECK_THAT(step.shows.low, WithinRel(window.low, 1e-9));
    CHECK_THAT(step.shows.nominal, WithinRel(window.nominal, 1e-9));
    CHECK_THAT(step.shows.high, WithinRel(window.high, 1e-9));
    CHECK(display(meter, step.range, step.shows.low) == shown.low);
    CHECK(display(meter, step.range, step.shows.nominal) == shown.nominal);
    CHECK(display(meter, step.range, step.shows.high) == shown.high);
  }
  CHECK(found);
}

}  // namespace

TEST_CASE("two meters of different class show the same step each in its own way", "[plan]") {
  // 2000 counts by hand, leads 0.3; 0.8 % + 2 on 20k and 2M, 0.8 % + 3 on 200. One digit is 10 on 20k, 1k on 2M.
  const Meter plain = shipped("manual-2000.yaml");
  // 6000 counts, picks its range, leads zeroed; 0.5 % + 2 on 60k and 600k, 0.5 % + 3 on 600. A digit is 10 on 60k, 100
  // on 600k.
  const Meter better = shipped("auto-6000.yaml");

  // 8k: 7200.3 - (57.6024 + 20) = 7122.6976; 8000.3; 8800.3 + (70.4024 + 20) = 8890.7024
  check(plain, "coil", {7122.6976, 8000.3, 8890.7024}, {"20k", "7.12k", "8.00k", "8.89k"});
  //     7200 - (36 + 20) = 7144; 8000; 8800 + (44 + 20) = 8864
  check(better, "coil", {7144, 8000, 8864}, {"60k", "7.14k", "8.00k", "8.86k"});

  // 250k: 200000.3 - (1600.0024 + 2000) = 196400.2976; 250000.3; 300000.3 + (2400.0024 + 2000) = 304400.3024
  check(plain, "track", {196400.2976, 250000.3, 304400.3024}, {"2M", "0.196M", "0.250M", "0.304M"});
  //     200000 - (1000 + 200) = 198800; 250000; 300000 + (1500 + 200) = 301700
  check(better, "track", {198800, 250000, 301700}, {"600k", "198.8k", "250.0k", "301.7k"});

  // 10: 9.3 - (0.0744 + 0.3) = 8.9256; 10.3; 11.3 + (0.0904 + 0.3) = 11.6904
  check(plain, "link", {8.9256, 10.3, 11.6904}, {"200", "8.9", "10.3", "11.7"});
  //     9 - (0.045 + 0.3) = 8.655; 10; 11 + (0.055 + 0.3) = 11.355
  check(better, "link", {8.655, 10, 11.355}, {"600", "8.7", "10.0", "11.4"});
}
