#include "diagnosis/inside/gaussian.h"

#include <cmath>

namespace lugwise::diagnosis::inside {
namespace {

// Below so many deviations a reading is no slip worth weighing.
constexpr double kUnremarkable = 2.5;

// More slips in one set of readings are not looked for.
constexpr int kMostSlips = 6;

double log_sum_of(double x, double y) {
  const double most = std::max(x, y);
  return most + std::log1p(std::exp(std::min(x, y) - most));
}

}  // namespace

Gaussian::Gaussian(const Eigen::MatrixXd& inverse, double log_determinant)
    : inverse_(inverse),
      log_determinant_(log_determinant),
      diagonal_(inverse.diagonal()),
      rows_(static_cast<int>(inverse.rows())),
      out_(static_cast<std::size_t>(inverse.rows()), 0) {}

void Gaussian::set(const Eigen::VectorXd& residual) {
  residual_ = residual;
  weighted_ = inverse_ * residual;
  square_ = residual.dot(weighted_);
}

void Gaussian::set(const Eigen::VectorXd& residual, const Eigen::VectorXd& weighted, double square) {
  residual_ = residual;
  weighted_ = weighted;
  square_ = square;
}

void Gaussian::lower(Eigen::Index row, double by) {
  square_ += by * (by * inverse_(row, row) - 2 * weighted_(row));
  weighted_ -= by * inverse_.col(row);
  residual_(row) -= by;
}

Eigen::VectorXd Gaussian::column(Eigen::Index row) const {
  Eigen::VectorXd column = inverse_.col(row);
  for (const Eigen::VectorXd& lost : lost_) column -= lost(row) * lost;
  return column;
}

void Gaussian::shrink(Eigen::Index row, double by) {
  Eigen::VectorXd lost = column(row) / std::sqrt(by);
  const double along = weighted_(row) / std::sqrt(by);
  square_ -= along * along;
  weighted_ -= along * lost;
  diagonal_ -= lost.cwiseAbs2();
  lost_.push_back(std::move(lost));
}

void Gaussian::widen(Eigen::Index row, double variance) {
  log_determinant_ += std::log1p(variance * diagonal_(row));
  shrink(row, 1 / variance + diagonal_(row));
}

void Gaussian::leave_out(Eigen::Index row) {
  log_determinant_ += std::log(diagonal_(row));
  shrink(row, diagonal_(row));
  weighted_(row) = 0;
  diagonal_(row) = 1;
  out_[static_cast<std::size_t>(row)] = 1;
  --rows_;
}

double Gaussian::log() const {
  return -0.5 * (square_ + log_determinant_ + rows_ * std::log(2 * std::numbers::pi));
}

double Gaussian::pull(Eigen::Index row) const {
  return out(row) ? 0 : weighted_(row) / std::sqrt(diagonal_(row));
}

// What the log gains when the row is taken for a slip instead.
double Gaussian::gain(Eigen::Index row, double log_slip, double anything) const {
  return log_slip - std::log1p(-std::exp(log_slip)) + anything - log_normal(off(row), variance(row));
}

double Gaussian::with_slips(double log_slip, const std::vector<double>& anything) {
  double with_none = log() + rows_ * std::log1p(-std::exp(log_slip));
  double sum = with_none;
  for (int slips = 0; slips < kMostSlips; ++slips) {
    Eigen::Index best = -1;
    double most = 0;
    for (Eigen::Index row = 0; row < inverse_.rows(); ++row) {
      if (out(row) || std::abs(pull(row)) < kUnremarkable) continue;
      const double more = gain(row, log_slip, anything[static_cast<std::size_t>(row)]);
      sum = log_sum_of(sum, with_none + more);
      if (best < 0 || more > most) {
        best = row;
        most = more;
      }
    }
    if (best < 0 || most <= 0) break;
    with_none += most;
    leave_out(best);
  }
  return sum;
}

}  // namespace lugwise::diagnosis::inside
