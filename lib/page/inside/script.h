// What a page with a checklist does with what is typed into it.
#pragma once

#include <string_view>

namespace lugwise::page::inside {

// Plain JavaScript that asks for nothing from outside, the text of script.js. Without it the page is the same sheet of paper.
std::string_view script();

// Its SHA-256 in base64, as a content security policy names the one script it lets run: typed in script.cpp.in, and a test
// works it out again.
std::string_view script_hash();

}  // namespace lugwise::page::inside
