// A part measured by itself, before it goes in.
#include <array>

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
  for (std::size_t i = 0; i < between.size(); ++i)
    observations.push_back(reading(harness, between[i][0], between[i][1], read[i][0], read[i][1]));
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
  CHECK(of("pot", {{"volume.1", "volume.3"}}, {{452e3, 2e6}}).verdict == Verdict::Sound);
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
