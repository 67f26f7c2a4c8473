#include "diagnosis/inside/ear.h"

#include <algorithm>
#include <cmath>

namespace lugwise::diagnosis::inside {
namespace {

// Chances, all judgements: that a player complains so where just that is to be heard, where something near it is, where
// something else is, and where there is nothing; and of a room that hums although all is sound.
constexpr double kHeardSo = 0.8;
constexpr double kHeardLike = 0.25;
constexpr double kHeardElse = 0.03;
constexpr double kHeardAnyway = 0.02;
constexpr double kRoomHums = 0.15;
constexpr double kHeardOfAnything = 0.1;

// Far less: what the complaint itself rules out, as strings without a ground where touching them helps. And by how much a
// fault counts less that would silence pickups no complaint names.
constexpr double kHeardAgainst = 0.004;
constexpr double kOthersSilent = 0.1;

// Added ohms below this are heard by nobody; from here up to the next they sound alike, and above it.
constexpr Ohms kLeastHeard = 3000;
constexpr Ohms kMuch = 1e5;

// The size whose sound stands for this one, which is none of the least: the largest of a few steps below it.
std::size_t heard_as(const Hypothesis& hypothesis, std::size_t size) {
  if (hypothesis.fault.mode != Mode::High) return size / 4 * 4;
  const Ohms heard = hypothesis.sizes[size] < kMuch ? 9e3 : 9e5;
  for (std::size_t s = 0; s < hypothesis.sizes.size(); ++s) {
    if (hypothesis.sizes[s] > heard) return s;
  }
  return size;
}

bool is_crackle(Sound sound) {
  return sound == Sound::Crackles || sound == Sound::CutsOut || sound == Sound::Scratchy ||
         sound == Sound::Pops;
}

bool is_silence(Sound sound) { return sound == Sound::Silent || sound == Sound::Dead; }

bool is_leak(Sound sound) {
  return sound == Sound::AlwaysOn || sound == Sound::Bleeds || sound == Sound::DoesNotMute;
}

// How likely a player has this word for what is to be heard.
double chance_of_word(Sound said, Sound is) {
  const auto loss = [](Sound what) {
    return is_silence(what) || what == Sound::Weak || what == Sound::Quiet || what == Sound::Thin ||
           what == Sound::Hollow || what == Sound::Dull;
  };
  const auto switched = [](Sound what) { return what == Sound::DoesNothing || what == Sound::AllTheSame; };
  const auto either = [&](Sound x, Sound y) { return (said == x && is == y) || (said == y && is == x); };
  if (said == is || (is_silence(said) && is_silence(is)) || either(Sound::Quiet, Sound::Weak))
    return kHeardSo;
  if (said == Sound::BuzzesUntilTouched && is == Sound::Buzzes) return kHeardAgainst;
  if (either(Sound::Buzzes, Sound::Hums) || (is_leak(said) && is_leak(is)) ||
      (switched(said) && switched(is)) || either(Sound::Thin, Sound::Hollow) ||
      either(Sound::Crackles, Sound::CutsOut) || either(Sound::Crackles, Sound::Scratchy) ||
      either(Sound::DoesNothing, Sound::AllOrNothing))
    return 0.5;
  if ((loss(said) && loss(is)) || (is_hum(said) && is_hum(is)) || (is_crackle(said) && is_crackle(is)) ||
      (is_crackle(said) && loss(is)) || (loss(said) && is_crackle(is)) ||
      (is_of_control(said) && is_of_control(is)))
    return kHeardLike;
  return kHeardElse;
}

}  // namespace

bool is_hum(Sound sound) {
  return sound == Sound::Buzzes || sound == Sound::BuzzesUntilTouched || sound == Sound::Hums ||
         sound == Sound::HumsWhenTouched;
}

Ear::Ear(const Harness& harness, std::optional<std::size_t> stage) : harness_(harness), stage_(stage) {}

void Ear::attend(const std::vector<Heard>& all) {
  if (!listener_) listener_.emplace(harness_, stage_);
  named_.clear();
  all_named_ = false;
  for (const Heard& heard : all) {
    if (heard.aside || is_hum(heard.sound) || is_leak(heard.sound) || heard.control) continue;
    if (is_of_control(heard.sound)) continue;
    if (heard.pickup) {
      named_.push_back(*heard.pickup);
    } else if (heard.set_given) {
      for (PartId pickup : listener_->sounding(heard.setting)) named_.push_back(pickup);
    } else {
      all_named_ = true;
    }
  }
}

double Ear::log_of_sound(const Heard& heard) {
  if (heard.aside) return 0;  // it speaks for nothing, here and below
  return std::log(is_hum(heard.sound) ? kRoomHums : kHeardAnyway);
}

double Ear::log_of_anything() { return std::log(kHeardOfAnything); }

const Ear::Notes& Ear::changes_in(const Setting& setting, const Numbered& numbered) {
  const auto [known, fresh] = known_.try_emplace({setting, numbered.number});
  if (fresh)
    known->second = listener_->changes_in(setting, *numbered.explanation.fault, numbered.explanation.size);
  return known->second;
}

const std::vector<Ear::Notes>& Ear::everywhere(const Numbered& numbered) {
  const auto [known, fresh] = everywhere_.try_emplace(numbered.number);
  if (fresh)
    known->second = listener_->changes_everywhere(*numbered.explanation.fault, numbered.explanation.size);
  return known->second;
}

const std::vector<Complaint>& Ear::of_controls(const Numbered& numbered) {
  const auto [known, fresh] = of_controls_.try_emplace(numbered.number);
  if (fresh) known->second = listener_->of_controls(*numbered.explanation.fault, numbered.explanation.size);
  return known->second;
}

// The chance of a complaint in one setting, by what is to be noted there.
double Ear::chance_in(const Heard& heard, const Setting& setting, const Notes& changes) const {
  if (changes.empty()) return is_hum(heard.sound) ? kRoomHums : kHeardAnyway;
  // A room that hums does so with a fault too.
  double chance = is_hum(heard.sound) ? kRoomHums : kHeardElse;
  bool against = false;
  std::size_t silent = 0;
  bool hums = false;
  for (const Change& change : changes) {
    silent += change.sound == Sound::Silent ? 1 : 0;
    hums = hums || is_hum(change.sound);
    if (heard.pickup && change.pickup && heard.pickup != change.pickup) continue;
    const double word = chance_of_word(heard.sound, change.sound);
    against = against || word == kHeardAgainst;
    chance = std::max(chance, word);
  }
  if (against) return kHeardAgainst;
  // Of no pickup by name: silent is what gives no sound at all. And dead is what does not even hum.
  const bool part_silent =
      is_silence(heard.sound) && !heard.pickup && silent > 0 && silent < listener_->sounding(setting).size();
  if (part_silent || (heard.sound == Sound::Dead && hums)) return std::min(chance, kHeardLike);
  return chance;
}

// In the setting that was named, else wherever it should sound: on the average there, at its best of what should not be
// heard at all.
double Ear::chance_of_sound(const Heard& heard, const Numbered& numbered) {
  if (heard.set_given) return chance_in(heard, heard.setting, changes_in(heard.setting, numbered));
  const std::vector<Notes>& notes = everywhere(numbered);
  double sum = 0, best = 0, least = 1;
  std::size_t settings = 0;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const double chance = chance_in(heard, listener_->setting(i), notes[i]);
    best = std::max(best, chance);
    // Where a switch mutes it all nobody complains of silence.
    if (!heard.pickup && !is_leak(heard.sound) && listener_->sounding(listener_->setting(i)).empty())
      continue;
    if (heard.pickup && !is_leak(heard.sound) && !listener_->sounds(i, *heard.pickup)) continue;
    sum += chance;
    least = std::min(least, chance);
    ++settings;
  }
  if (is_leak(heard.sound) || settings == 0) return std::max(best, kHeardAnyway);
  // Silent, of no pickup by name, is what gives no sound in any setting.
  if (is_silence(heard.sound) && !heard.pickup) return least;
  return sum / static_cast<double>(settings);
}

