#include "exercise/exercise.h"

#include <algorithm>
#include <map>
#include <string>
#include <tuple>

#include "exercise/inside/answer.h"
#include "exercise/mark.h"
#include "exercise/practice.h"
#include "exercise/seal.h"
#include "fault/naming.h"
#include "handling/capacity.h"
#include "handling/handling.h"
#include "report/exercise.h"
#include "report/practice.h"
#include "simulation/simulation.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

// Several of each, found once: making them is the slow part.
const std::vector<Exercise>& made(int level) {
  static std::vector<Exercise> known[kLevels + 1];
  if (known[level].empty()) {
    const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
    ExerciseOptions options;
    options.level = level;
    options.seed = 77;
    ExerciseMaker maker(netlist.harness, netlist.id, options);
    for (int number = 1; number <= 3; ++number) {
      auto exercise = maker.make(number);
      REQUIRE(exercise);
      known[level].push_back(std::move(*exercise));
    }
  }
  return known[level];
}

}  // namespace

TEST_CASE("a seal gives back what was put in, and is always as long", "[exercise]") {
  Sealed content;
  content.seed = 12345678901234567ULL;
  const std::string empty = sealed(content, 1);
  content.ills.push_back({"k7m2xq4", 35.5, false});
  const std::string one = sealed(content, 2);
  content.ills.push_back({"f97yabg", 0, true});
  const std::string two = sealed(content, 3);
  CHECK(empty.size() == one.size());
  CHECK(one.size() == two.size());
  const auto back = opened(two);
  REQUIRE(back);
  CHECK(back->seed == content.seed);
  REQUIRE(back->ills.size() == 2);
  CHECK(back->ills[0].fault == "k7m2xq4");
  CHECK(back->ills[0].size == 35.5);
  CHECK(back->ills[1].comes_and_goes);
  CHECK(sealed(content, 4) != two);
  CHECK(two.find("k7m2xq4") == std::string::npos);
}

TEST_CASE("a seal that was changed in any digit is none", "[exercise]") {
  const std::string seal = sealed({7, {{"k7m2xq4", 1, false}}}, 9);
  for (std::size_t i = 0; i < seal.size(); ++i) {
    std::string changed = seal;
    changed[i] = changed[i] == '0' ? '1' : '0';
    CHECK_FALSE(opened(changed));
  }
  CHECK_FALSE(opened(""));
  CHECK_FALSE(opened(seal + "00"));
  CHECK_FALSE(opened(std::string(seal.size(), 'x')));
}

TEST_CASE("an exercise has one right group, what is wrong is in it, and its way leads there", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  const Harness& harness = netlist.harness;
  const auto faults = faults_of(harness);
  for (int level = 1; level <= kLevels; ++level) {
    for (const Exercise& exercise : made(level)) {
      INFO("level " << level << ", number " << exercise.number);
      REQUIRE(exercise.answer.size() == exercise.ailments.size());
      for (std::size_t g = 0; g < exercise.answer.size(); ++g) {
        CHECK(std::count(exercise.answer[g].begin(), exercise.answer[g].end(), exercise.ailments[g].fault) ==
              1);
      }
      CHECK(exercise.given.empty() == (level > 2));
      if (level == 1) {
        const Mode mode = faults[exercise.ailments[0].fault].mode;
        CHECK((mode == Mode::Open || mode == Mode::Short));
      }
      if (level == 3) CHECK_FALSE(exercise.heard.empty());
      // The key agrees with the diagnosis of its own path.
      std::vector<Observation> path;
      for (const PathStep& step : exercise.path) path.push_back(step.seen);
      DiagnosisOptions told;
      told.suggest = told.separate = false;
      const Diagnosis diagnosis = diagnose(harness, path, told, exercise.heard);
      CHECK(diagnosis.verdict == Verdict::Fault);
      for (const Suspect& suspect : diagnosis.suspects) {
        if (suspect.group != 1) continue;
        const auto right = [&](const Fault& fault) {
          return std::any_of(exercise.answer.begin(), exercise.answer.end(), [&](const auto& group) {
            return std::any_of(group.begin(), group.end(), [&](std::size_t f) {
              return faults[f] == fault || (partner(faults[f]) && *partner(faults[f]) == fault);
            });
          });
        };
        CHECK(right(suspect.fault));
        if (suspect.also) CHECK(right(*suspect.also));
      }
    }
  }
}

