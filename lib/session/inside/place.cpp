#include "session/inside/place.h"

#include <algorithm>

#include "circuit/capacitance.h"
#include "intake/judge.h"

namespace lugwise::inside {

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

bool same_place(const Observation& x, const Observation& y) {
  return x.action == y.action && std::minmax(x.a, x.b) == std::minmax(y.a, y.b) && x.setting == y.setting &&
         x.swept == y.swept && x.wiggled == y.wiggled && x.lifted == y.lifted && x.capacitor == y.capacitor &&
         (x.access.depth > 0) == (y.access.depth > 0);
}

bool same_range(const Observation& x, const Observation& y) {
  return !x.range || !y.range || x.range->top == y.range->top;
}

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

bool could_show(const Meter& meter, const Observation& seen) {
  Asked asked;
  asked.action = seen.action;
  asked.farads = seen.capacitor.has_value();
  if (seen.range) asked.range = seen.range->top;
  if (judge(seen.text, asked, meter).wrong) return false;
  return std::all_of(seen.ends.begin(), seen.ends.end(), [&](const Display& end) {
    Asked of_end = asked;
    if (end.range) of_end.range = end.range->top;
    return !judge_end(end.text, of_end, meter).wrong;
  });
}

}  // namespace lugwise::inside
