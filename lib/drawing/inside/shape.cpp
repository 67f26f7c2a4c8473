#include "drawing/inside/shape.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>

#include "drawing/inside/lettering.h"
#include "drawing/inside/value_text.h"

namespace lugwise::drawing::inside {
namespace {

constexpr double kNameSize = 12;
constexpr double kLugSize = 10.5;
constexpr double kValueSize = 10.5;
constexpr double kInsideSize = 9.5;
constexpr int kRoom = 3;           // wires a lug takes before it grows
constexpr int kOuterRoom = 5;      // the same of a pot's lugs
constexpr double kMostName = 130;  // units; longer names are shortened
constexpr double kMostLabel = 80;

double units(double cells) { return cells * kCell; }
int cells(double width) { return static_cast<int>(std::ceil(width / kCell)); }

std::string own_name(const Harness& harness, PointId point) {
  const std::string& name = harness[point].name;
  return name.substr(name.find('.') + 1);
}

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

class Draughtsman {
 public:
  Draughtsman(const Harness& harness, const Hookup& hookup, PartId id)
      : harness_(harness), hookup_(hookup), id_(id), part_(harness[id]) {}

  std::vector<Shape> draw() {
    switch (part_.kind) {
      case PartKind::Pot:
        return {part_.pot->gang ? gang() : pot()};
      case PartKind::Pickup:
        return {pickup()};
      case PartKind::Metal:
        return {metal(), upside_down(metal())};
      case PartKind::Switch:
      case PartKind::Jack:
      case PartKind::Module:
        return boxes();
      default:
        return two_terminals();
    }
  }

 private:
  // ---- what all share

  int sites(PointId point) const { return hookup_.sites_at(point); }

  // Room for what is joined at a point, with some to spare: a wire more changes nothing.
  int room(PointId point) const { return std::max(kRoom, sites(point)); }

  void start(int width, int height) {
    made_ = {};
    made_.part.part = id_;
    made_.part.width = width;
    made_.part.height = height;
    made_.blocked.assign(static_cast<std::size_t>((width + 1) * (height + 1)), 1);
  }

  void letter(std::string_view text, double x, double y, double size, Lettering::From from, bool bold = false,
              double most = kMostLabel) {
    Lettering lettering;
    lettering.text = shortened(text, size, most, bold);
    if (lettering.text != text) lettering.full = text;
    lettering.at = {units(x), units(y)};
    lettering.size = size;
    lettering.from = from;
    lettering.bold = bold;
    made_.part.lettering.push_back(std::move(lettering));
  }

  void line(PointId of, std::vector<Spot> path) {
    feature(Feature::Kind::Line, std::nullopt, std::move(path));
    made_.part.features.back().point = of;
  }

  void feature(Feature::Kind kind, std::optional<ElementId> element, std::vector<Spot> path) {
    for (Spot& spot : path) spot = {units(spot.x), units(spot.y)};
    made_.part.features.push_back({kind, element, std::nullopt, std::move(path)});
  }

  void outline(double x, double y, double right, double bottom) {
    made_.part.outline.push_back({units(x), units(y), units(right - x), units(bottom - y)});
  }

  void place_line(double x, double y, Lettering::From from) {
    made_.part.place = Lettering{"", "", {units(x), units(y)}, 11, from, true, false};
  }

  // A terminal with its sites side by side from a cell on, all leaving to one side.
  void terminal(PointId point, Spot at, Cell first, int count, Side out, int anchor = 0) {
    Terminal made{point, {units(at.x), units(at.y)}, {}, false, static_cast<std::size_t>(anchor)};
    const bool across = out == Side::Up || out == Side::Down;
    for (int i = 0; i < count; ++i)
      made.sites.push_back({{first.x + (across ? i : 0), first.y + (across ? 0 : i)}, out});
    made_.part.terminals.push_back(std::move(made));
  }

  std::optional<ElementId> element_of(ElementKind kind, PointId a, PointId b) const {
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      if (element.kind == kind && element.part == id_ &&
          ((element.a == a && element.b == b) || (element.a == b && element.b == a)))
        return ElementId{i};
    }
    return std::nullopt;
  }

  // ---- pots

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

