#include "report/plan.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include <fmt/format.h>

#include "component/colour.h"
#include "component/preferred.h"
#include "report/inside/json.h"
#include "report/inside/page.h"
#include "report/inside/place.h"
#include "report/inside/shown.h"

namespace lugwise {
namespace {

using report::Json;
using report::Page;

// Names in one list of a step; the JSON output has them all.
constexpr std::size_t kNames = 8;

// Columns before the text of a step.
constexpr std::size_t kIndent = 6;

std::vector<Fault> chosen(const Plan& plan, const std::vector<std::size_t>& numbers) {
  std::vector<Fault> faults;
  for (std::size_t number : numbers) faults.push_back(plan.faults[number]);
  return faults;
}

// What a wrong display points to first: what no earlier step has proved.
struct Signs {
  std::vector<Fault> open, high, low, value;
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
      default:
        signs.value.push_back(fault);
        break;
    }
  }
  return signs;
}

// What a sweep's display does from end to end.
std::string sweep_in_words(const Meter& meter, const Step& step) {
  const report::Shown from = report::shown(meter, step.range, step.expected, step.shows);
  const report::Shown to = report::shown(meter, step.range, step.end, step.end_shows);
  std::string text = fmt::format("from {} to {} without jumps", report::in_words(from), report::in_words(to));
  if (step.most)
    text += fmt::format("; on the way it may rise to {}", display(meter, step.range, *step.most));
  return text;
}

std::string range_of(const Step& step) {
  return step.capacitance ? capacitance_range_name(step.range.top) : range_name(step.range.top);
}

std::string display_in_words(const Meter& meter, const Step& step) {
  if (step.kind == StepKind::Sweep) return sweep_in_words(meter, step);
  if (step.capacitance) return report::in_words(report::shown(meter, *step.capacitance));
  const std::string reads = report::in_words(report::shown(meter, step.range, step.expected, step.shows));
  return step.kind == StepKind::Wiggle ? "steady at " + reads : reads;
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
    text += fmt::format(" with a wooden stick {}", report::listed(points));
  }
  return text + ". Watch.";
}

// What is done at a step that is watched; nothing for a reading.
std::string motion_in_words(const Harness& harness, const Step& step) {
  if (step.kind == StepKind::Sweep) return turn_in_words(harness, step);
  if (step.kind == StepKind::Wiggle) return push_in_words(harness, step);
  return "";
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
  std::string text = fmt::format("Nearest preferred value {}", in_words(preferred->ohms));
  const double share = std::round(tolerance * 1e6) / 1e6;
  if (const auto bands = write_bands({preferred->ohms, share, std::nullopt}, fine ? 5 : 4)) {
    std::vector<std::string_view> names;
    for (Colour colour : *bands) names.push_back(colour_name(colour));
    text += fmt::format("; bands: {}", fmt::join(names, " "));
  }
  return text + ".";
}

std::vector<std::string> notes_of(const Harness& harness, const Step& step) {
  std::vector<std::string> notes = step.notes;
  if (const auto bands = bands_note(harness, step)) notes.push_back(*bands);
  return notes;
}

std::string say(const Harness& harness, const Plan& plan, const Step& step) {
  if (step.kind == StepKind::Prepare) return step.instruction;
  const std::string motion = motion_in_words(harness, step);
  return fmt::format("{}; {}probes on {} and {}. {}{}Range {}: {}.",
                     report::first_letter_up(report::in_words(step.access)),
                     report::set_in_words(harness, step.setting), point_in_words(harness, step.a),
                     point_in_words(harness, step.b), motion, motion.empty() ? "" : " ", range_of(step),
                     display_in_words(plan.options.meter, step));
}

void write_signs(Page& page, const Harness& harness, const Step& step, const std::vector<Fault>& faults) {
  const Signs signs = signs_of(faults);
  const auto point_to = [&](std::string_view sign, const std::vector<Fault>& what) {
    if (what.empty()) return;
    page.paragraph(fmt::format("      {}: ", sign), report::names_of_places(harness, what, kNames),
                   kIndent + 2);
  };
  std::vector<Fault> above = signs.open;
  above.insert(above.end(), signs.high.begin(), signs.high.end());
  point_to(step.capacitance     ? "next to nothing, as if open"
           : step.expected.open ? "changed"
                                : "higher or OL",
           above);
  point_to(step.expected.open ? "not OL" : "lower", signs.low);
  point_to("a little off", signs.value);
}

