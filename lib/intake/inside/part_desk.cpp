#include "intake/inside/part_desk.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "intake/inside/given_once.h"

namespace lugwise::inside {
namespace {

constexpr Limits kTolerance{0, 0.9999, "at least 0% and less than 100%"};
constexpr double kLastPlace = 99;

}  // namespace

bool contains(const std::vector<std::string>& names, std::string_view name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

double PartDesk::tolerance(const Fields& fields, double unless_given) {
  const Node* node = fields.find("tolerance");
  if (!node) return unless_given;
  return as_value(*node, "the tolerance", "N303", parse_share, kTolerance, diagnostics)
      .value_or(unless_given);
}

double PartDesk::ohms(Fields& fields, std::string_view key, std::string_view what) {
  const Node* node = fields.need(key);
  if (!node) return 1;
  return as_value(*node, what, "N301", parse_ohms, kResistance, diagnostics).value_or(1);
}

std::optional<std::vector<std::string>> PartDesk::names(Fields& fields, std::string_view key,
                                                        std::string_view what) {
  const Node* node = fields.need(key);
  if (!node || !as_list(*node, fmt::format("'{}'", key), diagnostics)) return std::nullopt;
  if (node->items.empty()) {
    diagnostics.error("N417", node->at, fmt::format("'{}' must name at least one {}", key, what));
    return std::nullopt;
  }
  std::vector<std::string> found;
  GivenOnce<std::string> seen(diagnostics);
  bool fine = true;
  for (const Node& item : node->items) {
    const std::string* name = as_name(item, fmt::format("a {}'s name", what), diagnostics);
    if (!name) {
      fine = false;
      continue;
    }
    if (seen.take(*name, item.at, "N205", [&] { return fmt::format("{} '{}' is given twice", what, *name); }))
      found.push_back(*name);
  }
  if (!fine) return std::nullopt;
  return found;
}

void PartDesk::keep_where(const Fields& fields, std::optional<PartId> part) {
  const Node* node = fields.find("reach");
  if (node && part) own_reach.push_back({*part, node});
  const Node* place = fields.find("place");
  if (!place) return;
  std::vector<double> numbers;
  if (place->kind == Node::Kind::List && place->items.size() == 2) {
    for (const Node& item : place->items) {
      const auto number = item.kind == Node::Kind::Text ? parse_number(item.text).value : std::nullopt;
      if (number && *number == std::floor(*number) && *number >= 0 && *number <= kLastPlace)
        numbers.push_back(*number);
    }
  }
  if (numbers.size() < 2) {
    diagnostics.error("N310", place->at, "not a place on the picture")
        .note(fmt::format("write its order in the row and its row, whole numbers from 0 to {:g}, as '[0, 2]'",
                          kLastPlace));
  } else if (part) {
    if (places.size() <= part->index) places.resize(part->index + 1u);
    places[part->index] = {static_cast<std::uint16_t>(numbers[0]), static_cast<std::uint16_t>(numbers[1])};
  }
}

}  // namespace lugwise::inside
