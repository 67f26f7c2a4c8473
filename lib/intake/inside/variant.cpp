#include "intake/inside/variant.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <unordered_map>
#include <unordered_set>
#include <utility>
#include <vector>

#include "intake/inside/fields.h"
#include "intake/inside/given_once.h"
#include "source/nearest.h"

namespace lugwise::intake::inside {
namespace {

constexpr std::size_t kMostBases = 8;
constexpr std::size_t kMostBytes = 8'000'000;

Node* find(Node& map, std::string_view key) {
  if (map.kind != Node::Kind::Map) return nullptr;
  for (std::size_t i = 0; i + 1 < map.items.size(); i += 2) {
    if (map.items[i].text == key) return &map.items[i + 1];
  }
  return nullptr;
}

void erase(Node& map, std::string_view key) {
  if (map.kind != Node::Kind::Map) return;
  for (std::size_t i = 0; i + 1 < map.items.size(); i += 2) {
    if (map.items[i].text != key) continue;
    map.items.erase(map.items.begin() + static_cast<std::ptrdiff_t>(i),
                    map.items.begin() + static_cast<std::ptrdiff_t>(i) + 2);
    return;
  }
}

void put_file(Node& node, std::uint32_t file) {
  node.at.file = file;
  for (Node& item : node.items) put_file(item, file);
}

// The part of a point: `volume` of `volume.3`; of what is no point the whole.
std::string_view part_of(std::string_view point) { return point.substr(0, point.find('.')); }

// The points that joints, wires and touches name: anything else has nothing soldered to it that could come off.
void add_points(const Node& node, std::set<std::string>& points) {
  if (node.kind == Node::Kind::Text && node.text.find('.') != std::string::npos) {
    const std::string_view text = node.text;
    std::string_view left = text.substr(text.find(':') == std::string_view::npos ? 0 : text.find(':') + 1);
    for (std::size_t arrow = left.find('>'); arrow != std::string_view::npos; arrow = left.find('>')) {
      points.emplace(left.substr(0, arrow));
      left = left.substr(arrow + 1);
    }
    points.emplace(left);
  }
  for (const Node& item : node.items) add_points(item, points);
}

// What a variant takes off: parts, points with all that is soldered there, and wires by their names.
class Without {
 public:
  Without(const std::vector<const Node*>& names, Node& base, Diagnostics& diagnostics) {
    std::vector<std::string> known;
    if (Node* parts = find(base, "parts"); parts && parts->kind == Node::Kind::Map) {
      for (std::size_t i = 0; i < parts->pairs(); ++i) known.push_back(parts->key(i).text);
    }
    const std::set<std::string> parts(known.begin(), known.end());
    std::set<std::string> wires;
    if (Node* list = find(base, "wires")) {
      for (Node& wire : list->items) {
        if (const Node* name = find(wire, "name")) wires.insert(name->text);
      }
    }
    known.insert(known.end(), wires.begin(), wires.end());
    std::set<std::string> points;
    for (const char* key : {"joints", "wires", "touches"}) {
      if (const Node* list = find(base, key)) add_points(*list, points);
    }
    known.insert(known.end(), points.begin(), points.end());
    for (const Node* each : names) {
      const std::string& name = each->text;
      const bool point = name.find('.') != std::string::npos;
      if (!(point ? points : parts).count(name) && !wires.count(name)) {
        Diagnostic& error = diagnostics.error(
            "N203", each->at, fmt::format("no such part or wire to take off: '{}'", name.substr(0, 100)));
        if (const auto nearest = nearest_name(name, known))
          error.note(fmt::format("nearest name is '{}'", *nearest));
        continue;
      }
      (wires.count(name) ? wires_ : point ? points_ : parts_).insert(name);
    }
  }

  bool part(const std::string& name) const { return parts_.count(name) > 0; }
  bool wire(const std::string& name) const { return wires_.count(name) > 0; }

