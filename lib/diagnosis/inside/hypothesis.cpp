#include "diagnosis/inside/hypothesis.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace lugwise {
namespace {

// A cell of the sizes is so wide: an eighth of a decade either way is a deviation.
const double kCell = 0.25 * std::log(10.0) / 2;

// A glance is taken to be off by no more than this.
constexpr double kMostAskew = 2;

// The two best sizes in full; the others keep their distance from the best at a glance.
void weigh_sizes(Judge& judge, const Hypothesis& hypothesis, bool follow, Weight& weight) {
  std::vector<std::size_t> by_glance(hypothesis.sizes.size());
  std::iota(by_glance.begin(), by_glance.end(), std::size_t{0});
  if (weight.best.empty()) {
    std::stable_sort(by_glance.begin(), by_glance.end(),
                     [&](std::size_t x, std::size_t y) { return weight.glances[x] > weight.glances[y]; });
  } else {  // what the full weighing found likeliest first
    std::stable_sort(by_glance.begin(), by_glance.end(),
                     [&](std::size_t x, std::size_t y) { return weight.glances[x] > weight.glances[y]; });
    std::stable_partition(by_glance.begin(), by_glance.end(),
                          [&](std::size_t s) { return s == weight.best.front(); });
  }
  const double share = std::log(static_cast<double>(hypothesis.sizes.size()));
  weight.full.clear();
  weight.best.clear();
  std::vector<double> logs;
  double gained = 0;
  for (std::size_t k = 0; k < by_glance.size(); ++k) {
    const std::size_t s = by_glance[k];
    if (k < 2) {
      const Numbered numbered = hypothesis.in_size(s);
      weight.full.push_back(follow ? judge.follow(numbered) : judge.weigh(numbered));
      weight.best.push_back(s);
      const double log = weight.full.back().log - share;
      if (k == 0) gained = log - weight.glances[s];
      logs.push_back(log);
    } else if (weight.glances[s] > weight.glances[by_glance[0]] - 12) {
      logs.push_back(weight.glances[s] + gained);
    }
  }
  if (weight.full.size() == 2 && weight.full[1].log > weight.full[0].log) {
    std::swap(weight.full[0], weight.full[1]);
    std::swap(weight.best[0], weight.best[1]);
  }
  weight.log = log_sum(logs);
  weight.loudest = *std::max_element(logs.begin(), logs.end()) + share - weight.log;
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
  for (int eighth = -12; eighth <= 12; ++eighth) {
    const double factor = std::pow(10.0, eighth / 8.0);
    if (std::abs(std::log(factor)) > std::max(tolerance, 0.1)) sizes.push_back(factor);
  }
  return sizes;
}

Weighing weigh_all(Judge& judge, const std::vector<Hypothesis>& hypotheses,
                   const std::vector<double>& log_prior, double log_prior_of_nothing, const Effort& effort) {
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
    weight.touched = judge.touched(hypotheses[h].fault);
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
  std::stable_sort(order.begin(), order.end(), likelier);
  if (order.size() > effort.most_weighed) order.resize(effort.most_weighed);
  while (!order.empty() && posterior(order.back()) < best() - effort.glance_slack) order.pop_back();
  for (std::size_t h : order) weigh_sizes(judge, hypotheses[h], false, weighing.weights[h]);
  std::stable_sort(order.begin(), order.end(), likelier);
  const double enough = best() - effort.follow_slack;
  for (std::size_t k = 0; k < order.size() && k < effort.most_followed; ++k) {
    if (posterior(order[k]) < enough) break;
    weigh_sizes(judge, hypotheses[order[k]], true, weighing.weights[order[k]]);
  }
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

}  // namespace lugwise
