#include "diagnosis/diagnosis.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "diagnosis/inside/farads.h"
#include "diagnosis/inside/likelihood.h"
#include "diagnosis/inside/model.h"
#include "diagnosis/inside/next_probe.h"

namespace lugwise {
namespace {

// Before any reading: how likely some listed fault is on an instrument that somebody bothers to measure, and how
// likely something we don't list. Judgements: docs/diagnosis.md.
constexpr double kSomeFault = 0.40;
constexpr double kUnlisted = 0.002;

// Readings part two explanations when they speak for one twenty times as loudly; below that they stand in one group.
const double kToldApart = std::log(20.0);
// And rule one out when they speak a hundred times as loudly for another.
const double kCleared = std::log(100.0);

constexpr double kSure = 0.9;

// How common a capacitor of another value is beside the other faults, where one is measured: who lifts its lead has reasons.
constexpr double kWrongCapacitor = 2.0;

// Explanations judged in full, and those of them whose unknowns are followed to their likeliest values.
constexpr std::size_t kMostWeighed = 60;
constexpr std::size_t kMostFollowed = 16;
constexpr double kGlanceSlack = 25;
constexpr double kFollowSlack = 12;
constexpr int kRounds = 2;

double log_sum(const std::vector<double>& logs) {
  const double most = *std::max_element(logs.begin(), logs.end());
  double sum = 0;
  for (double each : logs) sum += std::exp(each - most);
  return most + std::log(sum);
}

// The sizes a fault may have: a High from an ohm to a megohm, four a decade; a Value from a thirtieth to thirty times,
// eight a decade. A worn track has none.
std::vector<double> sizes_of(const Harness& harness, const Fault& fault) {
  std::vector<double> sizes;
  if (is_worn_track(fault)) {
    sizes.push_back(0);
  } else if (fault.mode == Mode::High) {
    for (int quarter = 0; quarter <= 24; ++quarter) sizes.push_back(std::pow(10.0, quarter / 4.0));
  } else if (fault.mode == Mode::Value && fault.site != Site::Capacitor) {
    const Band& ohms = harness[*fault.element].ohms;
    const double tolerance = ohms.nominal > 0 ? ohms.high / ohms.nominal - 1 : 0;
    for (int eighth = -12; eighth <= 12; ++eighth) {
      const double factor = std::pow(10.0, eighth / 8.0);
      if (std::abs(std::log(factor)) > std::max(tolerance, 0.1)) sizes.push_back(factor);
    }
  } else {
    sizes.push_back(0);
  }
  return sizes;
}

struct Hypothesis {
  Fault fault;
  double log_prior = 0;
  bool touched = false;  // some reading depends on it
  std::vector<double> sizes;
  std::vector<double> glances;    // by size, with the size's share of the prior
  std::vector<Likelihood> full;   // of the best sizes
  std::vector<std::size_t> best;  // which those are
  double log = 0;                 // likelihood, all sizes together
};

State state_of(const Observation& observation, const DiagnosisOptions& options) {
  return {observation.setting, options.stage, observation.access.depth > 0, observation.lifted,
          options.temperature};
}

void judge_agreement(const Meter& meter, const Observation& observation, Comparison& comparison) {
  const Expected& expected = comparison.expected;
  const bool surely_open = expected.open;
  const bool maybe_open = expected.open || expected.unlimited;
  const double round = std::max(meter.step(comparison.range), observation.resolution) * 0.500001;
  switch (observation.shows) {
    case Shows::Value: {
      if (surely_open) {
        comparison.agrees = false;
        break;
      }
      if (observation.value < comparison.shows.low - round) {
        comparison.agrees = false;
        comparison.off = observation.value / std::max(comparison.shows.low, 1e-9) - 1;
      } else if (!expected.unlimited && observation.value > comparison.shows.high + round) {
        comparison.agrees = false;
        comparison.off = observation.value / std::max(comparison.shows.high, 1e-9) - 1;
      }
      break;
    }
    case Shows::OverRange:
      comparison.agrees = maybe_open || comparison.shows.high > comparison.range.top - round;
      break;
    case Shows::Beep:
      comparison.agrees = !surely_open && expected.ohms.low < 1.5 * meter.beeps_below;
      break;
    case Shows::NoBeep:
      comparison.agrees = maybe_open || expected.ohms.high > meter.beeps_below / 1.5;
      break;
    case Shows::Unstable:
    case Shows::Jumps:
      comparison.agrees = false;
      break;
    case Shows::Steady:
    case Shows::Smooth:
      break;
  }
}

Comparison compare_in(const Circuit& circuit, const Harness& harness, const Observation& observation,
                      const DiagnosisOptions& options) {
  Comparison comparison;
  comparison.expected = expect(circuit, observation.a, observation.b);
  const Expected& expected = comparison.expected;
  if (observation.capacitor) {
    comparison.range = options.meter.ranges.back();
    comparison.shows = window(options.meter, comparison.range, expected.ohms);
    compare_farads(harness, options.meter, observation, comparison);
    return comparison;
  }
  const int plugs =
      (harness[observation.a].role == PointRole::Plug) + (harness[observation.b].role == PointRole::Plug);
  const Meter& meter = options.meter;
  // Compared on its own range; where that isn't known, or the meter picks it, on the one a sound reading would have.
  if (observation.range) {
    comparison.range = *observation.range;
  } else {
    const bool over = meter.automatic && observation.shows == Shows::OverRange;
    comparison.range = expected.open || expected.unlimited || over
                           ? meter.ranges.back()
                           : range_for(meter, expected.ohms.high, plugs);
  }
  comparison.shows = window(meter, comparison.range, expected.ohms, plugs);
  judge_agreement(meter, observation, comparison);
  if (observation.shows == Shows::Value && options.temperature.known && expected.known &&
      through_coils(expected)) {
    const Ohms cool = *nominal_at_20(circuit, observation.a, observation.b);
    const Ohms shown = window(meter, comparison.range, {cool, cool, cool}, plugs).nominal;
    comparison.at_20 = observation.value * shown / comparison.shows.nominal;
  }
  return comparison;
}

class Reasoning {
 public:
  Reasoning(const Harness& harness, const std::vector<Observation>& all, const DiagnosisOptions& options)
      : harness_(harness), all_(all), options_(options) {
    compare_all();
    model_.emplace(harness_, usable_, options_);
    judge_.emplace(harness_, *model_, usable_, options_);
  }

