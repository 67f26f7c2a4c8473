#include "diagnosis/inside/reasoning.h"

#include <algorithm>
#include <cmath>

#include "diagnosis/inside/comparison.h"
#include "diagnosis/inside/farads_comparison.h"
#include "diagnosis/inside/slip.h"

namespace lugwise::diagnosis::inside {

namespace {

// What the readings speak against by so much no complaint brings back.
constexpr double kPastHearing = 20;

}  // namespace

// Each reading beside what a sound harness would show. The ends of a sweep are readings of their own.
void Reasoning::compare_all() {
  for (std::size_t i = 0; i < all_.size(); ++i) {
    for (const Display& display : all_[i].before) {
      Observation earlier = all_[i];
      earlier.before.clear();
      earlier.ends.clear();
      put(earlier, display);
      acts_.push_back({i, true});
      acts_.back().comparison = compare_act(i, earlier);
      acts_.back().wrong = !acts_.back().comparison.agrees;
      acts_.back().seen = std::move(earlier);
    }
    acts_.push_back({i, false});
    answer_.readings.push_back(compare_act(i, all_[i]));
    acts_.back().comparison = answer_.readings.back();
    acts_.back().wrong = !answer_.readings.back().agrees;
    acts_.back().seen = all_[i];
  }
  follow_history();
}

void Reasoning::put(Observation& observation, const Display& display) const {
  observation.shows = display.shows;
  observation.value = display.value;
  observation.resolution = display.resolution;
  observation.text = display.text;
  if (display.range) observation.range = display.range;
}

Comparison Reasoning::compare_act(std::size_t i, const Observation& observation) {
  if (observation.capacitor) {
    Comparison comparison = compare(harness_, observation, options_);
    comparison.observation = i;
    return comparison;
  }
  Comparison comparison = compare_and_use(i, observation);
  if (observation.ends.size() == 2 && observation.swept) {
    Observation end = observation;
    end.action = Action::Read;
    end.ends.clear();
    for (const Display& display : observation.ends) {
      end.range = observation.range;
      put(end, display);
      comparison.ends.push_back(compare_and_use(i, end));
      comparison.agrees = comparison.agrees && comparison.ends.back().agrees;
      end.setting = other_end(end.setting, *observation.swept);
    }
  }
  return comparison;
}

// A number or a bound through a module of unknown inside has limits and no more: it is weighed by itself.
Comparison Reasoning::compare_and_use(std::size_t i, const Observation& observation) {
  const std::uint32_t probe = model_.probe(observation);
  const Circuit& circuit = model_.circuit(probe);
  Comparison comparison = compare_in(circuit, model_.expected(probe), harness_, observation, options_);
  comparison.observation = i;
  const bool number = is_value(observation) || is_bound(observation);
  Observation used = observation;
  used.range = !observation.range && observation.shows == Shows::Value
                   ? range_for(options_.meter, observation.value)
                   : comparison.range;
  if (number && !circuit.modules.empty() && !comparison.expected.known) {
    limited_.push_back({std::move(used), comparison, acts_.size() - 1, 0, {}});
  } else {
    usable_.push_back(std::move(used));
    used_.push_back(i);
    act_of_.push_back(acts_.size() - 1);
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

// How many repairs were of just what this fault has wrong. One at a joint of a lug is none of what lies inside the part.
std::ptrdiff_t Reasoning::repairs_of(const Fault& fault) const {
  const auto of_part = [&](PointId point) {
    return harness_[point].part && fault.element && harness_[point].part == harness_[*fault.element].part;
  };
  return std::count_if(
      options_.mended.begin(), options_.mended.end(), [&](const std::vector<PointId>& repair) {
        const auto named = [&](PointId point) {
          return std::find(repair.begin(), repair.end(), point) != repair.end();
        };
        const bool between = std::all_of(fault.points.begin(), fault.points.end(), [&](PointId point) {
          // A lug by itself is what is soldered to it.
          return named(point) || (repair.size() == 1 && harness_[point].on && named(*harness_[point].on));
        });
        return between && (fault.points.size() > 1 || std::all_of(repair.begin(), repair.end(), of_part));
      });
}

void Reasoning::weigh() {
  std::vector<double> weights;
  double all = 0;
  for (const Hypothesis& each : hypotheses_) {
    const double still = std::pow(kStillWrong, std::min(repairs_of(each.fault), kMostRepairs));
    weights.push_back(counts(each.fault) ? still * each.weight : 0);
    all += weights.back();
  }
  for (double weight : weights) share_.push_back(weight > 0 ? std::log(weight / all) : -HUGE_VAL);
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
  weigh_limited();
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

// What a module leaves between limits: anywhere there, evenly by decades.
void Reasoning::weigh_limited() {
  for (Limited& each : limited_) {
    Book::Place& place = book_().at(each.seen);
    const auto log_of = [&](const Found& found) {
      return log_within(harness_, options_.meter, each.seen, each.comparison, found);
    };
    each.sound = log_of(place.sound);
    sound_.log += each.sound;
    unlisted_ +=
        log_sum(std::log(0.7) + each.sound, std::log(0.3) + log_of_anything(options_.meter, each.seen));
    each.more.assign(hypotheses_.size(), 0);
    for (std::uint32_t h : place.moved) {
      std::vector<double> with;
      std::vector<double> without;
      for (std::size_t s = 0; s < hypotheses_[h].sizes.size(); ++s) {
        const double log = weights_[h].glances.empty() ? 0 : weights_[h].glances[s];
        without.push_back(log);
        with.push_back(log + log_of(book_().found(place, h, hypotheses_[h].sizes[s])));
      }
      each.more[h] = log_sum(with) - log_sum(without) - each.sound;
      weights_[h].touched = true;
    }
    for (std::size_t h = 0; h < hypotheses_.size(); ++h) weights_[h].log += each.sound + each.more[h];
  }
}

// Readings in farads stand by themselves: they add to what the others say.
void Reasoning::weigh_farads() {
  for (std::size_t i = 0; i < all_.size(); ++i) {
    if (!all_[i].capacitor || !weighed(i)) continue;
    const double sound = log_of_farads_if_sound(i);
    sound_.log += sound;
    unlisted_ += log_sum(std::log(0.7) + sound, std::log(0.3) + any_farads(all_[i]));
    for (std::size_t h = 0; h < hypotheses_.size(); ++h)
      weights_[h].log += sound + farads_for(hypotheses_[h].fault, i);
  }
}

// So does what was heard, in the sizes that the readings leave.
void Reasoning::weigh_heard() {
  if (heard_.empty()) return;
  ear_.attend(heard_);
  ear_logs_.resize(hypotheses_.size());
  double loudest = sound_.log;
  for (const Weight& weight : weights_) loudest = std::max(loudest, weight.log);
  for (const Heard& each : heard_) {
    sound_.log += Ear::log_of_sound(each);
    if (!each.aside) unlisted_ += Ear::log_of_anything();
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

// How much louder all that stands by itself speaks for two faults than for none: each as for the one that explains it.
double Reasoning::beside_more(std::size_t one, std::size_t other) const {
  double sum = 0;
  for (const Limited& each : limited_) sum += each.sound + std::max(each.more[one], each.more[other]);
  for (std::size_t i = 0; i < heard_.size(); ++i) sum += std::max(ear_logs_[one][i], ear_logs_[other][i]);
  return sum;
}

double Reasoning::log_of_farads_if_sound(std::size_t i) const {
  return log_of_farads(options_.meter, all_[i], answer_.readings[i], CapacitorIs::Sound);
}

// How much louder reading `i`, in farads, speaks for a fault than for a sound capacitor.
double Reasoning::farads_for(const Fault& fault, std::size_t i) const {
  if (fault.element != all_[i].capacitor) return 0;
  const auto is = fault.mode == Mode::Open    ? CapacitorIs::Open
                  : fault.mode == Mode::Short ? CapacitorIs::Shorted
                                              : CapacitorIs::AnotherValue;
  return log_of_farads(options_.meter, all_[i], answer_.readings[i], is) - log_of_farads_if_sound(i);
}

}  // namespace lugwise::diagnosis::inside
