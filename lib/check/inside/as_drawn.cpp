#include "check/inside/as_drawn.h"

#include <fmt/format.h>

namespace lugwise::check::inside {
namespace {

bool solid(const Element& element) {
  switch (element.kind) {
    case ElementKind::Joint:
    case ElementKind::Blob:
    case ElementKind::Wire:
      return true;
    case ElementKind::Contact:
      return element.when == Conducts::Always || element.when == Conducts::CavityClosed;
    default:
      return false;
  }
}

}  // namespace

Drawing::Drawing(const Harness& harness)
    : harness_(harness),
      nets_(harness.points().size()),
      joints_(harness.points().size(), 0),
      joined_inside_(harness.points().size(), false),
      hot_nets_(harness.points().size(), false),
      ground_nets_(harness.points().size(), false),
      ganged_(harness.parts().size(), false) {
  sort_parts();
  sort_elements();
  net_of_ = nets_.of_each();
  count_joints();
  find_jacks();
  find_gangs();
  find_leads();
}

void Drawing::sort_parts() {
  for (std::uint32_t i = 0; i < harness_.parts().size(); ++i) {
    parts_[static_cast<std::size_t>(harness_.parts()[i].kind)].push_back(PartId{i});
  }
}

void Drawing::sort_elements() {
  for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
    const Element& element = harness_.elements()[i];
    if (solid(element)) nets_.join(element.a, element.b);
    // A piezo sounds as a coil does; an inductor is a resistance among others.
    const bool coil = element.kind == ElementKind::Coil;
    const bool capacitor = element.kind == ElementKind::Capacitor;
    if (coil || capacitor) {
      const bool sounds = harness_[*element.part].kind == PartKind::Pickup;
      (sounds ? coils_ : coil ? resistors_ : capacitors_).push_back(ElementId{i});
    }
    if (element.kind == ElementKind::Resistor) resistors_.push_back(ElementId{i});
    if (element.when == Conducts::InPositions) switch_contacts_.push_back(ElementId{i});
    if (element.when == Conducts::PlugIn) plug_contacts_.push_back(ElementId{i});
    if (element.kind == ElementKind::Contact && element.pressed) {
      ++joints_[element.a.index];
      ++joints_[element.b.index];
    }
  }
}

void Drawing::count_joints() {
  for (const Blob& blob : harness_.blobs()) {
    if (blob.inside) {
      joined_inside_[blob.surface.index] = true;
      for (PointId lead : blob.leads) joined_inside_[lead.index] = true;
    } else {
      joints_[blob.surface.index] += static_cast<int>(blob.leads.size());
      for (PointId lead : blob.leads) ++joints_[lead.index];
    }
  }
}

void Drawing::find_jacks() {
  std::vector<bool> metal(harness_.points().size(), false);  // by net
  for (std::uint32_t i = 0; i < harness_.points().size(); ++i) {
    if (harness_.points()[i].role == PointRole::Surface) metal[net(PointId{i})] = true;
  }
  for (PartId id : parts(PartKind::Jack)) {
    const Part& part = harness_[id];
    std::optional<PointId> tip, ring, sleeve, plug_tip, plug_ring, plug_sleeve;
    for (PointId point : part.points) {
      const std::string_view own = own_name(point);
      if (own == "tip") tip = point;
      if (own == "ring") ring = point;
      if (own == "plug-ring") plug_ring = point;
      if (own == "sleeve") sleeve = point;
      if (own == "plug-tip") plug_tip = point;
      if (own == "plug-sleeve") plug_sleeve = point;
    }
    if (!tip || !sleeve || !plug_tip || !plug_sleeve) continue;
    JackEnds jack{id, *tip, *sleeve, *plug_tip, *plug_sleeve};
    jack.exchanged = joined(*sleeve) && metal[net(*tip)] && !metal[net(*sleeve)];
    hot_nets_[net(jack.hot())] = true;
    ground_nets_[net(jack.ground())] = true;
    if (ring && plug_ring) {
      hot_nets_[net(*ring)] = true;
      rings_.emplace_back(*plug_ring, *plug_sleeve);
    }
    jacks_.push_back(jack);
  }
}

void Drawing::find_gangs() {
  for (PartId id : parts(PartKind::Pot)) {
    const Pot& pot = *harness_[id].pot;
    if (!pot.gang) continue;
    ganged_[id.index] = true;
    ganged_[pot.gang->index] = true;
  }
}

std::string_view Drawing::own_name(PointId point) const {
  const std::string_view name = harness_[point].name;
  return name.substr(name.find('.') + 1);
}

void Drawing::find_leads() {
  for (PartId id : parts(PartKind::Pickup)) {
    const Part& part = harness_[id];
    if (part.leads.empty()) continue;
    std::unordered_map<std::string_view, std::string_view> ends;
    for (const auto& [lead, end] : part.leads) ends.emplace(lead, end);
    for (PointId point : part.points) {
      if (const auto found = ends.find(own_name(point)); found != ends.end())
        leads_.emplace(point, found->second);
    }
  }
}

std::string_view Drawing::end_of(PointId point) const {
  const auto lead = leads_.find(point);
  return lead == leads_.end() ? own_name(point) : lead->second;
}

std::string quoted_list(const std::vector<std::string>& names) {
  const std::size_t shown = names.size() > 4 ? 3 : names.size();
  std::string text;
  for (std::size_t i = 0; i < shown; ++i) {
    if (i > 0) text += i + 1 == names.size() ? " and " : ", ";
    text += fmt::format("'{}'", names[i]);
  }
  if (shown < names.size()) text += fmt::format(" and {} more", names.size() - shown);
  return text;
}

}  // namespace lugwise::check::inside
