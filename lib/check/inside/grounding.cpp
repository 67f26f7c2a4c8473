// What is on ground and should not be, and what is not and should be.

#include <algorithm>
#include <map>
#include <set>

#include <fmt/format.h>

#include "check/inside/rules.h"
#include "circuit/circuit.h"

namespace lugwise::check::inside {

namespace {

// Ways from tip to sleeve that are traced: each may be as long as the harness.
constexpr int kMostWays = 8;

// Points of metal that want a ground; a shield's lead only where it is soldered, as one left over is another warning.
bool wants_ground(const Drawing& drawing, PointId id) {
  const Harness& harness = drawing.harness();
  const Point& point = harness[id];
  if (point.role == PointRole::WireEnd) return harness[*point.wire].braid;
  if (!point.part) return false;
  if (point.role == PointRole::Surface) return true;
  const bool lead = point.role == PointRole::Lead && harness[*point.part].kind == PartKind::Pickup;
  return lead && drawing.end_of(id) == "shield" && drawing.joined_anywhere(id);
}

// A way to ground for noise, not only for a meter: some builders put a resistor or a capacitor in the string ground.
Clusters nets_to_ground(const Drawing& drawing) {
  Clusters nets = drawing.nets();
  for (const auto* elements : {&drawing.resistors(), &drawing.capacitors(), &drawing.switch_contacts()}) {
    for (ElementId id : *elements) nets.join(drawing.harness()[id].a, drawing.harness()[id].b);
  }
  return nets;
}

// Wipers where they stand at 10, or at the pot's own place if that is elsewhere. A pot that turns backwards has a
// warning of its own.
void join_wipers(const Drawing& drawing, Clusters& nets) {
  const Harness& harness = drawing.harness();
  for (PartId id : drawing.parts(PartKind::Pot)) {
    const Pot& pot = *harness[id].pot;
    if (pot.no_load || backward_volume(drawing, id)) continue;
    if ((pot.gang ? harness[*pot.gang].pot->normal : pot.normal) != 10) continue;
    const WiperShare share = wiper_share(pot, 10);
    if (share.at_stop()) nets.join(pot.lug2, share.nominal == 0 ? pot.lug1 : pot.lug3);
  }
}

bool closed_at(const Element& contact, std::uint16_t place) {
  return std::binary_search(contact.closed_in.begin(), contact.closed_in.end(), place);
}

void join_first_positions(const Drawing& drawing, Clusters& nets) {
  for (ElementId id : drawing.switch_contacts()) {
    const Element& contact = drawing.harness()[id];
    if (closed_at(contact, 0)) nets.join(contact.a, contact.b);
  }
}

// A button or a small switch is let put hot on ground, to silence the guitar.
bool may_silence(const Part& part) { return part.positions.size() <= 2 && part.points.size() <= 3; }

// Where switch contacts lead from one net to the next. What hangs on a jack's tip is little, however large the harness,
// if one doesn't go on past its sleeve.
class Contacts {
 public:
  Contacts(const Drawing& drawing, Clusters& nets) : harness_(drawing.harness()), nets_(nets) {
    for (ElementId id : drawing.switch_contacts()) {
      const std::uint32_t a = nets.of(harness_[id].a);
      const std::uint32_t b = nets.of(harness_[id].b);
      ways_.push_back({a, b, id});
      ways_.push_back({b, a, id});
      work_ += kWorkEach;
    }
    std::sort(ways_.begin(), ways_.end());
  }

  // Whether contacts lead from tip to sleeve with every switch in any position; and which switches come into it.
  bool ever_meet(const JackEnds& jack, std::set<PartId>& switches) {
    return meet(jack, [&](const Element& contact) {
      switches.insert(*contact.part);
      return true;
    });
  }

  // The same with one switch in a position, all others in their first.
  bool meet_at(const JackEnds& jack, PartId moved, std::uint16_t place) {
    return meet(jack, [&](const Element& contact) {
      return closed_at(contact, contact.part == moved ? place : std::uint16_t{0});
    });
  }

 private:
  static constexpr std::size_t kWorkEach = 64;  // how often each contact may be looked at
  static constexpr std::size_t kWorkAtLeast = 100'000;

