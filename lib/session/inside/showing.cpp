#include "session/inside/showing.h"

#include <algorithm>

#include "intake/judge.h"

namespace lugwise::session::inside {

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

}  // namespace lugwise::session::inside
