// What knobs that are swept and joints that are moved say, each on two worked harnesses.
#include <algorithm>
#include <functional>

#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

struct Swept {
  std::string path;
  std::string pot;
};

const std::vector<Swept> kSwept{{"harnesses/fernhollow-2.yaml", "volume"},
                                {"harnesses/fernhollow-4.yaml", "rear-volume"}};

Observation& sweep_of(const Harness& harness, std::vector<Observation>& readings, const std::string& pot) {
  const auto found = std::find_if(readings.begin(), readings.end(), [&](const Observation& reading) {
    return reading.swept && harness[*reading.swept].name == pot;
  });
  REQUIRE(found != readings.end());
  return *found;
}

bool of_pot(const Harness& harness, const Fault& fault, const std::string& pot) {
  const bool site = fault.site == Site::Track || fault.site == Site::Wiper;
  return site && fault.mode != Mode::Value && harness[*harness[*fault.element].part].name == pot;
}

double probability(const Diagnosis& diagnosis, const std::function<bool(const Fault&)>& which) {
  double sum = 0;
  for (const Suspect& suspect : diagnosis.suspects) sum += which(suspect.fault) ? suspect.probability : 0;
  return sum;
}

// The first reading of a plan with a joint that alone carries it, watched while that joint is pressed.
struct Pressed {
  Observation reading;
  Fault joint;
};

Pressed pressed(const Netlist& netlist, Shows shows) {
  const Harness& harness = netlist.harness;
  const Plan plan = plan_for(harness, netlist.id, {});
  for (const Step& step : plan.steps) {
    if (step.kind != StepKind::Wiggle) continue;
    const State state{step.setting, std::nullopt, step.access.depth > 0, {}, {}};
    for (const Fault& fault : faults_of(harness)) {
      if (fault.mode != Mode::High || fault.site != Site::Joint) continue;
      Fault off = fault;
      off.mode = Mode::Open;
      if (true_ohms(harness, state, step.a, step.b, &off)) continue;
      Observation reading = observe(harness, step, plan.options, nullptr);
      reading.action = Action::Wiggle;
      reading.wiggled = {fault.points[0]};
      reading.shows = shows;
      return {reading, fault};
    }
  }
  FAIL("no joint to press");
  return {};
}

const std::vector<std::string> kPressed{"harnesses/fernhollow-2.yaml", "harnesses/fernhollow-7.yaml"};

}  // namespace

TEST_CASE("a sweep that jumps, all else sound, points at that pot's track and wiper", "[diagnosis]") {
  for (const Swept& swept : kSwept) {
    const std::string& path = swept.path;
    const std::string& pot = swept.pot;
    const Netlist netlist = netlist_of(path);
    const Harness& harness = netlist.harness;
    const Plan plan = plan_for(harness, netlist.id, {});
    const auto worn = std::find_if(plan.faults.begin(), plan.faults.end(), [&](const Fault& fault) {
      return is_worn_track(fault) && harness[*harness[*fault.element].part].name == pot;
    });
    REQUIRE(worn != plan.faults.end());
    const Diagnosis diagnosis = diagnose(harness, take_readings(harness, plan, &*worn), {});
    INFO(path << " sound " << diagnosis.sound);
    CHECK(diagnosis.verdict != Verdict::Sound);
    REQUIRE_FALSE(diagnosis.suspects.empty());
    CHECK(of_pot(harness, diagnosis.suspects[0].fault, pot));
    CHECK(probability(diagnosis, [&](const Fault& fault) { return of_pot(harness, fault, pot); }) > 0.75);
    const bool in_first_group = std::any_of(
        diagnosis.suspects.begin(), diagnosis.suspects.end(),
        [&](const Suspect& each) { return each.group == 1 && each.fault == *worn && !each.size; });
    CHECK(in_first_group);
  }
}