  void free(int x, int y, bool is_free) {
    made_.blocked[static_cast<std::size_t>(y * (made_.part.width + 1) + x)] = is_free ? 0 : 1;
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

  // ---- pickups

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
      const std::string label = own_name(harness_, order[i]);
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
      const std::string label = own_name(harness_, point);
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
    const std::string own = own_name(harness_, point);
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

  // ---- metal

  Shape metal() {
    std::vector<int> widths;
    for (PointId point : part_.points) {
      const double label = std::min(text_width(own_name(harness_, point), kLugSize), kMostLabel);
      widths.push_back(std::max({cells(label) + 1, std::max(kOuterRoom, sites(point)) + 1, 4}));
    }
    const int total = std::accumulate(widths.begin(), widths.end(), 0);
    const int name = cells(std::min(text_width(part_.name, kNameSize, true), kMostName)) + 1;
    start(std::max(total, name), 5);
    if (name > total) widths.back() += name - total;
    outline(0, 0.4, made_.part.width, 5);
    int x = 0;
    std::optional<PointId> before;
    for (std::size_t i = 0; i < part_.points.size(); ++i) {
      const PointId point = part_.points[i];
      const double middle = x + widths[i] / 2.0;
      const int count = std::max(kOuterRoom, sites(point));
      const int first = x + (widths[i] - count + 1) / 2;
      terminal(point, {middle, 1.1}, {first, 1}, count, Side::Up, count / 2);
      letter(own_name(harness_, point), middle, 2.7, kLugSize, Lettering::From::Middle);
      for (int k = 0; k < count; ++k) free(first + k, 0, true);
      if (before) {
        feature(Feature::Kind::Butt, element_of(ElementKind::Contact, *before, point),
                {{double(x), 0.4}, {double(x), 3.0}});
      }
      before = point;
      x += widths[i];
    }
    letter(part_.name, made_.part.width / 2.0, 4.35, kNameSize, Lettering::From::Middle, true, kMostName);
    return std::move(made_);
  }

  // ---- resistors, capacitors, batteries

  std::vector<Shape> two_terminals() {
    return {standing(false),          standing(true), mirrored(standing(false)),
            mirrored(standing(true)), lying(false),   lying(true)};
  }

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
      letter(own_name(harness_, point), middle + 0.4, y == 0 ? 1.25 : y - 0.55, kInsideSize,
             Lettering::From::Start);
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
      letter(own_name(harness_, point), x == 0 ? 0.4 : x - 0.4, middle - 0.35, kInsideSize,
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

  // ---- switches, jacks, modules

  std::vector<Shape> boxes() {
    if (part_.kind == PartKind::Jack) {
      std::vector<PointId> lugs, plugs;
      for (PointId point : part_.points)
        (harness_[point].role == PointRole::Plug ? plugs : lugs).push_back(point);
      Shape shape = box(lugs, plugs);
      return {shape, mirrored(shape)};
    }
    const std::vector<std::vector<PointId>> poles = poles_of();
    std::vector<PointId> all, left, right;
    for (const auto& pole : poles) all.insert(all.end(), pole.begin(), pole.end());
    std::vector<Shape> shapes;
    if (poles.size() > 1) {
      // Whole poles on either side, as even as can be.
      std::size_t on_left = 0, on_right = 0;
      for (const auto& pole : poles) {
        const bool to_left = on_left <= on_right;
        auto& side = to_left ? left : right;
        side.insert(side.end(), pole.begin(), pole.end());
        (to_left ? on_left : on_right) += pole.size();
      }
      shapes.push_back(box(left, right));
      shapes.push_back(mirrored(shapes.front()));
    } else if (all.size() > 2 && part_.kind == PartKind::Switch) {
      // The common lug across from the others.
      for (PointId point : all)
        (degree(point) == most_degree(all) && right.empty() ? right : left).push_back(point);
      shapes.push_back(box(left, right));
      shapes.push_back(mirrored(shapes.front()));
    } else {
      for (std::size_t i = 0; i < all.size(); ++i)
        (i < (all.size() + 1) / 2 ? left : right).push_back(all[i]);
      shapes.push_back(box(left, right));
      shapes.push_back(mirrored(shapes.front()));
    }
    if (all.size() <= 6) {
      shapes.push_back(box(all, {}));
      shapes.push_back(mirrored(shapes.back()));
    }
    return shapes;
  }

  std::vector<ElementId> contacts() const {
    std::vector<ElementId> found;
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      if (element.kind == ElementKind::Contact && element.part == id_) found.push_back(ElementId{i});
    }
    return found;
  }

  std::size_t degree(PointId point) const {
    std::size_t count = 0;
    for (ElementId contact : contacts())
      count += harness_[contact].a == point || harness_[contact].b == point;
    return count;
  }

  std::size_t most_degree(const std::vector<PointId>& points) const {
    std::size_t most = 1;
    for (PointId point : points) most = std::max(most, degree(point));
    return most;
  }

  // The lugs by pole, each pole's in file order; lugs that no contact meets last.
  std::vector<std::vector<PointId>> poles_of() const {
    std::map<PointId, PointId> root;
    for (PointId point : part_.points) root[point] = point;
    const auto find = [&](PointId point) {
      while (root[point] != point) point = root[point];
      return point;
    };
    for (ElementId contact : contacts()) {
      const PointId a = find(harness_[contact].a), b = find(harness_[contact].b);
      root[std::max(a, b)] = std::min(a, b);
    }
    std::vector<std::vector<PointId>> poles;
    std::vector<PointId> alone;
    std::map<PointId, std::size_t> of_root;
    for (PointId point : part_.points) {
      if (degree(point) == 0) {
        alone.push_back(point);
        continue;
      }
      const auto [known, fresh] = of_root.emplace(find(point), poles.size());
      if (fresh) poles.emplace_back();
      poles[known->second].push_back(point);
    }
    if (poles.empty()) return {alone};
    poles.back().insert(poles.back().end(), alone.begin(), alone.end());
    return poles;
  }

  struct Row {
    double y = 0;
    bool left = true;
  };
  // Contacts that share a lug, drawn as a bar from it that the others meet.
  struct Star {
    PointId centre;
    std::vector<std::pair<ElementId, PointId>> leaves;
    double top = 0, low = 0;
    bool left = true;
    int lane = 0;
  };

  Shape box(const std::vector<PointId>& left, const std::vector<PointId>& right) {
    const std::string on = part_.mounted ? "on " + harness_[*part_.mounted].name + "'s shaft" : "";
    const int first_row = on.empty() ? 4 : 5;
    std::map<PointId, Row> rows;
    std::map<PointId, int> first;
    int last = first_row;
    double label_left = 0, label_right = 0;
    const auto stack = [&](const std::vector<PointId>& side, bool is_left) {
      int y = first_row;
      for (PointId point : side) {
        const int count = room(point);
        first[point] = y;
        rows[point] = {y + double((count - 1) / 2), is_left};
        last = std::max(last, y + count - 1);
        y += count;
        if (harness_[point].role == PointRole::Plug) continue;
        double& label = is_left ? label_left : label_right;
        label = std::max(label, std::min(text_width(own_name(harness_, point), kLugSize), kMostLabel));
      }
    };
    stack(left, true);
    stack(right, false);
    if (part_.kind == PartKind::Jack) align_plugs(left, right, rows, last);

    std::vector<Star> stars = stars_of(rows);
    int lanes_left = 0, lanes_right = 0;
    for (bool is_left : {true, false}) {
      std::vector<std::pair<double, double>> taken;  // (lane's lowest end)
      std::vector<double> lowest;
      for (Star& star : stars) {
        if (star.left != is_left) continue;
        std::size_t lane = 0;
        while (lane < lowest.size() && lowest[lane] > star.top - 1) ++lane;
        if (lane == lowest.size()) lowest.push_back(0);
        lowest[lane] = star.low;
        star.lane = static_cast<int>(lane);
      }
      (is_left ? lanes_left : lanes_right) = static_cast<int>(lowest.size());
    }
    const bool plugs = part_.kind == PartKind::Jack;
    const double inner_left = left.empty() ? 1.5 : 1.5 + label_left / kCell + 0.7;
    double span =
        2.0 * (lanes_left + lanes_right) + (lanes_left > 0 && (lanes_right > 0 || !right.empty()) ? 2 : 0);
    if (lanes_left + lanes_right == 0) span = 1.5;
    const double label_room = right.empty() || plugs ? 0 : label_right / kCell + 0.7;
    const double header = std::min(text_width(part_.name, kNameSize, true), kMostName) / kCell;
    double body = inner_left + span + label_room + (right.empty() ? 0.5 : 0.5);
    body = std::max(body, header + 2);
    // A control's longest place must fit beneath its name.
    body = std::max(body, longest_place() / kCell + 2);
    if (!on.empty()) body = std::max(body, std::min(text_width(on, kValueSize), kMostName) / kCell + 3);
    const int edge = static_cast<int>(std::ceil(body));  // the outline's right edge
    const double inner_right = edge - label_room - (right.empty() ? 0.5 : 0.5);
    constexpr int kCable = 7;
    const int width = plugs ? edge + kCable : right.empty() ? edge : edge + 1;
    start(width, last + 1);
    outline(1, 0, edge, last + 1);
    letter(part_.name, (1 + edge) / 2.0, 1.5, kNameSize, Lettering::From::Middle, true, kMostName);
    if (part_.kind == PartKind::Module) {
      letter("module", (1 + edge) / 2.0, 2.75, kValueSize, Lettering::From::Middle);
    } else {
      place_line((1 + edge) / 2.0, 2.8, Lettering::From::Middle);
    }
    if (!on.empty()) letter(on, (1 + edge) / 2.0, 3.9, kValueSize, Lettering::From::Middle, false, kMostName);
    for (PointId point : left) {
      terminal(point, {0.5, rows[point].y}, {0, first[point]}, room(point), Side::Left,
               (room(point) - 1) / 2);
      letter(own_name(harness_, point), 1.5, rows[point].y + 0.36, kLugSize, Lettering::From::Start);
    }
    for (PointId point : right) {
      if (plugs) {
        terminal(point, {width - 0.4, rows[point].y}, {}, 0, Side::Right);
        letter(own_name(harness_, point), edge + 3.2, rows[point].y - 0.45, kInsideSize,
               Lettering::From::Middle);
        line(point, {{inner_right, rows[point].y}, {width - 0.4, rows[point].y}});
        continue;
      }
      terminal(point, {width - 0.5, rows[point].y}, {width, first[point]}, room(point), Side::Right,
               (room(point) - 1) / 2);
      letter(own_name(harness_, point), edge - 0.5, rows[point].y + 0.36, kLugSize, Lettering::From::End);
    }
    if (plugs) {
      const double top = rows[right.front()].y, low = rows[right.back()].y;
      outline(edge, top - 1.4, width, low + 0.6);
    }
    std::map<PointId, int> met;
    for (const Star& star : stars) {
      const double lane =
          star.left ? inner_left + 2.0 * (star.lane + 1) : inner_right - 2.0 * (star.lane + 1);
      const auto inner = [&](PointId point) { return rows[point].left ? inner_left : inner_right; };
      line(star.centre, {{inner(star.centre), rows[star.centre].y}, {lane, rows[star.centre].y}});
      double top = rows[star.centre].y, low = top;
      for (const auto& [contact, leaf] : star.leaves) {
        const double y = rows[leaf].y + 0.4 * met[leaf]++;
        top = std::min(top, y);
        low = std::max(low, y);
        feature(Feature::Kind::Contact, contact, {{lane, y}, {inner(leaf), y}});
      }
      if (low > top) line(star.centre, {{lane, top}, {lane, low}});
    }
    return std::move(made_);
  }

  // A plug's points stand level with the contacts that meet them.
  void align_plugs(const std::vector<PointId>& left, const std::vector<PointId>& right,
                   std::map<PointId, Row>& rows, int& last) const {
    double least = 0;
    for (PointId plug : right) {
      double y = least;
      for (ElementId contact : contacts()) {
        const Element& element = harness_[contact];
        if (element.b == plug && std::count(left.begin(), left.end(), element.a))
          y = std::max(y, rows[element.a].y);
      }
      rows[plug].y = std::max(y, least);
      least = rows[plug].y + 2;
      last = std::max(last, static_cast<int>(std::ceil(rows[plug].y)));
    }
  }

  std::vector<Star> stars_of(std::map<PointId, Row>& rows) const {
    std::vector<ElementId> left = contacts();
    std::vector<Star> stars;
    while (!left.empty()) {
      std::map<PointId, std::size_t> count;
      for (ElementId contact : left) {
        ++count[harness_[contact].b];
        ++count[harness_[contact].a];
      }
      PointId centre = harness_[left.front()].b;  // the common lug, where nothing else decides
      for (PointId point : part_.points) {
        if (count.count(point) && count[point] > count[centre]) centre = point;
      }
      Star star;
      star.centre = centre;
      star.left = rows[centre].left;
      star.top = star.low = rows[centre].y;
      std::vector<ElementId> rest;
      for (ElementId contact : left) {
        const Element& element = harness_[contact];
        if (element.a != centre && element.b != centre) {
          rest.push_back(contact);
          continue;
        }
        const PointId leaf = element.a == centre ? element.b : element.a;
        star.leaves.emplace_back(contact, leaf);
        star.top = std::min(star.top, rows[leaf].y);
        star.low = std::max(star.low, rows[leaf].y);
      }
      stars.push_back(std::move(star));
      left = std::move(rest);
    }
    std::stable_sort(stars.begin(), stars.end(), [](const Star& a, const Star& b) { return a.top < b.top; });
    return stars;
  }

  double longest_place() const {
    double longest = part_.kind == PartKind::Jack ? text_width("plug out", 11, true) : 0;
    for (const Position& position : part_.positions)
      longest = std::max(longest, std::min(text_width(position.name, 11, true), kMostName));
    return longest;
  }

  // ---- turned ways

  static Shape mirrored(Shape shape) {
    PlacedPart& part = shape.part;
    const double width = units(part.width);
    const auto flip = [&](Spot& at) { at.x = width - at.x; };
    for (Terminal& terminal : part.terminals) {
      flip(terminal.at);
      for (Foot& site : terminal.sites) {
        site.at.x = part.width - site.at.x;
        if (site.out == Side::Left || site.out == Side::Right)
          site.out = site.out == Side::Left ? Side::Right : Side::Left;
      }
    }
    for (Feature& feature : part.features) {
      for (Spot& spot : feature.path) flip(spot);
    }
    const auto flip_text = [&](Lettering& lettering) {
      flip(lettering.at);
      if (lettering.from != Lettering::From::Middle)
        lettering.from =
            lettering.from == Lettering::From::Start ? Lettering::From::End : Lettering::From::Start;
    };
    for (Lettering& lettering : part.lettering) flip_text(lettering);
    if (part.place) flip_text(*part.place);
    for (Box& box : part.outline) box.x = width - box.x - box.width;
    for (int y = 0; y <= part.height; ++y) {
      const auto row = shape.blocked.begin() + y * (part.width + 1);
      std::reverse(row, row + part.width + 1);
    }
    return shape;
  }

  static Shape upside_down(Shape shape) {
    PlacedPart& part = shape.part;
    const double height = units(part.height);
    for (Terminal& terminal : part.terminals) {
      terminal.at.y = height - terminal.at.y;
      for (Foot& site : terminal.sites) {
        site.at.y = part.height - site.at.y;
        site.out = site.out == Side::Up ? Side::Down : Side::Up;
      }
    }
    for (Feature& feature : part.features) {
      for (Spot& spot : feature.path) spot.y = height - spot.y;
    }
    for (Lettering& lettering : part.lettering)
      lettering.at.y = height - lettering.at.y + 0.7 * lettering.size;
    for (Box& box : part.outline) box.y = height - box.y - box.height;
    std::vector<char> blocked;
    for (int y = part.height; y >= 0; --y) {
      const auto row = shape.blocked.begin() + y * (part.width + 1);
      blocked.insert(blocked.end(), row, row + part.width + 1);
    }
    shape.blocked = std::move(blocked);
    return shape;
  }

  const Harness& harness_;
  const Hookup& hookup_;
  PartId id_;
  const Part& part_;
  Shape made_;
};

}  // namespace

std::vector<Shape> shapes_of(const Harness& harness, const Hookup& hookup, PartId part) {
  return Draughtsman(harness, hookup, part).draw();
}

PlacedPart moved(PlacedPart part, Cell by) {
  const double dx = units(by.x), dy = units(by.y);
  const auto move = [&](Spot& at) {
    at.x += dx;
    at.y += dy;
  };
  part.corner.x += by.x;
  part.corner.y += by.y;
  for (Terminal& terminal : part.terminals) {
    move(terminal.at);
    for (Foot& site : terminal.sites) {
      site.at.x += by.x;
      site.at.y += by.y;
    }
  }
  for (Feature& feature : part.features) {
    for (Spot& spot : feature.path) move(spot);
  }
  for (Lettering& lettering : part.lettering) move(lettering.at);
  if (part.place) move(part.place->at);
  const auto move_box = [&](Box& box) {
    box.x += dx;
    box.y += dy;
  };
  for (Box& box : part.outline) move_box(box);
  if (part.screen) move_box(*part.screen);
  return part;
}

}  // namespace lugwise::drawing::inside
