#include "plan/inside/note.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "expectation/corner.h"
#include "handling/handling.h"

namespace lugwise::plan::inside {
namespace {

// A coil that is this share of a reading keeps it moving for a second or two. A judgement.
constexpr double kCoilShows = 0.2;

// Fingers on both tips are a path of hundreds of kilohms: common practice, no source.
constexpr Ohms kFingersShow = 100e3;

// Digits finer than this tell a cold joint from a sound one as well as tips and pressure allow. A judgement.
constexpr Ohms kFine = 1;

// Where the sound limits are wider than so many digits it is they that hide a cold joint, not the range.
constexpr double kFewDigits = 3;

bool has_coil(const Harness& harness, const Step& step) {
  double share = 0;
  for (const Contribution& part : step.expected.through) {
    if (harness[part.element].kind == ElementKind::Coil) share += part.share;
  }
  return share >= kCoilShows;
}

// The capacitor whose charging the meter shows at first: the probes are apart, and would not be if it conducted.
std::optional<std::string> charging(const Harness& harness, const PlanOptions& options, const Step& step) {
  const State state{step.setting, options.stage, step.access.depth > 0, {}, options.temperature};
  Circuit circuit = circuit_of(harness, state);
  for (std::uint32_t i = 0; i < harness.elements().size(); ++i) {
    const Element& element = harness.elements()[i];
    if (element.kind != ElementKind::Capacitor || !circuit.has(element.a) || !circuit.has(element.b))
      continue;
    Circuit joined = circuit;
    joined.branches.push_back({ElementId{i}, element.a, element.b, false, {1, 1, 1}, std::nullopt, 1, 1, 1});
    const Network network = network_at(joined, resistors_at(joined, Corner::Nominal));
    if (network.connected(step.a.index, step.b.index)) return harness[*element.part].name;
  }
  return std::nullopt;
}

// The outer lugs of a pot by itself.
bool is_loose_track(const Harness& harness, const Step& step) {
  if (harness.parts().size() != 1 || !harness.parts().front().pot) return false;
  const Pot& pot = *harness.parts().front().pot;
  return std::minmax(step.a, step.b) == std::minmax(pot.lug1, pot.lug3);
}

bool is_for_joints(const Plan& plan, const Step& step) {
  return std::any_of(step.proves.begin(), step.proves.end(), [&](std::size_t f) {
    const Site site = plan.faults[f].site;
    return plan.faults[f].mode == Mode::Open &&
           (site == Site::Joint || site == Site::Blob || site == Site::Contact);
  });
}

// The least resistance on top of a sound reading at its lowest that the display surely tells.
Ohms least_told(const Meter& meter, const Step& step, int plugs) {
  const double slack = (step.range.digits + 1) * meter.step(step.range);
  return (step.shows.high + slack) / (1 - step.range.share) - meter.leads_low - plugs * meter.cable / 2 -
         step.expected.ohms.low;
}

// To one figure: 40, 200.
Ohms about(Ohms ohms) {
  const double place = std::pow(10, std::floor(std::log10(ohms)));
  return std::round(ohms / place) * place;
}

}  // namespace

void add_notes(const Harness& harness, Plan& plan) {
  const Meter& meter = plan.options.meter;
  for (Step& step : plan.steps) {
    if (step.kind == StepKind::Prepare) continue;
    if (step.capacitance) {
      step.notes.push_back("On a capacitance range; join its leads for a moment first.");
      continue;
    }
    if (step.swept && meter.automatic)
      step.notes.push_back("Hold the range if the meter can: changing it is no jump.");
    const bool reads = step.kind == StepKind::Read;
    if (reads && is_loose_track(harness, step)) step.notes.push_back("The same wherever the knob stands.");
    const Expected& expected = step.expected;
    if (reads && !expected.open && has_coil(harness, step)) step.notes.push_back("Wait until it settles.");
    if (reads && expected.open) {
      if (const auto capacitor = charging(harness, plan.options, step))
        step.notes.push_back(fmt::format("It rises first, while {} charges, then shows OL.", *capacitor));
    }
    const bool high = expected.open || expected.ohms.high > kFingersShow || step.end.open ||
                      step.end.ohms.high > kFingersShow || step.most.value_or(0) > kFingersShow;
    if (high) step.notes.push_back("Fingers off the tips.");
    const Ohms digit = meter.step(step.range);
    const bool coarse =
        digit >= kFine && expected.ohms.high - expected.ohms.low <= kFewDigits * digit && expected.known;
    if (reads && !expected.open && coarse && is_for_joints(plan, step)) {
      const int plugs = plugs_among(harness, step.a, step.b);
      step.notes.push_back(
          fmt::format("On this range one digit is {}: a cold joint under about {} does not show.",
                      in_words(digit), in_words(about(least_told(meter, step, plugs)))));
    }
  }
}

}  // namespace lugwise::plan::inside
