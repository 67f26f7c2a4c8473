// What was heard, as evidence: how likely a player complains so of each fault. Private to this room.
#pragma once

#include <map>
#include <optional>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "diagnosis/inside/hypothesis.h"
#include "hearing/hearing.h"

namespace lugwise {

class Ear {
 public:
  Ear(const Harness& harness, std::optional<std::size_t> stage);

  // The log of the chance that this is heard: of a sound harness, of anything, and of a fault in one of its sizes.
  static double log_of_sound(const Heard& heard);
  static double log_of_anything();
  double log_of(const Heard& heard, const Hypothesis& hypothesis, std::size_t size);

 private:
  const Harness& harness_;
  std::optional<std::size_t> stage_;
  std::optional<Listener> listener_;
  std::map<std::pair<Setting, std::uint32_t>, std::vector<Change>> known_;  // by setting and number
};

}  // namespace lugwise