TEST_CASE("the key's way costs the hands no more than taking what the next probe asks for", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  const Harness& harness = netlist.harness;
  int settled = 0;
  for (const int level : {1, 3}) {
    ExerciseOptions options;
    options.level = level;
    options.seed = 9988776655;
    ExerciseMaker maker(harness, netlist.id, options);
    Diagnoser diagnoser(harness, {});
    for (int number = 1; number <= 5; ++number) {
      const auto exercise = maker.make(number);
      REQUIRE(exercise);
      SimulationOptions simulated;
      simulated.seed = exercise->instrument;
      Simulation simulation(harness, maker.faults(), exercise->ailments, simulated);
      std::vector<Observation> seen;
      Hands hands;
      hands.setting = Setting(harness);
      double seconds = 0;
      for (;;) {
        const Diagnosis diagnosis = diagnoser.diagnose(seen, exercise->heard);
        if (exercise::inside::confirms(maker.faults(), *exercise, diagnosis)) {
          INFO(level << ' ' << number);
          CHECK(exercise->path_seconds <= seconds + 0.5);
          CHECK(exercise->path.size() <= seen.size());
          ++settled;
          break;
        }
        if (!diagnosis.next || seen.size() == 18) break;  // `next` doesn't part all that can be parted
        Observation probe = as_observation(harness, *diagnosis.next);
        const auto again = std::count_if(seen.begin(), seen.end(),
                                         [&](const auto& other) { return at_one_place(other, probe); });
        simulation.take(probe, diagnosis.next->range, static_cast<std::size_t>(again));
        seconds += seconds_to_take(harness, {}, hands, probe);
        seen.push_back(std::move(probe));
      }
    }
  }
  CHECK(settled >= 5);
}

TEST_CASE("two faults are no exercise where two quite other ones explain all as well", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  const auto faults = faults_of(netlist.harness);
  Exercise exercise;
  exercise.ailments = {{0, 0, false}, {5, 0, false}};
  const auto both = [&](std::size_t one, std::size_t other, double probability) {
    Suspect suspect;
    suspect.fault = faults[one];
    suspect.also = faults[other];
    suspect.group = 1;
    suspect.probability = probability;
    return suspect;
  };
  Diagnosis diagnosis;
  diagnosis.verdict = Verdict::Fault;
  diagnosis.suspects = {both(0, 5, 0.4), both(1, 5, 0.2), both(0, 6, 0.2), both(1, 6, 0.15)};
  // One at either place can't be told from its neighbour: both go with both.
  const auto groups = exercise::inside::settle(faults, exercise, diagnosis);
  REQUIRE(groups);
  CHECK(*groups == exercise::inside::Groups{{0, 1}, {5, 6}});
  diagnosis.suspects.push_back(both(10, 12, 0.05));
  CHECK_FALSE(exercise::inside::settle(faults, exercise, diagnosis));
}

TEST_CASE("some exercises of the fourth level have one joint that comes and goes, right as cold and as open",
          "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  ExerciseOptions options;
  options.level = 4;
  options.seed = 4142;
  ExerciseMaker maker(netlist.harness, netlist.id, options);
  int come_and_go = 0;
  int two = 0;
  for (int number = 1; number <= 8; ++number) {
    const auto exercise = maker.make(number);
    REQUIRE(exercise);
    two += exercise->ailments.size() == 2 ? 1 : 0;
    if (!exercise->ailments.front().comes_and_goes) continue;
    ++come_and_go;
    REQUIRE(exercise->answer.size() == 1);
    for (const Mode mode : {Mode::Open, Mode::High}) {
      CHECK(std::any_of(exercise->answer[0].begin(), exercise->answer[0].end(), [&](std::size_t f) {
        return maker.faults()[f].mode == mode &&
               same_place(maker.faults()[f], maker.faults()[exercise->ailments.front().fault]);
      }));
    }
    // What doesn't show at rest is settled by pressing.
    CHECK(std::any_of(exercise->path.begin(), exercise->path.end(), [](const PathStep& step) {
      return step.seen.action == Action::Wiggle && step.seen.shows == Shows::Unstable;
    }));
  }
  CHECK(come_and_go >= 1);
  CHECK(two >= 1);
}

