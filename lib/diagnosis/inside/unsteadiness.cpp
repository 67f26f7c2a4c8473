#include "diagnosis/inside/unsteadiness.h"

#include <algorithm>
#include <cmath>

#include "expectation/corner.h"
#include "handling/watched.h"
#include "network/network.h"

namespace lugwise::diagnosis::inside {
namespace {

// Places of the knob at which a sweep is looked at: a blend's halves move one after the other.
constexpr double kBetweenStops[] = {2.5, 5, 7.5};

// A wiper that carries less than this share of the current moves the display too little to be seen jumping.
constexpr double kLeastCurrent = 0.02;

// How often what is wrong shows itself in other ways; docs/diagnosis.md has them all.
constexpr double kMayStayOff = 0.5;       // a sweep: a wiper that is off its track, or hardly dirty
constexpr double kElsewhereSwept = 0.02;  // what is loose elsewhere on the way
constexpr double kProbeSlips = 0.0005;
constexpr double kElsewhereWiggled = 0.1;
constexpr double kUnsteadyAtRest = 0.2;  // a plain reading through what is loose
constexpr double kUnsteady = 0.005;      // anything else, such as a probe that slips

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
      if (element.kind != ElementKind::Wiper || std::abs(current.amperes) < kLeastCurrent) continue;
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
      const bool faint = loses && fault->mode == Mode::High && size < kSeenSweeping * movement.step;
      const bool off = this_pot && fault->site == Site::Wiper && (fault->mode == Mode::Open || faint);
      return off ? kMayStayOff : this_pot ? kJumps : loose ? kElsewhereSwept : kProbeSlips;
    }
    case Action::Wiggle: {
      const std::vector<PointId>& wiggled = *movement.wiggled;
      const bool moved =
          loose && !of_pot && std::any_of(fault->points.begin(), fault->points.end(), [&](PointId point) {
            return std::find(wiggled.begin(), wiggled.end(), point) != wiggled.end();
          });
      return moved ? kBetrays : loose ? kElsewhereWiggled : kUnsteady;
    }
    case Action::Read:
      break;
  }
  return loose ? kUnsteadyAtRest : kUnsteady;
}

}  // namespace lugwise::diagnosis::inside