TEST_CASE("a smooth sweep clears that pot's track and wiper of wear, and not another's", "[diagnosis]") {
  for (const Swept& swept : kSwept) {
    const std::string& path = swept.path;
    const std::string& pot = swept.pot;
    const Netlist netlist = netlist_of(path);
    const Harness& harness = netlist.harness;
    const Plan plan = plan_for(harness, netlist.id, {});
    std::vector<Observation> readings = take_readings(harness, plan, nullptr);
    Observation only = sweep_of(harness, readings, pot);
    only.ends.clear();  // the motion alone
    const Diagnosis diagnosis = diagnose(harness, {only}, {});
    CHECK(diagnosis.verdict == Verdict::Unfinished);
    int worn = 0;
    for (const Fault& fault : diagnosis.cleared) {
      if (fault.site != Site::Track && fault.site != Site::Wiper) continue;
      CHECK(of_pot(harness, fault, pot));
      worn += is_worn_track(fault) ? 1 : 0;
    }
    CHECK(worn == 1);
  }
}

TEST_CASE("a blend that jumps puts both its tracks in the first group", "[diagnosis]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-16.yaml");
  const Harness& harness = netlist.harness;
  std::vector<Observation> readings = take_readings(harness, plan_for(harness, netlist.id, {}), nullptr);
  sweep_of(harness, readings, "blend").shows = Shows::Jumps;
  const Diagnosis diagnosis = diagnose(harness, readings, {});
  CHECK(diagnosis.verdict != Verdict::Sound);
  const auto tracks =
      std::count_if(diagnosis.suspects.begin(), diagnosis.suspects.end(),
                    [](const Suspect& each) { return each.group == 1 && is_worn_track(each.fault); });
  CHECK(tracks == 2);
}

// From lug 1 to lug 3 the wiper carries nothing.
TEST_CASE("a sweep that cannot see the wiper clears nothing of the pot", "[diagnosis]") {
  const Netlist netlist = netlist_from("parts:\n  volume: {kind: pot, track: 250k}\n");
  const Sheet sheet =
      sheet_from("readings:\n  - {sweep: volume, between: [volume.1, volume.3], reads: smooth}\n", netlist);
  Observation blind;
  blind.action = Action::Sweep;
  blind.a = sheet.entries[0].a;
  blind.b = sheet.entries[0].b;
  blind.setting = sheet.entries[0].setting;
  blind.access = {1, "cavity"};
  blind.swept = sheet.entries[0].swept;
  blind.shows = Shows::Smooth;
  CHECK(diagnose(netlist.harness, {blind}, {}).cleared.empty());
  blind.b = *netlist.harness.find_point("volume.2");
  CHECK_FALSE(diagnose(netlist.harness, {blind}, {}).cleared.empty());
}

TEST_CASE("the ends of a sweep are weighed as two readings", "[diagnosis]") {
  for (const Swept& swept : kSwept) {
    const std::string& path = swept.path;
    const Netlist netlist = netlist_of(path);
    const Harness& harness = netlist.harness;
    const Plan plan = plan_for(harness, netlist.id, {});
    const auto step = std::find_if(plan.steps.begin(), plan.steps.end(),
                                   [](const Step& each) { return each.kind == StepKind::Sweep; });
    REQUIRE(step != plan.steps.end());
    Step start = *step;
    start.kind = StepKind::Read;
    Step end = start;
    end.setting = left_at(*step);
    for (const Fault& fault : plan.faults) {
      if (fault.mode != Mode::Open || fault.site != Site::Joint) continue;
      std::vector<Observation> two{observe(harness, start, {}, &fault), observe(harness, end, {}, &fault)};
      Observation sweep = observe(harness, *step, {}, nullptr);
      sweep.ends.clear();
      for (const Observation& each : two)
        sweep.ends.push_back({each.shows, each.value, each.resolution, "typed"});
      const Diagnosis apart = diagnose(harness, {sweep, two[0], two[1]}, {});
      const Diagnosis within = diagnose(harness, {sweep}, {});
      REQUIRE(within.readings.size() == 1);
      REQUIRE(within.readings[0].ends.size() == 2);
      INFO(path << ": " << in_words(harness, fault));
      CHECK(within.readings[0].agrees == (apart.readings[1].agrees && apart.readings[2].agrees));
      std::vector<Observation> three{sweep, two[0], two[1]};
      three[0].ends.clear();
      CHECK_THAT(within.sound, WithinRel(diagnose(harness, three, {}).sound, 1e-6));
      break;
    }
  }
}

