// Wires: their legs, and their ends by names.
#include <algorithm>
#include <map>
#include <utility>

#include "component/copper.h"
#include "harness/builder.h"

namespace lugwise {
namespace {

// Strands, their lay and an ordinary tape measure move a computed leg by about this much: common practice, no source.
constexpr double kWireTolerance = 0.10;

}  // namespace

void HarnessBuilder::add_leg(WireId wire, PointId from_end, PointId to_end, std::vector<PointId> points,
                             const WireSpec& spec) {
  Element leg;
  leg.kind = ElementKind::Wire;
  leg.a = from_end;
  leg.b = to_end;
  leg.points = std::move(points);
  leg.wire = wire;
  leg.at = spec.at;
  if (spec.gauge && spec.length) {
    const double legs = static_cast<double>(spec.run.size() - 1);
    leg.ohms = around(*spec.length / legs * ohms_per_metre(formula_diameter(*spec.gauge)), kWireTolerance);
  } else {
    leg.ohms = defaults_.wire_band();
  }
  harness_.wires_[wire.index].legs.push_back(add_element(std::move(leg)));
}

// Wires as they are added: their ends, named after where they lead.
class HarnessBuilder::Wiring {
 public:
  Wiring(HarnessBuilder& builder, const std::vector<WireSpec>& specs) : builder_(builder) {
    for (const WireSpec& spec : specs) {
      for (std::size_t i = 0; i + 1 < spec.run.size(); ++i) ++times_[join(spec.run[i], spec.run[i + 1])];
      if (spec.braid) ++times_[join(spec.braid->first, spec.braid->second)];
    }
  }

  void add(const WireSpec& spec, std::size_t ordinal) {
    prefix_ = (spec.name.empty() ? "wire-" + std::to_string(ordinal) : spec.name) + ":";
    const WireId core = add_wire(spec);
    builder_.harness_.wires_[core.index].run = spec.run;
    if (spec.uncut) {
      add_uncut(core, spec);
    } else {
      for (std::size_t i = 0; i + 1 < spec.run.size(); ++i) {
        const PointId from = add_end(core, spec.run[i], spec.run[i + 1], spec);
        const PointId to = add_end(core, spec.run[i + 1], spec.run[i], spec);
        builder_.add_leg(core, from, to, {spec.run[i], spec.run[i + 1]}, spec);
      }
    }
    if (spec.braid) add_braid(core, spec);
  }

 private:
  // The two points a leg joins; a braid's free end is no point.
  using Join = std::pair<std::optional<PointId>, std::optional<PointId>>;

  static Join join(std::optional<PointId> a, std::optional<PointId> b) {
    return a < b ? Join{a, b} : Join{b, a};
  }

  std::string name_of(std::optional<PointId> point) const {
    return point ? builder_.harness_[*point].name : std::string("free");
  }

  WireId add_wire(const WireSpec& spec) {
    const WireId id{static_cast<std::uint32_t>(builder_.harness_.wires_.size())};
    Wire wire;
    wire.name = spec.name;
    wire.colour = spec.colour;
    wire.gauge = spec.gauge;
    wire.length = spec.length;
    wire.uncut = spec.uncut;
    wire.at = spec.at;
    builder_.harness_.wires_.push_back(std::move(wire));
    return id;
  }

  PointId add_end(WireId wire, std::optional<PointId> at, std::optional<PointId> to, const WireSpec& spec) {
    const std::string plain = name_of(at) + ">" + name_of(to);
    const bool shared = times_[join(at, to)] > 1;
    const PointId end =
        builder_.add_point(shared ? prefix_ + plain : plain, PointRole::WireEnd, std::nullopt, spec.at);
    builder_.harness_.points_[end.index].wire = wire;
    builder_.harness_.points_[end.index].on = at;
    answer_to(plain, end, at, to, spec);
    if (!at) return end;
    if (std::find(spec.pressed.begin(), spec.pressed.end(), *at) == spec.pressed.end()) {
      builder_.ends_.emplace_back(end, *at);
      return end;
    }
    Element contact;
    contact.kind = ElementKind::Contact;
    contact.a = *at;
    contact.b = end;
    contact.ohms = builder_.defaults_.contact_band();
    contact.points = {*at, end};
    contact.wire = wire;
    contact.pressed = true;
    contact.at = spec.at;
    builder_.add_element(std::move(contact));
    return end;
  }

  // A place on a wire answers to its plain name where no other wire joins the same two points, and to the wire's own.
  void answer_to(const std::string& plain, PointId end, std::optional<PointId> at, std::optional<PointId> to,
                 const WireSpec& spec) {
    const bool shared = times_[join(at, to)] > 1;
    if (!shared) builder_.alias(plain, end);
    if (shared || !spec.name.empty()) builder_.alias(prefix_ + plain, end);
  }

  // One place on the wire at each point; a middle one answers to both of its legs' names.
  void add_uncut(WireId core, const WireSpec& spec) {
    std::vector<PointId> along;
    for (std::size_t i = 0; i < spec.run.size(); ++i) {
      const bool last = i + 1 == spec.run.size();
      const PointId end = add_end(core, spec.run[i], last ? spec.run[i - 1] : spec.run[i + 1], spec);
      if (i > 0 && !last) {
        const PointId here = spec.run[i], back = spec.run[i - 1];
        answer_to(name_of(here) + ">" + name_of(back), end, here, back, spec);
      }
      along.push_back(end);
    }
    for (std::size_t i = 0; i + 1 < along.size(); ++i)
      builder_.add_leg(core, along[i], along[i + 1], {spec.run[i], spec.run[i + 1]}, spec);
  }

  void add_braid(WireId core, const WireSpec& spec) {
    const auto [from, to] = *spec.braid;
    const WireId braid = add_wire(spec);
    Wire& wire = builder_.harness_.wires_[braid.index];
    wire.braid = true;
    wire.core = core;
    if (from) wire.run.push_back(*from);
    if (to) wire.run.push_back(*to);
    const PointId from_end = add_end(braid, from, to, spec);
    const PointId to_end = add_end(braid, to, from, spec);
    builder_.add_leg(braid, from_end, to_end, {from ? *from : from_end, to ? *to : to_end}, spec);
  }

  HarnessBuilder& builder_;
  std::map<Join, int> times_;
  std::string prefix_;  // of the names of the wire at hand
};

void HarnessBuilder::add_wires(const std::vector<WireSpec>& specs) {
  Wiring wiring(*this, specs);
  for (std::size_t i = 0; i < specs.size(); ++i) wiring.add(specs[i], i + 1);
}

}  // namespace lugwise
