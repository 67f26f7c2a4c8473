#include "harness/harness.h"

#include <algorithm>

namespace lugwise {

std::optional<PartId> Harness::find_part(std::string_view wanted) const {
  const auto found = part_names_.find(std::string(wanted));
  if (found == part_names_.end()) return std::nullopt;
  return found->second;
}

std::optional<PointId> Harness::find_point(std::string_view wanted) const {
  const auto found = point_names_.find(std::string(wanted));
  if (found == point_names_.end()) return std::nullopt;
  return found->second;
}

const Stage* Harness::find_stage(std::string_view wanted) const {
  for (const Stage& stage : stages_) {
    if (stage.name == wanted) return &stage;
  }
  return nullptr;
}

std::vector<std::string> Harness::point_names() const { return name_order_; }

bool Harness::probeable(PointId id) const {
  const Point& point = points_[id.index];
  return point.role != PointRole::Solder && point.role != PointRole::WiperPlace &&
         point.reach.kind != ReachKind::Hidden;
}

bool Harness::by_itself() const {
  std::size_t pieces = 0;
  for (const Part& part : parts_) pieces += part.pot && part.pot->gang ? 0 : 1;
  if (pieces != 1 || !wires_.empty()) return false;
  const auto joined = [](const Element& element) { return element.pressed; };
  return std::all_of(blobs_.begin(), blobs_.end(), [](const Blob& blob) { return blob.inside; }) &&
         std::none_of(elements_.begin(), elements_.end(), joined);
}

std::vector<PartId> Harness::controls() const {
  std::vector<PartId> found;
  for (std::uint32_t i = 0; i < parts_.size(); ++i) {
    if (is_control(PartId{i})) found.push_back(PartId{i});
  }
  return found;
}

}  // namespace lugwise
