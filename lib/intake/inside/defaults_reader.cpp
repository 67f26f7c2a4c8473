#include "intake/inside/defaults_reader.h"

#include <fmt/format.h>

#include "intake/inside/fields.h"

namespace lugwise::intake::inside {
namespace {

constexpr Limits kSmallOhms{0, 1000, "from 0 to 1000 ohms"};
constexpr Limits kEndShare{0, 0.5, "from 0% to 50%"};
constexpr Limits kTolerance{0, 0.9999, "at least 0% and less than 100%"};

}  // namespace

Defaults read_defaults(const Node* node, Diagnostics& diagnostics) {
  Defaults defaults;
  if (!node || !as_map(*node, "'defaults'", diagnostics)) return defaults;
  Fields fields(*node, "'defaults'", node->at, {"joint", "wire", "contact", "end", "tolerance"}, diagnostics);
  const auto ohms = [&](std::string_view key, Ohms& into) {
    if (const Node* value = fields.find(key)) {
      into = as_value(*value, fmt::format("'{}'", key), "N301", parse_ohms, kSmallOhms, diagnostics)
                 .value_or(into);
    }
  };
  ohms("joint", defaults.joint);
  ohms("wire", defaults.wire);
  ohms("contact", defaults.contact);
  if (const Node* end = fields.find("end")) {
    defaults.end =
        as_value(*end, "'end'", "N303", parse_share, kEndShare, diagnostics).value_or(defaults.end);
  }
  const Node* tolerance = fields.find("tolerance");
  if (!tolerance || !as_map(*tolerance, "'tolerance'", diagnostics)) return defaults;
  Fields kinds(*tolerance, "'tolerance'", tolerance->at, {"pickup", "pot", "resistor", "capacitor"},
               diagnostics);
  const auto share = [&](std::string_view key, double& into) {
    if (const Node* value = kinds.find(key)) {
      into = as_value(*value, "the tolerance", "N303", parse_share, kTolerance, diagnostics).value_or(into);
    }
  };
  share("pickup", defaults.tolerance.pickup);
  share("pot", defaults.tolerance.pot);
  share("resistor", defaults.tolerance.resistor);
  share("capacitor", defaults.tolerance.capacitor);
  return defaults;
}

}  // namespace lugwise::intake::inside
