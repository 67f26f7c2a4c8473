// What has to be off before a probe gets to a point.
#include <map>
#include <utility>

#include "harness/builder.h"

namespace lugwise {

void HarnessBuilder::set_reach(PointId point, Reach reach) {
  point_reach_.emplace_back(point, std::move(reach));
}
void HarnessBuilder::set_reach(PartId part, Reach reach) { part_reach_.emplace_back(part, std::move(reach)); }

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

}  // namespace lugwise
