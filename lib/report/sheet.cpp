#include "report/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <map>
#include <utility>
#include <vector>

#include "page/document.h"
#include "page/html.h"
#include "record/record.h"
#include "report/inside/checklist.h"
#include "report/inside/place.h"
#include "report/inside/shown.h"
#include "report/inside/sketch.h"
#include "report/inside/step.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

using page::Checklist;

constexpr std::size_t kSome = 6;
constexpr std::size_t kFew = 2;  // names in one list: what is likeliest stands first

// "A" to "Z", then "AA", "AB".
std::string letters(std::size_t index) {
  std::string text;
  for (++index; index > 0; index = (index - 1) / 26)
    text.insert(text.begin(), static_cast<char>('A' + (index - 1) % 26));
  return text;
}

// "2 5-7"
std::string in_ranges(const std::vector<int>& steps) {
  std::string text;
  for (std::size_t i = 0; i < steps.size();) {
    std::size_t last = i;
    while (last + 1 < steps.size() && steps[last + 1] == steps[last] + 1) ++last;
    text += fmt::format("{}{}", text.empty() ? "" : " ", steps[i]);
    if (last > i) text += fmt::format("{}{}", last > i + 1 ? "–" : " ", steps[last]);
    i = last + 1;
  }
  return text;
}

// Where the probes of a plan go, in the order they get there.
class Stations {
 public:
  Stations(const Harness& harness, const Plan& plan) : harness_(harness) {
    for (const Step& step : plan.steps) {
      if (report::without_probes(step)) continue;
      for (PointId point : {step.a, step.b}) {
        const auto [known, fresh] = index_.emplace(point, points_.size());
        if (fresh) {
          points_.push_back(point);
          steps_.emplace_back();
        }
        steps_[known->second].push_back(step.number);
      }
    }
  }

  page::Labelled at(PointId point) const { return {letters(index_.at(point)), harness_[point].name}; }

  std::vector<Tag> tags() const {
    std::vector<Tag> tags;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      std::string steps = in_ranges(steps_[i]);
      constexpr std::size_t kLong = 14;
      if (steps.size() > kLong) steps = fmt::format("{} steps", steps_[i].size());
      tags.push_back({points_[i], letters(i), steps});
    }
    return tags;
  }

  // Each letter with its point, and how that is found where the name alone doesn't say.
  std::vector<page::Labelled> key() const {
    std::vector<page::Labelled> key;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      const std::string& name = harness_[points_[i]].name;
      const std::string words = point_in_words(harness_, points_[i]);
      const bool named = words.find(name) != std::string::npos;
      key.push_back({letters(i), named ? words : name + ": " + words});
    }
    return key;
  }

 private:
  const Harness& harness_;
  std::map<PointId, std::size_t> index_;
  std::vector<PointId> points_;
  std::vector<std::vector<int>> steps_;
};

Checklist::Limits limits_of(const report::Shown& shown) {
  if (shown.over) return {"OL", "OL"};
  return {shown.low, shown.high};
}

// "6.04k to 7.36k"; nothing where one display is right only.
std::string between(const report::Shown& shown) {
  if (shown.over || !shown.nominal) return "";
  return shown.low + " to " + (shown.high == "OL" ? shown.above : shown.high);
}

std::string nominal(const report::Shown& shown) {
  return shown.over || !shown.nominal ? report::in_words(shown)
         : *shown.nominal == "OL"     ? shown.above
                                      : *shown.nominal;
}

// What should stand on the display, within which limits, and what is written down.
void take_readings(Checklist::Row& row, const Meter& meter, const Step& step) {
  const report::Shown start = step.capacitance ? report::shown(meter, *step.capacitance)
                                               : report::shown(meter, step.range, step.expected, step.shows);
  row.step.shows = nominal(start);
  row.between = between(start);
  page::Blanks& blanks = row.step.blanks;
  switch (step.kind) {
    case StepKind::Sweep: {
      const report::Shown end = report::shown(meter, step.range, step.end, step.end_shows);
      row.kind = Checklist::Kind::Watched;
      row.step.shows = fmt::format("{} to {}", nominal(start), nominal(end));
      row.between = fmt::format("{}; {}", between(start), between(end));
      if (step.most)
        row.step.notes.insert(row.step.notes.begin(), fmt::format("On the way it may rise to {}.",
                                                                  display(meter, step.range, *step.most)));
      blanks = {{"from", "to"}, {"smooth", "jumps"}};
      row.limits = {limits_of(start), limits_of(end)};
      break;
    }
    case StepKind::Wiggle:
      row.kind = Checklist::Kind::Watched;
      blanks = {{}, {"steady", "unstable"}};
      break;
    default:
      blanks = {{"reads", "again"}, {}};
      row.limits.assign(2, limits_of(start));
  }
}

Checklist::Row row_of(const Harness& harness, const Plan& plan, const Step& step, const Step* before,
                      const Stations& stations) {
  Checklist::Row row;
  row.step.number = std::to_string(step.number);
  if (report::without_probes(step)) {
    row.step.to_do.push_back(step.instruction);
    row.kind = step.tips_together ? Checklist::Kind::Tips : Checklist::Kind::Deed;
    row.step.blanks =
        step.tips_together ? page::Blanks{{"first", "at the end"}, {}} : page::Blanks{{}, {"done"}};
    return row;
  }
  row.step.before = report::setting_first(harness, step, before);
  row.places = {stations.at(step.a), stations.at(step.b)};
  if (step.kind != StepKind::Read) row.step.to_do.push_back(report::motion_in_words(harness, step));
  row.step.notes = report::notes_of(harness, step);
  row.step.range = report::range_of(step);
  take_readings(row, plan.options.meter, step);
  return row;
}