double Ear::chance_of_control(const Heard& heard, const Numbered& numbered) {
  const std::vector<Complaint>& complaints = of_controls(numbered);
  const std::vector<PartId> controls = harness_.controls();
  double chance = kHeardAnyway;
  for (const Complaint& complaint : complaints) {
    if (heard.control && complaint.control != heard.control) continue;
    if (heard.set_given) {
      const auto there = [&](const Setting& setting) {
        return std::all_of(controls.begin(), controls.end(), [&](PartId control) {
          return harness_[control].kind != PartKind::Switch || control == heard.control ||
                 setting.alike(heard.setting, control);
        });
      };
      if (std::none_of(complaint.in.begin(), complaint.in.end(), there)) continue;
    }
    chance = std::max(chance, chance_of_word(heard.sound, complaint.sound));
  }
  return chance;
}

bool Ear::silences_others(const Numbered& numbered) {
  if (all_named_) return false;
  for (const Notes& notes : everywhere(numbered)) {
    for (const Change& change : notes) {
      if (change.sound != Sound::Silent || !change.pickup) continue;
      if (std::find(named_.begin(), named_.end(), *change.pickup) == named_.end()) return true;
    }
  }
  return false;
}

double Ear::log_of(const Heard& heard, const Hypothesis& hypothesis, std::size_t size) {
  // A shock is no question of the wiring.
  if (heard.aside || heard.sound == Sound::Shock) return log_of_sound(heard);
  if (has_size(hypothesis.fault)) {
    // What comes and goes is heard in any size.
    if (hypothesis.fault.mode == Mode::High && hypothesis.sizes[size] < kLeastHeard &&
        !is_crackle(heard.sound))
      return log_of_sound(heard);
    size = heard_as(hypothesis, size);
  }
  if (!listener_) listener_.emplace(harness_, stage_);
  if (!listener_->plugged()) return log_of_sound(heard);
  const Numbered numbered = hypothesis.in_size(size);
  const bool of_control = heard.control || is_of_control(heard.sound);
  double chance = of_control ? chance_of_control(heard, numbered) : chance_of_sound(heard, numbered);
  if (silences_others(numbered)) chance *= kOthersSilent;
  return std::log(chance);
}

}  // namespace lugwise::diagnosis::inside
