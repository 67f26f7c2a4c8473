#include "harness/builder.h"

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>

#include "component/copper.h"

namespace lugwise {
namespace {

// What a sound joint, leg, contact and stopped wiper usually show.
constexpr Ohms kJointNominal = 0.005;
constexpr Ohms kWireNominal = 0.02;
constexpr Ohms kContactNominal = 0.02;
constexpr Ohms kEndNominal = 0.5;
constexpr Ohms kLeastEnd = 20;

// Strands, their lay and an ordinary tape measure move a computed leg by about this much: common practice, no source.
constexpr double kWireTolerance = 0.10;

Band small(Ohms nominal, Ohms high) { return {0, std::min(nominal, high), high}; }

}  // namespace

Band Defaults::joint_band() const { return small(kJointNominal, joint); }
Band Defaults::wire_band() const { return small(kWireNominal, wire); }
Band Defaults::contact_band() const { return small(kContactNominal, contact); }
Band Defaults::end_band(Ohms track) const { return small(kEndNominal, std::max(kLeastEnd, end * track)); }

void HarnessBuilder::title(std::string name, std::string about) {
  harness_.name = std::move(name);
  harness_.about = std::move(about);
}

PartId HarnessBuilder::add_part(const std::string& name, PartKind kind, Span at) {
  const PartId id{static_cast<std::uint32_t>(harness_.parts_.size())};
  if (!harness_.part_names_.emplace(name, id).second) throw std::logic_error("part given twice: " + name);
  Part part;
  part.name = name;
  part.kind = kind;
  part.at = at;
  harness_.parts_.push_back(std::move(part));
  return id;
}

PointId HarnessBuilder::add_point(const std::string& name, PointRole role, std::optional<PartId> part,
                                  Span at) {
  const PointId id{static_cast<std::uint32_t>(harness_.points_.size())};
  Point point;
  point.name = name;
  point.role = role;
  point.part = part;
  point.at = at;
  harness_.points_.push_back(std::move(point));
  return id;
}

PointId HarnessBuilder::add_part_point(PartId part, const std::string& point, PointRole role, Span at) {
  const std::string name = harness_[part].name + "." + point;
  const PointId id = add_point(name, role, part, at);
  alias(name, id);
  harness_.parts_[part.index].points.push_back(id);
  return id;
}

PointId HarnessBuilder::add_hidden(const std::string& description, PointRole role, PointId on, Span at) {
  const PointId id = add_point(description, role, harness_[on].part, at);
  harness_.points_[id.index].on = on;
  return id;
}

void HarnessBuilder::alias(const std::string& name, PointId id) {
  if (!harness_.point_names_.emplace(name, id).second) throw std::logic_error("point given twice: " + name);
  harness_.name_order_.push_back(name);
}

ElementId HarnessBuilder::add_element(Element element) {
  const ElementId id{static_cast<std::uint32_t>(harness_.elements_.size())};
  harness_.elements_.push_back(std::move(element));
  return id;
}

PointId HarnessBuilder::part_point(PartId part, const std::string& point) const {
  const auto found = harness_.find_point(harness_[part].name + "." + point);
  if (!found) throw std::logic_error("no point " + point + " on " + harness_[part].name);
  return *found;
}

PartId HarnessBuilder::add_pickup(const std::string& name, const PickupSpec& spec, Span at) {
  const PartId id = add_part(name, PartKind::Pickup, at);
  harness_.parts_[id.index].leads = spec.leads;

  std::set<std::string> inside_names;
  for (const auto& [names, span] : spec.inside) inside_names.insert(names.begin(), names.end());

  std::map<std::string, PointId> ends;
  const auto add_end = [&](const std::string& end, bool coil_end_only) {
    for (const auto& [lead, of] : spec.leads) {
      if (of != end) continue;
      const auto known = ends.find(end);
      if (known == ends.end()) {
        ends.emplace(end, add_part_point(id, lead, PointRole::Lead, at));
      } else {
        alias(name + "." + lead, known->second);  // a second lead on the same end
      }
    }
    if (ends.count(end)) return;
    const bool buried = coil_end_only && inside_names.count(end);
    const PointRole role = end == "shield" ? PointRole::Surface
                           : buried        ? PointRole::Inside
                                           : PointRole::Lead;
    ends.emplace(end, add_part_point(id, end, role, at));
  };
  for (const CoilSpec& coil : spec.coils) {
    const bool several = spec.coils.size() > 1 || coil.start != "hot";
    add_end(coil.start, several);
    add_end(coil.finish, several);
  }
  if (spec.shield) add_end("shield", false);

  if (spec.piezo) {
    harness_.parts_[id.index].value = spec.piezo->first;
    harness_.parts_[id.index].tolerance = spec.piezo->second;
  }
  for (const CoilSpec& coil : spec.coils) {
    Element element;
    element.kind = spec.piezo ? ElementKind::Capacitor : ElementKind::Coil;
    if (spec.piezo) element.when = Conducts::Never;
    element.a = ends.at(coil.start);
    element.b = ends.at(coil.finish);
    if (!spec.piezo) element.ohms = around(coil.dcr, coil.tolerance);
    element.points = {element.a, element.b};
    element.part = id;
    element.at = at;
    add_element(std::move(element));
  }
  for (const auto& [names, span] : spec.inside) {
    Entry entry;
    entry.at = span;
    entry.inside = true;
    std::vector<PointId> points;
    for (const std::string& point : names) {
      const auto end = ends.find(point);
      points.push_back(end != ends.end() ? end->second : part_point(id, point));
    }
    entry.surface = points.front();
    entry.leads.assign(points.begin() + 1, points.end());
    entries_.push_back(std::move(entry));
  }
  return id;
}

PartId HarnessBuilder::add_pot(const std::string& name, const PotSpec& spec, Span at) {
  const PartId id = add_part(name, PartKind::Pot, at);
  Pot pot;
  pot.track = around(spec.track, spec.tolerance);
  pot.taper = spec.taper;
  pot.shares = spec.shares;
  pot.no_load = spec.no_load;
  pot.normal = spec.normal;
  pot.gang = spec.gang;
  pot.lug1 = add_part_point(id, "1", PointRole::Lug, at);
  pot.lug2 = add_part_point(id, "2", PointRole::Lug, at);
  pot.lug3 = add_part_point(id, "3", PointRole::Lug, at);
  if (!spec.gang) add_part_point(id, "case", PointRole::Surface, at);
  pot.wiper_place =
      add_hidden("the wiper's place on " + name + "'s track", PointRole::WiperPlace, pot.lug2, at);

  Element track;
  track.kind = ElementKind::Track;
  track.a = pot.lug1;
  track.b = pot.lug3;
  track.ohms = pot.track;
  track.points = {pot.lug1, pot.lug3};
  track.when = Conducts::ByKnob;
  track.part = id;
  track.at = at;
  pot.track_element = add_element(track);

  Element wiper = track;
  wiper.kind = ElementKind::Wiper;
  wiper.a = pot.wiper_place;
  wiper.b = pot.lug2;
  wiper.ohms = defaults_.end_band(spec.track);
  wiper.points = {pot.lug2};
  pot.wiper_element = add_element(wiper);

  harness_.parts_[id.index].pot = std::move(pot);
  return id;
}

PartId HarnessBuilder::add_switch(const std::string& name, const SwitchSpec& spec, Span at) {
  const PartId id = add_part(name, PartKind::Switch, at);
  for (const std::string& lug : spec.lugs) {
    const bool surface = lug == "frame" || lug == "case";
    add_part_point(id, lug, surface ? PointRole::Surface : PointRole::Lug, at);
  }
  std::map<std::pair<PointId, PointId>, ElementId> contacts;
  std::vector<Position> positions;
  for (std::uint16_t place = 0; place < spec.positions.size(); ++place) {
    Position position{spec.positions[place].name, {}, spec.positions[place].at};
    for (const std::vector<std::string>& group : spec.positions[place].groups) {
      std::vector<PointId> lugs;
      for (const std::string& lug : group) lugs.push_back(part_point(id, lug));
      for (std::size_t i = 0; i + 1 < lugs.size(); ++i) {
        const PointId common = lugs.back();
        const auto pair = std::minmax(lugs[i], common);
        const auto [known, fresh] = contacts.emplace(std::pair(pair.first, pair.second), ElementId{});
        if (fresh) {
          Element contact;
          contact.kind = ElementKind::Contact;
          contact.a = lugs[i];
          contact.b = common;
          contact.ohms = defaults_.contact_band();
          contact.points = {lugs[i], common};
          contact.when = Conducts::InPositions;
          contact.part = id;
          contact.at = spec.positions[place].at;
          known->second = add_element(std::move(contact));
        }
        std::vector<std::uint16_t>& closed = harness_.elements_[known->second.index].closed_in;
        if (closed.empty() || closed.back() != place) closed.push_back(place);
      }
      position.groups.push_back(std::move(lugs));
    }
    positions.push_back(std::move(position));
  }
  harness_.parts_[id.index].positions = std::move(positions);
  harness_.parts_[id.index].mounted = spec.mounted;
  return id;
}

PartId HarnessBuilder::add_jack(const std::string& name, const JackSpec& spec, Span at) {
  const PartId id = add_part(name, PartKind::Jack, at);
  for (const std::string& contact : spec.contacts) add_part_point(id, contact, PointRole::Lug, at);
  for (const auto& [contact, rest] : spec.rests) add_part_point(id, rest, PointRole::Lug, at);
  const PointId plug_tip = add_part_point(id, "plug-tip", PointRole::Plug, at);
  std::optional<PointId> plug_ring;
  if (spec.stereo) plug_ring = add_part_point(id, "plug-ring", PointRole::Plug, at);
  const PointId plug_sleeve = add_part_point(id, "plug-sleeve", PointRole::Plug, at);

  Element contact;
  contact.kind = ElementKind::Contact;
  contact.ohms = defaults_.contact_band();
  contact.part = id;
  contact.at = at;
  const auto touch = [&](PointId a, PointId b, Conducts when) {
    contact.a = a;
    contact.b = b;
    contact.points = {a, b};
    contact.when = when;
    add_element(contact);
  };
  for (const std::string& name_of : spec.contacts) {
    // An ordinary plug's long sleeve touches the ring too.
    const PointId plug = name_of == "tip"                 ? plug_tip
                         : name_of == "ring" && plug_ring ? *plug_ring
                                                          : plug_sleeve;
    touch(part_point(id, name_of), plug, Conducts::PlugIn);
  }
  for (const auto& [from, rest] : spec.rests)
    touch(part_point(id, from), part_point(id, rest), Conducts::PlugOut);
  return id;
}

PartId HarnessBuilder::add_resistor(const std::string& name, Ohms value, double tolerance, Span at) {
  const PartId id = add_part(name, PartKind::Resistor, at);
  harness_.parts_[id.index].value = value;
  harness_.parts_[id.index].tolerance = tolerance;
  Element element;
  element.kind = ElementKind::Resistor;
  element.a = add_part_point(id, "1", PointRole::Lead, at);
  element.b = add_part_point(id, "2", PointRole::Lead, at);
  element.ohms = around(value, tolerance);
  element.points = {element.a, element.b};
  element.part = id;
  element.at = at;
  add_element(std::move(element));
  return id;
}

PartId HarnessBuilder::add_inductor(const std::string& name, Ohms dcr, double tolerance, double henries,
                                    Span at) {
  const PartId id = add_part(name, PartKind::Inductor, at);
  harness_.parts_[id.index].value = henries;
  harness_.parts_[id.index].tolerance = tolerance;
  Element element;
  element.kind = ElementKind::Coil;
  element.a = add_part_point(id, "1", PointRole::Lead, at);
  element.b = add_part_point(id, "2", PointRole::Lead, at);
  element.ohms = around(dcr, tolerance);
  element.points = {element.a, element.b};
  element.part = id;
  element.at = at;
  add_element(std::move(element));
  return id;
}

PartId HarnessBuilder::add_capacitor(const std::string& name, double farads, double tolerance, Span at) {
  const PartId id = add_part(name, PartKind::Capacitor, at);
  harness_.parts_[id.index].value = farads;
  harness_.parts_[id.index].tolerance = tolerance;
  Element element;
  element.kind = ElementKind::Capacitor;
  element.a = add_part_point(id, "1", PointRole::Lead, at);
  element.b = add_part_point(id, "2", PointRole::Lead, at);
  element.points = {element.a, element.b};
  element.when = Conducts::Never;
  element.part = id;
  element.at = at;
  add_element(std::move(element));
  return id;
}

PartId HarnessBuilder::add_metal(const std::string& name, const std::vector<std::string>& points, Span at) {
  const PartId id = add_part(name, PartKind::Metal, at);
  std::optional<PointId> before;
  for (const std::string& point : points) {
    const PointId here = add_part_point(id, point, PointRole::Surface, at);
    if (before) {
      Element contact;
      contact.kind = ElementKind::Contact;
      contact.a = *before;
      contact.b = here;
      contact.ohms = defaults_.contact_band();
      contact.points = {*before, here};
      contact.part = id;
      contact.at = at;
      add_element(std::move(contact));
    }
    before = here;
  }
  return id;
}

PartId HarnessBuilder::add_battery(const std::string& name, double volts, Span at) {
  const PartId id = add_part(name, PartKind::Battery, at);
  harness_.parts_[id.index].value = volts;
  add_part_point(id, "plus", PointRole::Lead, at);
  add_part_point(id, "minus", PointRole::Lead, at);
  return id;
}

PartId HarnessBuilder::add_module(const std::string& name, const std::vector<std::string>& points, Span at) {
  const PartId id = add_part(name, PartKind::Module, at);
  for (const std::string& point : points) add_part_point(id, point, PointRole::Lug, at);
  return id;
}

void HarnessBuilder::add_leg(WireId wire, PointId from_end, PointId to_end, std::vector<PointId> points,
                             const WireSpec& spec) {
  Element leg;
  leg.kind = ElementKind::Wire;
  leg.a = from_end;
  leg.b = to_end;
  leg.points = std::move(points);
  leg.wire = wire;
  leg.at = spec.at;
  if (spec.gauge && spec.length) {
    const double legs = static_cast<double>(spec.run.size() - 1);
    leg.ohms = around(*spec.length / legs * ohms_per_metre(formula_diameter(*spec.gauge)), kWireTolerance);
  } else {
    leg.ohms = defaults_.wire_band();
  }
  harness_.wires_[wire.index].legs.push_back(add_element(std::move(leg)));
}

// Wires as they are added: their ends, named after where they lead.
class HarnessBuilder::Wiring {
 public:
  Wiring(HarnessBuilder& builder, const std::vector<WireSpec>& specs) : builder_(builder) {
    for (const WireSpec& spec : specs) {
      for (std::size_t i = 0; i + 1 < spec.run.size(); ++i) ++times_[join(spec.run[i], spec.run[i + 1])];
      if (spec.braid) ++times_[join(spec.braid->first, spec.braid->second)];
    }
  }

