#include "diagnosis/diagnosis.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "diagnosis/inside/comparison.h"
#include "diagnosis/inside/ear.h"
#include "diagnosis/inside/farads.h"
#include "diagnosis/inside/hypothesis.h"
#include "diagnosis/inside/likelihood.h"
#include "diagnosis/inside/model.h"
#include "diagnosis/inside/next_probe.h"
#include "diagnosis/inside/remedy.h"

namespace lugwise {
namespace {

// Before any reading: how likely some listed fault is on an instrument that somebody bothers to measure, how likely two
// at once, and how likely something we don't list. Judgements: docs/diagnosis.md.
constexpr double kSomeFault = 0.40;
constexpr double kTwoFaults = 0.03;
constexpr double kUnlisted = 0.002;

// Readings part two explanations when they speak for one forty times as loudly; below that they stand in one group.
const double kToldApart = std::log(40.0);
// And rule one out when they speak a hundred times as loudly for another.
const double kCleared = std::log(100.0);

// The listed faults together are condemned from here on; with no reading left that contradicts the first, from the
// second. Never where every reading lies in its sound window.
constexpr double kSure = 0.9;
constexpr double kSureUncontradicted = 0.6;
// And a harness whose every reading lies in its sound window is sound from here on: what coincidences hint at is no fault
// that anything shows.
constexpr double kSoundInside = 0.15;

// How common a capacitor of another value is beside the other faults, where one is measured: who lifts its lead has reasons.
constexpr double kWrongCapacitor = 2.0;

// A reading so many deviations from what the best explanation and the other readings allow is doubtful.
constexpr double kDoubtful = 5;

// Where an OL says next to nothing, the rest must leave so little doubt for the harness to be sound.
constexpr double kSoundAnyway = 0.95;

// What the readings speak against by so much no complaint brings back.
constexpr double kPastHearing = 20;

// Two faults: how many kinds of first ones are tried, and how far the search for the second goes.
constexpr std::size_t kMostFirsts = 8;
constexpr double kFirstSlack = 40;
constexpr Effort kForSecond{12, 4, 15, 6};
// Two must explain the readings so much better than either alone.
constexpr double kWorthTwo = 3;

// Named at most; pairs are many where each of the two may be any of a dozen.
constexpr std::size_t kMostSingles = 60;
constexpr std::size_t kMostPairs = 600;

// Something unlisted this likely: what would have to differ is looked for, among so many points; it must explain the
// readings so much better than the best that is listed.
constexpr double kUnexplained = 0.2;
constexpr std::size_t kMostJoined = 60;
constexpr std::size_t kMostDiffers = 3;
constexpr double kDiffersEnough = 5;

// Two sketches this near are the same reading.
constexpr double kSame = 1e-3;

bool of_pot(const Fault& fault) { return fault.site == Site::Track || fault.site == Site::Wiper; }

// One fault, or two.
struct Answer {
  std::size_t first = 0;
  std::optional<std::size_t> second;
  double log = 0;
  double log_prior = 0;
  double loudest = 0;  // the same in its likeliest size alone: what its group goes by
  std::optional<Size> size, second_size;
  Likelihood likelihood;
  double posterior() const { return log + log_prior; }
};

class Reasoning {
 public:
  Reasoning(const Harness& harness, const DiagnosisOptions& options, Model& model, Judge& judge, Ear& ear,
            ProbeFinder& finder, const std::vector<Hypothesis>& hypotheses,
            const std::vector<Observation>& all, const std::vector<Heard>& heard)
      : harness_(harness),
        options_(options),
        model_(model),
        judge_(judge),
        ear_(ear),
        finder_(finder),
        hypotheses_(hypotheses),
        all_(all),
        heard_(heard) {}

  Diagnosis conclude() {
    compare_all();
    judge_.take(usable_);
    weigh();
    look_for_two();
    rank();
    doubt();
    decide();
    differ();
    suggest();
    return std::move(answer_);
  }

