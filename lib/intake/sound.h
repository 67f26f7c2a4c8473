// The words a readings file has for what the ear heard.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sheet/sheet.h"

namespace lugwise {

std::string_view sound_word(Sound sound);  // "silent"
std::optional<Sound> find_sound(std::string_view word);
std::vector<std::string> sound_words();

}  // namespace lugwise
