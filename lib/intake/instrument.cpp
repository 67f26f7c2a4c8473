#include "intake/instrument.h"

#include "intake/inside/meter_map.h"
#include "intake/inside/tree.h"

namespace lugwise {

std::optional<Meter> read_meter(std::string_view text, Diagnostics& diagnostics) {
  const SourceText source(text);
  const auto root = inside::parse_tree(source, diagnostics);
  if (!root) return std::nullopt;
  if (root->kind == inside::Node::Kind::Map && root->pairs() == 1 && root->key(0).text == "meter") {
    return inside::read_meter_map(root->value(0), root->key(0).at, diagnostics);
  }
  return inside::read_meter_map(*root, {}, diagnostics);
}

}  // namespace lugwise
