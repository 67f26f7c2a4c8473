#include <fmt/format.h>

#include <string>
#include <vector>

#include "intake/inside/part_kind.h"

namespace lugwise::inside {
namespace {

constexpr Limits kCapacitance{1e-13, 1e-2, "more than 0 and at most 10000u"};
constexpr Limits kVoltage{0.1, 100, "from 0.1 to 100 volts"};

}  // namespace

std::optional<PartId> read_resistor(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a resistor", part.at, {"kind", "value", "tolerance", "reach", "place"},
                desk.diagnostics);
  const double value = desk.ohms(fields, "value", "'value'");
  const PartId id =
      desk.builder.add_resistor(part.name, value, desk.tolerance(fields, desk.tolerances.resistor), part.at);
  desk.keep_where(fields, id);
  return id;
}

std::optional<PartId> read_capacitor(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a capacitor", part.at, {"kind", "value", "tolerance", "reach", "place"},
                desk.diagnostics);
  double value = 1e-9;
  if (const Node* node = fields.need("value")) {
    value = as_value(*node, "'value'", "N302", parse_farads, kCapacitance, desk.diagnostics).value_or(1e-9);
  }
  const PartId id = desk.builder.add_capacitor(part.name, value,
                                               desk.tolerance(fields, desk.tolerances.capacitor), part.at);
  desk.keep_where(fields, id);
  return id;
}

std::optional<PartId> read_metal(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a metal part", part.at, {"kind", "points", "reach", "place"}, desk.diagnostics);
  const auto points = desk.names(fields, "points", "point");
  if (!points) return std::nullopt;
  const PartId id = desk.builder.add_metal(part.name, *points, part.at);
  desk.keep_where(fields, id);
  return id;
}

std::optional<PartId> read_battery(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a battery", part.at, {"kind", "voltage", "reach", "place"}, desk.diagnostics);
  double volts = 9;
  if (const Node* node = fields.need("voltage")) {
    volts = as_value(*node, "'voltage'", "N306", parse_volts, kVoltage, desk.diagnostics).value_or(9);
  }
  const PartId id = desk.builder.add_battery(part.name, volts, part.at);
  desk.keep_where(fields, id);
  return id;
}

std::optional<PartId> read_module(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a module", part.at, {"kind", "points", "reach", "place"}, desk.diagnostics);
  const auto points = desk.names(fields, "points", "point");
  if (!points) return std::nullopt;
  const PartId id = desk.builder.add_module(part.name, *points, part.at);
  desk.keep_where(fields, id);
  return id;
}

}  // namespace lugwise::inside
