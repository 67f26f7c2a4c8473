#include "diagnosis/inside/reasoning.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "diagnosis/inside/farads_comparison.h"
#include "diagnosis/inside/remedy.h"
#include "diagnosis/inside/slip.h"

namespace lugwise::diagnosis::inside {

namespace {

// Readings part two explanations when they speak for one forty times as loudly; below that they stand in one group.
// A complaint is often that loud exactly: the last bits of a sum don't decide.
const double kOtherGroup = std::log(40.0) - 1e-6;
// And rule one out when they speak a hundred times as loudly for another.
const double kCleared = std::log(100.0);

// A reading so many deviations from what the best explanation and the other readings allow is doubtful.
constexpr double kDoubtful = 5;

// Named at most; pairs are many where each of the two may be any of a dozen.
constexpr std::size_t kMostSingles = 60;
constexpr std::size_t kMostPairs = 600;

}  // namespace

void Reasoning::rank() {
  std::vector<double> logs{sound_.log + std::log(1 - kSomeFault - kTwoFaults - kUnlisted),
                           unlisted_ + std::log(kUnlisted)};
  for (const Answer& each : answers_) logs.push_back(each.posterior());
  const double all = log_sum(logs);
  answer_.sound = std::exp(logs[0] - all);
  answer_.unmodelled = std::exp(logs[1] - all);

  std::vector<std::size_t> order(answers_.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t x, std::size_t y) {
    return answers_[x].posterior() > answers_[y].posterior();
  });
  const double best_log = answers_.empty() ? 0 : answers_[order[0]].loudest;
  double best_single = sound_.log;
  std::vector<char> named(hypotheses_.size(), 0);
  std::size_t singles = 0;
  std::size_t pairs = 0;
  for (std::size_t a : order) {
    const Answer& each = answers_[a];
    const double probability = std::exp(each.posterior() - all);
    const bool favoured = probability > 3 * std::exp(each.log_prior);
    // A dirty contact of one of many sizes is rarer than an open, and the readings may not tell them apart.
    const bool with_best =
        (favoured || each.loudest > sound_.log + kOtherGroup) && each.loudest > best_log - kOtherGroup;
    if (!each.second) best_single = std::max(best_single, each.log);
    std::size_t& so_far = each.second ? pairs : singles;
    if (so_far >= (each.second ? kMostPairs : kMostSingles)) continue;
    if ((favoured && probability > 0.002) || with_best || probability > 0.05) {
      add_suspect(a, probability);
      ++so_far;
      named[each.first] = 1;
      if (each.second) named[*each.second] = 1;
    }
  }
  for (std::size_t h = 0; h < hypotheses_.size(); ++h) {
    if (named[h] || !counts(hypotheses_[h].fault)) continue;
    // That another fault explains the readings says nothing of wear: only a smooth sweep does.
    const double beside = is_worn_track(hypotheses_[h].fault) ? sound_.log : best_single;
    if (weights_[h].log < beside - kCleared) answer_.cleared.push_back(hypotheses_[h].fault);
  }
  group();
}

const Likelihood* Reasoning::likelihood_of(const Answer& answer) const {
  if (answer.second) return &answer.likelihood;
  return weights_[answer.first].full.empty() ? nullptr : &weights_[answer.first].full.front();
}

