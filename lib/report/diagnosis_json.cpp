#include <utility>

#include "report/diagnosis.h"
#include "report/inside/filed.h"
#include "report/inside/finding.h"
#include "report/inside/json.h"
#include "report/inside/next_probe.h"
#include "report/inside/suspect.h"

namespace lugwise {
namespace {

using report::Json;

std::string_view why_name(NextProbe::Why why) {
  switch (why) {
    case NextProbe::Why::Again:
      return "again";
    case NextProbe::Why::Wiggle:
      return "wiggle";
    case NextProbe::Why::Step:
      return "step";
    case NextProbe::Why::Proof:
      return "proof";
    case NextProbe::Why::Tells:
      break;
  }
  return "tells";
}

Json json_of(const Meter& meter, const Harness& harness, const NextProbe& probe) {
  Json json = report::json_of(
      harness, meter,
      {probe.step, probe.setting, probe.access, probe.a, probe.b, probe.expected, probe.range, probe.shows},
      {}, report::in_words(meter, harness, probe));
  json["why"] = why_name(probe.why);
  if (probe.farads) json["range"] = capacitance_range_name(probe.range.top);
  if (probe.swept) {
    const double from = probe.setting.knob(*probe.swept);
    json["do"] = "sweep";
    json["sweep"] = harness[*probe.swept].name;
    json["from"] = json["shows"];
    json["turn"] = {{"from", report::number(from)}, {"to", report::number(10 - from)}};
  }
  if (!probe.wiggled.empty()) {
    json["do"] = "wiggle";
    json["wiggle"] = report::json_of(harness, probe.wiggled);
  }
  if (probe.worked || probe.another_cable) json["do"] = "prepare";
  if (probe.worked) json["work"] = harness[*probe.worked].name;
  if (probe.another_cable) json["cable"] = "another";
  if (probe.again) json["again"] = true;
  if (probe.lifted) json["lifted"] = report::json_of(harness, std::vector<PointId>{*probe.lifted});
  json["seconds"] = report::number(probe.seconds);
  json["bits"] = report::number(probe.bits);
  Json outcomes = Json::array();
  for (const NextProbe::Outcome& outcome : probe.outcomes) {
    outcomes.push_back({{"reads", outcome.reads},
                        {"probability", report::number(outcome.probability)},
                        {"suspects", outcome.suspects},
                        {"sound", outcome.sound}});
  }
  json["outcomes"] = outcomes;
  return json;
}

Json json_of(const Meter& meter, const Harness& harness, const std::vector<Observation>& observations,
             const Comparison& comparison) {
  const Observation& observation = observations[comparison.observation];
  Json one = {
      {"reading", report::number_of(observations, comparison.observation)},
      {"step", observation.step ? Json(*observation.step) : Json(nullptr)},
      {"do", report::action_name(observation.action)},
      {"set", report::json_of(harness, observation.setting)},
      {"lifted", report::json_of(harness, observation.lifted)},
      {"between", report::json_of(harness, {observation.a, observation.b})},
      {"reads", observation.text},
      {"expect", report::json_of(comparison.expected)},
      {"shows", report::shows_json(meter, comparison.range, comparison.expected, comparison.shows)},
      {"range", range_name(comparison.range.top)},
      {"agrees", comparison.agrees},
      {"off", report::number(comparison.off)},
      {"at_20", comparison.at_20 ? report::number(*comparison.at_20) : Json(nullptr)},
      {"doubtful", comparison.doubtful},
      {"again", comparison.again ? Json(report::number_of(observations, *comparison.again)) : Json(nullptr)}};
  if (observation.swept) one["sweep"] = harness[*observation.swept].name;
  if (!observation.wiggled.empty()) one["wiggle"] = report::json_of(harness, observation.wiggled);
  if (!comparison.ends.empty()) one["ends"] = Json::array();
  for (std::size_t i = 0; i < comparison.ends.size(); ++i) {
    const Comparison& end = comparison.ends[i];
    one["ends"].push_back({{"reads", observation.ends[i].text},
                           {"expect", report::json_of(end.expected)},
                           {"shows", report::shows_json(meter, end.range, end.expected, end.shows)},
                           {"range", range_name(end.range.top)},
                           {"agrees", end.agrees},
                           {"off", report::number(end.off)}});
  }
  if (comparison.capacitance) one["farads"] = report::farads_json(meter, *comparison.capacitance);
  return one;
}

Json json_of(const Harness& harness, const Heard& one) {
  return {{"pickup", one.pickup ? Json(harness[*one.pickup].name) : Json(nullptr)},
          {"control", one.control ? Json(harness[*one.control].name) : Json(nullptr)},
          {"set", one.set_given ? report::json_of(harness, one.setting) : Json(nullptr)},
          {"is", sound_word(one.sound)},
          {"aside", one.aside ? Json(in_words(one.aside)) : Json(nullptr)}};
}

}  // namespace

std::string as_json(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                    const Filed& filed) {
  require_meter(heading);
  Json json = report::json_of(heading);
  json["verdict"] = report::verdict_name(diagnosis.verdict);
  json["sound"] = report::number(diagnosis.sound);
  json["shown"] = {{"seen", diagnosis.shown.seen}, {"of", diagnosis.shown.of}, {"open", Json::array()}};
  for (const Fault& fault : diagnosis.shown.open)
    json["shown"]["open"].push_back(report::json_of(harness, fault));
  json["unmodelled"] = report::number(diagnosis.unmodelled);
  json["advice"] = diagnosis.advice;
  if (!diagnosis.differs.empty()) json["differs"] = diagnosis.differs;
  json["suspects"] = Json::array();
  for (const Suspect& suspect : diagnosis.suspects)
    json["suspects"].push_back(report::json_of(harness, observations, suspect));
  json["readings"] = Json::array();
  for (const Comparison& comparison : diagnosis.readings)
    json["readings"].push_back(json_of(*heading.meter, harness, observations, comparison));
  if (!filed.heard.empty()) {
    json["heard"] = Json::array();
    for (const Heard& one : filed.heard) json["heard"].push_back(json_of(harness, one));
  }
  Json others = Json::array();
  for (std::size_t i = 0; i < filed.entries.size(); ++i) {
    if (!filed.entries[i].weighed())
      others.push_back(
          {{"reading", i + 1}, {"say", report::recorded(harness, filed.entries[i], i + 1).where}});
  }
  if (!others.empty()) json["record"] = others;
  json["cleared"] = Json::array();
  for (const Fault& fault : diagnosis.cleared) json["cleared"].push_back(report::json_of(harness, fault));
  json["separate"] = Json::array();
  for (const NextProbe& probe : diagnosis.separate) {
    json["separate"].push_back(json_of(*heading.meter, harness, probe));
  }
  json["lift"] = diagnosis.lift ? json_of(*heading.meter, harness, *diagnosis.lift) : Json(nullptr);
  if (!diagnosis.first.empty()) {
    json["first"] = Json::array();
    for (const NextProbe& probe : diagnosis.first)
      json["first"].push_back(json_of(*heading.meter, harness, probe));
  }
  json["next"] = diagnosis.next ? json_of(*heading.meter, harness, *diagnosis.next) : Json(nullptr);
  return report::written(json);
}

}  // namespace lugwise
