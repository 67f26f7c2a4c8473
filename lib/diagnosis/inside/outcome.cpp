#include "diagnosis/inside/outcome.h"

#include <algorithm>
#include <cmath>

namespace lugwise::diagnosis::inside {
namespace {

// Two resistances may be the same reading if they are nearer than this many deviations. A judgement.
constexpr double kToldApart = 3;

// Two probes that say the same must count the same on every processor, and the last bits of a logarithm differ from one to
// the next: information is told in steps of this many bits.
constexpr double kStep = 1e-9;

}  // namespace

double entropy(const std::vector<double>& shares) {
  double bits = 0;
  for (double share : shares) bits -= share > 0 ? share * std::log2(share) : 0;
  return bits;
}

void OutcomeReader::split(const std::vector<double>& ohms, const std::vector<double>& deviation,
                          const Range* on, std::vector<std::uint8_t>& outcomes) {
  const std::size_t n = ohms.size();
  order_.resize(n);
  shown_.resize(n);
  outcomes.resize(n);
  for (std::size_t h = 0; h < n; ++h) {
    order_[h] = h;
    shown_[h] = look(ohms[h], deviation[h], on);
  }
  std::stable_sort(order_.begin(), order_.end(),
                   [&](std::size_t x, std::size_t y) { return shown_[x].first < shown_[y].first; });
  std::uint8_t lump = 0;
  for (std::size_t k = 0; k < n; ++k) {
    if (k > 0) {
      const auto& [more, spread] = shown_[order_[k]];
      const auto& [less, other] = shown_[order_[k - 1]];
      const bool apart =
          std::isinf(more) ? !std::isinf(less) : more - less > kToldApart * std::hypot(spread, other);
      if (apart && lump < 250) ++lump;
    }
    outcomes[order_[k]] = lump;
  }
}

// What a display makes of it: the ohms, and their deviation with the meter's; above the range, open.
std::pair<double, double> OutcomeReader::look(double ohms, double deviation, const Range* on) const {
  if (!on) {
    on = &meter_.ranges.back();
    for (const Range& range : meter_.ranges) {
      if (ohms < 0.95 * range.top) {
        on = &range;
        break;
      }
    }
  }
  if (std::isinf(ohms) || ohms + kToldApart * deviation > 0.97 * on->top) return {kOpen, 0};
  const double step = meter_.step(*on);
  const double error = error_bound(meter_, *on, ohms);
  return {ohms, std::sqrt(deviation * deviation + error * error / 3 + step * step / 12)};
}

void OutcomeReader::know(std::vector<std::uint8_t> given) {
  given_ = std::move(given);
  kinds_ = given_.empty() ? 1 : *std::max_element(given_.begin(), given_.end()) + 1U;
}

// With G what is known, L the outcome and P the place: H(G,L) + H(G,P) - H(G,L,P) - H(G).
double OutcomeReader::information(const std::vector<std::uint8_t>& outcomes,
                                  const std::vector<Standing>& standing) {
  std::size_t lumps = 0;
  for (std::size_t h = 0; h < standing.size(); ++h) lumps = std::max<std::size_t>(lumps, outcomes[h] + 1U);
  if (lumps < 2) return 0;
  clear(lumps, standing);
  for (std::size_t h = 0; h < standing.size(); ++h) add(h, outcomes[h], standing[h].probability, standing[h]);
  return told();
}

double OutcomeReader::information(const std::vector<double>& chances, const std::vector<Standing>& standing) {
  clear(2, standing);
  for (std::size_t h = 0; h < standing.size(); ++h) {
    const double second = standing[h].probability * chances[h];
    add(h, 0, standing[h].probability - second, standing[h]);
    add(h, 1, second, standing[h]);
  }
  return told();
}

void OutcomeReader::clear(std::size_t lumps, const std::vector<Standing>& standing) {
  lumps_ = lumps;
  places_ = 0;
  for (const Standing& each : standing) places_ = std::max<std::size_t>(places_, each.place + 1U);
  of_given_.assign(kinds_, 0);
  of_lump_.assign(kinds_ * lumps_, 0);
  of_place_.assign(kinds_ * places_, 0);
  of_both_.assign(kinds_ * lumps_ * places_, 0);
}

void OutcomeReader::add(std::size_t h, std::size_t lump, double share, const Standing& of) {
  const std::size_t given = known(h);
  of_given_[given] += share;
  of_lump_[given * lumps_ + lump] += share;
  of_place_[given * places_ + of.place] += share;
  of_both_[(given * lumps_ + lump) * places_ + of.place] += share;
}

double OutcomeReader::told() const {
  const double of_given = given_.empty() ? 0 : entropy(of_given_);
  const double bits = entropy(of_lump_) + entropy(of_place_) - entropy(of_both_) - of_given;
  return std::round(bits / kStep) * kStep;
}

}  // namespace lugwise::diagnosis::inside
