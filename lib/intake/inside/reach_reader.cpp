#include "intake/inside/reach_reader.h"

#include <fmt/format.h>

#include "intake/inside/fields.h"
#include "intake/inside/given_once.h"
#include "source/nearest.h"

namespace lugwise::intake::inside {
namespace {

std::optional<Reach> reach_of(const Node& node, Diagnostics& diagnostics) {
  if (node.kind == Node::Kind::Nothing) {
    diagnostics.error("N115", node.at, "nothing is given for this reach");
    return std::nullopt;
  }
  const std::string* text = as_name(node, "a reach", diagnostics);
  if (!text) return std::nullopt;
  if (*text == "outside") return Reach{ReachKind::Outside, {}};
  if (*text == "cavity") return Reach{ReachKind::Cavity, {}};
  if (*text == "hidden") return Reach{ReachKind::Hidden, {}};
  for (const std::string_view word : {"outside", "cavity", "hidden"}) {
    if (edit_distance(*text, word, 3) > 2) continue;
    diagnostics.warning("N209", node.at, fmt::format("'{}' is taken as the name of a cover", *text))
        .note(fmt::format("did you mean '{}'?", word));
    break;
  }
  return Reach{ReachKind::Cover, *text};
}

}  // namespace

void read_reach(const Node* node, const std::vector<OwnReach>& own_reach, HarnessBuilder& builder,
                PointReader& points, Diagnostics& diagnostics) {
  GivenOnce<PartId> of_part(diagnostics);
  GivenOnce<PointId> of_point(diagnostics);
  for (const OwnReach& own : own_reach) {
    of_part.take(own.part, own.value->at, "N416", [] { return std::string(); });
    if (const auto reach = reach_of(*own.value, diagnostics)) builder.set_reach(own.part, *reach);
  }
  if (!node || !as_map(*node, "'reach'", diagnostics)) return;
  for (std::size_t i = 0; i < node->pairs(); ++i) {
    const Node& key = node->key(i);
    const std::string* text = as_text(key, "a part or point", diagnostics);
    if (!text) continue;
    const auto reach = reach_of(node->value(i), diagnostics);
    const auto twice = [&] { return fmt::format("the reach of '{}' is given twice", *text); };
    if (text->find_first_of(".>") == std::string::npos) {
      const auto part = points.part(key, "a part");
      if (!part) continue;
      if (of_part.take(*part, key.at, "N416", twice) && reach) builder.set_reach(*part, *reach);
    } else {
      const auto point = points.point(key);
      if (!point) continue;
      if (builder.so_far()[*point].role == PointRole::Inside) {
        diagnostics.error("N414", key.at,
                          fmt::format("'{}' is inside the pickup: no probe gets there", *text));
        continue;
      }
      if (of_point.take(*point, key.at, "N416", twice) && reach) builder.set_reach(*point, *reach);
    }
  }
}

}  // namespace lugwise::intake::inside
