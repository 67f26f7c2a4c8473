#include "report/inside/instrument_page.h"

#include <fmt/format.h>

#include <utility>

namespace lugwise::report {
inline namespace inside {

InstrumentPage::InstrumentPage(const Heading& heading, const Harness& harness,
                               const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                               const Filed& filed, const Owned& owned)
    : heading_(heading),
      harness_(harness),
      observations_(observations),
      diagnosis_(diagnosis),
      filed_(filed),
      owned_(owned) {}

page::Document InstrumentPage::document(const Places& places) {
  page::Document document;
  document.title = cut(heading_.harness_name, kTitleLength) + ": report";
  document.single = true;
  document.mark = fmt::format("{} · {} · check sum {}", cut(heading_.harness_name, kShort),
                              cut(heading_.harness_file, kShort), heading_.harness_id);
  open(document);
  // What is short comes first, then what was done; the readings get what these leave.
  page::Section verdict = verdict_section(), suspects = suspects_section();
  page::Section done = done_section(), again = again_section(), readings = readings_section();
  document.sections.push_back(std::move(verdict));
  if (!suspects.blocks.empty()) document.sections.push_back(std::move(suspects));
  if (page::Picture picture = picture_of(places); !picture.svg.empty()) {
    document.sections.push_back({"", false, false, {std::move(picture)}});
    document.sections.back().fills = true;
  }
  for (page::Section* section : {&readings, &done, &again}) {
    if (!section->blocks.empty()) document.sections.push_back(std::move(*section));
  }
  document.sections.push_back({"", false, false, {page::Blanks{{"Date", "Name", "Signature"}, {}}}});
  return document;
}

}  // namespace inside
}  // namespace lugwise::report
