// The `parts` of a netlist: every kind, its keys and its values, handed to the builder.
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

namespace lugwise::inside {

class PartReader {
 public:
  PartReader(HarnessBuilder& builder, const Tolerances& tolerances, Diagnostics& diagnostics)
      : builder_(builder), tolerances_(tolerances), diagnostics_(diagnostics) {}

  void read(const Node& parts);

  // A part was declared under this name, but its points are not known because of what is wrong with it.
  bool broken(std::string_view part) const;

  // The parts that carry a `reach:`, and where.
  struct OwnReach {
    PartId part;
    const Node* value;
  };
  const std::vector<OwnReach>& own_reach() const { return own_reach_; }

  // Where parts are wanted on the picture, by part: order in the row, row. Shorter where the last say nothing.
  const std::vector<std::optional<std::pair<std::uint16_t, std::uint16_t>>>& places() const {
    return places_;
  }

 private:
  struct Declared {
    std::string name;
    Span at;
    const Node* body = nullptr;
    std::optional<PartKind> kind;
    bool broken = false;
    PartId id;  // as long as no part before it is broken
  };
  using Pair = std::pair<std::string, std::string>;

  void declare(const Node& key, const Node& body);
  std::optional<PartId> add(const Declared& part);
  std::optional<PartId> add_pickup(const Declared& part);
  std::optional<PartId> add_pot(const Declared& part);
  std::optional<PartId> add_switch(const Declared& part);
  std::optional<PartId> add_jack(const Declared& part);
  std::optional<PartId> add_resistor(const Declared& part);
  std::optional<PartId> add_capacitor(const Declared& part);
  std::optional<PartId> add_metal(const Declared& part);
  std::optional<PartId> add_battery(const Declared& part);
  std::optional<PartId> add_module(const Declared& part);

  bool read_coils(Fields& fields, const Declared& part, double tolerance, PickupSpec& spec);
  bool read_leads(const Fields& fields, const std::vector<std::string>& ends, PickupSpec& spec);
  bool read_inside(const Fields& fields, const std::vector<std::string>& ends, PickupSpec& spec);
  void read_taper(const Fields& fields, PotSpec& spec);
  void read_gang(const Fields& fields, const Declared& part, PotSpec& spec);
  bool read_positions(Fields& fields, SwitchSpec& spec);
  bool read_rests(const Fields& fields, JackSpec& spec);

  double tolerance(const Fields& fields, double unless_given);
  double ohms(Fields& fields, std::string_view key, std::string_view what);
  std::optional<std::vector<std::string>> names(Fields& fields, std::string_view key, std::string_view what);
  // What every part may say: its reach, and where it goes on the picture.
  void keep_where(const Fields& fields, std::optional<PartId> part);

  HarnessBuilder& builder_;
  const Tolerances& tolerances_;
  Diagnostics& diagnostics_;
  Suggestions suggestions_;
  std::vector<Declared> parts_;
  std::unordered_map<std::string, std::size_t> by_name_;
  std::vector<OwnReach> own_reach_;
  std::vector<std::optional<std::pair<std::uint16_t, std::uint16_t>>> places_;
  bool all_broken_ = false;
};

}  // namespace lugwise::inside
