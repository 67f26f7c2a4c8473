#include "intake/inside/stage_reader.h"

#include <fmt/format.h>

#include "intake/inside/fields.h"
#include "intake/inside/given_once.h"

namespace lugwise::intake::inside {
namespace {

constexpr std::size_t kMostStages = 1000;

}  // namespace

void read_stages(const Node* node, HarnessBuilder& builder, PointReader& points, Diagnostics& diagnostics) {
  if (!node || !as_map(*node, "'stages'", diagnostics)) return;
  if (node->pairs() > kMostStages) {
    diagnostics.error("N417", node->at, fmt::format("a netlist has at most {} stages", kMostStages));
    return;
  }
  GivenOnce<std::string> seen(diagnostics);
  for (std::size_t i = 0; i < node->pairs(); ++i) {
    const Node& key = node->key(i);
    const Node& body = node->value(i);
    const std::string* name = as_name(key, "a stage's name", diagnostics);
    if (!name) continue;
    if (!seen.take(*name, key.at, "N113", [&] { return fmt::format("stage '{}' is given twice", *name); }))
      continue;
    if (body.kind == Node::Kind::Nothing) {
      diagnostics.error("N115", key.at, fmt::format("nothing is given for '{}'", *name));
      continue;
    }
    if (!as_map(body, "a stage", diagnostics)) continue;
    Fields fields(body, "a stage", key.at, {"without"}, diagnostics);
    const Node* without = fields.need("without");
    const auto parts = without ? as_texts(*without, "'without'", diagnostics) : std::nullopt;
    if (!parts) continue;
    Stage stage{*name, {}, key.at};
    GivenOnce<PartId> missing(diagnostics);
    for (const Node* item : *parts) {
      const auto part = points.part(*item, "a part");
      if (!part) continue;
      const auto twice = [&] { return fmt::format("'{}' is in this list twice", item->text); };
      if (missing.take(*part, item->at, "N402", twice)) stage.without.push_back(*part);
    }
    builder.add_stage(std::move(stage));
  }
}

}  // namespace lugwise::intake::inside
