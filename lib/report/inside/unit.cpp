#include "report/inside/unit.h"

#include <fmt/format.h>

#include <vector>

#include "report/inside/coverage.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

std::string first_suspects(const Harness& harness, const UnitRecord& unit) {
  std::vector<std::string> named;
  for (const Suspect& suspect : unit.diagnosis.suspects) {
    if (suspect.group != 1) break;
    if (named.size() == kNamedOfUnit) {
      named.push_back("another of its group");
      break;
    }
    named.push_back(in_words(harness, suspect));
  }
  return fmt::format("{}", fmt::join(named, "; or "));
}

// As part of a sentence: "reading 7 alone is wrong: ... take it again".
std::string what_to_do(const Diagnosis& diagnosis) {
  std::string text = diagnosis.advice;
  if (text.empty()) return fmt::format("the verdict is {}", verdict_name(diagnosis.verdict));
  if (text.back() == '.') text.pop_back();
  return first_letter_down(std::move(text));
}

// What is turned before a reading; all of it before the first.
std::string turned(const Harness& harness, const Observation* before, const Observation& seen) {
  if (!before) return in_words(harness, seen.setting);
  std::vector<std::string> places;
  for (PartId control : harness.controls()) {
    if (!seen.setting.alike(before->setting, control))
      places.push_back(harness[control].name + " " + std::string(seen.setting.place_name(harness, control)));
  }
  return listed(places);
}

std::string points_in_words(const Harness& harness, const std::vector<PointId>& points) {
  std::vector<std::string> names;
  for (const PointId point : points) names.push_back(harness[point].name);
  return listed(names);
}

// "tone.1 and front.ground, with cap.1 lifted; moved volume.case and tone.1".
std::string where_read(const Harness& harness, const Observation& seen) {
  std::string text = fmt::format("{} and {}", harness[seen.a].name, harness[seen.b].name);
  if (!seen.lifted.empty()) text += fmt::format(", with {} lifted", points_in_words(harness, seen.lifted));
  if (seen.action == Action::Sweep) text += fmt::format(", {} swept", harness[*seen.swept].name);
  if (!seen.wiggled.empty()) text += fmt::format("; moved {}", points_in_words(harness, seen.wiggled));
  return text;
}

// "0.7", and what stood there before it was taken again: "0.7 (OL)".
std::string reads_in_words(const Observation& seen) {
  std::vector<std::string> before;
  for (const Display& each : seen.before) before.push_back(each.text);
  return before.empty() ? seen.text : fmt::format("{} (first {})", seen.text, fmt::join(before, ", "));
}

// Each reading with the step of the plan that it is of, a sweep's ends below it.
page::Table readings_of(const Harness& harness, const Plan& plan, const UnitRecord& unit) {
  page::Table table{{{"reading", 2, true},
                     {"step", 2, true},
                     {"reads", 8, false},
                     {"sound", 24, false},
                     {"judged", 7, false},
                     {"where; what was turned for it", 0, false}},
                    {}};
  const Observation* before = nullptr;
  const Meter& meter = unit.conditions.meter;
  const auto judged = [](const Comparison& compared) { return compared.agrees ? "agrees" : "WRONG"; };
  for (const Comparison& compared : unit.diagnosis.readings) {
    const Observation& seen = unit.observations[compared.observation];
    const auto step = step_at(harness, plan, seen);
    const std::string set = turned(harness, before, seen);
    before = &seen;
    table.rows.push_back({std::to_string(compared.observation + 1),
                          step ? std::to_string(plan.steps[*step].number) : "-", reads_in_words(seen),
                          should_show(meter, seen, compared), judged(compared),
                          fmt::format("{}{}{}", where_read(harness, seen), set.empty() ? "" : "; ", set)});
    for (std::size_t i = 0; i < compared.ends.size(); ++i) {
      const Observation end = end_of(seen, i);
      table.rows.push_back({"", "", end.text, should_show(meter, end, compared.ends[i]),
                            judged(compared.ends[i]),
                            "at " + harness[*seen.swept].name + " " +
                                std::string(end.setting.place_name(harness, *seen.swept))});
    }
  }
  return table;
}

}  // namespace

std::string shown_of(const UnitRecord& unit) {
  return fmt::format("{} of {}", unit.shown, unit.shown + unit.unproven.size());
}

namespace {

std::string because(const Harness& harness, const UnitRecord& unit) {
  if (unit.decision == Decision::Fail) return first_suspects(harness, unit);
  if (unit.observations.empty()) return "nothing was read";
  if (unit.diagnosis.verdict == Verdict::Unsure) return what_to_do(unit.diagnosis);
  if (!unit.unproven.empty()) return counted(unit.unproven.size(), "fault") + " of the plan not shown yet";
  if (unit.diagnosis.verdict == Verdict::Unfinished) return what_to_do(unit.diagnosis);
  return "";
}

}  // namespace

std::string remark_but_calibration(const Harness& harness, const UnitRecord& unit) {
  std::vector<std::string> remarks;
  if (std::string why = because(harness, unit); !why.empty()) remarks.push_back(std::move(why));
  if (!unit.repaired.empty()) {
    std::vector<std::string> found;
    for (const Diagnosis& before : unit.before) {
      if (!before.suspects.empty()) found.push_back(in_words(harness, before.suspects.front()));
    }
    remarks.push_back(fmt::format("repaired at {}{}{}", points_in_words(harness, unit.repaired),
                                  found.empty() ? "" : ", where likeliest ", fmt::join(found, "; then ")));
  }
  if (!unit.plan.empty()) remarks.push_back(fmt::format("taken by plan {}, not the batch's", unit.plan));
  if (unit.again) remarks.push_back(unit.file + " counts");
  return fmt::format("{}", fmt::join(remarks, "; "));
}

