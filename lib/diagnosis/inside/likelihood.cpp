#include "diagnosis/inside/likelihood.h"

#include <algorithm>
#include <cmath>

#include "diagnosis/inside/frame.h"
#include "diagnosis/inside/gaussian.h"

namespace lugwise::diagnosis::inside {
namespace {

// Gauss-Newton: solved anew at most so often, until no unknown moves by more than so many deviations.
constexpr int kMostRounds = 4;
constexpr double kStill = 0.1;

}  // namespace

double log_sum(double x, double y) {
  const double most = std::max(x, y);
  return most + std::log(std::exp(x - most) + std::exp(y - most));
}

double log_sum(const std::vector<double>& logs) {
  const double most = *std::max_element(logs.begin(), logs.end());
  double sum = 0;
  for (double each : logs) sum += std::exp(each - most);
  return most + std::log(sum);
}

bool is_value(const Observation& observation) { return observation.shows == Shows::Value; }

bool is_bound(const Observation& observation) {
  return observation.shows == Shows::OverRange || observation.shows == Shows::Beep ||
         observation.shows == Shows::NoBeep;
}

Judge::Judge(const Harness& harness, Model& model, const DiagnosisOptions& options)
    : harness_(harness), model_(model), options_(options) {}

Judge::~Judge() = default;

const Likelihood& Judge::weigh(const Numbered& numbered) {
  const std::uint64_t of = kind(numbered);
  const auto known = weighed_.find(of);
  if (known != weighed_.end()) return known->second;
  return weighed_.emplace(of, weigh_anew(numbered)).first->second;
}

const Likelihood& Judge::follow(const Numbered& numbered, bool free) {
  const std::uint64_t of = kind(numbered);
  auto& all = free ? freed_ : followed_;
  const auto known = all.find(of);
  if (known != all.end()) return known->second;
  return all.emplace(of, follow_anew(numbered, free)).first->second;
}

double Judge::without(const Numbered& explanation, const std::vector<std::size_t>& rows, bool followed) {
  std::vector<char> left_out(frame_->rows.size(), 0);
  for (std::size_t row : rows) left_out[row] = 1;
  if (followed) return follow_anew(explanation, false, &left_out).log;
  const Worn all = worn(explanation, &left_out);
  return all.likelihood.log + all.beside;
}

bool Judge::fits_worn(const Numbered& explanation, std::size_t row, double pull) {
  if (!frame_->wipers) return false;
  const Likelihood worn = through(lens(explanation, Wear::Worn), explanation.explanation);
  return !worn.slipped[row] && std::abs(worn.pull[row]) <= pull;
}

// A wiper at its stop shows a fraction of an ohm as a rule, a few where it is used, and tens of ohms where it is worn: each
// as often. One normal wide enough for all would make a reading of nothing but leads look like a short.
Judge::Worn Judge::worn(const Numbered& numbered, const std::vector<char>* left_out) {
  Worn worn;
  if (!frame_->wipers) {
    worn.likelihood = through(lens(numbered, Wear::Worn), numbered.explanation, left_out);
    return worn;
  }
  std::vector<double> logs;
  for (const Wear wear : kEveryWear) {
    Likelihood here = through(lens(numbered, wear), numbered.explanation, left_out);
    logs.push_back(here.log);
    if (wear != Wear::Worn && here.log <= worn.likelihood.log) continue;
    worn.wear = wear;
    worn.likelihood = std::move(here);
  }
  worn.beside = log_sum(logs) - std::log(static_cast<double>(logs.size())) - worn.likelihood.log;
  return worn;
}

Likelihood Judge::weigh_anew(const Numbered& numbered) {
  Worn all = worn(numbered);
  all.likelihood.log += all.beside;
  return std::move(all.likelihood);
}

Likelihood Judge::follow_anew(const Numbered& numbered, bool free, const std::vector<char>* left_out) {
  const Explanation& explanation = numbered.explanation;
  // The likeliest state of the wipers is followed; the others keep their distance.
  const auto [wear, beside] = [&] {
    const Worn all = frame_->wipers ? worn(numbered, left_out) : Worn{};
    return std::pair(all.wear, all.beside);
  }();
  std::unique_ptr<Lens> own;
  if (free) own = grind(explanation, model_.mean(), wear, true);
  const Lens* at = free ? own.get() : &lens(numbered, wear);
  Likelihood result;
  double moved_before = 1e9;
  for (int round = 0;; ++round) {
    // The likeliest unknowns as this lens sees them.
    result = through(*at, explanation, left_out);
    const auto m = static_cast<Eigen::Index>(at->values.size());
    if (m == 0) break;
    Eigen::VectorXd residual(m);
    for (Eigen::Index row = 0; row < m; ++row)
      residual(row) = (*observations_)[at->values[static_cast<std::size_t>(row)]].value - at->expected(row);
    Gaussian gaussian(at->inverse, at->log_determinant);
    gaussian.set(residual);
    for (Eigen::Index row = 0; row < m; ++row) {
      const std::size_t i = at->values[static_cast<std::size_t>(row)];
      if (result.slipped[i] || (left_out && (*left_out)[i])) gaussian.leave_out(row);
    }
    const Eigen::VectorXd shift = at->scaled.topRows(m).transpose() * gaussian.weighted();
    std::vector<double> x = model_.mean();
    double moved = 0;
    for (std::size_t k = 0; k < at->unknowns.size(); ++k) {
      const std::uint32_t unknown = at->unknowns[k];
      const double deviation_of = deviation(unknown, explanation, wear, free);
      // No step beyond what a bound of four deviations allows: a slip must not drag the parts away.
      const double step = std::clamp(shift(static_cast<Eigen::Index>(k)), -4.0, 4.0);
      double to = model_.mean()[unknown] + step * deviation_of;
      if (free && unknown == model_.size()) to = std::clamp(to, at->x[unknown] - 1, at->x[unknown] + 1);
      moved =
          std::max(moved, std::abs(to - at->x[unknown]) / (unknown == model_.size() ? 0.1 : deviation_of));
      x[unknown] = to;
      if (unknown != model_.size()) continue;
      result.size_shift = to;
      result.size_deviation = deviation_of * at->left_of(static_cast<Eigen::Index>(k), gaussian);
    }
    if (round >= kMostRounds || (round > 0 && moved < kStill)) break;
    if (moved > moved_before) {
      for (std::size_t k = 0; k < x.size(); ++k) x[k] = (x[k] + at->x[k]) / 2;
    }
    moved_before = moved;
    own = grind(explanation, x, wear, free);
    at = own.get();
  }
  result.log += beside;
  return result;
}

}  // namespace lugwise::diagnosis::inside
