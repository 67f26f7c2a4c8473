#include "diagnosis/diagnosis.h"

#include <algorithm>

#include "circuit/capacitance.h"
#include "diagnosis/inside/comparison.h"
#include "diagnosis/inside/reasoning.h"
#include "dictionary/dictionary.h"

namespace lugwise {

using namespace diagnosis::inside;
namespace {

// How common a capacitor of another value is beside the other faults, where one is measured: who lifts its lead has reasons.
constexpr double kWrongCapacitor = 2.0;

DiagnosisOptions without_suggestions(DiagnosisOptions options) {
  options.suggest = false;
  return options;
}

}  // namespace

double probability_at_first_place(const Harness& harness, const Diagnosis& diagnosis) {
  if (diagnosis.suspects.empty()) return 0;
  const Suspect& best = diagnosis.suspects.front();
  const auto pot_of = [&](const Fault& fault) -> std::optional<PartId> {
    const bool of_pot = fault.element && (fault.site == Site::Track || fault.site == Site::Wiper);
    return of_pot ? harness[*fault.element].part : std::nullopt;
  };
  const std::optional<PartId> pot = pot_of(best.fault);
  double sum = 0;
  for (const Suspect& suspect : diagnosis.suspects) {
    if (suspect.also != best.also) continue;
    if ((pot && pot_of(suspect.fault) == pot) || same_place(suspect.fault, best.fault))
      sum += suspect.probability;
  }
  return sum;
}

Observation as_observation(const Harness& harness, const NextProbe& probe) {
  Observation seen;
  seen.a = probe.a;
  seen.b = probe.b;
  seen.setting = probe.setting;
  seen.access = probe.access;
  if (probe.lifted) seen.lifted.push_back(*probe.lifted);
  seen.range = probe.range;
  seen.swept = probe.swept;
  seen.wiggled = probe.wiggled;
  if (probe.swept) seen.action = Action::Sweep;
  if (!probe.wiggled.empty()) seen.action = Action::Wiggle;
  if (probe.farads) seen.capacitor = capacitor_between(harness, probe.a, probe.b);
  return seen;
}

Diagnosis Reasoning::conclude() {
  compare_all();
  judge_.take(usable_);
  weigh();
  look_for_two();
  rank();
  doubt();
  cover();
  decide();
  differ();
  suggest();
  return std::move(answer_);
}

Comparison compare(const Harness& harness, const Observation& observation, const DiagnosisOptions& options) {
  const Circuit circuit = circuit_of(harness, state_of(observation, options));
  return compare_in(circuit, expect(circuit, observation.a, observation.b), harness, observation, options);
}

bool may_show(const Harness& harness, const Observation& observation, const std::vector<Fault>& faults,
              const DiagnosisOptions& options) {
  Observation still = observation;
  still.action = Action::Read;
  std::vector<Setting> settings{observation.setting};
  if (observation.swept) settings.push_back(other_end(observation.setting, *observation.swept));
  return std::any_of(settings.begin(), settings.end(), [&](const Setting& setting) {
    still.setting = setting;
    const Chapter chapter(circuit_of(harness, state_of(still, options)));
    return std::any_of(faults.begin(), faults.end(),
                       [&](const Fault& fault) { return chapter.touches(fault, still.a, still.b); });
  });
}

// What is kept from one set of readings to the next.
struct Diagnoser::Memory {
  Memory(const Harness& of, const DiagnosisOptions& with)
      : harness(of),
        options(with),
        judging(without_suggestions(with)),
        model(harness, options),
        judge(harness, model, options),
        ear(harness, options.stage),
        finder(harness, options) {
    std::vector<Fault> faults = faults_at(harness, options.stage);
    lugwise::weigh(faults, options.common);
    // Of a capacitor's value only readings in farads speak; it counts where there are some.
    for (std::uint32_t i = 0; i < harness.elements().size(); ++i) {
      const Element& element = harness.elements()[i];
      if (element.kind != ElementKind::Capacitor) continue;
      faults.push_back({Mode::Value, Site::Capacitor, ElementId{i}, element.points, element.a, element.b,
                        kWrongCapacitor, element.at});
    }
    if (options.scope) coverage.emplace(harness, options);
    std::uint32_t number = 1;
    for (Fault& fault : faults) {
      Hypothesis hypothesis;
      hypothesis.weight = fault.weight;
      hypothesis.sizes = sizes_of(harness, fault);
      hypothesis.first_number = number;
      number += static_cast<std::uint32_t>(hypothesis.sizes.size());
      hypothesis.fault = std::move(fault);
      hypotheses.push_back(std::move(hypothesis));
    }
  }

  const Harness& harness;
  const DiagnosisOptions options;
  const DiagnosisOptions judging;  // the same, with nothing looked for to take next
  // Of all hypotheses, by their numbers.
  Book& limits() {
    if (!book) {
      std::vector<Fault> faults;
      for (const Hypothesis& each : hypotheses) faults.push_back(each.fault);
      book.emplace(harness, options, std::move(faults));
    }
    return *book;
  }

  Model model;
  Judge judge;
  Ear ear;
  ProbeFinder finder;
  std::vector<Hypothesis> hypotheses;
  std::optional<Coverage> coverage;
  std::optional<Book> book;
};

Diagnoser::Diagnoser(const Harness& harness, const DiagnosisOptions& options)
    : memory_(std::make_unique<Memory>(harness, options)) {}

Diagnoser::~Diagnoser() = default;

Diagnosis Diagnoser::diagnose(const std::vector<Observation>& observations, const std::vector<Heard>& heard,
                              const std::vector<Observation>& unproven) {
  return conclude(memory_->options, observations, heard, unproven);
}

Diagnosis Diagnoser::judge(const std::vector<Observation>& observations, const std::vector<Heard>& heard) {
  return conclude(memory_->judging, observations, heard, {});
}

Diagnosis Diagnoser::conclude(const DiagnosisOptions& options, const std::vector<Observation>& observations,
                              const std::vector<Heard>& heard, const std::vector<Observation>& unproven) {
  return Reasoning(memory_->harness, options, memory_->model, memory_->judge, memory_->ear, memory_->finder,
                   memory_->hypotheses, observations, heard, unproven,
                   memory_->coverage ? &*memory_->coverage : nullptr,
                   [this]() -> Book& { return memory_->limits(); })
      .conclude();
}

Diagnosis diagnose(const Harness& harness, const std::vector<Observation>& observations,
                   const DiagnosisOptions& options, const std::vector<Heard>& heard,
                   const std::vector<Observation>& unproven) {
  return Diagnoser(harness, options).diagnose(observations, heard, unproven);
}

}  // namespace lugwise
