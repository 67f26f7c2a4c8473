#include <algorithm>
#include <cmath>
#include <numbers>

#include "diagnosis/inside/frame.h"
#include "diagnosis/inside/gaussian.h"

namespace lugwise::diagnosis::inside {
namespace {

// A beeper's threshold is a rough one.
constexpr double kBeeperSpread = 0.3;

// Independent part of a gain error; the rest is common to a range.
constexpr double kOwnShare = 0.04;

// A knob or a joint that moves otherwise than one time in twenty fits no better than a slip.
const double kSurprise = std::log(0.05);

// A size that may be anything: two deviations are e^5 either way.
constexpr double kFree = 2.5;

// How many times nearer to its usual ohms a wiper at its stop lies than a worn one may be. Judgements.
constexpr double kNearer[] = {1, 8, 40};

// Moment matching: after an OL the display's normal is cut off below the top, after a beep above the threshold.
// `edge` is that top or threshold, `blur` its own deviation, `sign` 1 where the display is above it.
void narrow(Eigen::Index k, double edge, double blur, double sign, Eigen::VectorXd& mean,
            Eigen::MatrixXd& spread) {
  const double variance = std::max(spread(k, k) + blur * blur, 1e-12);
  const double deviation = std::sqrt(variance);
  const double z = sign * (mean(k) - edge) / deviation;
  if (z > 6) return;  // surely so already
  // The inverse Mills ratio; far out it tends to -z.
  const double mills = z < -6 ? -z : std::exp(-z * z / 2) / std::sqrt(2 * std::numbers::pi) / below(z);
  const Eigen::VectorXd gain = spread.col(k) / deviation;
  mean += sign * mills * gain;
  spread -= std::min(1.0, mills * (mills + z)) * gain * gain.transpose();
}

}  // namespace

double Judge::Lens::left_of(Eigen::Index column, const Gaussian& readings) const {
  const auto m = static_cast<Eigen::Index>(values.size());
  const Eigen::VectorXd row = scaled.topRows(m).col(column);
  Gaussian along(inverse, log_determinant);
  along.set(row);
  for (Eigen::Index r = 0; r < m; ++r) {
    if (readings.out(r)) along.leave_out(r);
  }
  double explained = 0;
  for (Eigen::Index r = 0; r < m; ++r) explained += readings.out(r) ? 0 : row(r) * along.weighted()(r);
  return std::sqrt(std::max(0.0, 1 - explained));
}

double Judge::meter_variance(std::size_t i, double shown) const {
  const Frame::Row& row = frame_->rows[i];
  const Range& range = options_.meter.ranges[row.range];
  const double digits = range.digits * options_.meter.step(range);
  return digits * digits / 3 + row.step * row.step / 12 + kOwnShare * std::pow(range.share * shown, 2) / 3;
}

// OL, a beep and none: the probability that the display stands on that side.
double Judge::side(std::size_t i, double ohms, double deviation, bool open) const {
  const Observation& observation = (*observations_)[i];
  if (observation.shows == Shows::OverRange) {
    const double top = options_.meter.ranges[frame_->rows[i].range].top;
    return open ? 1 : below((ohms - top) / std::max(deviation, 1e-6 * top));
  }
  const double threshold = options_.meter.beeps_below;
  const double spread = std::hypot(deviation, kBeeperSpread * threshold);
  const double beeps = open ? 0 : below((threshold - ohms) / spread);
  return observation.shows == Shows::Beep ? beeps : 1 - beeps;
}

// The same as a log, a slip allowed for.
double Judge::log_of_event(std::size_t i, double ohms, double deviation, bool open) const {
  return std::log((1 - kSlip) * side(i, ohms, deviation, open) + kSlip * std::exp(anything_[i]));
}

// What a slip shows: anything, or the right number on a range misread.
double Judge::log_of_slip(std::size_t i, double mean, double variance) const {
  const double decade = log_of_decade((*observations_)[i].value, mean, variance);
  return std::isinf(decade) ? anything_[i] : log_sum(anything_[i], decade);
}

double Judge::deviation(std::uint32_t unknown, const Explanation& explanation, Wear wear, bool free) const {
  const double usual = model_.deviation()[unknown];
  if (free && unknown == model_.size()) return kFree;
  if (wear != Wear::Worn && model_.of_wiper(unknown)) return usual / kNearer[static_cast<std::size_t>(wear)];
  // Of a part of another value the tolerance says nothing: the size has it all.
  for (const Fault* fault : {explanation.fault, model_.base().fault}) {
    if (fault && fault->mode == Mode::Value && fault->element && fault->element->index == unknown)
      return 1e-4;
  }
  return usual;
}

// Joint normal of what the displays say before anything is read: f(x) + J (mean - x), with J S J' + meter.
std::unique_ptr<Judge::Lens> Judge::grind(const Explanation& explanation, const std::vector<double>& x,
                                          Wear wear, bool free) const {
  auto lens = std::make_unique<Lens>();
  lens->wear = wear;
  lens->x = x;
  const std::vector<Prediction> predictions = model_.predict(frame_->probes, explanation, x);
  for (std::size_t i = 0; i < predictions.size(); ++i) {
    const Observation& observation = (*observations_)[i];
    if (!is_value(observation) && !is_bound(observation)) continue;
    if (predictions[i].open) {
      lens->apart.push_back(i);
    } else {
      (is_value(observation) ? lens->values : lens->bounds).push_back(i);
    }
  }
  std::vector<std::size_t> order = lens->values;
  order.insert(order.end(), lens->bounds.begin(), lens->bounds.end());
  const auto n = static_cast<Eigen::Index>(order.size());
  const auto m = static_cast<Eigen::Index>(lens->values.size());

  std::vector<std::int32_t> column(model_.unknowns(), -1);
  const auto ask = [&](std::uint32_t unknown) {
    if (column[unknown] >= 0) return;
    column[unknown] = static_cast<std::int32_t>(lens->unknowns.size());
    lens->unknowns.push_back(unknown);
  };
  ask(model_.leads());
  for (std::size_t i : order) {
    ask(model_.gain(frame_->rows[i].range));
    for (const auto& [unknown, slope] : predictions[i].slopes) ask(unknown);
  }
  const auto u = static_cast<Eigen::Index>(lens->unknowns.size());
  std::vector<double> deviations;
  for (std::uint32_t unknown : lens->unknowns)
    deviations.push_back(deviation(unknown, explanation, wear, free));

  lens->scaled = Eigen::MatrixXd::Zero(n, u);
  lens->expected.resize(n);
  Eigen::VectorXd own(n);
  for (Eigen::Index row = 0; row < n; ++row) {
    const std::size_t i = order[static_cast<std::size_t>(row)];
    const Prediction& prediction = predictions[i];
    const double truth = prediction.ohms + x[model_.leads()] + frame_->rows[i].cable;
    const std::uint32_t gain = model_.gain(frame_->rows[i].range);
    const double factor = 1 + x[gain];
    lens->expected(row) = truth * factor;
    const auto add = [&](std::uint32_t unknown, double slope) {
      const std::int32_t at = column[unknown];
      lens->scaled(row, at) += slope * deviations[static_cast<std::size_t>(at)];
      lens->expected(row) += slope * (model_.mean()[unknown] - x[unknown]);
    };
    for (const auto& [unknown, slope] : prediction.slopes) add(unknown, slope * factor);
    add(model_.leads(), factor);
    add(gain, truth);
    own(row) = meter_variance(i, truth);
  }
  Eigen::MatrixXd covariance = lens->scaled * lens->scaled.transpose();
  covariance.diagonal() += own;
  lens->variance = covariance.diagonal();
  if (m > 0) {
    const Eigen::LLT<Eigen::MatrixXd> root(covariance.topLeftCorner(m, m));
    lens->inverse = root.solve(Eigen::MatrixXd::Identity(m, m));
    for (Eigen::Index row = 0; row < m; ++row)
      lens->log_determinant += 2 * std::log(root.matrixLLT()(row, row));
  } else {
    lens->inverse.resize(0, 0);
  }
  if (n > m) {
    lens->cross = covariance.bottomLeftCorner(n - m, m);
    lens->spread = covariance.bottomRightCorner(n - m, n - m);
    if (m > 0) lens->spread -= lens->cross * lens->inverse * lens->cross.transpose();
  }
  return lens;
}

Likelihood Judge::through(const Lens& lens, const Explanation& explanation,
                          const std::vector<char>* left_out) const {
  const auto left = [&](std::size_t i) { return left_out && (*left_out)[i]; };
  Likelihood result;
  const std::size_t all = frame_->rows.size();
  result.each.assign(all, 0);
  result.pull.assign(all, 0);
  result.slipped.assign(all, 0);
  for (std::size_t i = 0; i < all; ++i) {
    const Observation& observation = (*observations_)[i];
    if (is_value(observation) || is_bound(observation) || left(i)) continue;
    result.each[i] = evidence_of_motion(i, explanation);
    result.log += result.each[i];
    result.slipped[i] = result.each[i] < kSurprise;
  }
  // Numbers that the explanation says must be OL can only be slips.
  for (std::size_t i : lens.apart) {
    if (left(i)) continue;
    if (is_value((*observations_)[i])) {
      result.each[i] = kLogSlip + anything_[i];
      result.pull[i] = 99;
      result.slipped[i] = 1;
    } else {
      result.each[i] = log_of_event(i, 0, 0, true);
      result.slipped[i] = side(i, 0, 0, true) < 0.5;
    }
    result.log += result.each[i];
  }
  const auto m = static_cast<Eigen::Index>(lens.values.size());
  Eigen::VectorXd weighted = Eigen::VectorXd::Zero(m);
  if (m > 0) {
    Eigen::VectorXd residual(m);
    std::vector<double> anything;
    for (Eigen::Index row = 0; row < m; ++row) {
      const std::size_t i = lens.values[static_cast<std::size_t>(row)];
      residual(row) = (*observations_)[i].value - lens.expected(row);
      anything.push_back(log_of_slip(i, lens.expected(row), lens.variance(row)));
      result.each[i] = log_sum(std::log(1 - kSlip) + log_normal(residual(row), lens.variance(row)),
                               kLogSlip + anything.back());
    }
    Gaussian gaussian(lens.inverse, lens.log_determinant);
    gaussian.set(residual);
    for (Eigen::Index row = 0; row < m; ++row) {
      if (left(lens.values[static_cast<std::size_t>(row)])) gaussian.leave_out(row);
    }
    for (Eigen::Index row = 0; row < m; ++row)
      if (!gaussian.out(row)) result.pull[lens.values[static_cast<std::size_t>(row)]] = gaussian.pull(row);
    result.log += gaussian.with_slips(kLogSlip, anything);
    for (Eigen::Index row = 0; row < m; ++row) {
      const std::size_t i = lens.values[static_cast<std::size_t>(row)];
      // Of what is left, how far each lies from the others; a slip also pulls at what was read rightly.
      if (gaussian.out(row)) {
        result.slipped[i] = 1;
      } else {
        result.pull[i] = gaussian.pull(row);
      }
    }
    weighted = gaussian.weighted();
  }
  // Bounds one by one: each has the probability the predictive gives it, and narrows what the next may be.
  const auto bounds = static_cast<Eigen::Index>(lens.bounds.size());
  if (bounds > 0) {
    Eigen::VectorXd mean = lens.expected.tail(bounds);
    if (m > 0) mean += lens.cross * weighted;
    Eigen::MatrixXd spread = lens.spread;
    for (Eigen::Index k = 0; k < bounds; ++k) {
      const std::size_t i = lens.bounds[static_cast<std::size_t>(k)];
      if (left(i)) continue;
      const double deviation = std::sqrt(std::max(spread(k, k), 1e-12));
      result.each[i] = log_of_event(i, mean(k), deviation, false);
      result.log += result.each[i];
      // A slip says nothing of the parts: narrowed by one, the next OL would pass for certain.
      if ((1 - kSlip) * side(i, mean(k), deviation, false) < kSlip * std::exp(anything_[i])) {
        result.slipped[i] = 1;
        continue;
      }
      const bool over = (*observations_)[i].shows == Shows::OverRange;
      const double edge =
          over ? options_.meter.ranges[frame_->rows[i].range].top : options_.meter.beeps_below;
      narrow(k, edge, over ? 0 : kBeeperSpread * edge, (*observations_)[i].shows == Shows::Beep ? -1 : 1,
             mean, spread);
    }
  }
  return result;
}

}  // namespace lugwise::diagnosis::inside
