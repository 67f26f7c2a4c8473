#include "diagnosis/inside/hypothesis.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace lugwise::diagnosis::inside {
namespace {

// A cell of the sizes is so wide: an eighth of a decade either way is a deviation.
const double kCell = 0.25 * std::log(10.0) / 2;

// A neighbouring size is likelier from here on: a plain where an OL bounds the size alone is no slope to climb.
constexpr double kUphill = 0.02;

// Sizes less likely than the best by more say nothing of the size.
constexpr double kPoorer = 4;

// A glance is taken to be off by no more than this.
constexpr double kMostAskew = 2;

// Sizes in full, from the likeliest so far to where no neighbour is likelier: a reading only ever rises with an ohm, so
// there is one summit. A glance alone may be several cells off it. The others keep their distance from the best at a
// glance.
void weigh_sizes(Judge& judge, const Hypothesis& hypothesis, bool follow, Weight& weight) {
  const std::size_t all = hypothesis.sizes.size();
  const std::vector<double>& glances = weight.glances;
  const double share = std::log(static_cast<double>(all));
  std::vector<const Likelihood*> known(all);
  const auto log_of = [&](std::size_t s) {
    if (!known[s]) {
      const Numbered numbered = hypothesis.in_size(s);
      known[s] = follow ? &judge.follow(numbered) : &judge.weigh(numbered);
    }
    return known[s]->log;
  };
  std::size_t at =
      weight.best.empty()
          ? static_cast<std::size_t>(std::max_element(glances.begin(), glances.end()) - glances.begin())
          : weight.best.front();
  const double gained = log_of(at) - share - glances[at];
  for (bool climbing = true; climbing;) {
    climbing = false;
    const std::size_t from = at;
    for (const std::size_t s : {from - 1, from + 1}) {  // below the least it wraps, and is none
      if (s >= all || log_of(s) <= log_of(at) + kUphill) continue;
      at = s;
      climbing = true;
    }
  }
  weight.full.clear();
  weight.best.clear();
  std::vector<double> logs;
  for (std::size_t s = 0; s < all; ++s) {
    if (known[s]) {
      logs.push_back(known[s]->log - share);
      weight.best.push_back(s);
    } else if (glances[s] > glances[at] - 12) {
      logs.push_back(std::min(glances[s] + gained, known[at]->log - share));
    }
  }
  std::stable_sort(weight.best.begin(), weight.best.end(),
                   [&](std::size_t x, std::size_t y) { return known[x]->log > known[y]->log; });
  while (known[weight.best.back()]->log < known[weight.best.front()]->log - kPoorer) weight.best.pop_back();
  for (std::size_t s : weight.best) weight.full.push_back(*known[s]);
  weight.log = log_sum(logs);
  weight.loudest = known[at]->log - weight.log;
  weight.followed = follow;
}

}  // namespace

std::vector<double> sizes_of(const Harness& harness, const Fault& fault) {
  std::vector<double> sizes;
  if (!has_size(fault)) return {0};
  if (fault.mode == Mode::High) {
    for (int quarter = 0; quarter <= 24; ++quarter) sizes.push_back(std::pow(10.0, quarter / 4.0));
    return sizes;
  }
  const Band& ohms = harness[*fault.element].ohms;
  const double tolerance = ohms.nominal > 0 ? ohms.high / ohms.nominal - 1 : 0;
  // From the edge of the tolerance on, an eighth of a decade each.
  const double edge = std::log(1 + std::max(tolerance, 0.1));
  for (int cell = -12; cell < 12; ++cell) {
    const double off = (cell + 0.5) * std::log(10.0) / 8;
    sizes.push_back(std::exp(off + (off < 0 ? -edge : edge)));
  }
  return sizes;
}

