// A YAML text as lists, maps and plain texts, each with its place. Everything is text: `on`, `1` and `null` are names.
//
// Anchors, aliases, tags and merge keys are refused, and so is what no netlist needs and no machine should have to
// swallow: text that is not UTF-8, control characters, files of many megabytes, nesting without end.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "source/diagnostic.h"
#include "source/source_text.h"

namespace lugwise::intake::inside {

struct Node {
  enum class Kind { Nothing, Text, List, Map };
  Kind kind = Kind::Nothing;
  Span at;
  std::string text;         // Text
  std::vector<Node> items;  // List; Map: key, value, key, value, ...

  std::size_t pairs() const { return items.size() / 2; }
  const Node& key(std::size_t pair) const { return items[2 * pair]; }
  const Node& value(std::size_t pair) const { return items[2 * pair + 1]; }
};

// What a map has under a key; null where it has no such key, or is no map.
Node* value_of(Node& map, std::string_view key);

// Takes a key and its value out of a map, where it has it.
void erase_key(Node& map, std::string_view key);

// Nothing where the text is no YAML we read; the reason is then in the diagnostics.
std::optional<Node> parse_tree(const SourceText& source, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
