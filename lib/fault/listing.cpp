// Which faults a harness can have.
#include <algorithm>
#include <iterator>
#include <set>
#include <utility>

#include "circuit/clusters.h"
#include "fault/fault.h"
#include "fault/inside/misplaced.h"
#include "fault/kind.h"

namespace lugwise {

using namespace fault::inside;
namespace {

// How common each fault is beside the others. A judgement from bench lore (joints and moving contacts first, parts
// last; opens commoner than shorts), not a measurement: docs/faults.md.
double open_weight(const Element& element) {
  switch (element.kind) {
    case ElementKind::Joint:
      return 1.0;
    case ElementKind::Blob:
      return 0.8;
    case ElementKind::Wire:
      return 0.6;
    case ElementKind::Contact:
      return 1.0;
    case ElementKind::Coil:
      return 0.6;
    case ElementKind::Wiper:
      return 0.5;
    case ElementKind::Track:
      return 0.3;
    case ElementKind::Resistor:
      return 0.1;
    case ElementKind::Capacitor:
      return 0.1;
  }
  return 0;
}

constexpr double kColdJoint = 1.2;
constexpr double kDirtyContact = 1.0;
constexpr double kDirtyWiper = 0.7;
constexpr double kWornTrack = 0.6;
constexpr double kShortedLugs = 0.3;
constexpr double kShortedBraid = 0.3;
constexpr double kShortedCapacitor = 0.15;
constexpr double kShortedCoil = 0.15;
constexpr double kStuckContact = 0.2;
constexpr double kHotOnMetal = 0.2;
constexpr double kWrongValue = 0.2;
constexpr double kWrongValueByItself = 0.6;  // before it goes in a part is measured for its value

Site site_of(ElementKind kind) { return static_cast<Site>(static_cast<int>(kind)); }

class Lister {
 public:
  explicit Lister(const Harness& harness) : harness_(harness) {}

  std::vector<Fault> list() {
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const ElementId id{i};
      add(Mode::Open, id, open_weight(harness_[id]));
    }
    open_in_one_position();
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const ElementId id{i};
      const ElementKind kind = harness_[id].kind;
      if (kind == ElementKind::Joint || kind == ElementKind::Blob) add(Mode::High, id, kColdJoint);
      if (kind == ElementKind::Contact) add(Mode::High, id, kDirtyContact);
      if (kind == ElementKind::Wiper) add(Mode::High, id, kDirtyWiper);
      if (kind == ElementKind::Track) add(Mode::High, id, kWornTrack);
    }
    shorts();
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const ElementId id{i};
      const ElementKind kind = harness_[id].kind;
      if (kind == ElementKind::Coil || kind == ElementKind::Track || kind == ElementKind::Resistor) {
        add(Mode::Value, id, harness_.by_itself() ? kWrongValueByItself : kWrongValue);
      }
    }
    return std::move(faults_);
  }

 private:
  void add(Mode mode, ElementId id, double weight) {
    const Element& element = harness_[id];
    faults_.push_back(
        {mode, site_of(element.kind), id, element.points, element.a, element.b, weight, element.at});
  }

  // A contact that is closed in several positions may fail in one of them: there another leaf, or another place of it, meets.
  void open_in_one_position() {
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      if (element.when != Conducts::InPositions || element.closed_in.size() < 2) continue;
      for (const std::uint16_t position : element.closed_in) {
        add(Mode::Open, ElementId{i}, kOneLeaf * open_weight(element));
        faults_.back().in = OnlyIn{*element.part, position};
      }
    }
  }

  void add_short(Site site, PointId a, PointId b, double weight, Span at) {
    if (a == b || !shorted_.insert(std::minmax(a, b)).second) return;
    faults_.push_back({Mode::Short, site, std::nullopt, {a, b}, a, b, weight, at});
  }

  void shorts() {
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const ElementId id{i};
      const Element& element = harness_[id];
      if (element.kind == ElementKind::Capacitor) add(Mode::Short, id, kShortedCapacitor);
      if (element.kind == ElementKind::Coil) add(Mode::Short, id, kShortedCoil);
      const bool moves = element.when == Conducts::InPositions || element.when == Conducts::PlugOut;
      if (element.kind == ElementKind::Contact && moves) add(Mode::Short, id, kStuckContact);
      if (element.kind == ElementKind::Coil || element.kind == ElementKind::Capacitor || moves) {
        shorted_.insert(std::minmax(element.a, element.b));
      }
    }
    for (const Part& part : harness_.parts()) lugs_of(part);
    for (const Wire& wire : harness_.wires()) {
      if (!wire.braid) continue;
      const Element& core = harness_[harness_[*wire.core].legs.front()];
      const Element& braid = harness_[wire.legs.front()];
      add_short(Site::Braid, core.a, braid.a, kShortedBraid, wire.at);
    }
    hot_on_metal();
  }

  // Neighbouring lugs, and each lug and the case it is bent over.
  void lugs_of(const Part& part) {
    std::optional<PointId> body;
    std::vector<PointId> lugs;
    for (PointId point : part.points) {
      if (harness_[point].role == PointRole::Lug) lugs.push_back(point);
      if (harness_[point].role == PointRole::Surface) body = point;
    }
    if (part.pot && part.pot->gang) {
      for (PointId point : harness_[*part.pot->gang].points) {
        if (harness_[point].role == PointRole::Surface) body = point;
      }
    }
    // A pickup's shield may go by the name of its lead.
    for (const auto& [lead, end] : part.leads) {
      if (end == "shield" && !body) body = harness_.find_point(part.name + "." + lead);
    }
    if (part.kind == PartKind::Module || part.kind == PartKind::Metal) return;
    for (std::size_t i = 0; i + 1 < lugs.size(); ++i) {
      add_short(Site::Lugs, lugs[i], lugs[i + 1], kShortedLugs, part.at);
    }
    if (!body || part.kind == PartKind::Pickup) {
      if (part.kind == PartKind::Pickup && body) {
        for (PointId point : part.points) {
          if (point != *body) add_short(Site::Nearby, point, *body, kHotOnMetal, part.at);
        }
      }
      return;
    }
    for (PointId lug : lugs) add_short(Site::Lugs, lug, *body, kShortedLugs, part.at);
  }

  // A long lug or a bare end against a plate, a foil or a frame: the jack's tip and the switches' lugs against each
  // piece of sheet metal, which is metal of one point.
  void hot_on_metal() {
    for (const Part& metal : harness_.parts()) {
      if (metal.kind != PartKind::Metal || metal.points.size() != 1) continue;
      for (const Part& part : harness_.parts()) {
        if (part.kind != PartKind::Jack && part.kind != PartKind::Switch) continue;
        for (PointId point : part.points) {
          const Point& lug = harness_[point];
          if (lug.role != PointRole::Lug) continue;
          if (part.kind == PartKind::Jack && lug.name != part.name + ".tip") continue;
          add_short(Site::Nearby, point, metal.points.front(), kHotOnMetal, metal.at);
        }
      }
    }
  }

  const Harness& harness_;
  std::vector<Fault> faults_;
  std::set<std::pair<PointId, PointId>> shorted_;
};