TEST_CASE("who has solved one exercise of a folder does not know the answer of the next, or it is said",
          "[exercise]") {
  // The first two draws of 9 are the same wire; 15 has few faults of level 1 that can be told apart.
  for (const auto& [file, seed, most] : {std::tuple{"harnesses/fernhollow-9.yaml", 880408ULL, 0},
                                         std::tuple{"harnesses/fernhollow-15.yaml", 5ULL, 6}}) {
    INFO(file);
    const Netlist netlist = netlist_of(file);
    ExerciseOptions options;
    options.seed = seed;
    ExerciseMaker maker(netlist.harness, netlist.id, options);
    std::vector<Exercise> exercises;
    int said = 0;
    for (int number = 1; number <= 8; ++number) {
      auto exercise = maker.make(number);
      REQUIRE(exercise);
      const std::size_t is = exercise->ailments[0].fault;
      const auto same = std::find_if(exercises.begin(), exercises.end(), [&](const Exercise& before) {
        return std::count(before.answer[0].begin(), before.answer[0].end(), is) > 0;
      });
      CHECK(exercise->answered_by.has_value() == (same != exercises.end()));
      if (exercise->answered_by) CHECK(*exercise->answered_by == same->number);
      said += exercise->answered_by ? 1 : 0;
      exercises.push_back(std::move(*exercise));
    }
    CHECK(said <= most);
  }
}

TEST_CASE("a complaint exactly as loud as what tells two groups apart does so whatever was diagnosed before",
          "[exercise]") {
  // Two equal tone circuits, the wire of one open: the readings fit both, and only the complaint, "front-tone does nothing"
  // (0.8 against 0.02), tells which: by a factor of exactly forty. An optimised build once put both in one group.
  const Netlist netlist = netlist_of("harnesses/fernhollow-4.yaml");
  ExerciseOptions options;
  options.seed = 918273645546372819ULL;
  ExerciseMaker maker(netlist.harness, netlist.id, options);
  const auto exercise = maker.make(33);
  REQUIRE(exercise);
  REQUIRE(exercise->heard.size() == 1);
  DiagnosisOptions told;
  told.suggest = told.separate = false;
  const Diagnosis diagnosis = diagnose(netlist.harness, exercise->given, told, exercise->heard);
  const auto in_first = std::count_if(diagnosis.suspects.begin(), diagnosis.suspects.end(),
                                      [](const Suspect& each) { return each.group == 1; });
  CHECK(in_first == 5);
  CHECK(exercise->answer[0].size() == 5);
}

TEST_CASE("a student who goes the key's way and names what is wrong has all marks", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  const Harness& harness = netlist.harness;
  const auto faults = faults_of(harness);
  for (const Exercise& exercise : made(3)) {
    Key key;
    key.answer = exercise.answer;
    key.least_seconds = exercise.path_seconds;
    Attempt attempt;
    attempt.heard = exercise.heard;
    for (const PathStep& step : exercise.path) attempt.probes.push_back(step.seen);
    attempt.claims.push_back({"", exercise.ailments.front().fault});
    attempt.of_the_key.assign(attempt.probes.size(), true);
    CHECK_THAT(mark(harness, faults, {}, key, attempt, {}).total(), Catch::Matchers::WithinAbs(100, 1e-6));
    // Without the key's word for it they are judged by what each could be expected to tell.
    attempt.of_the_key.clear();
    const Grade best = mark(harness, faults, {}, key, attempt, {});
    CHECK(best.place == 60);
    CHECK(best.hands > 14);
    CHECK(best.total() > 85);

    // The same reading three times over: two of them are wasted, and cost marks.
    if (attempt.probes.empty()) continue;
    attempt.probes.insert(attempt.probes.end(), 2, attempt.probes.back());
    const Grade wasteful = mark(harness, faults, {}, key, attempt, {});
    CHECK(wasteful.each.back().wasted);
    CHECK(wasteful.each.back().repeats);
    CHECK(wasteful.total() < best.total());

    // A wrong claim costs five, and the right one still counts.
    for (std::size_t f = 0; f < faults.size(); ++f) {
      if (same_place(faults[f], faults[*attempt.claims.front().fault])) continue;
      const bool right = std::any_of(exercise.answer[0].begin(), exercise.answer[0].end(),
                                     [&](std::size_t r) { return same_place(faults[r], faults[f]); });
      if (right) continue;
      attempt.claims.insert(attempt.claims.begin(), ClaimedFault{"", f});
      break;
    }
    const Grade guessed = mark(harness, faults, {}, key, attempt, {});
    CHECK(guessed.wrong == 5);
    CHECK(guessed.place == 60);
    // Written down twice it is one claim.
    attempt.claims.push_back(attempt.claims.front());
    CHECK(mark(harness, faults, {}, key, attempt, {}).total() == guessed.total());
  }
}

