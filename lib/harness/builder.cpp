#include "harness/builder.h"

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace lugwise {
namespace {

// What a sound joint, leg, contact and stopped wiper usually show.
constexpr Ohms kJointNominal = 0.005;
constexpr Ohms kWireNominal = 0.02;
constexpr Ohms kContactNominal = 0.02;
constexpr Ohms kEndNominal = 0.5;
constexpr Ohms kLeastEnd = 20;

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

Harness HarnessBuilder::build() {
  join_ends();
  settle_reach();
  return std::move(harness_);
}

}  // namespace lugwise
