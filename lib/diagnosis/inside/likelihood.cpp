#include "diagnosis/inside/likelihood.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "diagnosis/inside/gaussian.h"
#include "diagnosis/inside/slip.h"
#include "diagnosis/inside/unsteadiness.h"
#include "expectation/corner.h"

namespace lugwise::diagnosis::inside {

namespace {

const double kLogSlip = std::log(kSlip);

// A beeper's threshold is a rough one.
constexpr double kBeeperSpread = 0.3;

// Independent part of a gain error; the rest is common to a range.
constexpr double kOwnShare = 0.04;

// The sketch of a reading that a fault changes by more than a tenth is no better than this.
constexpr double kChanged = 0.1;
constexpr double kSketchy = 0.12;

// A knob or a joint that moves otherwise than one time in twenty fits no better than a slip.
const double kSurprise = std::log(0.05);

// A sweep that is this likely to jump and does not rules the fault out.
constexpr double kSurelyJumps = 0.99;

// A change below so many deviations of the reading is none.
constexpr double kUnnoticed = 0.02;

// A size that may be anything: two deviations are e^5 either way.
constexpr double kFree = 2.5;

// Gauss-Newton: solved anew at most so often, until no unknown moves by more than so many deviations.
constexpr int kMostRounds = 4;
constexpr double kStill = 0.1;

// How many times nearer to its usual ohms a wiper at its stop lies than a worn one may be. Judgements.
constexpr Wear kEveryWear[] = {Wear::Worn, Wear::Used, Wear::AsNew};
constexpr double kNearer[] = {1, 8, 40};

// Sets of places that are kept.
constexpr std::size_t kMostFrames = 64;

// Explanations kept ready in all of them, in numbers held: about 100 MB.
constexpr std::size_t kMostHeld = 12'000'000;

constexpr double kNotYet = std::numeric_limits<double>::quiet_NaN();

double log_normal(double residual, double variance) {
  return -0.5 * (residual * residual / variance + std::log(2 * std::numbers::pi * variance));
}

double below(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

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

bool is_unsteady(const Observation& observation) {
  return observation.shows == Shows::Unstable || observation.shows == Shows::Jumps;
}

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

  std::size_t held() const {
    return static_cast<std::size_t>(scaled.size() + inverse.size() + cross.size() + spread.size()) + 200;
  }
};

struct Judge::Pattern {
  std::vector<std::size_t> values;  // rows that are numbers and should be, in a sound harness
  Eigen::MatrixXd inverse;
  double log_determinant = 0;
  Eigen::VectorXd expected;
  std::vector<std::ptrdiff_t> seat;  // of each row among the values, or -1
  std::vector<std::unique_ptr<Lens>> lenses[std::size(kEveryWear)];
  std::unique_ptr<Lens> sound[std::size(kEveryWear)];
};

struct Judge::Sketch {
  std::vector<double> ohms;          // by row; open is infinity
  std::vector<std::size_t> changed;  // rows it makes read otherwise
  std::uint64_t kind = 0;
};

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

Judge::Judge(const Harness& harness, Model& model, const DiagnosisOptions& options)
    : harness_(harness), model_(model), options_(options) {}

Judge::~Judge() = default;

void Judge::take(const std::vector<Observation>& observations) {
  observations_ = &observations;
  std::vector<Frame::Row> rows;
  for (const Observation& observation : observations) {
    Frame::Row row;
    row.probe = model_.probe(observation);
    const std::vector<Range>& ranges = options_.meter.ranges;
    row.range = ranges.size() - 1;
    for (std::size_t r = 0; r < ranges.size(); ++r) {
      if (observation.range && ranges[r].top == observation.range->top) row.range = r;
    }
    row.step = std::max(options_.meter.step(ranges[row.range]),
                        is_value(observation) ? observation.resolution : 0.0);
    const auto plug = [&](PointId point) { return harness_[point].role == PointRole::Plug ? 1 : 0; };
    row.cable = options_.meter.cable / 2 * (plug(observation.a) + plug(observation.b));
    row.action = observation.action;
    row.swept = observation.swept;
    row.wiggled = observation.wiggled;
    rows.push_back(std::move(row));
  }
  const auto known =
      std::find_if(frames_.begin(), frames_.end(), [&](const auto& frame) { return frame->rows == rows; });
  if (known != frames_.end()) {
    frames_.splice(frames_.begin(), frames_, known);
  } else {
    if (frames_.size() >= kMostFrames) frames_.pop_back();
    auto frame = std::make_unique<Frame>();
    for (std::size_t i = 0; i < rows.size(); ++i) {
      frame->probes.push_back(rows[i].probe);
      frame->turned.push_back(pots_swept(harness_, observations[i], options_));
    }
    frame->rows = std::move(rows);
    frames_.push_front(std::move(frame));
    frame_ = frames_.front().get();
    for (std::size_t i = 0; i < frame_->rows.size(); ++i) {
      const Prediction& sound = model_.sound(frame_->probes[i]);
      frame_->ohms.push_back(sound.open ? HUGE_VAL : sound.ohms);
      double variance = meter_variance(i, sound.ohms);
      for (const auto& [unknown, slope] : sound.slopes) {
        variance += std::pow(slope * model_.deviation()[unknown], 2);
        frame_->wipers = frame_->wipers || model_.of_wiper(unknown);
      }
      variance += std::pow(model_.deviation()[model_.leads()], 2);
      variance += std::pow(model_.deviation()[model_.gain(frame_->rows[i].range)] * sound.ohms, 2);
      frame_->deviation.push_back(std::sqrt(variance));
    }
  }
  frame_ = frames_.front().get();
  forget_frames();

  std::string key;
  anything_.clear();
  for (std::size_t i = 0; i < observations.size(); ++i) {
    key.push_back(is_value(observations[i]) ? 'v' : is_bound(observations[i]) ? 'b' : 'm');
    anything_.push_back(log_of_anything(options_.meter, observations[i]));
  }
  auto& pattern = frame_->patterns[key];
  if (!pattern) {
    pattern = std::make_unique<Pattern>();
    pattern_ = pattern.get();
    for (const Wear wear : kEveryWear)
      pattern->sound[static_cast<std::size_t>(wear)] = grind({}, model_.mean(), wear, false);
    for (const auto& sound : pattern->sound) frame_->held += sound->held();
    const Lens& worn = *pattern->sound[0];
    pattern->values = worn.values;
    pattern->inverse = worn.inverse;
    pattern->log_determinant = worn.log_determinant;
    pattern->expected = worn.expected;
    pattern->seat.assign(observations.size(), -1);
    for (std::size_t k = 0; k < worn.values.size(); ++k)
      pattern->seat[worn.values[k]] = static_cast<std::ptrdiff_t>(k);
  }
  pattern_ = pattern.get();

  const std::size_t m = pattern_->values.size();
  residual_.resize(m);
  for (std::size_t k = 0; k < m; ++k)
    residual_[k] = observations[pattern_->values[k]].value - pattern_->expected(static_cast<Eigen::Index>(k));
  const Eigen::Map<const Eigen::VectorXd> residual(residual_.data(), static_cast<Eigen::Index>(m));
  const Eigen::VectorXd weighted = pattern_->inverse * residual;
  weighted_.assign(weighted.data(), weighted.data() + weighted.size());
  square_ = residual.dot(weighted);
  sound_events_.assign(observations.size(), 0);
  for (std::size_t i = 0; i < observations.size(); ++i) {
    if (pattern_->seat[i] >= 0) continue;
    const bool open = std::isinf(frame_->ohms[i]);
    const double ohms = open ? 0 : frame_->ohms[i] + model_.mean()[model_.leads()] + frame_->rows[i].cable;
    if (is_value(observations[i])) {
      sound_events_[i] = kLogSlip + anything_[i];
    } else if (is_bound(observations[i])) {
      sound_events_[i] = log_of_event(i, ohms, frame_->deviation[i], open);
    } else {
      sound_events_[i] = evidence_of_motion(i, {});
    }
  }
  values_anything_.clear();
  for (std::size_t k = 0; k < m; ++k) {
    const auto row = static_cast<Eigen::Index>(k);
    values_anything_.push_back(
        log_of_slip(pattern_->values[k], pattern_->expected(row), pattern_->sound[0]->variance(row)));
  }
  glances_.clear();
  weighed_.clear();
  followed_.clear();
  freed_.clear();
  sound_glance_ = kNotYet;
  sound_glance_ = glance_anew({{}, 0});
  glances_.emplace(0, sound_glance_);
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

// Of two faults the one that betrays itself more often counts.
double Judge::chance_of_motion(std::size_t i, const Explanation& explanation) const {
  const Frame::Row& row = frame_->rows[i];
  const Movement movement{row.action, row.step, &frame_->turned[i], &row.wiggled};
  double chance = chance_of_unsteady(harness_, movement, nullptr, 0, false);
  for (const Explanation& each : {explanation, model_.base()}) {
    if (!each.fault) continue;
    const bool touched = model_.touches(row.probe, *each.fault);
    chance = std::max(chance, chance_of_unsteady(harness_, movement, each.fault, each.size, touched));
  }
  return chance;
}

double Judge::evidence_of_motion(std::size_t i, const Explanation& explanation) const {
  const double chance = chance_of_motion(i, explanation);
  return std::log(is_unsteady((*observations_)[i]) ? chance : 1 - chance);
}

bool Judge::touched(const Fault& fault) const {
  for (std::size_t i = 0; i < frame_->rows.size(); ++i) {
    if (!is_value((*observations_)[i]) || model_.touches(frame_->probes[i], fault)) return true;
  }
  return false;
}

const std::vector<double>& Judge::sketch(const Numbered& numbered) {
  if (!numbered.explanation.fault) return frame_->ohms;
  auto& sketches = frame_->sketches;
  if (sketches.size() <= numbered.number) sketches.resize(numbered.number + 1);
  auto& sketch = sketches[numbered.number];
  if (sketch) return sketch->ohms;
  sketch = std::make_unique<Sketch>(draw(numbered.explanation));
  sketch->kind = kind_of(*sketch, numbered.explanation);
  frame_->sketched += sketch->ohms.size() + 16;
  return sketch->ohms;
}

Judge::Sketch Judge::draw(const Explanation& explanation) const {
  Sketch sketch;
  for (std::size_t i = 0; i < frame_->probes.size(); ++i) {
    const double ohms = model_.sketch(frame_->probes[i], explanation);
    sketch.ohms.push_back(ohms);
    const bool same =
        ohms == frame_->ohms[i] || std::abs(ohms - frame_->ohms[i]) < kUnnoticed * frame_->deviation[i];
    if (!same) sketch.changed.push_back(i);
  }
  return sketch;
}

// Readings that lie nearer than a thousandth of their deviation are one.
std::uint64_t Judge::kind_of(const Sketch& sketch, const Explanation& explanation) const {
  const Fault& fault = *explanation.fault;
  std::uint64_t hash = 1469598103934665603U;
  const auto mix = [&hash](std::uint64_t number) {
    hash = (hash ^ number) * 1099511628211U;
    hash ^= hash >> 29;
  };
  mix(has_size(fault) ? 1 + static_cast<std::uint64_t>(fault.mode) : 0);
  if (has_size(fault)) mix(static_cast<std::uint64_t>(std::llround(1e6 * std::log(explanation.size))));
  for (std::size_t i = 0; i < sketch.ohms.size(); ++i) {
    mix(std::isinf(sketch.ohms[i])
            ? 7
            : static_cast<std::uint64_t>(std::llround(sketch.ohms[i] / (1e-3 * frame_->deviation[i]))));
    const double chance = chance_of_motion(i, explanation);
    mix(static_cast<std::uint64_t>(chance * 1e6));
  }
  return hash;
}

std::uint64_t Judge::kind(const Numbered& numbered) {
  if (!numbered.explanation.fault) return 0;
  sketch(numbered);
  return frame_->sketches[numbered.number]->kind;
}

double Judge::glance(const Numbered& numbered) {
  const std::uint64_t of = kind(numbered);
  const auto known = glances_.find(of);
  if (known != glances_.end()) return known->second;
  const double log = glance_anew(numbered);
  glances_.emplace(of, log);
  return log;
}

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

double Judge::consider(const Fault& fault) const { return glance_at({&fault, 0}, draw({&fault, 0})); }

double Judge::glance_anew(const Numbered& numbered) {
  if (!numbered.explanation.fault) return glance_at({}, {frame_->ohms, {}, 0});
  sketch(numbered);
  return glance_at(numbered.explanation, *frame_->sketches[numbered.number]);
}

double Judge::glance_at(const Explanation& explanation, const Sketch& sketch) const {
  const std::vector<double>& ohms = sketch.ohms;
  const std::vector<std::size_t>& changed = sketch.changed;
  double events = 0;
  bool moves = false;
  const bool sound_known = !std::isnan(sound_glance_);
  for (std::size_t i = 0; i < ohms.size(); ++i) {
    const Observation& observation = (*observations_)[i];
    if (is_value(observation) || is_bound(observation)) continue;
    const double log = explanation.fault ? evidence_of_motion(i, explanation) : sound_events_[i];
    events += log;
    moves = moves || log != sound_events_[i];
  }
  if (sound_known && changed.empty() && !moves) return sound_glance_;

  Gaussian gaussian(pattern_->inverse, pattern_->log_determinant);
  const auto m = static_cast<Eigen::Index>(residual_.size());
  gaussian.set(Eigen::Map<const Eigen::VectorXd>(residual_.data(), m),
               Eigen::Map<const Eigen::VectorXd>(weighted_.data(), m), square_);
  const double leads = model_.mean()[model_.leads()];
  for (std::size_t i : changed) {
    if (pattern_->seat[i] >= 0 && !std::isinf(ohms[i]))
      gaussian.lower(pattern_->seat[i], ohms[i] - frame_->ohms[i]);
  }
  std::vector<double> anything_there = values_anything_;
  for (std::size_t i : changed) {
    const std::ptrdiff_t seat = pattern_->seat[i];
    if (seat < 0) continue;
    if (std::isinf(ohms[i])) {
      gaussian.leave_out(seat);
      events += kLogSlip + anything_[i];
    } else if (std::abs(ohms[i] - frame_->ohms[i]) > kChanged * frame_->ohms[i]) {
      gaussian.widen(seat, std::pow(kSketchy * ohms[i], 2));
      anything_there[static_cast<std::size_t>(seat)] =
          log_of_slip(i, ohms[i] + leads + frame_->rows[i].cable,
                      std::pow(std::hypot(frame_->deviation[i], kSketchy * ohms[i]), 2));
    }
  }
  std::size_t next = 0;
  for (std::size_t i = 0; i < ohms.size(); ++i) {
    const bool new_here = next < changed.size() && changed[next] == i;
    if (new_here) ++next;
    if (pattern_->seat[i] >= 0) continue;
    const Observation& observation = (*observations_)[i];
    if (!is_value(observation) && !is_bound(observation)) continue;
    if (!new_here) {
      events += sound_events_[i];
      continue;
    }
    const bool open = std::isinf(ohms[i]);
    const double shown = open ? 0 : ohms[i] + leads + frame_->rows[i].cable;
    const double deviation = std::hypot(frame_->deviation[i], kSketchy * shown);
    if (is_bound(observation)) {
      events += log_of_event(i, shown, deviation, open);
    } else {
      events += log_sum(std::log(1 - kSlip) + log_normal(observation.value - shown, deviation * deviation),
                        kLogSlip + anything_[i]);
    }
  }
  return events + gaussian.with_slips(kLogSlip, anything_there);
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

bool Judge::would_jump(std::size_t row, const Fault& fault) const {
  return frame_->rows[row].action == Action::Sweep && chance_of_motion(row, {&fault, 0}) > kSurelyJumps;
}

// What a slip shows: anything, or the right number on a range misread.
double Judge::log_of_slip(std::size_t i, double mean, double variance) const {
  const double decade = log_of_decade((*observations_)[i].value, mean, variance);
  return std::isinf(decade) ? anything_[i] : log_sum(anything_[i], decade);
}

// The oldest first, and of the one at hand all that does not belong to the readings at hand.
void Judge::forget_frames() {
  std::size_t held = 0;
  for (const auto& frame : frames_) held += frame->held + frame->sketched;
  while (held > kMostHeld && frames_.size() > 1) {
    held -= frames_.back()->held + frames_.back()->sketched;
    frames_.pop_back();
  }
  if (held <= kMostHeld) return;
  frame_->patterns.clear();
  frame_->sketches.clear();
  frame_->held = frame_->sketched = 0;
}

// While one set of readings is judged: each explanation is ground again when it is next asked for.
void Judge::forget_lenses() {
  for (const auto& [key, pattern] : frame_->patterns) {
    for (auto& lenses : pattern->lenses) lenses.clear();
  }
  frame_->held = 0;
}

// The latest one asked for is there until the next is.
const Judge::Lens& Judge::lens(const Numbered& numbered, Wear wear) {
  const auto state = static_cast<std::size_t>(wear);
  if (!numbered.explanation.fault) return *pattern_->sound[state];
  if (frame_->held > kMostHeld) forget_lenses();
  auto& lenses = pattern_->lenses[state];
  if (lenses.size() <= numbered.number) lenses.resize(numbered.number + 1);
  auto& lens = lenses[numbered.number];
  if (!lens) {
    lens = grind(numbered.explanation, model_.mean(), wear, false);
    frame_->held += lens->held();
  }
  return *lens;
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
      // What is left of its deviation, the readings known: the rest is explained by them.
      const Eigen::VectorXd row = at->scaled.topRows(m).col(static_cast<Eigen::Index>(k));
      Gaussian along(at->inverse, at->log_determinant);
      along.set(row);
      for (Eigen::Index r = 0; r < m; ++r) {
        if (gaussian.out(r)) along.leave_out(r);
      }
      double explained = 0;
      for (Eigen::Index r = 0; r < m; ++r) explained += gaussian.out(r) ? 0 : row(r) * along.weighted()(r);
      result.size_deviation = deviation_of * std::sqrt(std::max(0.0, 1 - explained));
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
