#include "diagnosis/inside/likelihood.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "expectation/corner.h"

namespace lugwise {
namespace {

// The chance that a reading was taken or written down wrongly: a judgement.
constexpr double kSlip = 0.01;

// A slip, or a fault we don't list, may show anything from a tenth of an ohm to 20 megohms, evenly by decades, or OL.
constexpr double kSlipShowsOpen = 0.3;
const double kSlipSpan = std::log(2e8);

// A beeper's threshold is a rough one.
constexpr double kBeeperSpread = 0.3;

// Independent part of a gain error; the rest is common to a range.
constexpr double kOwnShare = 0.04;

// Places of the knob at which a sweep is looked at: a blend's halves move one after the other.
constexpr double kBetweenStops[] = {2.5, 5, 7.5};

// A wiper that carries less than this share of the current moves the display too little to be seen jumping.
constexpr double kLeastShare = 0.02;

double log_normal(double residual, double variance) {
  return -0.5 * (residual * residual / variance + std::log(2 * std::numbers::pi * variance));
}

double below(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

double log_sum(double x, double y) {
  const double most = std::max(x, y);
  return most + std::log(std::exp(x - most) + std::exp(y - most));
}

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

bool is_value(const Observation& observation) { return observation.shows == Shows::Value; }

bool is_bound(const Observation& observation) {
  return observation.shows == Shows::OverRange || observation.shows == Shows::Beep ||
         observation.shows == Shows::NoBeep;
}

Judge::Judge(const Harness& harness, const Model& model, const std::vector<Observation>& observations,
             const DiagnosisOptions& options)
    : harness_(harness), model_(model), observations_(observations), options_(options) {
  for (std::size_t i = 0; i < observations.size(); ++i) {
    const auto plug = [&](PointId point) { return harness[point].role == PointRole::Plug ? 1 : 0; };
    cable_.push_back(options.meter.cable / 2 * (plug(observations[i].a) + plug(observations[i].b)));
    const Prediction& sound = model.sound()[i];
    double variance = meter_variance(observations[i], sound.ohms);
    for (const auto& [unknown, slope] : sound.slopes) {
      variance += std::pow(slope * model.deviation()[unknown], 2);
    }
    variance += std::pow(model.deviation()[model.leads()], 2);
    const double gain = model.deviation()[model.gain(range_index(observations[i]))];
    variance += std::pow(gain * sound.ohms, 2);
    deviation_.push_back(std::sqrt(variance));
    swept_.push_back(pots_swept(observations[i]));
  }
}

std::size_t Judge::range_index(const Observation& observation) const {
  for (std::size_t r = 0; r < options_.meter.ranges.size(); ++r) {
    if (observation.range && options_.meter.ranges[r].top == observation.range->top) return r;
  }
  return options_.meter.ranges.size() - 1;
}

double Judge::meter_variance(const Observation& observation, double shown) const {
  const Range& range = options_.meter.ranges[range_index(observation)];
  const double step =
      std::max(options_.meter.step(range), is_value(observation) ? observation.resolution : 0);
  const double digits = range.digits * options_.meter.step(range);
  return digits * digits / 3 + step * step / 12 + kOwnShare * std::pow(range.share * shown, 2) / 3;
}

double Judge::anything(std::size_t i) const {
  const Observation& observation = observations_[i];
  if (is_value(observation)) {
    // No finer than the display: what lies below its last digit is all shown as nought.
    const double step = options_.meter.step(options_.meter.ranges[range_index(observation)]);
    const double shown = std::max({observation.value, observation.resolution, step});
    return std::log((1 - kSlipShowsOpen) / kSlipSpan / shown);
  }
  return std::log(observation.shows == Shows::OverRange ? kSlipShowsOpen : 0.5);
}

// OL, a beep and none: the probability that the display stands on that side.
double Judge::side(const Observation& observation, double ohms, double deviation, bool open) const {
  if (observation.shows == Shows::OverRange) {
    const double top = options_.meter.ranges[range_index(observation)].top;
    return open ? 1 : below((ohms - top) / std::max(deviation, 1e-6 * top));
  }
  const double threshold = options_.meter.beeps_below;
  const double spread = std::hypot(deviation, kBeeperSpread * threshold);
  const double beeps = open ? 0 : below((threshold - ohms) / spread);
  return observation.shows == Shows::Beep ? beeps : 1 - beeps;
}

// The same as a log, a slip allowed for.
double Judge::log_of_event(std::size_t i, double ohms, double deviation, bool open) const {
  const double likely = side(observations_[i], ohms, deviation, open);
  return std::log((1 - kSlip) * likely + kSlip * std::exp(anything(i)));
}

// The pots on the knob's shaft whose wiper the current passes somewhere between the stops.
std::vector<PartId> Judge::pots_swept(const Observation& observation) const {
  std::vector<PartId> pots;
  if (observation.action != Action::Sweep || !observation.swept) return pots;
  for (const double knob : kBetweenStops) {
    State state{observation.setting, options_.stage, observation.access.depth > 0, observation.lifted,
                options_.temperature};
    state.setting.turn(*observation.swept, knob);
    const Circuit circuit = circuit_of(harness_, state);
    const auto flow = network_at(circuit, resistors_at(circuit, Corner::Nominal))
                          .flow(observation.a.index, observation.b.index);
    if (!flow) continue;
    for (const Current& current : flow->currents) {
      const Element& element = harness_[circuit.branches[current.resistor].element];
      if (element.kind != ElementKind::Wiper || std::abs(current.amperes) < kLeastShare) continue;
      const bool on_shaft = harness_[*element.part].pot->gang.value_or(*element.part) == *observation.swept;
      if (on_shaft && std::find(pots.begin(), pots.end(), *element.part) == pots.end())
        pots.push_back(*element.part);
    }
  }
  return pots;
}

// What moving a joint or a knob shows: a judgement of how often each fault betrays itself so.
double Judge::evidence_of_motion(std::size_t i, const Explanation& explanation) const {
  const Observation& observation = observations_[i];
  const Fault* fault = explanation.fault;
  const bool unsteady = observation.shows == Shows::Unstable || observation.shows == Shows::Jumps;
  const bool loose =
      fault && (fault->mode == Mode::High || fault->mode == Mode::Open) && model_.touches(i, *fault);
  const bool of_pot = fault && (fault->site == Site::Track || fault->site == Site::Wiper);
  if (observation.action == Action::Sweep) {
    const bool this_pot =
        of_pot && fault->mode != Mode::Value &&
        std::find(swept_[i].begin(), swept_[i].end(), *harness_[*fault->element].part) != swept_[i].end();
    const double jumps = this_pot ? 0.995 : loose ? 0.02 : 0.0005;
    return std::log(unsteady ? jumps : 1 - jumps);
  }
  if (observation.action == Action::Wiggle) {
    const bool moved =
        loose && !of_pot && std::any_of(fault->points.begin(), fault->points.end(), [&](PointId point) {
          return std::find(observation.wiggled.begin(), observation.wiggled.end(), point) !=
                 observation.wiggled.end();
        });
    const double unstable = moved ? 0.7 : loose ? 0.1 : 0.005;
    return std::log(unsteady ? unstable : 1 - unstable);
  }
  const double unstable = loose ? 0.2 : 0.005;
  return std::log(unsteady ? unstable : 1 - unstable);
}

double Judge::glance(const Explanation& explanation) const {
  const std::vector<double> sketch = model_.sketch(explanation);
  const std::vector<Prediction>& sound = model_.sound();
  double sum = 0;
  for (std::size_t i = 0; i < observations_.size(); ++i) {
    const Observation& observation = observations_[i];
    const bool open = std::isinf(sketch[i]);
    const double ohms = open ? 0 : sketch[i] + model_.mean()[model_.leads()] + cable_[i];
    const bool changed =
        !open && (sound[i].open || std::abs(sketch[i] - sound[i].ohms) > 0.1 * sound[i].ohms);
    const double deviation = changed ? std::hypot(deviation_[i], 0.12 * ohms) : deviation_[i];
    if (is_value(observation)) {
      const double fits = open ? -700
                               : log_normal(observation.value - ohms,
                                            deviation * deviation + meter_variance(observation, ohms));
      sum += log_sum(std::log(1 - kSlip) + fits, std::log(kSlip) + anything(i));
    } else if (is_bound(observation)) {
      sum += log_of_event(i, ohms, deviation, open);
    } else {
      sum += evidence_of_motion(i, explanation);
    }
  }
  return sum;
}

// A wiper at its stop shows a fraction of an ohm as a rule, and tens of ohms where it is worn: half and half. One normal
// wide enough for both would make a reading of nothing but leads look like a short.
Likelihood Judge::weigh(const Explanation& explanation, int rounds) const {
  Likelihood worn = weigh(explanation, rounds, model_.deviation());
  Likelihood fresh = weigh(explanation, rounds, model_.fresh_deviation());
  const double mixed = log_sum(worn.log, fresh.log) - std::log(2.0);
  Likelihood& likelier = worn.log > fresh.log ? worn : fresh;
  likelier.log = mixed;
  return likelier;
}

Likelihood Judge::weigh(const Explanation& explanation, int rounds,
                        const std::vector<double>& deviation_of) const {
  const std::size_t unknowns = model_.unknowns();
  std::vector<double> x = model_.mean();
  Likelihood result;

  for (int round = 0;; ++round) {
    const std::vector<Prediction> predictions = model_.predict(explanation, x);

    // Numbers that the explanation says must be OL can only be slips.
    std::vector<std::size_t> values;
    std::vector<std::size_t> bounds;
    result.log = 0;
    result.each.assign(observations_.size(), 0);
    result.pull.assign(observations_.size(), 0);
    const double slip = std::log(kSlip);
    for (std::size_t i = 0; i < observations_.size(); ++i) {
      const Observation& observation = observations_[i];
      if (is_value(observation)) {
        if (!predictions[i].open) {
          values.push_back(i);
        } else {
          result.each[i] = slip + anything(i);
          result.pull[i] = 99;
          result.log += result.each[i];
        }
      } else if (is_bound(observation)) {
        if (!predictions[i].open) {
          bounds.push_back(i);
        } else {
          result.each[i] = log_of_event(i, 0, 0, true);
          result.log += result.each[i];
        }
      } else {
        result.each[i] = evidence_of_motion(i, explanation);
        result.log += result.each[i];
      }
    }
    std::vector<std::size_t> order = values;
    order.insert(order.end(), bounds.begin(), bounds.end());
    const auto n = static_cast<Eigen::Index>(order.size());
    const auto m = static_cast<Eigen::Index>(values.size());
    if (n == 0) break;

    // Joint normal of what the displays say before anything is read: f(x) + J (mean - x), with J S J' + meter.
    Eigen::MatrixXd scaled = Eigen::MatrixXd::Zero(n, static_cast<Eigen::Index>(unknowns));
    Eigen::VectorXd expected(n);
    Eigen::VectorXd own(n);
    for (Eigen::Index row = 0; row < n; ++row) {
      const std::size_t i = order[static_cast<std::size_t>(row)];
      const Prediction& prediction = predictions[i];
      const double truth = prediction.ohms + x[model_.leads()] + cable_[i];
      const std::uint32_t gain = model_.gain(range_index(observations_[i]));
      const double factor = 1 + x[gain];
      expected(row) = truth * factor;
      const auto add = [&](std::uint32_t unknown, double slope) {
        scaled(row, unknown) += slope * deviation_of[unknown];
        expected(row) += slope * (model_.mean()[unknown] - x[unknown]);
      };
      for (const auto& [unknown, slope] : prediction.slopes) add(unknown, slope * factor);
      add(model_.leads(), factor);
      add(gain, truth);
      own(row) = meter_variance(observations_[i], truth);
    }
    Eigen::MatrixXd covariance = scaled * scaled.transpose();
    covariance.diagonal() += own;

    Eigen::VectorXd residual(m);
    for (Eigen::Index row = 0; row < m; ++row) {
      residual(row) = observations_[order[static_cast<std::size_t>(row)]].value - expected(row);
    }
    Eigen::VectorXd pulled;  // covariance^-1 residual
    Eigen::VectorXd mean = expected.tail(n - m);
    Eigen::MatrixXd spread = covariance.bottomRightCorner(n - m, n - m);
    if (m > 0) {
      const Eigen::LLT<Eigen::MatrixXd> root(covariance.topLeftCorner(m, m));
      pulled = root.solve(residual);
      const Eigen::MatrixXd inverse = root.solve(Eigen::MatrixXd::Identity(m, m));
      double all = -0.5 * (residual.dot(pulled) + static_cast<double>(m) * std::log(2 * std::numbers::pi));
      for (Eigen::Index row = 0; row < m; ++row) all -= std::log(root.matrixLLT()(row, row));
      // Either no reading is a slip, or one of them is: what is left without it follows from the inverse.
      double mixed = static_cast<double>(m) * std::log(1 - kSlip) + all;
      const double none = mixed;
      for (Eigen::Index row = 0; row < m; ++row) {
        const std::size_t i = order[static_cast<std::size_t>(row)];
        const double variance = 1 / inverse(row, row);
        const double off = pulled(row) * variance;
        result.pull[i] = off / std::sqrt(variance);
        const double without = none - log_normal(off, variance);
        mixed = log_sum(mixed, without + slip - std::log(1 - kSlip) + anything(i));
        result.each[i] = log_sum(std::log(1 - kSlip) + log_normal(residual(row), covariance(row, row)),
                                 slip + anything(i));
      }
      result.log += mixed;
      const Eigen::MatrixXd cross = covariance.bottomLeftCorner(n - m, m);
      mean += cross * pulled;
      spread -= cross * inverse * cross.transpose();
    }
    // Bounds one by one: each has the probability the predictive gives it, and narrows what the next may be.
    for (Eigen::Index k = 0; k < n - m; ++k) {
      const std::size_t i = order[static_cast<std::size_t>(m + k)];
      const double variance = std::max(spread(k, k), 1e-12);
      const double deviation = std::sqrt(variance);
      result.each[i] = log_of_event(i, mean(k), deviation, false);
      result.log += result.each[i];
      // A slip says nothing of the parts: narrowed by one, the next OL would pass for certain.
      if ((1 - kSlip) * side(observations_[i], mean(k), deviation, false) < kSlip * std::exp(anything(i)))
        continue;
      const bool over = observations_[i].shows == Shows::OverRange;
      const double edge =
          over ? options_.meter.ranges[range_index(observations_[i])].top : options_.meter.beeps_below;
      narrow(k, edge, over ? 0 : kBeeperSpread * edge, observations_[i].shows == Shows::Beep ? -1 : 1, mean,
             spread);
    }
    const bool sized = explanation.fault &&
                       (explanation.fault->mode == Mode::High || explanation.fault->mode == Mode::Value);
    if (m == 0) break;
    const Eigen::VectorXd shift = scaled.topRows(m).transpose() * pulled;
    if (sized) {
      const auto size = static_cast<Eigen::Index>(model_.size());
      result.size_shift = shift(size) * deviation_of[model_.size()];
      const Eigen::VectorXd row = scaled.topRows(m).col(size);
      const Eigen::LLT<Eigen::MatrixXd> root(covariance.topLeftCorner(m, m));
      result.size_deviation =
          deviation_of[model_.size()] * std::sqrt(std::max(0.0, 1 - row.dot(root.solve(row))));
    }
    if (round >= rounds) break;
    for (std::size_t unknown = 0; unknown < unknowns; ++unknown) {
      // No step beyond what a bound of four deviations allows: a slip must not drag the parts away.
      const double step = std::clamp(shift(static_cast<Eigen::Index>(unknown)), -4.0, 4.0);
      x[unknown] = model_.mean()[unknown] + step * deviation_of[unknown];
    }
  }
  return result;
}

}  // namespace lugwise
