// What is said of a text that is no value: what it isn't, and what it was probably meant to be.
#pragma once

#include <fmt/format.h>

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "intake/value.h"

namespace lugwise::intake::inside {

// In quotation marks; of a long text the beginning.
std::string quoted(std::string_view text);

// "did you mean '4.7M'?", "did you mean '1k' or '1'?"
std::string likely(std::string_view meant);
std::string likely(const std::vector<std::string>& meant);

// "not a resistance: '4.7m'"
template <class T>
Parsed<T> not_a(std::string_view what, std::string_view text, std::string hint = {}) {
  return {std::nullopt, fmt::format("not {}: {}", what, quoted(text)), std::move(hint)};
}

// Whether a text is a value as one of the parse functions has it.
template <auto parse>
bool parses(std::string_view text) {
  return parse(text).value.has_value();
}

// What a text that is no value as it stands was probably meant to be; nothing where no change to its marks, letters or ends
// makes one. `is_value` says what is one.
std::string meant_by_marks(std::string_view text, bool (*is_value)(std::string_view));

}  // namespace lugwise::intake::inside
