// A joint normal of what displays show, of which some rows turn out to be worth less. Private to this room.
#pragma once

#include <Eigen/Dense>
#include <cmath>
#include <numbers>
#include <vector>

namespace lugwise::diagnosis::inside {

inline double log_normal(double residual, double variance) {
  return -0.5 * (residual * residual / variance + std::log(2 * std::numbers::pi * variance));
}

// The residuals of some rows under a covariance given by its inverse. Rows can be widened (more variance of their own) or
// left out; each costs the rows times what was done before, as the inverse only loses a rank.
class Gaussian {
 public:
  // Log of the determinant of the covariance; both must outlive this.
  Gaussian(const Eigen::MatrixXd& inverse, double log_determinant);

  // The residuals; `weighted` is the inverse times them, where it is known.
  void set(const Eigen::VectorXd& residual);
  void set(const Eigen::VectorXd& residual, const Eigen::VectorXd& weighted, double square);

  // A row's residual is less by `by`. Before any row is widened or left out.
  void lower(Eigen::Index row, double by);
  void widen(Eigen::Index row, double variance);
  void leave_out(Eigen::Index row);

  // The log of the density of the rows that are left.
  double log() const;

  // How far a row lies from what the others let expect, and with which variance. None of a row left out.
  double off(Eigen::Index row) const { return weighted_(row) / diagonal_(row); }
  double variance(Eigen::Index row) const { return 1 / diagonal_(row); }
  double pull(Eigen::Index row) const;
  bool out(Eigen::Index row) const { return out_[static_cast<std::size_t>(row)] != 0; }

  const Eigen::VectorXd& weighted() const { return weighted_; }

  // Readings may be slips, each with a chance of its own to be so and an own log density then. The log of the density
  // with slips allowed; the likeliest ones are left out when it returns.
  double with_slips(double log_slip, const std::vector<double>& anything);

 private:
  Eigen::VectorXd column(Eigen::Index row) const;
  void shrink(Eigen::Index row, double by);
  double gain(Eigen::Index row, double log_slip, double anything) const;

  const Eigen::MatrixXd& inverse_;
  double log_determinant_ = 0;
  Eigen::VectorXd residual_;
  Eigen::VectorXd weighted_;
  Eigen::VectorXd diagonal_;
  double square_ = 0;
  int rows_ = 0;
  std::vector<Eigen::VectorXd> lost_;
  std::vector<char> out_;
};

}  // namespace lugwise::diagnosis::inside
