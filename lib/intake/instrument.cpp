#include "intake/instrument.h"

#include "intake/inside/meter_map.h"
#include "intake/inside/tree.h"

namespace lugwise {

using namespace intake::inside;

std::optional<Meter> read_meter(std::string_view text, Diagnostics& diagnostics) {
  const SourceText source(text);
  const auto root = parse_tree(source, diagnostics);
  if (!root) return std::nullopt;
  if (root->kind == Node::Kind::Map && root->pairs() == 1 && root->key(0).text == "meter") {
    return read_meter_map(root->value(0), root->key(0).at, diagnostics);
  }
  for (std::size_t i = 0; root->kind == Node::Kind::Map && i < root->pairs(); ++i) {
    const std::string& key = root->key(i).text;
    if (key != "lugwise" && key != "lugwise-readings") continue;
    diagnostics.error(
        "M101", root->key(i).at,
        key == "lugwise" ? "this is a netlist, not a meter" : "this is a readings file, not a meter");
    return std::nullopt;
  }
  return read_meter_map(*root, {}, diagnostics);
}

}  // namespace lugwise