  // Of a point, a wire's end at one, or a leg.
  bool point(std::string_view text) const {
    const std::string_view plain =
        text.substr(text.find(':') == std::string_view::npos ? 0 : text.find(':') + 1);
    for (std::string_view left = plain;;) {
      const std::size_t arrow = left.find('>');
      const std::string_view one = left.substr(0, arrow);
      if (parts_.count(std::string(part_of(one))) || points_.count(std::string(one))) return true;
      if (arrow == std::string_view::npos)
        return wires_.count(std::string(text.substr(0, text.find(':')))) > 0;
      left = left.substr(arrow + 1);
    }
  }

 private:
  std::unordered_set<std::string> parts_, points_, wires_;
};

void drop_points(Node& list, const Without& off) {
  std::erase_if(list.items,
                [&](const Node& item) { return item.kind == Node::Kind::Text && off.point(item.text); });
}

// A joint or touch loses the points that are off, or goes with its surface or where one is left; a run goes where fewer than
// two of its points are left.
void drop_entries(Node& base, const Without& off) {
  for (const char* key : {"joints", "touches", "wires"}) {
    Node* list = find(base, key);
    if (!list || list->kind != Node::Kind::List) continue;
    const bool wires = key == std::string_view("wires");
    std::erase_if(list->items, [&](Node& entry) {
      if (entry.kind == Node::Kind::Map) {
        if (const Node* name = find(entry, "name"); wires && name && off.wire(name->text)) return true;
        for (const char* inner : {"pressed", "braid"}) {
          Node* points = find(entry, inner);
          if (!points) continue;
          const std::size_t before = points->items.size();
          drop_points(*points, off);
          if (points->items.empty() || (inner == std::string_view("braid") && points->items.size() < before))
            erase(entry, inner);
        }
      }
      Node* points = entry.kind == Node::Kind::Map ? find(entry, wires ? "run" : "points") : &entry;
      if (!points || points->kind != Node::Kind::List || points->items.empty()) return false;
      const std::string surface = points->items.front().text;
      const std::size_t before = points->items.size();
      drop_points(*points, off);
      if (points->items.size() == before) return false;
      return points->items.size() < 2 || (!wires && off.point(surface));
    });
    if (list->items.empty()) erase(base, key);
  }
}

void drop_names(Node& base, const Without& off) {
  if (Node* parts = find(base, "parts"); parts && parts->kind == Node::Kind::Map) {
    for (std::size_t i = 0; i + 1 < parts->items.size();) {
      if (off.part(parts->items[i].text)) {
        const auto at = parts->items.begin() + static_cast<std::ptrdiff_t>(i);
        parts->items.erase(at, at + 2);
      } else {
        i += 2;
      }
    }
  }
  if (Node* reach = find(base, "reach"); reach && reach->kind == Node::Kind::Map) {
    for (std::size_t i = 0; i + 1 < reach->items.size();) {
      const std::string& name = reach->items[i].text;
      if (off.part(name) || off.point(name)) {
        const auto at = reach->items.begin() + static_cast<std::ptrdiff_t>(i);
        reach->items.erase(at, at + 2);
      } else {
        i += 2;
      }
    }
    if (reach->items.empty()) erase(base, "reach");
  }
  if (Node* stages = find(base, "stages"); stages && stages->kind == Node::Kind::Map) {
    for (std::size_t i = 0; i < stages->pairs(); ++i) {
      Node* missing = find(stages->items[2 * i + 1], "without");
      if (!missing) continue;
      std::erase_if(missing->items, [&](const Node& item) { return off.part(item.text); });
    }
  }
}

// One map over another: what both have is taken from the second, maps within maps alike to that depth.
void lay_over(Node& base, const Node& over, int depth) {
  for (std::size_t i = 0; i < over.pairs(); ++i) {
    Node* known = find(base, over.key(i).text);
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
    Node* known = find(base, over.key(i).text);
    if (!known) {
      if (is_mistyped_part(base, over.key(i), body, diagnostics)) continue;
      base.items.push_back(over.key(i));
      base.items.push_back(body);
      continue;
    }
    const Node* old_kind = find(*known, "kind");
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

class Reader {
 public:
  Reader(const NetlistSources& sources, Diagnostics& diagnostics, std::string& read)
      : sources_(sources), diagnostics_(diagnostics), read_(read) {}

  std::optional<Node> tree(std::string_view text, const std::string& file, bool base) {
    read_ += text;
    if (!base) {
      const SourceText source(text);
      auto root = parse_tree(source, diagnostics_);
      return root ? with_base(std::move(*root), file) : std::nullopt;
    }
    const std::uint32_t number = diagnostics_.add_file(file);
    Diagnostics own(file);
    const SourceText source(text);
    auto root = parse_tree(source, own);
    diagnostics_.take_over(own, number);
    if (!root) return std::nullopt;
    put_file(*root, number);
    return with_base(std::move(*root), file);
  }

 private:
  std::optional<Node> with_base(Node root, const std::string& file) {
    Node* from = find(root, "from");
    if (!from) {
      refuse_alone(root);
      return root;
    }
    const Node named = *from;
    const auto fail = [&](std::string code, std::string problem,
                          std::string hint = {}) -> std::optional<Node> {
      Diagnostic& error = diagnostics_.error(std::move(code), named.at, std::move(problem));
      if (!hint.empty()) error.note(std::move(hint));
      return std::nullopt;
    };
    const std::string* name =
        named.kind == Node::Kind::Nothing ? nullptr : as_text(named, "'from'", diagnostics_);
    if (!name) {
      if (named.kind == Node::Kind::Nothing) return fail("N115", "nothing is given for 'from'");
      return std::nullopt;
    }
    if (!sources_.open) return fail("N501", "no other file can be read here, so 'from' can't be followed");
    if (chain_.empty()) chain_.push_back(sources_.open(file, file).name);
    const OpenedNetlist opened = sources_.open(*name, file);
    if (!opened.text) return fail("N501", fmt::format("can't read '{}': {}", *name, opened.problem));
    if (std::find(chain_.begin(), chain_.end(), opened.name) != chain_.end())
      return fail("N502", fmt::format("'{}' starts from itself", *name));
    if (chain_.size() > kMostBases)
      return fail("N502", fmt::format("more than {} files start one from another", kMostBases));
    if (read_.size() + opened.text->size() > kMostBytes) return fail("N502", "too much text in all");
    chain_.push_back(opened.name);
    auto base = tree(*opened.text, opened.name, true);
    if (!base) return std::nullopt;
    if (base->kind != Node::Kind::Map || !find(*base, "parts"))
      return fail("N501", fmt::format("'{}' is no netlist: it has no 'parts'", *name));
    return joined(std::move(*base), std::move(root));
  }

  // Only with 'from' there is something to take parts off.
  void refuse_alone(Node& root) {
    for (std::size_t i = 0; root.kind == Node::Kind::Map && i < root.pairs(); ++i) {
      if (root.key(i).text != "without") continue;
      diagnostics_.error("N411", root.key(i).at, "'without' takes parts off the netlist that 'from' names")
          .note("parts not there yet are given under 'stages'");
      erase(root, "without");
      return;
    }
  }

  Node joined(Node base, Node over) {
    tell_twice(over, "key", diagnostics_);
    if (const Node* off = find(over, "without")) {
      if (const auto names = as_texts(*off, "'without'", diagnostics_)) {
        const Without without(*names, base, diagnostics_);
        drop_entries(base, without);
        drop_names(base, without);
      }
    }
    for (std::size_t i = 0; i < over.pairs(); ++i) {
      const std::string& key = over.key(i).text;
      const Node& value = over.value(i);
      if (key == "from" || key == "without") continue;
      Node* known = find(base, key);
      const bool maps = known && known->kind == Node::Kind::Map && value.kind == Node::Kind::Map;
      if (key == "parts" && maps) {
        tell_twice(value, "part", diagnostics_);
        for (std::size_t p = 0; p < value.pairs(); ++p) tell_twice(value.value(p), "key", diagnostics_);
        lay_over_parts(*known, value, diagnostics_);
      } else if ((key == "stages" || key == "reach" || key == "values") && maps) {
        tell_twice(value, key == "stages" ? "stage" : "key", diagnostics_);
        lay_over(*known, value, 0);
      } else if (key == "defaults" && maps) {
        tell_twice(value, "key", diagnostics_);
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

  const NetlistSources& sources_;
  Diagnostics& diagnostics_;
  std::string& read_;
  std::vector<std::string> chain_;
};

// The values that a netlist names once and uses as `$name`.
class NamedValues {
 public:
  explicit NamedValues(Diagnostics& diagnostics) : diagnostics_(diagnostics) {}

  // False: it is no map, which is told.
  bool read(const Node& given) {
    if (!as_map(given, "'values'", diagnostics_)) return false;
    GivenOnce<std::string> seen(diagnostics_);
    for (std::size_t i = 0; i < given.pairs(); ++i) {
      const Node& key = given.key(i);
      const std::string* name = as_name(key, "a value's name", diagnostics_);
      if (!name || !as_text(given.value(i), fmt::format("the value '{}'", *name), diagnostics_)) continue;
      if (!seen.take(*name, key.at, "N113", [&] { return fmt::format("value '{}' is given twice", *name); }))
        continue;
      values_.emplace(*name, given.value(i));
      names_.push_back(*name);
      given_at_.emplace(*name, key.at);
    }
    return true;
  }

  // Another value for one of them, from elsewhere.
  void give(const ChosenValue& value) {
    Span at = value.at;
    at.file = diagnostics_.add_file(value.file.empty() ? fmt::format("--value {}={}", value.name, value.text)
                                                       : value.file);
    Node* const known = find_value(value.name, at);
    if (!known) return;
    known->text = value.text;
    known->at = at;
  }

  void put_in(Node& node) {
    const bool named =
        node.kind == Node::Kind::Text && node.text.starts_with('$') && is_name(node.text.substr(1));
    if (named) {
      const std::string name = node.text.substr(1);
      const Node* const known = find_value(name, node.at);
      if (!known) return;
      used_.insert(name);
      node = *known;
      return;
    }
    for (std::size_t i = 0; i < node.items.size(); ++i) {
      const bool key = node.kind == Node::Kind::Map && i % 2 == 0;
      if (!key) put_in(node.items[i]);
    }
  }

  void tell_unused() {
    for (const std::string& name : names_) {
      if (used_.count(name) || diagnostics_.failed()) continue;  // an unknown one may be meant for it
      Diagnostic& warning =
          diagnostics_.warning("N504", given_at_.at(name), fmt::format("no '${}' stands anywhere", name));
      if (const auto nearest = nearest_name(name, std::vector<std::string>(used_.begin(), used_.end())))
        warning.note(fmt::format("did you mean '{}'?", *nearest));
    }
  }

 private:
  // Null where there is none of that name, which is told.
  Node* find_value(const std::string& name, Span at) {
    const auto known = values_.find(name);
    if (known != values_.end()) return &known->second;
    Diagnostic& error =
        diagnostics_.error("N503", at, fmt::format("no such value: '{}'", name.substr(0, 100)));
    if (const auto nearest = nearest_name(name, names_)) {
      error.note(fmt::format("nearest name is '{}'", *nearest));
    } else {
      error.note(names_.empty() ? "the netlist has no 'values'"
                                : fmt::format("its values are {}", fmt::join(names_, ", ")));
    }
    return nullptr;
  }

  Diagnostics& diagnostics_;
  std::unordered_map<std::string, Node> values_;
  std::vector<std::string> names_;  // in their order
  std::unordered_map<std::string, Span> given_at_;
  std::set<std::string> used_;
};

}  // namespace

std::optional<Node> whole_tree(std::string_view text, const NetlistSources& sources, Diagnostics& diagnostics,
                               std::string& read) {
  return Reader(sources, diagnostics, read).tree(text, diagnostics.file(), false);
}

void put_in_values(Node& root, const std::vector<ChosenValue>& chosen, Diagnostics& diagnostics) {
  NamedValues values(diagnostics);
  const Node* const given = find(root, "values");
  if (given && given->kind != Node::Kind::Nothing && !values.read(*given)) return;
  for (const ChosenValue& value : chosen) values.give(value);
  erase(root, "values");
  values.put_in(root);
  values.tell_unused();
}

}  // namespace lugwise::intake::inside
