#include "intake/inside/opening.h"

#include <fmt/format.h>

#include <string_view>
#include <utility>

#include "handling/handling.h"
#include "intake/inside/fields.h"
#include "intake/value.h"

namespace lugwise::intake::inside {
namespace {

Parsed<double> parse_opening(std::string_view text) {
  if (text == "control plate" || text == "control-plate") return {kControlPlate, "", ""};
  if (text == "scratchplate") return {kScratchplate, "", ""};
  const std::string_view whole = text;
  double unit = 1;
  for (const auto& [word, seconds] : {std::pair<std::string_view, double>{"min", 60}, {"s", 1}}) {
    if (!text.ends_with(word)) continue;
    text.remove_suffix(word.size());
    unit = seconds;
    break;
  }
  while (text.ends_with(' ')) text.remove_suffix(1);
  Parsed<double> number = parse_number(text);
  if (number.value) {
    *number.value *= unit;
    return number;
  }
  return {std::nullopt, fmt::format("not a count of seconds: '{}'", whole.substr(0, 60)),
          "write 'control plate', 'scratchplate', or a time, as '4 min' or '240 s'"};
}

}  // namespace

std::optional<double> read_opening(const Node& node, Diagnostics& diagnostics) {
  return as_value(node, "'opening'", "S301", parse_opening, {0, 3600, "from 0 to 60 minutes"}, diagnostics);
}

}  // namespace lugwise::intake::inside