  Diagnosis conclude() {
    list();
    weigh();
    rank();
    doubt();
    decide();
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
          comparison.ends.push_back(compare_and_use(i, end));
          comparison.agrees = comparison.agrees && comparison.ends.back().agrees;
          end.setting = other_end(end.setting, *observation.swept);
        }
      }
      answer_.readings.push_back(std::move(comparison));
    }
  }

  Comparison compare_and_use(std::size_t i, const Observation& observation) {
    const Circuit circuit = circuit_of(harness_, state_of(observation, options_));
    Comparison comparison = compare_in(circuit, harness_, observation, options_);
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

  void list() {
    double weights = 0;
    std::vector<Fault> faults = faults_at(harness_, options_.stage);
    lugwise::weigh(faults, options_.common);
    for (Fault& fault : faults) {
      if (fault.mode == Mode::Misplaced) continue;  // not weighed yet
      Hypothesis hypothesis;
      weights += fault.weight;
      hypothesis.fault = std::move(fault);
      hypotheses_.push_back(std::move(hypothesis));
    }
    // Of a value only readings in farads speak, so it counts where there are some.
    for (std::size_t i = 0; i < all_.size(); ++i) {
      const auto id = all_[i].capacitor;
      if (!id || std::any_of(all_.begin(), all_.begin() + static_cast<std::ptrdiff_t>(i),
                             [&](const Observation& other) { return other.capacitor == id; }))
        continue;
      const Element& element = harness_[*id];
      Hypothesis hypothesis;
      hypothesis.fault = {Mode::Value, Site::Capacitor, id,        element.points, element.a,
                          element.b,   kWrongCapacitor, element.at};
      weights += kWrongCapacitor;
      hypotheses_.push_back(std::move(hypothesis));
    }
    for (Hypothesis& each : hypotheses_) {
      each.log_prior = std::log(kSomeFault * each.fault.weight / weights);
      for (std::size_t i = 0; i < usable_.size() && !each.touched; ++i) {
        each.touched = model_->touches(i, each.fault) || !is_value(usable_[i]);
      }
      each.sizes = sizes_of(harness_, each.fault);
    }
  }

  void weigh() {
    const Likelihood followed = judge_->weigh({}, kRounds);
    const double sound_glance = judge_->glance({});

    std::vector<std::size_t> order;
    for (std::size_t h = 0; h < hypotheses_.size(); ++h) {
      Hypothesis& each = hypotheses_[h];
      each.log = followed.log;
      if (!each.touched) continue;
      const double share = std::log(static_cast<double>(each.sizes.size()));
      for (double size : each.sizes) each.glances.push_back(judge_->glance({&each.fault, size}) - share);
      each.log = log_sum(each.glances) - sound_glance + followed.log;
      order.push_back(h);
    }
    const auto posterior = [&](std::size_t h) { return hypotheses_[h].log + hypotheses_[h].log_prior; };
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t x, std::size_t y) { return posterior(x) > posterior(y); });
    const double best_glance = order.empty() ? 0 : std::max(posterior(order.front()), followed.log);
    if (order.size() > kMostWeighed) order.resize(kMostWeighed);
    while (!order.empty() && posterior(order.back()) < best_glance - kGlanceSlack) order.pop_back();

    for (std::size_t h : order) weigh_sizes(hypotheses_[h], 0);
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t x, std::size_t y) { return posterior(x) > posterior(y); });
    const double best = order.empty()
                            ? followed.log
                            : std::max(posterior(order.front()), followed.log + std::log(1 - kSomeFault));
    for (std::size_t k = 0; k < order.size() && k < kMostFollowed; ++k) {
      if (posterior(order[k]) < best - kFollowSlack) break;
      weigh_sizes(hypotheses_[order[k]], kRounds);
    }
    sound_ = followed;

    // Something unlisted: each reading is as a sound harness's, or anything.
    unlisted_ = 0;
    for (std::size_t i = 0; i < usable_.size(); ++i) {
      unlisted_ += log_sum({std::log(0.7) + sound_.each[i], std::log(0.3) + judge_->anything(i)});
    }
    weigh_farads();
  }

  // Readings in farads stand by themselves: they add to what the others say.
  void weigh_farads() {
    for (std::size_t i = 0; i < all_.size(); ++i) {
      if (!all_[i].capacitor) continue;
      const double sound = log_of_farads(options_.meter, all_[i], answer_.readings[i], CapacitorIs::Sound);
      sound_.log += sound;
      unlisted_ += log_sum({std::log(0.7) + sound, std::log(0.3) + any_farads(all_[i])});
      for (Hypothesis& each : hypotheses_) each.log += sound + farads_for(each.fault, i);
    }
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

  // The two best sizes in full; the others keep their distance from the best at a glance.
  void weigh_sizes(Hypothesis& each, int rounds) const {
    std::vector<std::size_t> by_glance(each.sizes.size());
    std::iota(by_glance.begin(), by_glance.end(), std::size_t{0});
    std::stable_sort(by_glance.begin(), by_glance.end(),
                     [&](std::size_t x, std::size_t y) { return each.glances[x] > each.glances[y]; });
    const double share = std::log(static_cast<double>(each.sizes.size()));
    each.full.clear();
    each.best.clear();
    std::vector<double> logs;
    double gained = 0;
    for (std::size_t k = 0; k < by_glance.size(); ++k) {
      const std::size_t s = by_glance[k];
      if (k < 2) {
        each.full.push_back(judge_->weigh({&each.fault, each.sizes[s]}, rounds));
        each.best.push_back(s);
        const double log = each.full.back().log - share;
        if (k == 0) gained = log - each.glances[s];
        logs.push_back(log);
      } else if (each.glances[s] > each.glances[by_glance[0]] - 12) {
        logs.push_back(each.glances[s] + gained);
      }
    }
    each.log = log_sum(logs);
  }

  void rank() {
    std::vector<double> logs{sound_.log + std::log(1 - kSomeFault - kUnlisted),
                             unlisted_ + std::log(kUnlisted)};
    for (const Hypothesis& each : hypotheses_) logs.push_back(each.log + each.log_prior);
    const double all = log_sum(logs);
    answer_.sound = std::exp(logs[0] - all);
    answer_.unmodelled = std::exp(logs[1] - all);

    std::vector<std::size_t> order(hypotheses_.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t x, std::size_t y) {
      return hypotheses_[x].log + hypotheses_[x].log_prior > hypotheses_[y].log + hypotheses_[y].log_prior;
    });
    const double best_log = hypotheses_.empty() ? 0 : hypotheses_[order[0]].log;
    for (std::size_t h : order) {
      const Hypothesis& each = hypotheses_[h];
      const double probability = std::exp(each.log + each.log_prior - all);
      const bool favoured = probability > 3 * std::exp(each.log_prior);
      const bool with_best = favoured && each.log > best_log - kToldApart;
      if ((favoured && probability > 0.002) || with_best || probability > 0.05) add_suspect(h, probability);
      // That another fault explains the readings says nothing of wear: only a smooth sweep does.
      const double beside = is_worn_track(each.fault) ? sound_.log : std::max(best_log, sound_.log);
      if (each.log < beside - kCleared) answer_.cleared.push_back(each.fault);
    }
    group();
  }

  void add_suspect(std::size_t h, double probability) {
    const Hypothesis& each = hypotheses_[h];
    Suspect suspect;
    suspect.fault = each.fault;
    suspect.probability = probability;
    suspect.size = size_of(each);
    if (!each.full.empty()) {
      for (std::size_t i = 0; i < usable_.size(); ++i) {
        const double weight = each.full.front().each[i] - sound_.each[i];
        // A sweep and its two ends stand next to each other.
        if (suspect.evidence.empty() || suspect.evidence.back().observation != used_[i])
          suspect.evidence.push_back({used_[i], 0});
        suspect.evidence.back().weight += weight;
      }
      std::erase_if(suspect.evidence, [](const Evidence& one) { return std::abs(one.weight) <= 0.5; });
    }
    for (std::size_t i = 0; i < all_.size(); ++i) {
      if (!all_[i].capacitor) continue;
      const double weight = farads_for(each.fault, i);
      if (std::abs(weight) > 0.5) suspect.evidence.push_back({i, weight});
    }
    std::stable_sort(
        suspect.evidence.begin(), suspect.evidence.end(),
        [](const Evidence& x, const Evidence& y) { return std::abs(x.weight) > std::abs(y.weight); });
    answer_.suspects.push_back(std::move(suspect));
    of_suspect_.push_back(h);
  }

  // The size's mean and spread over the sizes that are likely, each with its own correction from the full weighing.
  std::optional<Size> size_of(const Hypothesis& each) const {
    if (each.fault.mode != Mode::High && each.fault.mode != Mode::Value) return std::nullopt;
    if (each.fault.site == Site::Capacitor) return capacitor_size(*each.fault.element);
    if (each.full.empty() || is_worn_track(each.fault)) return std::nullopt;
    const double most = *std::max_element(each.glances.begin(), each.glances.end());
    double weight = 0;
    double mean = 0;
    double square = 0;
    for (std::size_t s = 0; s < each.sizes.size(); ++s) {
      double likely = std::exp(each.glances[s] - most);
      double log = std::log(each.sizes[s]);
      double deviation = 0.25 * std::log(10.0) / 2;
      for (std::size_t k = 0; k < each.best.size(); ++k) {
        if (each.best[k] != s) continue;
        likely = std::exp(each.full[k].log - each.full[0].log) * std::exp(each.glances[each.best[0]] - most);
        log += each.full[k].size_shift;
        if (each.full[k].size_deviation > 0) deviation = each.full[k].size_deviation;
      }
      // A neighbouring size that describes the same ohms less well is no second opinion.
      if (likely < 0.05) continue;
      weight += likely;
      mean += likely * log;
      square += likely * (log * log + deviation * deviation);
    }
    mean /= weight;
    const double spread = std::sqrt(std::max(square / weight - mean * mean, 0.0));
    return Size{std::exp(mean - 2 * spread), std::exp(mean), std::exp(mean + 2 * spread)};
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
      const double log = hypotheses_[of_suspect_[k]].log;
      for (std::size_t m = k + 1; m < suspects.size(); ++m) {
        if (suspects[m].group == 0 && hypotheses_[of_suspect_[m]].log > log - kToldApart)
          suspects[m].group = groups;
      }
    }
  }

  // A reading that the best explanation cannot have caused.
  void doubt() {
    const std::vector<double>* pull = &sound_.pull;
    if (!of_suspect_.empty() && answer_.suspects.front().probability > answer_.sound) {
      const Hypothesis& best = hypotheses_[of_suspect_.front()];
      if (!best.full.empty()) pull = &best.full.front().pull;
    }
    // The one that stands out most: a slip also pulls at what was read rightly.
    std::size_t worst = 0;
    for (std::size_t i = 0; i < usable_.size(); ++i) {
      if (std::abs((*pull)[i]) > std::abs((*pull)[worst])) worst = i;
    }
    if (!usable_.empty() && std::abs((*pull)[worst]) > 5) answer_.readings[used_[worst]].doubtful = true;
  }

  void decide() {
    const bool all_agree = std::all_of(answer_.readings.begin(), answer_.readings.end(),
                                       [](const Comparison& each) { return each.agrees; });
    const double faulty = 1 - answer_.sound - answer_.unmodelled;
    if (all_.empty()) {
      answer_.verdict = Verdict::Unsure;
    } else if (all_agree && answer_.sound >= 0.5) {
      answer_.verdict = Verdict::Sound;
    } else if (faulty >= kSure) {
      answer_.verdict = Verdict::Fault;
    } else {
      answer_.verdict = Verdict::Unsure;
    }
  }

  void suggest() {
    if (answer_.verdict != Verdict::Sound) ProbeFinder(harness_, options_).suggest(all_, answer_);
    advise();
  }

  // The probability that the fault lies where the first suspect is, open or high; a track and its wiper are one pot.
  double at_first_place() const {
    double sum = 0;
    const Fault& first = answer_.suspects.front().fault;
    for (const Suspect& suspect : answer_.suspects) {
      const Fault& fault = suspect.fault;
      const bool same_pot =
          of_pot(fault) && of_pot(first) && harness_[*fault.element].part == harness_[*first.element].part;
      if (same_pot || (fault.element == first.element && fault.points == first.points))
        sum += suspect.probability;
    }
    return sum;
  }

  static bool of_pot(const Fault& fault) { return fault.site == Site::Track || fault.site == Site::Wiper; }

  // What the trade does about it: common practice, no source.
  std::string remedy(const Fault& fault) const {
    const std::string again = " Then take the readings that were wrong again.";
    const bool sweeps = fault.site == Site::Wiper || fault.site == Site::Track;
    if (harness_.by_itself() && (fault.site == Site::Wiper || (sweeps && fault.mode == Mode::Open)))
      return "Turn it from end to end a dozen times and measure again; if that is no help, clean or replace "
             "it.";
    if (harness_.by_itself() && fault.mode == Mode::Value && fault.site == Site::Coil)
      return "It is another pickup than was asked for, or a part of its coil is shorted.";
    if (harness_.by_itself() && fault.mode == Mode::Value)
      return "Look at what is printed on it; this part is not the one that was asked for.";
    if (harness_.by_itself() && fault.element && fault.site != Site::Contact)
      return "Measure it once more, tips on bare metal; if it reads the same it does not go in.";
    if (fault.mode == Mode::Value && fault.site == Site::Capacitor)
      return "Look at what is printed on it, and put in one of the right value.";
    switch (fault.site) {
      case Site::Joint:
      case Site::Blob:
        return fault.mode == Mode::Short
                   ? "Part them." + again
                   : "Scuff and flux the metal, reflow the joint, hold the lead still, tug when cold." +
                         again;
      case Site::Wire:
        return "Look along the wire, bend it while watching the meter, and replace it." + again;
      case Site::Contact:
        return fault.mode == Mode::Short
                   ? "Look for a bent blade or a bridge of solder across the contact." + again
                   : "Work the contact a dozen times, clean it, bend its blade; else replace it." + again;
      case Site::Coil:
        return "Lift one lead of the pickup and measure it alone before it is condemned.";
      case Site::Track:
      case Site::Wiper:
        if (fault.mode == Mode::High)
          return "Turn the pot from end to end a dozen times, clean it and sweep it again; else replace it.";
        return "Lift one lead of the pot, measure it alone and sweep it; clean or replace it." + again;
      case Site::Resistor:
      case Site::Capacitor:
        return "Lift one lead of it and measure it alone before it is replaced.";
      default:
        return "Look for a strand, a bridge of solder or a bent lug between them, and part them." + again;
    }
  }

  void advise() {
    const auto doubtful = std::find_if(answer_.readings.begin(), answer_.readings.end(),
                                       [](const Comparison& each) { return each.doubtful; });
    if (all_.empty()) {
      answer_.advice = "No readings were entered.";
    } else if (answer_.verdict == Verdict::Sound) {
      answer_.advice = fmt::format("Every reading is as a sound {} would show it.",
                                   harness_.by_itself() ? "part" : "harness");
    } else if (answer_.verdict == Verdict::Unsure && doubtful != answer_.readings.end()) {
      answer_.advice = fmt::format(
          "Reading {} fits nothing that the others allow: take it again before anything is condemned.",
          doubtful->observation + 1);
    } else if (answer_.verdict == Verdict::Unsure && answer_.unmodelled > 0.3) {
      answer_.advice =
          "No single fault explains these readings: check that the netlist describes this harness, then look "
          "for two faults.";
    } else if (answer_.verdict == Verdict::Fault &&
               at_first_place() > kSure * (1 - answer_.sound - answer_.unmodelled)) {
      answer_.advice = remedy(answer_.suspects.front().fault);
    } else if (answer_.next) {
      answer_.advice = fmt::format("Take the next probe before anything is {}.",
                                   harness_.by_itself() ? "thrown out" : "unsoldered");
    } else if (answer_.verdict == Verdict::Fault) {
      answer_.advice =
          "No further probe within reach tells the first suspects apart: press and wiggle them while "
          "watching, "
          "or lift a lead.";
    } else {
      answer_.advice = "The readings leave it open; take those that the plan still has.";
    }
  }

  const Harness& harness_;
  const std::vector<Observation>& all_;
  const DiagnosisOptions& options_;
  std::vector<Observation> usable_;
  std::vector<std::size_t> used_;  // their numbers among all
  std::optional<Model> model_;
  std::optional<Judge> judge_;
  std::vector<Hypothesis> hypotheses_;
  Likelihood sound_;
  double unlisted_ = 0;
  std::vector<std::size_t> of_suspect_;  // hypothesis of each suspect
  Diagnosis answer_;
};

}  // namespace

Setting other_end(const Setting& start, PartId swept) {
  Setting end = start;
  end.turn(swept, 10 - start.knob(swept));
  return end;
}

Comparison compare(const Harness& harness, const Observation& observation, const DiagnosisOptions& options) {
  return compare_in(circuit_of(harness, state_of(observation, options)), harness, observation, options);
}

Diagnosis diagnose(const Harness& harness, const std::vector<Observation>& observations,
                   const DiagnosisOptions& options) {
  return Reasoning(harness, observations, options).conclude();
}

}  // namespace lugwise
