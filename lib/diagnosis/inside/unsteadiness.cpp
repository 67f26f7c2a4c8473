#include "diagnosis/inside/unsteadiness.h"

#include <algorithm>
#include <cmath>

#include "expectation/corner.h"
#include "network/network.h"

namespace lugwise::diagnosis::inside {
namespace {

// Places of the knob at which a sweep is looked at: a blend's halves move one after the other.
constexpr double kBetweenStops[] = {2.5, 5, 7.5};

// A wiper that carries less than this share of the current moves the display too little to be seen jumping.
constexpr double kLeastShare = 0.02;

// A jump of so many of the last digit is seen.
constexpr double kSeenJumping = 20;

}  // namespace

std::vector<PartId> pots_swept(const Harness& harness, const Observation& observation,
                               const DiagnosisOptions& options) {
  std::vector<PartId> pots;
  if (observation.action != Action::Sweep || !observation.swept) return pots;
  for (const double knob : kBetweenStops) {
    State state = lugwise::state_of(observation, options.stage, options.temperature);
    state.setting.turn(*observation.swept, knob);
    const Circuit circuit = circuit_of(harness, state);
    const auto flow = network_at(circuit, resistors_at(circuit, Corner::Nominal))
                          .flow(observation.a.index, observation.b.index);
    if (!flow) continue;
    for (const Current& current : flow->currents) {
      const Element& element = harness[circuit.branches[current.resistor].element];
      if (element.kind != ElementKind::Wiper || std::abs(current.amperes) < kLeastShare) continue;
      const bool on_shaft = harness[*element.part].pot->gang.value_or(*element.part) == *observation.swept;
      if (on_shaft && std::find(pots.begin(), pots.end(), *element.part) == pots.end())
        pots.push_back(*element.part);
    }
  }
  return pots;
}

double chance_of_unsteady(const Harness& harness, const Movement& movement, const Fault* fault, double size,
                          bool touched) {
  const bool loses = fault && (fault->mode == Mode::High || fault->mode == Mode::Open);
  const bool loose = loses && touched;
  const bool of_pot = loses && (fault->site == Site::Track || fault->site == Site::Wiper);
  switch (movement.action) {
    case Action::Sweep: {
      const std::vector<PartId>& turned = *movement.turned;
      const bool this_pot =
          of_pot && std::find(turned.begin(), turned.end(), *harness[*fault->element].part) != turned.end();
      // A wiper off its track jumps where it catches it again; or nothing moves at all, which is smooth too. Nor need
      // one be seen that is dirty by a few digits.
      const bool faint = loses && fault->mode == Mode::High && size < kSeenJumping * movement.step;
      const bool off = this_pot && fault->site == Site::Wiper && (fault->mode == Mode::Open || faint);
      return off ? 0.5 : this_pot ? 0.995 : loose ? 0.02 : 0.0005;
    }
    case Action::Wiggle: {
      const std::vector<PointId>& wiggled = *movement.wiggled;
      const bool moved =
          loose && !of_pot && std::any_of(fault->points.begin(), fault->points.end(), [&](PointId point) {
            return std::find(wiggled.begin(), wiggled.end(), point) != wiggled.end();
          });
      return moved ? 0.7 : loose ? 0.1 : 0.005;
    }
    case Action::Read:
      break;
  }
  return loose ? 0.2 : 0.005;
}

}  // namespace lugwise::diagnosis::inside