  struct Way {
    std::uint32_t from;
    std::uint32_t to;
    ElementId contact;
    friend auto operator<=>(const Way&, const Way&) = default;
  };

  template <class Closed>
  bool meet(const JackEnds& jack, const Closed& closed) {
    const std::uint32_t sleeve = nets_.of(jack.sleeve);
    std::vector<std::uint32_t> queue{nets_.of(jack.tip)};
    std::set<std::uint32_t> seen(queue.begin(), queue.end());
    bool met = false;
    for (std::size_t next = 0; next < queue.size(); ++next) {
      const Way from_here{queue[next], 0, {}};
      for (auto way = std::lower_bound(ways_.begin(), ways_.end(), from_here);
           way != ways_.end() && way->from == queue[next]; ++way) {
        if (work_ == 0) return false;
        --work_;
        if (!closed(harness_[way->contact])) continue;
        met = met || way->to == sleeve;
        if (way->to != sleeve && seen.insert(way->to).second) queue.push_back(way->to);
      }
    }
    return met;
  }

  const Harness& harness_;
  Clusters& nets_;
  std::vector<Way> ways_;  // by where they start
  std::size_t work_ = kWorkAtLeast;
};

// The positions besides the first that put a sound jack's hot on ground; `always` is one net whatever the switches do.
void grounded_in_positions(const Drawing& drawing, Clusters& always, Clusters& first, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  Contacts contacts(drawing, always);
  std::set<std::pair<PartId, std::uint16_t>> told;
  for (const JackEnds& jack : drawing.jacks()) {
    std::set<PartId> switches;
    if (first.together(jack.tip, jack.sleeve) || !contacts.ever_meet(jack, switches)) continue;
    for (PartId id : switches) {
      const Part& part = harness[id];
      for (std::uint16_t place = 1; place < part.positions.size() && !may_silence(part); ++place) {
        if (!contacts.meet_at(jack, id, place) || !told.emplace(id, place).second) continue;
        const Position& position = part.positions[place];
        found.warning(
            "W103", position.at.known() ? position.at : part.at,
            fmt::format("with the volume up and '{}' at '{}' the hot is on ground: '{}' meets '{}'",
                        part.name, position.name, harness[jack.tip].name, harness[jack.sleeve].name));
      }
    }
  }
}

// The way from tip to sleeve along what has no resistance of its own, with the volume up and each switch in its first
// position.
class Tracer {
 public:
  explicit Tracer(const Drawing& drawing) : drawing_(drawing), ways_(drawing.harness().points().size()) {
    const Harness& harness = drawing.harness();
    for (const Element& element : harness.elements()) {
      const bool first = element.when == Conducts::InPositions && closed_at(element, 0);
      const bool shut = element.when == Conducts::Always || element.when == Conducts::CavityClosed || first;
      const bool small = element.kind == ElementKind::Joint || element.kind == ElementKind::Blob ||
                         element.kind == ElementKind::Wire || element.kind == ElementKind::Contact;
      if (shut && small) link(element.a, element.b);
    }
    for (PartId id : drawing.parts(PartKind::Pot)) {
      const Pot& pot = *harness[id].pot;
      if (!pot.no_load && pot.normal == 10 && !pot.gang) link(pot.lug2, pot.lug3);
    }
  }

  std::vector<std::string> between(PointId from, PointId to) const {
    const Harness& harness = drawing_.harness();
    std::map<PointId, PointId> came_from{{from, from}};
    std::vector<PointId> queue{from};
    for (std::size_t next = 0; next < queue.size() && !came_from.count(to); ++next) {
      for (PointId near : ways_[queue[next].index]) {
        if (came_from.emplace(near, queue[next]).second) queue.push_back(near);
      }
    }
    std::vector<std::string> names;
    if (!came_from.count(to)) return names;
    for (PointId at = came_from.at(to); at != from; at = came_from.at(at)) {
      const Point& point = harness[at];
      if (point.role == PointRole::WireEnd || point.role == PointRole::WiperPlace) continue;
      const std::string& name = point.role == PointRole::Solder ? harness[*point.on].name : point.name;
      const bool end = name == harness[from].name || name == harness[to].name;
      if (!end && (names.empty() || names.back() != name)) names.push_back(name);
    }
    std::reverse(names.begin(), names.end());
    return names;
  }

