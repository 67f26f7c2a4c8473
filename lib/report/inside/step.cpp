#include "report/inside/step.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "component/colour.h"
#include "component/preferred.h"
#include "report/inside/place.h"
#include "report/inside/shown.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

// What a wrong display points to first: what no earlier step has proved.
struct Signs {
  std::vector<Fault> open, high, low, value, misplaced;
};

Signs signs_of(const std::vector<Fault>& faults) {
  Signs signs;
  for (const Fault& fault : faults) {
    switch (fault.mode) {
      case Mode::Open:
        signs.open.push_back(fault);
        break;
      case Mode::High:
        signs.high.push_back(fault);
        break;
      case Mode::Short:
        signs.low.push_back(fault);
        break;
      case Mode::Misplaced:
        signs.misplaced.push_back(fault);
        break;
      case Mode::Value:
        signs.value.push_back(fault);
        break;
    }
  }
  return signs;
}

// What a sweep's display does from end to end.
std::string sweep_in_words(const Meter& meter, const Step& step) {
  const Shown from = shown(meter, step.range, step.expected, step.shows);
  const Shown to = shown(meter, step.range, step.end, step.end_shows);
  std::string text = fmt::format("from {} to {} without jumps", in_words(from), in_words(to));
  if (step.most)
    text += fmt::format("; on the way it may rise to {}", display(meter, step.range, *step.most));
  return text;
}

std::string turn_in_words(const Harness& harness, const Step& step) {
  return fmt::format("Turn {} slowly from {} to {} and watch.", harness[*step.swept].name,
                     step.setting.place_name(harness, *step.swept),
                     left_at(step).place_name(harness, *step.swept));
}

// What to press and move; a plug is moved in its jack, with its cable.
std::string push_in_words(const Harness& harness, const Step& step) {
  std::vector<std::string> points;
  bool plug = false;
  for (PointId point : step.wiggled) {
    if (harness[point].role == PointRole::Plug) {
      plug = true;
    } else {
      points.push_back(harness[point].name);
    }
  }
  std::string text = plug ? "Move the plug in the jack, and its cable" : "";
  if (!points.empty()) {
    text += plug ? "; press and move" : "Press and move";
    text += fmt::format(" with a wooden stick {}", listed(points));
  }
  return text + ". Watch.";
}

// Of a reading that is a resistor and little else: the preferred value nearest to it, and its bands, by which it is found.
std::optional<std::string> bands_note(const Harness& harness, const Step& step) {
  constexpr double kAll = 0.99;
  constexpr double kFine = 0.021;  // tolerances up to here have three digits and five bands
  if (step.kind != StepKind::Read || step.expected.open || step.expected.through.empty()) return std::nullopt;
  const Contribution& most = step.expected.through.front();
  const Element& element = harness[most.element];
  if (element.kind != ElementKind::Resistor || most.share < kAll) return std::nullopt;
  const double tolerance = element.ohms.high / element.ohms.nominal - 1;
  const bool fine = tolerance < kFine;
  const auto preferred = nearest_preferred(fine ? Series::E96 : Series::E24, element.ohms.nominal);
  if (!preferred) return std::nullopt;
  std::string text = fmt::format("Nearest preferred value {}", lugwise::in_words(preferred->ohms));
  const double share = std::round(tolerance * 1e6) / 1e6;
  if (const auto bands = write_bands({preferred->ohms, share, std::nullopt}, fine ? 5 : 4)) {
    std::vector<std::string_view> names;
    for (Colour colour : *bands) names.push_back(colour_name(colour));
    text += fmt::format("; bands: {}", fmt::join(names, " "));
  }
  return text + ".";
}

