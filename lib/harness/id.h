// Small strong ids: the place of a part, point or element in its harness.
#pragma once

#include <compare>
#include <cstdint>
#include <functional>

namespace lugwise {

template <class Of>
struct Id {
  std::uint32_t index = 0;
  friend auto operator<=>(const Id&, const Id&) = default;
};

struct Part;
struct Point;
struct Element;
struct Wire;
using PartId = Id<Part>;
using PointId = Id<Point>;
using ElementId = Id<Element>;
using WireId = Id<Wire>;

}  // namespace lugwise

template <class Of>
struct std::hash<lugwise::Id<Of>> {
  std::size_t operator()(lugwise::Id<Of> id) const noexcept { return std::hash<std::uint32_t>{}(id.index); }
};