std::string remark_on(const Harness& harness, const UnitRecord& unit) {
  std::string remark = remark_but_calibration(harness, unit);
  if (!overdue(unit.unit)) return remark;
  return remark + (remark.empty() ? "" : "; ") + "the meter's calibration was overdue";
}

page::Section certificate_of(const Heading& heading, const Harness& harness, const Batch& batch,
                             const UnitRecord& unit, const std::string& svg) {
  page::Section section{fmt::format("Record of measurement: {}", unit.serial), false, true, {}};
  section.leaf = true;
  const auto or_blank = [](const std::string& text) { return text.empty() ? "not stated" : text; };
  page::Facts facts;
  facts.rows = {
      {"unit", unit.serial},
      {"record", unit.file + (unit.plan.empty() ? "" : ", taken by plan " + unit.plan)},
      {"harness",
       fmt::format("{}, check sum {}{}", heading.harness_name, heading.harness_id, values_in_words(heading))},
      {"method", fmt::format("resistance between points, in ohms as displayed, held against plan {} of {}",
                             batch.plan.id, counted(batch.plan.steps.size(), "step"))},
      {"taken", or_blank(unit.unit.date)},
      {"by", or_blank(unit.unit.by)},
      {"meter", fmt::format("{}; {}", or_blank(unit.unit.meter), in_words(unit.conditions.meter))},
      {"calibration due", or_blank(unit.unit.calibration_due) +
                              (overdue(unit.unit) ? ": overdue when this unit was taken" : "")},
      {"temperature", unit.conditions.temperature ? fmt::format("{:g} °C", *unit.conditions.temperature)
                                                  : std::string("not stated")},
      {"program", heading.program},
      {"result", std::string(decision_name(unit.decision))},
      {"shown", fmt::format("{} faults that the plan shows; {} more it can't show", shown_of(unit),
                            batch.plan.unseen.size())},
      {"decision rule", std::string(decision_rule())},
  };
  if (const std::string why = because(harness, unit); !why.empty()) facts.rows.push_back({"because", why});
  if (!unit.repaired.empty())
    facts.rows.push_back({"repaired", points_in_words(harness, unit.repaired) +
                                          "; readings that the repair may have changed were taken again"});
  section.blocks.push_back(std::move(facts));
  section.blocks.push_back(readings_of(harness, batch.plan, unit));
  if (!unit.unproven.empty())
    section.blocks.push_back(page::Paragraph{
        fmt::format("Not shown: {}.", counted(unit.unproven.size(), "fault") + " of the plan's list")});
  std::vector<std::string> unseen;
  for (const Unseen& each : batch.plan.unseen)
    unseen.push_back(in_words(harness, batch.plan.faults[each.fault]));
  if (!unseen.empty())
    section.blocks.push_back(
        page::Paragraph{fmt::format("No step of the plan shows that {}.", fmt::join(unseen, "; that "))});
  section.blocks.push_back(page::Paragraph{not_looked_for(scope_of(batch.plan))});
  section.blocks.push_back(page::Picture{svg, fmt::format("{}, unit {}", harness.name, unit.serial)});
  section.blocks.push_back(
      page::Blanks{{"Workshop", "For whom", "Deviations", "Released by", "Date of issue"}, {}, true});
  section.blocks.push_back(
      page::Paragraph{fmt::format("It speaks of unit {} alone, as it was measured, and claims compliance "
                                  "with no standard. End of record {}.",
                                  unit.serial, unit.serial)});
  return section;
}

Json json_of(const Harness& harness, const UnitRecord& unit) {
  Json json = {
      {"serial", unit.serial},
      {"record", unit.file},
      {"counts", unit.counts},
      {"date", unit.unit.date.empty() ? Json(nullptr) : Json(unit.unit.date)},
      {"by", unit.unit.by.empty() ? Json(nullptr) : Json(unit.unit.by)},
      {"meter", unit.unit.meter.empty() ? Json(nullptr) : Json(unit.unit.meter)},
      {"calibration_due",
       unit.unit.calibration_due.empty() ? Json(nullptr) : Json(unit.unit.calibration_due)},
      {"overdue", overdue(unit.unit)},
      {"temperature", unit.conditions.temperature ? number(*unit.conditions.temperature) : Json(nullptr)},
      {"repaired", json_of(harness, unit.repaired)},
      {"decision", decision_name(unit.decision)},
      {"verdict", verdict_name(unit.diagnosis.verdict)},
      {"sound", number(unit.diagnosis.sound)},
      {"shown", {{"seen", unit.shown}, {"of", unit.shown + unit.unproven.size()}}},
      {"suspects", Json::array()},
      {"unproven", Json::array()}};
  for (const Suspect& suspect : unit.diagnosis.suspects)
    json["suspects"].push_back(json_of(harness, unit.observations, suspect));
  for (const Fault& fault : unit.unproven) json["unproven"].push_back(json_of(harness, fault));
  return json;
}

}  // namespace inside
}  // namespace lugwise::report
