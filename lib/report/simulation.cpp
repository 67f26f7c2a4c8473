#include "report/simulation.h"

#include "report/inside/json.h"

namespace lugwise {

using report::Json;

std::string readings_as_json(const Heading& heading, const Harness& harness,
                             const std::vector<Observation>& readings) {
  Json json = report::json_of(heading);
  json["readings"] = Json::array();
  for (const Observation& seen : readings) json["readings"].push_back(report::json_of(harness, seen));
  return report::written(json);
}

}  // namespace lugwise
