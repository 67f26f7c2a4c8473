#include "report/plan.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "page/document.h"
#include "page/html.h"
#include "page/markdown.h"
#include "report/inside/checklist.h"
#include "report/inside/json.h"
#include "report/inside/place.h"
#include "report/inside/shown.h"
#include "report/inside/sketch.h"
#include "report/inside/step.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

using report::Json;

// Where the probes go, and which of them stay where they were.
std::string probes_in_words(const Harness& harness, const Step& step, const Step* before) {
  const std::string a = point_in_words(harness, step.a);
  const std::string b = point_in_words(harness, step.b);
  const auto held = [&](PointId point) {
    return before && !report::without_probes(*before) && (before->a == point || before->b == point);
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
  if (report::without_probes(step)) {
    said.to_do.push_back(step.instruction);
    return said;
  }
  said.to_do.push_back(probes_in_words(harness, step, before));
  if (step.kind != StepKind::Read) said.to_do.push_back(report::motion_in_words(harness, step));
  said.range = report::range_of(step);
  said.shows = report::display_in_words(plan.options.meter, step);
  said.notes = report::notes_of(harness, step);
  said.signs = report::signs_in_words(harness, plan, step);
  return said;
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
    if (step.kind == StepKind::Lift && (!before || before->lifted.empty()))
      begin("With a lead off, for what else would not show");
    page::Step said = said_of(harness, plan, step, before);
    if (!report::without_probes(step)) {
      said.before = report::setting_first(harness, step, before);
      said.picture = pictures.probes(step.setting, step.a, step.b);
    }
    sections.back().blocks.push_back(std::move(said));
    before = &step;
  }
  return sections;
}

// What each aim takes and shows, so that one can choose.
page::Section trade_of(const Plan& plan) {
  page::List list;
  for (const Trade& one : plan.trade) {
    list.items.push_back(
        {fmt::format(
             "{}: {} in {}, {:.0f} % of the opens, shorts and worn tracks by how common they are; {} of {} "
             "faults of its list; {} ohms too many at {} of {} joints and contacts",
             aim_name(one.aim), report::counted(one.steps, "step"), report::minutes(one.seconds),
             100 * one.weight, one.seen, one.of, kModest, one.cold, one.joints),
         {}});
  }
  return {"What each aim takes and shows:", false, false, {std::move(list)}};
}

page::Document document_of(const Heading& heading, const Harness& harness, const Plan& plan,
                           report::Sketchbook pictures = {}) {
  page::Document document = report::opening_of(heading, harness, plan);
  for (page::Section& section : sections_of(harness, plan, pictures))
    document.sections.push_back(std::move(section));
  document.sections.push_back(report::coverage_of(harness, plan));
  if (plan.walk) document.sections.push_back(report::walk_of(harness, plan));
  if (!plan.trade.empty()) document.sections.push_back(trade_of(plan));
  if (!plan.unseen.empty()) document.sections.push_back(report::unseen_of(harness, plan));
  return document;
}

}  // namespace

