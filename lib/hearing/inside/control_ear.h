// What is wrong with pots and switches, or is heard at their stops only. Private to this room.
#pragma once

#include <vector>

#include "hearing/inside/scene.h"
#include "hearing/listener.h"

namespace lugwise::hearing::inside {

// One fault of so many ohms or such a factor, as a player tries the controls.
class ControlEar {
 public:
  ControlEar(Scenes& scenes, const Fault& fault, double size)
      : scenes_(scenes), harness_(scenes.harness()), fault_(fault), size_(size) {}

  // `faulty` and `here` have, scene by scene, what is heard with the fault and what is noted of it.
  std::vector<Complaint> listen(const std::vector<Hearing>& faulty,
                                const std::vector<std::vector<Change>>& here);

 private:
  // What a knob does, if all is sound and with the fault.
  struct Doing {
    bool moves = false;      // something, if all is sound
    bool idle = true;        // nothing any more
    bool does = false;       // something is left that it could move
    bool backwards = false;  // it does it the other way round
    bool on = false;         // it no longer mutes
  };

  bool of_knob(const Scene& scene, Knob& knob, const Hearing& at_rest, const std::vector<Change>& here);
  Doing doing_of(const Knob& knob, const std::vector<PartId>& pickups, const Hearing& at_low,
                 const Hearing& at_high) const;
  void at_stops(const Scene& scene, const Knob& knob, const Hearing& at_low, const Hearing& at_high,
                const std::vector<Change>& here);
  void of_travel(const Scene& scene, Knob& knob);
  void of_switches(const std::vector<Hearing>& faulty);

  Scenes& scenes_;
  const Harness& harness_;
  const Fault& fault_;
  double size_ = 0;
  std::vector<Complaint> found_;
};

// A knob's place half way between its stops.
inline constexpr double kHalfWay = 5;

}  // namespace lugwise::hearing::inside
