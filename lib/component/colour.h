// Colour bands of resistors, IEC 60062.
//
//   read_bands({Colour::Yellow, Colour::Violet, Colour::Orange, Colour::Gold});   // 47k, 5 %
//
// Three bands are two digits and a multiplier; a fourth is the tolerance; five have a third digit; a sixth is
// the temperature coefficient. Which end is first is for the reader to say.
#pragma once

#include <array>
#include <optional>
#include <string_view>
#include <variant>
#include <vector>

#include "component/marking.h"

namespace lugwise {

enum class Colour { Black, Brown, Red, Orange, Yellow, Green, Blue, Violet, Grey, White, Gold, Silver, Pink };

inline constexpr std::array kAllColours = {
    Colour::Black,  Colour::Brown, Colour::Red,   Colour::Orange, Colour::Yellow, Colour::Green, Colour::Blue,
    Colour::Violet, Colour::Grey,  Colour::White, Colour::Gold,   Colour::Silver, Colour::Pink};

// "black" ... "pink".
std::string_view colour_name(Colour colour);

// The colour of that name, small letters; "gray" and "purple" too. None: no such band.
std::optional<Colour> find_colour(std::string_view name);

// What the bands say. Three bands mean 20 %. Orange, yellow and grey as tolerance are read but claim none:
// sources disagree on all three, so the tolerance is disputed.
std::variant<Marking, MarkingError> read_bands(const std::vector<Colour>& bands);

// The bands of a marking, `count` of them; none where these can't say it: too many digits, a tolerance or a
// drift without a colour or without a band, a band with nothing to say.
std::optional<std::vector<Colour>> write_bands(const Marking& marking, int count);

}  // namespace lugwise
