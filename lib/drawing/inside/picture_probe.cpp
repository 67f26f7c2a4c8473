#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drawing/inside/picture.h"

namespace lugwise::drawing::inside {

std::optional<Spot> Picture::spot_of(const Fault& fault) const {
  if (fault.element) {
    for (const Mark& mark : layout_.marks) {
      if (mark.element == *fault.element) return mark.at;
    }
    for (const Pool& pool : layout_.pools) {
      if (pool.grip == *fault.element) return half_way(pool.spots);
    }
    for (std::size_t i = 0; i < layout_.strands.size(); ++i) {
      if (layout_.strands[i].element == fault.element && !ways_[i].empty()) return half_way(ways_[i]);
    }
    for (const PlacedPart& part : layout_.parts) {
      for (const Feature& feature : part.features) {
        if (feature.element == fault.element && !feature.path.empty()) return half_way(feature.path);
      }
    }
  }
  std::optional<Spot> sum;
  int count = 0;
  for (PointId point : fault.points) {
    if (const auto at = layout_.spot(harness_, point)) {
      sum = sum ? Spot{sum->x + at->x, sum->y + at->y} : *at;
      ++count;
      if (count == 2) break;
    }
  }
  if (sum && count == 2) return Spot{sum->x / 2, sum->y / 2};
  return sum;
}

void Picture::draw_suspects() {
  const double scale = look_.small ? scale_ : 1;
  pen_.open("g", "class=\"suspects\"");
  for (std::size_t i = 0; i < look_.marked.size(); ++i) {
    const Fault& fault = look_.marked[i];
    const auto at = spot_of(fault);
    if (!at) continue;
    if (fault.mode == Mode::Short && !fault.element) {
      const auto a = layout_.spot(harness_, fault.a), b = layout_.spot(harness_, fault.b);
      if (a && b) pen_.line(*a, *b, stroke(kSuspect, 2.2 * scale, "stroke-dasharray=\"6 4\""));
    }
    // Several at one place: their badges stand around it.
    const int before =
        static_cast<int>(std::count_if(suspects_.begin(), suspects_.end(), [&](const Spot& other) {
          return std::hypot(other.x - at->x, other.y - at->y) < 12;
        }));
    suspects_.push_back(*at);
    const double r = 10.5 * scale;
    pen_.circle(*at, r, stroke(kSuspect, 2.4 * scale));
    // Where the badge covers no word, if there is such a place.
    Spot badge;
    double best = 1e18;
    for (int way = 0; way < 12; ++way) {
      const double turn = 0.8 + 1.25 * before + way * 0.5236;
      const Spot spot{at->x + (r + 4 * scale) * std::cos(turn), at->y - (r + 4 * scale) * std::sin(turn)};
      const Box box{spot.x - 8 * scale, spot.y - 8 * scale, 16 * scale, 16 * scale};
      double price = way;
      for (const Box& words : words_) price += words.meets(box) ? 100 : 0;
      if (price >= best) continue;
      best = price;
      badge = spot;
    }
    pen_.circle(badge, 7.4 * scale, outlined(kSuspect, kWhite, 1.2));
    Lettering number_text;
    number_text.text = std::to_string(i + 1);
    number_text.at = {badge.x, badge.y + 3.5 * scale};
    number_text.size = 10 * scale;
    number_text.bold = true;
    write(number_text, filled(kWhite, "class=\"suspect\""));
    placer_.avoid(Box{at->x - r, at->y - r, 2 * r, 2 * r});
    placer_.avoid(Box{badge.x - 8 * scale, badge.y - 8 * scale, 16 * scale, 16 * scale});
  }
  pen_.close("g");
}

void Picture::draw_probes() {
  if (!look_.probes) return;
  pen_.open("g", "class=\"probes\"");
  const auto a = layout_.spot(harness_, look_.probes->first),
             b = layout_.spot(harness_, look_.probes->second);
  if (a) draw_probe(*a, "A", kProbeA, look_.probes->first);
  if (b) draw_probe(*b, "B", kProbeB, look_.probes->second);
  pen_.close("g");
}

double Picture::price_of_probe(const ProbeSize& size, Spot tip, Spot along) const {
  const Box page = look_.small ? view_ : body_;
  constexpr double kOnWords = 60, kOnWordsOfNeedle = 10, kOutside = 120;  // against 1 on any other thing
  double price = std::abs(along.y) * 2 + (along.y > 0 ? 4 : 0);
  const auto box_at = [&](double length, double r) {
    return Box{tip.x + along.x * length - r, tip.y + along.y * length - r, 2 * r, 2 * r};
  };
  for (double far : {0.35, 0.7, 1.0}) {
    const bool end = far == 1.0;
    const Box box = box_at(size.needle + (size.grip + size.round) * far, end ? size.round : size.half);
    price += placer_.overlap(box) * (end ? 1 : 0.6);
    const double out = std::max({page.x - box.x, page.y - box.y, box.x + box.width - page.x - page.width,
                                 box.y + box.height - page.y - page.height, 0.0});
    price += out * kOutside;
  }
  // A word may be smaller than the steps above.
  constexpr int kSteps = 12;
  for (int step = 1; step <= kSteps; ++step) {
    const double length = (size.needle + size.grip) * step / kSteps;
    const bool on_grip = length > size.needle;
    const Box box = box_at(length, step == kSteps ? size.round + 1.4 : on_grip ? size.half + 1 : 1);
    for (const Box& words : words_)
      price += shared_area(box, words) * (on_grip ? kOnWords : kOnWordsOfNeedle);
  }
  return price;
}

Spot Picture::way_of_probe(const ProbeSize& size, Spot tip) const {
  double best = 1e18;
  Spot way{0.7071, -0.7071};
  for (int i = 0; i < 32; ++i) {
    const double turn = kPi * (i + 0.5) / 16;
    const Spot along{std::cos(turn), -std::sin(turn)};
    const double price = price_of_probe(size, tip, along);
    if (price >= best) continue;
    best = price;
    way = along;
  }
  return way;
}

void Picture::draw_probe(Spot tip, std::string_view letter, std::string_view colour, PointId point) {
  const double scale = look_.small ? scale_ : 1;
  const ProbeSize size{13 * scale, 30 * scale, 4.6 * scale, 9 * scale};
  const auto& [needle, grip, half, round] = size;
  const Spot way = way_of_probe(size, tip);
  const Spot side{-way.y, way.x};
  const auto at = [&](double along, double across) {
    return Spot{tip.x + way.x * along + side.x * across, tip.y + way.y * along + side.y * across};
  };
  const auto spots = [&](std::initializer_list<Spot> list) {
    return way_through(std::vector<Spot>(list)) + "Z";
  };
  const std::string body =
      spots({at(needle, -half * 0.55), at(needle + 5 * scale, -half), at(needle + grip, -half),
             at(needle + grip, half), at(needle + 5 * scale, half), at(needle, half * 0.55)});
  const std::string point_way = spots({tip, at(needle, -half * 0.4), at(needle, half * 0.4)});
  pen_.open("g", fmt::format("class=\"probe\" data-probe=\"{}\" data-at=\"{}\"", letter,
                             escaped(harness_[point].name)));
  pen_.title(fmt::format("probe {} at {}", letter, point_in_words(harness_, point)));
  const std::string halo = outlined(kWhite, kWhite, 3, "stroke-linejoin=\"round\"");
  const Spot end = at(needle + grip, 0);
  pen_.path(body, halo);
  pen_.circle(end, round + 1.4, filled(kWhite));
  pen_.path(point_way, outlined(kWhite, colour, 1.1 * scale, "stroke-linejoin=\"round\""));
  pen_.path(body, filled(colour));
  pen_.circle(end, round, filled(colour));
  Lettering lettering;
  lettering.text = letter;
  lettering.at = {end.x, end.y + 4.3 * scale};
  lettering.size = 12 * scale;
  lettering.bold = true;
  pen_.text(lettering, filled(kWhite, "class=\"probe\""));
  pen_.close("g");
  const Box covered = around({tip, end}, round);
  placer_.avoid(covered);
  words_.push_back(around({end}, round));
  if (look_.small) view_ = united(view_, around({end}, round + 3));
}

}  // namespace lugwise::drawing::inside
