// Where a capacitance range would measure one capacitor and nothing else.
#include "circuit/capacitance.h"

#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

struct Bench {
  Harness harness;
  PointId at(const char* name) const { return *harness.find_point(name); }
  bool alone(const std::vector<const char*>& lifted = {}) const {
    State state;
    state.setting = Setting(harness);
    for (const char* lead : lifted) state.lifted.push_back(at(lead));
    const auto capacitor = capacitor_between(harness, at("cap.1"), at("cap.2"));
    REQUIRE(capacitor);
    return measured_alone(harness, circuit_of(harness, state), *capacitor);
  }
};

TEST_CASE("a capacitor lies between its own two ends, either way round, and between no other points",
          "[circuit]") {
  const Bench bench{test::netlist_of("harnesses/fernhollow-2.yaml").harness};
  const auto found = capacitor_between(bench.harness, bench.at("cap.1"), bench.at("cap.2"));
  REQUIRE(found);
  CHECK(bench.harness[*found].kind == ElementKind::Capacitor);
  CHECK(capacitor_between(bench.harness, bench.at("cap.2"), bench.at("cap.1")) == found);
  CHECK_FALSE(capacitor_between(bench.harness, bench.at("cap.1"), bench.at("cap.1")));
  CHECK_FALSE(capacitor_between(bench.harness, bench.at("cap.1"), bench.at("tone.case")));
  CHECK_FALSE(capacitor_between(bench.harness, bench.at("volume.1"), bench.at("volume.3")));
  // 20 % unless the netlist says otherwise: 47 - 9.4 and 47 + 9.4
  CHECK_THAT(farads_of(bench.harness, *found).low, Catch::Matchers::WithinRel(37.6e-9, 1e-12));
  CHECK_THAT(farads_of(bench.harness, *found).high, Catch::Matchers::WithinRel(56.4e-9, 1e-12));
}

TEST_CASE("a capacitor is measured alone if it is loose or a lead is off", "[circuit]") {
  const Bench wired{test::netlist_of("harnesses/fernhollow-2.yaml").harness};
  CHECK_FALSE(wired.alone());
  CHECK(wired.alone({"cap.1"}));
  CHECK(wired.alone({"cap.2"}));
  CHECK(Bench{test::netlist_of("harnesses/parts/capacitor.yaml").harness}.alone());
}

TEST_CASE("another capacitor and a module lie beside a capacitor although nothing conducts", "[circuit]") {
  const Bench twice{test::harness_from(R"(
parts:
  cap:   {kind: capacitor, value: 22n}
  other: {kind: capacitor, value: 1n}
joints:
  - [cap.1, other.1]
  - [cap.2, other.2]
)")};
  CHECK_FALSE(twice.alone());
  CHECK(twice.alone({"other.1", "cap.1"}));
  const Bench module{test::harness_from(R"(
parts:
  cap: {kind: capacitor, value: 22n}
  pre: {kind: module, points: [in, ground]}
joints:
  - [cap.1, pre.in]
  - [cap.2, pre.ground]
)")};
  CHECK_FALSE(module.alone());
}

}  // namespace
}  // namespace lugwise
