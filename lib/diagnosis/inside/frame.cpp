#include "diagnosis/inside/frame.h"

#include <algorithm>

#include "diagnosis/inside/unsteadiness.h"

namespace lugwise::diagnosis::inside {
namespace {

// A change below so many deviations of the reading is none.
constexpr double kUnnoticed = 0.02;
// Sets of places that are kept.
constexpr std::size_t kMostFrames = 64;
// Explanations kept ready in all of them, in numbers held: about 100 MB.
constexpr std::size_t kMostHeld = 12'000'000;

}  // namespace

void Judge::take(const std::vector<Observation>& observations) {
  observations_ = &observations;
  find_frame(observations);
  forget_frames();
  find_pattern(observations);
  glances_.clear();
  weighed_.clear();
  followed_.clear();
  freed_.clear();
  begin_glances(observations);
}

// Those at the places of the readings: kept from before, or measured off now.
void Judge::find_frame(const std::vector<Observation>& observations) {
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
    measure_off();
  }
  frame_ = frames_.front().get();
}

// What a sound harness shows there, and how far it may lie from that.
void Judge::measure_off() {
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

// Which of the readings are numbers, which bounds; and what is the same for all of that pattern.
void Judge::find_pattern(const std::vector<Observation>& observations) {
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

}  // namespace lugwise::diagnosis::inside