 private:
  void link(PointId a, PointId b) {
    ways_[a.index].push_back(b);
    ways_[b.index].push_back(a);
  }

  const Drawing& drawing_;
  std::vector<std::vector<PointId>> ways_;
};

}  // namespace

void floating_metal(const Drawing& drawing, Diagnostics& found) {
  if (drawing.jacks().empty()) return;
  const Harness& harness = drawing.harness();
  Clusters nets = nets_to_ground(drawing);
  std::set<std::uint32_t> good;
  for (const JackEnds& jack : drawing.jacks()) good.insert(nets.of(jack.ground()));

  std::map<std::uint32_t, std::size_t> island_of;  // by net
  std::vector<std::vector<PointId>> islands;       // in the order of their first points
  for (std::uint32_t i = 0; i < harness.points().size(); ++i) {
    const PointId point{i};
    if (!wants_ground(drawing, point) || good.count(nets.of(point))) continue;
    const auto [known, fresh] = island_of.emplace(drawing.net(point), islands.size());
    if (fresh) islands.emplace_back();
    islands[known->second].push_back(point);
  }

  for (const std::vector<PointId>& island : islands) {
    std::vector<std::string> names;
    std::set<WireId> braids;
    for (PointId point : island) {
      const std::optional<WireId> braid = harness[point].wire;
      if (!braid || braids.insert(*braid).second)
        names.push_back(harness[point].name);  // one end of a braid will do
    }
    const bool one = names.size() == 1;
    found.warning(
        "W102", harness[island.front()].at,
        fmt::format("{} {} no path to the jack's sleeve{}: run a ground wire to {}", quoted_list(names),
                    one ? "has" : "have",
                    drawing.hot(island.front()) ? fmt::format(" and {} on the hot", one ? "is" : "are") : "",
                    one ? "it" : "them"));
  }
}

bool grounded_hot(const Drawing& drawing, Diagnostics& found) {
  Clusters always = drawing.nets();
  join_wipers(drawing, always);
  Clusters first = always;
  join_first_positions(drawing, first);
  const Harness& harness = drawing.harness();
  std::optional<Tracer> tracer;
  int traced = 0;
  bool some_jack_lives = drawing.jacks().empty();
  for (const JackEnds& jack : drawing.jacks()) {
    const bool switched = !always.together(jack.tip, jack.sleeve);
    some_jack_lives = some_jack_lives || switched;
    if (!first.together(jack.tip, jack.sleeve)) continue;
    std::string by_way;
    if (traced++ < kMostWays) {
      if (!tracer) tracer.emplace(drawing);
      const std::vector<std::string> names = tracer->between(jack.tip, jack.sleeve);
      if (!names.empty()) by_way = " by way of " + quoted_list(names);
    }
    found.warning("W103", harness[jack.part].at,
                  fmt::format("with the volume up{} the hot is on ground: '{}' meets '{}'{}",
                              switched ? " and each switch in its first position" : "",
                              harness[jack.tip].name, harness[jack.sleeve].name, by_way));
  }
  grounded_in_positions(drawing, always, first, found);
  return !some_jack_lives;
}

void exchanged_jacks(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  for (const JackEnds& jack : drawing.jacks()) {
    if (!jack.exchanged) continue;
    found.warning("W113", harness[jack.part].at,
                  fmt::format("'{}' is on the metal and '{}' is not: exchange the two wires at the jack",
                              harness[jack.tip].name, harness[jack.sleeve].name));
  }
}

void reversed_pickups(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  for (ElementId id : drawing.coils()) {
    const Element& coil = harness[id];
    if (drawing.end_of(coil.a) != "hot") continue;
    const bool reversed =
        drawing.grounded(coil.a) && !drawing.grounded(coil.b) && drawing.joined_anywhere(coil.b);
    if (!reversed) continue;
    found.warning("W114", harness[*coil.part].at,
                  fmt::format("'{}' is on ground and '{}' is not: exchange the two leads",
                              harness[coil.a].name, harness[coil.b].name));
  }
}

}  // namespace lugwise::check::inside
