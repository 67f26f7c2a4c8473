// What a builder adds to what a netlist declares: blobs, the names of wire ends, what conducts, and what it refuses.

#include "harness/builder.h"

#include <algorithm>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

std::size_t count_of(const Harness& harness, ElementKind kind) {
  const auto& all = harness.elements();
  return static_cast<std::size_t>(
      std::count_if(all.begin(), all.end(), [kind](const Element& element) { return element.kind == kind; }));
}

}  // namespace

TEST_CASE("a leg of wire is one conductor with a joint at each end", "[harness]") {
  const Harness harness = harness_from(R"(
parts:
  volume: {kind: pot, track: 250k}
  tone: {kind: pot, track: 250k}
wires:
  - [volume.2, tone.1]
)");
  CHECK(count_of(harness, ElementKind::Wire) == 1);
  CHECK(count_of(harness, ElementKind::Joint) == 2);
  CHECK(count_of(harness, ElementKind::Blob) == 0);
  REQUIRE(harness.find_point("volume.2>tone.1"));
  REQUIRE(harness.find_point("tone.1>volume.2"));
  CHECK(harness[*harness.find_point("tone.1>volume.2")].role == PointRole::WireEnd);
}

TEST_CASE("all that is soldered to one lug is one blob, each wire end on a case its own", "[harness]") {
  const Harness harness = harness_from(R"(
parts:
  volume: {kind: pot, track: 250k}
  tone: {kind: pot, track: 250k}
  jack: {kind: jack}
wires:
  - [volume.3, tone.1]
  - [volume.3, jack.tip]
  - [volume.case, tone.case]
  - [volume.case, jack.sleeve]
)");
  std::size_t on_lug = 0, on_case = 0;
  for (const Blob& blob : harness.blobs()) {
    if (harness[blob.surface].name == "volume.3") {
      ++on_lug;
      CHECK(blob.leads.size() == 2);
      CHECK(blob.grip);  // two leads or more: they can come off together
    }
    if (harness[blob.surface].name == "volume.case") {
      ++on_case;
      CHECK(blob.leads.size() == 1);
      CHECK_FALSE(blob.grip);  // the lead's joint and the blob's grip are one
    }
  }
  CHECK(on_lug == 1);
  CHECK(on_case == 2);
}

TEST_CASE("a pot's wiper is a contact of its own, and a gang has neither case nor control", "[harness]") {
  const Harness harness = harness_from(R"(
parts:
  blend: {kind: pot, track: 500k, taper: linear}
  other: {kind: pot, track: 500k, taper: linear, gang: blend}
)");
  CHECK(count_of(harness, ElementKind::Wiper) == 2);
  CHECK(harness.find_point("blend.case"));
  CHECK_FALSE(harness[*harness.find_part("other")].pot->gang == std::nullopt);
  REQUIRE(harness.controls().size() == 1);
  CHECK(harness[harness.controls().front()].name == "blend");
}

TEST_CASE("no two points of a worked harness share a name, and each is found by its own", "[harness]") {
  const auto all = worked_harnesses();
  REQUIRE(all.size() >= 17);
  for (const auto& worked : all) {
    const Harness harness = worked_harness(worked).harness;
    std::set<std::string> names;
    for (std::uint32_t index = 0; index < harness.points().size(); ++index) {
      const Point& point = harness.points()[index];
      if (point.role == PointRole::Solder || point.role == PointRole::WiperPlace) continue;
      INFO(worked << ": " << point.name);
      CHECK(names.insert(point.name).second);
      CHECK(harness.find_point(point.name) == PointId{index});
    }
  }
}

TEST_CASE("every element joins two points of the harness, and its limits are in order", "[harness]") {
  const auto all = worked_harnesses();
  REQUIRE(all.size() >= 17);
  for (const auto& worked : all) {
    const Harness harness = worked_harness(worked).harness;
    for (const Element& element : harness.elements()) {
      INFO(worked);
      CHECK(element.a.index < harness.points().size());
      CHECK(element.b.index < harness.points().size());
      CHECK(element.ohms.low <= element.ohms.nominal);
      CHECK(element.ohms.nominal <= element.ohms.high);
      CHECK(element.ohms.low >= 0);
    }
  }
}

TEST_CASE("a joint declared on a point of no harness is a broken promise", "[harness]") {
  HarnessBuilder builder;
  builder.add_metal("plate", {"top", "bottom"}, Span{});
  CHECK_THROWS_AS(builder.add_metal("plate", {"top"}, Span{}), std::logic_error);
}
