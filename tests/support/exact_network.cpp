#include "support/exact_network.h"

#include <algorithm>
#include <bit>
#include <boost/multiprecision/cpp_int.hpp>
#include <numeric>
#include <stdexcept>

namespace lugwise {
namespace {

using Fraction = boost::multiprecision::cpp_rational;
using Matrix = std::vector<std::vector<Fraction>>;

// Connected parts by repeated relabelling: the slowest way there is, and hard to get wrong.
std::vector<std::uint32_t> labels(std::size_t points, const std::vector<Resistor>& resistors,
                                  bool zero_only) {
  std::vector<std::uint32_t> label(points);
  std::iota(label.begin(), label.end(), 0U);
  for (bool changed = true; changed;) {
    changed = false;
    for (const Resistor& r : resistors) {
      if (zero_only && r.ohms != 0) continue;
      const std::uint32_t least = std::min(label[r.a], label[r.b]);
      changed = changed || label[r.a] != label[r.b];
      label[r.a] = label[r.b] = least;
    }
  }
  return label;
}

// Gauss-Jordan without any search for a pivot's size: in exact arithmetic any pivot but zero will do, and a
// grounded conductance matrix never shows a zero one.
Matrix inverse(Matrix m) {
  const std::size_t n = m.size();
  Matrix answer(n, std::vector<Fraction>(n));
  for (std::size_t i = 0; i < n; ++i) answer[i][i] = 1;
  for (std::size_t k = 0; k < n; ++k) {
    if (m[k][k].is_zero()) throw std::logic_error("a grounded conductance matrix cannot have a zero pivot");
    const Fraction pivot = 1 / m[k][k];
    for (std::size_t j = 0; j < n; ++j) {
      if (!m[k][j].is_zero()) m[k][j] *= pivot;
      if (!answer[k][j].is_zero()) answer[k][j] *= pivot;
    }
    for (std::size_t i = 0; i < n; ++i) {
      if (i == k || m[i][k].is_zero()) continue;
      const Fraction factor = m[i][k];
      for (std::size_t j = 0; j < n; ++j) {
        if (!m[k][j].is_zero()) m[i][j] -= factor * m[k][j];
        if (!answer[k][j].is_zero()) answer[i][j] -= factor * answer[k][j];
      }
    }
  }
  return answer;
}

}  // namespace

struct ExactNetwork::Parts {
  std::vector<Resistor> resistors;
  std::vector<std::uint32_t> joined;
  std::vector<std::uint32_t> component;  // its number is its first point, which is grounded
  Matrix potential;  // potential[x][y]: at x, for one ampere from y to the ground of its component

