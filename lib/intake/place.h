// Points and control settings by the names people type, with a reason and the nearest name where there is none such.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_set>
#include <vector>

#include "circuit/setting.h"
#include "harness/harness.h"

namespace lugwise {

// Why a name was not taken: "no such point: 'jack.sleve'", "nearest name is 'jack.sleeve', declared" (at `declared`).
struct Refusal {
  std::string problem;
  std::string hint;  // may be empty
  Span declared;     // where the nearest name is declared; then the hint reads on with "at line:column"

  // Problem and hint in one sentence, with the place.
  std::string why() const;
};

// Whether the nearest name is looked for where there is none such.
enum class Suggest { Near, Nothing };

struct PointFound {
  std::optional<PointId> point;
  Refusal refusal;       // where there is no point
  bool several = false;  // the name fits the ends of several wires
};

// A point by any of its names: `part.point`, `A>B`, `name:A>B`. No near ones: that search is saved.
PointFound find_point(const Harness& harness, std::string_view name, Suggest suggest = Suggest::Near);

// What can be lifted: each lead and wire end that a joint holds, the first lead of a splice too, and wire ends that are pressed.
std::unordered_set<PointId> leads_of(const Harness& harness);

// Why a point, called `name`, can't be lifted; nothing where it is one of those. The hint lists what is soldered there.
std::optional<Refusal> why_not_lifted(const Harness& harness, PointId point, std::string_view name,
                                      Suggest suggest = Suggest::Near);

struct PartFound {
  std::optional<PartId> part;
  Refusal refusal;
};
PartFound find_part(const Harness& harness, std::string_view name, Suggest suggest = Suggest::Near);

// A stage by its name, as an index into Harness::stages(); none: no such.
std::optional<std::size_t> find_stage(const Harness& harness, std::string_view name);

// What is asked of by one name: a point, or all points of a part; each with what is soldered to it.
struct PlaceFound {
  std::vector<PointId> points;  // none: there is nothing of that name
  Refusal refusal;
};
PlaceFound find_place(const Harness& harness, std::string_view name);

// Puts one control where `place` says: a pot at "0" to "10", a switch in a position, a jack "in" or "out". What is
// wrong with the name or the place is the answer; nothing where all is well.
struct SettingRefusal {
  Refusal refusal;
  bool about_place = false;  // the control is known, its place isn't
};
std::optional<SettingRefusal> apply_setting(const Harness& harness, std::string_view control,
                                            std::string_view place, Setting& setting,
                                            Suggest suggest = Suggest::Near);

}  // namespace lugwise
