#include "plan/inside/motion.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "circuit/capacitance.h"
#include "expectation/corner.h"
#include "handling/handling.h"
#include "handling/watched.h"
#include "plan/inside/openings.h"
#include "plan/inside/pace.h"
#include "plan/inside/reading.h"
#include "plan/inside/sweeps.h"

namespace lugwise::plan::inside {
namespace {

class Mover {
 public:
  Mover(const Harness& harness, Plan& plan) : harness_(harness), plan_(plan), options_(plan.options) {}

  std::vector<std::size_t> move(Wiggles wiggles) {
    for (const Access& access : openings(harness_, options_)) {
      for (PartId knob : harness_.controls()) {
        if (is_loose_pot(knob)) read_track(knob, access);
      }
      if (!options_.meter.capacitance.empty()) measure_capacitors(access);
    }
    for (PartId knob : harness_.controls()) {
      if (is_loose_pot(knob)) sweep_other_half(knob);
    }
    if (wiggles == Wiggles::Asked) wiggle();
    for (std::size_t i = 0; i < plan_.steps.size(); ++i) plan_.steps[i].number = static_cast<int>(i) + 1;
    return std::move(shown_);
  }

 private:
  State state(const Setting& setting, const Access& access) const {
    return {setting, options_.stage, access.depth > 0, {}, options_.temperature};
  }

  double seconds(const Step* before, const Step& step) const {
    return seconds_between(harness_, options_.costs, before, step);
  }

  void insert(std::size_t at, Step step) {
    const Step* before = at > 0 ? &plan_.steps[at - 1] : nullptr;
    park(before, step);
    Step* after = at < plan_.steps.size() ? &plan_.steps[at] : nullptr;
    if (after) plan_.seconds -= seconds(before, *after);
    (step.kind == StepKind::Wiggle ? plan_.wiggle_seconds : plan_.seconds) += seconds(before, step);
    if (after) {
      if (after->parked || after->access == step.access) park(&step, *after);
      plan_.seconds += seconds(&step, *after);
    }
    plan_.steps.insert(plan_.steps.begin() + static_cast<std::ptrdiff_t>(at), std::move(step));
  }

  // After the last step with no more opened than that.
  std::size_t end_of(const Access& access) const {
    const auto deeper = [&](const Step& step) { return step.access.depth > access.depth; };
    return static_cast<std::size_t>(std::find_if(plan_.steps.begin(), plan_.steps.end(), deeper) -
                                    plan_.steps.begin());
  }

  // A pot with nothing at its lugs, alone on the bench.
  bool is_loose_pot(PartId knob) const {
    return harness_[knob].kind == PartKind::Pot && harness_.parts().size() == 1;
  }

  std::optional<std::size_t> fault_of(ElementId element, Mode mode) const {
    for (std::size_t f = 0; f < plan_.faults.size(); ++f) {
      if (plan_.faults[f].element == element && plan_.faults[f].mode == mode) return f;
    }
    return std::nullopt;
  }

  // Each capacitor that stands alone in some setting, once, with the fewest turns; what is open has next to no capacitance.
  void measure_capacitors(const Access& access) {
    const std::vector<PointId> within = reachable(harness_, options_.stage, access.depth);
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      const auto open = fault_of(ElementId{i}, Mode::Open);
      if (element.kind != ElementKind::Capacitor || !open) continue;
      if (std::find(shown_.begin(), shown_.end(), *open) != shown_.end()) continue;
      if (!std::binary_search(within.begin(), within.end(), element.a)) continue;
      if (!std::binary_search(within.begin(), within.end(), element.b)) continue;
      const std::size_t at = end_of(access);
      const Setting now = at > 0 ? left_at(plan_.steps[at - 1]) : Setting(harness_);
      std::vector<Setting> settings = settings_to_try(harness_, options_.stage);
      std::stable_sort(settings.begin(), settings.end(), [&](const Setting& x, const Setting& y) {
        return turns_between(harness_, now, x) < turns_between(harness_, now, y);
      });
      for (const Setting& setting : settings) {
        const Circuit circuit = circuit_of(harness_, state(setting, access));
        if (!measured_alone(harness_, circuit, ElementId{i})) continue;
        Step step;
        step.access = access;
        step.setting = setting;
        step.a = element.a;
        step.b = element.b;
        step.expected = expect(circuit, step.a, step.b);
        step.capacitance = capacitance_reading(options_.meter, farads_of(harness_, ElementId{i}));
        step.range = step.capacitance->range;
        if (!tells_open(options_.meter, *step.capacitance)) break;
        step.proves = step.fresh = {*open};
        shown_.push_back(*open);
        insert(at, std::move(step));
        break;
      }
    }
  }

  // From lug 1 to lug 3 is where anyone begins with a loose pot, whatever else would do.
  void read_track(PartId knob, const Access& access) {
    const Pot& pot = *harness_[knob].pot;
    for (const Step& step : plan_.steps) {
      const bool outer = std::minmax(step.a, step.b) == std::minmax(pot.lug1, pot.lug3);
      if (step.kind == StepKind::Read && outer) return;
    }
    Step step;
    step.access = access;
    step.setting = plan_.steps.empty() ? Setting(harness_) : left_at(plan_.steps.back());
    step.a = pot.lug1;
    step.b = pot.lug3;
    expect_reading(harness_, options_.meter, circuit_at(harness_, options_, step), step);
    if (!margins(options_.meter, step.range, step.expected.ohms).open) return;
    if (const auto open = fault_of(pot.track_element, Mode::Open)) step.proves.push_back(*open);
    insert(end_of(access), std::move(step));
  }

