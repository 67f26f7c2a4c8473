#include "hearing/sound.h"

#include <algorithm>
#include <array>

namespace lugwise {
namespace {

// In the order of the enumeration.
constexpr std::array<std::string_view, 23> kWords{
    "silent",        "weak",           "thin",     "crackles", "buzzes",       "buzzes-until-touched",
    "always-on",     "dead",           "quiet",    "dull",     "does-nothing", "works-backwards",
    "does-not-mute", "all-or-nothing", "scratchy", "cuts-out", "hums",         "hums-when-touched",
    "hollow",        "all-the-same",   "bleeds",   "pops",     "shock"};
static_assert(kWords.size() == static_cast<std::size_t>(Sound::Shock) + 1);

}  // namespace

std::string_view sound_word(Sound sound) { return kWords[static_cast<std::size_t>(sound)]; }

std::optional<Sound> find_sound(std::string_view word) {
  const auto found = std::find(kWords.begin(), kWords.end(), word);
  if (found == kWords.end()) return std::nullopt;
  return static_cast<Sound>(found - kWords.begin());
}

bool is_of_control(Sound sound) {
  switch (sound) {
    case Sound::DoesNothing:
    case Sound::WorksBackwards:
    case Sound::DoesNotMute:
    case Sound::AllOrNothing:
    case Sound::Scratchy:
    case Sound::AllTheSame:
      return true;
    default:
      return false;
  }
}

std::vector<std::string> sound_words() { return {kWords.begin(), kWords.end()}; }

}  // namespace lugwise
