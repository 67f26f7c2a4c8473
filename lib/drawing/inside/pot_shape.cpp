#include "drawing/inside/draughtsman.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "drawing/inside/lettering.h"
#include "drawing/inside/value_text.h"

namespace lugwise::drawing::inside {
namespace {

std::string taper_text(Taper taper) {
  switch (taper) {
    case Taper::Linear:
      return " linear";
    case Taper::Audio:
      return " audio";
    case Taper::ReverseAudio:
      return " reverse";
    default:
      return "";
  }
}

class PotDraughtsman : Draughtsman {
 public:
  using Draughtsman::Draughtsman;

  std::vector<Shape> draw() { return {part_.pot->gang ? gang() : pot()}; }

 private:
  // The block under a pot's case: track, wiper, three lugs toward the reader, so that lug 1 is on the right.
  void wafer(double top, int lugs_at, int middle) {
    const Pot& pot = *part_.pot;
    // The middle lug has room on both sides, the others spread away from it.
    constexpr int kPitch = 4, kMiddle = 2;
    const auto lug = [&](PointId point, int x, int first, int count, int anchor, const char* number) {
      terminal(point, {double(x), lugs_at - 0.3}, {first, lugs_at}, count, Side::Down, anchor);
      letter(number, x + 0.45, lugs_at - 1.15, kLugSize, Lettering::From::Start);
      return double(x);
    };
    const int n3 = std::max(kOuterRoom, sites(pot.lug3)), n1 = std::max(kOuterRoom, sites(pot.lug1));
    const int n2 = std::max(2 * kMiddle + 1, sites(pot.lug2));
    const int pitch = kPitch + n2 / 2 - kMiddle;
    const double x3 = lug(pot.lug3, middle - pitch, middle - pitch - n3 + 1, n3, n3 - 1, "3");
    const double x2 = lug(pot.lug2, middle, middle - n2 / 2, n2, n2 / 2, "2");
    const double x1 = lug(pot.lug1, middle + pitch, middle + pitch, n1, 0, "1");
    const double track = top + 0.75;
    const double from = x3 + 0.9, to = x1 - 0.9;
    line(pot.lug3, {{x3, lugs_at - 1.0}, {x3, track}, {from, track}});
    line(pot.lug1, {{x1, lugs_at - 1.0}, {x1, track}, {to, track}});
    feature(Feature::Kind::Track, pot.track_element, {{from, track}, {to, track}});
    feature(Feature::Kind::Wiper, pot.wiper_element, {{x2, lugs_at - 1.0}, {to, track}, {from, track}});
    outline(x3 - 1, top - 1, x1 + 1.4, lugs_at - 1);
  }

  int wafer_half() const {
    const Pot& pot = *part_.pot;
    return 2 + std::max({kOuterRoom - 1, sites(pot.lug3) - 1, sites(pot.lug1) - 1}) +
           std::max(0, sites(pot.lug2) / 2 - 2);
  }

  Shape pot() {
    const PointId point = part_.points.back();  // the case
    int ring = 4, reach = 2;
    while (3 * (2 * reach + 1) < sites(point)) {
      ++ring;
      reach = ring / 2;
    }
    // Wires keep half a cell off its corners; the outline itself leaves room for one that passes on the next row.
    const double corner = std::sqrt(ring * ring + reach * reach), kept = corner + 0.5, radius = corner + 0.1;
    const int round = static_cast<int>(std::ceil(kept - 0.05));
    const int middle = std::max(round, wafer_half());
    const int lugs_at = 2 * round + 4;
    start(2 * middle, lugs_at);
    made_.part.round = true;
    outline(middle - radius, round - radius, middle + radius, round + radius);
    Terminal made{point, {units(middle), units(round + ring - 0.6)}, {}, true};
    for (int i = reach; i >= -reach; --i) made.sites.push_back({{middle - ring, round + i}, Side::Left});
    for (int i = -reach; i <= reach; ++i) made.sites.push_back({{middle + i, round - ring}, Side::Up});
    for (int i = -reach; i <= reach; ++i) made.sites.push_back({{middle + ring, round + i}, Side::Right});
    made_.part.terminals.push_back(std::move(made));

    const double most = units(2 * ring - 1.2);
    const auto lines = wrapped(part_.name, kNameSize, most, 2, true);
    double y = round - 1.5 + (lines.size() == 1 ? 0.6 : 0);
    for (std::size_t i = 0; i < lines.size(); ++i, y += 1.3) {
      letter(lines[i], middle, y, kNameSize, Lettering::From::Middle, true, most);
      const bool cut = i + 1 == lines.size() && lines[i].ends_with("…");
      if (cut) made_.part.lettering.back().full = part_.name;
    }
    letter(ohms_text(part_.pot->track.nominal) + taper_text(part_.pot->taper), middle, y, kValueSize,
           Lettering::From::Middle, false, most);
    place_line(middle, y + 1.35, Lettering::From::Middle);
    wafer(2.0 * round, lugs_at, middle);
    for (int v = 0; v <= made_.part.height; ++v) {
      for (int h = 0; h <= made_.part.width; ++h) {
        const bool in_case = std::hypot(h - middle, v - round) < kept;
        const Box& under = made_.part.outline.back();
        const bool in_wafer =
            v >= 2 * round - 2 && units(h) > under.x - 1 && units(h) < under.x + under.width + 1;
        free(h, v, !in_case && !in_wafer);
      }
    }
    return std::move(made_);
  }

  Shape gang() {
    const std::string on = "on " + harness_[*part_.pot->gang].name + "'s shaft";
    const std::string value = ohms_text(part_.pot->track.nominal) + taper_text(part_.pot->taper);
    const int middle = std::max(
        {wafer_half(),
         cells(text_width(shortened(part_.name, kNameSize, kMostName, true), kNameSize, true) / 2) + 1,
         cells(text_width(shortened(on, kValueSize, kMostName), kValueSize) / 2) + 1});
    start(2 * middle, 9);
    letter(part_.name, middle, 1.4, kNameSize, Lettering::From::Middle, true, kMostName);
    letter(on, middle, 2.6, kValueSize, Lettering::From::Middle, false, kMostName);
    letter(value, middle, 3.8, kValueSize, Lettering::From::Middle);
    wafer(5, 9, middle);
    made_.part.outline.back() = {0, 0, units(2 * middle), units(8)};
    return std::move(made_);
  }
};

}  // namespace

std::vector<Shape> pot_shapes(const Harness& harness, const Hookup& hookup, PartId part) {
  return PotDraughtsman(harness, hookup, part).draw();
}

}  // namespace lugwise::drawing::inside
