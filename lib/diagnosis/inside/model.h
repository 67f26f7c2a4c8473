// What every reading should be under one explanation, as a function of all that is uncertain. Private to this room.
//
// Uncertain are: the logarithm of each coil, track and resistor; the ohms of each joint, wire and contact; the coils'
// temperature; the meter's gain on each range and its leads; the place of each wiper in mid-travel; the size of the
// fault. One vector of unknowns is shared by all readings, which is what makes them evidence together.
//
// A model is kept from one set of readings to the next: what was solved for a pair of points in a setting, sound or with
// a fault, is not solved again.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "circuit/circuit.h"
#include "diagnosis/diagnosis.h"
#include "fault/fault.h"
#include "network/network.h"

namespace lugwise::diagnosis::inside {

// A reading's resistance between the probes, and how it moves with the unknowns.
struct Prediction {
  bool open = false;
  Ohms ohms = 0;
  std::vector<std::pair<std::uint32_t, double>> slopes;  // unknown, d ohms / d unknown
};

// One explanation: sound where `fault` is null; a High or Value with a size known to about a quarter of a decade. In a
// model that has a fault already it comes on top of that.
struct Explanation {
  const Fault* fault = nullptr;
  double size = 0;
};

// Whether a fault has a size: the ohms of a High, the factor of a Value.
bool has_size(const Fault& fault);

class Model {
 public:
  // With a `base`, all is as with that fault in it, whose size is one more unknown about the one given.
  Model(const Harness& harness, const DiagnosisOptions& options, Explanation base = {});

  // The number of a place to read: two points in a setting, with what was open and lifted.
  std::uint32_t probe(const Observation& observation);

  std::size_t unknowns() const { return mean_.size(); }
  const std::vector<double>& mean() const { return mean_; }
  const std::vector<double>& deviation() const { return deviation_; }
  // Whether a wiper at its stop stands behind an unknown.
  bool of_wiper(std::uint32_t unknown) const {
    return unknown < harness_.elements().size() && harness_.elements()[unknown].kind == ElementKind::Wiper;
  }
  std::uint32_t leads() const { return leads_; }
  std::uint32_t gain(std::size_t range) const { return first_gain_ + static_cast<std::uint32_t>(range); }
  std::uint32_t size() const { return size_; }
  std::uint32_t base_size() const { return base_size_; }
  const Explanation& base() const { return base_; }

  const Circuit& circuit(std::uint32_t probe) const { return *situations_[probes_[probe].situation].circuit; }
  const Expected& expected(std::uint32_t probe);  // of a sound harness; not in a model with a base

  // Under no fault but the base, at the unknowns' means.
  const Prediction& sound(std::uint32_t probe) const { return probes_[probe].sound; }

  // Readings under an explanation, with the unknowns at `x` (the size's unknown is the log of size over its nominal).
  std::vector<Prediction> predict(const std::vector<std::uint32_t>& probes, const Explanation& explanation,
                                  const std::vector<double>& x) const;

  // The same at the means, resistance only, by closed formulas from the sound solution: quick, for choosing which
  // explanations deserve more. Open is infinity.
  double sketch(std::uint32_t probe, const Explanation& explanation) const;

  // Whether a fault lies on the way of a reading at all.
  bool touches(std::uint32_t probe, const Fault& fault) const;

 private:
  struct Faulty {
    std::vector<Branch> branches;
    Network network;
  };
  // All readings taken with the controls, the cavity and the lifted leads alike.
  struct Situation {
    Setting setting;
    bool cavity_open = true;
    std::vector<PointId> lifted;
    std::unique_ptr<Circuit> circuit;                   // with the base in it
    std::uint32_t first_travel = 0;                     // unknown of the circuit's first travel
    std::vector<std::vector<std::uint32_t>> branches;   // by element
    std::unique_ptr<Network> sound;                     // at the means
    std::vector<char> cut;                              // by branch
    mutable std::vector<std::optional<double>> detour;  // by branch, found when asked for
    mutable std::map<const Fault*, Faulty> faulty;      // where a fault changes what is joined to what
  };
  struct Probe {
    std::uint32_t situation = 0;
    PointId a, b;
    Prediction sound;
    std::vector<double> current;    // by branch: amperes for one ampere
    std::vector<double> potential;  // by point
    std::optional<Expected> expected;
  };

  std::uint32_t situation_of(const Observation&);
  Ohms ohms(const Situation&, const Branch&, const Explanation&, const std::vector<double>& x) const;
  void add_slopes(const Situation&, const std::vector<Branch>&, const Flow&, const Explanation&,
                  const std::vector<double>& x, Prediction&) const;
  double detour(const Situation&, std::uint32_t branch) const;
  std::vector<double> branch_ohms(const Situation&, const std::vector<Branch>&, const Explanation&,
                                  const std::vector<double>& x) const;
  bool rejoins(const Situation&, const Fault&) const;
  const Faulty& faulty(const Situation&, const Fault&) const;
  const std::vector<std::uint32_t>& hit(const Situation&, const Fault&) const;

  const Harness& harness_;
  const DiagnosisOptions& options_;
  Explanation base_;
  std::vector<double> mean_;
  std::vector<double> deviation_;
  std::uint32_t temperature_ = 0;
  std::uint32_t leads_ = 0;
  std::uint32_t first_gain_ = 0;
  std::uint32_t short_ = 0;  // the ohms of metal on metal
  std::uint32_t size_ = 0;
  std::uint32_t base_size_ = 0;
  std::vector<Situation> situations_;
  std::vector<Probe> probes_;
};

}  // namespace lugwise::diagnosis::inside
