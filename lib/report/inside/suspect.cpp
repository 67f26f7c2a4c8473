#include "report/inside/suspect.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "report/inside/judged.h"
#include "report/inside/shown.h"
#include "report/inside/words.h"

namespace lugwise::report {
namespace {

// Suspects named for one outcome of a probe; the JSON output has them all.
constexpr std::size_t kRemaining = 3;

}  // namespace

std::string_view verdict_name(Verdict verdict) {
  switch (verdict) {
    case Verdict::Sound:
      return "sound";
    case Verdict::Fault:
      return "fault";
    case Verdict::Unsure:
      return "unsure";
  }
  return "unsure";
}

std::string should_show(const Meter& meter, const Observation& observation, const Comparison& comparison) {
  const Shown shown = of_sound(meter, comparison);
  switch (observation.shows) {
    case Shows::Smooth:
    case Shows::Jumps:
      return "smooth";
    case Shows::Steady:
    case Shows::Unstable:
      return "steady, " + in_words(shown);
    default:
      return in_words(shown) + " on " + shown.range;
  }
}

Observation end_of(const Observation& sweep, std::size_t end) {
  Observation reading = sweep;
  const Display& display = sweep.ends[end];
  reading.action = Action::Read;
  reading.shows = display.shows;
  reading.value = display.value;
  reading.resolution = display.resolution;
  reading.text = display.text;
  if (end > 0) reading.setting = other_end(sweep.setting, *sweep.swept);
  return reading;
}

std::string size_in_words(const Suspect& suspect) {
  if (!suspect.size) return "";
  if (suspect.fault.mode == Mode::Value) {
    return fmt::format(", about {:.3g} times its value ({:.3g} to {:.3g})", suspect.size->nominal,
                       suspect.size->low, suspect.size->high);
  }
  return fmt::format(", by about {} ({} to {})", lugwise::in_words(suspect.size->nominal),
                     lugwise::in_words(suspect.size->low), lugwise::in_words(suspect.size->high));
}

std::string what_remains(const Harness& harness, const Diagnosis& diagnosis,
                         const NextProbe::Outcome& outcome) {
  std::vector<std::string> parts;
  if (outcome.sound) parts.push_back("nothing is wrong");
  for (std::size_t i = 0; i < std::min(kRemaining, outcome.suspects.size()); ++i) {
    parts.push_back(in_words(harness, diagnosis.suspects[outcome.suspects[i]].fault));
  }
  if (parts.empty()) return "none of these; measure again";
  std::string text = fmt::format("{}", fmt::join(parts, "; or "));
  if (outcome.suspects.size() > kRemaining)
    text += fmt::format("; or {} more", outcome.suspects.size() - kRemaining);
  return text;
}

Json json_of(const Harness& harness, const Suspect& suspect) {
  Json size = nullptr;
  if (suspect.size) {
    size = {{"low", number(suspect.size->low)},
            {"nominal", number(suspect.size->nominal)},
            {"high", number(suspect.size->high)}};
  }
  Json evidence = Json::array();
  for (const Evidence& one : suspect.evidence) {
    evidence.push_back({{"reading", one.observation + 1}, {"weight", number(one.weight)}});
  }
  Json fault = json_of(harness, suspect.fault);
  Json json = {{"fault", nullptr}};
  if (fault.contains("also")) {
    json["also"] = std::move(fault["also"]);
    fault.erase("also");
  }
  json["fault"] = std::move(fault);
  json["probability"] = number(suspect.probability);
  json["group"] = suspect.group;
  json["size"] = size;
  json["say"] = in_words(harness, suspect.fault);
  json["evidence"] = evidence;
  return json;
}

}  // namespace lugwise::report
