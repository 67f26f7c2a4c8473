#include "report/inside/suspect.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "report/inside/judged.h"
#include "report/inside/shown.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

// Suspects named for one outcome of a probe; the JSON output has them all.
constexpr std::size_t kRemaining = 3;

// A size known less well than this is told by its ends alone.
constexpr double kWide = 20;

double two_digits(double value) {
  const double unit = std::pow(10.0, std::floor(std::log10(value)) - 1);
  return std::round(value / unit) * unit;
}

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
  // What only an OL bounds has no middle.
  if (size->high > kWide * size->low) {
    const std::string least = lugwise::in_words(two_digits(size->low));
    return size->high >= 1e6 ? fmt::format(", by {} or more", least)
                             : fmt::format(", by {} to {}", least, lugwise::in_words(two_digits(size->high)));
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
    case Verdict::Unfinished:
      return "unfinished";
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

std::string mend_in_words(const Suspect& suspect) {
  return suspect.also_mend.empty() ? suspect.mend : suspect.mend + "; " + suspect.also_mend;
}

std::string with_sizes(const Harness& harness, const Suspect& suspect) {
  std::string words =
      lugwise::in_words(harness, suspect.fault) + size_in_words(harness, suspect.fault, suspect.size);
  if (suspect.also)
    words += ", and " + lugwise::in_words(harness, *suspect.also) +
             size_in_words(harness, *suspect.also, suspect.also_size);
  // A part keeps its spelling.
  return harness.find_part(words.substr(0, words.find(' '))) ? words : first_letter_up(words);
}

std::vector<Line> folded(const Harness& harness, const Suspect* first, const Suspect* last) {
  struct Bundle {
    std::vector<const Suspect*> pairs;    // one of each first fault
    std::vector<const Suspect*> seconds;  // of the first of them: one of each second fault
    double probability = 0;
    std::size_t line = 0;
  };
  std::vector<Bundle> bundles;  // of each first fault, then of those with the same seconds
  std::vector<Line> lines;
  for (const Suspect* suspect = first; suspect != last; ++suspect) {
    if (!suspect->also) {
      lines.push_back({suspect->probability, with_sizes(harness, *suspect)});
      continue;
    }
    auto bundle = std::find_if(bundles.begin(), bundles.end(), [&](const Bundle& known) {
      return known.pairs.front()->fault == suspect->fault;
    });
    if (bundle == bundles.end()) {
      bundle = bundles.insert(bundle, Bundle{{suspect}, {}, 0, lines.size()});
      lines.emplace_back();
    }
    bundle->seconds.push_back(suspect);
    bundle->probability += suspect->probability;
  }
  const auto same_seconds = [](const Bundle& x, const Bundle& y) {
    return std::is_permutation(
        x.seconds.begin(), x.seconds.end(), y.seconds.begin(), y.seconds.end(),
        [](const Suspect* one, const Suspect* other) { return *one->also == *other->also; });
  };
  for (std::size_t k = 0; k < bundles.size(); ++k) {
    for (std::size_t m = bundles.size() - 1; m > k; --m) {
      if (!same_seconds(bundles[k], bundles[m])) continue;
      bundles[k].pairs.insert(bundles[k].pairs.begin() + 1, bundles[m].pairs.front());
      bundles[k].probability += bundles[m].probability;
      bundles.erase(bundles.begin() + static_cast<std::ptrdiff_t>(m));
    }
    const Bundle& bundle = bundles[k];
    std::vector<std::string> ones, others;
    for (const Suspect* each : bundle.pairs)
      ones.push_back(lugwise::in_words(harness, each->fault) +
                     size_in_words(harness, each->fault, each->size));
    for (const Suspect* each : bundle.seconds)
      others.push_back(lugwise::in_words(harness, *each->also) +
                       size_in_words(harness, *each->also, each->also_size));
    const auto any_of = [](const std::vector<std::string>& texts) {
      return (texts.size() > 1 ? "one of these: " : "") + fmt::format("{}", fmt::join(texts, "; "));
    };
    const bool one_pair = ones.size() == 1 && others.size() == 1;
    lines[bundle.line] = {bundle.probability, first_letter_up(any_of(ones)) +
                                                  (one_pair ? ", and " : ". With it, ") + any_of(others)};
  }
  std::erase_if(lines, [](const Line& line) { return line.words.empty(); });
  std::stable_sort(lines.begin(), lines.end(),
                   [](const Line& x, const Line& y) { return x.probability > y.probability; });
  return lines;
}

std::string what_remains(const Harness& harness, const Diagnosis& diagnosis,
                         const NextProbe::Outcome& outcome) {
  const std::vector<std::size_t>& suspects = outcome.suspects;
  std::vector<std::string> parts;
  if (outcome.sound) parts.push_back("nothing is wrong");
  const std::string rest =
      suspects.size() > kRemaining ? fmt::format("; or {} more", suspects.size() - kRemaining) : "";
  // Pairs that all have one fault in common differ in the other alone.
  const Suspect* first = suspects.empty() ? nullptr : &diagnosis.suspects[suspects.front()];
  const bool in_common = !outcome.sound && suspects.size() > 1 &&
                         std::all_of(suspects.begin(), suspects.end(), [&](std::size_t k) {
                           return diagnosis.suspects[k].also && diagnosis.suspects[k].fault == first->fault;
                         });
  for (std::size_t i = 0; i < std::min(kRemaining, suspects.size()); ++i) {
    const Suspect& suspect = diagnosis.suspects[suspects[i]];
    parts.push_back(in_common ? lugwise::in_words(harness, *suspect.also) : in_words(harness, suspect));
  }
  if (parts.empty()) return "none of these; measure again";
  const std::string text = fmt::format("{}", fmt::join(parts, "; or ")) + rest;
  return in_common ? lugwise::in_words(harness, first->fault) + ", and: " + text : text;
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
  json["mend"] = mend_in_words(suspect);
  json["evidence"] = Json::array();
  for (const Evidence& one : suspect.evidence)
    json["evidence"].push_back(json_of(one, "reading", number_of(observations, one.observation)));
  for (const Evidence& one : suspect.heard)
    json["heard"].push_back(json_of(one, "heard", one.observation + 1));
  return json;
}

}  // namespace inside
}  // namespace lugwise::report
