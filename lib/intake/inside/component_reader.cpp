#include <fmt/format.h>

#include <string>
#include <vector>

#include "intake/inside/part_kind.h"

namespace lugwise::intake::inside {
namespace {

// `1.5H`, `1.5 H`, `800 mH`. The unit is needed: a bare number may be meant in either.
Parsed<double> parse_henries(std::string_view text) {
  std::string_view number = text;
  Parsed<double> parsed;
  if (number.ends_with('H')) {
    number.remove_suffix(1);
    const double unit = number.ends_with('m') ? 1e-3 : number.ends_with('u') ? 1e-6 : 1;
    if (unit != 1) number.remove_suffix(1);
    while (number.ends_with(' ')) number.remove_suffix(1);
    parsed = parse_number(number);
    if (parsed.value) parsed.value = *parsed.value * unit;
  }
  if (parsed.value) return parsed;
  parsed.problem = fmt::format("not an inductance: '{}'", text.substr(0, 60));
  parsed.hint = "write it with its unit, as '1.5H' or '800mH'";
  return parsed;
}

constexpr Limits kInductance{1e-6, 1000, "more than 0 and at most 1000 H"};
constexpr Limits kVoltage{0.1, 100, "from 0.1 to 100 volts"};

}  // namespace

std::optional<PartId> read_resistor(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a resistor", part.at, {"kind", "value", "tolerance", "reach", "place"},
                desk.diagnostics);
  fields.call(part.name);
  const double value = desk.ohms(fields, "value", "'value'");
  const PartId id =
      desk.builder.add_resistor(part.name, value, desk.tolerance(fields, desk.tolerances.resistor), part.at);
  desk.keep_where(fields, id);
  return id;
}

std::optional<PartId> read_capacitor(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a capacitor", part.at, {"kind", "value", "tolerance", "reach", "place"},
                desk.diagnostics);
  fields.call(part.name);
  double value = 1e-9;
  if (const Node* node = fields.need("value")) {
    value = as_value(*node, "'value'", "N302", parse_farads, kCapacitance, desk.diagnostics).value_or(1e-9);
  }
  const PartId id = desk.builder.add_capacitor(part.name, value,
                                               desk.tolerance(fields, desk.tolerances.capacitor), part.at);
  desk.keep_where(fields, id);
  return id;
}

std::optional<PartId> read_inductor(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "an inductor", part.at, {"kind", "dcr", "value", "tolerance", "reach", "place"},
                desk.diagnostics);
  fields.call(part.name);
  const double dcr = desk.ohms(fields, "dcr", "'dcr'");
  double henries = 1;
  if (const Node* node = fields.need("value")) {
    henries = as_value(*node, "'value'", "N311", parse_henries, kInductance, desk.diagnostics).value_or(1);
  }
  const PartId id = desk.builder.add_inductor(part.name, dcr, desk.tolerance(fields, desk.tolerances.pickup),
                                              henries, part.at);
  desk.keep_where(fields, id);
  return id;
}

std::optional<PartId> read_metal(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a metal part", part.at, {"kind", "points", "reach", "place"}, desk.diagnostics);
  fields.call(part.name);
  const auto points = desk.names(fields, "points", "point");
  if (!points) return std::nullopt;
  const PartId id = desk.builder.add_metal(part.name, *points, part.at);
  desk.keep_where(fields, id);
  return id;
}

std::optional<PartId> read_battery(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a battery", part.at, {"kind", "voltage", "reach", "place"}, desk.diagnostics);
  fields.call(part.name);
  double volts = 9;
  if (const Node* node = fields.need("voltage")) {
    volts = as_value(*node, "'voltage'", "N306", parse_volts, kVoltage, desk.diagnostics).value_or(9);
  }
  const PartId id = desk.builder.add_battery(part.name, volts, part.at);
  desk.keep_where(fields, id);
  return id;
}

std::optional<PartId> read_module(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a module", part.at, {"kind", "points", "spare", "reach", "place"},
                desk.diagnostics);
  fields.call(part.name);
  const auto points = desk.names(fields, "points", "point");
  if (!points) return std::nullopt;
  const PartId id = desk.builder.add_module(part.name, *points, part.at);
  desk.keep_where(fields, id);
  return id;
}

}  // namespace lugwise::intake::inside