// What a wrong display points to, for what a step shows first.
void add_signs(std::vector<page::Labelled>& said, const Harness& harness, const Step& step,
               const std::vector<Fault>& faults, std::size_t most) {
  const Signs signs = signs_of(faults);
  const auto point_to = [&](const char* sign, const std::vector<Fault>& what) {
    if (!what.empty()) said.push_back({sign, names_of_places(harness, what, most)});
  };
  std::vector<Fault> above = signs.open;
  above.insert(above.end(), signs.high.begin(), signs.high.end());
  point_to(step.capacitance     ? "next to nothing, as if open"
           : step.expected.open ? "changed"
                                : "higher or OL",
           above);
  point_to(step.expected.open ? "not OL" : "lower", signs.low);
  point_to("a little off", signs.value);
  point_to("anything else", signs.misplaced);
}

}  // namespace

std::vector<Fault> faults_among(const Plan& plan, const std::vector<std::size_t>& numbers) {
  std::vector<Fault> faults;
  for (std::size_t number : numbers) faults.push_back(plan.faults[number]);
  return faults;
}

bool without_probes(const Step& step) {
  return step.kind == StepKind::Prepare || step.kind == StepKind::Lift || step.kind == StepKind::Refit;
}

std::string range_of(const Step& step) {
  return step.capacitance ? capacitance_range_name(step.range.top) : range_name(step.range.top);
}

std::string display_in_words(const Meter& meter, const Step& step) {
  if (step.kind == StepKind::Sweep) return sweep_in_words(meter, step);
  if (step.capacitance) return in_words(shown(meter, *step.capacitance));
  const std::string reads = in_words(shown(meter, step.range, step.expected, step.shows));
  return step.kind == StepKind::Wiggle ? "steady at " + reads : reads;
}

std::string motion_in_words(const Harness& harness, const Step& step) {
  if (step.kind == StepKind::Sweep) return turn_in_words(harness, step);
  if (step.kind == StepKind::Wiggle) return push_in_words(harness, step);
  return "";
}

std::vector<std::string> notes_of(const Harness& harness, const Step& step) {
  std::vector<std::string> notes = step.notes;
  if (const auto bands = bands_note(harness, step)) notes.push_back(*bands);
  return notes;
}

std::string step_in_words(const Meter& meter, const Harness& harness, const Step& step) {
  if (without_probes(step)) return step.instruction;
  const std::string motion = motion_in_words(harness, step);
  const std::string off =
      step.lifted.empty() ? "" : fmt::format("{} off; ", harness[step.lifted.front()].name);
  return fmt::format("{}; {}{}probes on {} and {}. {}{}Range {}: {}.", first_letter_up(in_words(step.access)),
                     off, set_in_words(harness, step.setting), point_in_words(harness, step.a),
                     point_in_words(harness, step.b), motion, motion.empty() ? "" : " ", range_of(step),
                     display_in_words(meter, step));
}

std::vector<page::Labelled> signs_in_words(const Harness& harness, const Plan& plan, const Step& step,
                                           std::size_t most) {
  std::vector<page::Labelled> said;
  if (step.kind == StepKind::Wiggle) {
    said.push_back({"unstable", "a loose joint or contact there"});
    return said;
  }
  if (step.kind == StepKind::Sweep) {
    const std::vector<Fault> worn = faults_among(plan, step.proves);
    said.push_back({"smooth", proof_in_words(harness, worn)});
    std::vector<std::string> pots;
    bool broken = false;
    for (const Fault& fault : worn) {
      const std::string& pot = harness[*harness[fault.points[0]].part].name;
      if (std::find(pots.begin(), pots.end(), pot) == pots.end()) pots.push_back(pot);
      broken = broken || fault.mode == Mode::Open;
    }
    said.push_back({"jumps", "track or wiper of " + listed(pots) +
                                 (broken ? " worn, dirty or broken" : " worn or dirty")});
    return said;
  }
  const std::vector<Fault> fresh = faults_among(plan, step.fresh);
  if (fresh.empty()) return said;
  said.push_back({"right", "proves " + proof_in_words(harness, fresh)});
  add_signs(said, harness, step, fresh, most);
  return said;
}

}  // namespace inside
}  // namespace lugwise::report
