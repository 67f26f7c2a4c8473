// What would the meter in use show of one instrument, sound or with faults, wherever it is asked?
//
// An instrument and a meter are drawn once from a seed; each reading then has a chance of its own, made from the seed and
// from where it is taken. So the same seed gives the same reading at the same place on every machine, whatever was read
// before it.
//
//   Simulation instrument(netlist.harness, faults, {{7, 100}}, options);
//   instrument.take(seen, range);   // seen.text: "6.71k"
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "fault/fault.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "plan/plan.h"
#include "sheet/observation.h"
#include "simulation/specimen.h"

namespace lugwise {

struct SimulationOptions {
  std::optional<std::size_t> stage;
  Meter meter = assumed_meter();
  std::optional<double> temperature;  // of the coils, degrees C; none: drawn from kColdest to kWarmest
  std::uint64_t seed = 1;
  double slips = 0;  // the share of readings that are taken or written down wrongly
};

class Simulation {
 public:
  // The harness and the faults must outlive it.
  Simulation(const Harness& harness, const std::vector<Fault>& faults, std::vector<Ailment> ailments,
             const SimulationOptions& options);
  ~Simulation();
  Simulation(const Simulation&) = delete;
  Simulation& operator=(const Simulation&) = delete;

  // Fills in what stands on the display at the place, setting and action of `seen`; both points must be there. A capacitor
  // that is measured on a capacitance range is named by `seen`. `again`: the how-many-th time this very reading is taken,
  // from 0: the last digits may differ. Throws NetworkTooDense.
  void take(Observation& seen, const Range& range, std::size_t again = 0);

 private:
  class Bench;
  std::unique_ptr<Bench> bench_;
};

// What the steps of a plan that are read, swept or wiggled show, in their order. Throws NetworkTooDense.
std::vector<Observation> take_plan(Simulation& simulation, const Harness& harness, const Plan& plan);

// Sizes that are drawn: of a High in ohms, of a Value as a factor up or down. Judgements: docs/study.md.
inline constexpr Ohms kLeastHigh = 1;
inline constexpr Ohms kMostHigh = 1e6;
inline constexpr double kMostFactor = 10;

// How large a fault is where nobody says: of those sizes one, evenly by decades, and a Value outside the tolerance; 0 of the
// others.
double draw_size(const Harness& harness, const Fault& fault, Dice& dice);

}  // namespace lugwise
