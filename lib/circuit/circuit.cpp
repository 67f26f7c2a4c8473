#include "circuit/circuit.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>

#include "component/copper.h"

namespace lugwise {
namespace {

// How far a wiper between its stops may be from where the taper puts it: common practice, no source.
constexpr double kTaperSlack = 0.10;

// Share of the track left between lugs 1 and 2 with the knob in the middle: common practice (audio 15 %, and its mirror).
constexpr double kAudioMiddle = 0.15;

double along(const std::vector<double>& shares, double knob) {
  if (shares.size() == 1) return shares.front();
  const double place = knob / 10 * static_cast<double>(shares.size() - 1);
  const auto before = std::min(static_cast<std::size_t>(place), shares.size() - 2);
  const double part = place - static_cast<double>(before);
  return shares[before] + part * (shares[before + 1] - shares[before]);
}

class Builder {
 public:
  Builder(const Harness& harness, const State& state) : harness_(harness), state_(state) {}

  Circuit build() {
    circuit_.points = harness_.points().size();
    circuit_.setting = state_.setting;
    circuit_.copper = {copper_factor(state_.temperature.low), copper_factor(state_.temperature.nominal),
                       copper_factor(state_.temperature.high)};
    mark_present();
    find_spliced();
    circuit_.branches.reserve(harness_.elements().size());
    // In the order of the elements, so that reports and tests find branches where they look for them.
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) add(ElementId{i});
    for (std::uint32_t i = 0; i < harness_.parts().size(); ++i) {
      if (harness_.parts()[i].kind == PartKind::Module && !missing(PartId{i})) {
        circuit_.modules.push_back(harness_.parts()[i].points);
      }
    }
    return std::move(circuit_);
  }

 private:
  bool missing(PartId part) const {
    if (!state_.stage) return false;
    const auto& without = harness_.stages()[*state_.stage].without;
    return std::find(without.begin(), without.end(), part) != without.end();
  }

  void mark_present() {
    circuit_.present.assign(circuit_.points, 1);
    for (std::uint32_t i = 0; i < circuit_.points; ++i) {
      const Point& point = harness_.points()[i];
      if (!point.part) continue;
      if (missing(*point.part)) circuit_.present[i] = 0;
      if (point.role == PointRole::Plug && !state_.setting.plugged(*point.part)) circuit_.present[i] = 0;
    }
  }

  // A lead comes off where it is soldered into something; the first of a splice, where the others are soldered to it.
  bool lifted(const Element& element) const {
    const bool joint = element.kind == ElementKind::Joint || element.kind == ElementKind::Blob;
    if (!joint && !element.pressed) return false;
    const auto off = [](const std::vector<PointId>& points, PointId point) {
      return std::find(points.begin(), points.end(), point) != points.end();
    };
    return off(state_.lifted, element.b) || (joint && off(spliced_, element.a));
  }

  void find_spliced() {
    for (PointId point : state_.lifted) {
      const auto& elements = harness_.elements();
      const bool soldered = std::any_of(elements.begin(), elements.end(), [&](const Element& element) {
        return element.b == point && (element.kind == ElementKind::Joint || element.pressed);
      });
      if (!soldered) spliced_.push_back(point);
    }
  }

  void add(ElementId id) {
    const Element& element = harness_[id];
    if (!circuit_.has(element.a) || !circuit_.has(element.b) || lifted(element)) return;
    switch (element.when) {
      case Conducts::Never:
        return;
      case Conducts::ByKnob:
        if (element.kind == ElementKind::Track) add_pot(*harness_[*element.part].pot, *element.part);
        return;
      case Conducts::InPositions: {
        const std::uint16_t place = state_.setting.position(*element.part);
        if (!std::binary_search(element.closed_in.begin(), element.closed_in.end(), place)) return;
        break;
      }
      case Conducts::PlugIn:
        if (!state_.setting.plugged(*element.part)) return;
        break;
      case Conducts::PlugOut:
        if (state_.setting.plugged(*element.part)) return;
        break;
      case Conducts::CavityClosed:
        if (state_.cavity_open) return;
        break;
      case Conducts::Always:
        break;
    }
    Band ohms = element.ohms;
    const bool copper = element.kind == ElementKind::Coil;
    if (copper) {
      ohms.low *= circuit_.copper.low;
      ohms.nominal *= circuit_.copper.nominal;
      ohms.high *= circuit_.copper.high;
    }
    circuit_.branches.push_back({id, element.a, element.b, copper, ohms, std::nullopt, 1, 1, 1});
  }

