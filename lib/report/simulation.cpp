#include "report/simulation.h"

#include "report/inside/json.h"

namespace lugwise {

using report::Json;

std::string readings_as_json(const Heading& heading, const Harness& harness,
                             const std::vector<Observation>& readings) {
  Json json = report::json_of(heading);
  json["readings"] = Json::array();
  for (const Observation& seen : readings) {
    static constexpr const char* kDo[] = {"read", "sweep", "wiggle"};
    Json one = {{"do", kDo[static_cast<int>(seen.action)]},
                {"set", report::json_of(harness, seen.setting)},
                {"cover", seen.access.name},
                {"lifted", report::json_of(harness, seen.lifted)},
                {"between", report::json_of(harness, {seen.a, seen.b})}};
    if (seen.swept) one["sweep"] = harness[*seen.swept].name;
    if (!seen.wiggled.empty()) one["wiggle"] = report::json_of(harness, seen.wiggled);
    one["reads"] = seen.text;
    const auto name = [&] {
      return seen.capacitor ? capacitance_range_name(seen.range->top) : range_name(seen.range->top);
    };
    one["range"] = seen.range ? Json(name()) : Json(nullptr);
    json["readings"].push_back(std::move(one));
  }
  return report::written(json);
}

}  // namespace lugwise
