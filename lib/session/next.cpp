// What a session asks for next.

#include <algorithm>
#include <map>
#include <utility>

#include "session/inside/worth.h"
#include "session/session.h"
#include "sheet/step_reading.h"

namespace lugwise {

using namespace session::inside;

namespace {

// A reading that was wrong and is right now is taken once more than one that is wrong.
constexpr std::ptrdiff_t kMostAgain = 2;

}  // namespace

bool Session::ask_step(const Step& step, Ask::Kind kind) {
  ask_.kind = step.kind == StepKind::Prepare ? Ask::Kind::Prepare : kind;
  ask_.step = step;
  ask_.place = step.number;
  ask_.of = static_cast<int>(plan_.steps.size());
  return true;
}

// Not one that is out of reach, was taken already or tells next to nothing.
bool Session::ask_probe(const NextProbe& probe) {
  const bool retake = probe.again && probe.why == NextProbe::Why::Again;
  if (probe.why != NextProbe::Why::Tells && !retake) return false;
  if (probe.bits < kLeastBits && !more_) return false;
  const std::optional<Access> open = open_to();
  const bool opened = open && open->depth > 0;
  if (options_.depth == Depth::Outside && probe.access.depth > 0 && probe.access.name != "bench" && !opened)
    return false;
  if (probe.again) return ask_again(probe);
  Step step;
  step.a = probe.a;
  step.b = probe.b;
  step.setting = probe.setting;
  step.access = probe.access;
  step.expected = probe.expected;
  step.range = probe.range;
  step.shows = probe.shows;
  if (probe.swept || !probe.wiggled.empty()) {
    step.kind = probe.swept ? StepKind::Sweep : StepKind::Wiggle;
    step.swept = probe.swept;
    step.wiggled = probe.wiggled;
    step = step_of(as_observation(*harness_, step));
  }
  const Observation place = as_observation(*harness_, step);
  for (const Deed& deed : record_.deeds) {
    const bool there = at_one_place(deed.seen, place);
    if (deed.kind == EntryKind::Skipped && there) return false;
    if (deed.weighed() && there && same_range(deed.seen, place)) return false;
  }
  if (too_low_again(place)) return false;
  ask_.kind = Ask::Kind::Probe;
  ask_.step = std::move(step);
  ask_.probe = probe;
  tell_of_too_low();
  return true;
}

// OL on a range lower than the one asked for was entered there again: a higher one is asked for once.
bool Session::too_low_again(const Observation& place) const {
  if (!place.range || place.action != Action::Read) return false;
  std::map<Ohms, int> low;
  for (const Deed& deed : record_.deeds) {
    const bool stands = deed.kind == EntryKind::Reading && !deed.aside.is(Aside::Kind::Undone);
    if (stands && at_one_place(deed.seen, place) && deed.seen.shows == Shows::OverRange && deed.seen.range &&
        deed.seen.range->top < place.range->top)
      ++low[deed.seen.range->top];
  }
  // On the range of the plan's own step a reading may have been wrong, and confirmed, before more was asked for.
  const auto step = std::find_if(plan_.steps.begin(), plan_.steps.end(), [&](const Step& each) {
    return takes_reading(each) && at_one_place(as_observation(*harness_, each), place);
  });
  return std::any_of(low.begin(), low.end(), [&](const auto& one) {
    const bool as_planned = step != plan_.steps.end() && one.first >= step->range.top;
    return one.second >= (as_planned ? 3 : 2);
  });
}

// Where the reading before was OL on a lower range than is asked for now.
void Session::tell_of_too_low() {
  const Deed* const last = last_at(as_observation(*harness_, ask_.step));
  if (!last || last->kind != EntryKind::Reading || last->seen.shows != Shows::OverRange) return;
  if (ask_.step.kind == StepKind::Read && last->seen.range && last->seen.range->top < ask_.step.range.top)
    ask_.above = last->seen.range;
}

// A reading once more, perhaps after a control was worked or with another cable; not a third time.
bool Session::ask_again(const NextProbe& probe) {
  if (*probe.again >= observations_.size() || !ask_again(*probe.again, 1)) return false;
  ask_.probe = probe;
  return true;
}

// A reading once more, unless it was taken again so often since the last repair.
bool Session::ask_again(std::size_t observation, std::ptrdiff_t most) {
  const Observation& place = observations_[observation];
  const auto since = record_.deeds.begin() + static_cast<std::ptrdiff_t>(last_repair());
  const auto again = std::count_if(since, record_.deeds.end(), [&](const Deed& deed) {
    return deed.aside.is(Aside::Kind::TakenAgain) && at_one_place(deed.seen, place);
  });
  if (again >= most) return false;
  ask_.kind = Ask::Kind::Again;
  ask_.step = step_of(place);
  tell_of_too_low();
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
      if (takes_reading(step) && at_one_place(as_observation(*harness_, step), deed.seen)) from = s + 1;
    }
  }
  for (std::size_t k = 0; k < plan_.steps.size(); ++k) {
    const Step& step = plan_.steps[(from + k) % plan_.steps.size()];
    if (takes_reading(step) && state_of(step) == StepState::Open) return &step;
  }
  return nullptr;
}

void Session::choose_in_trouble() {
  if (diagnosis_.verdict == Verdict::Unsure) {
    const auto& next = diagnosis_.next;
    if (next && next->again && ask_again(*next->again, kMostAgain)) {
      ask_.probe = *next;
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

}  // namespace lugwise
