#include <string_view>

#include "report/batch.h"
#include "report/inside/json.h"
#include "report/inside/unit.h"

namespace lugwise {
namespace {

using report::Json;

Json json_of(const Harness& harness, const Batch& batch, const StepSeries& series) {
  const Step& step = batch.plan.steps[series.step];
  Json json = {{"step", step.number},
               {"between", report::json_of(harness, {step.a, step.b})},
               {"set", report::json_of(harness, series.end == 1 ? left_at(step) : step.setting)},
               {"end", series.end ? Json(*series.end + 1) : Json(nullptr)},
               {"at_20", series.at_20},
               {"logarithm", series.logarithm},
               {"digit", report::number(series.digit)},
               {"median", series.middle ? report::number(*series.middle) : Json(nullptr)},
               {"cutoff", series.cutoff ? report::number(*series.cutoff) : Json(nullptr)},
               {"moving_range", series.drift ? Json{{"mean", report::number(series.drift->mean)},
                                                    {"range", report::number(series.drift->range)},
                                                    {"low", report::number(series.drift->low)},
                                                    {"high", report::number(series.drift->high)},
                                                    {"most", report::number(series.drift->most)}}
                                             : Json(nullptr)},
               {"readings", Json::array()}};
  for (const StepSeries::Point& point : series.points) {
    json["readings"].push_back({{"serial", batch.units[point.unit].serial},
                                {"open", point.open},
                                {"value", point.open ? Json(nullptr) : report::number(point.value)},
                                {"compared", point.open ? Json(nullptr) : report::number(point.compared)},
                                {"agrees", point.agrees},
                                {"z", report::number(point.z)}});
  }
  return json;
}

std::string_view why_name(SecondLook::Why why) {
  switch (why) {
    case SecondLook::Why::FarOff:
      return "far off";
    case SecondLook::Why::Outside:
      return "outside";
    case SecondLook::Why::Jump:
      return "jump";
  }
  return "";
}

}  // namespace

std::string as_json(const Heading& heading, const BatchHead& head, const Plan& plan,
                    const std::string& folder) {
  Json json = report::json_of(heading);
  json["folder"] = folder;
  json["plan"] = head.plan.id;
  json["coverage"] = {{"seen", plan.seen}, {"of", plan.faults.size()}};
  json["rule"] = decision_rule();
  return report::written(json);
}

std::string as_json(const Heading& heading, const Harness& harness, const UnitRecord& unit) {
  Json json = report::json_of(heading);
  json["unit"] = report::json_of(harness, unit);
  json["rule"] = decision_rule();
  return report::written(json);
}

std::string as_json(const Heading& heading, const Harness& harness, const Batch& batch) {
  Json json = report::json_of(heading);
  json["plan"] = batch.plan.id;
  json["rule"] = decision_rule();
  const std::size_t of = batch.counted();
  const std::size_t pass = batch.how_many(Decision::Pass);
  json["yield"] = {{"pass", pass},
                   {"fail", batch.how_many(Decision::Fail)},
                   {"undecided", batch.how_many(Decision::Undecided)},
                   {"of", of},
                   {"share", of > 0 ? report::number(static_cast<double>(pass) / static_cast<double>(of))
                                    : Json(nullptr)}};
  json["units"] = Json::array();
  for (const UnitRecord& unit : batch.units) json["units"].push_back(report::json_of(harness, unit));
  json["steps"] = Json::array();
  for (const StepSeries& series : batch.steps) {
    if (!series.points.empty()) json["steps"].push_back(json_of(harness, batch, series));
  }
  json["look"] = Json::array();
  for (const SecondLook& look : batch.looks) {
    const StepSeries& series = batch.steps[look.series];
    json["look"].push_back(
        {{"serial", batch.units[look.unit].serial},
         {"step", batch.plan.steps[series.step].number},
         {"end", series.end ? Json(*series.end + 1) : Json(nullptr)},
         {"why", why_name(look.why)},
         {"z", look.why == SecondLook::Why::FarOff ? report::number(look.z) : Json(nullptr)}});
  }
  json["same"] = Json::array();
  for (const SameFault& each : batch.same) {
    Json serials = Json::array();
    for (const std::size_t unit : each.units) serials.push_back(batch.units[unit].serial);
    Json others = Json::array();
    for (const Fault& other : each.others) others.push_back(report::json_of(harness, other));
    json["same"].push_back(
        {{"fault", report::json_of(harness, each.fault)}, {"or", std::move(others)}, {"serials", serials}});
  }
  json["unseen"] = Json::array();
  for (const Unseen& each : batch.plan.unseen)
    json["unseen"].push_back(report::json_of(harness, batch.plan.faults[each.fault]));
  return report::written(json);
}

}  // namespace lugwise
