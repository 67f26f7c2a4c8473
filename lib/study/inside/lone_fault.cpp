#include "study/inside/lone_fault.h"

#include <algorithm>
#include <cmath>

#include "simulation/simulation.h"

namespace lugwise::study::inside {
namespace {

// Sizes lie so near to each other: twenty to a decade.
constexpr double kSizesADecade = 20;

// Limits that are kept from sheet to sheet: 20 MB.
constexpr std::size_t kMostKnown = 200'000;

// Between two sizes of the grid a reading lies between what the two leave it, as it moves one way with a size.
std::vector<double> grid_of(const Fault& fault) {
  if (fault.mode == Mode::Misplaced || fault.mode == Mode::Open || fault.mode == Mode::Short) return {0};
  if (is_worn_track(fault)) return {0};
  const double low = fault.mode == Mode::High ? kLeastHigh : 1 / kMostFactor;
  const double high = fault.mode == Mode::High ? kMostHigh : kMostFactor;
  const double steps = std::round(kSizesADecade * std::log10(high / low));
  std::vector<double> grid;
  for (double k = 0; k <= steps; ++k) grid.push_back(low * std::pow(high / low, k / steps));
  return grid;
}

}  // namespace

LoneFault::LoneFault(const Harness& harness, const std::vector<Fault>& faults, const Plan& plan,
                     const std::vector<const Step*>& steps, const Meter& meter,
                     std::optional<std::size_t> stage)
    : harness_(harness), faults_(faults), plan_(plan), steps_(steps), meter_(meter), stage_(stage) {}

const Reach& LoneFault::reach(std::size_t fault, std::size_t size, const Step& step) {
  const auto key = std::tuple(step.number, fault, size);
  const auto known = known_.find(key);
  if (known != known_.end()) return known->second;
  const auto [sound, fresh] = circuits_.try_emplace(step.number);
  if (fresh)
    sound->second = circuit_of(harness_, {step.setting, stage_, step.access.depth > 0, {}, Temperature{}});
  const Circuit circuit = with_fault(sound->second, faults_[fault], grid_of(faults_[fault])[size]);
  return known_.emplace(key, reach_of(harness_, meter_, step, circuit)).first->second;
}

// Whether the display jumps over it as the step's knob is turned.
bool LoneFault::moves(const Fault& fault, const Step& step) const {
  if (fault.site != Site::Track && fault.site != Site::Wiper) return false;
  if (fault.mode != Mode::High && fault.mode != Mode::Open) return false;
  return std::any_of(step.proves.begin(), step.proves.end(), [&](std::size_t f) {
    const Fault& shown = plan_.faults[f];
    return is_worn_track(shown) && harness_[*shown.element].part == harness_[*fault.element].part;
  });
}

// What two neighbouring sizes leave a reading, and all between them.
Reach LoneFault::reach_between(std::size_t fault, std::size_t cell, const Step& step) {
  Reach between = reach(fault, cell, step);
  if (grid_of(faults_[fault]).size() == 1) return between;
  const Reach& other = reach(fault, cell + 1, step);
  between.always_over = between.always_over && other.always_over;
  between.maybe_over = between.maybe_over || other.maybe_over;
  between.low = std::min(between.low, other.low);
  between.high = std::max(between.high, other.high);
  return between;
}

// Whether one size may have shown them all: each reading leaves a run of cells of the grid, as no resistance between two points
// falls where one of the circuit's grows (Rayleigh).
bool LoneFault::explains(std::size_t f, const Taken& sheet) {
  const Fault& fault = faults_[f];
  const std::size_t sizes = grid_of(fault).size();
  std::size_t first = 0;
  std::size_t past = sizes > 1 ? sizes - 1 : 1;
  for (const auto& [step, seen] : sheet) {
    if (step->kind == StepKind::Sweep) {
      const bool jumps = seen->shows == Shows::Jumps;
      const bool sure = is_worn_track(fault) || fault.mode == Mode::Open;
      if (moves(fault, *step) ? !jumps && sure : jumps) return false;
      continue;
    }
    if (!step->expected.known) continue;
    const auto first_that = [&](std::size_t from, const auto& holds) {
      std::size_t to = past;
      while (from < to) {
        const std::size_t middle = from + (to - from) / 2;
        if (holds(reach_between(f, middle, *step))) {
          to = middle;
        } else {
          from = middle + 1;
        }
      }
      return from;
    };
    first = first_that(first, [&](const Reach& reach) { return !is_below(meter_, *step, reach, *seen); });
    past = first_that(first, [&](const Reach& reach) { return is_above(meter_, *step, reach, *seen); });
    if (first == past) return false;
  }
  return true;
}

// Each with its step; what is wrong first, as most faults fail there.
LoneFault::Taken LoneFault::taken(const std::vector<Observation>& sheet) const {
  Taken read;
  for (const Observation& seen : sheet) {
    const auto step = std::find_if(steps_.begin(), steps_.end(),
                                   [&](const Step* each) { return each->number == seen.step; });
    if (step != steps_.end()) read.push_back({*step, &seen});
  }
  std::stable_partition(read.begin(), read.end(), [&](const auto& each) {
    const auto& [step, seen] = each;
    return step->kind == StepKind::Sweep ? seen->shows == Shows::Jumps
                                         : !inside::may_show(meter_, *step, reach_if_sound(*step), *seen);
  });
  return read;
}

std::optional<std::size_t> LoneFault::explaining(const std::vector<Observation>& sheet) {
  if (known_.size() > kMostKnown) known_.clear();
  const Taken read = taken(sheet);
  for (std::size_t f = 0; f < faults_.size(); ++f) {
    if (explains(f, read)) return f;
  }
  return std::nullopt;
}

bool LoneFault::may_show(std::size_t fault, const std::vector<Observation>& sheet) {
  return explains(fault, taken(sheet));
}

}  // namespace lugwise::study::inside