void write_step(Page& page, const Harness& harness, const Plan& plan, const Step& step, const Step* before) {
  const std::string number = fmt::format("{:>4}  ", step.number);
  if (step.kind == StepKind::Prepare) {
    page.paragraph(number, step.instruction);
    return;
  }
  const std::string a = point_in_words(harness, step.a);
  const std::string b = point_in_words(harness, step.b);
  const auto held = [&](PointId point) {
    return before && before->kind != StepKind::Prepare && (before->a == point || before->b == point);
  };
  std::string text;
  if (step.parked && held(step.b)) {
    text = fmt::format("Leave the probes on {} and {}.", a, b);
  } else if (step.parked) {
    text = fmt::format("Leave one probe on {}, put the other on {}.", a, b);
  } else {
    text = fmt::format("Probes on {} and {}.", a, b);
  }
  page.paragraph(number, text);
  if (step.kind != StepKind::Read) page.paragraph("      ", motion_in_words(harness, step));
  page.paragraph("      ",
                 fmt::format("Range {}: {}", range_of(step), display_in_words(plan.options.meter, step)));
  for (const std::string& note : notes_of(harness, step)) page.paragraph("      ", note);
  const std::vector<Fault> fresh = chosen(plan, step.fresh);
  if (step.kind == StepKind::Wiggle) {
    page.paragraph("      unstable: ", "a loose joint or contact there", kIndent + 2);
    return;
  }
  if (step.kind == StepKind::Sweep) {
    const std::vector<Fault> worn = chosen(plan, step.proves);
    page.paragraph("      smooth: ", report::proof_in_words(harness, worn), kIndent + 2);
    std::vector<std::string> pots;
    for (const Fault& fault : worn) pots.push_back(harness[*harness[fault.points[0]].part].name);
    page.paragraph("      jumps: ", "track or wiper of " + report::listed(pots) + " worn or dirty",
                   kIndent + 2);
    return;
  }
  if (fresh.empty()) return;
  page.paragraph("      right: ", "proves " + report::proof_in_words(harness, fresh), kIndent + 2);
  write_signs(page, harness, step, fresh);
}

// What to turn to come from one setting to the next, and what stays.
std::string turning(const Harness& harness, const Setting* before, const Setting& setting) {
  std::vector<std::string> turn, leave;
  for (PartId control : harness.controls()) {
    const bool stays = before && before->alike(setting, control);
    (stays ? leave : turn).push_back(harness[control].name + " " + setting.place_name(harness, control));
  }
  if (turn.empty()) return "Leave " + fmt::format("{}", fmt::join(leave, ", ")) + ".";
  std::string text = fmt::format("Set {}", fmt::join(turn, ", "));
  if (!leave.empty()) text += fmt::format("; leave {}", fmt::join(leave, ", "));
  return text + ".";
}

void write_coverage(Page& page, const Harness& harness, const Plan& plan) {
  page.blank();
  page.paragraph("", fmt::format("These steps would show {} of {} faults, in {}{}.", plan.seen,
                                 plan.faults.size(), report::minutes(plan.seconds),
                                 plan.wiggle_seconds > 0 ? fmt::format("; the wiggles take {} more",
                                                                       report::minutes(plan.wiggle_seconds))
                                                         : ""));
  page.paragraph(
      "", fmt::format("No plan that shows as much has fewer than {}, or takes less than {:.0f} of these "
                      "{:.0f} seconds; both for the faults and tolerances modelled.",
                      report::counted(static_cast<std::size_t>(plan.least_steps), "reading"),
                      plan.least_seconds, plan.seconds));
  if (!plan.smallest.empty()) {
    const auto by_ohms = [](const Smallest& x, const Smallest& y) { return x.ohms < y.ohms; };
    const auto [least, most] = std::minmax_element(plan.smallest.begin(), plan.smallest.end(), by_ohms);
    const auto at = [&](const Smallest& one) {
      return fmt::format("({}, step {})", report::place_in_words(harness, harness[one.element]), one.step);
    };
    page.paragraph("",
                   fmt::format("A cold joint or dirty contact shows from {} at best {}, from {} at worst {}.",
                               in_words(least->ohms), at(*least), in_words(most->ohms), at(*most)));
  }
  if (plan.unseen.empty()) return;
  page.blank();
  page.line("Not shown by any step:");
  // One entry a reason, with all it holds for.
  std::vector<std::pair<std::pair<std::string, std::string>, std::vector<Fault>>> reasons;
  for (const Unseen& unseen : plan.unseen) {
    const std::pair<std::string, std::string> reason(unseen.why, unseen.would);
    auto known = std::find_if(reasons.begin(), reasons.end(),
                              [&](const auto& entry) { return entry.first == reason; });
    if (known == reasons.end()) known = reasons.insert(reasons.end(), {reason, {}});
    known->second.push_back(plan.faults[unseen.fault]);
  }
  for (const auto& [reason, faults] : reasons) {
    std::vector<std::string> words;
    for (const Fault& fault : faults) words.push_back(in_words(harness, fault));
    page.paragraph("  - ", fmt::format("{}", fmt::join(words, "; ")));
    page.paragraph("    why: ", reason.first);
    if (!reason.second.empty()) page.paragraph("    to see it: ", reason.second);
  }
}

}  // namespace

