#include "exercise/exercise.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "circuit/capacitance.h"
#include "effect/effect.h"
#include "exercise/inside/digest.h"
#include "exercise/inside/information.h"
#include "hearing/listener.h"
#include "simulation/simulation.h"

namespace lugwise {

using namespace exercise::inside;
namespace {

// Readings that are asked for before an exercise is given up as one that can't be settled.
constexpr std::size_t kMostReadings = 18;

// Faults that are drawn before a number is given up.
constexpr int kTries = 60;

// What so few bits could still tell apart is not asked for.
constexpr double kLittle = 0.1;

// So often the same reading is taken before it is known to tell nothing more.
constexpr std::ptrdiff_t kOften = 3;

// Enough to act on.
constexpr double kSettled = 0.9;

bool same(const Fault& x, const Fault& y) {
  if (x == y) return true;
  const auto other = partner(y);
  return other && x == *other;
}

}  // namespace

std::string_view level_in_words(int level) {
  switch (level) {
    case 1:
      return "one open or short";
    case 2:
      return "one fault of any kind";
    case 3:
      return "one fault, from a complaint alone";
    default:
      return "two faults, or one that comes and goes";
  }
}

class ExerciseMaker::Bench {
 public:
  Bench(const Harness& harness, std::string harness_id, const ExerciseOptions& options)
      : harness_(harness),
        harness_id_(std::move(harness_id)),
        options_(options),
        faults_(faults_at(harness, options.stage)),
        listener_(harness, options.stage) {
    weigh(faults_, options.common);
    static_cast<Circumstances&>(told_) = options;
    if (options.temperature) told_.temperature = exactly(*options.temperature);
    diagnoser_.emplace(harness, told_);
    for (std::size_t f = 0; f < faults_.size(); ++f) {
      if (options.chosen ? f == *options.chosen : offered(faults_[f])) drawn_from_.push_back(f);
    }
  }

  const std::vector<Fault>& faults() const { return faults_; }

  std::optional<Exercise> make(int number) {
    if (drawn_from_.empty()) return std::nullopt;
    for (int attempt = 0; attempt < kTries; ++attempt) {
      const std::string name =
          fmt::format("{} {} {} {} {}", harness_id_, options_.seed, options_.level, number, attempt);
      Exercise exercise;
      exercise.number = number;
      exercise.level = options_.level;
      exercise.instrument = digest_number("instrument " + name);
      exercise.salt = digest_number("salt " + name);
      Dice dice(digest_number("fault " + name), 0);
      if (draw(exercise, dice) && fill(exercise)) return exercise;
    }
    return std::nullopt;
  }

 private:
  bool offered(const Fault& fault) const {
    return options_.level != 1 || fault.mode == Mode::Open || fault.mode == Mode::Short;
  }

  std::size_t draw_fault(Dice& dice) const {
    double weights = 0;
    for (std::size_t f : drawn_from_) weights += faults_[f].weight;
    double left = dice.even() * weights;
    for (std::size_t f : drawn_from_) {
      left -= faults_[f].weight;
      if (left < 0) return f;
    }
    return drawn_from_.back();
  }

  // What is wrong with it. False: this draw is none of the level's.
  bool draw(Exercise& exercise, Dice& dice) {
    const std::size_t first = draw_fault(dice);
    exercise.ailments.push_back({first, draw_size(harness_, faults_[first], dice), false});
    if (options_.level == 4) {
      const Fault& fault = faults_[first];
      const bool joint = fault.site == Site::Joint || fault.site == Site::Blob || fault.site == Site::Contact;
      if (joint && fault.mode == Mode::Open && dice.chance(0.5)) {
        exercise.ailments.front().comes_and_goes = true;
      } else {
        // The second is any other of the list, also where the first was chosen.
        std::size_t second = first;
        for (int tries = 0; tries < 50 && second == first; ++tries) {
          const std::size_t other = dice.below(faults_.size());
          if (!same_place(faults_[other], fault)) second = other;
        }
        if (second == first) return false;
        exercise.ailments.push_back({second, draw_size(harness_, faults_[second], dice), false});
      }
    }
    for (const Ailment& each : exercise.ailments) hear(exercise, each);
    return options_.level != 3 || !exercise.heard.empty();
  }