  void add(const WireSpec& spec, std::size_t ordinal) {
    prefix_ = (spec.name.empty() ? "wire-" + std::to_string(ordinal) : spec.name) + ":";
    const WireId core = add_wire(spec);
    builder_.harness_.wires_[core.index].run = spec.run;
    if (spec.uncut) {
      add_uncut(core, spec);
    } else {
      for (std::size_t i = 0; i + 1 < spec.run.size(); ++i) {
        const PointId from = add_end(core, spec.run[i], spec.run[i + 1], spec);
        const PointId to = add_end(core, spec.run[i + 1], spec.run[i], spec);
        builder_.add_leg(core, from, to, {spec.run[i], spec.run[i + 1]}, spec);
      }
    }
    if (spec.braid) add_braid(core, spec);
  }

 private:
  // The two points a leg joins; a braid's free end is no point.
  using Join = std::pair<std::optional<PointId>, std::optional<PointId>>;

  static Join join(std::optional<PointId> a, std::optional<PointId> b) {
    return a < b ? Join{a, b} : Join{b, a};
  }

  std::string name_of(std::optional<PointId> point) const {
    return point ? builder_.harness_[*point].name : std::string("free");
  }

  WireId add_wire(const WireSpec& spec) {
    const WireId id{static_cast<std::uint32_t>(builder_.harness_.wires_.size())};
    Wire wire;
    wire.name = spec.name;
    wire.colour = spec.colour;
    wire.gauge = spec.gauge;
    wire.length = spec.length;
    wire.uncut = spec.uncut;
    wire.at = spec.at;
    builder_.harness_.wires_.push_back(std::move(wire));
    return id;
  }

