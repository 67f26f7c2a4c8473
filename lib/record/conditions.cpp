#include "record/conditions.h"

namespace lugwise {

Circumstances Conditions::circumstances() const {
  return {std::nullopt, meter, workshop.costs, workshop.common};
}

PlanOptions Conditions::plan_options() const {
  PlanOptions options;
  static_cast<Circumstances&>(options) = circumstances();
  options.temperature = coils();
  return options;
}

DiagnosisOptions Conditions::diagnosis_options() const {
  DiagnosisOptions options;
  static_cast<Circumstances&>(options) = circumstances();
  options.temperature = coils();
  return options;
}

Conditions conditions_for(const Netlist& netlist, const Sheet* sheet, const NamedConditions& named) {
  Conditions conditions{assumed_meter(), named.temperature, named.workshop};
  if (named.meter) {
    conditions.meter = *named.meter;
  } else if (sheet && sheet->meter) {
    conditions.meter = *sheet->meter;
  } else if (netlist.meter) {
    conditions.meter = *netlist.meter;
  }
  if (netlist.opening) conditions.workshop.costs.open_cavity = *netlist.opening;
  if (!conditions.temperature && sheet) conditions.temperature = sheet->temperature;
  if (!conditions.temperature) conditions.temperature = netlist.temperature;
  return conditions;
}

}  // namespace lugwise
