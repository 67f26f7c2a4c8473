#include "diagnosis/inside/ear.h"

#include <algorithm>
#include <cmath>

namespace lugwise {
namespace {

// Chances, all judgements: that a player complains so where just that is to be heard, where something near it is, where
// something else is, and where there is nothing; and of a room that hums although all is sound.
constexpr double kHeardSo = 0.8;
constexpr double kHeardLike = 0.25;
constexpr double kHeardElse = 0.03;
constexpr double kHeardAnyway = 0.02;
constexpr double kRoomHums = 0.15;
constexpr double kHeardOfAnything = 0.1;

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

bool alike(Sound x, Sound y) {
  const auto quiet = [](Sound what) {
    return what == Sound::Silent || what == Sound::Weak || what == Sound::Thin;
  };
  const auto hum = [](Sound what) { return what == Sound::Buzzes || what == Sound::BuzzesUntilTouched; };
  return (quiet(x) && quiet(y)) || (hum(x) && hum(y)) || (x == Sound::Crackles && quiet(y)) ||
         (quiet(x) && y == Sound::Crackles);
}

}  // namespace

Ear::Ear(const Harness& harness, std::optional<std::size_t> stage) : harness_(harness), stage_(stage) {}

double Ear::log_of_sound(const Heard& heard) {
  if (!heard.aside.empty()) return 0;  // it speaks for nothing, here and below
  const bool hum = heard.sound == Sound::Buzzes || heard.sound == Sound::BuzzesUntilTouched;
  return std::log(hum ? kRoomHums : kHeardAnyway);
}

double Ear::log_of_anything() { return std::log(kHeardOfAnything); }

double Ear::log_of(const Heard& heard, const Hypothesis& hypothesis, std::size_t size) {
  if (!heard.aside.empty()) return 0;
  if (has_size(hypothesis.fault)) {
    if (hypothesis.fault.mode == Mode::High && hypothesis.sizes[size] < kLeastHeard)
      return log_of_sound(heard);
    size = heard_as(hypothesis, size);
  }
  if (!listener_) listener_.emplace(harness_, stage_);
  const Numbered numbered = hypothesis.in_size(size);
  const auto [known, fresh] = known_.try_emplace({heard.setting, numbered.number});
  if (fresh)
    known->second = listener_->changes_in(heard.setting, hypothesis.fault, numbered.explanation.size);
  const std::vector<Change>& changes = known->second;
  if (changes.empty()) return log_of_sound(heard);
  double chance = kHeardElse;
  for (const Change& change : changes) {
    const bool of_it = !heard.pickup || !change.pickup || heard.pickup == change.pickup;
    if (!of_it) continue;

    if (change.sound == heard.sound) chance = std::max(chance, kHeardSo);
    if (alike(change.sound, heard.sound)) chance = std::max(chance, kHeardLike);
  }
  // A room that hums does so with a fault too.
  return std::max(std::log(chance), std::log(kHeardElse) + log_of_sound(heard) - std::log(kHeardAnyway));
}

}  // namespace lugwise
