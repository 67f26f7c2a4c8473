#include "support/bench.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <stdexcept>

#include "network/network.h"

namespace lugwise::test {

std::vector<std::string> worked_harnesses() {
  const char* root = std::getenv("LUGWISE_ROOT");
  const std::filesystem::path folder = std::filesystem::path(root ? root : ".") / "harnesses";
  std::vector<std::pair<std::uintmax_t, std::string>> found;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() == ".yaml") found.emplace_back(entry.file_size(), entry.path().string());
  }
  if (found.empty()) throw std::runtime_error("no worked harness in " + folder.string());
  std::sort(found.begin(), found.end());
  std::vector<std::string> paths;
  for (const auto& [size, path] : found) paths.push_back(path);
  return paths;
}

std::optional<Ohms> true_ohms(const Harness& harness, const State& state, PointId a, PointId b,
                              const Fault* fault, double size) {
  Circuit circuit = circuit_of(harness, state);
  if (fault) circuit = with_fault(circuit, *fault, size);
  std::vector<Resistor> resistors;
  for (const Branch& branch : circuit.branches) {
    resistors.push_back({branch.a.index, branch.b.index, branch.ohms.nominal * branch.at_nominal});
  }
  return Network(circuit.points, std::move(resistors)).resistance(a.index, b.index);
}

Observation observe(const Harness& harness, const Step& step, const PlanOptions& options, const Fault* fault,
                    double size) {
  State state{step.setting, options.stage, step.access.depth > 0, {}, options.temperature};
  const auto ohms = true_ohms(harness, state, step.a, step.b, fault, size);
  Observation observation;
  observation.a = step.a;
  observation.b = step.b;
  observation.setting = step.setting;
  observation.access = step.access;
  observation.range = step.range;
  observation.step = step.number;
  if (step.kind == StepKind::Sweep) {
    // A worn track, and a dirty wiper of a pot on that knob, jump.
    observation.action = Action::Sweep;
    observation.swept = step.swept;
    const bool of_pot = fault && (fault->site == Site::Track || fault->site == Site::Wiper) &&
                        fault->mode != Mode::Value && fault->mode != Mode::Misplaced;
    const auto knob = [&] {
      const PartId pot = *harness[fault->points[0]].part;
      return harness[pot].pot->gang.value_or(pot);
    };
    const bool jumps = of_pot && knob() == *step.swept;
    observation.shows = jumps ? Shows::Jumps : Shows::Smooth;
    observation.text = jumps ? "jumps" : "smooth";
    // The plan says what must stand at both stops.
    for (const Setting& setting : {step.setting, other_end(step.setting, *step.swept)}) {
      Step still = step;
      still.kind = StepKind::Read;
      still.setting = setting;
      const Observation shown = observe(harness, still, options, fault, size);
      observation.ends.push_back({shown.shows, shown.value, shown.resolution, shown.text, std::nullopt});
    }
    return observation;
  }
  const Meter& meter = options.meter;
  const Ohms shown = ohms.value_or(HUGE_VAL) + (meter.leads_low + meter.leads_high) / 2;
  if (!ohms || over_range(meter, step.range, shown)) {
    observation.shows = Shows::OverRange;
    return observation;
  }
  const double unit = meter.step(step.range);
  observation.value = std::round(shown / unit) * unit;
  observation.resolution = unit;
  return observation;
}

std::vector<Observation> take_readings(const Harness& harness, const Plan& plan, const Fault* fault,
                                       double size) {
  std::vector<Observation> observations;
  for (const Step& step : plan.steps) {
    if (step.kind == StepKind::Read || step.kind == StepKind::Sweep)
      observations.push_back(observe(harness, step, plan.options, fault, size));
  }
  return observations;
}

DiagnosisOptions held_against(const Plan& plan) {
  DiagnosisOptions options;
  options.stage = plan.options.stage;
  options.meter = plan.options.meter;
  options.temperature = plan.options.temperature;
  options.scope = scope_of(plan);
  return options;
}

}  // namespace lugwise::test
