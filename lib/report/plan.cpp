#include "report/plan.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include <fmt/format.h>

#include "component/colour.h"
#include "component/preferred.h"
#include "page/document.h"
#include "page/html.h"
#include "page/markdown.h"
#include "report/inside/json.h"
#include "report/inside/place.h"
#include "report/inside/shown.h"
#include "report/inside/sketch.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

using report::Json;

// Names in one list of a step; the JSON output has them all.
constexpr std::size_t kNames = 8;

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

// What a wrong display points to, for what a step shows first.
void add_signs(page::Step& said, const Harness& harness, const Step& step, const std::vector<Fault>& faults) {
  const Signs signs = signs_of(faults);
  const auto point_to = [&](const char* sign, const std::vector<Fault>& what) {
    if (!what.empty()) said.signs.push_back({sign, report::names_of_places(harness, what, kNames)});
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

// Where the probes go, and which of them stay where they were.
std::string probes_in_words(const Harness& harness, const Step& step, const Step* before) {
  const std::string a = point_in_words(harness, step.a);
  const std::string b = point_in_words(harness, step.b);
  const auto held = [&](PointId point) {
    return before && before->kind != StepKind::Prepare && (before->a == point || before->b == point);
  };
  if (step.parked && held(step.b)) return fmt::format("Leave the probes on {} and {}.", a, b);
  if (step.parked) return fmt::format("Leave one probe on {}, put the other on {}.", a, b);
  return fmt::format("Probes on {} and {}.", a, b);
}

// What is written down at a step.
page::Blanks blanks_of(const Step& step) {
  switch (step.kind) {
    case StepKind::Read:
      return {{"reads"}, {"right", "wrong"}};
    case StepKind::Sweep:
      return {{"from", "to"}, {"smooth", "jumps"}};
    case StepKind::Wiggle:
      return {{}, {"steady", "unstable"}};
    default:
      break;
  }
  if (step.tips_together) return {{"first", "at the end"}, {"done"}};
  return {{}, {"done"}};
}

page::Step said_of(const Harness& harness, const Plan& plan, const Step& step, const Step* before) {
  page::Step said;
  said.number = std::to_string(step.number);
  said.blanks = blanks_of(step);
  if (step.kind == StepKind::Prepare) {
    said.to_do.push_back(step.instruction);
    return said;
  }
  said.to_do.push_back(probes_in_words(harness, step, before));
  if (step.kind != StepKind::Read) said.to_do.push_back(motion_in_words(harness, step));
  said.range = range_of(step);
  said.shows = display_in_words(plan.options.meter, step);
  said.notes = notes_of(harness, step);
  if (step.kind == StepKind::Wiggle) {
    said.signs.push_back({"unstable", "a loose joint or contact there"});
    return said;
  }
  if (step.kind == StepKind::Sweep) {
    const std::vector<Fault> worn = chosen(plan, step.proves);
    said.signs.push_back({"smooth", report::proof_in_words(harness, worn)});
    std::vector<std::string> pots;
    for (const Fault& fault : worn) pots.push_back(harness[*harness[fault.points[0]].part].name);
    said.signs.push_back({"jumps", "track or wiper of " + report::listed(pots) + " worn or dirty"});
    return said;
  }
  const std::vector<Fault> fresh = chosen(plan, step.fresh);
  if (fresh.empty()) return said;
  said.signs.push_back({"right", "proves " + report::proof_in_words(harness, fresh)});
  add_signs(said, harness, step, fresh);
  return said;
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

// What to set before a step; nothing where all stands as it should.
std::string setting_first(const Harness& harness, const Step& step, const Step* before) {
  const bool first = !before || before->kind == StepKind::Prepare;
  const std::optional<Setting> stands = first ? std::nullopt : std::optional(left_at(*before));
  if (!harness.controls().empty() && (!stands || !(*stands == step.setting)))
    return turning(harness, stands ? &*stands : nullptr, step.setting);
  if (first || !before->swept) return "";
  return fmt::format("Leave {} at {}.", harness[*before->swept].name,
                     step.setting.place_name(harness, *before->swept));
}

std::vector<page::Section> sections_of(const Harness& harness, const Plan& plan,
                                       report::Sketchbook& pictures) {
  std::vector<page::Section> sections;
  const auto begin = [&](std::string title) { sections.push_back({std::move(title), false, false, {}}); };
  const Step* before = nullptr;
  const auto begins = [](const Step* one) { return !one || one->kind == StepKind::Prepare; };
  for (const Step& step : plan.steps) {
    // What is prepared first may open a lid and close it again, so it stands under no depth.
    const bool preparing = begins(before) && step.kind == StepKind::Prepare;
    if (preparing) {
      if (!before) begin("To begin with");
    } else if (begins(before) || !(before->access == step.access)) {
      begin(report::first_letter_up(report::in_words(step.access)));
      // From the cavity on there is solder within reach, and the plan counts on its being passed by.
      const bool solder = !harness.blobs().empty() || !harness.wires().empty();
      if (solder && step.access.depth > 0 && (begins(before) || before->access.depth == 0)) {
        sections.back().blocks.push_back(
            page::Paragraph{"Tips on bare metal beside the solder: on the solder they bypass the joint.", 2});
      }
    }
    if (step.kind == StepKind::Wiggle && (!before || before->kind != StepKind::Wiggle))
      begin("For a fault that comes and goes");
    page::Step said = said_of(harness, plan, step, before);
    if (step.kind != StepKind::Prepare) {
      said.before = setting_first(harness, step, before);
      said.picture = pictures.probes(step.setting, step.a, step.b);
    }
    sections.back().blocks.push_back(std::move(said));
    before = &step;
  }
  return sections;
}

page::Section coverage_of(const Harness& harness, const Plan& plan) {
  page::Section section{"Coverage", true, false, {}};
  const auto say = [&](std::string text) { section.blocks.push_back(page::Paragraph{std::move(text)}); };
  say(fmt::format("These steps would show {} of {} faults, in {}{}.", plan.seen, plan.faults.size(),
                  report::minutes(plan.seconds),
                  plan.wiggle_seconds > 0
                      ? fmt::format("; the wiggles take {} more", report::minutes(plan.wiggle_seconds))
                      : ""));
  say(
      fmt::format("No plan that shows as much has fewer than {}, or takes less than {:.0f} of these "
                  "{:.0f} seconds; both for the faults and tolerances modelled.",
                  report::counted(static_cast<std::size_t>(plan.least_steps), "reading"), plan.least_seconds,
                  plan.seconds));
  if (!plan.smallest.empty()) {
    const auto by_ohms = [](const Smallest& x, const Smallest& y) { return x.ohms < y.ohms; };
    const auto [least, most] = std::minmax_element(plan.smallest.begin(), plan.smallest.end(), by_ohms);
    const auto at = [&](const Smallest& one) {
      return fmt::format("({}, step {})", report::place_in_words(harness, harness[one.element]), one.step);
    };
    say(fmt::format("A cold joint or dirty contact shows from {} at best {}, from {} at worst {}.",
                    in_words(least->ohms), at(*least), in_words(most->ohms), at(*most)));
  }
  return section;
}

page::Section unseen_of(const Harness& harness, const Plan& plan) {
  // One entry a reason, with all it holds for.
  std::vector<std::pair<std::pair<std::string, std::string>, std::vector<std::string>>> reasons;
  for (const Unseen& unseen : plan.unseen) {
    const std::pair<std::string, std::string> reason(unseen.why, unseen.would);
    auto known = std::find_if(reasons.begin(), reasons.end(),
                              [&](const auto& entry) { return entry.first == reason; });
    if (known == reasons.end()) known = reasons.insert(reasons.end(), {reason, {}});
    known->second.push_back(in_words(harness, plan.faults[unseen.fault]));
  }
  page::List list;
  for (const auto& [reason, faults] : reasons) {
    page::List::Item item{fmt::format("{}", fmt::join(faults, "; ")), {{"why", reason.first}}};
    if (!reason.second.empty()) item.more.push_back({"to see it", reason.second});
    list.items.push_back(std::move(item));
  }
  return {"Not shown by any step:", false, false, {std::move(list)}};
}

page::Document document_of(const Heading& heading, const Harness& harness, const Plan& plan,
                           report::Sketchbook pictures = {}) {
  assert(heading.meter);
  const auto& stage = plan.options.stage;
  page::Document document =
      report::titled(heading, "checklist " + plan.id,
                     {{"stage", stage ? harness.stages()[*stage].name : "all parts there"},
                      {"depth", plan.options.depth == Depth::Outside ? "outside only" : "full"}});
  document.job = report::job_details();
  if (!plan.cautions.empty()) {
    page::List cautions;
    for (const std::string& caution : plan.cautions) cautions.items.push_back({caution, {}});
    document.sections.push_back({"Before the first probe:", false, false, {std::move(cautions)}, true});
  }
  for (page::Section& section : sections_of(harness, plan, pictures))
    document.sections.push_back(std::move(section));
  document.sections.push_back(coverage_of(harness, plan));
  if (!plan.unseen.empty()) document.sections.push_back(unseen_of(harness, plan));
  return document;
}

}  // namespace

std::string as_text(const Heading& heading, const Harness& harness, const Plan& plan, std::size_t columns) {
  return page::as_text(document_of(heading, harness, plan), columns);
}

std::string as_markdown(const Heading& heading, const Harness& harness, const Plan& plan) {
  return page::as_markdown(document_of(heading, harness, plan));
}

std::string as_html(const Heading& heading, const Harness& harness, const Plan& plan, const Places& places) {
  report::Sketchbook pictures(harness, plan.options.stage, places);
  return page::as_html(document_of(heading, harness, plan, std::move(pictures)), heading.program);
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
