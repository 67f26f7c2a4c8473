#include <cmath>
#include <limits>

#include "diagnosis/inside/frame.h"
#include "diagnosis/inside/gaussian.h"

namespace lugwise::diagnosis::inside {
namespace {

// The sketch of a reading that a fault changes by more than a tenth is no better than this.
constexpr double kChanged = 0.1;
constexpr double kSketchy = 0.12;
constexpr double kNotYet = std::numeric_limits<double>::quiet_NaN();

}  // namespace

// What the glances at these very readings start from.
void Judge::begin_glances(const std::vector<Observation>& observations) {
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
  sound_glance_ = kNotYet;
  sound_glance_ = glance_anew({{}, 0});
  glances_.emplace(0, sound_glance_);
}

double Judge::glance(const Numbered& numbered) {
  const std::uint64_t of = kind(numbered);
  const auto known = glances_.find(of);
  if (known != glances_.end()) return known->second;
  const double log = glance_anew(numbered);
  glances_.emplace(of, log);
  return log;
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

}  // namespace lugwise::diagnosis::inside
