#include "batch/dispersion.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <numeric>
#include <utility>

namespace lugwise {
namespace {

using Table = std::pair<std::size_t, double>;

// 100,000 batches each (10,000 at n = 100): tests/batch simulates them again.
constexpr std::array<Table, 12> kFarOff{{{5, 18.5},
                                         {6, 10.3},
                                         {7, 10.8},
                                         {8, 7.9},
                                         {9, 8.3},
                                         {10, 6.9},
                                         {12, 6.3},
                                         {15, 6.0},
                                         {20, 5.2},
                                         {30, 4.8},
                                         {50, 4.5},
                                         {100, 4.4}}};

// 600,000 readings each, 1,200,000 at n = 200.
constexpr std::array<Table, 13> kFalseAlarms{{{5, 0.007},
                                              {6, 0.018},
                                              {7, 0.024},
                                              {8, 0.031},
                                              {9, 0.037},
                                              {10, 0.046},
                                              {12, 0.065},
                                              {15, 0.090},
                                              {20, 0.136},
                                              {30, 0.216},
                                              {50, 0.368},
                                              {100, 0.616},
                                              {200, 0.866}}};

// Between two rows of a table the one of fewer counts, which is the more careful; past the last one that.
template <std::size_t Rows>
double row_for(const std::array<Table, Rows>& table, std::size_t n) {
  double found = table.front().second;
  for (const auto& [least, value] : table) {
    if (n >= least) found = value;
  }
  return found;
}

}  // namespace

double median(std::vector<double> values) {
  const std::size_t half = values.size() / 2;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(half);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2;
}

std::vector<double> modified_z(const std::vector<double>& values, double digit) {
  if (values.empty()) return {};
  const double centre = median(values);
  std::vector<double> z;
  for (const double value : values) z.push_back(std::abs(value - centre));
  const double spread = std::max(median(z), digit / 2);
  for (double& each : z) each = spread > 0 ? 0.6745 * each / spread : 0;
  return z;
}

std::optional<double> far_off(std::size_t n) {
  if (n < kFarOff.front().first) return std::nullopt;
  return row_for(kFarOff, n);
}

std::optional<Drift> drift(const std::vector<double>& values, double digit) {
  if (values.size() < kFarOff.front().first) return std::nullopt;
  Drift found;
  const auto n = static_cast<double>(values.size());
  found.mean = std::accumulate(values.begin(), values.end(), 0.0) / n;
  for (std::size_t i = 1; i < values.size(); ++i)
    found.range += std::abs(values[i] - values[i - 1]) / (n - 1);
  // A display can't move by less than a digit, nor a sum be nearer than its last bits.
  const double range = std::max({found.range, digit, std::abs(found.mean) * 1e-12});
  found.low = found.mean - kIndividuals * range;
  found.high = found.mean + kIndividuals * range;
  found.most = kMovingRange * range;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (values[i] < found.low || values[i] > found.high) found.outside.push_back(i);
    if (i > 0 && std::abs(values[i] - values[i - 1]) > found.most) found.jump.push_back(i);
  }
  return found;
}

double false_alarms(std::size_t n) {
  const auto above = std::find_if(kFalseAlarms.begin(), kFalseAlarms.end(),
                                  [&](const Table& row) { return row.first >= n; });
  if (above == kFalseAlarms.end()) return kFalseAlarms.back().second;
  if (above == kFalseAlarms.begin()) return above->second;
  const Table below = *std::prev(above);
  const double share = static_cast<double>(n - below.first) / static_cast<double>(above->first - below.first);
  return below.second + share * (above->second - below.second);
}

}  // namespace lugwise