TEST_CASE(
    "a reading that moves with a joint points at the joint, and one that stands still clears it a little",
    "[diagnosis]") {
  for (const std::string& path : kPressed) {
    const Netlist netlist = netlist_of(path);
    const Harness& harness = netlist.harness;
    const Pressed moves = pressed(netlist, Shows::Unstable);
    const auto at_it = [&](const Fault& fault) {
      return std::find(fault.points.begin(), fault.points.end(), moves.joint.points[0]) != fault.points.end();
    };
    const auto of_joint = [&](const Fault& fault) { return fault == moves.joint; };
    const Diagnosis unstable = diagnose(harness, {moves.reading}, {});
    INFO(path << ": " << in_words(harness, moves.joint));
    CHECK(unstable.verdict != Verdict::Sound);
    REQUIRE_FALSE(unstable.suspects.empty());
    for (const Suspect& suspect : unstable.suspects) {
      if (suspect.group == 1) CHECK(at_it(suspect.fault));
    }
    CHECK(probability(unstable, of_joint) > 5 * probability(diagnose(harness, {}, {}), of_joint));

    // Beside a reading that is open: that did not come back while the joint was pressed, which makes it less likely.
    const auto off = [&](const Fault& fault) {
      return fault.mode == Mode::Open && fault.site == Site::Joint && fault.points == moves.joint.points;
    };
    Observation open = moves.reading;
    open.action = Action::Read;
    open.wiggled.clear();
    open.shows = Shows::OverRange;
    const Pressed still = pressed(netlist, Shows::Steady);
    const double before = probability(diagnose(harness, {open}, {}), off);
    const Diagnosis steady = diagnose(harness, {open, still.reading}, {});
    const double after = probability(steady, off);
    CHECK(before > 0);
    CHECK(after < 0.7 * before);
    CHECK(std::none_of(steady.cleared.begin(), steady.cleared.end(), off));
  }
}

// A wire that is off hangs free: pressed, it often stays off.
TEST_CASE("what stays open while a joint is pressed is a fault as before", "[diagnosis]") {
  for (const std::string& path : kPressed) {
    const Netlist netlist = netlist_of(path);
    const Pressed still = pressed(netlist, Shows::Steady);
    Observation open = still.reading;
    open.action = Action::Read;
    open.wiggled.clear();
    open.shows = Shows::OverRange;
    INFO(path << ": " << in_words(netlist.harness, still.joint));
    for (const std::size_t times : {1, 2, 3}) {
      std::vector<Observation> readings{open, open};
      readings.insert(readings.end(), times, still.reading);
      CHECK(diagnose(netlist.harness, readings, {}).verdict == Verdict::Fault);
    }
  }
}

TEST_CASE("a plain reading that does not stand still points at what lies on its way", "[diagnosis]") {
  for (const std::string& path : kPressed) {
    const Netlist netlist = netlist_of(path);
    const Harness& harness = netlist.harness;
    Observation reading = pressed(netlist, Shows::Unstable).reading;
    reading.action = Action::Read;
    reading.wiggled.clear();
    const Diagnosis diagnosis = diagnose(harness, {reading}, {});
    INFO(path);
    CHECK(diagnosis.verdict != Verdict::Sound);
    CHECK(diagnosis.suspects.size() > 3);
    const State state{reading.setting, std::nullopt, reading.access.depth > 0, {}, {}};
    const double sound = *true_ohms(harness, state, reading.a, reading.b, nullptr);
    bool worn = false;
    for (const Suspect& suspect : diagnosis.suspects) {
      CHECK((suspect.fault.mode == Mode::Open || suspect.fault.mode == Mode::High));
      worn = worn || is_worn_track(suspect.fault);
      if (is_worn_track(suspect.fault)) continue;
      const auto faulty = true_ohms(harness, state, reading.a, reading.b, &suspect.fault, 1000);
      CHECK((!faulty || *faulty != sound));
    }
    CHECK(worn);
  }
}
