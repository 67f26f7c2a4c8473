// Where parts are wanted on the picture, and in what they lie. It changes no reading, step or diagnosis.
#pragma once

#include <optional>
#include <vector>

namespace lugwise {

struct Place {
  enum class Kind { Row, Measured };
  Kind kind = Kind::Row;
  // Row: the order in its row from the left, and the row from the top. Measured: where its middle is, in millimetres from
  // the left and from the top, seen from behind with the neck to the left.
  double x = 0, y = 0;

  friend bool operator==(const Place&, const Place&) = default;
};

// What the controls of an instrument lie in.
enum class Cavity { ControlPlate, Scratchplate, RearCavity, HollowBody };

struct Places {
  std::vector<std::optional<Place>>
      parts;  // by part; may be shorter than the list of parts: what it doesn't say is found
  std::optional<Cavity> cavity;  // as the netlist says; none: it follows from the parts

  std::optional<Place> of(std::size_t part) const { return part < parts.size() ? parts[part] : std::nullopt; }
  friend bool operator==(const Places&, const Places&) = default;
};

}  // namespace lugwise