TEST_CASE("the key's own way takes as long for a student as the key says, leads off and on again with it",
          "[exercise]") {
  int lifts = 0;
  for (const char* path : {"harnesses/fernhollow-1.yaml", "harnesses/fernhollow-2.yaml"}) {
    const Netlist netlist = netlist_of(path);
    ExerciseOptions options;
    options.level = 3;
    options.seed = 5;
    ExerciseMaker maker(netlist.harness, netlist.id, options);
    for (int number = 1; number <= 9; ++number) {
      const auto exercise = maker.make(number);
      if (!exercise) continue;
      Key key;
      key.answer = exercise->answer;
      key.least_seconds = exercise->path_seconds;
      Attempt attempt;
      attempt.heard = exercise->heard;
      for (const PathStep& step : exercise->path) {
        attempt.probes.push_back(step.seen);
        lifts += step.seen.lifted.empty() ? 0 : 1;
      }
      attempt.claims.push_back({"", exercise->ailments.front().fault});
      const Grade grade = mark(netlist.harness, maker.faults(), {}, key, attempt, {});
      INFO(path << " " << number);
      CHECK_THAT(grade.seconds, Catch::Matchers::WithinAbs(exercise->path_seconds, 1e-6));
      if (!exercise->path.empty()) CHECK_THAT(grade.hands, Catch::Matchers::WithinAbs(15, 1e-6));
    }
  }
  CHECK(lifts > 0);
}

TEST_CASE("what is heard everywhere is said of no setting, and nothing is said twice", "[exercise]") {
  int everywhere = 0, somewhere = 0;
  for (int level : {3, 4}) {
    const Netlist netlist =
        netlist_of(level == 3 ? "harnesses/fernhollow-2.yaml" : "harnesses/fernhollow-1.yaml");
    ExerciseOptions options;
    options.level = level;
    options.seed = 5;
    ExerciseMaker maker(netlist.harness, netlist.id, options);
    for (int number = 1; number <= (level == 3 ? 16 : 4); ++number) {
      const auto exercise = maker.make(number);
      if (!exercise) continue;
      for (std::size_t i = 0; i < exercise->heard.size(); ++i) {
        const Heard& heard = exercise->heard[i];
        (heard.set_given ? somewhere : everywhere) += 1;
        for (std::size_t j = 0; j < i; ++j) {
          const Heard& other = exercise->heard[j];
          CHECK_FALSE((other.sound == heard.sound && other.pickup == heard.pickup &&
                       other.control == heard.control && other.set_given == heard.set_given &&
                       other.setting == heard.setting));
        }
      }
    }
  }
  CHECK(everywhere > 0);
  CHECK(somewhere > 0);
}

TEST_CASE("a reading over the range and the next on a higher one are no repetition", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  const auto faults = faults_of(harness);
  const auto open = find_fault(harness, faults, "the joint of front.hot at selector.f is open");
  REQUIRE(open.fault);
  Key key;
  key.answer = {{*open.fault}};
  const DiagnosisOptions options;
  Observation low;
  low.a = *harness.find_point("jack.plug-tip");
  low.b = *harness.find_point("jack.plug-sleeve");
  low.setting = Setting(harness);
  low.setting.select(*harness.find_part("selector"), 0);
  low.shows = Shows::OverRange;
  low.range = *options.meter.find_range(20e3);
  Observation high = low;
  high.range = *options.meter.find_range(2e6);
  Attempt attempt;
  attempt.probes = {low, high};
  CHECK_FALSE(mark(harness, faults, options, key, attempt, {}).each.back().repeats);
  attempt.probes = {low, low};
  CHECK(mark(harness, faults, options, key, attempt, {}).each.back().repeats == 0);
}