  // What the player says of one fault: the first of it, where it is loudest.
  void hear(Exercise& exercise, const Ailment& ailment) {
    const double size = ailment.size;
    for (const Complaint& complaint : listener_.complaints(faults_[ailment.fault], size)) {
      const Complaint said = ailment.comes_and_goes
                                 ? Complaint{Sound::CutsOut, complaint.pickup, std::nullopt, complaint.in}
                                 : complaint;
      if (said.in.empty()) continue;
      Heard heard;
      heard.pickup = said.pickup;
      heard.control = said.control;
      heard.setting = said.in.front();
      heard.set_given = true;
      heard.sound = said.sound;
      exercise.heard.push_back(heard);
      return;
    }
  }

  // Its readings, its answer and the way there. False: nothing on offer settles it.
  bool fill(Exercise& exercise) {
    SimulationOptions simulated;
    simulated.stage = options_.stage;
    simulated.meter = options_.meter;
    simulated.temperature = options_.temperature;
    simulated.seed = exercise.instrument;
    Simulation simulation(harness_, faults_, exercise.ailments, simulated);
    // The sheet has the readings of the first two levels; of the others the student asks for each.
    std::vector<Observation> all;
    if (exercise.level <= 2) {
      all = exercise.given =
          take_plan(simulation, harness_, plan(exercise.level == 1 ? Aim::Usual : Aim::Thorough));
    } else if (exercise.level == 4) {
      all = take_plan(simulation, harness_, plan(Aim::Thorough));
    }
    std::optional<std::vector<std::vector<std::size_t>>> answer;
    if (exercise.level <= 2) {
      answer = group_of(exercise, diagnoser_->diagnose(all, exercise.heard));
    } else {
      follow(exercise, simulation, all);
      answer = group_of(exercise, diagnoser_->diagnose(all, exercise.heard));
    }
    if (!answer) return false;
    exercise.answer = std::move(*answer);
    return find_path(exercise, simulation, all);
  }

  // The whole plan of an aim: made once.
  const Plan& plan(Aim aim) {
    std::optional<Plan>& known = plans_[aim == Aim::Usual ? 0 : 1];
    if (!known) {
      PlanOptions wanted;
      static_cast<Circumstances&>(wanted) = options_;
      wanted.temperature = told_.temperature;
      wanted.aim = aim;
      known = plan_for(harness_, harness_id_, wanted);
    }
    return *known;
  }

  // Takes what the next probe asks for until it asks for nothing more.
  void follow(const Exercise& exercise, Simulation& simulation, std::vector<Observation>& seen) {
    while (seen.size() < most_with(exercise)) {
      const Diagnosis diagnosis = diagnoser_->diagnose(seen, exercise.heard);
      const auto group = group_of(exercise, diagnosis);
      const bool one = group && std::all_of(group->begin(), group->end(),
                                            [](const auto& each) { return each.size() == 1; });
      const NextProbe* const wanted = wanted_of(diagnosis);
      if (one || !wanted) return;
      const bool asked_often =
          std::count_if(seen.begin(), seen.end(), [&](const Observation& other) {
            return other.a == wanted->a && other.b == wanted->b && other.setting == wanted->setting;
          }) >= kOften;
      if (asked_often) return;
      seen.push_back(take(simulation, *wanted, seen));
    }
  }

  // What to read next: what tells most; where that is little, or only proves a repair, what parts the first suspects, with a
  // lead off if need be.
  static const NextProbe* wanted_of(const Diagnosis& diagnosis) {
    const bool tells = diagnosis.next && diagnosis.next->why != NextProbe::Why::Proof;
    if (tells && diagnosis.next->bits >= kLittle) return &*diagnosis.next;
    if (!diagnosis.separate.empty()) return &diagnosis.separate.front();
    if (diagnosis.lift) return &*diagnosis.lift;
    return tells && diagnosis.verdict != Verdict::Fault ? &*diagnosis.next : nullptr;
  }

  std::size_t most_with(const Exercise& exercise) const {
    return kMostReadings + (exercise.level == 4 ? plans_[1]->steps.size() : 0);
  }

  Observation take(Simulation& simulation, const NextProbe& probe,
                   const std::vector<Observation>& before) const {
    Observation seen = as_observation(harness_, probe);
    const auto again =
        static_cast<std::size_t>(std::count_if(before.begin(), before.end(), [&](const auto& other) {
          return other.a == seen.a && other.b == seen.b && other.setting == seen.setting &&
                 other.lifted == seen.lifted && other.action == seen.action;
        }));
    simulation.take(seen, probe.range, again);
    return seen;
  }