  // At a stop the track is whole and the wiper meets its end lug; between the stops it divides the track.
  void add_pot(const Pot& pot, PartId part) {
    const PartId control = pot.gang.value_or(part);
    const double knob = state_.setting.knob(control);
    const WiperShare share = wiper_share(pot, knob);
    const Band end = harness_[pot.wiper_element].ohms;
    if (pot.no_load && knob == 10) {
      circuit_.branches.push_back(
          {pot.track_element, pot.lug1, pot.lug3, false, pot.track, std::nullopt, 1, 1, 1});
      return;
    }
    if (share.at_stop()) {
      circuit_.branches.push_back(
          {pot.track_element, pot.lug1, pot.lug3, false, pot.track, std::nullopt, 1, 1, 1});
      const PointId lug = share.nominal == 0 ? pot.lug1 : pot.lug3;
      circuit_.branches.push_back({pot.wiper_element, lug, pot.lug2, false, end, std::nullopt, 1, 1, 1});
      return;
    }
    const std::uint32_t travel = travel_of(control, share);
    if (pot.taper == Taper::Unknown) circuit_.travels[travel].taper_known = false;
    circuit_.branches.push_back({pot.track_element, pot.lug1, pot.wiper_place, false, pot.track, travel,
                                 share.low, share.nominal, share.high});
    circuit_.branches.push_back({pot.track_element, pot.wiper_place, pot.lug3, false, pot.track, travel,
                                 1 - share.low, 1 - share.nominal, 1 - share.high});
    circuit_.branches.push_back(
        {pot.wiper_element, pot.wiper_place, pot.lug2, false, end, std::nullopt, 1, 1, 1});
  }

  // Pots on one shaft that divide their tracks alike move together; halves of a blend don't.
  std::uint32_t travel_of(PartId control, const WiperShare& share) {
    for (std::uint32_t i = 0; i < circuit_.travels.size(); ++i) {
      if (circuit_.travels[i].control == control && shares_[i] == share) return i;
    }
    circuit_.travels.push_back({control, true});
    shares_.push_back(share);
    return static_cast<std::uint32_t>(circuit_.travels.size() - 1);
  }

  const Harness& harness_;
  const State& state_;
  Circuit circuit_;
  std::vector<PointId> spliced_;    // lifted points that no solder holds but their own
  std::vector<WiperShare> shares_;  // of each travel
};

}  // namespace

Temperature exactly(double celsius) { return {celsius, celsius, celsius, true}; }

WiperShare wiper_share(const Pot& pot, double knob) {
  double nominal = knob / 10;
  switch (pot.taper) {
    case Taper::Audio:
      nominal = along({0, kAudioMiddle, 1}, knob);
      break;
    case Taper::ReverseAudio:
      nominal = along({0, 1 - kAudioMiddle, 1}, knob);
      break;
    case Taper::Listed:
      nominal = along(pot.shares, knob);
      break;
    default:
      break;
  }
  const bool stopped = knob <= 0 || knob >= 10;
  if (stopped) return {nominal, nominal, nominal};
  if (pot.taper == Taper::Unknown) return {0, nominal, 1};
  return {std::max(0.0, nominal - kTaperSlack), nominal, std::min(1.0, nominal + kTaperSlack)};
}

Circuit circuit_of(const Harness& harness, const State& state) {
  if (state.setting.parts() != harness.parts().size())
    throw std::logic_error("the setting was made for another harness: begin with Setting(harness)");
  return Builder(harness, state).build();
}

}  // namespace lugwise