TEST_CASE("who was given the readings and takes none is marked on the place alone", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  const auto faults = faults_of(netlist.harness);
  const Exercise& exercise = made(1).front();
  Key key;
  key.answer = exercise.answer;
  Attempt attempt;
  attempt.readings_given = true;
  attempt.claims.push_back({"", exercise.answer[0].front()});
  CHECK(mark(netlist.harness, faults, {}, key, attempt, {}).total() == 100);
  attempt.claims.front() = {"the moon is open", std::nullopt};  // no such fault
  CHECK(mark(netlist.harness, faults, {}, key, attempt, {}).total() == 0);
}

TEST_CASE("at the instrument any line is answered, and none says what is wrong", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  const auto faults = faults_of(harness);
  const auto open = find_fault(harness, faults, "the joint of front.hot at selector.f is open");
  REQUIRE(open.fault);
  Sealed content{5, {{fault_id(harness, faults[*open.fault]), 0, false}}};
  Practice practice(harness, faults, content, {}, {});
  using Kind = PracticeReply::Kind;
  PracticeReply reply = practice.take("jack.plug-tip jack.plug-sleeve selector=front");
  CHECK(reply.kind == Kind::Read);
  CHECK(reply.seen.text == "OL");
  reply = practice.take("jack.plug-tip jack.plug-sleeve selector=rear");
  CHECK(reply.seen.shows == Shows::Value);
  CHECK(practice.take("range 2M").kind == Kind::Ranged);
  reply = practice.take("jack.plug-tip jack.plug-sleeve selector=front");
  CHECK(reply.seen.shows == Shows::Value);  // the volume's track
  CHECK(practice.take("range auto").kind == Kind::Ranged);
  CHECK(practice.take("lift volume.3>tone.1").kind == Kind::Lifted);
  CHECK(practice.take("refit volume.3>tone.1").kind == Kind::Lifted);
  CHECK(practice.take("sweep volume volume.2 volume.1").kind == Kind::Read);
  CHECK(practice.take("wiggle selector.f selector.f front.hot").kind == Kind::Read);
  CHECK(practice.take("faults selector.f").faults.size() > 2);
  CHECK(practice.take("is the joint of front.hot at selector.f is open").kind == Kind::Claimed);
  CHECK(practice.take("help").kind == Kind::Help);
  CHECK(practice.take("").kind == Kind::Nothing);
  for (const char* wrong : {"jack.plug-tip", "jack.tipp jack.sleeve", "set volume", "set volume=11",
                            "range 3k", "lift", "lift volume.3", "refit front.hot", "sweep", "sweep jack a b",
                            "wiggle volume.case", "is", "is the moon", "blah", "a.b c.d", "read read read",
                            "jack.tip jack.tip", "jack.plug-tip jack.tip jack=out"}) {
    INFO(wrong);
    reply = practice.take(wrong);
    CHECK(reply.kind == Kind::Refused);
    CHECK_FALSE(reply.problem.empty());
  }
  CHECK(practice.take("is  the moon").problem == "no such fault: 'the moon'");
  CHECK(practice.take(std::string(100000, 'a')).kind == Kind::Refused);
  CHECK(practice.take("stop").kind == Kind::Stopped);
}

