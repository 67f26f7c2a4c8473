// What a number with marks between its digits can mean: `1,000` is a thousand or one, `1.000,5` a thousand and a half.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lugwise::intake::inside {

// The text again for each number that its first one can mean, written with a point or none: two for one comma with three
// digits after it, one where the marks leave no doubt, none where there are no such marks or they make no number. A text
// whose only mark is a point has none. Marks are commas, points, apostrophes and spaces between digits.
std::vector<std::string> meanings(std::string_view text);

// The text with letters that only look like those of a unit, and digits and signs of other alphabets, as the usual ones:
// a Cyrillic or Greek K, a full-width 5, a true minus sign. The same text where there are none.
std::string with_usual_letters(std::string_view text);

}  // namespace lugwise::intake::inside
