// A part measured by itself, before it goes in.
#include <algorithm>
#include <array>
#include <string>

#include "circuit/capacitance.h"
#include "diagnosis/diagnosis.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

Observation reading(const Harness& harness, const char* a, const char* b, double ohms, double range) {
  Observation observation;
  observation.a = *harness.find_point(a);
  observation.b = *harness.find_point(b);
  observation.setting = Setting(harness);
  observation.access = {0, "outside"};
  observation.range = *assumed_meter().find_range(range);
  observation.value = ohms;
  observation.resolution = range / 2000;
  if (ohms < 0) observation.shows = Shows::OverRange;
  return observation;
}

constexpr double kOver = -1;

Diagnosis of(const char* file, const std::vector<std::array<const char*, 2>>& between,
             const std::vector<std::array<double, 2>>& read) {
  const Harness harness = netlist_of(std::string("harnesses/parts/") + file + ".yaml").harness;
  std::vector<Observation> observations;
  // Each twice, as one reading alone condemns nothing.
  for (int time = 0; time < 2; ++time) {
    for (std::size_t i = 0; i < between.size(); ++i)
      observations.push_back(reading(harness, between[i][0], between[i][1], read[i][0], read[i][1]));
  }
  return diagnose(harness, observations, {});
}

}  // namespace

TEST_CASE("a 500k pot that reads 240k has a wrong value", "[diagnosis]") {
  const Diagnosis found = of("pot", {{"volume.1", "volume.3"}}, {{240e3, 2e6}});
  CHECK(found.verdict == Verdict::Fault);
  REQUIRE_FALSE(found.suspects.empty());
  CHECK(found.suspects[0].fault.mode == Mode::Value);
  CHECK(found.suspects[0].fault.site == Site::Track);
  REQUIRE(found.suspects[0].size);
  CHECK(found.suspects[0].size->low < 0.48);
  CHECK(found.suspects[0].size->high > 0.48);
}

TEST_CASE("a pot inside its tolerance is sound, and one without an end open", "[diagnosis]") {
  CHECK(of("pot", {{"volume.1", "volume.3"}}, {{452e3, 2e6}}).verdict == Verdict::Unfinished);
  const Diagnosis open = of("pot", {{"volume.1", "volume.3"}}, {{kOver, 20e6}});
  CHECK(open.verdict == Verdict::Fault);
  CHECK(open.suspects[0].fault.mode == Mode::Open);
  CHECK(open.suspects[0].fault.site == Site::Track);
}

TEST_CASE("a coil that reads OL is open, and one that reads half is partly shorted or another",
          "[diagnosis]") {
  const Diagnosis open =
      of("pickup", {{"twin.orange", "twin.blue"}, {"twin.tan", "twin.grey"}}, {{kOver, 20e3}, {4000, 20e3}});
  CHECK(open.verdict == Verdict::Fault);
  CHECK(open.suspects[0].fault.mode == Mode::Open);
  CHECK(open.suspects[0].fault.site == Site::Coil);

  const Diagnosis half =
      of("pickup", {{"twin.orange", "twin.blue"}, {"twin.tan", "twin.grey"}}, {{1950, 20e3}, {4000, 20e3}});
  CHECK(half.verdict == Verdict::Fault);
  CHECK(half.suspects[0].fault.mode == Mode::Value);
  CHECK(half.suspects[0].fault.site == Site::Coil);
  REQUIRE(half.suspects[0].size);
  CHECK_THAT(half.suspects[0].size->nominal, WithinRel(0.5, 0.1));
}

TEST_CASE("a resistor ten times too small has a wrong value, and a capacitor that conducts is shorted",
          "[diagnosis]") {
  const Diagnosis small = of("resistor", {{"bleed.1", "bleed.2"}}, {{15e3, 20e3}});
  CHECK(small.verdict == Verdict::Fault);
  CHECK(small.suspects[0].fault.mode == Mode::Value);
  CHECK(small.suspects[0].fault.site == Site::Resistor);

  const Diagnosis shorted = of("capacitor", {{"cap.1", "cap.2"}}, {{0.4, 200}});
  CHECK(shorted.verdict == Verdict::Fault);
  CHECK(shorted.suspects[0].fault.mode == Mode::Short);
  CHECK(shorted.suspects[0].fault.site == Site::Capacitor);
}

