// What the readers of the kinds of part share: where a part is handed in, and what is read alike in every kind.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

#include "harness/builder.h"
#include "intake/inside/fields.h"
#include "intake/inside/suggestion.h"

namespace lugwise::intake::inside {

// A part as the file declares it, before its values are read.
struct DeclaredPart {
  std::string name;
  Span at;
  const Node* body = nullptr;    // null where nothing can be read
  std::optional<PartKind> kind;  // none where there is no such kind
  bool broken = false;           // its points are not known because of what is wrong with it
  PartId id;                     // as long as no part before it is broken
};

// The parts that carry a `reach:`, and where.
struct OwnReach {
  PartId part;
  const Node* value;
};

// Where parts are wanted on the picture, by part: order in the row, row. Shorter where the last say nothing.
using Places = std::vector<std::optional<std::pair<std::uint16_t, std::uint16_t>>>;

struct PartDesk {
  HarnessBuilder& builder;
  const Tolerances& tolerances;
  Diagnostics& diagnostics;
  Suggestions suggestions = {};
  std::vector<DeclaredPart> parts = {};
  std::unordered_map<std::string, std::size_t> by_name = {};
  std::vector<OwnReach> own_reach = {};
  Places places = {};

  // A part of the file by its name; null: there is none.
  const DeclaredPart* find(std::string_view name) const;
  // Reports a name that should be another pot's, with the nearest.
  void unknown_pot(const Node& node, const DeclaredPart& part);
  double tolerance(const Fields& fields, double unless_given);
  // A part with a bad value still has its points, so the rest of the file can be checked; 1 stands in.
  double ohms(Fields& fields, std::string_view key, std::string_view what);
  // A list of different names, at least one.
  std::optional<std::vector<std::string>> names(Fields& fields, std::string_view key, std::string_view what);
  // What every part may say: its spare lugs, its reach, and where it goes on the picture.
  void keep_spare(const Fields& fields, PartId part);
  void keep_where(const Fields& fields, std::optional<PartId> part);
};

bool contains(const std::vector<std::string>& names, std::string_view name);

// Ohms of a part.
inline constexpr Limits kCapacitance{1e-13, 1e-2, "more than 0 and at most 10000u"};
inline constexpr Limits kResistance{1e-3, 1e9, "more than 0 and at most 1G"};

}  // namespace lugwise::intake::inside
