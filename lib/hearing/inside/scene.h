// The harness as an ear tries it: every place of the switches, and every knob from stop to stop. Private to this room.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <vector>

#include "hearing/inside/played.h"

namespace lugwise::hearing::inside {

// A pot in one place of the switches: at both its stops, and, once it is asked for, between them.
struct Knob {
  PartId pot;
  std::unique_ptr<Played> low, high;
  std::map<double, std::unique_ptr<Played>> between;
};

// One place of the switches, the pots where they rest.
struct Scene {
  Setting setting;
  std::unique_ptr<Played> played;
  std::vector<Knob> knobs;
};

class Scenes {
 public:
  // None where no plug is in.
  Scenes(const Harness& harness, std::optional<std::size_t> stage);

  const Harness& harness() const { return harness_; }
  std::size_t size() const { return scenes_.size(); }
  const Scene& operator[](std::size_t i) const { return scenes_[i]; }
  Scene& operator[](std::size_t i) { return scenes_[i]; }
  std::vector<Scene>::const_iterator begin() const { return scenes_.begin(); }
  std::vector<Scene>::const_iterator end() const { return scenes_.end(); }

  // Any setting, all closed up and the plug in; and as it is played.
  Circuit circuit_in(const Setting& setting) const;
  std::unique_ptr<Played> play(const Setting& setting) const;

  // A knob's scene with the knob between its stops. Kept: every fault of a pot is heard there, and whatever is heard nowhere
  // else.
  const Played& between(const Scene& scene, Knob& knob, double place) const;

 private:
  const Harness& harness_;
  std::optional<std::size_t> stage_;
  std::vector<Scene> scenes_;
};

}  // namespace lugwise::hearing::inside
