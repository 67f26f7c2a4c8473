// Characters and spaces of plain texts, as every way of setting them needs them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "page/document.h"

namespace lugwise::page::inside {

// On one line: line ends, tabs and control characters are spaces.
std::string one_line(std::string_view text);

// Columns a text takes: characters, not bytes.
std::size_t width(std::string_view text);

// Filled with spaces on the right, or on the left, to so many columns.
std::string padded(std::string_view text, std::size_t columns);
std::string padded_left(std::string_view text, std::size_t columns);

// "Probes on A: jack.tip and C: volume.3."
std::string in_words(const std::vector<Labelled>& places);

// A title without the colon that leads over to the lines below it.
std::string_view without_colon(std::string_view title);

}  // namespace lugwise::page::inside
