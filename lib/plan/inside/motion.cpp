#include "plan/inside/motion.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <limits>
#include <map>
#include <tuple>

#include "circuit/capacitance.h"
#include "expectation/corner.h"
#include "plan/inside/pace.h"

namespace lugwise {
namespace {

constexpr double kOpen = std::numeric_limits<double>::infinity();

// What moves the display by fewer of its last digits than this is not sure to be seen while a knob turns; a judgement.
constexpr double kSeenSweeping = 20;
// And while a joint is pressed, which stands still otherwise.
constexpr double kSeenWiggling = 3;

// A display that rises above both ends by no more than this share is not worth a word.
constexpr double kWorthSaying = 0.1;

// Settings tried for one knob, those with the fewest turns first.
constexpr std::size_t kMostSettings = 200;

// Where a knob is looked at to learn whether its wiper is seen moving; the first and the last are the stops.
constexpr std::array kPlaces{0.0, 2.5, 5.0, 7.5, 10.0};

// A pair of probes that sees wipers of one shaft moving.
struct View {
  PointId a, b;
  Range range;
  std::vector<std::size_t> tracks;  // their faults
  int liking = 0;                   // between equals: plug points and the pot's own lugs
};

// A sweep that could be made, before its limits are computed.
struct Candidate {
  Setting setting;  // the knob at the stop it starts from
  PointId a, b;
  std::vector<std::size_t> shown;  // worn tracks not shown before
  double seconds = 0;              // that it adds to the plan
  int liking = 0;
};

class Mover {
 public:
  Mover(const Harness& harness, Plan& plan) : harness_(harness), plan_(plan), options_(plan.options) {}

  std::vector<std::size_t> move() {
    for (std::size_t f = 0; f < plan_.faults.size(); ++f) {
      if (is_worn_track(plan_.faults[f])) worn_.push_back(f);
    }
    for (const Access& access : accesses(harness_, options_.stage)) {
      if (options_.depth == Depth::Outside && access.depth > 0) break;
      for (PartId knob : harness_.controls()) {
        if (is_loose_pot(knob)) read_track(knob, access);
      }
      sweep(access);
      if (!options_.meter.capacitance.empty()) measure_capacitors(access);
    }
    for (PartId knob : harness_.controls()) {
      if (is_loose_pot(knob)) sweep_other_half(knob);
    }
    wiggle();
    for (std::size_t i = 0; i < plan_.steps.size(); ++i) plan_.steps[i].number = static_cast<int>(i) + 1;
    return std::move(shown_);
  }

 private:
  State state(const Setting& setting, const Access& access) const {
    return {setting, options_.stage, access.depth > 0, {}, options_.temperature};
  }

