// Where every control of a harness stands: pots by their knob (0 to 10), switches by position, jacks with the plug in or out.
#pragma once

#include <string>
#include <vector>

#include "harness/harness.h"

namespace lugwise {

class Setting {
 public:
  Setting() = default;

  // Every control where it stands unless set: a pot at its normal, a switch in its first position, the plug in.
  explicit Setting(const Harness& harness);

  double knob(PartId pot) const { return place_[pot.index]; }
  std::uint16_t position(PartId part) const { return static_cast<std::uint16_t>(place_[part.index]); }
  bool plugged(PartId jack) const { return place_[jack.index] != 0; }

  void turn(PartId pot, double knob) { place_[pot.index] = knob; }
  void select(PartId part, std::uint16_t position) { place_[part.index] = position; }
  void plug_in(PartId jack) { place_[jack.index] = 1; }
  void pull_plug(PartId jack) { place_[jack.index] = 0; }

  // How one control's place is written: "10", "7.5", "both", "in".
  std::string place_name(const Harness& harness, PartId control) const;

  // Whether a control stands alike in both.
  bool alike(const Setting& other, PartId control) const {
    return place_[control.index] == other.place_[control.index];
  }

  // How many parts the harness has that it was made for; nothing: for none.
  std::size_t parts() const { return place_.size(); }

  // Not by <=>, which not every standard library has for a vector yet.
  friend bool operator==(const Setting&, const Setting&) = default;
  friend bool operator<(const Setting& x, const Setting& y) { return x.place_ < y.place_; }

 private:
  std::vector<double> place_;  // one a part; nothing for parts that are no control
};

}  // namespace lugwise