TEST_CASE("the first probe that the diagnosis asks for is no waste, whatever the player says", "[exercise]") {
  // A cold joint is of ohms or of megohms: a reading that parts these from what is sound tells something.
  const Netlist netlist = netlist_of("harnesses/fernhollow-3.yaml");
  const Harness& harness = netlist.harness;
  const auto faults = faults_of(harness);
  Key key;
  key.answer = {{0}};
  for (const Sound sound : {Sound::Silent, Sound::Weak, Sound::Crackles, Sound::Dull, Sound::Buzzes}) {
    Attempt attempt;
    attempt.heard.push_back(Heard{});
    attempt.heard.back().sound = sound;
    attempt.heard.back().setting = Setting(harness);
    DiagnosisOptions told;
    told.separate = false;
    const Diagnosis before = diagnose(harness, {}, told, attempt.heard);
    REQUIRE(before.next);
    attempt.probes.push_back(as_observation(harness, *before.next));
    const Grade grade = mark(harness, faults, {}, key, attempt, {});
    INFO(sound_word(sound) << " " << grade.each[0].bits);
    CHECK_FALSE(grade.each[0].wasted);
    CHECK(grade.each[0].bits == grade.each[0].best);
  }
}

TEST_CASE("words that name no fault cost once, however often they stand there", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  const auto faults = faults_of(netlist.harness);
  Key key;
  key.answer = made(1).front().answer;
  Attempt attempt;
  attempt.claims = {{"the moon is open", std::nullopt}, {"The  Moon is open", std::nullopt}};
  CHECK(mark(netlist.harness, faults, {}, key, attempt, {}).wrong == 5);
  attempt.claims.push_back({"the sun is open", std::nullopt});
  CHECK(mark(netlist.harness, faults, {}, key, attempt, {}).wrong_claims == std::vector<std::size_t>{0, 2});
}

TEST_CASE("what is heard everywhere is told of no place, on the sheet and at the instrument", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  Exercise exercise;
  exercise.level = 3;
  exercise.heard.resize(2);
  exercise.heard[0].pickup = harness.find_part("front");
  exercise.heard[0].setting = Setting(harness);  // at the rear, where a sound one's front is silent too
  exercise.heard[1].control = harness.find_part("tone");
  exercise.heard[1].sound = Sound::DoesNothing;
  exercise.heard[1].setting = Setting(harness);
  const std::string sheet = sheet_as_markdown({}, harness, {}, exercise);
  CHECK_THAT(sheet, Catch::Matchers::ContainsSubstring("front silent; tone does nothing"));
  CHECK_THAT(sheet, !Catch::Matchers::ContainsSubstring("selector"));
  const ExerciseNote note;
  const auto faults = faults_of(harness);
  const PracticeSheet asked{harness, faults, note, exercise.heard, {}};
  CHECK_THAT(practice_opening(asked), Catch::Matchers::ContainsSubstring("says: front silent\n"));
  exercise.heard[0].set_given = true;
  CHECK_THAT(sheet_as_markdown({}, harness, {}, exercise),
             Catch::Matchers::ContainsSubstring("front silent, with selector rear"));
}

TEST_CASE("a key tells of a smooth sweep what stood at its stops, and of a reading taken again that it is",
          "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  Exercise exercise;
  exercise.ailments.push_back({0});
  exercise.answer = {{0}};
  PathStep step;
  step.seen.action = Action::Sweep;
  step.seen.a = *harness.find_point("cap.1");
  step.seen.b = *harness.find_point("cap.2");
  step.seen.setting = Setting(harness);
  step.seen.swept = *harness.find_part("tone");
  step.seen.shows = Shows::Smooth;
  step.seen.text = "smooth";
  step.seen.ends.resize(2);
  for (Display& end : step.seen.ends) end.text = "OL";
  step.seen.range = Range{2e6, {}};
  step.agrees = false;
  exercise.path = {step, step};
  const std::string key = key_as_markdown({}, harness, faults_of(harness), {}, exercise);
  CHECK_THAT(key, Catch::Matchers::ContainsSubstring("smooth, OL to OL on 2M"));
  CHECK_THAT(key, Catch::Matchers::ContainsSubstring("what stands at its stops is wrong"));
  CHECK_THAT(key, Catch::Matchers::ContainsSubstring("Once more, as a reading may be a slip"));

  for (PathStep& each : exercise.path) {
    each.seen.action = Action::Read;
    each.seen.shows = Shows::OverRange;
    each.probe.range = *each.seen.range;
  }
  exercise.path[1].seen.range = Range{20e6, {}};
  CHECK_THAT(key_as_markdown({}, harness, faults_of(harness), {}, exercise),
             Catch::Matchers::ContainsSubstring("The same on a higher range"));
}