// The file's text as far as it is known before anything is read.
std::string head_of(const Heading& heading, const Harness& harness, const Plan& plan) {
  Record record;
  const std::string& file = heading.harness_file;
  record.harness_file = file.substr(file.find_last_of('/') + 1);
  record.values = heading.values;
  record.plan.id = plan.id;
  const PlanOptions& options = plan.options;
  if (options.stage) record.plan.stage = harness.stages()[*options.stage].name;
  record.plan.depth = options.depth;
  record.plan.aim = options.aim;
  record.plan.lift = options.lift;
  std::vector<std::string> after;
  for (PointId point : options.after) after.push_back(harness[point].name);
  record.plan.after = fmt::format("{}", fmt::join(after, " and "));
  if (!options.meter.assumed) record.meter = options.meter;
  record.temperature = heading.temperature;
  const std::string text = as_readings_file(harness, record);
  return text.substr(0, text.rfind("readings:"));
}

// From the cavity on there is solder within reach, and the plan counts on its being passed by.
std::string heading_of(const Harness& harness, const Access& access) {
  const std::string text = report::first_letter_up(report::in_words(access));
  const bool solder = !harness.blobs().empty() || !harness.wires().empty();
  return solder && access.depth > 0 ? text + ": tips on bare metal beside the solder, not on it" : text;
}

Checklist checklist_of(const Heading& heading, const Harness& harness, const Plan& plan,
                       const Stations& stations) {
  Checklist checklist;
  checklist.head = head_of(heading, harness, plan);
  checklist.over = plan.options.meter.over;
  checklist.beeps_below = plan.options.meter.beeps_below;
  std::string name;
  for (const char c : heading.harness_name.empty() ? "harness" : heading.harness_name)
    name += std::isalnum(static_cast<unsigned char>(c)) ? static_cast<char>(std::tolower(c)) : '-';
  checklist.file = name + "-readings.yaml";
  const auto begins = [](const Step* one) { return !one || one->kind == StepKind::Prepare; };
  const Step* before = nullptr;
  for (const Step& step : plan.steps) {
    checklist.rows.push_back(row_of(harness, plan, step, before, stations));
    std::string& heads = checklist.rows.back().heading;
    const bool preparing = begins(before) && step.kind == StepKind::Prepare;
    if (!preparing && (begins(before) || !(before->access == step.access)))
      heads = heading_of(harness, step.access);
    if (step.kind == StepKind::Wiggle && (!before || before->kind != StepKind::Wiggle))
      heads = "For a fault that comes and goes";
    if (step.kind == StepKind::Lift && (!before || before->lifted.empty()))
      heads = "With a lead off, for what else would not show";
    before = &step;
  }
  return checklist;
}

// Of each step in one line; what is right, and what only sweeps and wiggles show, the table says by itself.
page::Section pointers_of(const Harness& harness, const Plan& plan) {
  page::Map map;
  for (const Step& step : plan.steps) {
    if (step.kind != StepKind::Read) continue;
    std::string text;
    for (const page::Labelled& sign : report::signs_in_words(harness, plan, step, kFew)) {
      if (sign.label != "right")
        text += fmt::format("{}{}: {}", text.empty() ? "" : "; ", sign.label, sign.text);
    }
    if (!text.empty()) map.places.push_back({std::to_string(step.number), text + "."});
  }
  return {"What a wrong reading points to", false, false, {std::move(map)}, false, true};
}

// What no step shows by the reason for it, without the particulars; the long form has those.
page::Section unseen_of(const Harness& harness, const Plan& plan) {
  std::vector<std::pair<std::string, std::vector<Fault>>> reasons;
  for (const Unseen& unseen : plan.unseen) {
    const std::string why = unseen.why.substr(0, unseen.why.find(':'));
    auto known =
        std::find_if(reasons.begin(), reasons.end(), [&](const auto& entry) { return entry.first == why; });
    if (known == reasons.end()) known = reasons.insert(reasons.end(), {why, {}});
    known->second.push_back(plan.faults[unseen.fault]);
  }
  page::List list;
  for (const auto& [why, faults] : reasons) {
    list.items.push_back(
        {fmt::format("{}: {}", report::first_letter_up(why), report::names_of_places(harness, faults, kSome)),
         {}});
  }
  return {"Not shown by any step", false, false, {std::move(list)}, false, true};
}

}  // namespace

std::string as_sheet(const Heading& heading, const Harness& harness, const Plan& plan, const Places& places) {
  page::Document document = report::opening_of(heading, harness, plan);
  document.compact = true;
  std::vector<page::Section>& sections = document.sections;
  const Stations stations(harness, plan);
  report::Sketchbook pictures(harness, plan.options.stage, places);
  sections.push_back(
      {"Where the probes go", false, false, {page::Map{pictures.whole(stations.tags()), stations.key()}}});
  sections.push_back({"Steps", false, false, {checklist_of(heading, harness, plan, stations)}});
  sections.push_back(pointers_of(harness, plan));
  sections.push_back(report::coverage_of(harness, plan));
  if (plan.walk) sections.push_back(report::walk_of(harness, plan));
  if (!plan.unseen.empty()) sections.push_back(unseen_of(harness, plan));
  return page::as_html(document, heading.program);
}

}  // namespace lugwise
