// A document as plain text, for a terminal or a narrow printer.
#pragma once

#include <string>
#include <string_view>

#include "page/document.h"

namespace lugwise::page {

inline constexpr std::size_t kColumns = 80;

// No line is longer than `columns`, which is 24 at least: a word that is longer is broken. What is only for paper, and
// pictures, are left out.
std::string as_text(const Document& document, std::size_t columns = kColumns);

// One paragraph: `lead` begins its first line, the others begin `indent` columns to the right.
std::string wrapped(std::string_view lead, std::string_view text, std::size_t indent,
                    std::size_t columns = kColumns);

}  // namespace lugwise::page
