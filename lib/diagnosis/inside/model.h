// What every reading should be under one explanation, as a function of all that is uncertain. Private to this room.
//
// Uncertain are: the logarithm of each coil, track and resistor; the ohms of each joint, wire and contact; the coils'
// temperature; the meter's gain on each range and its leads; the place of each wiper in mid-travel; the size of the
// fault. One vector of unknowns is shared by all readings, which is what makes them evidence together.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "circuit/circuit.h"
#include "diagnosis/diagnosis.h"
#include "fault/fault.h"
#include "network/network.h"

namespace lugwise {

// A reading's resistance between the probes, and how it moves with the unknowns.
struct Prediction {
  bool open = false;
  Ohms ohms = 0;
  std::vector<std::pair<std::uint32_t, double>> slopes;  // unknown, d ohms / d unknown
};

// One explanation: sound where `fault` is null; a High or Value with a size known to about a quarter of a decade.
struct Explanation {
  const Fault* fault = nullptr;
  double size = 0;
};

class Model {
 public:
  Model(const Harness& harness, const std::vector<Observation>& observations,
        const DiagnosisOptions& options);

  std::size_t unknowns() const { return mean_.size(); }
  const std::vector<double>& mean() const { return mean_; }
  const std::vector<double>& deviation() const { return deviation_; }
  // The same where wipers at their stops are as good as new, a fortieth as far off.
  const std::vector<double>& fresh_deviation() const { return fresh_deviation_; }

  std::uint32_t leads() const { return leads_; }
  std::uint32_t gain(std::size_t range) const { return first_gain_ + static_cast<std::uint32_t>(range); }
  std::uint32_t size() const { return size_; }

  // Under no fault, at the unknowns' means. Computed once.
  const std::vector<Prediction>& sound() const { return sound_; }

  // All readings under an explanation, with the unknowns at `x` (the size's unknown is the log of size over its nominal).
  std::vector<Prediction> predict(const Explanation& explanation, const std::vector<double>& x) const;

  // The same at the means, resistances only, by closed formulas from the sound solution: quick, for choosing which
  // explanations deserve more. Open is infinity.
  std::vector<double> sketch(const Explanation& explanation) const;

  // Whether a fault lies on the way of a reading at all.
  bool touches(std::size_t observation, const Fault& fault) const;

 private:
  // All readings taken with the controls, the cavity and the lifted leads alike.
  struct Situation {
    Setting setting;
    bool cavity_open = true;
    std::vector<PointId> lifted;
    Circuit circuit;
    std::uint32_t first_travel = 0;                     // unknown of the circuit's first travel
    std::vector<std::vector<std::uint32_t>> branches;   // by element
    std::vector<Network> sound;                         // one, at the means
    std::vector<char> cut;                              // by branch
    mutable std::vector<std::optional<double>> detour;  // by branch, found when asked for
  };

  Ohms ohms(const Situation&, const Branch&, const std::vector<double>& x) const;
  void add_slopes(const Situation&, const Flow&, const std::vector<double>& x, Prediction&) const;
  double detour(const Situation&, std::uint32_t branch) const;
  std::vector<double> branch_ohms(const Situation&, const std::vector<double>& x) const;
  Prediction predict_one(const Situation&, const Observation&, const Network&, const Explanation&,
                         const std::vector<double>& x) const;

  const Harness& harness_;
  const std::vector<Observation>& observations_;
  std::vector<double> mean_;
  std::vector<double> deviation_;
  std::vector<double> fresh_deviation_;
  std::uint32_t temperature_ = 0;
  std::uint32_t leads_ = 0;
  std::uint32_t first_gain_ = 0;
  std::uint32_t size_ = 0;
  std::vector<Situation> situations_;
  std::vector<std::uint32_t> situation_of_;  // by observation
  std::vector<Prediction> sound_;
  std::vector<std::vector<double>> current_;    // by observation, by branch: amperes for one ampere
  std::vector<std::vector<double>> potential_;  // by observation, by point
};

}  // namespace lugwise