  std::optional<std::size_t> number_of(const Fault& fault) const {
    for (std::size_t f = 0; f < faults_.size(); ++f) {
      if (same(faults_[f], fault)) return f;
    }
    return std::nullopt;
  }

  // The first group of an answer that settles the exercise: it holds what is wrong, and next to all of the probability.
  std::optional<std::vector<std::vector<std::size_t>>> group_of(const Exercise& exercise,
                                                                const Diagnosis& diagnosis) const {
    if (diagnosis.verdict != Verdict::Fault) return std::nullopt;
    double here = 0;
    std::vector<std::vector<std::size_t>> groups(exercise.ailments.size());
    bool named = false;
    for (const Suspect& each : diagnosis.suspects) {
      if (each.group != 1) continue;
      here += each.probability;
      if (each.also.has_value() != (exercise.ailments.size() == 2)) return std::nullopt;
      const auto one = number_of(each.fault);
      const auto other = each.also ? number_of(*each.also) : std::nullopt;
      if (!one || (each.also && !other)) return std::nullopt;
      if (!each.also) {
        groups[0].push_back(*one);
        named = named || *one == exercise.ailments[0].fault;
        continue;
      }
      const std::size_t first = exercise.ailments[0].fault;
      const std::size_t second = exercise.ailments[1].fault;
      named = named || (*one == first && *other == second) || (*one == second && *other == first);
      const auto beside = [&](std::size_t known, std::vector<std::size_t>& group) {
        if (*one == known) group.push_back(*other);
        if (*other == known) group.push_back(*one);
      };
      beside(second, groups[0]);
      beside(first, groups[1]);
    }
    if (!named || here < kSettled) return std::nullopt;
    for (std::vector<std::size_t>& group : groups) {
      std::sort(group.begin(), group.end());
      group.erase(std::unique(group.begin(), group.end()), group.end());
      // One that comes and goes is right as a cold joint and as an open one.
      if (exercise.ailments.front().comes_and_goes) add_loose(exercise, group);
    }
    return groups;
  }

  void add_loose(const Exercise& exercise, std::vector<std::size_t>& group) const {
    const Fault& fault = faults_[exercise.ailments.front().fault];
    for (std::size_t f = 0; f < faults_.size(); ++f) {
      const bool loose = faults_[f].mode == Mode::High || faults_[f].mode == Mode::Open;
      if (loose && same_place(faults_[f], fault)) group.push_back(f);
    }
    std::sort(group.begin(), group.end());
    group.erase(std::unique(group.begin(), group.end()), group.end());
  }

  static std::size_t places_of(const Diagnosis& diagnosis) {
    std::vector<const Fault*> places;
    for (const Suspect& each : diagnosis.suspects) {
      if (std::none_of(places.begin(), places.end(),
                       [&](const Fault* place) { return same_place(*place, each.fault); }))
        places.push_back(&each.fault);
    }
    return places.size();
  }

  // Whether these readings lead to nothing but the answer.
  bool leads_there(const Exercise& exercise, const std::vector<Observation>& seen) {
    const auto group = group_of(exercise, diagnoser_->diagnose(seen, exercise.heard));
    if (!group || group->size() != exercise.answer.size()) return false;
    for (std::size_t g = 0; g < group->size(); ++g) {
      const std::vector<std::size_t>& right = exercise.answer[g];
      if (!std::includes(right.begin(), right.end(), (*group)[g].begin(), (*group)[g].end())) return false;
    }
    return true;
  }

