#include "study/inside/bench.h"

#include "simulation/simulation.h"

namespace lugwise::study::inside {
namespace {

// What the diagnosis keeps from case to case is forgotten after so many.
constexpr std::size_t kAfresh = 1000;

std::vector<Fault> faults_for(const Harness& harness, const StudyOptions& options) {
  std::vector<Fault> faults = faults_at(harness, options.stage);
  weigh(faults, options.common);
  return faults;
}

std::vector<const Step*> steps_to_take(const Plan& plan) {
  std::vector<const Step*> steps;
  for (const Step& step : plan.steps) {
    if (step.kind == StepKind::Sweep || (step.kind == StepKind::Read && !step.capacitance))
      steps.push_back(&step);
  }
  return steps;
}

}  // namespace

Bench::Bench(const Harness& harness, const StudyOptions& options, std::shared_ptr<const Plan> plan)
    : harness_(harness),
      options_(options),
      shared_(std::move(plan)),
      faults_(faults_for(harness, options)),
      wired_(harness, options.stage, faults_),
      steps_(steps_to_take(*shared_)),
      visibility_(harness, faults_, *shared_, steps_, options_.meter, options_.stage),
      lone_(harness, faults_, *shared_, steps_, options_.meter, options_.stage) {
  static_cast<Circumstances&>(told_) = options;
  told_.separate = false;
  told_.scope = scope_of(*shared_);
  diagnoser_.emplace(harness, told_);
  for (std::size_t f = 0; f < faults_.size(); ++f) {
    if (wanted(faults_[f])) drawn_from_.push_back(f);
  }
}

void Bench::begin() {
  if (++ran_ % kAfresh == 0) diagnoser_.emplace(harness_, told_);
}

std::optional<Fault> Bench::lone_fault(const std::vector<Observation>& sheet) {
  const std::optional<std::size_t> lone = lone_.explaining(sheet);
  return lone ? std::optional(faults_[*lone]) : std::nullopt;
}

bool Bench::wanted(const Fault& fault) const {
  switch (options_.ills) {
    case Ills::None:
      return false;
    case Ills::Open:
      return fault.mode == Mode::Open;
    case Ills::High:
      return fault.mode == Mode::High && !is_worn_track(fault);
    case Ills::Short:
      return fault.mode == Mode::Short;
    case Ills::Value:
      return fault.mode == Mode::Value;
    case Ills::Worn:
      return is_worn_track(fault);
    case Ills::Misplaced:
      return fault.mode == Mode::Misplaced;
    default:
      return true;
  }
}

std::vector<Ailment> Bench::draw_ills(Dice& dice) const {
  std::vector<Ailment> ills;
  if (drawn_from_.empty()) return ills;
  if (options_.ills == Ills::Mixed && dice.chance(0.5)) return ills;
  ills.push_back(draw_one(dice));
  for (int tries = 0; options_.pairs && ills.size() < 2 && tries < 100; ++tries) {
    const Ailment other = draw_one(dice);
    if (!same_place(faults_[other.fault], faults_[ills[0].fault])) ills.push_back(other);
  }
  return ills;
}

Ailment Bench::draw_one(Dice& dice) const {
  double weights = 0;
  for (std::size_t f : drawn_from_) weights += faults_[f].weight;
  double left = dice.even() * weights;
  std::size_t chosen = drawn_from_.back();
  for (std::size_t f : drawn_from_) {
    left -= faults_[f].weight;
    if (left < 0) {
      chosen = f;
      break;
    }
  }
  return {chosen, draw_size(harness_, faults_[chosen], dice), false};
}

}  // namespace lugwise::study::inside
