#include "session/session.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "circuit/capacitance.h"
#include "intake/place.h"
#include "intake/sound.h"
#include "intake/value.h"
#include "session/inside/typed.h"
#include "session/inside/word.h"
#include "source/nearest.h"

namespace lugwise {
namespace {

using namespace inside;

// A line longer than this was not typed by a person at a bench.
constexpr std::size_t kLongest = 1000;

// Of what is likely to be wrong, the first place has so much when it is named.
constexpr double kSure = 0.9;

// A probe that tells less is not worth opening a hand for, unless more is asked for.
constexpr double kLeastBits = 0.02;

constexpr const char* kTakenAgain = "taken again";

// A reading that was wrong and is right now is taken once more than one that is wrong.
constexpr std::ptrdiff_t kMostAgain = 2;
constexpr const char* kUndone = "undone";
constexpr const char* kAnotherMeter = "another meter";
constexpr const char* kPassedOver = "passed over";
constexpr const char* kCantReach = "can't reach";

Reply refused(std::string problem, std::string hint = {}) {
  Reply reply;
  reply.kind = Reply::Kind::Refused;
  reply.problem = std::move(problem);
  reply.hint = std::move(hint);
  return reply;
}

Reply answered(Reply::Kind kind, bool changed = false) {
  Reply reply;
  reply.kind = kind;
  reply.changed = changed;
  return reply;
}

// Whether a step is answered by what a meter shows.
bool takes_reading(const Step& step) {
  return step.kind == StepKind::Read || step.kind == StepKind::Sweep || step.kind == StepKind::Wiggle;
}

Observation place_of(const Harness& harness, const Step& step) {
  Observation place;
  place.action = step.kind == StepKind::Sweep    ? Action::Sweep
                 : step.kind == StepKind::Wiggle ? Action::Wiggle
                                                 : Action::Read;
  place.a = step.a;
  place.b = step.b;
  place.setting = step.setting;
  place.access = step.access;
  place.swept = step.swept;
  place.wiggled = step.wiggled;
  place.lifted = step.lifted;
  place.range = step.range;
  if (step.capacitance) place.capacitor = capacitor_between(harness, step.a, step.b);
  if (step.number > 0) place.step = step.number;
  return place;
}

// Whether two readings ask the same.
bool same_place(const Observation& x, const Observation& y) {
  return x.action == y.action && std::minmax(x.a, x.b) == std::minmax(y.a, y.b) && x.setting == y.setting &&
         x.swept == y.swept && x.wiggled == y.wiggled && x.lifted == y.lifted && x.capacitor == y.capacitor &&
         (x.access.depth > 0) == (y.access.depth > 0);
}

bool same_range(const Observation& x, const Observation& y) {
  return !x.range || !y.range || x.range->top == y.range->top;
}

// Whether a reading, and the ends of a sweep, are as in a sound harness.
bool is_sound(const Harness& harness, const Observation& seen, const DiagnosisOptions& options) {
  if (!compare(harness, seen, options).agrees) return false;
  if (!seen.swept) return true;
  Observation end = seen;
  end.action = Action::Read;
  end.ends.clear();
  for (const Display& display : seen.ends) {
    end.shows = display.shows;
    end.value = display.value;
    end.resolution = display.resolution;
    end.text = display.text;
    if (!compare(harness, end, options).agrees) return false;
    end.setting = other_end(end.setting, *seen.swept);
  }
  return true;
}

Display display_of(const Shown& shown, std::string text) {
  return {shown.shows, shown.value, shown.resolution, std::move(text)};
}

Shown shown_of(const Observation& seen) {
  Shown shown;
  shown.shows = seen.shows;
  shown.value = seen.value;
  shown.resolution = seen.resolution;
  shown.farads = seen.capacitor.has_value();
  return shown;
}

// Whether a meter could have shown this reading.
bool could_show(const Meter& meter, const Observation& seen) {
  std::optional<double> range;
  if (seen.range) range = seen.range->top;
  if (reading_problem(meter, range, shown_of(seen), seen.text)) return false;
  return std::all_of(seen.ends.begin(), seen.ends.end(), [&](const Display& end) {
    Shown shown;
    shown.shows = end.shows;
    shown.value = end.value;
    shown.resolution = end.resolution;
    return !reading_problem(meter, end.range ? std::optional(end.range->top) : range, shown, end.text);
  });
}

std::string repair_name(std::size_t number) { return fmt::format("repair {}", number); }
std::string before_repair(std::size_t number) { return fmt::format("before repair {}", number); }

}  // namespace

Session::Session(const Harness& harness, std::string harness_id, const PlanOptions& options, Record record)
    : harness_(&harness),
      harness_id_(std::move(harness_id)),
      options_(options),
      record_(std::move(record)),
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
  record_.plan.depth = options_.depth == Depth::Outside ? "outside" : "full";
}

// Judges anew all that is on record.
void Session::weigh() {
  judging_.stage = options_.stage;
  judging_.meter = options_.meter;
  judging_.temperature = options_.temperature;
  judging_.costs = options_.costs;
  judging_.common = options_.common;
  observations_.clear();
  deed_of_.clear();
  for (std::size_t i = 0; i < record_.deeds.size(); ++i) {
    const Deed& deed = record_.deeds[i];
    if (deed.kind == EntryKind::Tips && deed.aside.empty()) {
      const Ohms digit = judging_.meter.step(judging_.meter.ranges.front());
      judging_.meter.leads_low = std::max(0.0, deed.seen.value - digit);
      judging_.meter.leads_high = deed.seen.value + digit;
    }
    if (!deed.weighed()) continue;
    observations_.push_back(deed.seen);
    deed_of_.push_back(i);
  }
  tell_what_was_taken_again();
  diagnosis_ = {};
  trouble_ = false;
  if (observations_.empty()) return;
  // What was solved for one entry serves the next, until the meter or its leads are others.
  if (!diagnoser_ || judged_with_ != std::pair(judging_.meter.leads_low, judging_.meter.leads_high)) {
    diagnoser_ = std::make_unique<Diagnoser>(*harness_, judging_);
    judged_with_ = {judging_.meter.leads_low, judging_.meter.leads_high};
  }
  diagnosis_ = diagnoser_->diagnose(observations_, record_.heard, unproven());
  trouble_ =
      std::any_of(diagnosis_.readings.begin(), diagnosis_.readings.end(),
                  [](const Comparison& each) { return !each.again && (!each.agrees || each.doubtful); }) ||
      diagnosis_.sound < 0.5;
}

