#include "report/inside/json.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>

#include <fmt/format.h>

#include "fault/naming.h"
#include "report/inside/shown.h"

namespace lugwise::report {
inline namespace inside {
namespace {

Json or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json json_of(const Meter& meter) {
  Json ranges = Json::array();
  Json accuracy = Json::array();
  for (const Range& range : meter.ranges) {
    ranges.push_back(number(range.top));
    accuracy.push_back(
        {{"range", number(range.top)}, {"share", number(range.share)}, {"digits", number(range.digits)}});
  }
  Json json = {{"assumed", meter.assumed},
               {"counts", meter.counts},
               {"ranges", ranges},
               {"accuracy", accuracy},
               {"auto", meter.automatic},
               {"leads", {{"low", number(meter.leads_low)}, {"high", number(meter.leads_high)}}},
               {"beeps_below", number(meter.beeps_below)},
               {"cable", number(meter.cable)},
               {"over", meter.over}};
  if (meter.capacitance.empty()) return json;
  Json capacitance = Json::array();
  for (const Range& range : meter.capacitance) capacitance.push_back(number(range.top));
  json["capacitance"] = capacitance;
  return json;
}

}  // namespace

Json number(double value) {
  if (!std::isfinite(value)) return nullptr;
  const double rounded = std::strtod(fmt::format("{:.9g}", value).c_str(), nullptr);
  // 10 rather than 10.0
  const bool whole = std::abs(rounded) < 1e15 && rounded == std::floor(rounded);
  return whole ? Json(static_cast<std::int64_t>(rounded)) : Json(rounded);
}

std::string_view action_name(Action action) {
  switch (action) {
    case Action::Read:
      return "read";
    case Action::Sweep:
      return "sweep";
    case Action::Wiggle:
      return "wiggle";
  }
  return "read";
}

Json json_of(const Heading& heading) {
  const std::size_t told = std::min(heading.warnings.size(), kMostSaid);
  Json json = {
      {"lugwise", 1},
      {"output", or_null(heading.output)},
      {"program", heading.program},
      {"harness",
       {{"name", or_null(heading.harness_name)},
        {"file", or_null(heading.harness_file)},
        {"id", or_null(heading.harness_id)}}},
      {"meter", heading.meter ? json_of(*heading.meter) : Json(nullptr)},
      {"temperature", heading.temperature ? number(*heading.temperature) : Json(nullptr)},
      {"warnings", json_of(std::vector(heading.warnings.begin(),
                                       heading.warnings.begin() + static_cast<std::ptrdiff_t>(told)))}};
  for (const ChosenValue& value : heading.values) json["harness"]["values"][value.name] = value.text;
  if (heading.warnings.size() > told) json["more_warnings"] = heading.warnings.size() - told;
  return json;
}

Json json_of(const std::vector<Diagnostic>& problems) {
  Json list = Json::array();
  for (const Diagnostic& problem : problems) {
    const bool known = problem.at.known();
    Json notes = Json::array();
    for (const Note& note : problem.notes) {
      notes.push_back({{"message", note.message},
                       {"line", note.at.known() ? Json(note.at.line) : Json(nullptr)},
                       {"column", note.at.known() ? Json(note.at.column) : Json(nullptr)}});
    }
    list.push_back({{"code", problem.code},
                    {"message", problem.message},
                    {"file", or_null(problem.file)},
                    {"line", known ? Json(problem.at.line) : Json(nullptr)},
                    {"column", known ? Json(problem.at.column) : Json(nullptr)},
                    {"notes", notes}});
  }
  return list;
}

Json json_of(const Harness& harness, const std::vector<PointId>& points) {
  Json names = Json::array();
  for (PointId point : points) names.push_back(harness[point].name);
  return names;
}

Json json_of(const Harness& harness, const Setting& setting) {
  Json places = Json::object();
  for (PartId control : harness.controls()) {
    const Part& part = harness[control];
    places[part.name] = part.kind == PartKind::Pot ? number(setting.knob(control))
                                                   : Json(setting.place_name(harness, control));
  }
  return places;
}

Json json_of(const Harness& harness, const Fault& fault) {
  Json json = {{"mode", mode_name(fault.mode)},
               {"element", site_name(fault.site)},
               {"points", json_of(harness, fault.points)},
               {"id", fault_id(harness, fault)}};
  if (fault.in) {
    const Part& control = harness[fault.in->control];
    json["in"] = {{control.name, control.positions[fault.in->position].name}};
  }
  if (const auto other = partner(fault)) {
    Json also = json;
    also["points"] = json_of(harness, other->points);
    json["also"] = std::move(also);
  }
  return json;
}

Json json_of(const Harness& harness, const Observation& seen) {
  Json json = {{"do", action_name(seen.action)},
               {"set", json_of(harness, seen.setting)},
               {"cover", seen.access.name},
               {"lifted", json_of(harness, seen.lifted)},
               {"between", json_of(harness, {seen.a, seen.b})}};
  if (seen.swept) json["sweep"] = harness[*seen.swept].name;
  if (!seen.wiggled.empty()) json["wiggle"] = json_of(harness, seen.wiggled);
  json["reads"] = seen.text;
  const auto name = [&] {
    return seen.capacitor ? capacitance_range_name(seen.range->top) : range_name(seen.range->top);
  };
  json["range"] = seen.range ? Json(name()) : Json(nullptr);
  return json;
}

Json json_of(const Expected& expected) {
  if (expected.open) {
    return {{"known", true}, {"open", true}, {"low", nullptr}, {"nominal", nullptr}, {"high", nullptr}};
  }
  return {{"known", expected.known},
          {"open", false},
          {"low", number(expected.ohms.low)},
          {"nominal", expected.known ? number(expected.ohms.nominal) : Json(nullptr)},
          {"high", expected.unlimited ? Json(nullptr) : number(expected.ohms.high)}};
}

namespace {

Json json_of(const Shown& text) {
  if (text.over) return "OL";
  return {{"low", text.low},
          {"nominal", text.nominal ? Json(*text.nominal) : Json(nullptr)},
          {"high", text.high},
          {"range", text.range}};
}

}  // namespace

Json shows_json(const Meter& meter, const Range& range, const Expected& expected, const Window& window) {
  return json_of(shown(meter, range, expected, window));
}

Json farads_json(const Meter& meter, const CapacitanceReading& reading) {
  return {{"low", number(reading.farads.low)},
          {"nominal", number(reading.farads.nominal)},
          {"high", number(reading.farads.high)},
          {"range", capacitance_range_name(reading.range.top)},
          {"shows", json_of(shown(meter, reading))}};
}

Json json_of(const Harness& harness, const Meter& meter, const Reading& reading,
             const std::vector<Fault>& proves, const std::string& say) {
  Json proven = Json::array();
  for (const Fault& fault : proves) proven.push_back(json_of(harness, fault));
  return {{"step", reading.step ? Json(*reading.step) : Json(nullptr)},
          {"do", "read"},
          {"set", json_of(harness, reading.setting)},
          {"cover", reading.access.name},
          {"lifted", Json::array()},
          {"between", json_of(harness, {reading.a, reading.b})},
          {"expect", json_of(reading.expected)},
          {"shows", shows_json(meter, reading.range, reading.expected, reading.shows)},
          {"range", range_name(reading.range.top)},
          {"proves", proven},
          {"say", say}};
}

std::string written(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string written_in_one_line(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace inside
}  // namespace lugwise::report
