#include "simulation/specimen.h"

#include <algorithm>
#include <cmath>

#include "circuit/capacitance.h"
#include "component/copper.h"

namespace lugwise {
namespace {

// What a module may have from point to point: anything. Every value lies between "not there" and "all joined".
constexpr Ohms kModuleLeast = 100;
constexpr Ohms kModuleMost = 1e8;

// Circuits with a fault are kept until they have so many branches between them: about 60 MB.
constexpr std::size_t kMostHeld = 200'000;

constexpr std::size_t kNoFault = ~std::size_t{0};

bool is_part(ElementKind kind) {
  return kind == ElementKind::Coil || kind == ElementKind::Track || kind == ElementKind::Resistor;
}

// The resistors of a circuit, and those that stand for its modules.
std::vector<Resistor> resistors_of(const Circuit& circuit, const std::vector<double>& values) {
  std::vector<Resistor> resistors;
  for (std::size_t b = 0; b < circuit.branches.size(); ++b) {
    resistors.push_back({circuit.branches[b].a.index, circuit.branches[b].b.index, values[b]});
  }
  std::size_t next = circuit.branches.size();
  for (const auto& module : circuit.modules) {
    for (std::size_t i = 0; i + 1 < module.size(); ++i)
      resistors.push_back({module[i].index, module[i + 1].index, values[next++]});
  }
  return resistors;
}

}  // namespace

Workbench::Workbench(const Harness& harness, std::optional<std::size_t> stage,
                     const std::vector<Fault>& faults)
    : harness_(harness), stage_(stage), faults_(faults) {}

Workbench::Known& Workbench::known(const Place& place) {
  const auto at = known_.find(place);
  if (at != known_.end()) return at->second;
  const State state{place.setting, stage_, place.cavity_open, place.lifted,
                    exactly(kStandardCopper.reference)};
  return known_.emplace(place, Known{circuit_of(harness_, state), {}}).first->second;
}

const Circuit& Workbench::sound(const Place& place) { return known(place).sound; }

Workbench::Wired& Workbench::wired(const Place& place, std::size_t fault, double size) {
  Known& here = known(place);
  const auto at = here.with.find(fault);
  const bool sized = fault != kNoFault && size != 0;
  if (at != here.with.end()) {
    // Of a sized fault the shape stays and the limits don't.
    if (sized) at->second.circuit = with_fault(here.sound, faults_[fault], size);
    return at->second;
  }
  if (held_ > kMostHeld) {
    for (auto& [at_place, other] : known_) other.with.clear();
    held_ = 0;
  }
  Circuit circuit = fault == kNoFault ? here.sound : with_fault(here.sound, faults_[fault], size);
  held_ += circuit.branches.size();
  return here.with.emplace(fault, Wired{std::move(circuit), std::nullopt}).first->second;
}

Specimen::Specimen(Workbench& bench, std::vector<Ailment> ailments, Dice& dice, std::optional<double> celsius)
    : bench_(bench), ailments_(std::move(ailments)) {
  for (std::size_t i = 0; i <= bench.harness().elements().size(); ++i) draws_.push_back(dice.even());
  for (std::size_t i = 0; i < bench.harness().parts().size(); ++i) travels_.push_back(dice.even());
  const double room = dice.between(kColdest, kWarmest);
  copper_ = copper_factor(celsius.value_or(room));
  module_ = dice.by_decades(kModuleLeast, kModuleMost);
}

std::vector<double> Specimen::values(const Circuit& circuit) const {
  std::vector<double> values;
  for (const Branch& branch : circuit.branches) {
    const double draw = branch.element.index == kNoElement ? draws_.back() : draws_[branch.element.index];
    const bool part = branch.element.index != kNoElement && is_part(bench_.harness()[branch.element].kind);
    // Joints, wires, contacts and stopped wipers are seldom near the most they may show.
    double ohms = part || branch.ohms.nominal <= 0
                      ? branch.ohms.low + draw * (branch.ohms.high - branch.ohms.low)
                      : branch.ohms.nominal * std::pow(branch.ohms.high / branch.ohms.nominal, draw);
    if (branch.copper) ohms *= copper_;
    if (branch.travel) {
      const double t = travels_[circuit.travels[*branch.travel].control.index];
      ohms *= branch.at_low + t * (branch.at_high - branch.at_low);
    }
    // Nothing conducts perfectly, and a shape must serve every draw.
    values.push_back(std::max(ohms, 1e-6));
  }
  for (const auto& module : circuit.modules) {
    for (std::size_t i = 0; i + 1 < module.size(); ++i) values.push_back(module_);
  }
  return values;
}

Network Specimen::solve(const std::vector<Ailment>& ailments, const Workbench::Place& place) {
  std::vector<Ailment> lasting;
  for (const Ailment& each : ailments) {
    if (!each.comes_and_goes) lasting.push_back(each);
  }
  if (lasting.size() > 1) {
    Circuit circuit = bench_.sound(place);
    for (const Ailment& each : lasting) circuit = with_fault(circuit, bench_.faults()[each.fault], each.size);
    return {circuit.points, resistors_of(circuit, values(circuit))};
  }
  const Ailment one = lasting.empty() ? Ailment{kNoFault, 0} : lasting.front();
  Workbench::Wired& wired = bench_.wired(place, one.fault, one.size);
  const std::vector<double> drawn = values(wired.circuit);
  if (!wired.shape) wired.shape.emplace(wired.circuit.points, resistors_of(wired.circuit, drawn));
  return wired.shape->reweighted(drawn);
}

std::optional<Ohms> Specimen::ohms(const Workbench::Place& place, PointId a, PointId b) {
  auto at = solved_.find(place);
  if (at == solved_.end()) at = solved_.emplace(place, solve(ailments_, place)).first;
  return at->second.resistance(a.index, b.index);
}

std::optional<Ohms> Specimen::ohms_with(const std::vector<Ailment>& ailments, const Workbench::Place& place,
                                        PointId a, PointId b) {
  return solve(ailments, place).resistance(a.index, b.index);
}

double Specimen::farads(ElementId capacitor) const {
  const Capacitance farads = farads_of(bench_.harness(), capacitor);
  return farads.low + draws_[capacitor.index] * (farads.high - farads.low);
}

}  // namespace lugwise