void Reasoning::add_suspect(std::size_t a, double probability) {
  const Answer& answer = answers_[a];
  Suspect suspect;
  suspect.fault = hypotheses_[answer.first].fault;
  suspect.probability = probability;
  if (answer.second) {
    suspect.also = hypotheses_[*answer.second].fault;
    suspect.size = answer.size;
    suspect.also_size = answer.second_size;
  } else if (suspect.fault.mode == Mode::Value && suspect.fault.site == Site::Capacitor) {
    suspect.size = capacitor_size(*suspect.fault.element);
  } else {
    suspect.size = size_of(hypotheses_[answer.first], weights_[answer.first]);
  }
  if (const Likelihood* likelihood = likelihood_of(answer)) {
    for (std::size_t i = 0; i < usable_.size(); ++i) {
      const double weight = likelihood->each[i] - sound_.each[i];
      // A sweep and its two ends stand next to each other.
      if (suspect.evidence.empty() || suspect.evidence.back().observation != used_[i])
        suspect.evidence.push_back({used_[i], 0});
      suspect.evidence.back().weight += weight;
    }
    std::erase_if(suspect.evidence, [](const Evidence& one) { return std::abs(one.weight) <= 0.5; });
  }
  for (const Limited& each : limited_) {
    double weight = each.more[answer.first];
    if (answer.second) weight = std::max(weight, each.more[*answer.second]);
    if (std::abs(weight) > 0.5) suspect.evidence.push_back({acts_[each.act].observation, weight});
  }
  for (std::size_t i = 0; i < all_.size(); ++i) {
    if (!all_[i].capacitor || !weighed(i)) continue;
    const double weight = farads_for(suspect.fault, i);
    if (std::abs(weight) > 0.5) suspect.evidence.push_back({i, weight});
  }
  std::stable_sort(
      suspect.evidence.begin(), suspect.evidence.end(),
      [](const Evidence& x, const Evidence& y) { return std::abs(x.weight) > std::abs(y.weight); });
  for (std::size_t i = 0; i < heard_.size(); ++i) {
    double log = ear_logs_[answer.first][i];
    if (answer.second) log = std::max(log, ear_logs_[*answer.second][i]);
    const double weight = log - Ear::log_of_sound(heard_[i]);
    if (std::abs(weight) > 0.5) suspect.heard.push_back({i, weight});
  }
  suspect.mend = remedy_in_short(harness_, suspect.fault);
  if (suspect.also) {
    const std::string other = remedy_in_short(harness_, *suspect.also);
    if (other != suspect.mend) suspect.also_mend = other;
  }
  answer_.suspects.push_back(std::move(suspect));
  of_suspect_.push_back(a);
}

// As its last reading has it, within the meter's accuracy.
std::optional<Size> Reasoning::capacitor_size(ElementId capacitor) const {
  for (std::size_t i = all_.size(); i-- > 0;) {
    if (all_[i].capacitor != capacitor || all_[i].shows != Shows::Value || !weighed(i)) continue;
    const CapacitanceReading& sound = *answer_.readings[i].capacitance;
    const double off = error_bound(options_.meter, sound.range, all_[i].value);
    return Size{std::max(0.0, all_[i].value - off) / sound.farads.nominal,
                all_[i].value / sound.farads.nominal, (all_[i].value + off) / sound.farads.nominal};
  }
  return std::nullopt;
}

// The likeliest that has no group yet begins one; all whose readings speak about as loudly join it.
void Reasoning::group() {
  int groups = 0;
  std::vector<Suspect>& suspects = answer_.suspects;
  for (std::size_t k = 0; k < suspects.size(); ++k) {
    if (suspects[k].group != 0) continue;
    suspects[k].group = ++groups;
    const double log = answers_[of_suspect_[k]].loudest;
    for (std::size_t m = k + 1; m < suspects.size(); ++m) {
      if (suspects[m].group == 0 && answers_[of_suspect_[m]].loudest > log - kOtherGroup)
        suspects[m].group = groups;
    }
  }
}

// Readings that the best explanation cannot have caused.
void Reasoning::doubt() {
  const Likelihood* best = &sound_;
  Numbered explanation{{}, 0};
  if (!of_suspect_.empty() && answer_.suspects.front().probability > answer_.sound) {
    const Answer& first = answers_[of_suspect_.front()];
    if (const Likelihood* of_first = likelihood_of(first)) {
      best = of_first;
      explanation = hypotheses_[first.first].in_size(likeliest_size(first.first));
    }
  }
  const bool of_two = best != &sound_ && answers_[of_suspect_.front()].second;
  for (std::size_t i = 0; i < usable_.size(); ++i) {
    Comparison& reading = answer_.readings[used_[i]];
    const bool another_matter = !reading.agrees && explanation.explanation.fault && !of_two &&
                                leaves_as_it_is(answers_[of_suspect_.front()].first, i);
    if (!best->slipped[i] && std::abs(best->pull[i]) <= kDoubtful && !another_matter) continue;
    if (reading.agrees && !of_two && judge_.fits_worn(explanation, i, kDoubtful)) continue;
    reading.doubtful = true;
  }
  for (const Limited& each : limited_) {
    double log = each.sound;
    if (best != &sound_) log += each.more[answers_[of_suspect_.front()].first];
    if (best != &sound_ && answers_[of_suspect_.front()].second)
      log = std::max(log, each.sound + each.more[*answers_[of_suspect_.front()].second]);
    const double slip = log_slip() + log_of_anything(options_.meter, each.seen);
    if (log < slip + std::log(2.0)) answer_.readings[acts_[each.act].observation].doubtful = true;
  }
}

}  // namespace lugwise::diagnosis::inside
