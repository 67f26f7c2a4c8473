// What readings are taken with, how warm it is, and what hands and bench are like.
#pragma once

#include <optional>

#include "circuit/circuit.h"
#include "diagnosis/diagnosis.h"
#include "handling/circumstances.h"
#include "handling/handling.h"
#include "intake/netlist.h"
#include "meter/meter.h"
#include "plan/plan.h"
#include "sheet/sheet.h"

namespace lugwise {

struct Conditions {
  Meter meter;
  std::optional<double> temperature;  // degrees C; none: not known
  Workshop workshop{};

  Temperature coils() const { return temperature ? exactly(*temperature) : Temperature{}; }

  // What a study, an exercise, a plan and a diagnosis make of them; all else is as usual, and the stage is the last.
  Circumstances circumstances() const;
  PlanOptions plan_options() const;
  DiagnosisOptions diagnosis_options() const;
};

// What somebody says of them now.
struct NamedConditions {
  std::optional<Meter> meter;
  std::optional<double> temperature;  // degrees C
  Workshop workshop{};
};

// As `named` says, else the readings, else the netlist; else the assumed meter and no temperature. `sheet` may be null.
Conditions conditions_for(const Netlist& netlist, const Sheet* sheet = nullptr,
                          const NamedConditions& named = {});

}  // namespace lugwise