  PointId add_end(WireId wire, std::optional<PointId> at, std::optional<PointId> to, const WireSpec& spec) {
    const std::string plain = name_of(at) + ">" + name_of(to);
    const bool shared = times_[join(at, to)] > 1;
    const PointId end =
        builder_.add_point(shared ? prefix_ + plain : plain, PointRole::WireEnd, std::nullopt, spec.at);
    builder_.harness_.points_[end.index].wire = wire;
    builder_.harness_.points_[end.index].on = at;
    answer_to(plain, end, at, to, spec);
    if (!at) return end;
    if (std::find(spec.pressed.begin(), spec.pressed.end(), *at) == spec.pressed.end()) {
      builder_.ends_.emplace_back(end, *at);
      return end;
    }
    Element contact;
    contact.kind = ElementKind::Contact;
    contact.a = *at;
    contact.b = end;
    contact.ohms = builder_.defaults_.contact_band();
    contact.points = {*at, end};
    contact.wire = wire;
    contact.pressed = true;
    contact.at = spec.at;
    builder_.add_element(std::move(contact));
    return end;
  }

  // A place on a wire answers to its plain name where no other wire joins the same two points, and to the wire's own.
  void answer_to(const std::string& plain, PointId end, std::optional<PointId> at, std::optional<PointId> to,
                 const WireSpec& spec) {
    const bool shared = times_[join(at, to)] > 1;
    if (!shared) builder_.alias(plain, end);
    if (shared || !spec.name.empty()) builder_.alias(prefix_ + plain, end);
  }

