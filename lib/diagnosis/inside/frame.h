// What a judge keeps of readings at the same places, and of each explanation of them. Private to this room.
#pragma once

#include <Eigen/Dense>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

#include "diagnosis/inside/gaussian.h"
#include "diagnosis/inside/likelihood.h"
#include "diagnosis/inside/slip.h"

namespace lugwise::diagnosis::inside {

inline const double kLogSlip = std::log(kSlip);

inline constexpr Wear kEveryWear[] = {Wear::Worn, Wear::Used, Wear::AsNew};

// The standard normal distribution.
inline double below(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

// One explanation linearised about one point.
struct Judge::Lens {
  Wear wear = Wear::Worn;
  std::vector<double> x;
  std::vector<std::size_t> values;      // rows that are numbers and should be, then
  std::vector<std::size_t> bounds;      // rows that are bounds on a number
  std::vector<std::size_t> apart;       // rows whose probes nothing joins
  std::vector<std::uint32_t> unknowns;  // of each column
  Eigen::MatrixXd scaled;               // slopes times deviations; values, then bounds
  Eigen::VectorXd expected;
  Eigen::VectorXd variance;  // of each row by itself
  Eigen::MatrixXd inverse;   // of the covariance of the values
  double log_determinant = 0;
  Eigen::MatrixXd cross;   // of bounds with values
  Eigen::MatrixXd spread;  // of bounds, the values known

  // The share of a column's deviation that the readings leave, those that are no slips.
  double left_of(Eigen::Index column, const Gaussian& readings) const;

  std::size_t held() const {
    return static_cast<std::size_t>(scaled.size() + inverse.size() + cross.size() + spread.size()) + 200;
  }
};

// Which readings are numbers, and which only bounds.
struct Judge::Pattern {
  std::vector<std::size_t> values;  // rows that are numbers and should be, in a sound harness
  Eigen::MatrixXd inverse;
  double log_determinant = 0;
  Eigen::VectorXd expected;
  std::vector<std::ptrdiff_t> seat;  // of each row among the values, or -1
  std::vector<std::unique_ptr<Lens>> lenses[std::size(kEveryWear)];
  std::unique_ptr<Lens> sound[std::size(kEveryWear)];
};

// What one explanation makes readings.
struct Judge::Sketch {
  std::vector<double> ohms;          // by row; open is infinity
  std::vector<std::size_t> changed;  // rows it makes read otherwise
  std::uint64_t kind = 0;
};

// Readings at the same places.
struct Judge::Frame {
  struct Row {
    std::uint32_t probe = 0;
    std::size_t range = 0;
    double step = 0;   // what the display rounds to
    double cable = 0;  // ohms of the test cable
    Action action = Action::Read;
    std::optional<PartId> swept;
    std::vector<PointId> wiggled;
    friend bool operator==(const Row&, const Row&) = default;
  };
  std::vector<Row> rows;
  std::vector<std::uint32_t> probes;
  std::vector<std::vector<PartId>> turned;  // of each row: the pots whose wiper its sweep watches
  std::vector<double> ohms;                 // of a sound harness
  std::vector<double> deviation;            // of each sound reading
  bool wipers = false;                      // whether some reading depends on a wiper at its stop
  std::vector<std::unique_ptr<Sketch>> sketches;
  std::map<std::string, std::unique_ptr<Pattern>> patterns;
  std::size_t held = 0;      // numbers in lenses,
  std::size_t sketched = 0;  // and in sketches
};

}  // namespace lugwise::diagnosis::inside