std::string as_text(const Heading& heading, const Harness& harness, const Plan& plan) {
  assert(heading.meter);
  Page page;
  report::write_heading(page, heading, "checklist " + plan.id);
  const auto& stage = plan.options.stage;
  page.paragraph("  stage    ", stage ? harness.stages()[*stage].name : "all parts there");
  page.paragraph("  depth    ", plan.options.depth == Depth::Outside ? "outside only" : "full");
  if (!plan.cautions.empty()) {
    page.blank();
    page.line("Before the first probe:");
    for (const std::string& caution : plan.cautions) page.paragraph("  - ", caution);
  }
  const Step* before = nullptr;
  for (const Step& step : plan.steps) {
    if (!before || !(before->access == step.access)) {
      page.blank();
      page.paragraph("", report::first_letter_up(report::in_words(step.access)));
      // From the cavity on there is solder within reach, and the plan counts on its being passed by.
      const bool solder = !harness.blobs().empty() || !harness.wires().empty();
      if (solder && step.access.depth > 0 && (!before || before->access.depth == 0)) {
        page.paragraph("  ", "Tips on bare metal beside the solder: on the solder they bypass the joint.");
      }
    }
    if (step.kind == StepKind::Wiggle && (!before || before->kind != StepKind::Wiggle)) {
      page.blank();
      page.line("For a fault that comes and goes");
    }
    if (step.kind == StepKind::Prepare) {
      write_step(page, harness, plan, step, before);
      before = &step;
      continue;
    }
    const bool first = !before || before->kind == StepKind::Prepare;
    const std::optional<Setting> stands = first ? std::nullopt : std::optional(left_at(*before));
    if (!harness.controls().empty() && (!stands || !(*stands == step.setting))) {
      page.paragraph("  ", turning(harness, stands ? &*stands : nullptr, step.setting));
    } else if (!first && before->swept) {
      page.paragraph("  ", fmt::format("Leave {} at {}.", harness[*before->swept].name,
                                       step.setting.place_name(harness, *before->swept)));
    }
    write_step(page, harness, plan, step, before);
    before = &step;
  }
  write_coverage(page, harness, plan);
  return page.take();
}

std::string as_json(const Heading& heading, const Harness& harness, const Plan& plan) {
  assert(heading.meter);
  Json json = report::json_of(heading);
  const auto& stage = plan.options.stage;
  json["id"] = plan.id;
  json["stage"] = stage ? Json(harness.stages()[*stage].name) : Json(nullptr);
  json["depth"] = plan.options.depth == Depth::Outside ? "outside" : "full";
  json["before"] = plan.cautions;
  json["steps"] = Json::array();
  for (const Step& step : plan.steps) {
    if (step.kind == StepKind::Prepare) {
      json["steps"].push_back({{"step", step.number},
                               {"do", "prepare"},
                               {"set", report::json_of(harness, step.setting)},
                               {"cover", step.access.name},
                               {"lifted", Json::array()},
                               {"proves", Json::array()},
                               {"say", step.instruction}});
      continue;
    }
    const report::Reading reading{step.number, step.setting,  step.access, step.a,
                                  step.b,      step.expected, step.range,  step.shows};
    Json one = report::json_of(harness, plan.options.meter, reading, chosen(plan, step.proves),
                               say(harness, plan, step));
    one["notes"] = notes_of(harness, step);
    const Meter& meter = plan.options.meter;
    if (step.kind == StepKind::Sweep) {
      const Setting end = left_at(step);
      one["do"] = "sweep";
      one["sweep"] = harness[*step.swept].name;
      one["from"] = report::shows_json(meter, step.range, step.expected, step.shows);
      one["to"] = report::shows_json(meter, step.range, step.end, step.end_shows);
      one["most"] = step.most ? Json(display(meter, step.range, *step.most)) : Json(nullptr);
      one["turn"] = {{"from", report::number(step.setting.knob(*step.swept))},
                     {"to", report::number(end.knob(*step.swept))}};
    }
    if (step.capacitance) {
      one["farads"] = report::farads_json(meter, *step.capacitance);
      one["shows"] = one["farads"]["shows"];
      one["range"] = range_of(step);
    }
    if (step.kind == StepKind::Wiggle) {
      one["do"] = "wiggle";
      one["wiggle"] = report::json_of(harness, step.wiggled);
    }
    json["steps"].push_back(std::move(one));
  }
  json["lower_bound"] = {{"steps", plan.least_steps}, {"seconds", report::number(plan.least_seconds)}};
  json["seconds"] = report::number(plan.seconds);
  json["wiggle_seconds"] = report::number(plan.wiggle_seconds);
  Json unseen = Json::array();
  for (const Unseen& one : plan.unseen) {
    unseen.push_back({{"fault", report::json_of(harness, plan.faults[one.fault])},
                      {"why", one.why},
                      {"would", one.would}});
  }
  Json smallest = Json::array();
  for (const Smallest& one : plan.smallest) {
    Json points = Json::array();
    for (PointId point : harness[one.element].points) points.push_back(harness[point].name);
    smallest.push_back({{"points", points}, {"ohms", report::number(one.ohms)}, {"step", one.step}});
  }
  json["coverage"] = {
      {"seen", plan.seen}, {"of", plan.faults.size()}, {"unseen", unseen}, {"smallest", smallest}};
  return report::written(json);
}

}  // namespace lugwise
