// Which reading tells a fault, and what the player hears of it.
#include "effect/effect.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

const Effect& of(const Harness& harness, const std::vector<Effect>& effects, const std::string& words) {
  const auto found = std::find_if(effects.begin(), effects.end(),
                                  [&](const Effect& each) { return in_words(harness, each.fault) == words; });
  REQUIRE(found != effects.end());
  return *found;
}

}  // namespace

TEST_CASE("the telling reading is taken from outside where one tells the fault", "[effect]") {
  const Harness harness = netlist_of("harnesses/fernhollow-2.yaml").harness;
  const auto effects = effects_of(harness, faults_of(harness), {});
  const Effect& sleeve =
      of(harness, effects, "the wire from tone.case to jack.sleeve (ground chain) is open");
  REQUIRE(sleeve.telling);
  CHECK(sleeve.telling->access.depth == 0);
  CHECK(sleeve.telling->faulty.open());
  CHECK_FALSE(sleeve.telling->sound.open());
  const Effect& tone = of(harness, effects, "the wire from volume.3 to tone.1 is open");
  REQUIRE(tone.telling);
  CHECK(tone.telling->access.depth == 1);
  // An open capacitor is open anyway.
  CHECK_FALSE(of(harness, effects, "the capacitor cap is open").telling);
}

TEST_CASE("a telling reading is out of its sound limits in the whole faulty circuit too", "[effect]") {
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    if (harness.elements().size() > 70) continue;
    for (const Effect& effect : effects_of(harness, faults_of(harness), {})) {
      if (!effect.telling) continue;
      const Telling& telling = *effect.telling;
      const State state{telling.setting, {}, telling.access.depth > 0, {}, {}};
      const auto ohms =
          true_ohms(harness, state, telling.a, telling.b, &effect.fault, usual_size(effect.fault));
      INFO(path << ": " << in_words(harness, effect.fault));
      const bool inside = ohms.has_value() != telling.sound.open() &&
                          (!ohms || (*ohms >= *telling.sound.low && *ohms <= *telling.sound.high));
      CHECK_FALSE(inside);
    }
  }
}

TEST_CASE("shares of all faults add up to 1, a workshop's weights change them", "[effect]") {
  const Harness harness = netlist_of("harnesses/fernhollow-1.yaml").harness;
  EffectOptions options;
  options.common = {{{Mode::Misplaced, Site::Joint}, 100}};
  for (const auto& with : {EffectOptions{}, options}) {
    std::vector<Fault> faults = faults_of(harness);
    weigh(faults, with.common);
    double sum = 0;
    double misplaced = 0;
    for (const Effect& effect : effects_of(harness, faults, with)) {
      sum += effect.share;
      misplaced += effect.fault.mode == Mode::Misplaced ? effect.share : 0;
    }
    CHECK_THAT(sum, WithinRel(1, 1e-9));
    CHECK((misplaced > 0.5) == !with.common.empty());
  }
}

TEST_CASE("in one setting only that one is read and listened to", "[effect]") {
  const Harness harness = netlist_of("harnesses/fernhollow-2.yaml").harness;
  EffectOptions options;
  options.setting = Setting(harness);  // selector rear
  const auto effects = effects_of(harness, faults_of(harness), options);
  for (const Effect& effect : effects) {
    if (effect.telling) CHECK(effect.telling->setting == *options.setting);
  }
  CHECK(of(harness, effects, "the joint of front.hot at selector.f is open").heard.empty());
  CHECK(of(harness, effects, "the joint of rear.hot at selector.r is open").heard.size() == 1);
}
