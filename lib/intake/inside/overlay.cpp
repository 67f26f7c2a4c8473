#include "intake/inside/overlay.h"

#include <fmt/format.h>

#include <string>
#include <string_view>
#include <vector>

#include "intake/inside/fields.h"
#include "intake/inside/given_once.h"
#include "intake/inside/taken_off.h"
#include "source/nearest.h"

namespace lugwise::intake::inside {
namespace {

// One map over another: what both have is taken from the second, maps within maps alike to that depth.
void lay_over(Node& base, const Node& over, int depth) {
  for (std::size_t i = 0; i < over.pairs(); ++i) {
    Node* known = value_of(base, over.key(i).text);
    if (!known) {
      base.items.push_back(over.key(i));
      base.items.push_back(over.value(i));
    } else if (depth > 0 && known->kind == Node::Kind::Map && over.value(i).kind == Node::Kind::Map) {
      lay_over(*known, over.value(i), depth - 1);
    } else {
      *known = over.value(i);
    }
  }
}

// Whether what is given for a part that isn't there changes one that is: a new part has its kind, or a key meant for that.
// Tells which part it was meant for.
bool is_mistyped_part(const Node& base, const Node& name, const Node& body, Diagnostics& diagnostics) {
  if (name.kind != Node::Kind::Text || body.kind != Node::Kind::Map) return false;
  for (std::size_t k = 0; k < body.pairs(); ++k) {
    if (body.key(k).text.starts_with("kind") || nearest_name(body.key(k).text, {"kind"})) return false;
  }
  std::vector<std::string> known;
  for (std::size_t i = 0; i < base.pairs(); ++i) known.push_back(base.key(i).text);
  const auto nearest = nearest_name(name.text, known);
  if (!nearest) return false;
  Diagnostic& error = diagnostics.error(
      "N203", name.at, fmt::format("no such part to change: '{}'", name.text.substr(0, 100)));
  for (std::size_t i = 0; i < base.pairs(); ++i) {
    if (base.key(i).text == *nearest)
      error.note(fmt::format("nearest name is '{}', declared", *nearest), base.key(i).at);
  }
  error.note("a new part needs 'kind'");
  return true;
}

// A part with the keys that are given for it changed; one of another kind is another part.
void lay_over_parts(Node& base, const Node& over, Diagnostics& diagnostics) {
  for (std::size_t i = 0; i < over.pairs(); ++i) {
    const Node& body = over.value(i);
    Node* known = value_of(base, over.key(i).text);
    if (!known) {
      if (is_mistyped_part(base, over.key(i), body, diagnostics)) continue;
      base.items.push_back(over.key(i));
      base.items.push_back(body);
      continue;
    }
    const Node* old_kind = value_of(*known, "kind");
    bool other_kind = false;
    for (std::size_t k = 0; body.kind == Node::Kind::Map && k < body.pairs(); ++k)
      other_kind =
          other_kind || (body.key(k).text == "kind" && old_kind && body.value(k).text != old_kind->text);
    if (known->kind != Node::Kind::Map || body.kind != Node::Kind::Map || other_kind) {
      *known = body;
    } else {
      lay_over(*known, body, 0);
    }
  }
}

// A key twice in one map is an error of that map; it would be lost once the maps are one.
void tell_twice(const Node& map, std::string_view what, Diagnostics& diagnostics) {
  if (map.kind != Node::Kind::Map) return;
  GivenOnce<std::string> seen(diagnostics);
  for (std::size_t i = 0; i < map.pairs(); ++i) {
    const std::string& name = map.key(i).text;
    seen.take(name, map.key(i).at, "N113", [&] { return fmt::format("{} '{}' is given twice", what, name); });
  }
}

}  // namespace

Node laid_over(Node base, Node over, Diagnostics& diagnostics) {
  tell_twice(over, "key", diagnostics);
  if (const Node* off = value_of(over, "without")) {
    if (const auto names = as_texts(*off, "'without'", diagnostics)) take_off(base, *names, diagnostics);
  }
  for (std::size_t i = 0; i < over.pairs(); ++i) {
    const std::string& key = over.key(i).text;
    const Node& value = over.value(i);
    if (key == "from" || key == "without") continue;
    Node* known = value_of(base, key);
    const bool maps = known && known->kind == Node::Kind::Map && value.kind == Node::Kind::Map;
    if (key == "parts" && maps) {
      tell_twice(value, "part", diagnostics);
      for (std::size_t p = 0; p < value.pairs(); ++p) tell_twice(value.value(p), "key", diagnostics);
      lay_over_parts(*known, value, diagnostics);
    } else if ((key == "stages" || key == "reach" || key == "values") && maps) {
      tell_twice(value, key == "stages" ? "stage" : "key", diagnostics);
      lay_over(*known, value, 0);
    } else if (key == "defaults" && maps) {
      tell_twice(value, "key", diagnostics);
      lay_over(*known, value, 1);
    } else if ((key == "joints" || key == "wires" || key == "touches") && known &&
               known->kind == Node::Kind::List && value.kind == Node::Kind::List) {
      known->items.insert(known->items.end(), value.items.begin(), value.items.end());
    } else if (known) {
      *known = value;
    } else {
      base.items.push_back(over.key(i));
      base.items.push_back(value);
    }
  }
  return base;
}

}  // namespace lugwise::intake::inside
