// How complaints are put together from what is heard in each setting. Private to this room.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <vector>

#include "hearing/listener.h"

namespace lugwise::hearing::inside {

// Adds a setting to what is complained of, or begins a complaint with it.
void note(std::vector<Complaint>& complaints, Sound what, std::optional<PartId> pickup,
          std::optional<PartId> control, const Setting& setting);

// Whether something is missing in what is heard, not a noise on top.
bool in_the_sound(Sound what);

// What all that sounds has in every one of so many settings is said once, not pickup by pickup; `whole` has, by sound, in how
// many it has that.
void say_once(std::size_t settings, const std::map<Sound, std::size_t>& whole,
              std::vector<Complaint>& complaints);

// Whether a fault comes and goes: a cold joint, a dirty contact or wiper, a worn track.
bool crackly(const Fault& fault);

// Such a fault at its worst: it crackles where it would matter if it were open. Of a worn track the wiper is what lets go.
Fault let_go(const Harness& harness, const Fault& fault);

}  // namespace lugwise::hearing::inside