TEST_CASE("at the instrument refit alone puts all back, and a hint has no end left over", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const auto faults = faults_of(netlist.harness);
  Practice practice(netlist.harness, faults, Sealed{5, {}}, {}, {});
  CHECK(practice.take("refit").kind == PracticeReply::Kind::Refused);
  CHECK(practice.take("lift volume.3>tone.1").kind == PracticeReply::Kind::Lifted);
  CHECK(practice.take("lift front.hot").kind == PracticeReply::Kind::Lifted);
  CHECK(practice.take("refit").kind == PracticeReply::Kind::Lifted);
  CHECK(practice.lifted().empty());
  const PracticeReply reply = practice.take("JACK.PLUG-TIP jack.tip");
  REQUIRE(reply.hints.size() == 1);
  CHECK(reply.hints[0] == "nearest name is 'jack.plug-tip'");
}

TEST_CASE("a line of leads that is refused lifts none of them", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const auto faults = faults_of(netlist.harness);
  Practice practice(netlist.harness, faults, Sealed{5, {}}, {}, {});
  for (const char* line : {"lift front.hot front.hot", "lift front.hot jack.plug-tip"}) {
    CHECK(practice.take(line).kind == PracticeReply::Kind::Refused);
    CHECK(practice.lifted().empty());
  }
}

TEST_CASE("of a thousand probes the first hundred are judged, and the rest is wasted at no cost",
          "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  const auto faults = faults_of(netlist.harness);
  Key key;
  key.answer = {{0}};
  Attempt attempt;
  Observation probe;
  probe.a = *netlist.harness.find_point("jack.plug-tip");
  probe.b = *netlist.harness.find_point("jack.plug-sleeve");
  probe.setting = Setting(netlist.harness);
  probe.text = "5.80k";
  probe.value = 5800;
  probe.range = *DiagnosisOptions{}.meter.find_range(20e3);
  attempt.probes.assign(1000, probe);
  const Grade grade = mark(netlist.harness, faults, {}, key, attempt, {});
  REQUIRE(grade.each.size() == 1000);
  CHECK_FALSE(grade.each[0].wasted);
  CHECK(grade.each.back().wasted);
  CHECK(grade.each.back().seconds == grade.each[kMostJudged - 1].seconds);
}

TEST_CASE("no more readings are taken at the instrument than can be marked", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  const auto faults = faults_of(netlist.harness);
  PracticeLog log;
  log.given = 6;
  std::size_t most = 1;
  while (too_many_to_weigh(most + 1).empty()) ++most;
  log.probes.resize(most - log.given - 1);
  Practice practice(netlist.harness, faults, Sealed{5, {}}, {}, log);
  CHECK(practice.take("jack.plug-tip jack.plug-sleeve").kind == PracticeReply::Kind::Read);
  CHECK(practice.take("jack.plug-tip jack.plug-sleeve").kind == PracticeReply::Kind::Refused);
  CHECK(practice.log().probes.size() == most - log.given);
}

TEST_CASE("who takes what the diagnosis asks for next has all points of the probes", "[exercise]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  const Harness& harness = netlist.harness;
  const auto faults = faults_of(harness);
  for (const Exercise& exercise : made(3)) {
    SimulationOptions simulated;
    simulated.seed = exercise.instrument;
    Simulation simulation(harness, faults, exercise.ailments, simulated);
    DiagnosisOptions told;
    told.separate = false;
    Attempt attempt;
    attempt.heard = exercise.heard;
    while (attempt.probes.size() < 6) {
      const Diagnosis before = diagnose(harness, attempt.probes, told, attempt.heard);
      if (!before.next || before.next->why == NextProbe::Why::Proof) break;
      Observation seen = as_observation(harness, *before.next);
      simulation.take(seen, before.next->range, attempt.probes.size());
      attempt.probes.push_back(seen);
    }
    REQUIRE_FALSE(attempt.probes.empty());
    Key key;
    key.answer = exercise.answer;
    const Grade grade = mark(harness, faults, {}, key, attempt, {});
    INFO(exercise.number);
    CHECK_THAT(grade.probes, Catch::Matchers::WithinAbs(25, 1e-9));
  }
}
