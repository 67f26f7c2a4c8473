// Which way a knob works.

#include <algorithm>

#include <fmt/format.h>

#include "check/inside/rules.h"

namespace lugwise::check::inside {

namespace {

constexpr std::size_t kMostCapacitors = 8;  // looked at on one net: a tone has one or two

// Gangs are wired against each other on purpose, and a pot that rests elsewhere than at 10 has its own sense.
bool has_a_sense(const Drawing& drawing, PartId id) {
  const Part& part = drawing.harness()[id];
  return !drawing.ganged(id) && part.pot->normal == 10;
}

// Where capacitors lie: for each end, its net and the point at the other end.
class Capacitors {
 public:
  explicit Capacitors(const Drawing& drawing) : drawing_(drawing) {
    for (ElementId id : drawing.capacitors()) {
      const Element& element = drawing.harness()[id];
      ends_.push_back({drawing.net(element.a), element.b});
      ends_.push_back({drawing.net(element.b), element.a});
    }
    std::stable_sort(ends_.begin(), ends_.end(), [](const End& x, const End& y) { return x.net < y.net; });
  }

  // Whether a variable resistor from `near` to `far` has a capacitor at `near` in series, between hot and ground.
  bool in_series(PointId near, PointId far) const {
    if (drawing_.grounded(near)) return false;
    const std::uint32_t net = drawing_.net(near);
    auto at = std::lower_bound(ends_.begin(), ends_.end(), net,
                               [](const End& e, std::uint32_t n) { return e.net < n; });
    for (std::size_t seen = 0; at != ends_.end() && at->net == net && seen < kMostCapacitors; ++at, ++seen) {
      const std::uint32_t other = drawing_.net(at->other);
      if (other == net || other == drawing_.net(far)) continue;
      if (drawing_.grounded(at->other) != drawing_.grounded(far)) return true;
    }
    return false;
  }

 private:
  struct End {
    std::uint32_t net;
    PointId other;
  };
  const Drawing& drawing_;
  std::vector<End> ends_;
};

// Lugs 2 and 3 in use, lug 1 empty or tied to the wiper.
bool uses_the_far_half(const Drawing& drawing, const Pot& pot) {
  const bool first_idle = !drawing.joined(pot.lug1) || drawing.net(pot.lug1) == drawing.net(pot.lug2);
  return first_idle && drawing.joined(pot.lug2) && drawing.joined(pot.lug3) &&
         drawing.net(pot.lug2) != drawing.net(pot.lug3);
}

bool backward_tone(const Drawing& drawing, const Pot& pot, const Capacitors& capacitors) {
  return uses_the_far_half(drawing, pot) &&
         (capacitors.in_series(pot.lug2, pot.lug3) || capacitors.in_series(pot.lug3, pot.lug2));
}

}  // namespace

bool backward_volume(const Drawing& drawing, PartId id) {
  if (!has_a_sense(drawing, id)) return false;
  const Pot& pot = *drawing.harness()[id].pot;
  const bool divider = drawing.grounded(pot.lug3) && !drawing.grounded(pot.lug1) &&
                       !drawing.grounded(pot.lug2) && drawing.joined(pot.lug2);
  const bool shunt = drawing.grounded(pot.lug2) && !drawing.grounded(pot.lug3) && drawing.joined(pot.lug3) &&
                     !drawing.joined(pot.lug1);
  return divider || shunt;
}

void backward_volumes(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  const Capacitors capacitors(drawing);
  for (PartId id : drawing.parts(PartKind::Pot)) {
    const Part& part = harness[id];
    if (!backward_volume(drawing, id) || backward_tone(drawing, *part.pot, capacitors)) continue;
    const PointId low = drawing.grounded(part.pot->lug3) ? part.pot->lug3 : part.pot->lug2;
    found.warning(
        "W108", part.at,
        fmt::format(
            "'{}' turns backwards, as '{}' is on ground: silent at 10, full at 0; a volume grounds '{}'",
            part.name, harness[low].name, harness[part.pot->lug1].name));
  }
}

void backward_tones(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  const Capacitors capacitors(drawing);
  for (PartId id : drawing.parts(PartKind::Pot)) {
    const Part& part = harness[id];
    if (!has_a_sense(drawing, id) || !backward_tone(drawing, *part.pot, capacitors)) continue;
    found.warning(
        "W109", part.at,
        fmt::format("'{}' turns backwards, as it uses lugs 2 and 3: dark at 10, bright at 0; move what is on "
                    "'{}' to '{}'",
                    part.name, harness[part.pot->lug3].name, harness[part.pot->lug1].name));
  }
}

void idle_pots(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  for (PartId id : drawing.parts(PartKind::Pot)) {
    const Part& part = harness[id];
    if (drawing.net(part.pot->lug1) != drawing.net(part.pot->lug3)) continue;
    found.warning("W118", part.at,
                  fmt::format("'{}' and '{}' are on one net, so '{}' neither turns up nor down: part them",
                              harness[part.pot->lug1].name, harness[part.pot->lug3].name, part.name));
  }
}

}  // namespace lugwise::check::inside
