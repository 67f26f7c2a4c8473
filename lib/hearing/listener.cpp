#include "hearing/listener.h"

#include <algorithm>
#include <map>
#include <utility>

#include "hearing/inside/control_ear.h"
#include "hearing/inside/level.h"
#include "hearing/inside/noted.h"
#include "hearing/inside/scene.h"

namespace lugwise {

using namespace hearing::inside;
namespace {

std::vector<Change> changes_in(const Harness& harness, const Played& played, const Fault& fault,
                               double size) {
  std::vector<Change> found = changes(played.sound(), played.with(fault, size));
  if (!crackly(fault)) return found;
  for (const Change& change : changes(played.sound(), played.with(let_go(harness, fault), 0))) {
    if (in_the_sound(change.sound)) found.push_back({Sound::Crackles, change.pickup});
    if (!in_the_sound(change.sound) && std::find(found.begin(), found.end(), change) == found.end())
      found.push_back(change);
  }
  return found;
}

std::vector<Hearing> hear_everywhere(const Scenes& scenes, const Fault& fault, double size) {
  std::vector<Hearing> found;
  for (const Scene& scene : scenes) found.push_back(scene.played->with(fault, size));
  return found;
}

// Where nothing is heard with the pots at rest or at their stops: what is with one of them half way, as of a bleed.
std::vector<Complaint> half_way(Scenes& scenes, const Fault& fault, double size) {
  std::vector<Complaint> found;
  for (std::size_t i = 0; i < scenes.size(); ++i) {
    for (Knob& knob : scenes[i].knobs) {
      const Played& played = scenes.between(scenes[i], knob, kHalfWay);
      for (const Change& change : changes_in(scenes.harness(), played, fault, size)) {
        const bool cold = change.sound == Sound::Crackles || !in_the_sound(change.sound);
        if (!cold) note(found, change.sound, change.pickup, knob.pot, played.circuit().setting);
      }
    }
  }
  return found;
}

}  // namespace

struct Listener::Body {
  Scenes scenes;
};

Listener::Listener(const Harness& harness, std::optional<std::size_t> stage)
    : body_(new Body{Scenes(harness, stage)}) {}

Listener::Listener(Listener&&) noexcept = default;
Listener::~Listener() = default;

std::size_t Listener::settings() const { return body_->scenes.size(); }
const Setting& Listener::setting(std::size_t i) const { return body_->scenes[i].setting; }

bool Listener::sounds(std::size_t setting, PartId pickup) const {
  const Hearing& hearing = body_->scenes[setting].played->sound();
  return std::max(hearing.bass(pickup), hearing.treble(pickup)) >= kAudible;
}

std::vector<PartId> Listener::sounding(const Setting& setting) const {
  const Scenes& scenes = body_->scenes;
  const auto known = std::find_if(scenes.begin(), scenes.end(),
                                  [&](const Scene& scene) { return scene.setting == setting; });
  const auto hearing = known != scenes.end() ? std::optional(known->played->sound())
                                             : hear(scenes.harness(), scenes.circuit_in(setting));
  std::vector<PartId> found;
  if (!hearing) return found;
  for (PartId pickup : pickups_of(*hearing)) {
    if (std::max(hearing->bass(pickup), hearing->treble(pickup)) >= kAudible) found.push_back(pickup);
  }
  return found;
}

std::vector<Change> Listener::changes_in(const Setting& setting, const Fault& fault, double size) const {
  const Scenes& scenes = body_->scenes;
  const auto played = scenes.play(setting);
  return played->plugged() ? lugwise::changes_in(scenes.harness(), *played, fault, size)
                           : std::vector<Change>();
}

std::vector<std::vector<Change>> Listener::changes_everywhere(const Fault& fault, double size) const {
  std::vector<std::vector<Change>> found;
  for (const Scene& scene : body_->scenes)
    found.push_back(lugwise::changes_in(body_->scenes.harness(), *scene.played, fault, size));
  return found;
}

std::vector<Complaint> Listener::of_controls(const Fault& fault, double size) {
  return ControlEar(body_->scenes, fault, size)
      .listen(hear_everywhere(body_->scenes, fault, size), changes_everywhere(fault, size));
}

std::vector<Complaint> Listener::complaints(const Fault& fault, double size) {
  std::vector<Complaint> found;
  std::vector<std::vector<Change>> everywhere;
  Scenes& scenes = body_->scenes;
  const std::vector<Hearing> faulty = hear_everywhere(scenes, fault, size);
  std::map<Sound, std::size_t> whole;  // in how many settings all that sounds has it
  for (std::size_t i = 0; i < scenes.size(); ++i) {
    const Scene& scene = scenes[i];
    const Hearing& sound = scene.played->sound();
    const std::vector<PartId> pickups = pickups_of(sound);
    std::vector<Change> here = changes(sound, faulty[i]);
    if (crackly(fault)) {
      for (const Change& change : changes(sound, scene.played->with(let_go(scenes.harness(), fault), 0))) {
        if (in_the_sound(change.sound)) here.push_back({Sound::Crackles, change.pickup});
      }
    }
    // What is true of all that sounds is said once.
    std::size_t sounding = 0;
    for (PartId pickup : pickups) sounding += sound.bass(pickup) >= kAudible ? 1 : 0;
    for (const Change& change : here) {
      std::optional<PartId> pickup = change.pickup;
      const auto alike = [&](const Change& each) { return each.sound == change.sound && each.pickup; };
      const auto count = static_cast<std::size_t>(std::count_if(here.begin(), here.end(), alike));
      const bool faint = change.sound == Sound::AlwaysOn || change.sound == Sound::Bleeds;
      if (pickup && !faint && pickups.size() > 1 && sounding > 1 && count == sounding) pickup.reset();
      note(found, change.sound, pickup, std::nullopt, scene.setting);
    }
    for (const Sound what : {Sound::Silent, Sound::Weak, Sound::Thin, Sound::Dull, Sound::Crackles}) {
      const auto has = [&](const Change& each) { return each.sound == what && each.pickup; };
      const auto count = static_cast<std::size_t>(std::count_if(here.begin(), here.end(), has));
      whole[what] += count > 0 && count == sounding ? 1 : 0;
    }
    everywhere.push_back(std::move(here));
  }
  const std::vector<Complaint> controls = ControlEar(scenes, fault, size).listen(faulty, everywhere);
  found.insert(found.end(), controls.begin(), controls.end());
  say_once(scenes.size(), whole, found);
  return found.empty() ? half_way(scenes, fault, size) : found;
}

bool Listener::hidden_by_module(const Fault& fault, double size) const {
  const Fault worst = crackly(fault) ? let_go(body_->scenes.harness(), fault) : fault;
  for (const Scene& scene : body_->scenes) {
    const Circuit& circuit = scene.played->circuit();
    if (circuit.modules.empty()) continue;
    // Its supply and its ground count as its signal does.
    if (parts_supply(body_->scenes.harness(), circuit, with_fault(circuit, worst, size))) return true;
    const Played through(body_->scenes.harness(), circuit, Modules::Joined);
    if (!changes(through.sound(), through.with(worst, size)).empty()) return true;
  }
  return false;
}

}  // namespace lugwise
