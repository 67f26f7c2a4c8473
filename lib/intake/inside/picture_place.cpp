#include "intake/inside/picture_place.h"

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

#include "intake/value.h"

namespace lugwise::intake::inside {
namespace {

constexpr double kLastRow = 99;
constexpr double kFarthest = 2000;  // mm

bool is_plain(const std::string& text) { return parse_number(text).value.has_value(); }

std::optional<double> row(const std::string& text) {
  const auto number = parse_number(text).value;
  return number && *number == std::floor(*number) && *number >= 0 && *number <= kLastRow ? number
                                                                                         : std::nullopt;
}

std::optional<double> millimetres(const std::string& text) {
  const auto length = parse_length(text).value;
  // To a thousandth, so that 1 in and 25.4 mm are one.
  const auto made = length ? std::optional(std::floor(*length * 1e6 + 0.5) / 1e3) : std::nullopt;
  return made && *made >= 0 && *made <= kFarthest ? made : std::nullopt;
}

// The two texts of what is no list of two, as `0, 2` or `{x: 0, y: 2}`.
std::vector<std::string> texts_of(const Node& node) {
  std::vector<std::string> texts;
  if (node.kind == Node::Kind::Text) {
    const std::size_t comma = node.text.find(',');
    if (comma == std::string::npos) return texts;
    const std::size_t next = node.text.find_first_not_of(' ', comma + 1);
    if (next != std::string::npos) texts = {node.text.substr(0, comma), node.text.substr(next)};
  } else if (node.kind == Node::Kind::Map) {
    for (std::size_t i = 0; i < node.pairs(); ++i) texts.push_back(node.value(i).text);
  } else {
    for (const Node& item : node.items) {
      if (item.kind == Node::Kind::Text) texts.push_back(item.text);
    }
  }
  return texts;
}

// What two such texts are likely meant to be; empty where nothing is.
std::string meant_by(std::vector<std::string> texts) {
  if (texts.size() != 2) return {};
  if (row(texts[0]) && row(texts[1])) return fmt::format("[{}, {}]", texts[0], texts[1]);
  for (std::string& text : texts) {
    if (is_plain(text)) text += " mm";
    if (millimetres(text)) continue;
    // `120MM`, `4"`: the unit as it is written.
    const std::size_t end = text.find_first_not_of("0123456789.");
    if (end == 0 || end == std::string::npos) return {};
    std::string unit;
    for (const char c : text.substr(end)) {
      if (c != ' ') unit += static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
    }
    text = text.substr(0, end) + " " + (unit == "\"" || unit == "inch" ? "in" : unit);
    if (!millimetres(text)) return {};
  }
  return fmt::format("[{}, {}]", texts[0], texts[1]);
}

}  // namespace

std::optional<Place> read_picture_place(const Node& node, Diagnostics& diagnostics) {
  const bool pair = node.kind == Node::Kind::List && node.items.size() == 2 &&
                    node.items[0].kind == Node::Kind::Text && node.items[1].kind == Node::Kind::Text;
  if (pair) {
    const std::string &x = node.items[0].text, &y = node.items[1].text;
    if (row(x) && row(y)) return Place{Place::Kind::Row, *row(x), *row(y)};
    if (millimetres(x) && millimetres(y) && !is_plain(x) && !is_plain(y))
      return Place{Place::Kind::Measured, *millimetres(x), *millimetres(y)};
  }
  auto& refusal = diagnostics.error("N310", node.at, "not a place on the picture");
  if (const std::string meant = meant_by(texts_of(node)); !meant.empty())
    refusal.note(fmt::format("did you mean '{}'?", meant));
  refusal.note(fmt::format(
      "write its order in the row and its row, whole numbers from 0 to {:g}, as '[0, 2]', or where "
      "its middle is, up to {:g} mm, as '[120 mm, 45 mm]'",
      kLastRow, kFarthest));
  return std::nullopt;
}

}  // namespace lugwise::intake::inside
