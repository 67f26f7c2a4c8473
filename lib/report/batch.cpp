#include "report/batch.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "page/html.h"
#include "page/markdown.h"
#include "report/inside/coverage.h"
#include "report/inside/shown.h"
#include "report/inside/step.h"
#include "report/inside/strip.h"
#include "report/inside/unit.h"
#include "report/inside/words.h"
#include "sheet/step_reading.h"
#include "text/safe.h"

namespace lugwise {
namespace {

using report::kNamedOfUnit;
using report::shown_of;

std::string yield_of(const Batch& batch) {
  const std::size_t of = batch.counted();
  if (of == 0) return "No unit was taken yet.";
  const std::size_t pass = batch.how_many(Decision::Pass);
  std::string text = fmt::format("{} of {} pass: a yield of {:.0f} %.", pass, report::counted(of, "unit"),
                                 100.0 * static_cast<double>(pass) / static_cast<double>(of));
  const std::size_t fail = batch.how_many(Decision::Fail);
  const std::size_t open = batch.how_many(Decision::Undecided);
  if (fail > 0) text += fmt::format(" {} {}.", fail, fail == 1 ? "fails" : "fail");
  if (open > 0) text += fmt::format(" {} {} undecided.", open, open == 1 ? "is" : "are");
  const auto mended = std::count_if(batch.units.begin(), batch.units.end(), [](const UnitRecord& unit) {
    return unit.counts && unit.decision == Decision::Pass && !unit.repaired.empty();
  });
  if (mended > 0) text += fmt::format(" {} passed after a repair.", mended);
  return text;
}

// When its units were taken, by whom and with what; each name once.
std::vector<page::Labelled> taken_of(const Batch& batch) {
  std::vector<page::Labelled> rows;
  std::vector<std::string> dates, people, meters;
  const auto add = [](std::vector<std::string>& known, std::string text) {
    if (!text.empty() && std::find(known.begin(), known.end(), text) == known.end())
      known.push_back(std::move(text));
  };
  for (const UnitRecord& unit : batch.units) {
    add(dates, unit.unit.date);
    add(people, unit.unit.by);
    if (unit.unit.meter.empty()) continue;
    const std::string& due = unit.unit.calibration_due;
    add(meters, unit.unit.meter + (due.empty() ? "" : ", calibration due " + due) +
                    (overdue(unit.unit) ? ": overdue" : ""));
  }
  if (!dates.empty())
    rows.push_back(
        {"taken", dates.size() == 1 ? dates.front() : fmt::format("{} to {}", dates.front(), dates.back())});
  if (!people.empty()) rows.push_back({"by", report::listed(people)});
  if (!meters.empty()) rows.push_back({"with", fmt::format("{}", fmt::join(meters, "; "))});
  return rows;
}

page::Section units_of(const Harness& harness, const Batch& batch) {
  page::Section section{"Units", false, false, {}};
  page::Table table{{{"unit", 12, false},
                     {"taken", 10, false},
                     {"result", 10, false},
                     {"shown", 9, false},
                     {"remarks", 0, false}},
                    {}};
  // What holds for all stands above them.
  const bool all_overdue = std::all_of(batch.units.begin(), batch.units.end(),
                                       [](const UnitRecord& unit) { return overdue(unit.unit); });
  for (const UnitRecord& unit : batch.units) {
    std::string remark = !unit.counts  ? fmt::format("taken again later: {} does not count", unit.file)
                         : all_overdue ? report::remark_but_calibration(harness, unit)
                                       : report::remark_on(harness, unit);
    table.rows.push_back({unit.serial, unit.unit.date.substr(0, 10),
                          unit.counts ? std::string(decision_name(unit.decision)) : "-", shown_of(unit),
                          std::move(remark)});
  }
  section.blocks.push_back(std::move(table));
  return section;
}

std::string step_title(const Harness& harness, const Step& step, std::optional<std::size_t> end) {
  const Setting at = end == 1 ? left_at(step) : step.setting;
  return fmt::format("{}: {} and {}, {}{}", step.number, harness[step.a].name, harness[step.b].name,
                     report::in_words(harness, at),
                     end == 1   ? ", where the sweep ends"
                     : end == 0 ? ", where the sweep begins"
                                : "");
}

// What a sound harness shows there.
std::string sound_of(const Meter& meter, const Step& step, std::optional<std::size_t> end) {
  if (!end) return report::display_in_words(meter, step);
  return report::in_words(report::shown(meter, step.range, *end == 0 ? step.expected : step.end,
                                        *end == 0 ? step.shows : step.end_shows));
}

// "10 readings, 2 OL, outside the limits: FH-0035 and FH-0038"
std::string counts_of(const Batch& batch, const StepSeries& series) {
  constexpr std::size_t kNamed = 6;
  std::size_t open = 0;
  std::vector<std::string> off;
  for (const StepSeries::Point& point : series.points) {
    open += point.open ? 1 : 0;
    if (!point.agrees) off.push_back(batch.units[point.unit].serial);
  }
  std::string text = report::counted(series.points.size(), "reading");
  if (open > 0) text += fmt::format(", {} OL", open);
  if (off.size() > kNamed) {
    const std::size_t more = off.size() - kNamed + 1;
    off.resize(kNamed - 1);
    off.push_back(fmt::format("{} more", more));
  }
  if (!off.empty()) text += ", outside the limits: " + report::listed(off);
  return text;
}

page::Section steps_of(const Heading& heading, const Harness& harness, const Batch& batch, bool pictures,
                       std::size_t columns) {
  page::Section section{"Readings, step by step", false, false, {}};
  if (pictures)
    section.blocks.push_back(page::Paragraph{
        "The bars are the limits of a sound harness, the dashed line the median of the units that passed. A "
        "full circle is one of these, a hollow one another; what lies far outside, or is OL, stands at the "
        "edge. Point at a circle to see which unit it is."});
  std::string lines;
  for (const StepSeries& series : batch.steps) {
    if (series.points.empty()) continue;
    const Step& step = batch.plan.steps[series.step];
    const std::string title = step_title(harness, step, series.end);
    const std::string said =
        fmt::format("sound: {}; {}", sound_of(*heading.meter, step, series.end), counts_of(batch, series));
    const std::string strip = report::strip_as_text(batch, series);
    if (!pictures) {
      lines += page::wrapped("  ", "step " + title, 4, columns) + page::wrapped("    ", said, 4, columns);
      if (!strip.empty()) lines += fmt::format("    {}\n", strip);
      continue;
    }
    const std::string caption = fmt::format("Step {}. {}", title, report::first_letter_up(said));
    if (strip.empty()) {
      section.blocks.push_back(page::Paragraph{caption});
    } else {
      section.blocks.push_back(page::Picture{report::strip_as_svg(*heading.meter, batch, series), caption});
    }
  }
  if (!lines.empty()) {
    section.blocks.push_back(
        page::Paragraph{"Between the bars lie the limits of a sound harness; o is a unit, a digit so many, # "
                        "more than nine. What is OL stands at the right edge."});
    section.blocks.push_back(page::Verbatim{lines});
  }
  return section;
}

std::string look_in_words(const Batch& batch, const SecondLook& look) {
  const StepSeries& series = batch.steps[look.series];
  const std::string number = fmt::format("{}{}", batch.plan.steps[series.step].number,
                                         series.end == 1 ? ", where the sweep ends" : "");
  switch (look.why) {
    case SecondLook::Why::FarOff:
      return fmt::format("step {}: far from the others, modified z {:.1f} (cut-off {:.1f} for so many)",
                         number, look.z, *series.cutoff);
    case SecondLook::Why::Outside:
      return fmt::format("step {}: outside mean ± {} times the mean moving range", number, kIndividuals);
    case SecondLook::Why::Jump:
      return fmt::format("step {}: a jump from the unit before, above {} times the mean moving range", number,
                         kMovingRange);
  }
  return "";
}

// How far a second look can be trusted, after so many that passed.
std::string what_so_many_support(std::size_t passed) {
  const auto cutoff = far_off(passed);
  const std::string count = fmt::format("{} {} passed", passed, passed == 1 ? "unit" : "units");
  if (!cutoff) return count + ": fewer than five can't say which lies far off.";
  const double named = 100 * false_alarms(passed);
  std::string text = fmt::format(
      "A look, no rejection. {}: of a hundred steps of so many good units one has a unit above the cut-off "
      "{:.1f} by chance, and {}{:.0f} {} one outside the limits of the moving range, for these are taken "
      "from the same units.",
      count, *cutoff, passed > 200 ? "at least " : "", named, std::round(named) == 1 ? "has" : "have");
  if (passed < kShowsOne)
    text += fmt::format(
        " Below {} units those limits show a single one that is off only where it is the first "
        "or the last: elsewhere it widens them beyond itself.",
        kShowsOne);
  return text;
}

// What else may set units apart; empty: nothing.
std::string mixed_in_words(const Batch& batch) {
  std::vector<std::string> temperatures;
  for (const std::optional<double>& each : batch.temperatures())
    temperatures.push_back(each ? fmt::format("{:g} °C", *each) : "a temperature not stated");
  std::string text;
  if (temperatures.size() > 1) {
    const bool known = std::any_of(batch.steps.begin(), batch.steps.end(),
                                   [](const StepSeries& series) { return series.at_20; });
    text = fmt::format("The coils were at {}: {}.", report::listed(temperatures),
                       known ? "what is read through one is compared as at 20 °C"
                             : "a warmer one reads higher, 0.393 % per degree");
  }
  if (const std::size_t meters = batch.meters(); meters > 1)
    text += fmt::format("{}{} meters were used: what sets units apart may be the meters.",
                        text.empty() ? "" : " ", meters);
  return text;
}

std::vector<page::Section> looks_of(const Harness& harness, const Batch& batch) {
  std::vector<page::Section> sections;
  page::Section look{"Passed, and worth a second look", false, false, {}};
  page::List list;
  for (std::size_t u = 0; u < batch.units.size(); ++u) {
    std::vector<std::string> why;
    for (const SecondLook& each : batch.looks) {
      if (each.unit == u) why.push_back(look_in_words(batch, each));
    }
    if (!why.empty())
      list.items.push_back({fmt::format("{}: {}", batch.units[u].serial, fmt::join(why, "; ")), {}});
  }
  const std::size_t passed = batch.how_many(Decision::Pass);
  if (!list.items.empty()) look.blocks.push_back(std::move(list));
  look.blocks.push_back(page::Paragraph{what_so_many_support(passed)});
  const std::string mixed = mixed_in_words(batch);
  if (!mixed.empty()) look.blocks.push_back(page::Paragraph{mixed});
  sections.push_back(std::move(look));
  if (batch.same.empty()) return sections;
  page::Section same{"The same fault more than once", false, false, {}};
  page::List faults;
  for (const SameFault& each : batch.same) {
    std::vector<std::string> serials;
    for (const std::size_t unit : each.units) serials.push_back(batch.units[unit].serial);
    std::vector<std::string> named{in_words(harness, each.fault)};
    for (const Fault& other : each.others) {
      if (named.size() == report::kNamedOfUnit) {
        named.push_back("another of its group");
        break;
      }
      named.push_back(in_words(harness, other));
    }
    faults.items.push_back(
        {fmt::format("{}: {}", report::first_letter_up(fmt::format("{}", fmt::join(named, "; or "))),
                     report::listed(serials)),
         {}});
  }
  same.blocks.push_back(std::move(faults));
  sections.push_back(std::move(same));
  return sections;
}

page::Section unproven_of(const Harness& harness, const Batch& batch) {
  page::Section section{"What stays unproven", false, false, {}};
  const std::size_t unseen = batch.plan.unseen.size();
  section.blocks.push_back(page::Paragraph{
      unseen == 0 ? "Nothing that is counted: the plan shows every fault on its list."
                  : fmt::format("{} of {} faults no step of the plan shows, whatever the unit.", unseen,
                                batch.plan.faults.size())});
  page::List list;
  for (const Unseen& each : batch.plan.unseen) {
    list.items.push_back(
        {report::first_letter_up(in_words(harness, batch.plan.faults[each.fault])), {{"why", each.why}}});
  }
  if (!list.items.empty()) section.blocks.push_back(std::move(list));
  section.blocks.push_back(page::Paragraph{report::not_looked_for(scope_of(batch.plan))});
  return section;
}

page::Document document_of(const Heading& heading, const Harness& harness, const Batch& batch, bool pictures,
                           std::size_t columns = page::kColumns) {
  std::vector<page::Labelled> more = taken_of(batch);
  more.insert(more.begin(), {"plan", fmt::format("{}, {}", batch.plan.id,
                                                 report::counted(batch.plan.steps.size(), "step"))});
  page::Document document = report::titled(
      heading, fmt::format("a batch of {}", report::counted(batch.counted(), "unit")), std::move(more));
  page::Section yield{"Yield", false, false, {}};
  const bool all = batch.how_many(Decision::Pass) == batch.counted() && batch.counted() > 0;
  yield.blocks.push_back(page::Verdict{all ? page::Tone::Good : page::Tone::Unsure, yield_of(batch),
                                       fmt::format("Rule: {}.", decision_rule())});
  document.sections.push_back(std::move(yield));
  if (batch.units.empty()) return document;
  document.sections.push_back(units_of(harness, batch));
  document.sections.push_back(steps_of(heading, harness, batch, pictures, columns));
  for (page::Section& section : looks_of(harness, batch)) document.sections.push_back(std::move(section));
  document.sections.push_back(unproven_of(harness, batch));
  return document;
}

}  // namespace

std::string as_text(const BatchHead& head, const Plan& plan, const std::string& folder) {
  return page::wrapped(
             "",
             fmt::format("A batch in {}: plan {}, {}, {} a unit; {} of {} faults shown.",
                         text::in_one_line(folder), head.plan.id, report::counted(plan.steps.size(), "step"),
                         report::minutes(plan.seconds), plan.seen, plan.faults.size()),
             2) +
         page::wrapped("", fmt::format("Rule: {}.", decision_rule()), 2) +
         fmt::format("To take a unit: lugwise batch take {} SERIAL\n", text::in_shell(folder));
}

std::string as_text(const Harness& harness, const UnitRecord& unit, const std::string& path) {
  const std::string why = report::remark_on(harness, unit);
  return page::wrapped("",
                       fmt::format("{}: {}, {} shown{}. Record: {}", text::in_one_line(unit.serial),
                                   decision_name(unit.decision), shown_of(unit),
                                   why.empty() ? "" : "; " + why, text::in_one_line(path)),
                       2);
}

std::string as_text(const Heading& heading, const Harness& harness, const Batch& batch, std::size_t columns) {
  return page::as_text(document_of(heading, harness, batch, false, columns), columns);
}

std::string as_markdown(const Heading& heading, const Harness& harness, const Batch& batch) {
  return page::as_markdown(document_of(heading, harness, batch, false));
}

std::string as_html(const Heading& heading, const Harness& harness, const Batch& batch,
                    const Places& places) {
  page::Document document = document_of(heading, harness, batch, true);
  const Layout layout = lay_out(harness, places);
  for (std::size_t u = 0; u < batch.units.size(); ++u) {
    const UnitRecord& unit = batch.units[u];
    if (!unit.counts) continue;
    Look look;
    look.stage = batch.plan.options.stage;
    look.id_prefix = fmt::format("unit-{}-", u + 1);
    for (const Suspect& suspect : unit.diagnosis.suspects) {
      if (unit.decision == Decision::Fail && suspect.group == 1 && look.marked.size() < kNamedOfUnit)
        look.marked.push_back(suspect.fault);
    }
    document.sections.push_back(
        report::certificate_of(heading, harness, batch, unit, picture(harness, layout, look)));
  }
  return page::as_html(document, heading.program);
}

}  // namespace lugwise
