// Elements of an HTML page, with what is in them escaped.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "page/document.h"

namespace lugwise::page::inside {

std::string escaped(std::string_view text);

// `attributes` go in as they are.
std::string element(std::string_view name, std::string_view attributes, std::string_view text);

// A file's text as an attribute holds it, line ends and all.
std::string in_attribute(std::string_view text);

// What each display means, as a list.
std::string signs(const std::vector<Labelled>& signs);

// `of` is read aloud only: the same label stands at many steps.
std::string read_aloud(const std::string& of);
std::string labelled_input(const std::string& label, const std::string& of);
std::string filled_in(const Blanks& blanks, const std::string& of);

}  // namespace lugwise::page::inside
