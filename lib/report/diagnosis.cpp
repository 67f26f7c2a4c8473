#include "report/diagnosis.h"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "page/document.h"
#include "page/html.h"
#include "page/markdown.h"
#include "report/inside/coverage.h"
#include "report/inside/filed.h"
#include "report/inside/finding.h"
#include "report/inside/group.h"
#include "report/inside/next_probe.h"
#include "report/inside/place.h"
#include "report/inside/sketch.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

page::Section verdict_section(const Heading& heading, const Harness& harness, const Diagnosis& diagnosis,
                              const Filed& filed) {
  page::Section section{"Verdict", true, false, {report::verdict_of(diagnosis)}};
  for (const std::string& line : report::coverage_in_words(harness, diagnosis, filed.scope))
    section.blocks.push_back(page::Paragraph{line});
  // A coil that the drawing leaves silent is as drawn, and dead all the same.
  for (const Diagnostic& warning : heading.warnings) {
    if (warning.code == "W101" && diagnosis.verdict == Verdict::Sound)
      section.blocks.push_back(
          page::Paragraph{fmt::format("As drawn, and so no fault of the wiring: {}.", warning.message)});
  }
  return section;
}

// The next probe, or those to be taken first whatever each shows; none where none is advised.
std::optional<page::Section> next_section(const Meter& meter, const Harness& harness,
                                          const Diagnosis& diagnosis, report::Sketchbook& pictures) {
  page::Section section{"Next", false, false, {}};
  const auto add = [&](const NextProbe& probe) {
    const bool first = section.blocks.empty();
    section.blocks.push_back(
        report::step_of(meter, harness, diagnosis, probe, pictures,
                        first ? report::cautions_of(harness) : std::vector<std::string>()));
  };
  if (!diagnosis.first.empty()) {
    section.title = "The first probes, whatever each shows";
    for (const NextProbe& probe : diagnosis.first) add(probe);
  } else if (diagnosis.next) {
    add(*diagnosis.next);
  } else {
    return std::nullopt;
  }
  return section;
}

// How the first group could be told apart; none where that is no question.
std::optional<page::Section> apart_section(const Meter& meter, const Harness& harness,
                                           const Diagnosis& diagnosis, report::Sketchbook& pictures) {
  page::Section section{"To tell group 1 apart", false, false, {}};
  for (const NextProbe& probe : diagnosis.separate) {
    if (diagnosis.next && report::same_probe(probe, *diagnosis.next)) continue;
    section.blocks.push_back(report::step_of(meter, harness, diagnosis, probe, pictures));
  }
  const auto in_first = std::count_if(diagnosis.suspects.begin(), diagnosis.suspects.end(),
                                      [](const Suspect& suspect) { return suspect.group == 1; });
  if (section.blocks.empty() && diagnosis.lift) {
    section.blocks.push_back(page::Paragraph{"No probe within reach does, but with a lead off one does.", 2});
    section.blocks.push_back(report::step_of(meter, harness, diagnosis, *diagnosis.lift, pictures));
  }
  if (section.blocks.empty() && !diagnosis.next && diagnosis.verdict != Verdict::Sound && in_first > 1) {
    section.blocks.push_back(page::Paragraph{
        "No probe within reach does: press and wiggle each while watching, or lift a lead.", 2});
  }
  if (section.blocks.empty()) return std::nullopt;
  return section;
}

// What is filed goes from the verdict to what it rests on; at the bench the verdict stands near the end, where the eye is.
enum class Order { Bench, File };

page::Document document_of(const Heading& heading, const Harness& harness,
                           const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                           const Filed& filed, Order order, report::Sketchbook pictures = {}) {
  require_meter(heading);
  page::Document document = report::titled(heading, report::counted(observations.size(), "reading"));
  document.job = report::job_details();
  std::vector<page::Section>& sections = document.sections;
  const page::Section readings = report::readings_of(*heading.meter, harness, observations, diagnosis, filed);
  const auto add_readings = [&] {
    if (!observations.empty() || !filed.entries.empty()) sections.push_back(readings);
    if (!filed.heard.empty()) sections.push_back(report::heard_of(harness, filed.heard));
  };
  if (order == Order::Bench) add_readings();
  sections.push_back(verdict_section(heading, harness, diagnosis, filed));
  if (!diagnosis.suspects.empty())
    sections.push_back(report::suspects_of(harness, observations, diagnosis, pictures));
  if (order == Order::File) add_readings();
  if (!diagnosis.cleared.empty()) {
    const std::string cleared = report::proof_in_words(harness, diagnosis.cleared);
    sections.push_back(
        {"Cleared",
         true,
         false,
         {page::Paragraph{"none of these alone explains the readings: " + cleared, 0, "Cleared"}}});
  }
  if (auto next = next_section(*heading.meter, harness, diagnosis, pictures))
    sections.push_back(std::move(*next));
  if (auto apart = apart_section(*heading.meter, harness, diagnosis, pictures))
    sections.push_back(std::move(*apart));
  sections.push_back({"What was done", false, true, {page::Blanks{{"Work", "Parts"}, {}, true}}});
  if (auto again = report::recheck_of(*heading.meter, harness, observations, diagnosis, pictures))
    sections.push_back(std::move(*again));
  if (!diagnosis.differs.empty()) {
    page::Section differs{"What would have to differ from the netlist", false, false, {}};
    for (const std::string& each : diagnosis.differs)
      differs.blocks.push_back(page::Paragraph{report::first_letter_up(each), 2});
    sections.push_back(std::move(differs));
  }
  return document;
}

}  // namespace

std::string as_text(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                    const Filed& filed, std::size_t columns) {
  return page::as_text(document_of(heading, harness, observations, diagnosis, filed, Order::Bench), columns);
}

std::string as_markdown(const Heading& heading, const Harness& harness,
                        const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                        const Filed& filed) {
  return page::as_markdown(document_of(heading, harness, observations, diagnosis, filed, Order::File));
}

std::string as_html(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                    const Filed& filed, const Places& places) {
  return page::as_html(document_of(heading, harness, observations, diagnosis, filed, Order::File,
                                   report::Sketchbook(harness, std::nullopt, places)),
                       heading.program);
}

}  // namespace lugwise
