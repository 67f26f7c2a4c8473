// Letter-and-digit codes of resistors, IEC 60062: the letter says the unit and stands where the point would.
//
//   read_letters("4K7");     // 4700
//   read_letters("R47J");    // 0.47, 5 %
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "component/marking.h"

namespace lugwise {

// What a code says: L, R, K (or k), M, G for thousandths, ones, thousands, millions, thousand millions of
// ohms, then perhaps a letter for the tolerance. E, H, L, P and W there are read but claim none: we have them
// from memory only, so the tolerance is disputed.
std::variant<Marking, MarkingError> read_letters(std::string_view code);

// The code of a resistance without its tolerance, in two figures at least: "4K7", "1K0", "470R", "R47". None
// where it takes more than four figures, or lies outside a thousandth of an ohm to 999G.
std::optional<std::string> write_letters(Ohms ohms);

// The same with the tolerance behind it where there is one: "4K7J". None where that has no letter either.
std::optional<std::string> write_letters(const Marking& marking);

}  // namespace lugwise
