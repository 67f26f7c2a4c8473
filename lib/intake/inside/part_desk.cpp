#include "intake/inside/part_desk.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "intake/inside/given_once.h"
#include "source/nearest.h"

namespace lugwise::intake::inside {
namespace {

constexpr Limits kTolerance{0, 0.9999, "at least 0% and less than 100%"};
constexpr double kLastPlace = 99;

// What `250m` of a track or a coil means, which have thousands of ohms; nothing for what has millions, as `1m` of a track.
std::string meant_kilo(const std::string& text) {
  if (text.size() < 2 || text.back() != 'm') return {};
  const std::string number = text.substr(0, text.size() - 1);
  const auto value = parse_number(number).value;
  return value && *value >= 2.5 ? number + "k" : std::string();
}

}  // namespace

bool contains(const std::vector<std::string>& names, std::string_view name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

const DeclaredPart* PartDesk::find(std::string_view name) const {
  const auto found = by_name.find(std::string(name));
  return found == by_name.end() ? nullptr : &parts[found->second];
}

void PartDesk::unknown_pot(const Node& node, const DeclaredPart& part) {
  Diagnostic& error =
      diagnostics.error("N203", node.at, fmt::format("no such part: '{}'", node.text.substr(0, 100)));
  if (!suggestions.afford(parts.size())) return;
  std::vector<std::string> pots;
  for (const DeclaredPart& other : parts) {
    if (other.kind == PartKind::Pot && other.name != part.name) pots.push_back(other.name);
  }
  if (const auto nearest = nearest_name(node.text, pots))
    error.note(fmt::format("nearest name is '{}', declared", *nearest), find(*nearest)->at);
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
  if (node->kind == Node::Kind::Text && !parse_ohms(node->text).value) {
    if (const std::string meant = meant_kilo(node->text); !meant.empty() && key != "value") {
      diagnostics.error("N301", node->at, parse_ohms(node->text).problem)
          .note(fmt::format("'m' is a thousandth: did you mean '{}'?", meant));
      return 1;
    }
  }
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

void PartDesk::keep_spare(const Fields& fields, PartId part) {
  const Node* spare = fields.find("spare");
  const auto lugs = spare ? as_texts(*spare, "'spare'", diagnostics) : std::nullopt;
  if (!lugs) return;
  const Harness& harness = builder.so_far();
  const std::string before = harness[part].name + ".";
  GivenOnce<PointId> given(diagnostics);
  std::vector<PointId> points;
  for (const Node* item : *lugs) {
    const auto point = harness.find_point(before + item->text);
    const bool fits =
        point && (harness[*point].role == PointRole::Lug || harness[*point].role == PointRole::Lead);
    if (!fits) {
      std::vector<std::string> own;
      for (PointId each : harness[part].points) {
        const PointRole role = harness[each].role;
        if (role == PointRole::Lug || role == PointRole::Lead)
          own.push_back(harness[each].name.substr(before.size()));
      }
      suggestions.note(diagnostics.error("N206", item->at,
                                         fmt::format("'{}' has no lug '{}'", harness[part].name,
                                                     item->text.substr(0, 100))),
                       item->text, own, "its lugs are");
      continue;
    }
    const auto twice = [&] { return fmt::format("'{}' is in this list twice", item->text); };
    if (given.take(*point, item->at, "N402", twice)) points.push_back(*point);
  }
  builder.set_spare(part, points);
}

void PartDesk::keep_where(const Fields& fields, std::optional<PartId> part) {
  if (part) keep_spare(fields, *part);
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

}  // namespace lugwise::intake::inside
