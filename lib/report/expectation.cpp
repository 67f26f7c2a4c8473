#include "report/expectation.h"

#include <fmt/format.h>

#include "fault/fault.h"
#include "page/document.h"
#include "page/markdown.h"
#include "report/inside/json.h"
#include "report/inside/judged.h"
#include "report/inside/place.h"
#include "report/inside/shown.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

using report::Json;

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

// The half width of the display's limits, source by source; each divided by the sum of all is its share.
struct Uncertainty {
  Ohms leads = 0;
  Ohms accuracy = 0;
  Ohms total = 0;

  Uncertainty(const Meter& meter, const ExpectedReading& reading)
      : leads((meter.leads_high - meter.leads_low) / 2),
        accuracy(error_bound(meter, reading.range, reading.shows.nominal)) {
    const Spread& spread = reading.expected.spread;
    total = leads + accuracy + spread.temperature + spread.module;
    for (const Spread::Place& place : spread.places) total += place.ohms;
    for (const Contribution& part : reading.expected.through) total += part.spread;
  }

  double share(Ohms ohms) const { return total > 0 ? ohms / total : 0; }
};

page::Section path_of(const Harness& harness, const Meter& meter, const ExpectedReading& reading) {
  const Expected& expected = reading.expected;
  const Uncertainty uncertainty(meter, reading);
  page::Table table{{{"reading", 11, true}, {"", 9, true}, {"uncertainty", 11, true}, {"", 0}}, {}};
  std::size_t small = 0;
  double rest = 0;
  double spread_rest = 0;
  for (const Contribution& part : expected.through) {
    const double spread = uncertainty.share(part.spread);
    if (part.share < kWorthALine && spread < kWorthALine) {
      ++small;
      rest += part.share;
      spread_rest += spread;
      continue;
    }
    // What lies beside another path adds less than it is.
    const bool divided = part.ohms < 0.99 * part.own;
    table.rows.push_back({report::percent(part.share), in_words(part.ohms), report::percent(spread),
                          report::place_in_words(harness, harness[part.element]) +
                              (divided ? fmt::format(" (itself {})", in_words(part.own)) : "")});
  }
  if (small > 0) {
    table.rows.push_back({report::percent(rest), "", report::percent(spread_rest),
                          small == 1 ? "1 more" : fmt::format("{} more, together", small)});
  }
  const auto other = [&](Ohms ohms, const std::string& of) {
    const double spread = uncertainty.share(ohms);
    if (spread >= kWorthALine) table.rows.push_back({"", "", report::percent(spread), of});
  };
  other(expected.spread.temperature, "temperature of the coils");
  for (const Spread::Place& place : expected.spread.places) {
    other(place.ohms, "place of the wiper, " + harness[place.control].name);
  }
  other(expected.spread.module, "the module");
  other(uncertainty.leads, "the meter's leads");
  other(uncertainty.accuracy, "the meter's accuracy");
  return {"Through, with each part's share of the nominal reading and of the uncertainty:",
          false,
          false,
          {std::move(table)}};
}

// "coil front", "the coils of twin together".
std::string part_in_words(const Harness& harness, const std::vector<ElementId>& part) {
  const Element& first = harness[part.front()];
  if (part.size() == 1) return report::place_in_words(harness, first);
  return fmt::format("the coils of {} together", harness[*first.part].name);
}

page::Section measure_of(const Harness& harness, const Meter& meter, const ExpectedReading& reading) {
  const Narrowing& narrowing = reading.measure->narrowing;
  const report::Shown shown = report::shown(meter, reading.range, narrowing.expected, reading.measure->shows);
  const std::string text = fmt::format(
      "To narrow this most, measure alone, with one lead off: {}. At its nominal value it leaves {}{}.",
      part_in_words(harness, narrowing.part), band_in_words(narrowing.expected),
      shown.over ? "" : "; shows " + report::in_words(shown));
  return {"To narrow this", true, false, {page::Paragraph{text}}};
}

void add_reads(page::Facts& facts, const Meter& meter, const ExpectedReading& reading) {
  if (!reading.reads) return;
  const Observation& observation = reading.reads->observation;
  const Comparison& comparison = reading.reads->comparison;
  std::string text = observation.text + ": " + report::judged(meter, observation, comparison);
  if (observation.shows == Shows::Value && through_coils(comparison.expected) && !comparison.at_20) {
    text += fmt::format("; at 20 °C not known, as {}",
                        comparison.expected.known ? "no temperature is given" : "the sound reading is not");
  }
  facts.rows.push_back({"reads", text});
  if (!reading.reads->impossible.empty()) {
    facts.rows.push_back({"but", "the meter could not have shown it: " + reading.reads->impossible});
  }
}

Json json_of(const Harness& harness, const Uncertainty& uncertainty, const Spread& spread) {
  Json places = Json::array();
  for (const Spread::Place& place : spread.places) {
    places.push_back({{"control", harness[place.control].name},
                      {"spread", report::number(uncertainty.share(place.ohms))}});
  }
  return {{"temperature", report::number(uncertainty.share(spread.temperature))},
          {"places", places},
          {"module", report::number(uncertainty.share(spread.module))},
          {"leads", report::number(uncertainty.share(uncertainty.leads))},
          {"accuracy", report::number(uncertainty.share(uncertainty.accuracy))}};
}