  // And both halves are swept, though one shows the wiper moving.
  void sweep_other_half(PartId knob) {
    const Pot& pot = *harness_[knob].pot;
    for (std::size_t i = 0; i < plan_.steps.size(); ++i) {
      const Step& one = plan_.steps[i];
      if (one.kind != StepKind::Sweep || one.swept != knob) continue;
      const bool lower = one.a == pot.lug1 || one.b == pot.lug1;
      std::optional<Step> step = sweep_step(harness_, options_, plan_.faults, one.access, left_at(one), knob,
                                            lower ? pot.lug3 : pot.lug1, pot.lug2, one.proves);
      if (!step) return;
      step->fresh.clear();
      insert(i + 1, std::move(*step));
      return;
    }
  }

  // What a reading's way runs through that can be pressed and moved while it is watched.
  struct Watched {
    Step step;
    std::vector<std::pair<ElementId, PointId>> loose;  // and where to press it
  };

  void wiggle() {
    if (plan_.steps.empty()) return;
    const Access deepest = plan_.steps.back().access;
    std::vector<char> within(harness_.points().size(), 0);
    for (PointId point : reachable(harness_, options_.stage, deepest.depth)) within[point.index] = 1;
    std::vector<Watched> readings;
    for (const Step& step : plan_.steps) {
      if (step.kind == StepKind::Read) watch(step, deepest, within, readings);
    }
    std::vector<char> moved(harness_.elements().size(), 0);
    for (;;) {
      const Watched* best = nullptr;
      std::size_t most = 0;
      double least = 0;
      for (const Watched& one : readings) {
        const auto fresh = static_cast<std::size_t>(std::count_if(
            one.loose.begin(), one.loose.end(), [&](const auto& each) { return !moved[each.first.index]; }));
        if (fresh == 0 || fresh < most) continue;
        const double handling = seconds(&plan_.steps.back(), one.step);
        if (fresh == most && handling >= least) continue;
        best = &one;
        most = fresh;
        least = handling;
      }
      if (!best) return;
      Step step = best->step;
      for (const auto& [element, point] : best->loose) {
        if (moved[element.index]) continue;
        moved[element.index] = 1;
        if (std::find(step.wiggled.begin(), step.wiggled.end(), point) == step.wiggled.end())
          step.wiggled.push_back(point);
      }
      if (plan_.steps.back().kind != StepKind::Wiggle)
        step.notes.push_back("For what comes and goes: none of the counted faults is proved by it.");
      insert(plan_.steps.size(), std::move(step));
    }
  }

  void watch(const Step& read, const Access& deepest, const std::vector<char>& within,
             std::vector<Watched>& readings) const {
    Watched watched;
    Step& step = watched.step;
    step.kind = StepKind::Wiggle;
    step.access = deepest;
    step.setting = read.setting;
    step.a = read.a;
    step.b = read.b;
    const Circuit circuit = circuit_at(harness_, options_, step);
    expect_reading(harness_, options_.meter, circuit, step);
    if (step.expected.open || !step.expected.known) return;
    const int plugs = plugs_among(harness_, step.a, step.b);
    if (!margins(options_.meter, step.range, step.expected.ohms, plugs).open)
      return;  // OL may be all there is
    const double seen = kSeenWiggling * options_.meter.step(step.range);
    const Network network = network_at(circuit, resistors_at(circuit, Corner::Nominal));
    const auto flow = network.flow(step.a.index, step.b.index);
    if (!flow) return;
    for (const Current& current : flow->currents) {
      const ElementId element = circuit.branches[current.resistor].element;
      const std::optional<PointId> point = where_to_press(harness_[element], within);
      if (!point) continue;
      const double power = current.amperes * current.amperes;
      if (!network.cut(current.resistor)) {
        const double loop = network.resistors()[current.resistor].ohms + *network.detour(current.resistor);
        if (power * loop < seen) continue;
      }
      watched.loose.emplace_back(element, *point);
    }
    if (!watched.loose.empty()) readings.push_back(std::move(watched));
  }

  // The lug or metal under a joint; what is pressed against the other; the plug. Nothing for what no stick reaches.
  std::optional<PointId> where_to_press(const Element& element, const std::vector<char>& within) const {
    const bool plug = element.when == Conducts::PlugIn;
    if (options_.depth == Depth::Outside && !plug) return std::nullopt;
    const bool solder = element.kind == ElementKind::Joint || element.kind == ElementKind::Blob;
    if (!plug && !solder && !(element.kind == ElementKind::Contact && element.pressed)) return std::nullopt;
    std::vector<PointId> points = element.points;
    if (!solder) std::reverse(points.begin(), points.end());
    for (PointId point : points) {
      if (within[point.index]) return point;
    }
    return std::nullopt;
  }

  const Harness& harness_;
  Plan& plan_;
  const PlanOptions& options_;
  std::vector<std::size_t> shown_;  // open capacitors that a step shows
};

}  // namespace

std::vector<std::size_t> add_motion(const Harness& harness, Plan& plan, Wiggles wiggles) {
  return Mover(harness, plan).move(wiggles);
}

}  // namespace lugwise::plan::inside