// What metal joins in every place of every control, cavity open or closed: a bridge between two such points is there on
// purpose and does no harm.
std::vector<std::uint32_t> joined_for_good(const Harness& harness, const Circuit& circuit) {
  Clusters clusters(harness.points().size());
  for (const Branch& branch : circuit.branches) {
    if (branch.element.index == kNoElement) continue;
    const Element& element = harness[branch.element];
    const bool metal = element.kind == ElementKind::Joint || element.kind == ElementKind::Blob ||
                       element.kind == ElementKind::Wire || element.kind == ElementKind::Contact;
    if (metal && element.when == Conducts::Always) clusters.join(branch.a.index, branch.b.index);
  }
  return clusters.of_each();
}

}  // namespace

std::vector<Fault> faults_of(const Harness& harness) { return faults_at(harness, std::nullopt); }

std::vector<Fault> faults_at(const Harness& harness, std::optional<std::size_t> stage) {
  State state;
  state.setting = Setting(harness);
  state.stage = stage;
  const Circuit circuit = circuit_of(harness, state);
  const auto there = [&](PointId point) {
    return circuit.has(point) || harness[point].role == PointRole::Plug;
  };
  std::vector<Fault> faults = Lister(harness).list();
  const std::vector<std::uint32_t> joined = joined_for_good(harness, circuit);
  std::erase_if(faults, [&](const Fault& fault) {
    if (!there(fault.a) || !there(fault.b)) return true;
    if (fault.mode == Mode::Short && joined[fault.a.index] == joined[fault.b.index]) return true;
    return fault.site == Site::Blob && std::none_of(fault.points.begin() + 1, fault.points.end(), there);
  });
  std::vector<Fault> misplaced = misplaced_among(harness, circuit.present);
  faults.insert(faults.end(), std::make_move_iterator(misplaced.begin()),
                std::make_move_iterator(misplaced.end()));
  return faults;
}

}  // namespace lugwise
