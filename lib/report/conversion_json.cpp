#include <utility>

#include "report/conversion.h"
#include "report/inside/diameters.h"
#include "report/inside/json.h"

namespace lugwise {
namespace {

using report::Json;

Json names_json(const std::optional<std::vector<Colour>>& bands) {
  if (!bands) return nullptr;
  Json names = Json::array();
  for (Colour colour : *bands) names.push_back(colour_name(colour));
  return names;
}

Json or_null(const std::optional<double>& value) { return value ? report::number(*value) : Json(nullptr); }

Json json_of(const Marking& marking) {
  return {{"ohms", report::number(marking.ohms)},
          {"tolerance", or_null(marking.tolerance)},
          {"disputed", marking.disputed},
          {"drift", or_null(marking.drift)}};
}

Json json_of(const MarkedResistor& resistor) {
  Json json = json_of(resistor.marking);
  json["allowed"] = resistor.allowed ? Json{{"low", report::number(resistor.allowed->low)},
                                            {"high", report::number(resistor.allowed->high)}}
                                     : Json(nullptr);
  json["letters"] = resistor.letters ? Json(*resistor.letters) : Json(nullptr);
  json["four_bands"] = names_json(resistor.four_bands);
  json["five_bands"] = names_json(resistor.five_bands);
  json["preferred"] = Json::array();
  for (const Preferred& near : resistor.preferred) {
    json["preferred"].push_back({{"series", series_name(near.series)},
                                 {"ohms", report::number(near.ohms)},
                                 {"off", report::number(near.off)},
                                 {"usual", or_null(usual_tolerance(near.series))},
                                 {"fits", near.fits()}});
  }
  return json;
}

Json json_of(Diameters family, const Winding& winding) {
  return {{"diameters", report::family_name(family)},
          {"diameter", report::number(winding.diameter)},
          {"length", report::number(winding.length)},
          {"turns", report::number(winding.turns)}};
}

Json law_json() {
  return {{"rise", report::number(kStandardCopper.rise)},
          {"at", report::number(kStandardCopper.reference)},
          {"source", "IEC 60028"}};
}

std::string answer(const Heading& heading, const char* conversion, Json given, Json found) {
  Json json = report::json_of(heading);
  json["conversion"] = conversion;
  json["given"] = std::move(given);
  json["found"] = std::move(found);
  return report::written(json);
}

}  // namespace

std::string as_json(const Heading& heading, const BandConversion& conversion) {
  Json found = json_of(conversion.resistor);
  found["other_end"] = conversion.other_end ? json_of(*conversion.other_end) : Json(nullptr);
  return answer(heading, "bands", {{"bands", names_json(conversion.bands)}}, std::move(found));
}

std::string as_json(const Heading& heading, const ValueConversion& conversion) {
  return answer(heading, "value",
                {{"value", conversion.typed}, {"tolerance", or_null(conversion.resistor.marking.tolerance)}},
                json_of(conversion.resistor));
}

std::string as_json(const Heading& heading, const CoilConversion& conversion) {
  Json found = {{"ohms", report::number(conversion.winding.ohms)}};
  found.update(json_of(conversion.family, conversion.winding));
  found["other"] = json_of(report::other_than(conversion.family), conversion.other);
  found["law"] = law_json();
  return answer(heading, "coil",
                {{"ohms", report::number(conversion.ohms)},
                 {"temperature", report::number(conversion.celsius)},
                 {"gauge", conversion.gauge},
                 {"turn", report::number(conversion.turn)},
                 {"diameters", report::family_name(conversion.family)}},
                std::move(found));
}

std::string as_json(const Heading& heading, const TemperatureConversion& conversion) {
  return answer(heading, "temperature",
                {{"ohms", report::number(conversion.ohms)},
                 {"from", report::number(conversion.from)},
                 {"to", report::number(conversion.to)}},
                {{"ohms", report::number(conversion.found)}, {"law", law_json()}});
}

}  // namespace lugwise
