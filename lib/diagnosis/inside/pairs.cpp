#include "diagnosis/inside/reasoning.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace lugwise::diagnosis::inside {

namespace {

// How many kinds of first ones are tried, and how far the search for the second goes.
constexpr std::size_t kMostFirsts = 8;
constexpr double kFirstSlack = 40;
constexpr SearchEffort kForSecond{12, 4, 15, 6};
// Two must explain the readings so much better than either alone.
constexpr double kWorthTwo = 3;

// Two sketches this near are the same reading.
constexpr double kSame = 1e-3;

bool same_ohms(double x, double y) {
  if (std::isinf(x) || std::isinf(y)) return x == y;
  return std::abs(x - y) <= kSame * (1 + std::abs(x));
}

}  // namespace

std::size_t Reasoning::likeliest() const {
  return static_cast<std::size_t>(
      std::max_element(answers_.begin(), answers_.end(),
                       [](const Answer& x, const Answer& y) { return x.posterior() < y.posterior(); }) -
      answers_.begin());
}

std::size_t Reasoning::slips(const Likelihood& likelihood) {
  return static_cast<std::size_t>(std::count(likelihood.slipped.begin(), likelihood.slipped.end(), 1));
}

// The size a hypothesis is likeliest in: what its sketch looks like, and what a second fault comes on top of.
std::size_t Reasoning::likeliest_size(std::size_t h) const {
  const Weight& weight = weights_[h];
  if (!weight.best.empty()) return weight.best.front();
  if (weight.glances.empty()) return 0;
  return static_cast<std::size_t>(std::max_element(weight.glances.begin(), weight.glances.end()) -
                                  weight.glances.begin());
}

// Whether two single faults would make every reading the same, so that with a second fault they would too.
bool Reasoning::alike(std::size_t x, std::size_t y) {
  const std::vector<double>& one = judge_.sketch(hypotheses_[x].in_size(likeliest_size(x)));
  const std::vector<double>& other = judge_.sketch(hypotheses_[y].in_size(likeliest_size(y)));
  return std::equal(one.begin(), one.end(), other.begin(), same_ohms);
}

// Whether some wrong reading makes no sense under a hypothesis in its likeliest size: a slip, or a number that it does not
// change at all, so that whatever is wrong there is not this.
bool Reasoning::leaves_something_wrong(std::size_t h) {
  const Weight& weight = weights_[h];
  if (weight.full.empty() || slips(weight.full.front()) > 0) return true;
  for (std::size_t row = 0; row < usable_.size(); ++row) {
    if (acts_[act_of_[row]].wrong && leaves_as_it_is(h, row)) return true;
  }
  return false;
}

// Whether a reading in ohms is the same with a fault as without it.
bool Reasoning::leaves_as_it_is(std::size_t h, std::size_t row) {
  if (!is_value(usable_[row]) && !is_bound(usable_[row])) return false;
  const std::vector<double>& with = judge_.sketch(hypotheses_[h].in_size(likeliest_size(h)));
  return same_ohms(with[row], judge_.sketch({})[row]);
}

// The likeliest firsts, each with all that reads like it.
std::vector<std::vector<std::size_t>> Reasoning::firsts_of_two() {
  const double best = answers_[likeliest()].posterior();
  std::vector<std::size_t> order;
  for (std::size_t h = 0; h < hypotheses_.size(); ++h) {
    if (weights_[h].touched && answers_[h].posterior() > best - kFirstSlack) order.push_back(h);
  }
  std::stable_sort(order.begin(), order.end(), [&](std::size_t x, std::size_t y) {
    return answers_[x].posterior() > answers_[y].posterior();
  });
  std::vector<std::vector<std::size_t>> kinds;
  for (std::size_t h : order) {
    const auto kind =
        std::find_if(kinds.begin(), kinds.end(), [&](const auto& known) { return alike(known.front(), h); });
    if (kind != kinds.end()) {
      kind->push_back(h);
    } else if (kinds.size() < kMostFirsts) {
      kinds.push_back({h});
    }
  }
  return kinds;
}

// Where no single fault explains all that is wrong: the likeliest first ones, each with what would
// explain the rest on top of it.
void Reasoning::look_for_two() {
  const auto wrong = std::count_if(answer_.readings.begin(), answer_.readings.end(),
                                   [](const Comparison& each) { return !each.agrees; });
  if (hypotheses_.empty() || wrong < 2) return;
  // What explains it all and was mended already is not the last word.
  const std::size_t best = answers_[likeliest()].first;
  if (!leaves_something_wrong(best) && repairs_of(hypotheses_[best].fault) == 0) return;

  std::map<std::pair<std::size_t, std::size_t>, Answer> pairs;
  for (const std::vector<std::size_t>& kind : firsts_of_two()) add_seconds(kind, pairs);
  for (auto& [key, pair] : pairs) answers_.push_back(std::move(pair));
}

void Reasoning::add_seconds(const std::vector<std::size_t>& firsts,
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
    if (log + beside_more(first, second) < std::max(weights_[first].log, weights_[second].log) + kWorthTwo)
      continue;
    for (std::size_t one : firsts) {
      if (one == second) continue;
      Answer pair;
      pair.first = one;
      pair.second = second;
      pair.log = log + beside_more(one, second);
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

}  // namespace lugwise::diagnosis::inside
