#include "intake/sound.h"

#include <array>
#include <utility>

namespace lugwise {
namespace {

constexpr std::array<std::pair<std::string_view, Sound>, 7> kSounds{{
    {"silent", Sound::Silent},
    {"weak", Sound::Weak},
    {"thin", Sound::Thin},
    {"crackles", Sound::Crackles},
    {"buzzes", Sound::Buzzes},
    {"buzzes-until-touched", Sound::BuzzesUntilTouched},
    {"always-on", Sound::AlwaysOn},
}};

}  // namespace

std::string_view sound_word(Sound sound) {
  for (const auto& [word, known] : kSounds) {
    if (known == sound) return word;
  }
  return "silent";
}

std::optional<Sound> find_sound(std::string_view word) {
  for (const auto& [known, sound] : kSounds) {
    if (known == word) return sound;
  }
  return std::nullopt;
}

std::vector<std::string> sound_words() {
  std::vector<std::string> words;
  for (const auto& [word, sound] : kSounds) words.emplace_back(word);
  return words;
}

}  // namespace lugwise
