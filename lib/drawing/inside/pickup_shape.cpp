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
  Shape pickup() {
    // Coil by coil, every other one from its finish, so that those joined in series stand side by side; a shield last.
    std::vector<PointId> order;
    const auto add = [&](PointId point) {
      if (std::find(order.begin(), order.end(), point) == order.end()) order.push_back(point);
    };
    std::vector<ElementId> coils;
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      if (!is_source(element)) continue;
      const bool turned = coils.size() % 2 == 1;
      add(turned ? element.b : element.a);
      add(turned ? element.a : element.b);
      coils.push_back(ElementId{i});
    }
    for (PointId point : part_.points) add(point);

    std::vector<const Blob*> joints;
    for (const Blob& blob : harness_.blobs()) {
      if (blob.inside && harness_[blob.surface].part == id_) joints.push_back(&blob);
    }
    constexpr int kCoilRow = 4;
    const int last_row = kCoilRow + static_cast<int>(joints.size());
    const int bottom = last_row + 2;  // of the body; the pads stand a cell below it

    std::map<PointId, int> column;
    int x = 2;
    for (std::size_t i = 0; i < order.size(); ++i) {
      const bool buried = harness_[order[i]].role == PointRole::Inside;
      const std::string label = own_name(order[i]);
      const double size = buried ? kInsideSize : kLugSize;
      const double width = std::min(text_width(label, size), kMostLabel);
      const bool coil_follows = i + 1 < order.size() && coil_between(order[i], order[i + 1]).has_value();
      column[order[i]] = x;
      x += std::max({cells(width + 8), room(order[i]) + 1,
                     coil_follows ? coils.size() == 1 ? 7 : coil_room(coils) : 3});
    }
    const int name_width = cells(std::min(text_width(part_.name, kNameSize, true), kMostName)) + 2;
    start(std::max({x, name_width, 14}), bottom + 1);
    outline(0, 0, made_.part.width, bottom);
    letter(part_.name, 1, 1.6, kNameSize, Lettering::From::Start, true, kMostName);

    for (PointId point : order) {
      const bool buried = harness_[point].role == PointRole::Inside;
      const int at = column[point];
      const std::string label = own_name(point);
      letter(label, at + 0.45, last_row + 1.55, buried ? kInsideSize : kLugSize, Lettering::From::Start);
      terminal(point, buried ? Spot{double(at), last_row + 0.9} : Spot{double(at), bottom + 0.5},
               {at, bottom + 1}, buried ? 0 : room(point), Side::Down);
      double up = last_row + 1.0;
      for (const Element& element : harness_.elements()) {
        if (is_source(element) && (element.a == point || element.b == point)) up = kCoilRow;
      }
      if (up > kCoilRow) {
        for (std::size_t j = joints.size(); j-- > 0;) {
          const Blob& blob = *joints[j];
          if (blob.surface == point || std::count(blob.leads.begin(), blob.leads.end(), point) > 0)
            up = kCoilRow + 1.0 + static_cast<double>(j);
        }
        if (up > last_row) up = last_row + 0.6;  // to the screen's lower edge
      }
      line(point, {{double(at), buried ? last_row + 1.0 : double(bottom)}, {double(at), up}});
    }
    for (ElementId coil : coils) {
      const Element& element = harness_[coil];
      const double from = column[element.a], to = column[element.b];
      const bool piezo = element.kind == ElementKind::Capacitor;
      feature(piezo ? Feature::Kind::Capacitor : Feature::Kind::Coil, coil,
              {{from, kCoilRow}, {to, kCoilRow}});
      std::string label = piezo ? farads_text(part_.value.value_or(0)) : ohms_text(element.ohms.nominal);
      const std::string end = own_name_of_end(element.a);
      if (coils.size() > 1 && end.find("-start") != std::string::npos)
        label = end.substr(0, end.find("-start")) + " " + label;
      letter(label, (from + to) / 2, kCoilRow - 0.85, kValueSize, Lettering::From::Middle, false,
             std::max(units(std::abs(to - from)), 40.0));
    }
    for (std::size_t j = 0; j < joints.size(); ++j) {
      const Blob& blob = *joints[j];
      const double y = kCoilRow + 1.0 + static_cast<double>(j);
      for (std::size_t k = 0; k < blob.leads.size(); ++k) {
        const double from = column[blob.surface], to = column[blob.leads[k]];
        line(blob.surface, {{from, y}, {to, y}});
        feature(Feature::Kind::Joint, blob.joints[k], {{to, y}});
      }
    }
    const bool shielded = std::any_of(part_.points.begin(), part_.points.end(),
                                      [&](PointId point) { return own_name_of_end(point) == "shield"; });
    if (shielded) {
      made_.part.screen =
          Box{units(0.5), units(2.1), units(made_.part.width - 1.0), units(last_row + 0.6 - 2.1)};
    }
    return std::move(made_);
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
};

}  // namespace

std::vector<Shape> pickup_shapes(const Harness& harness, const Hookup& hookup, PartId part) {
  return PickupDraughtsman(harness, hookup, part).draw();
}

}  // namespace lugwise::drawing::inside
