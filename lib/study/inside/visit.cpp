#include "study/inside/visit.h"

#include <algorithm>

#include "handling/watched.h"
#include "study/inside/reach.h"
#include "study/inside/score.h"

namespace lugwise::study::inside {
namespace {

// Nobody takes more probes than this after the first wrong reading.
constexpr std::size_t kMostProbes = 25;

// A reading is taken again at most so often.
constexpr std::ptrdiff_t kMostAgain = 2;

// What parts the suspects, a reading taken once more among that.
bool worth_taking(const NextProbe& probe) {
  return probe.why == NextProbe::Why::Tells || probe.why == NextProbe::Why::Again;
}

}  // namespace

Visit::Visit(Bench& bench, std::size_t number)
    : bench_(bench),
      options_(bench.options()),
      harness_(bench.harness()),
      dice_(options_.seed, number),
      ailments_(bench.draw_ills(dice_)),
      specimen_(bench.wired(), ailments_, dice_),
      meter_(options_.meter, dice_) {
  case_.number = number;
  hands_.setting = Setting(harness_);
  Visibility& visibility = bench.visibility();
  for (const Ailment& each : ailments_) {
    case_.ills.push_back({bench.fault(each), each.size});
    case_.visible = case_.visible || visibility.visible(each);
  }
  // Of two, each must show beside the other: nothing tells of one that the other hides.
  if (ailments_.size() == 2)
    case_.visible =
        visibility.visible(ailments_[0], ailments_[1]) && visibility.visible(ailments_[1], ailments_[0]);
}

Study::Followed Visit::follow() {
  bool located = false;
  while (next_step_ < bench_.steps().size() && !located) {
    const bool right = take_step();
    if (!right && !options_.whole_sheet) located = locate();
  }
  if (!located) diagnose();
  if (options_.whole_sheet && case_.ills.size() == 2 && case_.visible)
    case_.lone = bench_.lone_fault(observations_);
  case_.alarmed = first_wrong_.step != nullptr;
  case_.seconds = seconds_;
  score(case_, *diagnosis_, observations_, options_.meter);
  if (first_wrong_.step) {
    case_.probes = case_.readings - readings_before_;
    case_.seconds_after = seconds_ - seconds_before_;
  }
  if (first_wrong_.step && !case_.ills.empty()) {
    const Rivals rivals =
        rivals_of(harness_, options_, bench_.plan(), bench_.steps(), first_wrong_, case_.ills.front().fault);
    case_.in_order = rivals.in_order;
    case_.halving = rivals.halving;
  }
  return {std::move(case_), std::move(observations_), std::move(*diagnosis_)};
}

// Takes the plan's next step; whether it reads as a sound instrument may.
bool Visit::take_step() {
  const Step& step = *bench_.steps()[next_step_++];
  Observation seen;
  seen.setting = step.setting;
  seen.access = step.access;
  seen.a = step.a;
  seen.b = step.b;
  seen.step = step.number;
  seen.range = step.range;
  if (step.kind == StepKind::Sweep) {
    seen.action = Action::Sweep;
    seen.swept = step.swept;
    spend(seen);
    const bool jumps = jumps_on(step);
    seen.shows = jumps ? Shows::Jumps : Shows::Smooth;
    seen.text = jumps ? "jumps" : "smooth";
  } else {
    spend(seen);
    read(seen, step.range);
  }
  observations_.push_back(seen);
  const bool right = agrees(step, seen);
  if (!right && !first_wrong_.step) {
    first_wrong_.step = &step;
    seconds_before_ = seconds_;
    readings_before_ = case_.readings;
    first_wrong_.low = !(seen.shows == Shows::OverRange || seen.value > step.shows.nominal);
  }
  return right;
}

bool Visit::agrees(const Step& step, const Observation& seen) const {
  if (seen.shows == Shows::Smooth) return true;
  if (seen.shows == Shows::Jumps) return false;
  return may_show(options_.meter, step, reach_if_sound(step), seen);
}

void Visit::spend(const Observation& seen, double extra) {
  seconds_ += seconds_to_take(harness_, options_.costs, hands_, seen) + extra;
  ++case_.readings;
}

// Whether the display jumps as the knob of a step is turned.
bool Visit::jumps_on(const Step& step) {
  return jumps_at(step.range, [&](const Fault& fault) {
    return std::any_of(step.proves.begin(), step.proves.end(), [&](std::size_t f) {
      const Fault& seen = bench_.plan().faults[f];
      return is_worn_track(seen) && harness_[*seen.element].part == harness_[*fault.element].part;
    });
  });
}

// The same on a range, of the pots that the sweep shows.
template <class Shown>
bool Visit::jumps_at(const Range& range, const Shown& shown) {
  bool jumps = false;
  for (const Ailment& each : ailments_) {
    const Fault& fault = bench_.fault(each);
    if (fault.site != Site::Track && fault.site != Site::Wiper) continue;
    if (fault.mode != Mode::High && fault.mode != Mode::Open) continue;
    // Nor does a dirty wiper show that adds less than the display can tell.
    if (fault.mode == Mode::High && !is_worn_track(fault) &&
        each.size < kSeenSweeping * options_.meter.step(range))
      continue;
    jumps = jumps || shown(fault);
  }
  return jumps && dice_.chance(kJumps);
}

// What stands on the display; it may be the wrong thing.
void Visit::read(Observation& seen, const Range& range) {
  const Workbench::Place place{seen.setting, seen.access.depth > 0, seen.lifted};
  std::optional<Ohms> ohms = specimen_.ohms(place, seen.a, seen.b);
  double scale = 1;
  if (options_.slips > 0 && dice_.chance(options_.slips)) slip(place, seen, ohms, scale);
  const auto plug = [&](PointId point) { return harness_[point].role == PointRole::Plug ? 1 : 0; };
  meter_.show(ohms, plug(seen.a) + plug(seen.b), range, dice_, seen, scale);
}

// A tip on nothing, a tip on another point, or a decimal point in the wrong place: each as often.
void Visit::slip(const Workbench::Place& place, const Observation& seen, std::optional<Ohms>& ohms,
                 double& scale) {
  const std::size_t kind = dice_.below(3);
  if (kind == 0) {
    ohms.reset();
  } else if (kind == 1) {
    scale = dice_.chance(0.5) ? 10 : 0.1;
  } else {
    const Circuit& circuit = bench_.wired().sound(place);
    const std::vector<PointId> points = reachable(harness_, options_.stage, seen.access.depth);
    for (int tries = 0; tries < 20; ++tries) {
      const PointId other = points[dice_.below(points.size())];
      if (!circuit.has(other) || other == seen.a || other == seen.b) continue;
      ohms = specimen_.ohms(place, seen.a, other);
      break;
    }
  }
}

void Visit::diagnose() { diagnosis_ = bench_.diagnose(observations_); }

// Probes until the answer stands. False: nothing is wrong after all, and the plan goes on.
bool Visit::locate() {
  while (true) {
    diagnose();
    if (case_.at_once == 0) take_stock(case_, *diagnosis_);
    const Verdict verdict = diagnosis_->verdict;
    if (verdict == Verdict::Sound || verdict == Verdict::Unfinished) return false;
    if (case_.readings - readings_before_ >= kMostProbes) return true;
    if (const auto doubted = to_take_again()) {
      take_again(*doubted);
      continue;
    }
    if (settled(*diagnosis_)) return true;
    if (diagnosis_->next && worth_taking(*diagnosis_->next)) {
      take(*diagnosis_->next);
    } else if (next_step_ < bench_.steps().size() && verdict == Verdict::Unsure) {
      take_step();
    } else {
      return true;
    }
  }
}

// The reading that the answer asks for once more, or doubts; no place more than three times.
std::optional<std::size_t> Visit::to_take_again() const {
  if (diagnosis_->verdict != Verdict::Unsure) return std::nullopt;
  const auto times = [&](std::size_t i) {
    return std::count_if(observations_.begin(), observations_.end(),
                         [&](const Observation& each) { return at_one_place(each, observations_[i]); });
  };
  if (diagnosis_->next && diagnosis_->next->again && times(*diagnosis_->next->again) <= kMostAgain)
    return diagnosis_->next->again;
  for (const Comparison& each : diagnosis_->readings) {
    if (each.doubtful && !each.again && times(each.observation) < 2) return each.observation;
  }
  return std::nullopt;
}

void Visit::take_again(std::size_t i) {
  ++case_.again;
  Observation seen = observations_[i];
  spend(seen);
  if (seen.action == Action::Read) {
    read(seen, seen.range.value_or(options_.meter.ranges.back()));
  } else if (seen.action == Action::Sweep) {
    sweep(seen);
  }
  observations_.push_back(std::move(seen));
}

// The same knob once more: the fault shows as it did.
void Visit::sweep(Observation& seen) {
  const auto step = std::find_if(bench_.steps().begin(), bench_.steps().end(),
                                 [&](const Step* each) { return each->number == seen.step; });
  if (step == bench_.steps().end()) return;
  const bool jumps = jumps_on(**step);
  seen.shows = jumps ? Shows::Jumps : Shows::Smooth;
  seen.text = jumps ? "jumps" : "smooth";
}

void Visit::take(const NextProbe& probe) {
  Observation seen = as_observation(harness_, probe);
  seen.capacitor.reset();  // the meters in use here read ohms alone
  spend(seen, probe.worked || probe.another_cable ? options_.costs.sweep : 0);
  if (probe.again) ++case_.again;
  if (probe.swept || !probe.wiggled.empty()) {
    move(probe, seen);
  } else {
    read(seen, probe.range);
  }
  observations_.push_back(std::move(seen));
}

// A knob turned or a place pressed, watching.
void Visit::move(const NextProbe& probe, Observation& seen) {
  if (probe.swept) {
    const bool jumps = jumps_at(probe.range, [&](const Fault& fault) {
      const PartId pot = *harness_[*fault.element].part;
      return std::find(probe.watched.begin(), probe.watched.end(), pot) != probe.watched.end();
    });
    seen.shows = jumps ? Shows::Jumps : Shows::Smooth;
    seen.text = jumps ? "jumps" : "smooth";
    return;
  }
  bool loose = false;
  for (const Ailment& each : ailments_) {
    const Fault& fault = bench_.fault(each);
    if (fault.mode != Mode::High && fault.mode != Mode::Open) continue;
    if (fault.site == Site::Track || fault.site == Site::Wiper) continue;
    loose = loose || std::any_of(fault.points.begin(), fault.points.end(), [&](PointId point) {
              return std::find(probe.wiggled.begin(), probe.wiggled.end(), point) != probe.wiggled.end();
            });
  }
  const bool unstable = loose && dice_.chance(kBetrays);
  seen.shows = unstable ? Shows::Unstable : Shows::Steady;
  seen.text = unstable ? "unstable" : "steady";
}

}  // namespace lugwise::study::inside
