#include "intake/inside/joint_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <unordered_map>

#include "intake/inside/fields.h"

namespace lugwise::intake::inside {

void JointReader::read_joints(const Node* node) {
  if (!node || !as_list(*node, "'joints'", diagnostics_)) return;
  Pairs pairs(diagnostics_);
  for (const Node& entry : node->items) {
    const auto points = entry_points(entry, "joint");
    if (!points || !ends_are_here(*points, entry) || !pairs_are_new(*points, entry, "is soldered to", pairs))
      continue;
    builder_.add_joint(points->front(), {points->begin() + 1, points->end()}, entry.at);
  }
}

void JointReader::read_touches(const Node* node) {
  if (!node || !as_list(*node, "'touches'", diagnostics_)) return;
  Pairs pairs(diagnostics_);
  for (const Node& entry : node->items) {
    const Node* list = &entry;
    bool closed = false;
    if (entry.kind == Node::Kind::Map) {
      Fields fields(entry, "a touch", entry.at, {"points", "closed"}, diagnostics_);
      if (const Node* flag = fields.find("closed"))
        closed = as_flag(*flag, "'closed'", diagnostics_).value_or(false);
      list = fields.need("points");
      if (!list) continue;
    }
    const auto points = entry_points(*list, "touch");
    if (!points || !pairs_are_new(*points, *list, "touches", pairs)) continue;
    builder_.add_touch(*points, closed ? Conducts::CavityClosed : Conducts::Always, entry.at);
  }
}

// The points of a joint or touch; none where one of them is in doubt.
std::optional<std::vector<PointId>> JointReader::entry_points(const Node& node, std::string_view what) {
  if (!as_list(node, fmt::format("a {}", what), diagnostics_)) return std::nullopt;
  if (node.items.size() < 2) {
    Diagnostic& error =
        diagnostics_.error("N401", node.at, fmt::format("a {} needs at least two points", what));
    const std::string list = node.items.empty() ? "" : meant_list(node.items.front());
    if (!list.empty()) error.note(fmt::format("a comma goes between: '{}'", list));
    return std::nullopt;
  }
  std::vector<PointId> points;
  std::unordered_map<PointId, const Node*> seen;
  bool fine = true;
  for (const Node& item : node.items) {
    const auto point = points_.for_joint(item);
    if (!point) {
      fine = false;
      continue;
    }
    const auto [before, fresh] = seen.emplace(*point, &item);
    if (!fresh) {
      const std::string& first = before->second->text;
      Diagnostic& error =
          diagnostics_.error("N402", item.at, fmt::format("'{}' is in this {} twice", item.text, what));
      error.note(
          first == item.text ? "first given" : fmt::format("as '{}', another name of the same point,", first),
          before->second->at);
      fine = false;
      continue;
    }
    points.push_back(*point);
  }
  if (!fine) return std::nullopt;
  return points;
}

bool JointReader::pairs_are_new(const std::vector<PointId>& points, const Node& node, std::string_view how,
                                Pairs& pairs) {
  bool fine = true;
  for (std::size_t i = 1; i < points.size(); ++i) {
    const auto again = [&] {
      return fmt::format("'{}' {} '{}' already", node.items[i].text, how, node.items[0].text);
    };
    fine &= pairs.take(std::minmax(points[0], points[i]), node.items[i].at, "N403", again);
  }
  return fine;
}

// Wire ends can only be in a joint at their own point, and not where they are pressed.
bool JointReader::ends_are_here(const std::vector<PointId>& points, const Node& entry) {
  bool fine = true;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Point& point = builder_.so_far()[points[i]];
    if (point.role != PointRole::WireEnd) continue;
    const Node& item = entry.items[i];
    if (i == 0) {
      diagnostics_
          .error("N414", item.at, fmt::format("a joint can't begin with a wire's end: '{}'", item.text))
          .note("first comes the lug, case or lead it is soldered to");
    } else if (!point.on) {
      diagnostics_.error("N415", item.at, fmt::format("'{}' is left free, so it is in no joint", item.text));
    } else if (*point.on != points[0]) {
      diagnostics_.error("N415", item.at,
                         fmt::format("'{}' is at '{}', not at '{}'", item.text,
                                     builder_.so_far()[*point.on].name, entry.items[0].text));
    } else if (wires_.pressed(points[i])) {
      diagnostics_.error("N408", item.at, fmt::format("'{}' is pressed, so it is in no joint", item.text))
          .note("its wire is given", point.at);
    } else {
      continue;
    }
    fine = false;
  }
  return fine;
}

}  // namespace lugwise::intake::inside