  // One place on the wire at each point; a middle one answers to both of its legs' names.
  void add_uncut(WireId core, const WireSpec& spec) {
    std::vector<PointId> along;
    for (std::size_t i = 0; i < spec.run.size(); ++i) {
      const bool last = i + 1 == spec.run.size();
      const PointId end = add_end(core, spec.run[i], last ? spec.run[i - 1] : spec.run[i + 1], spec);
      if (i > 0 && !last) {
        const PointId here = spec.run[i], back = spec.run[i - 1];
        answer_to(name_of(here) + ">" + name_of(back), end, here, back, spec);
      }
      along.push_back(end);
    }
    for (std::size_t i = 0; i + 1 < along.size(); ++i)
      builder_.add_leg(core, along[i], along[i + 1], {spec.run[i], spec.run[i + 1]}, spec);
  }

  void add_braid(WireId core, const WireSpec& spec) {
    const auto [from, to] = *spec.braid;
    const WireId braid = add_wire(spec);
    Wire& wire = builder_.harness_.wires_[braid.index];
    wire.braid = true;
    wire.core = core;
    if (from) wire.run.push_back(*from);
    if (to) wire.run.push_back(*to);
    const PointId from_end = add_end(braid, from, to, spec);
    const PointId to_end = add_end(braid, to, from, spec);
    builder_.add_leg(braid, from_end, to_end, {from ? *from : from_end, to ? *to : to_end}, spec);
  }

