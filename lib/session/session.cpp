#include "session/session.h"

#include <algorithm>
#include <utility>

#include "session/inside/reply.h"
#include "session/inside/showing.h"
#include "session/inside/worth.h"
#include "sheet/step_reading.h"

namespace lugwise {

using namespace session::inside;

Session::Session(const Harness& harness, std::string harness_id, const PlanOptions& options, Record record)
    : harness_(&harness),
      harness_id_(std::move(harness_id)),
      options_(options),
      record_(std::move(record)),
      earlier_(record_.deeds.size()),
      heard_after_(record_.heard.size(), 0) {
  // What is asked here is asked one probe at a time; a lead comes off only where a person takes it off.
  options_.lift = false;
  options_.after.clear();
  plan_anew();
  weigh();
  choose();
}

void Session::plan_anew() {
  plan_ = plan_for(*harness_, harness_id_, options_);
  judging_.scope = scope_of(plan_);
  diagnoser_.reset();
  recheck_.reset();
  record_.plan.id = plan_.id;
  record_.plan.stage = options_.stage ? harness_->stages()[*options_.stage].name : "";
  record_.plan.depth = options_.depth;
  record_.plan.aim = options_.aim;
}

// Judges anew all that is on record.
void Session::weigh() {
  static_cast<Circumstances&>(judging_) = options_;
  judging_.temperature = options_.temperature;
  const std::vector<std::vector<PointId>> mended = std::exchange(judging_.mended, {});
  std::vector<std::vector<PointId>> unread;  // mended, with no reading after it yet
  observations_.clear();
  deed_of_.clear();
  for (std::size_t i = 0; i < record_.deeds.size(); ++i) {
    const Deed& deed = record_.deeds[i];
    if (deed.kind == EntryKind::Tips && !deed.aside) {
      const Ohms digit = judging_.meter.step(judging_.meter.ranges.front());
      judging_.meter.leads_low = std::max(0.0, deed.seen.value - digit);
      judging_.meter.leads_high = deed.seen.value + digit;
    }
    if (deed.kind == EntryKind::Repaired && !deed.aside) unread.push_back(deed.repaired);
    if (!deed.weighed()) continue;
    judging_.mended.insert(judging_.mended.end(), unread.begin(), unread.end());
    unread.clear();
    observations_.push_back(deed.seen);
    deed_of_.push_back(i);
  }
  if (judging_.mended != mended) diagnoser_.reset();
  tell_what_was_taken_again();
  diagnosis_ = {};
  trouble_ = false;
  const bool complaint =
      std::any_of(record_.heard.begin(), record_.heard.end(), [](const Heard& each) { return !each.aside; });
  if (observations_.empty() && !complaint) return;
  // What was solved for one entry serves the next, until the meter or its leads are others.
  if (!diagnoser_ || judged_with_ != std::pair(judging_.meter.leads_low, judging_.meter.leads_high)) {
    diagnoser_ = std::make_unique<Diagnoser>(*harness_, judging_);
    judged_with_ = {judging_.meter.leads_low, judging_.meter.leads_high};
  }
  diagnosis_ = diagnoser_->diagnose(observations_, record_.heard, unproven());
  trouble_ =
      std::any_of(diagnosis_.readings.begin(), diagnosis_.readings.end(),
                  [](const Comparison& each) { return !each.again && (!each.agrees || each.doubtful); }) ||
      diagnosis_.sound < 0.5 || (observations_.empty() && diagnosis_.next.has_value());
}

// What a reading took the place of confirms it, or makes it doubtful.
void Session::tell_what_was_taken_again() {
  for (std::size_t k = 0; k < observations_.size(); ++k) {
    for (std::size_t i = last_repair(); i < deed_of_[k]; ++i) {
      const Deed& deed = record_.deeds[i];
      if (deed.kind != EntryKind::Reading || !deed.aside.is(Aside::Kind::TakenAgain) ||
          !at_one_place(deed.seen, observations_[k]))
        continue;
      const Observation& seen = deed.seen;
      observations_[k].before.push_back({seen.shows, seen.value, seen.resolution, seen.text, seen.range});
    }
  }
}

// What was wrong before a repair and was not taken since.
std::vector<Observation> Session::unproven() const {
  std::vector<Observation> left;
  for (std::size_t i = 0; i < record_.deeds.size(); ++i) {
    const Deed& deed = record_.deeds[i];
    if (deed.kind != EntryKind::Reading ||
        !(deed.aside.is(Aside::Kind::Mended) || deed.aside.is(Aside::Kind::BeforeRepair)))
      continue;
    const auto since = [&](const Deed& later) {
      return later.weighed() && at_one_place(later.seen, deed.seen);
    };
    if (std::none_of(record_.deeds.begin() + static_cast<std::ptrdiff_t>(i), record_.deeds.end(), since))
      left.push_back(deed.seen);
  }
  return left;
}

Comparison Session::compared(const Deed& deed) const {
  for (std::size_t k = 0; k < deed_of_.size(); ++k) {
    if (&record_.deeds[deed_of_[k]] == &deed) return diagnosis_.readings[k];
  }
  return compare(*harness_, deed.seen, judging_);
}

// The last reading at a place, or that it could not be taken.
const Deed* Session::last_at(const Observation& place, std::size_t from) const {
  for (std::size_t i = record_.deeds.size(); i-- > from;) {
    const Deed& deed = record_.deeds[i];
    if ((deed.weighed() || deed.kind == EntryKind::Skipped) && at_one_place(deed.seen, place)) return &deed;
  }
  return nullptr;
}

StepState Session::state_of(const Step& step) const {
  if (step.kind == StepKind::Prepare) {
    for (const Deed& deed : record_.deeds) {
      const bool done = deed.kind == EntryKind::Done && deed.note == step.instruction;
      if (done) return !deed.aside ? StepState::Done : StepState::Skipped;
      if (step.tips_together && deed.kind == EntryKind::Tips && !deed.aside) return StepState::Done;
    }
    return StepState::Open;
  }
  const Deed* deed = last_at(as_observation(*harness_, step));
  if (!deed) return StepState::Open;
  if (deed->kind == EntryKind::Skipped) return StepState::Skipped;
  return compared(*deed).agrees ? StepState::Agrees : StepState::Wrong;
}

// What was undone may have been set or placed wrongly, so nothing is known after it; nobody solders with the probes on.
const Observation* Session::last_taken() const {
  for (std::size_t i = record_.deeds.size(); i-- > earlier_;) {
    // To hold the tips together the probes were taken off.
    if (record_.deeds[i].kind == EntryKind::Tips) return nullptr;
    if (record_.deeds[i].kind == EntryKind::Reading) break;
  }
  return last_reading();
}

// The last reading of this sitting, unless it was taken back or a repair came after it.
const Observation* Session::last_reading() const {
  for (std::size_t i = record_.deeds.size(); i-- > earlier_;) {
    const Deed& deed = record_.deeds[i];
    if (deed.kind == EntryKind::Repaired) return nullptr;
    if (deed.kind == EntryKind::Reading) return deed.aside.is(Aside::Kind::Undone) ? nullptr : &deed.seen;
  }
  return nullptr;
}

std::optional<Setting> Session::standing() const {
  const Observation* const last = last_reading();
  if (!last) return std::nullopt;
  return last->action == Action::Sweep && last->swept ? other_end(last->setting, *last->swept)
                                                      : last->setting;
}

std::optional<Access> Session::open_to() const {
  for (std::size_t i = record_.deeds.size(); i-- > 0;) {
    if (record_.deeds[i].kind == EntryKind::Reading) return record_.deeds[i].seen.access;
  }
  return std::nullopt;
}

// Most of what may be wrong lies where the first suspect is; or, where nothing tells group 1 apart, in that group.
bool Session::settled() const {
  if (diagnosis_.verdict != Verdict::Fault || diagnosis_.suspects.empty()) return false;
  double group = 0;
  for (const Suspect& suspect : diagnosis_.suspects) {
    if (suspect.group == 1) group += suspect.probability;
  }
  const double enough = kEnoughToAct * (1 - diagnosis_.sound - diagnosis_.unmodelled);
  const bool parts = std::any_of(diagnosis_.separate.begin(), diagnosis_.separate.end(),
                                 [](const NextProbe& probe) { return probe.bits >= kLeastBits; });
  return probability_at_first_place(*harness_, diagnosis_) >= enough || (group >= enough && !parts);
}

bool Session::finds_it_sound() const {
  return ask_.kind == Ask::Kind::Finished && !trouble_ && diagnosis_.verdict == Verdict::Sound;
}

bool Session::at_its_end() const {
  return ask_.kind == Ask::Kind::Finished || ask_.kind == Ask::Kind::Verdict;
}

// A reading as a step, to be taken once more.
Step Session::step_of(const Observation& seen) const {
  for (const Step& step : plan_.steps) {
    if (takes_reading(step) && at_one_place(as_observation(*harness_, step), seen)) return step;
  }
  Step step;
  step.kind = seen.action == Action::Sweep    ? StepKind::Sweep
              : seen.action == Action::Wiggle ? StepKind::Wiggle
                                              : StepKind::Read;
  step.a = seen.a;
  step.b = seen.b;
  step.setting = seen.setting;
  step.access = seen.access;
  step.swept = seen.swept;
  step.wiggled = seen.wiggled;
  step.lifted = seen.lifted;
  const Comparison comparison = compare(*harness_, seen, judging_);
  step.expected = comparison.expected;
  step.range = seen.range.value_or(comparison.range);
  step.shows = comparison.shows;
  step.capacitance = comparison.capacitance;
  if (seen.swept) {
    Observation end = seen;
    end.action = Action::Read;
    end.setting = other_end(seen.setting, *seen.swept);
    end.range = step.range;
    const Comparison there = compare(*harness_, end, judging_);
    step.end = there.expected;
    step.end_shows = there.shows;
  }
  return step;
}

Reply Session::use_meter(const Meter& meter) {
  options_.meter = meter;
  diagnoser_.reset();
  record_.meter = meter;
  Reply reply = answered(Reply::Kind::Metered, true);
  for (Deed& deed : record_.deeds) {
    if (deed.kind == EntryKind::Tips && !deed.aside) deed.aside = {Aside::Kind::AnotherMeter, 0, {}};
    if (deed.kind != EntryKind::Reading || !(!deed.aside || deed.aside.is(Aside::Kind::AnotherMeter)))
      continue;
    const bool its_own = could_show(meter, deed.seen);
    deed.aside = its_own ? Aside{} : Aside{Aside::Kind::AnotherMeter, 0, {}};
    reply.count += its_own ? 0 : 1;
    if (!its_own) continue;
    const Range* range = !deed.seen.range      ? nullptr
                         : deed.seen.capacitor ? meter.find_capacitance(deed.seen.range->top)
                                               : meter.find_range(deed.seen.range->top);
    if (range) deed.seen.range = *range;
    for (Display& end : deed.seen.ends) {
      const Range* own = end.range ? meter.find_range(end.range->top) : nullptr;
      if (own) end.range = *own;
    }
  }
  goal_.reset();
  doubted_.reset();
  plan_anew();
  weigh();
  choose();
  return reply;
}

}  // namespace lugwise
