#include "hearing/hearing.h"

#include <algorithm>
#include <cmath>

#include "hearing/inside/level.h"
#include "hearing/inside/played.h"

namespace lugwise {

using namespace hearing::inside;
namespace {

constexpr std::size_t kMostCombinations = 24;

// Adds up over the coils of a pickup, or over all.
template <class Of>
double total(const std::vector<Voice>& voices, std::optional<PartId> pickup, Of of) {
  double sum = 0;
  for (const Voice& voice : voices) {
    if (!pickup || voice.pickup == *pickup) sum += std::abs(of(voice));
  }
  return sum;
}

const Voice* voice_of(const Hearing& hearing, ElementId coil) {
  for (const Voice& voice : hearing.voices) {
    if (voice.coil == coil) return &voice;
  }
  return nullptr;
}

// Is anything loose in one that was not loose in the other?
bool more_loose(const std::vector<PointId>& before, const std::vector<PointId>& after) {
  return std::any_of(after.begin(), after.end(), [&](PointId point) {
    return std::find(before.begin(), before.end(), point) == before.end();
  });
}

// One pickup, coil by coil, against what it was.
struct Compared {
  double bass = 0, treble = 0;  // what is left of the sound one's; coils that cancel take from each other
  bool lost_a_coil = false;     // one of several is gone, another is not
  bool against = false;         // its coils cancel each other
  bool turned = false;          // the whole of it is the other way round
};

Compared compare(const Hearing& sound, const Hearing& faulty, PartId pickup) {
  Compared result;
  double bass = 0, treble = 0;
  int gone = 0, kept = 0, turned = 0;
  for (const Voice& was : sound.voices) {
    if (was.pickup != pickup) continue;
    const Voice* is = voice_of(faulty, was.coil);
    const double own_bass = is ? is->bass * (was.bass < 0 ? -1 : 1) : 0;
    const double own_treble = is ? is->treble * (was.treble < 0 ? -1 : 1) : 0;
    bass += own_bass;
    treble += own_treble;
    if (std::abs(was.bass) < kAudible) continue;
    if (std::abs(own_bass) < kSilent * std::abs(was.bass)) {
      ++gone;
    } else {
      ++kept;
      turned += own_bass < 0 ? 1 : 0;
    }
  }
  // What was not there to begin with is no loss.
  const double was_bass = sound.bass(pickup);
  const double was_treble = sound.treble(pickup);
  if (was_bass >= kAudible) result.bass = std::abs(bass) / was_bass;
  result.treble = was_treble >= kAudible ? std::abs(treble) / was_treble : result.bass;
  if (was_bass < kAudible) result.bass = result.treble;
  result.lost_a_coil = gone > 0 && kept > 0;
  result.against = turned > 0 && turned < kept;
  result.turned = turned > 0 && turned == kept;
  return result;
}

}  // namespace

std::vector<PartId> hearing::inside::pickups_of(const Hearing& hearing) {
  std::vector<PartId> pickups;
  for (const Voice& voice : hearing.voices) {
    if (std::find(pickups.begin(), pickups.end(), voice.pickup) == pickups.end())
      pickups.push_back(voice.pickup);
  }
  return pickups;
}

double Hearing::bass(std::optional<PartId> pickup) const {
  return total(voices, pickup, [](const Voice& voice) { return voice.bass; });
}

double Hearing::treble(std::optional<PartId> pickup) const {
  return total(voices, pickup, [](const Voice& voice) { return voice.treble; });
}

std::optional<Hearing> hear(const Harness& harness, const Circuit& circuit) {
  const Played played(harness, circuit);
  return played.plugged() ? std::optional(played.sound()) : std::nullopt;
}

std::optional<Hearing> hear(const Harness& harness, const Circuit& circuit, const Fault& fault, double size) {
  const Played played(harness, circuit);
  return played.plugged() ? std::optional(played.with(fault, size)) : std::nullopt;
}

Circuit as_played(const Harness& harness, const Setting& setting, std::optional<std::size_t> stage) {
  State state;
  state.setting = setting;
  state.stage = stage;
  state.cavity_open = false;
  return circuit_of(harness, state);
}

std::vector<Change> changes(const Hearing& sound, const Hearing& faulty) {
  std::vector<Change> found;
  const auto add = [&](Sound what, std::optional<PartId> pickup) {
    const Change change{what, pickup};
    if (std::find(found.begin(), found.end(), change) == found.end()) found.push_back(change);
  };
  if (more_loose(sound.loose_strings, faulty.loose_strings)) {
    add(Sound::Buzzes, std::nullopt);
  } else if (faulty.hums && !sound.hums) {
    add(Sound::Hums, std::nullopt);
  } else if (more_loose(sound.loose_shields, faulty.loose_shields)) {
    add(Sound::BuzzesUntilTouched, std::nullopt);
  } else if (more_loose(sound.loose_handles, faulty.loose_handles)) {
    add(Sound::HumsWhenTouched, std::nullopt);
  }
  std::size_t turned = 0, heard = 0;
  for (PartId pickup : pickups_of(sound)) {
    if (sound.bass(pickup) < kAudible) {
      const bool silent = sound.treble(pickup) < kAudible;
      const double is = faulty.bass(pickup);
      if (silent && is > kOn) add(Sound::AlwaysOn, pickup);
      if (silent && is <= kOn && is > kFaint && is > 4 * sound.bass(pickup)) add(Sound::Bleeds, pickup);
      if (silent) continue;
    }
    const Compared left = compare(sound, faulty, pickup);
    if (std::max(left.bass, left.treble) < kSilent) {
      add(Sound::Silent, pickup);
      continue;
    }
    ++heard;
    turned += left.turned ? 1 : 0;
    if (left.against || left.lost_a_coil || (left.bass < kQuieter && left.treble > 1.4 * left.bass)) {
      add(Sound::Thin, pickup);
      // The other coil no longer takes the hum away.
      if (left.lost_a_coil) add(Sound::Hums, pickup);
    } else if (left.bass < kQuieter) {
      add(Sound::Weak, pickup);
    } else if (left.treble < kQuieter * left.bass) {
      add(Sound::Dull, pickup);
    }
  }
  // One pickup against another: what they share cancels.
  if (turned > 0 && turned < heard) add(Sound::Hollow, std::nullopt);
  return found;
}

std::vector<Setting> settings_to_hear(const Harness& harness, std::optional<std::size_t> stage) {
  std::vector<Setting> settings{Setting(harness)};
  std::size_t combinations = 1;
  std::vector<PartId> switches;
  for (PartId control : harness.controls()) {
    const Part& part = harness[control];
    const auto missing = [&] {
      if (!stage) return false;
      const auto& without = harness.stages()[*stage].without;
      return std::find(without.begin(), without.end(), control) != without.end();
    };
    if (part.kind != PartKind::Switch || missing()) continue;
    switches.push_back(control);
    combinations = std::min(kMostCombinations + 1, combinations * part.positions.size());
  }
  for (PartId control : switches) {
    const std::vector<Setting> before =
        combinations > kMostCombinations ? std::vector{settings.front()} : settings;
    for (std::uint16_t place = 1; place < harness[control].positions.size(); ++place) {
      for (Setting setting : before) {
        setting.select(control, place);
        settings.push_back(std::move(setting));
      }
    }
  }
  return settings;
}

}  // namespace lugwise
