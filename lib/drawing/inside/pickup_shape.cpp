#include "drawing/inside/draughtsman.h"

#include <algorithm>
#include <map>
#include <utility>

#include "drawing/inside/lettering.h"
#include "drawing/inside/value_text.h"

namespace lugwise::drawing::inside {
namespace {

class PickupDraughtsman : Draughtsman {
 public:
  using Draughtsman::Draughtsman;

  std::vector<Shape> draw() { return {pickup()}; }

 private:
  static constexpr int kCoilRow = 4;

  Shape pickup() {
    const std::vector<PointId> order = order_and_coils();
    for (const Blob& blob : harness_.blobs()) {
      if (blob.inside && harness_[blob.surface].part == id_) joints_.push_back(&blob);
    }
    last_row_ = kCoilRow + static_cast<int>(joints_.size());
    const int bottom = last_row_ + 2;  // of the body; the pads stand a cell below it
    const int end = give_columns(order);
    const int name_width = cells(std::min(text_width(part_.name, kNameSize, true), kMostName)) + 2;
    start(std::max({end, name_width, 14}), bottom + 1);
    outline(0, 0, made_.part.width, bottom);
    letter(part_.name, 1, 1.6, kNameSize, Lettering::From::Start, true, kMostName);
    for (PointId point : order) draw_end(point, bottom);
    for (ElementId coil : coils_) draw_coil(coil);
    draw_joints();
    const bool shielded = std::any_of(part_.points.begin(), part_.points.end(),
                                      [&](PointId point) { return own_name_of_end(point) == "shield"; });
    if (shielded) {
      made_.part.screen =
          Box{units(0.5), units(2.1), units(made_.part.width - 1.0), units(last_row_ + 0.6 - 2.1)};
    }
    return std::move(made_);
  }

  // Coil by coil, every other one from its finish, so that those joined in series stand side by side; a shield last.
  std::vector<PointId> order_and_coils() {
    std::vector<PointId> order;
    const auto add = [&](PointId point) {
      if (std::find(order.begin(), order.end(), point) == order.end()) order.push_back(point);
    };
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      if (!is_source(element)) continue;
      const bool turned = coils_.size() % 2 == 1;
      add(turned ? element.b : element.a);
      add(turned ? element.a : element.b);
      coils_.push_back(ElementId{i});
    }
    for (PointId point : part_.points) add(point);
    return order;
  }

  // Where the last one ends.
  int give_columns(const std::vector<PointId>& order) {
    int x = 2;
    for (std::size_t i = 0; i < order.size(); ++i) {
      const double size = is_buried(order[i]) ? kInsideSize : kLugSize;
      const double width = std::min(text_width(own_name(order[i]), size), kMostLabel);
      const bool coil_follows = i + 1 < order.size() && coil_between(order[i], order[i + 1]).has_value();
      column_[order[i]] = x;
      x += std::max({cells(width + 8), room(order[i]) + 1,
                     coil_follows ? coils_.size() == 1 ? 7 : coil_room(coils_) : 3});
    }
    return x;
  }

  bool is_buried(PointId point) const { return harness_[point].role == PointRole::Inside; }

  // One end of a coil or the shield: its name, its pad below the body, and the line up to what it belongs to.
  void draw_end(PointId point, int bottom) {
    const bool buried = is_buried(point);
    const int at = column_[point];
    letter(own_name(point), at + 0.45, last_row_ + 1.55, buried ? kInsideSize : kLugSize,
           Lettering::From::Start);
    terminal(point, buried ? Spot{double(at), last_row_ + 0.9} : Spot{double(at), bottom + 0.5},
             {at, bottom + 1}, buried ? 0 : room(point), Side::Down);
    line(point, {{double(at), buried ? last_row_ + 1.0 : double(bottom)}, {double(at), top_of(point)}});
  }

  double top_of(PointId point) const {
    double up = last_row_ + 1.0;
    for (const Element& element : harness_.elements()) {
      if (is_source(element) && (element.a == point || element.b == point)) up = kCoilRow;
    }
    if (up <= kCoilRow) return up;
    for (std::size_t j = joints_.size(); j-- > 0;) {
      const Blob& blob = *joints_[j];
      if (blob.surface == point || std::count(blob.leads.begin(), blob.leads.end(), point) > 0)
        up = kCoilRow + 1.0 + static_cast<double>(j);
    }
    return up > last_row_ ? last_row_ + 0.6 : up;  // to the screen's lower edge
  }

  void draw_coil(ElementId coil) {
    const Element& element = harness_[coil];
    const double from = column_[element.a], to = column_[element.b];
    const bool piezo = element.kind == ElementKind::Capacitor;
    feature(piezo ? Feature::Kind::Capacitor : Feature::Kind::Coil, coil, {{from, kCoilRow}, {to, kCoilRow}});
    std::string label = piezo ? farads_text(part_.value.value_or(0)) : ohms_text(element.ohms.nominal);
    const std::string end = own_name_of_end(element.a);
    if (coils_.size() > 1 && end.find("-start") != std::string::npos)
      label = end.substr(0, end.find("-start")) + " " + label;
    letter(label, (from + to) / 2, kCoilRow - 0.85, kValueSize, Lettering::From::Middle, false,
           std::max(units(std::abs(to - from)), 40.0));
  }

  void draw_joints() {
    for (std::size_t j = 0; j < joints_.size(); ++j) {
      const Blob& blob = *joints_[j];
      const double y = kCoilRow + 1.0 + static_cast<double>(j);
      for (std::size_t k = 0; k < blob.leads.size(); ++k) {
        const double from = column_[blob.surface], to = column_[blob.leads[k]];
        line(blob.surface, {{from, y}, {to, y}});
        feature(Feature::Kind::Joint, blob.joints[k], {{to, y}});
      }
    }
  }

  // Cells between the ends of one coil of several, so that its name and value fit.
  int coil_room(const std::vector<ElementId>& coils) const {
    double widest = 0;
    for (ElementId coil : coils) {
      const std::string end = own_name_of_end(harness_[coil].a);
      widest = std::max(
          widest, text_width(end.substr(0, end.find("-start")) + " " + ohms_text(harness_[coil].ohms.nominal),
                             kValueSize));
    }
    return std::max(5, cells(std::min(widest, kMostLabel) + 4));
  }

  // The end's own name, whatever its lead is called.
  std::string own_name_of_end(PointId point) const {
    const std::string own = own_name(point);
    for (const auto& [lead, end] : part_.leads) {
      if (lead == own) return end;
    }
    return own;
  }

  std::optional<ElementId> coil_between(PointId a, PointId b) const {
    return element_of(harness_.piezo(id_) ? ElementKind::Capacitor : ElementKind::Coil, a, b);
  }

  // What of this pickup sounds: a coil, or a piezo's capacitance.
  bool is_source(const Element& element) const {
    return element.part == id_ &&
           (element.kind == ElementKind::Coil || element.kind == ElementKind::Capacitor);
  }

  std::vector<ElementId> coils_;
  std::vector<const Blob*> joints_;  // inside it
  int last_row_ = 0;                 // of these
  std::map<PointId, int> column_;
};

}  // namespace

std::vector<Shape> pickup_shapes(const Harness& harness, const Hookup& hookup, PartId part) {
  return PickupDraughtsman(harness, hookup, part).draw();
}

}  // namespace lugwise::drawing::inside