  int plugs(PointId a, PointId b) const {
    return (harness_[a].role == PointRole::Plug) + (harness_[b].role == PointRole::Plug);
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

  // Again and again the sweep with the least handling for each track it shows.
  void sweep(const Access& access) {
    for (;;) {
      std::vector<Candidate> candidates;
      for (PartId knob : harness_.controls()) {
        if (harness_[knob].kind == PartKind::Pot) find_sweeps(knob, access, candidates);
      }
      std::stable_sort(candidates.begin(), candidates.end(), [](const Candidate& x, const Candidate& y) {
        const double by_x = x.seconds / static_cast<double>(x.shown.size());
        const double by_y = y.seconds / static_cast<double>(y.shown.size());
        return by_x != by_y ? by_x < by_y : x.liking > y.liking;
      });
      const bool found = std::any_of(candidates.begin(), candidates.end(), [&](const Candidate& one) {
        std::optional<Step> step = sweep_of(one, access);
        if (!step) return false;
        insert(end_of(access), std::move(*step));
        shown_.insert(shown_.end(), one.shown.begin(), one.shown.end());
        return true;
      });
      if (!found) return;
    }
  }

  PartId knob_of(std::size_t fault) const {
    const PartId pot = *harness_[*plan_.faults[fault].element].part;
    return harness_[pot].pot->gang.value_or(pot);
  }

  const Pot& pot_of(std::size_t fault) const {
    return *harness_[*harness_[*plan_.faults[fault].element].part].pot;
  }

  // The worn tracks on a shaft that no sweep shows yet.
  std::vector<std::size_t> wanted(PartId knob) const {
    std::vector<std::size_t> faults;
    for (std::size_t f : worn_) {
      if (knob_of(f) == knob && std::find(shown_.begin(), shown_.end(), f) == shown_.end())
        faults.push_back(f);
    }
    return faults;
  }

  void find_sweeps(PartId knob, const Access& access, std::vector<Candidate>& candidates) {
    const std::vector<std::size_t> tracks = wanted(knob);
    if (tracks.empty()) return;
    const std::size_t at = end_of(access);
    const Step* before = at > 0 ? &plan_.steps[at - 1] : nullptr;
    const Setting now = before ? left_at(*before) : Setting(harness_);

    // Everything but the knob itself as a plan may set it, the fewest turns first.
    std::vector<Setting> settings;
    const auto add = [&](Setting setting) {
      setting.turn(knob, 10);
      if (std::find(settings.begin(), settings.end(), setting) == settings.end()) settings.push_back(setting);
    };
    add(now);
    for (const Setting& setting : settings_to_try(harness_, options_.stage)) add(setting);
    const auto turns = [&](Setting setting) {
      setting.turn(knob, now.knob(knob));
      return turns_between(harness_, now, setting);
    };
    std::stable_sort(settings.begin(), settings.end(),
                     [&](const Setting& x, const Setting& y) { return turns(x) < turns(y); });
    if (settings.size() > kMostSettings) settings.resize(kMostSettings);

    double best = kOpen;
    for (const Setting& setting : settings) {
      // Another setting has to be worth its turns.
      if (options_.costs.turn_control * turns(setting) + options_.costs.sweep > best) return;
      const auto [known, fresh] = views_.try_emplace({access.depth, knob, setting});
      if (fresh) known->second = views(knob, setting, access);
      for (const View& view : known->second) {
        Candidate candidate{setting, view.a, view.b, {}, 0, view.liking};
        std::copy_if(view.tracks.begin(), view.tracks.end(), std::back_inserter(candidate.shown),
                     [&](std::size_t track) {
                       return std::find(tracks.begin(), tracks.end(), track) != tracks.end();
                     });
        if (candidate.shown.empty()) continue;
        for (const double start : {10.0, 0.0}) {
          if (start == 10 && no_load(candidate.shown)) continue;
          candidate.setting.turn(knob, start);
          candidate.seconds = added_by(bare_sweep(candidate, access, view.range), at);
          best = std::min(best, candidate.seconds);
          candidates.push_back(candidate);
        }
      }
    }
  }

  bool no_load(const std::vector<std::size_t>& tracks) const {
    return std::any_of(tracks.begin(), tracks.end(),
                       [&](std::size_t track) { return pot_of(track).no_load; });
  }

  // All pairs within reach that see a wiper of the shaft moving in this setting.
  std::vector<View> views(PartId knob, const Setting& setting, const Access& access) const {
    std::vector<std::size_t> tracks;
    for (std::size_t f : worn_) {
      if (knob_of(f) == knob) tracks.push_back(f);
    }
    std::vector<PointId> probes;
    std::vector<std::uint32_t> asked;
    // By place of the knob: what each pair reads, and what it reads with the wiper of each track lifted off.
    std::vector<std::vector<double>> reads;
    std::vector<std::vector<std::vector<double>>> lost(tracks.size());
    for (const double place : kPlaces) {
      State here = state(setting, access);
      here.setting.turn(knob, place);
      const Circuit circuit = circuit_of(harness_, here);
      if (asked.empty()) {
        for (PointId point : reachable(harness_, options_.stage, access.depth)) {
          if (circuit.has(point)) probes.push_back(point);
        }
        for (PointId point : probes) asked.push_back(point.index);
      }
      const auto table = [&](const Circuit& one) {
        std::vector<double> ohms;
        for (const std::optional<double>& each :
             network_at(one, resistors_at(one, Corner::Nominal)).all_pairs(asked))
          ohms.push_back(each.value_or(kOpen));
        return ohms;
      };
      reads.push_back(table(circuit));
      if (place == kPlaces.front() || place == kPlaces.back()) continue;
      for (std::size_t t = 0; t < tracks.size(); ++t) {
        Circuit off = circuit;
        std::erase_if(off.branches, [&](const Branch& branch) {
          return branch.element == pot_of(tracks[t]).wiper_element;
        });
        lost[t].push_back(table(off));
      }
    }

    std::vector<View> seen;
    const bool ends_open = no_load(tracks);
    for (std::size_t i = 0; i < probes.size(); ++i) {
      for (std::size_t j = i + 1; j < probes.size(); ++j) {
        const std::size_t pair = i * probes.size() + j;
        double least = kOpen;
        double most = 0;
        for (std::size_t p = 0; p < kPlaces.size(); ++p) {
          if (ends_open && p + 1 == kPlaces.size()) continue;
          least = std::min(least, reads[p][pair]);
          most = std::max(most, reads[p][pair]);
        }
        if (std::isinf(most)) continue;
        const Range& range = range_for(options_.meter, most, plugs(probes[i], probes[j]));
        const double enough = kSeenSweeping * options_.meter.step(range);
        if (most - least < enough) continue;
        View view{probes[i], probes[j], range, {}, plugs(probes[i], probes[j])};
        for (std::size_t t = 0; t < tracks.size(); ++t) {
          bool jumps = false;
          for (std::size_t p = 0; p < lost[t].size(); ++p)
            jumps = jumps || lost[t][p][pair] - reads[p + 1][pair] >= enough;
          if (jumps) view.tracks.push_back(tracks[t]);
        }
        if (view.tracks.empty()) continue;
        for (PointId point : {view.a, view.b}) view.liking += harness_[point].part == knob ? 1 : 0;
        seen.push_back(std::move(view));
      }
    }
    return seen;
  }

  Step bare_sweep(const Candidate& candidate, const Access& access, const Range& range) const {
    Step step;
    step.kind = StepKind::Sweep;
    step.access = access;
    step.setting = candidate.setting;
    step.a = candidate.a;
    step.b = candidate.b;
    step.range = range;
    step.swept = knob_of(candidate.shown.front());
    return step;
  }

  double added_by(const Step& step, std::size_t at) const {
    const Step* before = at > 0 ? &plan_.steps[at - 1] : nullptr;
    const Step* after = at < plan_.steps.size() ? &plan_.steps[at] : nullptr;
    return seconds(before, step) + (after ? seconds(&step, *after) - seconds(before, *after) : 0);
  }

  // With its limits; none where a module leaves the ends unknown.
  std::optional<Step> sweep_of(const Candidate& candidate, const Access& access) const {
    Step step = bare_sweep(candidate, access, options_.meter.ranges.back());
    const auto prefers_b =
        harness_[step.b].role == PointRole::Plug && harness_[step.b].name.ends_with("sleeve");
    if (prefers_b) std::swap(step.a, step.b);
    step.expected = expect(circuit_of(harness_, state(step.setting, access)), step.a, step.b);
    step.end = expect(circuit_of(harness_, state(left_at(step), access)), step.a, step.b);
    if (!step.expected.known || step.expected.open || !step.end.known) return std::nullopt;
    const Ohms most = most_between(step);
    if (std::isinf(most)) return std::nullopt;
    const Ohms at_ends = std::max(step.expected.ohms.high, step.end.open ? 0 : step.end.ohms.high);
    const Meter& meter = options_.meter;
    const int cables = plugs(step.a, step.b);
    step.range = range_for(meter, std::max(at_ends, most), cables);
    step.shows = window(meter, step.range, step.expected.ohms, cables);
    step.end_shows = window(meter, step.range, step.end.ohms, cables);
    if (most > at_ends * (1 + kWorthSaying))
      step.most = window(meter, step.range, {most, most, most}, cables).high;
    for (std::size_t fault : candidate.shown) {
      step.proves.push_back(fault);
      if (pot_of(fault).no_load)
        step.notes.push_back("It may jump once at 10, where the wiper leaves the track.");
    }
    step.fresh = step.proves;
    return step;
  }

  // The most that a sound sweep may read between its stops. Every half of a mark is looked at, with the taper's slack; with
  // one way of dividing the tracks on the shaft, the wiper may also stand anywhere.
  Ohms most_between(const Step& step) const {
    Ohms most = 0;
    for (int half = 1; half < 20; ++half) {
      State here = state(step.setting, step.access);
      here.setting.turn(*step.swept, half / 2.0);
      Circuit circuit = circuit_of(harness_, here);
      const auto on_shaft = [&](const Travel& travel) { return travel.control == *step.swept; };
      if (half == 10 && std::count_if(circuit.travels.begin(), circuit.travels.end(), on_shaft) == 1) {
        for (Branch& branch : circuit.branches) {
          if (!branch.travel || !on_shaft(circuit.travels[*branch.travel])) continue;
          branch.at_low = branch.at_low < branch.at_high ? 0 : 1;
          branch.at_high = 1 - branch.at_low;
        }
      }
      const Expected expected = expect(circuit, step.a, step.b);
      most = std::max(most, expected.open || expected.unlimited ? kOpen : expected.ohms.high);
    }
    return most;
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
    step.expected = expect(circuit_of(harness_, state(step.setting, access)), step.a, step.b);
    step.range = range_for(options_.meter, step.expected.ohms.high);
    step.shows = window(options_.meter, step.range, step.expected.ohms);
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
      const Candidate other{left_at(one), lower ? pot.lug3 : pot.lug1, pot.lug2, one.proves, 0, 0};
      std::optional<Step> step = sweep_of(other, one.access);
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
    const Circuit circuit = circuit_of(harness_, state(step.setting, deepest));
    step.expected = expect(circuit, step.a, step.b);
    if (step.expected.open || !step.expected.known) return;
    const int cables = plugs(step.a, step.b);
    step.range = range_for(options_.meter, step.expected.ohms.high, cables);
    step.shows = window(options_.meter, step.range, step.expected.ohms, cables);
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
  std::vector<std::size_t> worn_;   // all worn tracks among the plan's faults
  std::vector<std::size_t> shown_;  // those that a sweep shows
  std::map<std::tuple<int, PartId, Setting>, std::vector<View>> views_;  // by depth, knob and setting
};

}  // namespace

Setting left_at(const Step& step) {
  Setting setting = step.setting;
  if (step.swept) setting.turn(*step.swept, 10 - step.setting.knob(*step.swept));
  return setting;
}

std::vector<std::size_t> add_motion(const Harness& harness, Plan& plan) {
  return Mover(harness, plan).move();
}

}  // namespace lugwise