namespace {

Meter with_capacitance() {
  Meter meter = assumed_meter();
  for (const double top : {2e-9, 20e-9, 200e-9, 2e-6}) meter.capacitance.push_back({top, 0.04, 3});
  return meter;
}

// Read on a capacitance range, with a lead off; `kOver` is OL.
Diagnosis in_farads(const std::string& file, const std::vector<std::array<double, 2>>& read) {
  const Harness harness = netlist_of("harnesses/" + file).harness;
  DiagnosisOptions options;
  options.meter = with_capacitance();
  std::vector<Observation> observations;
  for (const auto& [farads, range] : read) {
    Observation observation;
    observation.a = *harness.find_point("cap.1");
    observation.b = *harness.find_point("cap.2");
    observation.capacitor = capacitor_between(harness, observation.a, observation.b);
    observation.setting = Setting(harness);
    if (!harness.by_itself()) {
      observation.access = {1, "cavity"};
      observation.lifted = {observation.a};
    }
    observation.range = *options.meter.find_capacitance(range);
    observation.value = farads;
    observation.resolution = range / 2000;
    if (farads < 0) observation.shows = Shows::OverRange;
    observations.push_back(observation);
  }
  return diagnose(harness, observations, options);
}

bool clears(const Diagnosis& found, Mode mode) {
  return std::any_of(found.cleared.begin(), found.cleared.end(),
                     [&](const Fault& fault) { return fault.site == Site::Capacitor && fault.mode == mode; });
}

}  // namespace

TEST_CASE("farads inside the capacitor's band clear it, in the hand and in a harness", "[diagnosis]") {
  for (const char* file : {"parts/capacitor.yaml", "fernhollow-2.yaml", "fernhollow-5.yaml"}) {
    CAPTURE(file);
    const double value = std::string(file) == "fernhollow-5.yaml" ? 22e-9 : 47e-9;
    for (const double factor : {0.91, 1.0, 1.09}) {
      const Diagnosis found = in_farads(file, {{factor * value, 200e-9}});
      CHECK(found.verdict == Verdict::Unfinished);
      CHECK(found.readings[0].agrees);
      for (const Mode mode : {Mode::Value, Mode::Open, Mode::Short}) CHECK(clears(found, mode));
    }
  }
}

TEST_CASE("farads outside the capacitor's band are a wrong value, in the hand and in a harness",
          "[diagnosis]") {
  for (const char* file : {"parts/capacitor.yaml", "fernhollow-2.yaml", "fernhollow-5.yaml"}) {
    CAPTURE(file);
    const double value = std::string(file) == "fernhollow-5.yaml" ? 22e-9 : 47e-9;
    for (const double factor : {0.1, 0.5, 1.4, 10.0}) {
      CAPTURE(factor);
      const double shown = factor * value;
      const double range = shown < 200e-9 ? 200e-9 : 2e-6;
      const Diagnosis found = in_farads(file, {{shown, range}});
      CHECK(found.readings[0].agrees == false);
      REQUIRE_FALSE(found.suspects.empty());
      CHECK(found.suspects[0].fault.mode == Mode::Value);
      CHECK(found.suspects[0].fault.site == Site::Capacitor);
      CHECK(found.suspects[0].probability > 0.85);
      REQUIRE(found.suspects[0].size);
      CHECK_THAT(found.suspects[0].size->nominal, WithinRel(factor, 1e-9));
      CHECK(found.suspects[0].size->low < factor);
      CHECK(found.suspects[0].size->high > factor);
      // The same again leaves no room for a slip.
      CHECK(in_farads(file, {{shown, range}, {shown, range}}).verdict == Verdict::Fault);
    }
    CHECK(in_farads(file, {{0.1 * value, 20e-9}}).verdict == Verdict::Unsure);
    CHECK(in_farads(file, {{0.1 * value, 20e-9}, {0.1 * value, 20e-9}}).verdict == Verdict::Fault);
  }
}

TEST_CASE("hardly any farads are an open capacitor, and OL a short or a much larger one", "[diagnosis]") {
  const Diagnosis open = in_farads("parts/capacitor.yaml", {{0.2e-9, 200e-9}, {0.2e-9, 200e-9}});
  CHECK(open.verdict == Verdict::Fault);
  CHECK(open.suspects[0].fault.mode == Mode::Open);
  CHECK(open.suspects[0].fault.site == Site::Capacitor);
  const Diagnosis over = in_farads("parts/capacitor.yaml", {{kOver, 2e-6}, {kOver, 2e-6}});
  CHECK(over.verdict == Verdict::Fault);
  CHECK_FALSE(clears(over, Mode::Short));
  CHECK_FALSE(clears(over, Mode::Value));
}

TEST_CASE("what is read in ohms says nothing of a capacitor's value", "[diagnosis]") {
  const Diagnosis found = of("capacitor", {{"cap.1", "cap.2"}}, {{kOver, 20e6}});
  CHECK(found.verdict == Verdict::Unfinished);
  CHECK_FALSE(clears(found, Mode::Value));
  for (const Suspect& suspect : found.suspects) CHECK(suspect.fault.mode != Mode::Value);
}
