#include "hearing/inside/noted.h"

#include <algorithm>
#include <utility>

namespace lugwise::hearing::inside {

void note(std::vector<Complaint>& complaints, Sound what, std::optional<PartId> pickup,
          std::optional<PartId> control, const Setting& setting) {
  for (Complaint& each : complaints) {
    if (each.sound != what || each.pickup != pickup || each.control != control) continue;
    if (each.in.empty() || each.in.back() != setting) each.in.push_back(setting);
    return;
  }
  complaints.push_back({what, pickup, control, {setting}});
}

bool in_the_sound(Sound what) {
  return what == Sound::Silent || what == Sound::Weak || what == Sound::Thin || what == Sound::Dull;
}

void say_once(std::size_t settings, const std::map<Sound, std::size_t>& whole,
              std::vector<Complaint>& complaints) {
  for (const auto& [what, times] : whole) {
    if (times < settings) continue;
    const auto of = [kind = what](const Complaint& each) { return each.sound == kind && !each.control; };
    const auto first = std::find_if(complaints.begin(), complaints.end(), of);
    if (first == complaints.end()) continue;
    Complaint all{what, std::nullopt, std::nullopt, {}};
    for (const Complaint& each : complaints) {
      if (!of(each)) continue;
      for (const Setting& setting : each.in) {
        if (std::find(all.in.begin(), all.in.end(), setting) == all.in.end()) all.in.push_back(setting);
      }
    }
    *first = std::move(all);
    complaints.erase(std::remove_if(first + 1, complaints.end(), of), complaints.end());
  }
}

bool crackly(const Fault& fault) { return fault.mode == Mode::High; }

Fault let_go(const Harness& harness, const Fault& fault) {
  Fault open = fault;
  open.mode = Mode::Open;
  if (is_worn_track(fault)) {
    open.site = Site::Wiper;
    open.element = harness[*harness[*fault.element].part].pot->wiper_element;
  }
  return open;
}

}  // namespace lugwise::hearing::inside
