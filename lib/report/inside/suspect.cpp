#include "report/inside/suspect.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <vector>

#include "report/inside/judged.h"
#include "report/inside/shown.h"
#include "report/inside/words.h"

namespace lugwise::report {
namespace {

// Suspects named for one outcome of a probe; the JSON output has them all.
constexpr std::size_t kRemaining = 3;

// ", by about 35 Ω (30 Ω to 41 Ω)"; nothing where it has no size.
std::string size_in_words(const Harness& harness, const Fault& fault, const std::optional<Size>& size) {
  if (!size) return "";
  if (fault.mode == Mode::Value) {
    const std::string times =
        fmt::format("{:.3g} times its value ({:.3g} to {:.3g})", size->nominal, size->low, size->high);
    if (fault.site == Site::Capacitor) return ", about " + times;
    return fmt::format(", about {}: {}",
                       lugwise::in_words(harness[*fault.element].ohms.nominal * size->nominal), times);
  }
  return fmt::format(", by about {} ({} to {})", lugwise::in_words(size->nominal),
                     lugwise::in_words(size->low), lugwise::in_words(size->high));
}

Json json_of(const std::optional<Size>& size) {
  if (!size) return nullptr;
  return {{"low", number(size->low)}, {"nominal", number(size->nominal)}, {"high", number(size->high)}};
}

Json json_of(const Evidence& one, const char* what, std::size_t which) {
  return {{what, which}, {"weight", number(one.weight)}};
}

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
  if (display.range) reading.range = display.range;
  if (end > 0) reading.setting = other_end(sweep.setting, *sweep.swept);
  return reading;
}

std::string in_words(const Harness& harness, const Suspect& suspect) {
  std::string words = lugwise::in_words(harness, suspect.fault);
  if (suspect.also) words += ", and " + lugwise::in_words(harness, *suspect.also);
  return words;
}

std::string with_sizes(const Harness& harness, const Suspect& suspect) {
  std::string words =
      lugwise::in_words(harness, suspect.fault) + size_in_words(harness, suspect.fault, suspect.size);
  if (suspect.also)
    words += ", and " + lugwise::in_words(harness, *suspect.also) +
             size_in_words(harness, *suspect.also, suspect.also_size);
  return first_letter_up(words);
}

std::string what_remains(const Harness& harness, const Diagnosis& diagnosis,
                         const NextProbe::Outcome& outcome) {
  std::vector<std::string> parts;
  if (outcome.sound) parts.push_back("nothing is wrong");
  for (std::size_t i = 0; i < std::min(kRemaining, outcome.suspects.size()); ++i) {
    parts.push_back(in_words(harness, diagnosis.suspects[outcome.suspects[i]]));
  }
  if (parts.empty()) return "none of these; measure again";
  std::string text = fmt::format("{}", fmt::join(parts, "; or "));
  if (outcome.suspects.size() > kRemaining)
    text += fmt::format("; or {} more", outcome.suspects.size() - kRemaining);
  return text;
}

std::size_t number_of(const std::vector<Observation>& observations, std::size_t observation) {
  const std::size_t place = observations[observation].place;
  return place > 0 ? place : observation + 1;
}

Json json_of(const Harness& harness, const std::vector<Observation>& observations, const Suspect& suspect) {
  Json fault = json_of(harness, suspect.fault);
  Json json = {{"fault", nullptr}};
  if (fault.contains("also")) {
    json["also"] = std::move(fault["also"]);
    fault.erase("also");
  }
  if (suspect.also) json["also"] = json_of(harness, *suspect.also);
  json["fault"] = std::move(fault);
  json["probability"] = number(suspect.probability);
  json["group"] = suspect.group;
  json["size"] = json_of(suspect.size);
  if (suspect.also) json["also_size"] = json_of(suspect.also_size);
  json["say"] = in_words(harness, suspect);
  json["mend"] = suspect.mend;
  json["evidence"] = Json::array();
  for (const Evidence& one : suspect.evidence)
    json["evidence"].push_back(json_of(one, "reading", number_of(observations, one.observation)));
  for (const Evidence& one : suspect.heard)
    json["heard"].push_back(json_of(one, "heard", one.observation + 1));
  return json;
}

}  // namespace lugwise::report