// What a reading took the place of confirms it, or makes it doubtful.
void Session::tell_what_was_taken_again() {
  for (std::size_t k = 0; k < observations_.size(); ++k) {
    for (std::size_t i = last_repair(); i < deed_of_[k]; ++i) {
      const Deed& deed = record_.deeds[i];
      if (deed.kind != EntryKind::Reading || deed.aside != kTakenAgain ||
          !same_place(deed.seen, observations_[k]))
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
    if (deed.kind != EntryKind::Reading || !deed.aside.starts_with("repair ")) continue;
    const auto since = [&](const Deed& later) {
      return later.weighed() && same_place(later.seen, deed.seen);
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
    if ((deed.weighed() || deed.kind == EntryKind::Skipped) && same_place(deed.seen, place)) return &deed;
  }
  return nullptr;
}

StepState Session::state_of(const Step& step) const {
  if (step.kind == StepKind::Prepare) {
    for (const Deed& deed : record_.deeds) {
      const bool done = deed.kind == EntryKind::Done && deed.note == step.instruction;
      if (done) return deed.aside.empty() ? StepState::Done : StepState::Skipped;
      if (step.tips_together && deed.kind == EntryKind::Tips && deed.aside.empty()) return StepState::Done;
    }
    return StepState::Open;
  }
  const Deed* deed = last_at(place_of(*harness_, step));
  if (!deed) return StepState::Open;
  if (deed->kind == EntryKind::Skipped) return StepState::Skipped;
  return compared(*deed).agrees ? StepState::Agrees : StepState::Wrong;
}

// What was undone may have been set or placed wrongly, so nothing is known after it; nobody solders with the probes on.
const Observation* Session::last_taken() const {
  for (std::size_t i = record_.deeds.size(); i-- > 0;) {
    const Deed& deed = record_.deeds[i];
    if (deed.kind == EntryKind::Repaired) return nullptr;
    if (deed.kind == EntryKind::Reading) return deed.aside == kUndone ? nullptr : &deed.seen;
  }
  return nullptr;
}

std::optional<Setting> Session::standing() const {
  const Observation* const last = last_taken();
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

// The share of what may be wrong that lies where the first suspect is; where nothing tells group 1 apart, that of the group.
bool Session::settled() const {
  if (diagnosis_.verdict != Verdict::Fault || diagnosis_.suspects.empty()) return false;
  const Fault& first = diagnosis_.suspects.front().fault;
  const auto of_pot = [](const Fault& fault) {
    return fault.element && (fault.site == Site::Track || fault.site == Site::Wiper);
  };
  double here = 0;
  double group = 0;
  for (const Suspect& suspect : diagnosis_.suspects) {
    const Fault& fault = suspect.fault;
    const bool same_pot = of_pot(fault) && of_pot(first) &&
                          (*harness_)[*fault.element].part == (*harness_)[*first.element].part;
    if (same_pot || (fault.element == first.element && fault.points == first.points))
      here += suspect.probability;
    if (suspect.group == 1) group += suspect.probability;
  }
  const double faulty = 1 - diagnosis_.sound - diagnosis_.unmodelled;
  const bool parts = std::any_of(diagnosis_.separate.begin(), diagnosis_.separate.end(),
                                 [](const NextProbe& probe) { return probe.bits >= kLeastBits; });
  return here >= kSure * faulty || (group >= kSure * faulty && !parts);
}

bool Session::ask_step(const Step& step, Ask::Kind kind) {
  ask_.kind = step.kind == StepKind::Prepare ? Ask::Kind::Prepare : kind;
  ask_.step = step;
  ask_.place = step.number;
  ask_.of = static_cast<int>(plan_.steps.size());
  return true;
}

// Not one that is out of reach, was taken already or tells next to nothing.
bool Session::ask_probe(const NextProbe& probe) {
  if (probe.why != NextProbe::Why::Tells || (probe.bits < kLeastBits && !more_)) return false;
  const std::optional<Access> open = open_to();
  const bool opened = open && open->depth > 0;
  if (options_.depth == Depth::Outside && probe.access.depth > 0 && probe.access.name != "bench" && !opened)
    return false;
  Step step;
  step.a = probe.a;
  step.b = probe.b;
  step.setting = probe.setting;
  step.access = probe.access;
  step.expected = probe.expected;
  step.range = probe.range;
  step.shows = probe.shows;
  const Observation place = place_of(*harness_, step);
  for (const Deed& deed : record_.deeds) {
    const bool there = same_place(deed.seen, place);
    if (deed.kind == EntryKind::Skipped && there) return false;
    if (deed.weighed() && there && same_range(deed.seen, place)) return false;
  }
  ask_.kind = Ask::Kind::Probe;
  ask_.step = std::move(step);
  ask_.probe = probe;
  return true;
}

void Session::choose() {
  ask_ = {};
  if (!begun_) return;
  if (goal_) {
    for (const Step& step : plan_.steps) {
      if (step.number == *goal_ && ask_step(step, Ask::Kind::Step)) return;
    }
  }
  if (doubted_) {
    ask_.kind = Ask::Kind::Again;
    ask_.step = step_of(record_.deeds[*doubted_].seen);
    return;
  }
  for (const Step& step : plan_.steps) {
    if (step.kind == StepKind::Prepare && state_of(step) == StepState::Open) {
      ask_step(step, Ask::Kind::Prepare);
      return;
    }
  }
  // What was only heard may have been heard of what the repair mended.
  const bool wrong = std::any_of(diagnosis_.readings.begin(), diagnosis_.readings.end(),
                                 [](const Comparison& each) { return !each.agrees; });
  if (!wrong && choose_recheck()) return;
  if (trouble_) return choose_in_trouble();
  const Step* next = next_open();
  if (next) {
    ask_step(*next, Ask::Kind::Step);
  } else {
    ask_.kind = Ask::Kind::Finished;
  }
}

// The plan's next reading that was neither taken nor passed over, from the last one on.
const Step* Session::next_open() const {
  std::size_t from = 0;
  for (std::size_t i = record_.deeds.size(); i-- > 0 && from == 0;) {
    const Deed& deed = record_.deeds[i];
    if (!deed.weighed() && deed.kind != EntryKind::Skipped) continue;
    for (std::size_t s = 0; s < plan_.steps.size(); ++s) {
      const Step& step = plan_.steps[s];
      if (takes_reading(step) && same_place(place_of(*harness_, step), deed.seen)) from = s + 1;
    }
  }
  for (std::size_t k = 0; k < plan_.steps.size(); ++k) {
    const Step& step = plan_.steps[(from + k) % plan_.steps.size()];
    if (takes_reading(step) && state_of(step) == StepState::Open) return &step;
  }
  return nullptr;
}

// A reading once more, unless it was taken again so often already.
bool Session::ask_again(std::size_t observation, std::ptrdiff_t most) {
  const Observation& place = observations_[observation];
  const auto again = std::count_if(record_.deeds.begin(), record_.deeds.end(), [&](const Deed& deed) {
    return deed.aside == kTakenAgain && same_place(deed.seen, place);
  });
  if (again >= most) return false;
  ask_.kind = Ask::Kind::Again;
  ask_.step = step_of(place);
  return true;
}

void Session::choose_in_trouble() {
  if (diagnosis_.verdict == Verdict::Unsure) {
    const auto& next = diagnosis_.next;
    if (next && next->again && ask_again(*next->again, kMostAgain)) {
      if (next->why == NextProbe::Why::Wiggle) {
        ask_.step.kind = StepKind::Wiggle;
        ask_.step.wiggled = next->wiggled;
        ask_.step.number = 0;
      }
      return;
    }
    for (std::size_t k = 0; k < diagnosis_.readings.size(); ++k) {
      if (diagnosis_.readings[k].doubtful && ask_again(k, 1)) return;
    }
  }
  if (!settled() || more_) {
    if (diagnosis_.next && ask_probe(*diagnosis_.next)) return;
    for (const NextProbe& probe : diagnosis_.separate) {
      if (ask_probe(probe)) return;
    }
    if (diagnosis_.verdict != Verdict::Fault && choose_recheck()) return;
    const Step* const next = next_open();
    if (next && (more_ || diagnosis_.verdict != Verdict::Fault)) {
      ask_step(*next, Ask::Kind::Step);
      return;
    }
  }
  ask_ = {};
  ask_.kind = Ask::Kind::Verdict;
}

// A reading as a step, to be taken once more.
Step Session::step_of(const Observation& seen) const {
  for (const Step& step : plan_.steps) {
    if (takes_reading(step) && same_place(place_of(*harness_, step), seen)) return step;
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

std::size_t Session::repairs() const {
  return static_cast<std::size_t>(
      std::count_if(record_.deeds.begin(), record_.deeds.end(),
                    [](const Deed& deed) { return deed.kind == EntryKind::Repaired; }));
}

// One past the last repair on record; 0: there was none.
std::size_t Session::last_repair() const {
  for (std::size_t i = record_.deeds.size(); i-- > 0;) {
    if (record_.deeds[i].kind == EntryKind::Repaired) return i + 1;
  }
  return 0;
}

// The plan for what the last repair may have disturbed, made once for each; null before any repair.
const Plan* Session::plan_after_repair() {
  const std::size_t after = last_repair();
  if (after == 0) return nullptr;
  const std::vector<PointId>& where = record_.deeds[after - 1].repaired;
  if (!recheck_ || recheck_->options.after != where) {
    PlanOptions options = options_;
    options.after = where;
    recheck_ = plan_for(*harness_, harness_id_, options);
  }
  return &*recheck_;
}

// What was wrong before the last repair, and the steps that prove what the iron and the moved wires may have touched.
std::vector<Session::Recheck> Session::to_recheck() {
  std::vector<Recheck> steps;
  const Plan* const plan = plan_after_repair();
  if (!plan) return steps;
  std::vector<Observation> places;
  const auto add = [&](Step step, bool after_repair) {
    const Observation place = place_of(*harness_, step);
    for (const Observation& known : places) {
      if (same_place(known, place)) return;
    }
    places.push_back(place);
    steps.push_back({std::move(step), after_repair});
  };
  const std::size_t after = last_repair();
  const std::string mended = repair_name(repairs());
  for (std::size_t i = 0; i < after; ++i) {
    const Deed& deed = record_.deeds[i];
    if (deed.kind != EntryKind::Reading || deed.aside != mended) continue;
    if (!is_sound(*harness_, deed.seen, judging_)) add(step_of(deed.seen), false);
  }
  for (Step step : plan->steps) {
    if (!takes_reading(step)) continue;
    // The record counts by the whole plan.
    step.number = step_of(place_of(*harness_, step)).number;
    add(std::move(step), true);
  }
  // It is open as far as the repair needed it: first what lies as deep, then what lies less deep, and closed up last. Of
  // those that lie alike, first what shows whether the repair helped.
  const std::vector<PointId>& where = record_.deeds[after - 1].repaired;
  int depth = 0;
  for (PointId point : where) {
    const auto access = access_to(*harness_, point, options_.stage);
    if (access) depth = std::max(depth, access->depth);
  }
  const auto is_mended = [&](std::size_t f) {
    const std::vector<PointId>& points = plan->faults[f].points;
    return std::is_permutation(points.begin(), points.end(), where.begin(), where.end());
  };
  const auto turn = [&](const Recheck& each) {
    const int here = each.step.access.depth;
    const int opened = depth == 0 || here >= depth ? 0 : here > 0 ? 1 : 2;
    const std::vector<std::size_t>& proves = each.step.proves;
    const bool helped = !each.after_repair || std::any_of(proves.begin(), proves.end(), is_mended);
    return std::pair(opened, !helped);
  };
  std::stable_sort(steps.begin(), steps.end(),
                   [&](const Recheck& x, const Recheck& y) { return turn(x) < turn(y); });
  return steps;
}

// While all is well after a repair, what agreed before it still speaks. Once something is wrong, the repair may have done
// that, and what was read before through the places it may have disturbed says nothing of them any more.
void Session::doubt_what_came_before() {
  const Plan* const plan = plan_after_repair();
  if (!plan) return;
  const std::size_t after = last_repair();
  const std::string mark = before_repair(repairs());
  const bool wrong =
      std::any_of(record_.deeds.begin() + static_cast<std::ptrdiff_t>(after), record_.deeds.end(),
                  [&](const Deed& deed) { return deed.weighed() && !compared(deed).agrees; });
  const auto disturbed = [&](const Fault& fault) {
    return std::find(plan->faults.begin(), plan->faults.end(), fault) != plan->faults.end();
  };
  const auto runs_through = [&](const Observation& seen) {
    for (const Contribution& part : compare(*harness_, seen, judging_).expected.through) {
      const bool here = std::any_of(plan->faults.begin(), plan->faults.end(),
                                    [&](const Fault& fault) { return fault.element == part.element; });
      if (here) return true;
    }
    const std::vector<std::size_t> shows = step_of(seen).proves;
    return std::any_of(shows.begin(), shows.end(), [&](std::size_t f) { return disturbed(plan_.faults[f]); });
  };
  bool changed = false;
  for (std::size_t i = 0; i < after; ++i) {
    Deed& deed = record_.deeds[i];
    if (wrong ? !deed.weighed() || !runs_through(deed.seen) : deed.aside != mark) continue;
    deed.aside = wrong ? mark : "";
    changed = true;
  }
  if (changed) weigh();
}

bool Session::choose_recheck() {
  const std::vector<Recheck> steps = to_recheck();
  const std::size_t after = last_repair();
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (last_at(place_of(*harness_, steps[i].step), after)) continue;
    ask_step(steps[i].step, Ask::Kind::Recheck);
    ask_.after_repair = steps[i].after_repair;
    ask_.place = static_cast<int>(i) + 1;
    ask_.of = static_cast<int>(steps.size());
    return true;
  }
  return false;
}

Reply Session::take(std::string_view typed) {
  if (typed.size() > kLongest)
    return refused(fmt::format("a line of {} characters is too long", typed.size()),
                   fmt::format("at most {} are kept", kLongest));
  const std::string line = cleaned(typed);
  if (!is_utf8(line)) return refused("this is not text", "the terminal must send UTF-8");
  const bool waits = ask_.kind == Ask::Kind::Begin || ask_.kind == Ask::Kind::Prepare;
  if (line.empty()) {
    if (!waits || (ask_.kind == Ask::Kind::Prepare && ask_.step.tips_together))
      return answered(Reply::Kind::Nothing);
    return finish_preparation();
  }
  return say(line);
}

Reply Session::finish_preparation() {
  if (ask_.kind == Ask::Kind::Begin) {
    begun_ = true;
    choose();
    return answered(Reply::Kind::Begun);
  }
  if (ask_.kind != Ask::Kind::Prepare) return refused("there is nothing to be done first here");
  if (ask_.step.tips_together)
    return refused("type what the meter shows with the tips together", "'skip' passes it over");
  Deed deed;
  deed.kind = EntryKind::Done;
  deed.note = ask_.step.instruction;
  record_.deeds.push_back(std::move(deed));
  goal_.reset();
  choose();
  return answered(Reply::Kind::Done, true);
}

Reply Session::say(std::string_view line) {
  // A display comes first: whatever a meter says is a reading.
  std::string_view display = line;
  std::string_view range;
  const std::size_t on = line.rfind(" on ");
  if (on != std::string_view::npos) {
    display = line.substr(0, on);
    range = line.substr(on + 4);
  }
  const auto [first, rest] = first_word(line);
  const bool one = parse_display(display, options_.meter).value.has_value();
  const std::optional<Word> word = find_word(first);
  if (one || (!word && parse_display(first, options_.meter).value)) {
    const Step asked = ask_.step;
    Reply reply = read(display, range);
    if (reply.kind == Reply::Kind::Refused) ask_.step = asked;
    return reply;
  }
  if (!word) {
    const Parsed<Shown> shown = parse_display(line, options_.meter);
    const bool digits = line.find_first_of("0123456789") != std::string_view::npos;
    // A number that is refused says why by itself; of anything else the nearest word is the better guess.
    if (!digits) {
      if (const auto nearest = nearest_word(std::string(first)))
        return refused(fmt::format("'{}' is no reading and no word of this session", line),
                       fmt::format("nearest is '{}'", *nearest));
    }
    const bool asks = ask_.kind != Ask::Kind::Begin && ask_.kind != Ask::Kind::Prepare &&
                      ask_.kind != Ask::Kind::Verdict && ask_.kind != Ask::Kind::Finished;
    std::string hint = shown.hint;
    if (asks && ask_.step.kind == StepKind::Sweep) hint = "this is a sweep: it reads 'smooth' or 'jumps'";
    if (asks && ask_.step.kind == StepKind::Wiggle)
      hint = "this is a wiggle: it reads 'steady' or 'unstable'";
    return refused(shown.problem.empty() ? fmt::format("'{}' is no reading", line) : shown.problem, hint);
  }
  const bool takes_more = *word == Word::Skip || *word == Word::Note || *word == Word::Range ||
                          *word == Word::Meter || *word == Word::Go || *word == Word::Picture ||
                          *word == Word::Heard || *word == Word::Repaired || *word == Word::Help;
  if (!takes_more && !rest.empty())
    return refused(fmt::format("'{}' stands alone; what is '{}'?", first, rest));
  Reply reply;
  switch (*word) {
    case Word::Why:
      return answered(Reply::Kind::Explain);
    case Word::Undo:
      return undo();
    case Word::Skip:
      return skip(rest);
    case Word::Again:
      return again();
    case Word::Note:
      return note(rest);
    case Word::Range:
      return set_range(rest);
    case Word::Meter:
      if (rest.empty()) return refused("which meter?", "name its file: 'meter auto-4000.yaml'");
      reply.kind = Reply::Kind::Meter;
      reply.word = rest;
      return reply;
    case Word::Go:
      return go(rest);
    case Word::More:
      more_ = true;
      begun_ = true;
      choose();
      more_ = false;
      return answered(Reply::Kind::Moved);
    case Word::List:
      return answered(Reply::Kind::List);
    case Word::Picture:
      reply.kind = Reply::Kind::Picture;
      reply.word = rest;
      return reply;
    case Word::Suspects:
      return answered(Reply::Kind::Suspects);
    case Word::Heard:
      return hear(rest);
    case Word::Repaired:
      return repaired(rest);
    case Word::Help:
      return answered(Reply::Kind::Help);
    case Word::Stop:
      return answered(Reply::Kind::Stopped);
    case Word::Done:
      return finish_preparation();
  }
  return reply;
}

Reply Session::read(std::string_view typed, std::string_view range) {
  const Step& step = ask_.step;
  switch (ask_.kind) {
    case Ask::Kind::Begin:
      return refused("nothing is asked yet", "press Enter to begin");
    case Ask::Kind::Verdict:
    case Ask::Kind::Finished:
      return refused("no reading is asked for now",
                     "'go 3' asks for step 3 again, 'more' for one more probe");
    case Ask::Kind::Prepare:
      if (step.tips_together) return read_tips(typed);
      return refused("first the above is to be done", "press Enter when it is");
    default:
      break;
  }
  Observation seen = place_of(*harness_, step);
  // Behind the ends of a sweep it is the last end's.
  const bool of_end = step.kind == StepKind::Sweep && typed.find(' ') != std::string_view::npos;
  if (!range.empty() && !of_end) {
    Reply turned = set_range(range);
    if (turned.kind == Reply::Kind::Refused) return turned;
    seen.range = ask_.step.range;
  }
  const bool farads = seen.capacitor.has_value();
  if (options_.meter.automatic && !farads) seen.range.reset();
  std::optional<double> top;
  if (seen.range) top = seen.range->top;

  // A sweep may come with what stood at its ends: "smooth 6.1k 0.3".
  std::vector<std::string> ends;
  Parsed<Shown> shown = parse_display(typed, options_.meter);
  if (!shown.value) {
    ends = words_of(of_end && !range.empty() ? fmt::format("{} on {}", typed, range) : std::string(typed));
    shown = parse_display(ends.front(), options_.meter);
    ends.erase(ends.begin());
    std::erase_if(ends,
                  [](const std::string& word) { return word == "to" || word == "and" || word == "from"; });
    for (std::string& end : ends) {
      while (!end.empty() && (end.back() == ',' || end.back() == ';')) end.pop_back();
    }
    seen.text = first_word(typed).first;
  } else {
    seen.text = typed;
  }
  if (!shown.value) return refused(shown.problem, shown.hint);
  seen.shows = shown.value->shows;
  seen.value = shown.value->value;
  seen.resolution = shown.value->resolution;

  const bool of_sweep = seen.shows == Shows::Smooth || seen.shows == Shows::Jumps;
  const bool of_wiggle = seen.shows == Shows::Steady || seen.shows == Shows::Unstable;
  if (step.kind == StepKind::Sweep && !of_sweep)
    return refused(fmt::format("this is a sweep: it reads 'smooth' or 'jumps', not '{}'", typed),
                   "with what stood at both ends, if you like: 'smooth 6.1k 0.3k'");
  if (step.kind == StepKind::Wiggle && !of_wiggle)
    return refused(fmt::format("press, move and watch: it reads 'steady' or 'unstable', not '{}'", typed));
  if (step.kind == StepKind::Read && (of_sweep || seen.shows == Shows::Steady))
    return refused(
        fmt::format("this is one reading: '{}' is what a {} reads", typed, of_sweep ? "sweep" : "wiggle"),
        "type what the display shows");
  std::vector<std::optional<Range>> own(2);
  for (std::size_t i = 1; i < ends.size();) {
    if (ends[i] != "on") {
      ++i;
      continue;
    }
    const Parsed<Ohms> ohms = parse_ohms(i + 1 < ends.size() ? ends[i + 1] : "");
    const Range* named = ohms.value ? options_.meter.find_range(*ohms.value) : nullptr;
    if (!named)
      return refused(fmt::format("no range of the meter: '{}'", i + 1 < ends.size() ? ends[i + 1] : ""),
                     "an end on a range of its own: 'smooth 6.1k 0.3 on 200'");
    if (i <= own.size()) own[i - 1] = *named;
    ends.erase(ends.begin() + static_cast<std::ptrdiff_t>(i),
               ends.begin() + static_cast<std::ptrdiff_t>(i) + 2);
  }
  if (!ends.empty() && step.kind != StepKind::Sweep)
    return refused(fmt::format("'{}' is more than one reading", typed), "this step has one");
  if (!ends.empty() && ends.size() != 2)
    return refused(fmt::format("a sweep has two ends, not {}", ends.size()),
                   "write both or none: 'smooth 6.1k 0.3k'");
  if (farads && seen.shows != Shows::Value && seen.shows != Shows::OverRange)
    return refused(fmt::format("a capacitance range shows a value or OL, not '{}'", typed));
  if (seen.shows == Shows::Value && shown.value->farads != farads)
    return refused(fmt::format("'{}' is in {}, and this step reads {}", typed,
                               shown.value->farads ? "farads" : "ohms", farads ? "farads" : "ohms"),
                   farads ? "with its letter: '47.2n'" : "");
  const auto problem = reading_problem(options_.meter, top, *shown.value, typed);
  if (problem) {
    const bool above = problem->kind == ReadingProblem::Kind::AboveRange && top && !farads;
    std::string hint = problem->hint;
    if (above || (problem->fits && hint.empty())) {
      const auto name = farads ? capacitance_range_name : range_name;
      hint += fmt::format("{}if you turned the dial, say to where: '{} on {}'", hint.empty() ? "" : "; ",
                          typed, name(above ? range_for(options_.meter, seen.value).top : *problem->fits));
    }
    return refused(problem->problem, hint);
  }
  for (std::size_t i = 0; i < ends.size(); ++i) {
    const std::string& text = ends[i];
    const Parsed<Shown> end = parse_display(text, options_.meter);
    if (!end.value) return refused(end.problem, end.hint);
    if (end.value->shows != Shows::Value && end.value->shows != Shows::OverRange)
      return refused(fmt::format("the end of a sweep is a value or OL, not '{}'", text));
    if (end.value->farads) return refused(fmt::format("the end of a sweep is in ohms, not '{}'", text));
    if (const auto wrong =
            reading_problem(options_.meter, own[i] ? std::optional(own[i]->top) : top, *end.value, text)) {
      return refused(wrong->problem,
                     wrong->fits ? fmt::format("if you turned the dial for it, say to where: '{} on {}'",
                                               text, range_name(*wrong->fits))
                                 : wrong->hint);
    }
    seen.ends.push_back(display_of(*end.value, text));
    seen.ends.back().range = own[i];
  }
  return enter(std::move(seen));
}

Reply Session::read_tips(std::string_view typed) {
  const Parsed<Shown> shown = parse_display(typed, options_.meter);
  if (!shown.value) return refused(shown.problem, shown.hint);
  if (shown.value->shows == Shows::OverRange)
    return refused("OL with the tips together: a lead is broken, or a tip does not touch",
                   "try other leads before anything else");
  if (shown.value->shows != Shows::Value || shown.value->farads)
    return refused(fmt::format("with the tips together a meter shows ohms, not '{}'", typed));
  const std::optional<double> top =
      options_.meter.automatic ? std::nullopt : std::optional(options_.meter.ranges.front().top);
  if (const auto problem = reading_problem(options_.meter, top, *shown.value, typed))
    return refused(problem->problem, problem->hint);
  Deed deed;
  deed.kind = EntryKind::Tips;
  deed.seen.value = shown.value->value;
  deed.seen.resolution = shown.value->resolution;
  deed.seen.text = typed;
  for (Deed& old : record_.deeds) {
    if (old.kind == EntryKind::Tips && old.aside.empty()) old.aside = kTakenAgain;
  }
  record_.deeds.push_back(std::move(deed));
  goal_.reset();
  weigh();
  choose();
  return answered(Reply::Kind::Done, true);
}

// A reading takes the place of what was read at the same place on the same range before.
Reply Session::enter(Observation seen) {
  for (std::size_t i = 0; i < record_.deeds.size(); ++i) {
    Deed& old = record_.deeds[i];
    if (old.weighed() && same_place(old.seen, seen) && (same_range(old.seen, seen) || doubted_ == i))
      old.aside = kTakenAgain;
  }
  Deed deed;
  deed.seen = std::move(seen);
  record_.deeds.push_back(std::move(deed));
  goal_.reset();
  doubted_.reset();
  weigh();
  doubt_what_came_before();
  choose();
  Reply reply = answered(Reply::Kind::Judged, true);
  reply.deed = record_.deeds.size() - 1;
  return reply;
}

Reply Session::skip(std::string_view why) {
  Deed deed;
  if (ask_.kind == Ask::Kind::Prepare) {
    deed.kind = EntryKind::Done;
    deed.note = ask_.step.instruction;
    deed.aside = why.empty() ? kPassedOver : std::string(why);
  } else if (ask_.kind == Ask::Kind::Begin || ask_.kind == Ask::Kind::Verdict ||
             ask_.kind == Ask::Kind::Finished) {
    return refused("there is nothing to skip now");
  } else {
    deed.kind = EntryKind::Skipped;
    deed.seen = place_of(*harness_, ask_.step);
    deed.note = why.empty() ? kCantReach : std::string(why);
  }
  record_.deeds.push_back(std::move(deed));
  goal_.reset();
  doubted_.reset();
  choose();
  return answered(Reply::Kind::Skipped, true);
}

Reply Session::undo() {
  Reply reply = answered(Reply::Kind::Undone, true);
  std::size_t last = record_.deeds.size();
  // A reading that is aside is history already.
  const auto over = [](const Deed& deed) {
    return (deed.kind == EntryKind::Reading || deed.kind == EntryKind::Tips) && !deed.aside.empty();
  };
  while (last > 0 && over(record_.deeds[last - 1])) --last;
  if (!record_.heard.empty() && heard_after_.back() >= last) {
    reply.word = "heard " + std::string(sound_word(record_.heard.back().sound));
    record_.heard.pop_back();
    heard_after_.pop_back();
    weigh();
    choose();
    return reply;
  }
  if (last == 0) return refused("there is nothing to undo");
  Deed& deed = record_.deeds[last - 1];
  if (deed.kind == EntryKind::Reading || deed.kind == EntryKind::Tips) {
    reply.word = deed.seen.text;
    deed.aside = kUndone;
    // What it took the place of holds again.
    for (std::size_t i = last - 1; i-- > 0;) {
      Deed& old = record_.deeds[i];
      const bool same =
          old.kind == deed.kind && (deed.kind == EntryKind::Tips ||
                                    (same_place(old.seen, deed.seen) && same_range(old.seen, deed.seen)));
      if (!same || old.aside == kUndone) continue;
      if (old.aside == kTakenAgain) old.aside.clear();
      break;
    }
  } else {
    if (deed.kind == EntryKind::Repaired) {
      const std::string mended = repair_name(repairs());
      for (Deed& old : record_.deeds) {
        if (old.aside == mended || old.aside == before_repair(repairs())) old.aside.clear();
      }
      for (Heard& heard : record_.heard) {
        if (heard.aside == mended) heard.aside.clear();
      }
    }
    reply.word = deed.kind == EntryKind::Skipped    ? "skip"
                 : deed.kind == EntryKind::Note     ? "note " + deed.note
                 : deed.kind == EntryKind::Repaired ? "repaired"
                                                    : deed.note;
    record_.deeds.erase(record_.deeds.begin() + static_cast<std::ptrdiff_t>(last) - 1);
  }
  goal_.reset();
  doubted_.reset();
  weigh();
  doubt_what_came_before();
  choose();
  return reply;
}

Reply Session::again() {
  for (std::size_t i = record_.deeds.size(); i-- > 0;) {
    if (!record_.deeds[i].weighed()) continue;
    doubted_ = i;
    goal_.reset();
    begun_ = true;
    choose();
    return answered(Reply::Kind::Moved);
  }
  return refused("there is no reading yet to take again");
}

Reply Session::note(std::string_view text) {
  if (text.empty())
    return refused("what is to be noted?", "write it after the word: 'note the nut is loose'");
  Deed deed;
  deed.kind = EntryKind::Note;
  deed.note = text;
  record_.deeds.push_back(std::move(deed));
  return answered(Reply::Kind::Noted, true);
}

Reply Session::set_range(std::string_view typed) {
  const Meter& meter = options_.meter;
  const bool asked = ask_.kind == Ask::Kind::Step || ask_.kind == Ask::Kind::Probe ||
                     ask_.kind == Ask::Kind::Again || ask_.kind == Ask::Kind::Recheck;
  if (!asked) return refused("no reading is asked for now, so no range either");
  const bool farads = ask_.step.capacitance.has_value();
  if (meter.automatic && !farads) return refused("this meter picks its range itself");
  std::vector<std::string> names;
  for (const Range& range : farads ? meter.capacitance : meter.ranges)
    names.push_back(farads ? capacitance_range_name(range.top) : range_name(range.top));
  const std::string choice = fmt::format("its ranges are {}", fmt::join(names, ", "));
  if (typed.empty()) return refused("to which range?", choice);
  const Parsed<double> top = farads ? parse_farads(typed) : parse_ohms(typed);
  if (!top.value) return refused(top.problem, top.hint.empty() ? choice : top.hint);
  const Range* found = farads ? meter.find_capacitance(*top.value) : meter.find_range(*top.value);
  if (!found) return refused(fmt::format("the meter has no range '{}'", typed), choice);
  ask_.step.range = *found;
  const int plugs =
      ((*harness_)[ask_.step.a].role == PointRole::Plug) + ((*harness_)[ask_.step.b].role == PointRole::Plug);
  if (farads) {
    ask_.step.capacitance = capacitance_reading(meter, *found, ask_.step.capacitance->farads);
  } else {
    ask_.step.shows = window(judging_.meter, *found, ask_.step.expected.ohms, plugs);
    ask_.step.end_shows = window(judging_.meter, *found, ask_.step.end.ohms, plugs);
  }
  return answered(Reply::Kind::Ranged);
}

Reply Session::go(std::string_view typed) {
  const int last = plan_.steps.empty() ? 0 : plan_.steps.back().number;
  begun_ = true;
  if (typed.empty()) {
    const Step* const next = next_open();
    if (!next)
      return refused("every step of the plan was taken or skipped", fmt::format("'go 1' to 'go {}'", last));
    goal_ = next->number;
  } else {
    const Parsed<double> number = parse_number(typed);
    const int step =
        number.value && *number.value >= 1 && *number.value <= last ? static_cast<int>(*number.value) : 0;
    if (step == 0 || step != *number.value)
      return refused(fmt::format("the plan has no step '{}'", typed),
                     fmt::format("its steps are 1 to {}", last));
    goal_ = step;
  }
  doubted_.reset();
  choose();
  return answered(Reply::Kind::Moved);
}

Reply Session::hear(std::string_view text) {
  Heard heard;
  heard.setting = Setting(*harness_);
  std::optional<Sound> sound;
  std::vector<std::string> pickups;
  for (const Part& part : harness_->parts()) {
    if (part.kind == PartKind::Pickup) pickups.push_back(part.name);
  }
  const std::string how = fmt::format(
      "say which pickup, how, and what was set: 'heard {} silent selector=front'; a sound is one of {}",
      pickups.empty() ? "" : pickups.front(), fmt::join(sound_words(), ", "));
  for (const std::string& word : words_of(text)) {
    if (word == "is" || word == "with" || word == "at" || word == "pickup") continue;
    if (const std::size_t equals = word.find('='); equals != std::string::npos) {
      const auto refusal =
          apply_setting(*harness_, word.substr(0, equals), word.substr(equals + 1), heard.setting);
      if (refusal) return refused(refusal->refusal.problem, refusal->refusal.hint);
      continue;
    }
    if (const auto found = find_sound(word); found && !sound) {
      sound = found;
      continue;
    }
    const auto part = harness_->find_part(word);
    if (part && (*harness_)[*part].kind == PartKind::Pickup && !heard.pickup) {
      heard.pickup = part;
      continue;
    }
    std::vector<std::string> names = sound_words();
    names.insert(names.end(), pickups.begin(), pickups.end());
    const auto nearest = nearest_name(word, names);
    return refused(fmt::format("'{}' is no pickup and no sound", word),
                   nearest ? fmt::format("nearest is '{}'", *nearest) : how);
  }
  if (!sound) return refused("what was heard?", how);
  heard.sound = *sound;
  Reply reply = answered(Reply::Kind::Heard, true);
  if (heard.pickup) reply.word = (*harness_)[*heard.pickup].name + " ";
  reply.word += sound_word(heard.sound);
  record_.heard.push_back(std::move(heard));
  heard_after_.push_back(record_.deeds.size());
  weigh();
  choose();
  return reply;
}

Reply Session::repaired(std::string_view text) {
  Deed deed;
  deed.kind = EntryKind::Repaired;
  for (;;) {
    const auto [word, rest] = first_word(text);
    const auto point = harness_->find_point(word);
    if (word.empty() || !point) break;
    if (std::find(deed.repaired.begin(), deed.repaired.end(), *point) == deed.repaired.end())
      deed.repaired.push_back(*point);
    text = rest;
  }
  if (deed.repaired.empty()) {
    const auto [word, rest] = first_word(text);
    // What looks like a point and is none is a slip, not a remark.
    if (word.find('.') != std::string_view::npos && word.back() != '.') {
      const PointFound found = find_point(*harness_, word);
      if (!found.point) return refused(found.refusal.problem, found.refusal.hint);
    }
    if (!diagnosis_.suspects.empty()) {
      const Suspect& first = diagnosis_.suspects.front();
      std::vector<PointId> points = first.fault.points;
      if (first.also) points.insert(points.end(), first.also->points.begin(), first.also->points.end());
      for (PointId point : points) {
        if (std::find(deed.repaired.begin(), deed.repaired.end(), point) == deed.repaired.end())
          deed.repaired.push_back(point);
      }
    }
  }
  if (deed.repaired.empty())
    return refused("what was repaired?", "say where: 'repaired volume.case', with a remark if you like");
  deed.note = text;
  const std::size_t number = repairs() + 1;
  for (std::size_t k = 0; k < deed_of_.size(); ++k) {
    if (!diagnosis_.readings[k].agrees) record_.deeds[deed_of_[k]].aside = repair_name(number);
  }
  record_.deeds.push_back(std::move(deed));
  // What was heard was heard of the harness as it was.
  for (Heard& heard : record_.heard) {
    if (heard.aside.empty()) heard.aside = repair_name(number);
  }
  // What is to be read anew no longer speaks.
  const std::vector<Recheck> steps = to_recheck();
  for (const Recheck& each : steps) {
    const Observation place = place_of(*harness_, each.step);
    for (Deed& old : record_.deeds) {
      if (old.weighed() && same_place(old.seen, place)) old.aside = repair_name(number);
    }
  }
  begun_ = true;
  goal_.reset();
  doubted_.reset();
  weigh();
  choose();
  Reply reply = answered(Reply::Kind::Repaired, true);
  for (PointId point : record_.deeds.back().repaired)
    reply.word += (reply.word.empty() ? "" : ", ") + (*harness_)[point].name;
  reply.count = steps.size();
  return reply;
}

Reply Session::use_meter(const Meter& meter) {
  options_.meter = meter;
  diagnoser_.reset();
  record_.meter = meter;
  Reply reply = answered(Reply::Kind::Metered, true);
  for (Deed& deed : record_.deeds) {
    if (deed.kind == EntryKind::Tips && deed.aside.empty()) deed.aside = kAnotherMeter;
    if (deed.kind != EntryKind::Reading || !(deed.aside.empty() || deed.aside == kAnotherMeter)) continue;
    const bool its_own = could_show(meter, deed.seen);
    deed.aside = its_own ? "" : kAnotherMeter;
    reply.count += its_own ? 0 : 1;
    if (!its_own || !deed.seen.range) continue;
    const Range* range = deed.seen.capacitor ? meter.find_capacitance(deed.seen.range->top)
                                             : meter.find_range(deed.seen.range->top);
    if (range) deed.seen.range = *range;
  }
  goal_.reset();
  doubted_.reset();
  plan_anew();
  weigh();
  choose();
  return reply;
}

}  // namespace lugwise
