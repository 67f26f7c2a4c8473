#include "intake/inside/values_reader.h"

#include <fmt/format.h>

#include "intake/inside/fields.h"
#include "intake/inside/given_once.h"

namespace lugwise::intake::inside {

std::vector<ChosenValue> read_values(const Node& node, Diagnostics& diagnostics) {
  std::vector<ChosenValue> values;
  if (!as_map(node, "'values'", diagnostics)) return values;
  GivenOnce<std::string> seen(diagnostics);
  for (std::size_t i = 0; i < node.pairs(); ++i) {
    const Node& key = node.key(i);
    const std::string* const name = as_name(key, "a value's name", diagnostics);
    const std::string* const text =
        name ? as_text(node.value(i), fmt::format("the value '{}'", *name), diagnostics) : nullptr;
    if (text &&
        seen.take(*name, key.at, "N113", [&] { return fmt::format("value '{}' is given twice", *name); }))
      values.push_back({*name, *text, node.value(i).at, diagnostics.file()});
  }
  return values;
}

}  // namespace lugwise::intake::inside