  HarnessBuilder& builder_;
  std::map<Join, int> times_;
  std::string prefix_;  // of the names of the wire at hand
};

void HarnessBuilder::add_wires(const std::vector<WireSpec>& specs) {
  Wiring wiring(*this, specs);
  for (std::size_t i = 0; i < specs.size(); ++i) wiring.add(specs[i], i + 1);
}

void HarnessBuilder::add_joint(PointId surface, const std::vector<PointId>& leads, Span at) {
  entries_.push_back({surface, leads, at, false});
}

void HarnessBuilder::add_touch(const std::vector<PointId>& points, Conducts when, Span at) {
  for (std::size_t i = 1; i < points.size(); ++i) {
    Element contact;
    contact.kind = ElementKind::Contact;
    contact.a = points.front();
    contact.b = points[i];
    contact.ohms = defaults_.contact_band();
    contact.points = {points.front(), points[i]};
    contact.when = when;
    contact.pressed = true;
    contact.at = at;
    add_element(std::move(contact));
  }
}

void HarnessBuilder::add_stage(Stage stage) {
  // A pot on another's shaft goes with it.
  for (std::uint32_t i = 0; i < harness_.parts_.size(); ++i) {
    const Part& part = harness_.parts_[i];
    if (!part.pot || !part.pot->gang) continue;
    auto& without = stage.without;
    const auto missing = [&](PartId id) {
      return std::find(without.begin(), without.end(), id) != without.end();
    };
    if (missing(*part.pot->gang) && !missing(PartId{i})) without.push_back(PartId{i});
  }
  harness_.stages_.push_back(std::move(stage));
}

void HarnessBuilder::set_spare(PartId part, const std::vector<PointId>& points) {
  harness_.parts_[part.index].spare = points;
}

void HarnessBuilder::set_reach(PointId point, Reach reach) {
  point_reach_.emplace_back(point, std::move(reach));
}
void HarnessBuilder::set_reach(PartId part, Reach reach) { part_reach_.emplace_back(part, std::move(reach)); }

// One blob becomes its elements: the grip on the surface and each lead's grip in the blob, or one joint for one lead.
void HarnessBuilder::solder(const Entry& entry) {
  Blob blob;
  blob.surface = entry.surface;
  blob.leads = entry.leads;
  blob.inside = entry.inside;
  blob.at = entry.at;
  const bool several = entry.leads.size() > 1;
  PointId from = entry.surface;
  if (several) {
    from = add_hidden("the solder at " + harness_[entry.surface].name, PointRole::Solder, entry.surface,
                      entry.at);
    blob.solder = from;
    Element grip;
    grip.kind = ElementKind::Blob;
    grip.a = entry.surface;
    grip.b = from;
    grip.ohms = defaults_.joint_band();
    grip.points.push_back(entry.surface);
    grip.points.insert(grip.points.end(), entry.leads.begin(), entry.leads.end());
    grip.at = entry.at;
    blob.grip = add_element(std::move(grip));
  }
  for (PointId lead : entry.leads) {
    Element joint;
    joint.kind = ElementKind::Joint;
    joint.a = from;
    joint.b = lead;
    joint.ohms = defaults_.joint_band();
    joint.points = {entry.surface, lead};
    joint.wire = harness_[lead].wire;
    joint.at = entry.at;
    blob.joints.push_back(add_element(std::move(joint)));
  }
  harness_.blobs_.push_back(std::move(blob));
}

// On a lug or lead all solder is one blob; on a surface each entry is its own, and so is each wire end no entry lists.
void HarnessBuilder::join_ends() {
  std::set<std::pair<PointId, PointId>> listed;
  for (const Entry& entry : entries_) {
    for (PointId lead : entry.leads) listed.emplace(entry.surface, lead);
  }
  std::vector<Entry> blobs;
  std::map<PointId, std::size_t> blob_at;
  const auto add = [&](const Entry& entry) {
    if (harness_[entry.surface].role == PointRole::Surface || entry.inside) {
      blobs.push_back(entry);
      return;
    }
    const auto [known, fresh] = blob_at.emplace(entry.surface, blobs.size());
    if (fresh) {
      blobs.push_back(entry);
    } else {
      auto& leads = blobs[known->second].leads;
      leads.insert(leads.end(), entry.leads.begin(), entry.leads.end());
    }
  };
  for (const Entry& entry : entries_) add(entry);
  for (const auto& [end, on] : ends_) {
    if (listed.count({on, end})) continue;
    const std::optional<WireId> wire = harness_[end].wire;
    add({on, {end}, harness_[*wire].at, false});
  }
  for (const Entry& entry : blobs) solder(entry);
}

void HarnessBuilder::settle_reach() {
  std::map<PartId, Reach> of_part(part_reach_.begin(), part_reach_.end());
  std::map<PointId, Reach> of_point(point_reach_.begin(), point_reach_.end());
  const auto given = [&](PointId id) -> const Reach* {
    if (const auto found = of_point.find(id); found != of_point.end()) return &found->second;
    const auto& part = harness_[id].part;
    if (!part || harness_[id].role == PointRole::Plug || harness_[id].role == PointRole::Inside)
      return nullptr;
    const auto found = of_part.find(*part);
    return found == of_part.end() ? nullptr : &found->second;
  };
  for (std::uint32_t i = 0; i < harness_.points_.size(); ++i) {
    Point& point = harness_.points_[i];
    const PointId id{i};
    const bool unseen = point.role == PointRole::Solder || point.role == PointRole::WiperPlace;
    if (const Reach* reach = given(id); reach && !unseen) {
      point.reach = *reach;
    } else if (unseen || point.role == PointRole::Inside) {
      point.reach.kind = ReachKind::Hidden;
    } else if (point.role == PointRole::Plug) {
      point.reach.kind = ReachKind::Outside;
    } else if (point.role == PointRole::Surface && harness_[*point.part].kind == PartKind::Metal) {
      const std::string own = point.name.substr(point.name.find('.') + 1);
      if (own == "strings" || own == "bridge") point.reach.kind = ReachKind::Outside;
    } else if (point.role == PointRole::WireEnd && point.on) {
      // A wire's end is reached as what it is soldered to is; but a bridge that can be touched from outside does not
      // bring the wire under it outside.
      const Reach* where = given(*point.on);
      const PartId on = *harness_[*point.on].part;
      const bool metal = harness_[on].kind == PartKind::Metal;
      if (where && !(metal && where->kind == ReachKind::Outside)) point.reach = *where;
    }
  }
}

Harness HarnessBuilder::build() {
  join_ends();
  settle_reach();
  return std::move(harness_);
}

}  // namespace lugwise
