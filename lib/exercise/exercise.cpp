#include "exercise/exercise.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "exercise/inside/answer.h"
#include "exercise/inside/digest.h"
#include "exercise/inside/draw.h"
#include "exercise/inside/technician.h"
#include "simulation/simulation.h"

namespace lugwise {

using namespace exercise::inside;
namespace {

// Faults that are drawn before a number is given up, and of those the first that must not be an answer given already.
constexpr int kTries = 60;
constexpr int kFresh = 20;

std::vector<Fault> weighed_faults(const Harness& harness, const ExerciseOptions& options) {
  std::vector<Fault> faults = faults_at(harness, options.stage);
  weigh(faults, options.common);
  return faults;
}

DiagnosisOptions told_of(const ExerciseOptions& options) {
  DiagnosisOptions told;
  static_cast<Circumstances&>(told) = options;
  if (options.temperature) told.temperature = exactly(*options.temperature);
  return told;
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
        faults_(weighed_faults(harness, options)),
        draw_(harness, faults_, options),
        technician_(harness, faults_, told_of(options)) {}

  const std::vector<Fault>& faults() const { return faults_; }

  std::optional<Exercise> make(int number) {
    if (!draw_.possible()) return std::nullopt;
    for (int attempt = 0; attempt < kTries; ++attempt) {
      const std::string name =
          fmt::format("{} {} {} {} {}", harness_id_, options_.seed, options_.level, number, attempt);
      Exercise exercise;
      exercise.number = number;
      exercise.level = options_.level;
      exercise.instrument = digest_number("instrument " + name);
      exercise.salt = digest_number("salt " + name);
      Dice dice(digest_number("fault " + name), 0);
      if (!draw_.fill(exercise, dice)) continue;
      exercise.answered_by = answered_by(exercise);
      if (exercise.answered_by && attempt < kFresh) continue;
      if (!fill(exercise)) continue;
      if (!options_.chosen || exercise.ailments.size() == 2) answers_.emplace_back(number, exercise.answer);
      return exercise;
    }
    return std::nullopt;
  }

 private:
  // The number of one made before whose solver knows the answer. One fault that was chosen is known to the class anyhow.
  std::optional<int> answered_by(const Exercise& exercise) const {
    for (const auto& [number, groups] : answers_) {
      const bool all =
          groups.size() == exercise.ailments.size() &&
          std::all_of(groups.begin(), groups.end(), [&](const std::vector<std::size_t>& group) {
            return std::any_of(exercise.ailments.begin(), exercise.ailments.end(), [&](const Ailment& each) {
              return std::find(group.begin(), group.end(), each.fault) != group.end();
            });
          });
      if (all) return number;
    }
    return std::nullopt;
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
    if (readings_given(exercise.level)) {
      all = exercise.given =
          take_plan(simulation, harness_, plan(exercise.level == 1 ? Aim::Usual : Aim::Thorough));
    } else if (exercise.level == 4) {
      all = take_plan(simulation, harness_, plan(Aim::Thorough));
      if (exercise.ailments.front().comes_and_goes) technician_.press_alone(simulation, all);
    }
    if (!readings_given(exercise.level)) technician_.follow(exercise, simulation, all, most_with(exercise));
    std::optional<Groups> answer = settle(faults_, exercise, technician_.judge(exercise, all));
    if (!answer) return false;
    exercise.answer = std::move(*answer);
    return technician_.find_path(exercise, simulation, all);
  }

  // The whole plan of an aim: made once.
  const Plan& plan(Aim aim) {
    std::optional<Plan>& known = plans_[aim == Aim::Usual ? 0 : 1];
    if (!known) {
      PlanOptions wanted;
      static_cast<Circumstances&>(wanted) = options_;
      wanted.temperature = told_of(options_).temperature;
      wanted.aim = aim;
      known = plan_for(harness_, harness_id_, wanted);
    }
    return *known;
  }

  std::size_t most_with(const Exercise& exercise) const {
    return kMostReadings + (exercise.level == 4 ? plans_[1]->steps.size() : 0);
  }

  const Harness& harness_;
  std::string harness_id_;
  ExerciseOptions options_;
  std::vector<Fault> faults_;
  Draw draw_;
  Technician technician_;
  std::optional<Plan> plans_[2];
  std::vector<std::pair<int, Groups>> answers_;  // by the numbers made
};

ExerciseMaker::ExerciseMaker(const Harness& harness, const std::string& harness_id,
                             const ExerciseOptions& options)
    : bench_(std::make_unique<Bench>(harness, harness_id, options)) {}
ExerciseMaker::~ExerciseMaker() = default;

std::optional<Exercise> ExerciseMaker::make(int number) { return bench_->make(number); }
const std::vector<Fault>& ExerciseMaker::faults() const { return bench_->faults(); }

}  // namespace lugwise
