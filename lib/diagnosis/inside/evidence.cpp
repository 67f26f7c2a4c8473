#include "diagnosis/inside/reasoning.h"

#include <algorithm>
#include <cmath>

#include "diagnosis/inside/comparison.h"
#include "diagnosis/inside/farads.h"

namespace lugwise {
namespace {

// What the readings speak against by so much no complaint brings back.
constexpr double kPastHearing = 20;

}  // namespace

// Each reading beside what a sound harness would show; those through a module say nothing more. The ends of a sweep
// are readings of their own.
void Reasoning::compare_all() {
  for (std::size_t i = 0; i < all_.size(); ++i) {
    const Observation& observation = all_[i];
    if (observation.capacitor) {
      answer_.readings.push_back(compare(harness_, observation, options_));
      answer_.readings.back().observation = i;
      continue;
    }
    Comparison comparison = compare_and_use(i, observation);
    if (observation.ends.size() == 2 && observation.swept) {
      Observation end = observation;
      end.action = Action::Read;
      end.ends.clear();
      for (const Display& display : observation.ends) {
        end.shows = display.shows;
        end.value = display.value;
        end.resolution = display.resolution;
        end.text = display.text;
        end.range = display.range ? display.range : observation.range;
        comparison.ends.push_back(compare_and_use(i, end));
        comparison.agrees = comparison.agrees && comparison.ends.back().agrees;
        end.setting = other_end(end.setting, *observation.swept);
      }
    }
    answer_.readings.push_back(std::move(comparison));
  }
}

Comparison Reasoning::compare_and_use(std::size_t i, const Observation& observation) {
  const std::uint32_t probe = model_.probe(observation);
  const Circuit& circuit = model_.circuit(probe);
  Comparison comparison = compare_in(circuit, model_.expected(probe), harness_, observation, options_);
  comparison.observation = i;
  if (circuit.modules.empty() || comparison.expected.known) {
    Observation used = observation;
    used.range = !observation.range && observation.shows == Shows::Value
                     ? range_for(options_.meter, observation.value)
                     : comparison.range;
    usable_.push_back(std::move(used));
    used_.push_back(i);
  }
  return comparison;
}

bool Reasoning::measured_in_farads(const Fault& fault) const {
  return std::any_of(all_.begin(), all_.end(), [&](const Observation& observation) {
    return observation.capacitor && observation.capacitor == fault.element;
  });
}

bool Reasoning::counts(const Fault& fault) const {
  return !(fault.mode == Mode::Value && fault.site == Site::Capacitor) || measured_in_farads(fault);
}

void Reasoning::weigh() {
  double weights = 0;
  for (const Hypothesis& each : hypotheses_) weights += counts(each.fault) ? each.weight : 0;
  for (const Hypothesis& each : hypotheses_)
    share_.push_back(counts(each.fault) ? std::log(each.weight / weights) : -HUGE_VAL);
  std::vector<double> log_prior;
  for (double share : share_) log_prior.push_back(std::log(kSomeFault) + share);
  Weighing weighing =
      weigh_all(judge_, hypotheses_, log_prior, std::log(1 - kSomeFault - kTwoFaults - kUnlisted), {});
  sound_ = std::move(weighing.nothing);
  weights_ = std::move(weighing.weights);

  // Something unlisted: each reading is as a sound harness's, or anything.
  for (std::size_t i = 0; i < usable_.size(); ++i) {
    unlisted_ += log_sum(std::log(0.7) + sound_.each[i], std::log(0.3) + judge_.anything(i));
  }
  weigh_farads();
  weigh_heard();
  for (std::size_t h = 0; h < hypotheses_.size(); ++h) {
    Answer answer;
    answer.first = h;
    answer.log = weights_[h].log;
    answer.loudest = weights_[h].loudest + answer.log;
    answer.log_prior = log_prior[h];
    answers_.push_back(std::move(answer));
  }
}

// Readings in farads stand by themselves: they add to what the others say.
void Reasoning::weigh_farads() {
  for (std::size_t i = 0; i < all_.size(); ++i) {
    if (!all_[i].capacitor) continue;
    const double sound = log_of_farads(options_.meter, all_[i], answer_.readings[i], CapacitorIs::Sound);
    sound_.log += sound;
    unlisted_ += log_sum(std::log(0.7) + sound, std::log(0.3) + any_farads(all_[i]));
    for (std::size_t h = 0; h < hypotheses_.size(); ++h)
      weights_[h].log += sound + farads_for(hypotheses_[h].fault, i);
  }
}

// So does what was heard, in the sizes that the readings leave.
void Reasoning::weigh_heard() {
  if (heard_.empty()) return;
  ear_logs_.resize(hypotheses_.size());
  double loudest = sound_.log;
  for (const Weight& weight : weights_) loudest = std::max(loudest, weight.log);
  for (const Heard& each : heard_) {
    sound_.log += Ear::log_of_sound(each);
    if (each.aside.empty()) unlisted_ += Ear::log_of_anything();
    for (std::size_t h = 0; h < hypotheses_.size(); ++h) {
      if (weights_[h].log < loudest - kPastHearing) {
        ear_logs_[h].push_back(Ear::log_of_sound(each));
        continue;
      }
      const std::vector<double>& glances = weights_[h].glances;
      std::vector<double> with;
      std::vector<double> without;
      for (std::size_t s = 0; s < hypotheses_[h].sizes.size(); ++s) {
        const double log = glances.empty() ? 0 : glances[s];
        without.push_back(log);
        with.push_back(log + ear_.log_of(each, hypotheses_[h], s));
      }
      ear_logs_[h].push_back(log_sum(with) - log_sum(without));
      weights_[h].log += ear_logs_[h].back();
    }
  }
}

// How much louder all that was heard speaks for two faults than for one of them: as for the one that explains it.
double Reasoning::heard_more(std::size_t one, std::size_t other) const {
  double sum = 0;
  for (std::size_t i = 0; i < heard_.size(); ++i) sum += std::max(ear_logs_[one][i], ear_logs_[other][i]);
  return sum;
}

// How much louder reading `i`, in farads, speaks for a fault than for a sound capacitor.
double Reasoning::farads_for(const Fault& fault, std::size_t i) const {
  if (fault.element != all_[i].capacitor) return 0;
  const auto is = fault.mode == Mode::Open    ? CapacitorIs::Open
                  : fault.mode == Mode::Short ? CapacitorIs::Shorted
                                              : CapacitorIs::AnotherValue;
  return log_of_farads(options_.meter, all_[i], answer_.readings[i], is) -
         log_of_farads(options_.meter, all_[i], answer_.readings[i], CapacitorIs::Sound);
}

}  // namespace lugwise
