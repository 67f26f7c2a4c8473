#include "drawing/inside/draughtsman.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "drawing/inside/lettering.h"
#include "drawing/inside/value_text.h"

namespace lugwise::drawing::inside {
namespace {

class TwoEndedDraughtsman : Draughtsman {
 public:
  using Draughtsman::Draughtsman;

  std::vector<Shape> draw() {
    std::vector<Shape> ways{standing(false),          standing(true), mirrored(standing(false)),
                            mirrored(standing(true)), lying(false),   lying(true)};
    ways[1].stance = Stance::UpsideDown;
    return ways;
  }

 private:
  std::string value_text() const {
    switch (part_.kind) {
      case PartKind::Capacitor:
        return farads_text(part_.value.value_or(0));
      case PartKind::Inductor:
        return fmt::format("{:.4g} H", part_.value.value_or(0));
      case PartKind::Battery:
        return fmt::format("{:.4g} V", part_.value.value_or(0));
      default:
        return ohms_text(part_.value.value_or(0));
    }
  }

  Feature::Kind symbol() const {
    return part_.kind == PartKind::Capacitor  ? Feature::Kind::Capacitor
           : part_.kind == PartKind::Inductor ? Feature::Kind::Coil
           : part_.kind == PartKind::Battery  ? Feature::Kind::Cell
                                              : Feature::Kind::Resistor;
  }

  std::optional<ElementId> own_element() const {
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      if (element.part == id_ &&
          (element.kind == ElementKind::Resistor || element.kind == ElementKind::Capacitor ||
           element.kind == ElementKind::Coil))
        return ElementId{i};
    }
    return std::nullopt;
  }

  Shape standing(bool turned) {
    const PointId top = part_.points[turned ? 1 : 0], low = part_.points[turned ? 0 : 1];
    const auto lines = wrapped(part_.name, kNameSize, 70, 2, true);
    double width = text_width(value_text(), kValueSize);
    for (const std::string& text : lines) width = std::max(width, text_width(text, kNameSize, true));
    width = std::max(width, 42.0);  // another value is as wide
    const int most = std::max(room(top), room(low));
    const int middle = std::max(1, most / 2);
    const int height = 7;
    start(std::max(middle + cells(14 + width), middle + (most + 1) / 2 + 1), height);
    outline(0, 0, made_.part.width, height);
    const auto end = [&](PointId point, int y, Side out) {
      const int count = room(point);
      terminal(point, {double(middle), y + (y == 0 ? 0.7 : -0.7)}, {middle - (count - 1) / 2, y}, count, out,
               (count - 1) / 2);
      letter(own_name(point), middle + 0.4, y == 0 ? 1.25 : y - 0.55, kInsideSize, Lettering::From::Start);
    };
    end(top, 0, Side::Up);
    end(low, height, Side::Down);
    feature(symbol(), own_element(), {{double(middle), 0}, {double(middle), double(height)}});
    double y = lines.size() > 1 ? 2.5 : 3.1;
    for (const std::string& text : lines) {
      letter(text, middle + 1.3, y, kNameSize, Lettering::From::Start, true, 80);
      if (text.ends_with("…")) made_.part.lettering.back().full = part_.name;
      y += 1.25;
    }
    letter(value_text(), middle + 1.3, y, kValueSize, Lettering::From::Start);
    return std::move(made_);
  }

  Shape lying(bool turned) {
    const PointId left = part_.points[turned ? 1 : 0], right = part_.points[turned ? 0 : 1];
    const auto lines = wrapped(part_.name, kNameSize, 90, 2, true);
    double width = text_width(value_text(), kValueSize);
    for (const std::string& text : lines) width = std::max(width, text_width(text, kNameSize, true));
    const int most = std::max(room(left), room(right));
    const int middle = std::max(1, most / 2);
    start(std::max(7, cells(width) + 1),
          middle + std::max(2, most / 2 + 1) + static_cast<int>(lines.size()) + 1);
    outline(0, 0, made_.part.width, made_.part.height);
    const auto end = [&](PointId point, int x, Side out) {
      const int count = room(point);
      terminal(point, {x + (x == 0 ? 0.7 : -0.7), double(middle)}, {x, middle - (count - 1) / 2}, count, out,
               (count - 1) / 2);
      letter(own_name(point), x == 0 ? 0.4 : x - 0.4, middle - 0.35, kInsideSize,
             x == 0 ? Lettering::From::Start : Lettering::From::End);
    };
    end(left, 0, Side::Left);
    end(right, made_.part.width, Side::Right);
    feature(symbol(), own_element(), {{0, double(middle)}, {double(made_.part.width), double(middle)}});
    double y = middle + std::max(2.2, most / 2 + 1.2);
    for (const std::string& text : lines) {
      letter(text, made_.part.width / 2.0, y, kNameSize, Lettering::From::Middle, true, 100);
      if (text.ends_with("…")) made_.part.lettering.back().full = part_.name;
      y += 1.2;
    }
    letter(value_text(), made_.part.width / 2.0, y, kValueSize, Lettering::From::Middle);
    return std::move(made_);
  }
};

}  // namespace

std::vector<Shape> two_ended_shapes(const Harness& harness, const Hookup& hookup, PartId part) {
  return TwoEndedDraughtsman(harness, hookup, part).draw();
}

}  // namespace lugwise::drawing::inside