Weighing weigh_all(Judge& judge, const std::vector<Hypothesis>& hypotheses,
                   const std::vector<double>& log_prior, double log_prior_of_nothing,
                   const SearchEffort& effort) {
  Weighing weighing;
  weighing.nothing = judge.follow({});
  weighing.weights.resize(hypotheses.size());
  const double nothing_glance = judge.glance({});
  // How far a glance is from the truth where both are known; of wild readings it says nothing.
  const double askew = std::clamp(weighing.nothing.log - nothing_glance, -kMostAskew, kMostAskew);

  std::vector<std::size_t> order;
  for (std::size_t h = 0; h < hypotheses.size(); ++h) {
    Weight& weight = weighing.weights[h];
    weight.log = weighing.nothing.log;
    weight.touched = !std::isinf(log_prior[h]) && judge.touched(hypotheses[h].fault);
    if (!weight.touched) continue;
    const double share = std::log(static_cast<double>(hypotheses[h].sizes.size()));
    weight.glances.reserve(hypotheses[h].sizes.size());
    bool changes = false;
    for (std::size_t s = 0; s < hypotheses[h].sizes.size(); ++s) {
      const double glance = judge.glance(hypotheses[h].in_size(s));
      changes = changes || glance != nothing_glance;
      weight.glances.push_back(glance - share);
    }
    if (!changes) continue;
    weight.log = log_sum(weight.glances) + askew;
    weight.loudest =
        *std::max_element(weight.glances.begin(), weight.glances.end()) + share + askew - weight.log;
    order.push_back(h);
  }
  const auto posterior = [&](std::size_t h) { return weighing.weights[h].log + log_prior[h]; };
  const auto likelier = [&](std::size_t x, std::size_t y) { return posterior(x) > posterior(y); };
  const auto best = [&] {
    const double nothing = weighing.nothing.log + log_prior_of_nothing;
    return order.empty() ? nothing : std::max(posterior(order.front()), nothing);
  };
  // The first of the order, until they are of so many kinds; what one of a kind costs, all cost.
  const auto first_of = [&](std::size_t most, double least) {
    std::set<std::uint64_t> kinds;
    std::size_t k = 0;
    for (; k < order.size() && posterior(order[k]) >= least; ++k) {
      const Weight& weight = weighing.weights[order[k]];
      const auto loudest = std::max_element(weight.glances.begin(), weight.glances.end());
      kinds.insert(judge.kind(
          hypotheses[order[k]].in_size(static_cast<std::size_t>(loudest - weight.glances.begin()))));
      if (kinds.size() > most) break;
    }
    return k;
  };
  std::stable_sort(order.begin(), order.end(), likelier);
  order.resize(first_of(effort.most_weighed, best() - effort.glance_slack));
  for (std::size_t h : order) weigh_sizes(judge, hypotheses[h], false, weighing.weights[h]);
  std::stable_sort(order.begin(), order.end(), likelier);
  order.resize(first_of(effort.most_followed, best() - effort.follow_slack));
  for (std::size_t h : order) weigh_sizes(judge, hypotheses[h], true, weighing.weights[h]);
  return weighing;
}

std::optional<Size> size_of(const Hypothesis& hypothesis, const Weight& weight) {
  if (!has_size(hypothesis.fault) || weight.full.empty()) return std::nullopt;
  // Where the readings fix the size better than its cell does, they have the last word: what the cell said is taken out.
  const Likelihood& best = weight.full.front();
  const double variance = best.size_deviation * best.size_deviation;
  if (weight.followed && variance > 0 && variance < 0.5 * kCell * kCell) {
    const double own = 1 / (1 / variance - 1 / (kCell * kCell));
    const double log = std::log(hypothesis.sizes[weight.best.front()]) + best.size_shift * own / variance;
    const double spread = 2 * std::sqrt(own);
    return Size{std::exp(log - spread), std::exp(log), std::exp(log + spread)};
  }
  // The mean and spread over the sizes that are likely, each with its own correction from the full weighing.
  const double most = *std::max_element(weight.glances.begin(), weight.glances.end());
  double sum = 0;
  double mean = 0;
  double square = 0;
  for (std::size_t s = 0; s < hypothesis.sizes.size(); ++s) {
    double likely = std::exp(weight.glances[s] - most);
    double log = std::log(hypothesis.sizes[s]);
    double deviation = kCell;
    for (std::size_t k = 0; k < weight.best.size(); ++k) {
      if (weight.best[k] != s) continue;
      likely = std::exp(weight.full[k].log - best.log) * std::exp(weight.glances[weight.best[0]] - most);
      log += weight.full[k].size_shift;
      if (weight.full[k].size_deviation > 0) deviation = weight.full[k].size_deviation;
    }
    // A neighbouring size that describes the same ohms less well is no second opinion.
    if (likely < 0.05) continue;
    sum += likely;
    mean += likely * log;
    square += likely * (log * log + deviation * deviation);
  }
  if (sum <= 0) return std::nullopt;
  mean /= sum;
  const double spread = std::sqrt(std::max(square / sum - mean * mean, 0.0));
  return Size{std::exp(mean - 2 * spread), std::exp(mean), std::exp(mean + 2 * spread)};
}

}  // namespace lugwise::diagnosis::inside
