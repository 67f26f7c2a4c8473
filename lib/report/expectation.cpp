#include "report/expectation.h"

#include <cassert>

#include <fmt/format.h>

#include "fault/fault.h"
#include "report/inside/json.h"
#include "report/inside/page.h"
#include "report/inside/place.h"
#include "report/inside/shown.h"

namespace lugwise {
namespace {

using report::Json;
using report::Page;

// Contributions below this share of a reading are told in one line together.
constexpr double kWorthALine = 0.001;

std::string band_in_words(const Expected& expected) {
  if (expected.open) return "open: no path";
  const std::string low = in_words(expected.ohms.low);
  if (expected.unlimited) return "not known: a module may join them; at least " + low;
  const std::string high = in_words(expected.ohms.high);
  if (!expected.known) return fmt::format("not known: {} to {}", low, high);
  return fmt::format("{} ({} to {})", in_words(expected.ohms.nominal), low, high);
}

void write_path(Page& page, const Harness& harness, const Expected& expected) {
  if (expected.through.empty()) return;
  page.blank();
  page.line("Through, with what each adds to the nominal reading:");
  std::size_t small = 0;
  double rest = 0;
  for (const Contribution& part : expected.through) {
    if (part.share < kWorthALine) {
      ++small;
      rest += part.share;
      continue;
    }
    const std::string lead = fmt::format("  {}  {}  ", report::padded_left(report::percent(part.share), 11),
                                         report::padded_left(in_words(part.ohms), 9));
    // What lies beside another path adds less than it is.
    const bool divided = part.ohms < 0.99 * part.own;
    page.paragraph(lead, report::place_in_words(harness, harness[part.element]) +
                             (divided ? fmt::format(" (itself {})", in_words(part.own)) : ""));
  }
  if (small > 0) {
    page.paragraph(fmt::format("  {}  {:9}  ", report::padded_left(report::percent(rest), 11), ""),
                   small == 1 ? "1 more" : fmt::format("{} more, together", small));
  }
}

}  // namespace

std::string as_text(const Heading& heading, const Harness& harness, const ExpectedReading& reading) {
  assert(heading.meter);
  Page page;
  report::write_heading(page, heading, "one reading");
  if (reading.stage) page.paragraph("  stage    ", harness.stages()[*reading.stage].name);
  if (const std::string set = report::in_words(harness, reading.setting); !set.empty())
    page.paragraph("  set      ", set);
  if (!reading.lifted.empty()) {
    std::vector<std::string> names;
    for (PointId point : reading.lifted) names.push_back(harness[point].name);
    page.paragraph("  lifted   ", report::listed(names));
  }
  page.blank();
  page.paragraph("  between  ", point_in_words(harness, reading.a));
  page.paragraph("      and  ", point_in_words(harness, reading.b));
  page.paragraph("     ohms  ", band_in_words(reading.expected));
  const report::Shown shown = report::shown(*heading.meter, reading.range, reading.expected, reading.shows);
  page.paragraph("    shows  ", fmt::format("{} on the {} range", report::in_words(shown), shown.range));
  if (reading.capacitance) {
    const Band& farads = reading.capacitance->farads;
    const report::Shown there = report::shown(*heading.meter, *reading.capacitance);
    page.paragraph("   farads  ",
                   fmt::format("{} ({} to {})", capacitance_in_words(farads.nominal),
                               capacitance_in_words(farads.low), capacitance_in_words(farads.high)));
    page.paragraph("    shows  ", fmt::format("{} on the {} range", report::in_words(there), there.range));
  }
  write_path(page, harness, reading.expected);
  return page.take();
}

std::string as_json(const Heading& heading, const Harness& harness, const ExpectedReading& reading) {
  assert(heading.meter);
  Json json = report::json_of(heading);
  json["between"] = report::json_of(harness, {reading.a, reading.b});
  json["set"] = report::json_of(harness, reading.setting);
  json["stage"] = reading.stage ? Json(harness.stages()[*reading.stage].name) : Json(nullptr);
  json["lifted"] = report::json_of(harness, reading.lifted);
  json["expect"] = report::json_of(reading.expected);
  json["shows"] = report::shows_json(*heading.meter, reading.range, reading.expected, reading.shows);
  json["range"] = range_name(reading.range.top);
  if (reading.capacitance) json["farads"] = report::farads_json(*heading.meter, *reading.capacitance);
  Json through = Json::array();
  for (const Contribution& part : reading.expected.through) {
    const Element& element = harness[part.element];
    through.push_back({{"element", site_name(report::site_of(element.kind))},
                       {"points", report::json_of(harness, element.points)},
                       {"ohms", report::number(part.ohms)},
                       {"own", report::number(part.own)},
                       {"share", report::number(part.share)}});
  }
  json["through"] = through;
  return report::written(json);
}

}  // namespace lugwise
