// What every pair of probes reads in one setting, sound and with one fault after another: by formulas from the sound
// circuit where they hold, else solved anew. Private to this room.
#pragma once

#include <optional>
#include <vector>

#include "circuit/circuit.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "network/network.h"

namespace lugwise::diagnosis::inside {

class ReadingTable {
 public:
  // Rows and columns are the probes, in their order. The tolerances are looked at when they are first asked for.
  ReadingTable(const Harness& harness, Circuit circuit, const std::vector<PointId>& probes);

  // What it keeps, in numbers of a table.
  std::size_t held() const { return nominal_.size() + sound_reads_.size() + half_width_.size(); }

  const Circuit& circuit() const { return circuit_; }
  std::size_t probes() const { return probes_.size(); }
  bool has(std::size_t probe) const { return circuit_.has(probes_[probe]); }

  // Probe by probe, row by row, above the diagonal; open is infinity.
  const std::vector<double>& sound() const { return sound_reads_; }
  std::vector<double> under(const Fault& fault, double size) const;

  // The same table with a fault in the circuit: for what a second one makes of it. It has no deviations.
  ReadingTable with(const Fault& fault, double size) const;

  // How far a reading of so many ohms may be off for the parts' tolerances, one deviation. From the sound circuit's limits,
  // what a fault adds being a fifth off.
  double deviation(std::size_t i, std::size_t j, double ohms) const;

 private:
  ReadingTable(const std::vector<PointId>& probes, std::size_t elements, Circuit circuit);

  void ask(PointId point);
  void find_half_widths() const;
  std::size_t seat(PointId point) const { return seat_[point.index]; }
  // Between a probe and any point asked.
  double sound(std::size_t i, std::size_t j) const { return nominal_[i * asked_.size() + j]; }
  // Between any two.
  double between(std::size_t x, std::size_t y) const;
  double drop(std::size_t i, std::size_t j, std::size_t x, std::size_t y) const;
  double detour(std::uint32_t branch) const;
  std::vector<double> shorted(const Fault& fault) const;
  std::vector<double> changed(const Fault& fault, double size, std::uint32_t branch) const;
  std::vector<double> solved(const Fault& fault, double size) const;
  template <class Reads>
  std::vector<double> each_pair(const Reads& reads) const;

  Circuit circuit_;
  std::vector<PointId> probes_;
  std::vector<std::uint32_t> seat_;  // of each point among those asked
  std::vector<std::uint32_t> asked_;
  std::vector<std::vector<std::uint32_t>> branches_;  // by element
  std::optional<Network> network_;
  std::vector<double> nominal_;      // from each probe to all asked
  std::vector<double> sound_reads_;  // of the probes
  mutable std::vector<float>
      half_width_;  // of the probes: between the lowest and the highest; empty: not asked for yet
  mutable std::vector<std::optional<double>> detours_;
};

}  // namespace lugwise::diagnosis::inside
