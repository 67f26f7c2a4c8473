#include <algorithm>

#include "drawing/inside/lettering.h"
#include "drawing/inside/picture.h"

namespace lugwise::drawing::inside {
namespace {

constexpr double kPaper = 302;  // units that 8 cm of paper hold where one is 1/96 inch

}  // namespace

std::optional<PartId> Picture::part_at(PointId point) const {
  const Point& at = harness_[point];
  if (at.part) return at.part;
  return at.on ? harness_[*at.on].part : std::nullopt;
}

bool Picture::is_near(PartId part) const {
  if (!look_.probes) return true;
  return part_at(look_.probes->first) == part || part_at(look_.probes->second) == part ||
         std::count(path_parts().begin(), path_parts().end(), part) > 0;
}

// In a setting: whether no current for the plug goes through it.
bool Picture::is_idle(PartId part) const {
  if (live_.empty()) return false;
  for (std::uint32_t i = 0; i < harness_.points().size(); ++i) {
    if (harness_[PointId{i}].part == part && live_[i] != Live::Ground && live_[i] != Live::Dead) return false;
  }
  return true;
}

bool Picture::in_view(const PlacedPart& placed) const {
  const double x = placed.corner.x * kCell, y = placed.corner.y * kCell;
  return x >= view_.x && y >= view_.y && x + placed.width * kCell <= view_.x + view_.width &&
         y + placed.height * kCell <= view_.y + view_.height;
}

const std::vector<PartId>& Picture::path_parts() const {
  if (path_parts_known_) return path_parts_;
  path_parts_known_ = true;
  for (std::uint32_t i = 0; i < path_.points.size(); ++i) {
    if (path_.points[i] && harness_[PointId{i}].part) path_parts_.push_back(*harness_[PointId{i}].part);
  }
  return path_parts_;
}

bool Picture::strand_near(const Strand& strand) const {
  return on_trail(strand.element) || (strand.kind == Strand::Kind::Lead && lead_on_trail(strand)) ||
         !look_.probes || strand.from == look_.probes->first || strand.to == look_.probes->first ||
         strand.from == look_.probes->second || strand.to == look_.probes->second;
}

void Picture::choose_view() {
  std::optional<Box> view;
  const auto take = [&](const Box& box) { view = view ? united(*view, box) : box; };
  if (look_.probes) {
    for (PointId point : {look_.probes->first, look_.probes->second}) {
      const auto part = part_at(point);
      for (const PlacedPart& placed : layout_.parts) {
        if (part && placed.part == *part)
          take({placed.corner.x * kCell, placed.corner.y * kCell, placed.width * kCell,
                placed.height * kCell});
      }
      if (const auto at = layout_.spot(harness_, point)) take({at->x - 30, at->y - 30, 60, 60});
    }
  }
  for (const Fault& fault : look_.marked) {
    if (const auto at = spot_of(fault)) take({at->x - 50, at->y - 50, 100, 100});
  }
  if (!view) view = body_;
  Box box{view->x - 16, view->y - 16, view->width + 32, view->height + 32};
  constexpr double kNarrowest = 260;
  if (box.width < kNarrowest) {
    box.x -= (kNarrowest - box.width) / 2;
    box.width = kNarrowest;
  }
  if (box.height < 150) {
    box.y -= (150 - box.height) / 2;
    box.height = 150;
  }
  // Rather more of the harness than of the empty paper beyond its edge.
  const auto pulled_in = [](double from, double size, double start, double length, double whole) {
    constexpr double kEdge = 16, kAir = 6;
    if (size <= whole + 2 * kEdge) from = std::clamp(from, -kEdge, whole + kEdge - size);
    return std::clamp(from, start + length + kAir - size, start - kAir);
  };
  box.x = pulled_in(box.x, box.width, view->x, view->width, body_.width);
  box.y = pulled_in(box.y, box.height, view->y, view->height, body_.height);
  view_ = box;
  scale_ = std::clamp(box.width / kPaper, 0.9, 2.4);
}

void Picture::write_small(const PlacedPart& placed, const Part& part) {
  const bool large = scale_ > 1.15;
  for (const Lettering& lettering : placed.lettering) {
    const bool lug = !lettering.bold && lettering.size < 11;
    const bool value = lettering.text.find(' ') != std::string::npos && lug;
    if (large && value) continue;
    if (!large || !lettering.bold) {
      write(lettering);
      continue;
    }
  }
  if (!large) {
    write_place(placed, part);
    return;
  }
  const Lettering* first = nullptr;
  double low = 0;
  std::string whole;
  for (const Lettering& lettering : placed.lettering) {
    if (!lettering.bold) continue;
    if (!first) first = &lettering;
    low = lettering.at.y;
    whole += lettering.full.empty() ? lettering.text : "";
  }
  if (!first) return;
  const double room = placed.round ? 74 : placed.outline.front().width - 10;
  const bool two_lines = low > first->at.y;
  const double most = std::min(12 * scale_, placed.round ? 22.0 : 19.0);
  if (two_lines || !placed.round) {
    for (const Lettering& lettering : placed.lettering) {
      if (!lettering.bold) continue;
      Lettering larger = lettering;
      const double fit = room / std::max(1.0, text_width(lettering.text, 1, true));
      larger.size = std::clamp(fit, lettering.size, std::min(most, two_lines ? 15.0 : most));
      if (lettering.from != Lettering::From::Middle && !placed.screen && part.kind != PartKind::Pickup)
        larger.size = lettering.size;
      write(larger);
    }
    return;
  }
  Lettering larger = *first;
  const double fit = room / std::max(1.0, text_width(larger.text, 1, true));
  larger.size = std::clamp(fit, larger.size, most);
  larger.at.y += 6;
  write(larger);
}

}  // namespace lugwise::drawing::inside
