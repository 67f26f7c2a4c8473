// Points and settings by the names people type, as the command line takes them.

#include "intake/place.h"

#include <string>
#include <vector>

#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

std::string refused(const Harness& harness, std::string_view control, std::string_view place) {
  Setting setting(harness);
  const auto refusal = apply_setting(harness, control, place, setting);
  return refusal ? refusal->refusal.why() : "";
}

TEST_CASE("controls are put where they are told", "[intake]") {
  const Harness harness = test::netlist_of("harnesses/fernhollow-2.yaml").harness;
  const auto part = [&](std::string_view name) { return *harness.find_part(name); };
  Setting setting(harness);
  CHECK_FALSE(apply_setting(harness, "volume", "7.5", setting));
  CHECK_FALSE(apply_setting(harness, "tone", "0", setting));
  CHECK_FALSE(apply_setting(harness, "selector", "front", setting));
  CHECK_FALSE(apply_setting(harness, "jack", "out", setting));
  CHECK(setting.knob(part("volume")) == 7.5);
  CHECK(setting.knob(part("tone")) == 0);
  CHECK(setting.position(part("selector")) == 2);
  CHECK_FALSE(setting.plugged(part("jack")));
  CHECK_FALSE(apply_setting(harness, "jack", "in", setting));
  CHECK(setting.plugged(part("jack")));
}

TEST_CASE("a wrong control or place is refused in one sentence, and nothing moves", "[intake]") {
  const Harness harness = test::netlist_of("harnesses/fernhollow-2.yaml").harness;
  CHECK(refused(harness, "volumn", "10") ==
        "no such control: 'volumn'; nearest name is 'volume', declared at 16:3");
  CHECK(refused(harness, "blend", "10") ==
        "no such control: 'blend'; the controls are selector, volume, tone, jack");
  CHECK(refused(harness, "cap", "10") ==
        "'cap' is no control; controls are pots, switches and jacks; it is declared at 18:3");
  CHECK(refused(harness, "volume", "11") == "'volume' stands from 0 to 10, not at '11'");
  CHECK(refused(harness, "volume", "full") == "'volume' stands from 0 to 10, not at 'full'");
  CHECK(refused(harness, "volume", "-1") == "'volume' stands from 0 to 10, not at '-1'");
  CHECK(refused(harness, "selector", "rare") ==
        "'selector' has no position 'rare'; nearest name is 'rear', declared at 13:7");
  CHECK(refused(harness, "selector", "0") ==
        "'selector' has no position '0'; its positions are rear, both, front");
  CHECK(refused(harness, "jack", "half") == "the plug in 'jack' is 'in' or 'out', not 'half'");
  Setting setting(harness);
  apply_setting(harness, "volume", "11", setting);
  CHECK(setting == Setting(harness));
}

TEST_CASE("a pot on another's shaft is set by that other", "[intake]") {
  const Harness harness =
      test::harness_from("parts: {a: {kind: pot, track: 1k}, b: {kind: pot, track: 1k, gang: a}}\n");
  CHECK(refused(harness, "b", "5") ==
        "'b' is no control; it is on the shaft of 'a': set that, declared at 2:9");
}

TEST_CASE("points are found by every name they have", "[intake]") {
  const Harness harness = test::netlist_of("harnesses/fernhollow-2.yaml").harness;
  for (const char* name : {"jack.tip", "volume.case>jack.sleeve", "string ground:volume.case>hardware.bridge",
                           "hardware.bridge>volume.case"}) {
    CAPTURE(name);
    const bool there = harness.find_point(name).has_value();
    CHECK(find_point(harness, name).point.has_value() == there);
    CHECK(find_point(harness, name).refusal.problem.empty() == there);
  }
  CHECK(find_point(harness, "string ground:volume.case>hardware.bridge").point ==
        find_point(harness, "volume.case>hardware.bridge").point);
  CHECK(find_point(harness, "jack.slve").refusal.why() ==
        "no such point: 'jack.slve'; nearest name is 'jack.sleeve', declared at 19:3");
  CHECK(find_part(harness, "jak").refusal.why() ==
        "no such part: 'jak'; nearest name is 'jack', declared at 19:3");
  CHECK(find_point(harness, "jack.slve", Suggest::Nothing)
            .refusal.why()
            .starts_with("no such point: 'jack.slve'"));
}

TEST_CASE("what solder or a screw holds can be lifted, the first lead of a splice too, and nothing else",
          "[intake]") {
  const Harness harness = test::harness_from(R"(
parts:
  front: {kind: pickup, dcr: 6k}
  rear: {kind: pickup, dcr: 7k}
  plate: {kind: metal, points: [top]}
  jack: {kind: jack}
joints:
  - [front.ground, rear.hot]
  - [jack.tip, front.hot]
wires:
  - [rear.ground, jack.sleeve]
  - {run: [jack.sleeve, plate.top], pressed: [plate.top]}
)");
  const auto why = [&](const char* name) {
    const auto point = harness.find_point(name);
    REQUIRE(point);
    const auto refusal = why_not_lifted(harness, *point, name);
    return refusal ? refusal->why() : "";
  };
  for (const char* name : {"front.hot", "rear.hot", "front.ground", "rear.ground>jack.sleeve",
                           "jack.sleeve>plate.top", "plate.top>jack.sleeve"}) {
    CAPTURE(name);
    CHECK(why(name).empty());
  }
  CHECK(why("jack.tip") ==
        "'jack.tip' is no lead or wire end in a joint, so it can't be lifted; soldered there are front.hot");
  CHECK(why("plate.top") == "'plate.top' is no lead or wire end in a joint, so it can't be lifted");
}

TEST_CASE("a place is a point or a part, with what is soldered to it", "[intake]") {
  const Harness harness = test::netlist_of("harnesses/fernhollow-2.yaml").harness;
  const auto names = [&](const char* name) {
    std::vector<std::string> found;
    for (PointId point : find_place(harness, name).points) {
      if (harness.probeable(point)) found.push_back(harness[point].name);
    }
    return found;
  };
  CHECK(names("volume.2") == std::vector<std::string>{"volume.2", "volume.2>jack.tip"});
  CHECK(names("cap") == std::vector<std::string>{"cap.1", "cap.2"});
  CHECK(names("cp").empty());
  CHECK(find_place(harness, "cp").refusal.why() ==
        "no such part: 'cp'; nearest name is 'cap', declared at 18:3");
}

TEST_CASE("every name of every worked harness finds its point, and misspelt finds none", "[intake]") {
  for (int i = 1; i <= 17; ++i) {
    const Harness harness = test::netlist_of("harnesses/fernhollow-" + std::to_string(i) + ".yaml").harness;
    for (const std::string& name : harness.point_names()) {
      CHECK(find_point(harness, name).point);
      CHECK_FALSE(find_point(harness, name + "-").point);
      CHECK_FALSE(find_point(harness, "-" + name).point);
    }
  }
}

}  // namespace
}  // namespace lugwise