  // The way a good technician goes: the next probe, until the answer stands; then without the readings it can do without.
  bool find_path(Exercise& exercise, Simulation& simulation, const std::vector<Observation>& all) {
    std::vector<Observation> seen;
    std::vector<NextProbe> probes;
    bool there = false;
    if (exercise.ailments.size() == 1 && !exercise.ailments.front().comes_and_goes) {
      while (!(there = leads_there(exercise, seen)) && seen.size() < kMostReadings) {
        const Diagnosis diagnosis = diagnoser_->diagnose(seen, exercise.heard);
        const NextProbe* const wanted = wanted_of(diagnosis);
        if (!wanted) break;
        probes.push_back(*wanted);
        seen.push_back(take(simulation, *wanted, seen));
      }
    }
    // Where it doesn't get there by itself (two faults, wear, what comes and goes) the readings on offer do.
    if (!there) {
      seen = all;
      probes.assign(seen.size(), NextProbe{});
      for (std::size_t i = 0; i < seen.size(); ++i) probes[i] = asked(seen[i]);
      if (!leads_there(exercise, seen)) return false;
    }
    thin_out(exercise, seen, probes);
    tell(exercise, seen, probes);
    return true;
  }

  static NextProbe asked(const Observation& seen) {
    NextProbe probe;
    probe.a = seen.a;
    probe.b = seen.b;
    probe.setting = seen.setting;
    probe.access = seen.access;
    if (!seen.lifted.empty()) probe.lifted = seen.lifted.front();
    if (seen.range) probe.range = *seen.range;
    return probe;
  }

  // Leaves out what the answer stands without: halves first, then one by one from the front.
  void thin_out(const Exercise& exercise, std::vector<Observation>& seen, std::vector<NextProbe>& probes) {
    for (std::size_t chunk = seen.size() / 2; chunk >= 1; chunk /= 2) {
      for (std::size_t at = 0; at + chunk <= seen.size();) {
        std::vector<Observation> fewer = seen;
        const auto from = static_cast<std::ptrdiff_t>(at);
        const auto to = static_cast<std::ptrdiff_t>(at + chunk);
        fewer.erase(fewer.begin() + from, fewer.begin() + to);
        if (leads_there(exercise, fewer)) {
          seen = std::move(fewer);
          probes.erase(probes.begin() + from, probes.begin() + to);
        } else {
          at += chunk;
        }
      }
    }
  }

  void tell(Exercise& exercise, const std::vector<Observation>& seen, const std::vector<NextProbe>& probes) {
    Hands hands;
    hands.setting = Setting(harness_);
    std::vector<Observation> so_far;
    std::size_t before = places_of(diagnoser_->diagnose(so_far, exercise.heard));
    if (before == 0) before = places_in_all();
    for (std::size_t i = 0; i < seen.size(); ++i) {
      PathStep step;
      step.probe = probes[i];
      step.seen = seen[i];
      so_far.push_back(seen[i]);
      const Diagnosis diagnosis = diagnoser_->diagnose(so_far, exercise.heard);
      const Comparison& compared = diagnosis.readings.back();
      step.probe.expected = compared.expected;
      if (step.probe.range.top == 0) step.probe.range = compared.range;
      step.sound = compared.shows;
      step.agrees = compared.agrees;
      step.before = before;
      before = std::max<std::size_t>(1, places_of(diagnosis));
      step.after = before;
      Hands wanted{seen[i].setting, seen[i].a, seen[i].b, seen[i].access.depth, step.probe.range.top};
      exercise.path_seconds += seconds_to_read(harness_, options_.costs, hands, wanted);
      wanted.depth = std::max(wanted.depth, hands.depth);
      hands = wanted;
      exercise.path.push_back(std::move(step));
    }
  }

  std::size_t places_in_all() const {
    std::size_t places = 0;
    for (std::size_t f = 0; f < faults_.size(); ++f) {
      bool known = false;
      for (std::size_t g = 0; g < f && !known; ++g) known = same_place(faults_[g], faults_[f]);
      places += known ? 0 : 1;
    }
    return places;
  }

  const Harness& harness_;
  std::string harness_id_;
  ExerciseOptions options_;
  std::vector<Fault> faults_;
  Listener listener_;
  DiagnosisOptions told_;
  std::optional<Diagnoser> diagnoser_;
  std::vector<std::size_t> drawn_from_;
  std::optional<Plan> plans_[2];
};

ExerciseMaker::ExerciseMaker(const Harness& harness, const std::string& harness_id,
                             const ExerciseOptions& options)
    : bench_(std::make_unique<Bench>(harness, harness_id, options)) {}
ExerciseMaker::~ExerciseMaker() = default;

std::optional<Exercise> ExerciseMaker::make(int number) { return bench_->make(number); }
const std::vector<Fault>& ExerciseMaker::faults() const { return bench_->faults(); }

}  // namespace lugwise
