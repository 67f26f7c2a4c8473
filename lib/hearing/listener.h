// What does the player complain of: what is heard of a fault in every place of the switches, and of each knob.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <vector>

#include "hearing/hearing.h"

namespace lugwise {

namespace hearing::inside {
class Played;
}

struct Complaint {
  Sound sound = Sound::Silent;
  std::optional<PartId> pickup;   // none: all of it
  std::optional<PartId> control;  // of or at this control
  std::vector<Setting> in;        // where it is heard, of the settings tried
};

// The ear of one harness at one stage: what each fault would do to the player. `size` as in with_fault. It keeps what the
// sound harness does, so that many faults can be asked.
class Listener {
 public:
  Listener(const Harness& harness, std::optional<std::size_t> stage);
  Listener(Listener&&) noexcept;
  ~Listener();

  // All that a player would complain of; empty: no change to be heard.
  std::vector<Complaint> complaints(const Fault& fault, double size);

  // Whether a fault without complaints has none only because its signal goes through a module, which is not modelled.
  bool hidden_by_module(const Fault& fault, double size) const;

  // One setting alone: what a player notes there. Crackles count, controls don't.
  std::vector<Change> changes_in(const Setting& setting, const Fault& fault, double size) const;

  // The same in each of the settings tried, in their order.
  std::vector<std::vector<Change>> changes_everywhere(const Fault& fault, double size) const;

  // What is wrong with pots and switches, or is heard at their stops only.
  std::vector<Complaint> of_controls(const Fault& fault, double size);

  // The settings tried, and whether a pickup sounds there if all is sound.
  std::size_t settings() const { return scenes_.size(); }
  const Setting& setting(std::size_t i) const { return scenes_[i].setting; }
  bool sounds(std::size_t setting, PartId pickup) const;

  // The pickups that sound in a setting if all is sound.
  std::vector<PartId> sounding(const Setting& setting) const;

  // Whether there is anything to be heard at all.
  bool plugged() const { return !scenes_.empty(); }

 private:
  // A pot in one place of the switches: at both its stops, and, once it is asked for, between them.
  struct Knob {
    PartId pot;
    std::unique_ptr<hearing::inside::Played> low, high;
    std::map<double, std::unique_ptr<hearing::inside::Played>> between;
  };
  struct Scene {
    Setting setting;
    std::unique_ptr<hearing::inside::Played> played;
    std::vector<Knob> knobs;
  };

  std::unique_ptr<hearing::inside::Played> play(const Setting& setting) const;
  const hearing::inside::Played& between(const Scene& scene, Knob& knob, double place);
  std::vector<Change> changes_in(const hearing::inside::Played& played, const Fault& fault,
                                 double size) const;
  bool of_knob(const Scene& scene, Knob& knob, const Hearing& at_rest, const std::vector<Change>& here,
               const Fault& fault, double size, std::vector<Complaint>& found);
  void of_travel(const Scene& scene, Knob& knob, const Fault& fault, double size,
                 std::vector<Complaint>& found);
  void of_switches(const std::vector<Hearing>& faulty, std::vector<Complaint>& found) const;
  std::vector<Complaint> of_controls(const Fault& fault, double size, const std::vector<Hearing>& faulty,
                                     const std::vector<std::vector<Change>>& here);
  std::vector<Complaint> half_way(const Fault& fault, double size);
  std::vector<Hearing> hear_everywhere(const Fault& fault, double size) const;

  const Harness& harness_;
  std::optional<std::size_t> stage_;
  std::vector<Scene> scenes_;
};

}  // namespace lugwise
