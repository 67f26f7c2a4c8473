#include "expectation/corner.h"

#include <algorithm>

namespace lugwise {
namespace {

Ohms pick(const Band& band, Corner corner) {
  switch (corner) {
    case Corner::Low:
      return band.low;
    case Corner::High:
      return band.high;
    default:
      return band.nominal;
  }
}

}  // namespace

Ohms ohms_at(const Branch& branch, Corner corner, const std::vector<double>* travel) {
  const Ohms whole = pick(branch.ohms, corner);
  if (!branch.travel) return whole;
  if (!travel) return whole * branch.at_nominal;
  const double t = (*travel)[*branch.travel];
  return whole * std::max(0.0, branch.at_low + t * (branch.at_high - branch.at_low));
}

std::vector<Resistor> resistors_at(const Circuit& circuit, Corner corner, const std::vector<double>* travel) {
  std::vector<Resistor> resistors;
  resistors.reserve(circuit.branches.size());
  for (const Branch& branch : circuit.branches) {
    resistors.push_back({branch.a.index, branch.b.index, ohms_at(branch, corner, travel)});
  }
  return resistors;
}

std::vector<Resistor> loose_resistors_at(const Circuit& circuit, Corner corner) {
  std::vector<Resistor> resistors = resistors_at(circuit, corner);
  if (corner == Corner::Nominal) return resistors;
  for (std::size_t i = 0; i < resistors.size(); ++i) {
    const Branch& branch = circuit.branches[i];
    if (!branch.travel) continue;
    const auto [least, most] = std::minmax(branch.at_low, branch.at_high);
    resistors[i].ohms = pick(branch.ohms, corner) * (corner == Corner::Low ? least : most);
  }
  return resistors;
}

Network network_at(const Circuit& circuit, std::vector<Resistor> resistors, Modules modules) {
  if (modules == Modules::Joined) {
    for (const std::vector<PointId>& module : circuit.modules) {
      for (std::size_t i = 1; i < module.size(); ++i)
        resistors.push_back({module[0].index, module[i].index, 0});
    }
  }
  return Network(circuit.points, std::move(resistors));
}

Network network_like(const Network& known, std::vector<Resistor> resistors) {
  const bool alike = std::equal(resistors.begin(), resistors.end(), known.resistors().begin(),
                                known.resistors().end(), [](const Resistor& x, const Resistor& y) {
                                  return x.a == y.a && x.b == y.b && (x.ohms == 0) == (y.ohms == 0);
                                });
  if (!alike) return Network(known.points(), std::move(resistors));
  std::vector<double> ohms;
  ohms.reserve(resistors.size());
  for (const Resistor& each : resistors) ohms.push_back(each.ohms);
  return known.reweighted(ohms);
}

}  // namespace lugwise
