#include "intake/inside/taken_off.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <string>
#include <string_view>
#include <unordered_set>
#include <utility>
#include <vector>

#include "source/nearest.h"

namespace lugwise::intake::inside {
namespace {

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

using Links = std::set<std::pair<std::string, std::string>>;

// The pairs of points that wires join directly, each both ways.
Links links_of(Node& base) {
  Links links;
  Node* wires = value_of(base, "wires");
  if (!wires || wires->kind != Node::Kind::List) return links;
  for (Node& wire : wires->items) {
    const Node* run = wire.kind == Node::Kind::Map ? value_of(wire, "run") : &wire;
    if (!run || run->kind != Node::Kind::List) continue;
    for (std::size_t i = 1; i < run->items.size(); ++i) {
      const std::string& from = run->items[i - 1].text;
      const std::string& to = run->items[i].text;
      links.emplace(from, to);
      links.emplace(to, from);
    }
  }
  return links;
}

// What a variant takes off: parts, points with all that is soldered there, and wires by their names.
class Without {
 public:
  Without(const std::vector<const Node*>& names, Node& base, Diagnostics& diagnostics) {
    std::vector<std::string> known;
    if (Node* parts = value_of(base, "parts"); parts && parts->kind == Node::Kind::Map) {
      for (std::size_t i = 0; i < parts->pairs(); ++i) known.push_back(parts->key(i).text);
    }
    const std::set<std::string> parts(known.begin(), known.end());
    std::set<std::string> wires;
    if (Node* list = value_of(base, "wires")) {
      for (Node& wire : list->items) {
        if (const Node* name = value_of(wire, "name")) wires.insert(name->text);
      }
    }
    known.insert(known.end(), wires.begin(), wires.end());
    std::set<std::string> points;
    for (const char* key : {"joints", "wires", "touches"}) {
      if (const Node* list = value_of(base, key)) add_points(*list, points);
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

  // A wire's end that names two points as no wire joins any more is off too.
  void sever(Links links) { severed_ = std::move(links); }

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
      if (severed_.count({std::string(one), std::string(left)})) return true;
    }
  }

 private:
  std::unordered_set<std::string> parts_, points_, wires_;
  Links severed_;
};

void drop_points(Node& list, const Without& off) {
  std::erase_if(list.items,
                [&](const Node& item) { return item.kind == Node::Kind::Text && off.point(item.text); });
}

// A joint or touch loses the points that are off, or goes with its surface or where one is left; a run goes where fewer than
// two of its points are left.
void drop_entries(Node& base, const std::vector<const char*>& keys, const Without& off) {
  for (const char* key : keys) {
    Node* list = value_of(base, key);
    if (!list || list->kind != Node::Kind::List) continue;
    const bool wires = key == std::string_view("wires");
    std::erase_if(list->items, [&](Node& entry) {
      if (entry.kind == Node::Kind::Map) {
        if (const Node* name = value_of(entry, "name"); wires && name && off.wire(name->text)) return true;
        for (const char* inner : {"pressed", "braid"}) {
          Node* points = value_of(entry, inner);
          if (!points) continue;
          const std::size_t before = points->items.size();
          drop_points(*points, off);
          if (points->items.empty() || (inner == std::string_view("braid") && points->items.size() < before))
            erase_key(entry, inner);
        }
      }
      Node* points = entry.kind == Node::Kind::Map ? value_of(entry, wires ? "run" : "points") : &entry;
      if (!points || points->kind != Node::Kind::List || points->items.empty()) return false;
      const std::string surface = points->items.front().text;
      const std::size_t before = points->items.size();
      drop_points(*points, off);
      if (points->items.size() == before) return false;
      return points->items.size() < 2 || (!wires && off.point(surface));
    });
    if (list->items.empty()) erase_key(base, key);
  }
}

void drop_names(Node& base, const Without& off) {
  if (Node* parts = value_of(base, "parts"); parts && parts->kind == Node::Kind::Map) {
    for (std::size_t i = 0; i + 1 < parts->items.size();) {
      if (off.part(parts->items[i].text)) {
        const auto at = parts->items.begin() + static_cast<std::ptrdiff_t>(i);
        parts->items.erase(at, at + 2);
        continue;
      }
      // What sat on the shaft of a part that is off sits on its own.
      for (const char* key : {"gang", "mounted"}) {
        const Node* shaft = value_of(parts->items[i + 1], key);
        if (shaft && off.part(shaft->text)) erase_key(parts->items[i + 1], key);
      }
      i += 2;
    }
  }
  if (Node* reach = value_of(base, "reach"); reach && reach->kind == Node::Kind::Map) {
    for (std::size_t i = 0; i + 1 < reach->items.size();) {
      const std::string& name = reach->items[i].text;
      if (off.part(name) || off.point(name)) {
        const auto at = reach->items.begin() + static_cast<std::ptrdiff_t>(i);
        reach->items.erase(at, at + 2);
      } else {
        i += 2;
      }
    }
    if (reach->items.empty()) erase_key(base, "reach");
  }
  if (Node* stages = value_of(base, "stages"); stages && stages->kind == Node::Kind::Map) {
    for (std::size_t i = 0; i < stages->pairs(); ++i) {
      Node* missing = value_of(stages->items[2 * i + 1], "without");
      if (!missing) continue;
      std::erase_if(missing->items, [&](const Node& item) { return off.part(item.text); });
    }
  }
}

}  // namespace

void take_off(Node& base, const std::vector<const Node*>& names, Diagnostics& diagnostics) {
  Without without(names, base, diagnostics);
  Links severed = links_of(base);
  drop_entries(base, {"wires"}, without);
  for (const auto& link : links_of(base)) severed.erase(link);
  without.sever(std::move(severed));
  drop_entries(base, {"joints", "touches"}, without);
  drop_names(base, without);
}

}  // namespace lugwise::intake::inside