  Fraction at(std::uint32_t x, std::uint32_t y) const { return potential[joined[x]][joined[y]]; }
  Fraction resistance(std::uint32_t a, std::uint32_t b) const { return at(a, a) + at(b, b) - 2 * at(a, b); }
};

ExactNetwork::ExactNetwork(std::size_t points, const std::vector<Resistor>& resistors)
    : parts_(std::make_unique<Parts>()) {
  Parts& p = *parts_;
  p.resistors = resistors;
  p.joined = labels(points, resistors, true);
  p.component = labels(points, resistors, false);
  p.potential.assign(points, std::vector<Fraction>(points));

  std::vector<std::uint32_t> row(points);
  std::vector<std::uint32_t> point;  // of each row: one for each joined point that isn't a ground
  for (std::uint32_t x = 0; x < points; ++x) {
    if (p.joined[x] != x || p.component[x] == x) continue;
    row[x] = static_cast<std::uint32_t>(point.size());
    point.push_back(x);
  }
  Matrix conductance(point.size(), std::vector<Fraction>(point.size()));
  for (const Resistor& r : resistors) {
    const std::uint32_t a = p.joined[r.a];
    const std::uint32_t b = p.joined[r.b];
    if (a == b) continue;
    const Fraction siemens = 1 / Fraction(r.ohms);
    const bool a_grounded = p.component[a] == a;
    const bool b_grounded = p.component[b] == b;
    if (!a_grounded) conductance[row[a]][row[a]] += siemens;
    if (!b_grounded) conductance[row[b]][row[b]] += siemens;
    if (a_grounded || b_grounded) continue;
    conductance[row[a]][row[b]] -= siemens;
    conductance[row[b]][row[a]] -= siemens;
  }
  const Matrix solved = inverse(std::move(conductance));
  for (std::size_t i = 0; i < point.size(); ++i) {
    for (std::size_t j = 0; j < point.size(); ++j) p.potential[point[i]][point[j]] = solved[i][j];
  }
}

ExactNetwork::~ExactNetwork() = default;

std::optional<double> ExactNetwork::resistance(std::uint32_t a, std::uint32_t b) const {
  if (parts_->component[a] != parts_->component[b]) return std::nullopt;
  return parts_->resistance(a, b).convert_to<double>();
}

std::string ExactNetwork::fraction(std::uint32_t a, std::uint32_t b) const {
  if (parts_->component[a] != parts_->component[b]) return "open";
  return parts_->resistance(a, b).str();
}

double ExactNetwork::current(std::uint32_t resistor, std::uint32_t from, std::uint32_t to) const {
  const Parts& p = *parts_;
  const Resistor& r = p.resistors[resistor];
  if (p.component[from] != p.component[to] || p.joined[r.a] == p.joined[r.b]) return 0;
  const Fraction drop = p.at(r.a, from) - p.at(r.a, to) - p.at(r.b, from) + p.at(r.b, to);
  return Fraction(drop / Fraction(r.ohms)).convert_to<double>();
}

std::vector<Resistor> without(std::vector<Resistor> resistors, std::uint32_t resistor) {
  resistors.erase(resistors.begin() + resistor);
  return resistors;
}

ForestNetwork::ForestNetwork(std::size_t points, const std::vector<Resistor>& resistors, std::int64_t scale)
    : points_(points),
      scale_(scale),
      resistors_(resistors),
      joined_(labels(points, resistors, true)),
      component_(labels(points, resistors, false)),
      parted_(points * points, 0) {
  if (points > 8) throw std::invalid_argument("too many points to count the forests of");
  for (const Resistor& r : resistors) {
    if (joined_[r.a] == joined_[r.b]) continue;
    const std::int64_t ohms = static_cast<std::int64_t>(r.ohms);
    if (static_cast<double>(ohms) != r.ohms || scale % ohms != 0)
      throw std::invalid_argument("ohms must divide the scale");
    const auto [a, b] = std::minmax(joined_[r.a], joined_[r.b]);
    auto edge = std::find_if(edges_.begin(), edges_.end(),
                             [a = a, b = b](const Edge& e) { return e.a == a && e.b == b; });
    if (edge == edges_.end()) edge = edges_.insert(edge, {a, b, 0, 0});
    edge->conductance += scale / ohms;
  }
  for (std::uint32_t x = 0; x < points; ++x) full_ += joined_[x] == x && component_[x] != x ? 1 : 0;
  Trees trees{};
  std::copy(joined_.begin(), joined_.end(), trees.begin());
  grow(0, trees, 0, 1);
}

// Takes or leaves each resistor in turn, keeping the forests of full_ or full_ - 1 resistors.
void ForestNetwork::grow(std::size_t edge, Trees trees, std::uint32_t chosen, std::int64_t product) {
  const int size = std::popcount(chosen);
  if (size + static_cast<int>(edges_.size() - edge) + 1 < full_) return;
  if (edge < edges_.size()) {
    grow(edge + 1, trees, chosen, product);
    const std::uint8_t a = trees[edges_[edge].a];
    const std::uint8_t b = trees[edges_[edge].b];
    if (a == b) return;
    std::replace(trees.begin(), trees.end(), b, a);
    grow(edge + 1, trees, chosen | 1U << edge, product * edges_[edge].conductance);
    return;
  }
  if (size == full_) {
    trees_ += product;
    for (std::size_t e = 0; e < edges_.size(); ++e) {
      if (chosen >> e & 1U) edges_[e].trees += product / edges_[e].conductance;
    }
    return;
  }
  for (std::uint32_t a = 0; a < points_; ++a) {
    for (std::uint32_t b = 0; b < points_; ++b) {
      if (component_[a] == component_[b] && trees[a] != trees[b]) parted_[a * points_ + b] += product;
    }
  }
}

// A forest with one resistor less has one factor 1/scale less, so ohms are numerator/denominator times scale.
double ForestNetwork::ohms(std::int64_t numerator, std::int64_t denominator) const {
  return static_cast<double>(numerator * scale_) / static_cast<double>(denominator);
}

std::optional<double> ForestNetwork::resistance(std::uint32_t a, std::uint32_t b) const {
  if (component_[a] != component_[b]) return std::nullopt;
  return ohms(parted(a, b), trees_);
}

double ForestNetwork::current(std::uint32_t resistor, std::uint32_t from, std::uint32_t to) const {
  const Resistor& r = resistors_[resistor];
  if (component_[from] != component_[to] || component_[r.a] != component_[from] ||
      joined_[r.a] == joined_[r.b]) {
    return 0;
  }
  const std::int64_t twice_drop = parted(from, r.b) + parted(to, r.a) - parted(from, r.a) - parted(to, r.b);
  return ohms(twice_drop, 2 * trees_) / r.ohms;
}

std::optional<double> ForestNetwork::detour(std::uint32_t resistor) const {
  const Resistor& r = resistors_[resistor];
  if (joined_[r.a] == joined_[r.b]) {
    return ForestNetwork(points_, without(resistors_, resistor), scale_).resistance(r.a, r.b);
  }
  const auto [a, b] = std::minmax(joined_[r.a], joined_[r.b]);
  const auto edge = std::find_if(edges_.begin(), edges_.end(),
                                 [a = a, b = b](const Edge& e) { return e.a == a && e.b == b; });
  const std::int64_t rest = trees_ - edge->trees * (scale_ / static_cast<std::int64_t>(r.ohms));
  if (rest == 0) return std::nullopt;
  return ohms(parted(a, b), rest);
}

}  // namespace lugwise
