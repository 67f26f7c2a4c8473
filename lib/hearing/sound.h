// The words players use for what is wrong with what they hear, as readings files and reports spell them.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lugwise {

enum class Sound {
  Silent,              // nothing is heard of it, humming or not
  Weak,                // less than it should be
  Thin,                // the bass is missing, or a coil is
  Crackles,            // noise that comes and goes
  Buzzes,              // touching the strings is no help
  BuzzesUntilTouched,  // touching the strings stops it
  AlwaysOn,            // heard where it should be silent
  Dead,                // silent, and no hum either
  Quiet,               // weak
  Dull,                // the treble is missing
  DoesNothing,         // of a control: no place of it sounds different
  WorksBackwards,      // of a control
  DoesNotMute,         // of a control that is silent at its stop if all is sound
  AllOrNothing,        // of a control: nothing between its stops
  Scratchy,            // of a control: noise as it is turned
  CutsOut,             // comes and goes
  Hums,                // whatever is touched
  HumsWhenTouched,     // as a knob or a switch is touched
  Hollow,              // two that sound together cancel
  AllTheSame,          // every place of a switch sounds alike
  Bleeds,              // faintly heard where it should be silent
  Pops,                // as something is switched
  Shock,               // from the strings or a microphone: no question of the wiring
};

std::string_view sound_word(Sound sound);  // "silent", ..., "buzzes-until-touched", ..., "shock"

// The sound of that word; none: no such word.
std::optional<Sound> find_sound(std::string_view word);

// Whether it is said of a control: a pot or a switch.
bool is_of_control(Sound sound);

// All words, in the order of the enumeration.
std::vector<std::string> sound_words();

}  // namespace lugwise