 private:
  // Each reading beside what a sound harness would show; those through a module say nothing more. The ends of a sweep
  // are readings of their own.
  void compare_all() {
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

  Comparison compare_and_use(std::size_t i, const Observation& observation) {
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

  bool measured_in_farads(const Fault& fault) const {
    return std::any_of(all_.begin(), all_.end(), [&](const Observation& observation) {
      return observation.capacitor && observation.capacitor == fault.element;
    });
  }

  bool counts(const Fault& fault) const {
    return !(fault.mode == Mode::Value && fault.site == Site::Capacitor) || measured_in_farads(fault);
  }

  void weigh() {
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
  void weigh_farads() {
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
  void weigh_heard() {
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
  double heard_more(std::size_t one, std::size_t other) const {
    double sum = 0;
    for (std::size_t i = 0; i < heard_.size(); ++i) sum += std::max(ear_logs_[one][i], ear_logs_[other][i]);
    return sum;
  }

  // How much louder reading `i`, in farads, speaks for a fault than for a sound capacitor.
  double farads_for(const Fault& fault, std::size_t i) const {
    if (fault.element != all_[i].capacitor) return 0;
    const auto is = fault.mode == Mode::Open    ? CapacitorIs::Open
                    : fault.mode == Mode::Short ? CapacitorIs::Shorted
                                                : CapacitorIs::AnotherValue;
    return log_of_farads(options_.meter, all_[i], answer_.readings[i], is) -
           log_of_farads(options_.meter, all_[i], answer_.readings[i], CapacitorIs::Sound);
  }

  std::size_t likeliest() const {
    return static_cast<std::size_t>(
        std::max_element(answers_.begin(), answers_.end(),
                         [](const Answer& x, const Answer& y) { return x.posterior() < y.posterior(); }) -
        answers_.begin());
  }

  static std::size_t slips(const Likelihood& likelihood) {
    return static_cast<std::size_t>(std::count(likelihood.slipped.begin(), likelihood.slipped.end(), 1));
  }

  // The size a hypothesis is likeliest in: what its sketch looks like, and what a second fault comes on top of.
  std::size_t likeliest_size(std::size_t h) const {
    const Weight& weight = weights_[h];
    if (!weight.best.empty()) return weight.best.front();
    if (weight.glances.empty()) return 0;
    return static_cast<std::size_t>(std::max_element(weight.glances.begin(), weight.glances.end()) -
                                    weight.glances.begin());
  }

  // Whether two single faults would make every reading the same, so that with a second fault they would too.
  bool alike(std::size_t x, std::size_t y) {
    const std::vector<double> one = judge_.sketch(hypotheses_[x].in_size(likeliest_size(x)));
    const std::vector<double>& other = judge_.sketch(hypotheses_[y].in_size(likeliest_size(y)));
    for (std::size_t i = 0; i < one.size(); ++i) {
      const bool open = std::isinf(one[i]) || std::isinf(other[i]);
      if (open ? one[i] != other[i] : std::abs(one[i] - other[i]) > kSame * (1 + std::abs(one[i])))
        return false;
    }
    return true;
  }

  // Where no single fault leaves all readings but slips of the hand: the likeliest first ones, each with what would
  // explain the rest on top of it.
  void look_for_two() {
    const auto wrong = std::count_if(answer_.readings.begin(), answer_.readings.end(),
                                     [](const Comparison& each) { return !each.agrees; });
    if (hypotheses_.empty() || wrong < 2) return;
    const Answer& best = answers_[likeliest()];
    const Weight& of_best = weights_[best.first];
    if (!of_best.full.empty() && slips(of_best.full.front()) == 0) return;

    std::vector<std::size_t> order;
    for (std::size_t h = 0; h < hypotheses_.size(); ++h) {
      if (weights_[h].touched && answers_[h].posterior() > best.posterior() - kFirstSlack) order.push_back(h);
    }
    std::stable_sort(order.begin(), order.end(), [&](std::size_t x, std::size_t y) {
      return answers_[x].posterior() > answers_[y].posterior();
    });
    std::vector<std::vector<std::size_t>> kinds;
    for (std::size_t h : order) {
      const auto kind = std::find_if(kinds.begin(), kinds.end(),
                                     [&](const auto& known) { return alike(known.front(), h); });
      if (kind != kinds.end()) {
        kind->push_back(h);
      } else if (kinds.size() < kMostFirsts) {
        kinds.push_back({h});
      }
    }
    std::map<std::pair<std::size_t, std::size_t>, Answer> pairs;
    for (const std::vector<std::size_t>& kind : kinds) add_seconds(kind, pairs);
    for (auto& [key, pair] : pairs) answers_.push_back(std::move(pair));
  }

  void add_seconds(const std::vector<std::size_t>& firsts,
                   std::map<std::pair<std::size_t, std::size_t>, Answer>& pairs) {
    const std::size_t first = firsts.front();
    const std::size_t s = likeliest_size(first);
    double size = hypotheses_[first].sizes[s];
    if (const auto known = size_of(hypotheses_[first], weights_[first])) size = known->nominal;
    Model model(harness_, options_, {&hypotheses_[first].fault, size});
    Judge judge(harness_, model, options_);
    judge.take(usable_);
    std::vector<double> log_prior;
    for (std::size_t h = 0; h < hypotheses_.size(); ++h) {
      const bool same =
          hypotheses_[h].fault.element && hypotheses_[h].fault.element == hypotheses_[first].fault.element;
      // What a misplaced lead makes must be solved anew each time: beside another it is tried, and as the first of two.
      const bool costly =
          hypotheses_[h].fault.mode == Mode::Misplaced && hypotheses_[first].fault.mode != Mode::Misplaced;
      log_prior.push_back(h == first || same || costly ? -HUGE_VAL : share_[h]);
    }
    Weighing seconds = weigh_all(judge, hypotheses_, log_prior, 0, kForSecond);
    const double share = std::log(static_cast<double>(hypotheses_[first].sizes.size()));
    for (std::size_t second = 0; second < hypotheses_.size(); ++second) {
      Weight& weight = seconds.weights[second];
      if (weight.full.empty() || std::isinf(log_prior[second])) continue;
      // The first's size is one of its cells; a second is worth naming only where either alone explains much less.
      const double log = weight.log - (has_size(hypotheses_[first].fault) ? share - std::log(2.0) : 0);
      if (log + heard_more(first, second) < std::max(weights_[first].log, weights_[second].log) + kWorthTwo)
        continue;
      for (std::size_t one : firsts) {
        if (one == second) continue;
        Answer pair;
        pair.first = one;
        pair.second = second;
        pair.log = log + heard_more(one, second);
        pair.loudest =
            pair.log + weight.loudest + (has_size(hypotheses_[first].fault) ? share - std::log(2.0) : 0);
        pair.log_prior = std::log(kTwoFaults) + share_[one] + share_[second];
        const std::size_t sized = weights_[one].full.empty() ? first : one;  // alike, and of the same size
        if (has_size(hypotheses_[one].fault)) pair.size = size_of(hypotheses_[sized], weights_[sized]);
        pair.second_size = size_of(hypotheses_[second], weight);
        pair.likelihood = weight.full.front();
        const auto key = std::minmax(one, second);
        const auto [at, fresh] = pairs.try_emplace({key.first, key.second}, pair);
        if (!fresh && at->second.log < pair.log) at->second = std::move(pair);
      }
    }
  }

  void rank() {
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
          (favoured || each.loudest > sound_.log + kToldApart) && each.loudest > best_log - kToldApart;
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

  const Likelihood* likelihood_of(const Answer& answer) const {
    if (answer.second) return &answer.likelihood;
    return weights_[answer.first].full.empty() ? nullptr : &weights_[answer.first].full.front();
  }

  void add_suspect(std::size_t a, double probability) {
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
    for (std::size_t i = 0; i < all_.size(); ++i) {
      if (!all_[i].capacitor) continue;
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
      if (other != suspect.mend) suspect.mend += "; " + other;
    }
    answer_.suspects.push_back(std::move(suspect));
    of_suspect_.push_back(a);
  }

  // As its last reading has it, within the meter's accuracy.
  std::optional<Size> capacitor_size(ElementId capacitor) const {
    for (std::size_t i = all_.size(); i-- > 0;) {
      if (all_[i].capacitor != capacitor || all_[i].shows != Shows::Value) continue;
      const CapacitanceReading& sound = *answer_.readings[i].capacitance;
      const double off = error_bound(options_.meter, sound.range, all_[i].value);
      return Size{std::max(0.0, all_[i].value - off) / sound.farads.nominal,
                  all_[i].value / sound.farads.nominal, (all_[i].value + off) / sound.farads.nominal};
    }
    return std::nullopt;
  }

  // The likeliest that has no group yet begins one; all whose readings speak about as loudly join it.
  void group() {
    int groups = 0;
    std::vector<Suspect>& suspects = answer_.suspects;
    for (std::size_t k = 0; k < suspects.size(); ++k) {
      if (suspects[k].group != 0) continue;
      suspects[k].group = ++groups;
      const double log = answers_[of_suspect_[k]].loudest;
      for (std::size_t m = k + 1; m < suspects.size(); ++m) {
        if (suspects[m].group == 0 && answers_[of_suspect_[m]].loudest > log - kToldApart)
          suspects[m].group = groups;
      }
    }
  }

  // Readings that the best explanation cannot have caused.
  void doubt() {
    const Likelihood* best = &sound_;
    if (!of_suspect_.empty() && answer_.suspects.front().probability > answer_.sound) {
      if (const Likelihood* of_first = likelihood_of(answers_[of_suspect_.front()])) best = of_first;
    }
    for (std::size_t i = 0; i < usable_.size(); ++i) {
      if (best->slipped[i] || std::abs(best->pull[i]) > kDoubtful) answer_.readings[used_[i]].doubtful = true;
    }
  }

  void decide() {
    bool all_agree = true;
    bool doubtful = false;
    bool too_low = false;
    for (const Comparison& each : answer_.readings) {
      all_agree = all_agree && each.agrees;
      doubtful = doubtful || each.doubtful;
      too_low = too_low || says_too_little(all_[each.observation], each);
    }
    const double faulty = 1 - answer_.sound - answer_.unmodelled;
    const double sure = doubtful ? kSure : kSureUncontradicted;
    if (all_.empty()) {
      answer_.verdict = Verdict::Unsure;
    } else if (all_agree && answer_.sound >= (too_low ? kSoundAnyway : kSoundInside)) {
      answer_.verdict = Verdict::Sound;
    } else if (!all_agree && faulty >= sure) {
      answer_.verdict = Verdict::Fault;
    } else {
      answer_.verdict = Verdict::Unsure;
    }
  }

  // Readings that nothing listed explains: what would have to be joined, though the netlist does not say so, and the
  // listed one that leaves least.
  void differ() {
    std::size_t left = 0;
    for (const Comparison& each : answer_.readings) left += each.doubtful ? 1 : 0;
    if (answer_.verdict != Verdict::Unsure || usable_.empty()) return;
    if (answer_.unmodelled < kUnexplained && left < 2) return;
    std::vector<PointId> points;
    for (std::uint32_t i = 0; i < harness_.points().size(); ++i) {
      const PointRole role = harness_.points()[i].role;
      const bool lug = role == PointRole::Lug || role == PointRole::Lead || role == PointRole::Surface;
      if (lug && model_.circuit(model_.probe(usable_.front())).has(PointId{i})) points.push_back(PointId{i});
    }
    if (points.size() > kMostJoined) points.resize(kMostJoined);
    struct Joined {
      double log;
      PointId a, b;
    };
    std::vector<Joined> found;
    for (std::size_t i = 0; i < points.size(); ++i) {
      for (std::size_t j = i + 1; j < points.size(); ++j) {
        Fault joined;
        joined.mode = Mode::Short;
        joined.site = Site::Lugs;
        joined.a = points[i];
        joined.b = points[j];
        joined.points = {joined.a, joined.b};
        found.push_back({judge_.consider(joined), joined.a, joined.b});
      }
    }
    std::stable_sort(found.begin(), found.end(),
                     [](const Joined& x, const Joined& y) { return x.log > y.log; });
    const double best = of_suspect_.empty() ? sound_.log : std::max(sound_.log, answers_[of_suspect_[0]].log);
    for (const Joined& each : found) {
      if (answer_.differs.size() >= kMostDiffers || each.log < best + kDiffersEnough) break;
      answer_.differs.push_back(
          fmt::format("{} and {} would have to be joined", harness_[each.a].name, harness_[each.b].name));
    }
    if (!answer_.differs.empty() || of_suspect_.empty()) return;
    std::vector<std::string> unexplained;
    for (const Comparison& each : answer_.readings) {
      if (each.doubtful) unexplained.push_back(std::to_string(each.observation + 1));
    }
    answer_.differs.push_back(fmt::format(
        "of all that is listed this leaves least: {}{}", in_words(harness_, answer_.suspects[0].fault),
        unexplained.empty()
            ? std::string()
            : fmt::format("; it does not explain {} {}", unexplained.size() == 1 ? "reading" : "readings",
                          fmt::join(unexplained, ", "))));
  }

  void suggest() {
    if (answer_.verdict != Verdict::Sound && options_.suggest) finder_.suggest(all_, answer_);
    advise();
  }

  // The probability that the fault lies where the first suspect is, open or high; a track and its wiper are one pot.
  double at_first_place() const {
    double sum = 0;
    const Suspect& best = answer_.suspects.front();
    const Fault& first = best.fault;
    for (const Suspect& suspect : answer_.suspects) {
      const Fault& fault = suspect.fault;
      const bool same_pot =
          of_pot(fault) && of_pot(first) && harness_[*fault.element].part == harness_[*first.element].part;
      if (suspect.also.has_value() != best.also.has_value() || (best.also && !(*suspect.also == *best.also)))
        continue;
      if (same_pot || same_place(fault, first)) sum += suspect.probability;
    }
    return sum;
  }

  std::ptrdiff_t doubtful_readings() const {
    return std::count_if(answer_.readings.begin(), answer_.readings.end(),
                         [](const Comparison& each) { return each.doubtful; });
  }

  void advise() {
    const auto doubtful = std::find_if(answer_.readings.begin(), answer_.readings.end(),
                                       [](const Comparison& each) { return each.doubtful; });
    const auto too_low =
        std::find_if(answer_.readings.begin(), answer_.readings.end(),
                     [&](const Comparison& each) { return says_too_little(all_[each.observation], each); });
    const bool all_agree = std::all_of(answer_.readings.begin(), answer_.readings.end(),
                                       [](const Comparison& each) { return each.agrees; });
    if (all_.empty() && heard_.empty()) {
      answer_.advice = "No readings were entered.";
    } else if (answer_.verdict == Verdict::Sound) {
      answer_.advice = fmt::format("Every reading is as a sound {} would show it.",
                                   harness_.by_itself() ? "part" : "harness");
    } else if (answer_.verdict == Verdict::Unsure && all_agree && too_low != answer_.readings.end()) {
      const int plugs = (harness_[all_[too_low->observation].a].role == PointRole::Plug) +
                        (harness_[all_[too_low->observation].b].role == PointRole::Plug);
      const Range& enough = range_for(options_.meter, too_low->expected.ohms.high, plugs);
      answer_.advice =
          fmt::format("Reading {} says only that it is above {}, as it should be: ", too_low->observation + 1,
                      range_name(too_low->range.top));
      answer_.advice += enough.top > too_low->range.top
                            ? fmt::format("take it again on the {} range.", range_name(enough.top))
                            : fmt::format("it takes a meter with a range above {} to tell.",
                                          in_words(too_low->expected.ohms.high));
    } else if (answer_.verdict == Verdict::Unsure && doubtful_readings() == 1) {
      answer_.advice = fmt::format(
          "Reading {} fits nothing that the others allow: take it again before anything is condemned.",
          doubtful->observation + 1);
    } else if (answer_.verdict == Verdict::Unsure && (answer_.unmodelled > 0.3 || doubtful_readings() > 1)) {
      answer_.advice =
          "Neither one fault nor two explain these readings: check that the netlist describes this harness.";
    } else if (answer_.verdict == Verdict::Fault &&
               at_first_place() > kSure * (1 - answer_.sound - answer_.unmodelled)) {
      answer_.advice = remedy(harness_, answer_.suspects.front().fault);
    } else if (answer_.next) {
      answer_.advice = fmt::format("Take the next probe before anything is {}.",
                                   harness_.by_itself() ? "thrown out" : "unsoldered");
    } else if (answer_.verdict == Verdict::Fault) {
      answer_.advice =
          answer_.lift
              ? "No further probe within reach tells the first suspects apart; one does with a lead off."
              : "No further probe within reach tells the first suspects apart: press and wiggle them "
                "while watching, or lift a lead.";
    } else {
      answer_.advice = "The readings leave it open; take those that the plan still has.";
    }
  }

  const Harness& harness_;
  const DiagnosisOptions& options_;
  Model& model_;
  Judge& judge_;
  Ear& ear_;
  ProbeFinder& finder_;
  const std::vector<Hypothesis>& hypotheses_;
  const std::vector<Observation>& all_;
  const std::vector<Heard>& heard_;
  std::vector<std::vector<double>> ear_logs_;  // of each hypothesis, of each thing heard
  std::vector<Observation> usable_;
  std::vector<std::size_t> used_;  // their numbers among all
  std::vector<double> share_;      // of each hypothesis: the log of its share of all that is listed
  std::vector<Weight> weights_;
  Likelihood sound_;
  double unlisted_ = 0;
  std::vector<Answer> answers_;          // the single ones in the order of the hypotheses, then pairs
  std::vector<std::size_t> of_suspect_;  // answer of each suspect
  Diagnosis answer_;
};

}  // namespace

Comparison compare(const Harness& harness, const Observation& observation, const DiagnosisOptions& options) {
  const Circuit circuit = circuit_of(harness, state_of(observation, options));
  return compare_in(circuit, expect(circuit, observation.a, observation.b), harness, observation, options);
}

// What is kept from one set of readings to the next.
struct Diagnoser::Memory {
  Memory(const Harness& of, const DiagnosisOptions& with)
      : harness(of),
        options(with),
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
  Model model;
  Judge judge;
  Ear ear;
  ProbeFinder finder;
  std::vector<Hypothesis> hypotheses;
};

Diagnoser::Diagnoser(const Harness& harness, const DiagnosisOptions& options)
    : memory_(std::make_unique<Memory>(harness, options)) {}

Diagnoser::~Diagnoser() = default;

Diagnosis Diagnoser::diagnose(const std::vector<Observation>& observations, const std::vector<Heard>& heard) {
  return Reasoning(memory_->harness, memory_->options, memory_->model, memory_->judge, memory_->ear,
                   memory_->finder, memory_->hypotheses, observations, heard)
      .conclude();
}

Diagnosis diagnose(const Harness& harness, const std::vector<Observation>& observations,
                   const DiagnosisOptions& options, const std::vector<Heard>& heard) {
  return Diagnoser(harness, options).diagnose(observations, heard);
}

}  // namespace lugwise
