// Parts: their points, and what lies between them inside.
#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "harness/builder.h"

namespace lugwise {

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
  join_inside(id, spec, ends);
  return id;
}

// The joints made inside a pickup, by its ends' or its leads' names.
void HarnessBuilder::join_inside(PartId id, const PickupSpec& spec,
                                 const std::map<std::string, PointId>& ends) {
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

// A part of two leads, `1` and `2`, and the element between them.
PartId HarnessBuilder::add_two_leads(const std::string& name, PartKind kind, double value, double tolerance,
                                     Element element, Span at) {
  const PartId id = add_part(name, kind, at);
  harness_.parts_[id.index].value = value;
  harness_.parts_[id.index].tolerance = tolerance;
  element.a = add_part_point(id, "1", PointRole::Lead, at);
  element.b = add_part_point(id, "2", PointRole::Lead, at);
  element.points = {element.a, element.b};
  element.part = id;
  element.at = at;
  add_element(std::move(element));
  return id;
}

PartId HarnessBuilder::add_resistor(const std::string& name, Ohms value, double tolerance, Span at) {
  Element element;
  element.kind = ElementKind::Resistor;
  element.ohms = around(value, tolerance);
  return add_two_leads(name, PartKind::Resistor, value, tolerance, std::move(element), at);
}

PartId HarnessBuilder::add_inductor(const std::string& name, Ohms dcr, double tolerance, double henries,
                                    Span at) {
  Element element;
  element.kind = ElementKind::Coil;
  element.ohms = around(dcr, tolerance);
  return add_two_leads(name, PartKind::Inductor, henries, tolerance, std::move(element), at);
}

PartId HarnessBuilder::add_capacitor(const std::string& name, Farads farads, double tolerance, Span at) {
  Element element;
  element.kind = ElementKind::Capacitor;
  element.when = Conducts::Never;
  return add_two_leads(name, PartKind::Capacitor, farads, tolerance, std::move(element), at);
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

}  // namespace lugwise
