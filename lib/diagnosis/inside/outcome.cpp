#include "diagnosis/inside/outcome.h"

#include <algorithm>
#include <cmath>

namespace lugwise::diagnosis::inside {
namespace {

// Two resistances may be the same reading if they are nearer than this many deviations. A judgement.
constexpr double kToldApart = 3;

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

double OutcomeReader::information(const std::vector<std::uint8_t>& outcomes,
                                  const std::vector<Standing>& standing) {
  std::size_t lumps = 0;
  std::size_t places = 0;
  for (std::size_t h = 0; h < standing.size(); ++h) {
    lumps = std::max<std::size_t>(lumps, outcomes[h] + 1U);
    places = std::max<std::size_t>(places, standing[h].place + 1U);
  }
  if (lumps < 2) return 0;
  of_lump_.assign(lumps, 0);
  of_place_.assign(places, 0);
  of_both_.assign(lumps * places, 0);
  for (std::size_t h = 0; h < standing.size(); ++h) {
    of_lump_[outcomes[h]] += standing[h].probability;
    of_place_[standing[h].place] += standing[h].probability;
    of_both_[outcomes[h] * places + standing[h].place] += standing[h].probability;
  }
  return entropy(of_lump_) + entropy(of_place_) - entropy(of_both_);
}

}  // namespace lugwise::diagnosis::inside
