// What does the player complain of: what is heard of a fault in every place of the switches, and of each knob.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "hearing/hearing.h"

namespace lugwise {

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
  std::size_t settings() const;
  const Setting& setting(std::size_t i) const;
  bool sounds(std::size_t setting, PartId pickup) const;

  // The pickups that sound in a setting if all is sound.
  std::vector<PartId> sounding(const Setting& setting) const;

  // Whether there is anything to be heard at all.
  bool plugged() const { return settings() > 0; }

 private:
  struct Body;
  std::unique_ptr<Body> body_;
};

}  // namespace lugwise