Json measure_json(const Harness& harness, const Meter& meter, const ExpectedReading& reading) {
  if (!reading.measure) return nullptr;
  const Narrowing& narrowing = reading.measure->narrowing;
  Json part = Json::array();
  for (const ElementId id : narrowing.part) {
    part.push_back({{"element", site_name(report::site_of(harness[id].kind))},
                    {"points", report::json_of(harness, harness[id].points)}});
  }
  return {{"part", part},
          {"expect", report::json_of(narrowing.expected)},
          {"shows", report::shows_json(meter, reading.range, narrowing.expected, reading.measure->shows)}};
}

Json reads_json(const ExpectedReading& reading) {
  if (!reading.reads) return nullptr;
  const Comparison& comparison = reading.reads->comparison;
  const std::string& impossible = reading.reads->impossible;
  return {{"text", reading.reads->observation.text},
          {"agrees", reading.reads->agrees()},
          {"off", report::number(comparison.off)},
          {"problem", impossible.empty() ? Json(nullptr) : Json(impossible)},
          {"at_20", comparison.at_20 ? report::number(*comparison.at_20) : Json(nullptr)}};
}

page::Document document_of(const Heading& heading, const Harness& harness, const ExpectedReading& reading) {
  require_meter(heading);
  std::vector<page::Labelled> more;
  if (reading.stage) more.push_back({"stage", harness.stages()[*reading.stage].name});
  if (const std::string set = report::in_words(harness, reading.taken.setting); !set.empty())
    more.push_back({"set", set});
  if (!reading.taken.lifted.empty()) {
    std::vector<std::string> names;
    for (PointId point : reading.taken.lifted) names.push_back(harness[point].name);
    more.push_back({"lifted", report::listed(names)});
  }
  page::Document document = report::titled(heading, "one reading", std::move(more));

  page::Facts facts;
  facts.to_the_right = true;
  facts.rows.push_back({"between", point_in_words(harness, reading.taken.a)});
  facts.rows.push_back({"and", point_in_words(harness, reading.taken.b)});
  facts.rows.push_back({"ohms", band_in_words(reading.expected)});
  const report::Shown shown = report::shown(*heading.meter, reading.range, reading.expected, reading.shows);
  facts.rows.push_back({"shows", fmt::format("{} on the {} range", report::in_words(shown), shown.range)});
  if (reading.capacitance) {
    const Capacitance& farads = reading.capacitance->farads;
    const report::Shown there = report::shown(*heading.meter, *reading.capacitance);
    facts.rows.push_back(
        {"farads", fmt::format("{} ({} to {})", capacitance_in_words(farads.nominal),
                               capacitance_in_words(farads.low), capacitance_in_words(farads.high))});
    facts.rows.push_back({"shows", fmt::format("{} on the {} range", report::in_words(there), there.range)});
  }
  add_reads(facts, *heading.meter, reading);
  document.sections.push_back({"The reading", true, false, {std::move(facts)}});
  if (!reading.expected.through.empty())
    document.sections.push_back(path_of(harness, *heading.meter, reading));
  if (reading.measure) document.sections.push_back(measure_of(harness, *heading.meter, reading));
  return document;
}

}  // namespace

std::string as_text(const Heading& heading, const Harness& harness, const ExpectedReading& reading,
                    std::size_t columns) {
  return page::as_text(document_of(heading, harness, reading), columns);
}

std::string as_markdown(const Heading& heading, const Harness& harness, const ExpectedReading& reading) {
  return page::as_markdown(document_of(heading, harness, reading));
}

std::string as_json(const Heading& heading, const Harness& harness, const ExpectedReading& reading) {
  require_meter(heading);
  Json json = report::json_of(heading);
  json["between"] = report::json_of(harness, {reading.taken.a, reading.taken.b});
  json["set"] = report::json_of(harness, reading.taken.setting);
  json["stage"] = reading.stage ? Json(harness.stages()[*reading.stage].name) : Json(nullptr);
  json["lifted"] = report::json_of(harness, reading.taken.lifted);
  json["expect"] = report::json_of(reading.expected);
  json["shows"] = report::shows_json(*heading.meter, reading.range, reading.expected, reading.shows);
  json["range"] = range_name(reading.range.top);
  const Uncertainty uncertainty(*heading.meter, reading);
  if (reading.capacitance) json["farads"] = report::farads_json(*heading.meter, *reading.capacitance);
  Json through = Json::array();
  for (const Contribution& part : reading.expected.through) {
    const Element& element = harness[part.element];
    through.push_back({{"element", site_name(report::site_of(element.kind))},
                       {"points", report::json_of(harness, element.points)},
                       {"ohms", report::number(part.ohms)},
                       {"own", report::number(part.own)},
                       {"share", report::number(part.share)},
                       {"spread", report::number(uncertainty.share(part.spread))}});
  }
  json["through"] = through;
  json["uncertainty"] = reading.expected.through.empty()
                            ? Json(nullptr)
                            : json_of(harness, uncertainty, reading.expected.spread);
  json["measure"] = measure_json(harness, *heading.meter, reading);
  json["reads"] = reads_json(reading);
  return report::written(json);
}

}  // namespace lugwise
