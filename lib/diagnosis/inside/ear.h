// What was heard, as evidence: how likely a player complains so of each fault. Private to this room.
#pragma once

#include <map>
#include <optional>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "diagnosis/inside/hypothesis.h"
#include "hearing/listener.h"

namespace lugwise::diagnosis::inside {

// Whether it is a hum or a buzz, of whatever kind.
bool is_hum(Sound sound);

class Ear {
 public:
  Ear(const Harness& harness, std::optional<std::size_t> stage);

  // All that was heard of this instrument: what one complaint does not name, another may.
  void attend(const std::vector<Heard>& all);

  // The log of the chance that this is heard: of a sound harness, of anything, and of a fault in one of its sizes.
  static double log_of_sound(const Heard& heard);
  static double log_of_anything();
  double log_of(const Heard& heard, const Hypothesis& hypothesis, std::size_t size);

 private:
  using Notes = std::vector<Change>;
  const Notes& changes_in(const Setting& setting, const Numbered& numbered);
  const std::vector<Notes>& everywhere(const Numbered& numbered);
  const std::vector<Complaint>& of_controls(const Numbered& numbered);

  double chance_in(const Heard& heard, const Setting& setting, const Notes& changes) const;
  double chance_of_sound(const Heard& heard, const Numbered& numbered);
  double chance_of_control(const Heard& heard, const Numbered& numbered);
  bool silences_others(const Numbered& numbered);

  const Harness& harness_;
  std::optional<std::size_t> stage_;
  std::optional<Listener> listener_;
  std::vector<PartId> named_;                                    // pickups that are complained of
  bool all_named_ = false;                                       // or all of them
  std::map<std::pair<Setting, std::uint32_t>, Notes> known_;     // by setting and number
  std::map<std::uint32_t, std::vector<Notes>> everywhere_;       // by number
  std::map<std::uint32_t, std::vector<Complaint>> of_controls_;  // by number
};

}  // namespace lugwise::diagnosis::inside