namespace {

Json element_json(const Harness& harness, ElementId id) {
  const Element& element = harness[id];
  return {{"element", site_name(static_cast<Site>(static_cast<int>(element.kind)))},
          {"points", report::json_of(harness, element.points)}};
}

Json walk_json(const Harness& harness, const Plan& plan) {
  if (!plan.walk) return nullptr;
  const Walk& walk = *plan.walk;
  Json steps = Json::array();
  for (const WalkStep& step : walk.steps) {
    Json proves = Json::array();
    for (ElementId element : step.proves) proves.push_back(element_json(harness, element));
    steps.push_back({{"between", report::json_of(harness, {walk.anchor, step.to})},
                     {"shows", report::shows_json(plan.options.meter, step.range, step.expected, step.shows)},
                     {"range", range_name(step.range.top)},
                     {"good", harness[step.from].name},
                     {"stretch", report::json_of(harness, step.stretch)},
                     {"before", step.bounds},
                     {"proves", proves},
                     {"half", harness[step.stretch[step.first_half]].name},
                     {"most", step.most}});
  }
  Json doubled = Json::array();
  for (ElementId element : walk.in_loops) doubled.push_back(element_json(harness, element));
  return {{"anchor", harness[walk.anchor].name},
          {"set", report::json_of(harness, walk.setting)},
          {"cover", walk.access.name},
          {"points", report::json_of(harness, walk.points)},
          {"steps", steps},
          {"doubled", doubled}};
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

namespace {

// A preparation, or a lead that comes off or goes back.
Json deed_json(const Harness& harness, const Step& step) {
  const bool lifts = step.kind == StepKind::Lift;
  return {{"step", step.number},
          {"do", lifts                            ? "lift"
                 : step.kind == StepKind::Prepare ? "prepare"
                                                  : "refit"},
          {"set", report::json_of(harness, step.setting)},
          {"cover", step.access.name},
          {"lifted", report::json_of(harness, step.lifted)},
          {"proves", Json::array()},
          {"say", step.instruction}};
}

Json probe_json(const Harness& harness, const Plan& plan, const Step& step) {
  const Meter& meter = plan.options.meter;
  const report::Reading reading{step.number, step.setting,  step.access, step.a,
                                step.b,      step.expected, step.range,  step.shows};
  Json one = report::json_of(harness, meter, reading, report::faults_among(plan, step.proves),
                             report::step_in_words(meter, harness, step));
  one["notes"] = report::notes_of(harness, step);
  one["lifted"] = report::json_of(harness, step.lifted);
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
    one["range"] = report::range_of(step);
  }
  if (step.kind == StepKind::Wiggle) {
    one["do"] = "wiggle";
    one["wiggle"] = report::json_of(harness, step.wiggled);
  }
  return one;
}

Json trade_json(const std::vector<Trade>& trade) {
  Json all = Json::array();
  for (const Trade& one : trade) {
    all.push_back({{"aim", aim_name(one.aim)},
                   {"steps", one.steps},
                   {"seconds", report::number(one.seconds)},
                   {"seen", one.seen},
                   {"of", one.of},
                   {"weight", report::number(one.weight)},
                   {"cold", {{"ohms", report::number(kModest)}, {"seen", one.cold}, {"of", one.joints}}}});
  }
  return all;
}

Json coverage_json(const Harness& harness, const Plan& plan) {
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
  Json sizes = Json::array();
  for (std::size_t f = 0; f < plan.faults.size(); ++f) {
    if (plan.faults[f].mode != Mode::High || !(plan.sizes[f] > 0 && plan.sizes[f] < HUGE_VAL)) continue;
    sizes.push_back(
        {{"fault", report::json_of(harness, plan.faults[f])}, {"from", report::number(plan.sizes[f])}});
  }
  return {{"seen", plan.seen},
          {"of", plan.faults.size()},
          {"unseen", unseen},
          {"smallest", smallest},
          {"from", sizes}};
}

}  // namespace

std::string as_json(const Heading& heading, const Harness& harness, const Plan& plan) {
  require_meter(heading);
  Json json = report::json_of(heading);
  const auto& stage = plan.options.stage;
  json["id"] = plan.id;
  json["stage"] = stage ? Json(harness.stages()[*stage].name) : Json(nullptr);
  json["depth"] = depth_name(plan.options.depth);
  json["aim"] = aim_name(plan.options.aim);
  json["lift"] = plan.options.lift;
  json["after"] = report::json_of(harness, plan.options.after);
  json["before"] = plan.cautions;
  json["steps"] = Json::array();
  for (const Step& step : plan.steps) {
    json["steps"].push_back(report::without_probes(step) ? deed_json(harness, step)
                                                         : probe_json(harness, plan, step));
  }
  json["lower_bound"] = {{"steps", plan.least_steps}, {"seconds", report::number(plan.least_seconds)}};
  json["seconds"] = report::number(plan.seconds);
  json["opening_seconds"] = report::number(plan.opening_seconds);
  json["wiggle_seconds"] = report::number(plan.wiggle_seconds);
  json["lift_seconds"] = report::number(plan.lift_seconds);
  json["walk"] = walk_json(harness, plan);
  json["trade"] = trade_json(plan.trade);
  json["coverage"] = coverage_json(harness, plan);
  return report::written(json);
}

}  // namespace lugwise
