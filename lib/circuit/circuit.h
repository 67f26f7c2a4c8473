// In this setting, at this stage, with the cavity open or closed: what conducts?
//
// A circuit is a list of branches over the harness's points. A joint, wire or contact is a small resistance, never a
// merging of points: it is what breaks. A new setting means a new circuit; nothing is cached in either.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "circuit/setting.h"
#include "component/copper.h"
#include "harness/harness.h"

namespace lugwise {

// Degrees Celsius: the coolest, the likeliest and the warmest the coils may be.
struct Temperature {
  double low = kColdest;
  double nominal = 20;
  double high = kWarmest;
  bool known = false;
};

// The temperature a person gave, taken as exact.
Temperature exactly(double celsius);

struct State {
  Setting setting;
  std::optional<std::size_t> stage;  // index into Harness::stages(); none: all parts are there
  bool cavity_open = true;
  std::vector<PointId> lifted;  // leads and wire ends that are off
  Temperature temperature;
};

// What conducts between two points. A half of a track in mid-travel is a share of its track, and the shares of
// pots on one shaft with one taper move together: resistance = ohms x (at_low + t (at_high - at_low)) with one t from 0 to 1.
struct Branch {
  ElementId element;
  PointId a;
  PointId b;
  bool copper = false;  // a coil: its resistance follows the temperature
  Band ohms;
  std::optional<std::uint32_t> travel;  // index into Circuit::travels
  double at_low = 1;                    // share of `ohms` at t = 0
  double at_nominal = 1;
  double at_high = 1;  // share at t = 1
};

// A shaft between its stops, where the wiper's place is uncertain.
struct Travel {
  PartId control;
  bool taper_known = true;  // of every pot on the shaft
};

struct Circuit {
  std::size_t points = 0;
  std::vector<Branch> branches;
  std::vector<Travel> travels;
  Band copper{1, 1, 1};       // what the temperature, unknown or not, does to a coil: in `ohms` already
  std::vector<char> present;  // by point: it is there at this stage, and the plug is in if it needs that
  Setting setting;            // in which it is this circuit
  std::vector<std::vector<PointId>>
      modules;  // points of a circuit we don't model: joined somehow, or not at all

  bool has(PointId point) const { return present[point.index] != 0; }
};

// How the points of a circuit we don't model are taken: as if it did not join them, or as one.
enum class Modules { Apart, Joined };

// Throws std::logic_error where the setting was not made for a harness of as many parts, as that of State{} is not.
Circuit circuit_of(const Harness& harness, const State& state);

// The share of a pot's track between lugs 1 and 2 at a place of the knob, and how far it may be off.
struct WiperShare {
  double low = 0;
  double nominal = 0;
  double high = 0;
  friend bool operator==(const WiperShare&, const WiperShare&) = default;
  bool at_stop() const { return low == high && (nominal == 0 || nominal == 1); }
};
WiperShare wiper_share(const Pot& pot, double knob);

}  // namespace lugwise
