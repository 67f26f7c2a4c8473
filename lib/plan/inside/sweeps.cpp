#include "plan/inside/sweeps.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "expectation/corner.h"
#include "handling/watched.h"
#include "plan/inside/gap.h"

namespace lugwise::plan::inside {
namespace {

// A display that rises above both ends by no more than this share is not worth a word.
constexpr double kWorthSaying = 0.1;

// Where a knob is looked at to learn whether its wiper is seen moving; the first and the last are the stops.
constexpr std::array kPlaces{0.0, 2.5, 5.0, 7.5, 10.0};

// And where a track may be broken: as the wiper goes over the break it leaves the one piece for the other.
constexpr double kFarAbove = 1.6;  // more than any tolerance makes of it
constexpr std::array kBreaks{0.5, 2.5, 5.0, 7.5, 9.5};

// Where whether a pair has limits has to be asked, so many pairs of a knob and setting are asked, and so many kept.
constexpr std::size_t kMostAsked = 24;
constexpr std::size_t kMostCertain = 6;

const Pot& pot_of(const Harness& harness, const Fault& fault) {
  return *harness[*harness[*fault.element].part].pot;
}

bool is_broken_track(const Fault& fault) { return fault.mode == Mode::Open && fault.site == Site::Track; }

PartId knob_of(const Harness& harness, const Fault& fault) {
  const PartId pot = *harness[*fault.element].part;
  return harness[pot].pot->gang.value_or(pot);
}

class Sweeper {
 public:
  Sweeper(const Harness& harness, const std::vector<Fault>& faults, const PlanOptions& options,
          Survey& survey)
      : harness_(harness), faults_(faults), options_(options), survey_(survey) {
    probes_ = reachable(harness, options.stage, survey.access.depth);
  }

  void add() {
    for (PartId knob : harness_.controls()) {
      if (harness_[knob].kind != PartKind::Pot) continue;
      tracks_.clear();
      broken_.clear();
      for (std::size_t f = 0; f < faults_.size(); ++f) {
        if (is_worn_track(faults_[f]) && knob_of(harness_, faults_[f]) == knob) tracks_.push_back(f);
        if (is_broken_track(faults_[f]) && knob_of(harness_, faults_[f]) == knob) broken_.push_back(f);
      }
      // With two tracks on a shaft the one may hide where the other is broken.
      if (tracks_.size() > 1 || broken_.size() > 1) broken_.clear();
      if (tracks_.empty() && broken_.empty()) continue;
      for (std::uint32_t from = 0; from < survey_.settings.size(); ++from) {
        if (survey_.settings[from].knob(knob) != 0) continue;
        Setting end = survey_.settings[from];
        end.turn(knob, 10);
        const auto to = std::find(survey_.settings.begin(), survey_.settings.end(), end);
        if (to == survey_.settings.end()) continue;
        add(knob, from, static_cast<std::uint32_t>(to - survey_.settings.begin()));
      }
    }
  }

 private:
  // What pairs of probes read as a knob is turned.
  using Pieces = std::vector<std::pair<std::vector<double>, std::vector<double>>>;
  struct Readings {
    std::vector<PointId> probes;
    std::vector<std::vector<double>> sound;              // by place of the knob, by pair
    std::vector<std::vector<std::vector<double>>> lost;  // by track, by place: with its wiper lifted off
    std::vector<Pieces> pieces;  // by broken track, by place of the break: just before and just after it
    bool doubtful = false;       // whether there are limits has to be asked pair by pair
  };

  // Both ways of turning a knob between two settings, for all pairs that see a wiper of its shaft moving.
  void add(PartId knob, std::uint32_t at_0, std::uint32_t at_10) {
    Readings readings = read(knob, at_0);
    const bool no_load = std::any_of(tracks_.begin(), tracks_.end(), [&](std::size_t track) {
      return pot_of(harness_, faults_[track]).no_load;
    });
    for (std::size_t i = 0; i < readings.probes.size(); ++i) {
      for (std::size_t j = i + 1; j < readings.probes.size(); ++j)
        look(knob, at_0, at_10, readings, i, j, no_load ? kPlaces.size() - 1 : kPlaces.size());
    }
    if (readings.doubtful) leave_certain();
    for (const auto& [sweep, seen] : seen_) {
      survey_.add(sweep, seen);
      if (no_load) continue;
      Candidate back = sweep;
      std::swap(back.setting, back.left);
      survey_.add(back, seen);
    }
    seen_.clear();
  }

  Circuit circuit_with(PartId knob, double place, std::uint32_t setting) const {
    State here{survey_.settings[setting], options_.stage, survey_.access.depth > 0, survey_.lifted,
               options_.temperature};
    here.setting.turn(knob, place);
    return circuit_of(harness_, here);
  }

  // Ohms of all pairs. Between its stops a knob moves ohms, and joins or parts nothing: `like` is the network at the place
  // before.
  static std::vector<double> table(const Circuit& one, const std::vector<std::uint32_t>& asked,
                                   std::optional<Network>& like) {
    std::vector<Resistor> resistors = resistors_at(one, Corner::Nominal);
    like = like ? network_like(*like, std::move(resistors)) : network_at(one, std::move(resistors));
    return all_pairs(*like, asked);
  }

  Readings read(PartId knob, std::uint32_t setting) const {
    Readings readings;
    readings.lost.resize(tracks_.size());
    std::vector<std::uint32_t> asked;
    std::optional<Network> sound;
    std::vector<std::optional<Network>> off_track(tracks_.size());
    for (const double place : kPlaces) {
      const Circuit circuit = circuit_with(knob, place, setting);
      readings.doubtful =
          readings.doubtful || !circuit.modules.empty() ||
          std::any_of(circuit.travels.begin(), circuit.travels.end(),
                      [&](const Travel& travel) { return travel.control != knob && !travel.taper_known; });
      if (asked.empty()) {
        for (PointId point : probes_) {
          if (circuit.has(point)) readings.probes.push_back(point);
        }
        for (PointId point : readings.probes) asked.push_back(point.index);
      }
      readings.sound.push_back(table(circuit, asked, sound));
      if (place == kPlaces.front() || place == kPlaces.back()) continue;
      for (std::size_t t = 0; t < tracks_.size(); ++t) {
        Circuit off = circuit;
        std::erase_if(off.branches, [&](const Branch& branch) {
          return branch.element == pot_of(harness_, faults_[tracks_[t]]).wiper_element;
        });
        readings.lost[t].push_back(table(off, asked, off_track[t]));
      }
    }
    for (std::size_t track : broken_) readings.pieces.push_back(read_broken(knob, setting, track, asked));
    return readings;
  }

  Pieces read_broken(PartId knob, std::uint32_t setting, std::size_t track,
                     const std::vector<std::uint32_t>& asked) const {
    Pieces pieces;
    std::optional<Network> before_it, after_it;
    for (const double place : kBreaks) {
      const Circuit circuit = circuit_with(knob, place, setting);
      const auto without = [&](PointId lug, std::optional<Network>& like) {
        Circuit one = circuit;
        std::erase_if(one.branches, [&](const Branch& branch) {
          return branch.element == faults_[track].element && (branch.a == lug || branch.b == lug);
        });
        return table(one, asked, like);
      };
      const Pot& pot = pot_of(harness_, faults_[track]);
      pieces.emplace_back(without(pot.lug3, before_it), without(pot.lug1, after_it));
    }
    return pieces;
  }

  // Whether one pair sees a wiper move, over the first so many places of the knob.
  void look(PartId knob, std::uint32_t at_0, std::uint32_t at_10, Readings& readings, std::size_t i,
            std::size_t j, std::size_t places) {
    const std::size_t pair = i * readings.probes.size() + j;
    const PointId a = readings.probes[i];
    const PointId b = readings.probes[j];
    double least = kOpen;
    double most = 0;
    for (std::size_t p = 0; p < places; ++p) {
      least = std::min(least, readings.sound[p][pair]);
      most = std::max(most, readings.sound[p][pair]);
    }
    if (std::isinf(most)) return;
    const Range& range = range_for(options_.meter, most, plugs_among(harness_, a, b));
    const double enough = kSeenSweeping * options_.meter.step(range);
    if (most - least < enough) return;
    if (&range == &options_.meter.ranges.back()) {
      if (over_range(options_.meter, range, most)) {
        for (std::size_t track : tracks_) survey_.beyond[track] = std::min(survey_.beyond[track], most);
        return;
      }
      readings.doubtful = true;  // at its highest it may be above
    }
    // On the range that holds the highest of it too, which may be the next.
    const Range& wide = range_for(options_.meter, most * kFarAbove, plugs_among(harness_, a, b));
    const double sure = kSeenSweeping * options_.meter.step(wide);
    FaultSet seen(faults_.size());
    for (std::size_t t = 0; t < tracks_.size(); ++t) {
      bool jumps = false;
      for (std::size_t p = 0; p < readings.lost[t].size(); ++p)
        jumps = jumps || readings.lost[t][p][pair] - readings.sound[p + 1][pair] >= enough;
      if (jumps) seen.add(tracks_[t]);
    }
    for (std::size_t t = 0; t < broken_.size(); ++t) {
      if (breaks_show(readings.pieces[t], pair, most, sure)) seen.add(broken_[t]);
    }
    if (seen.empty()) return;
    const auto top = static_cast<std::uint32_t>(&range - options_.meter.ranges.data());
    seen_.push_back({{at_0, at_10, top, a, b, knob}, std::move(seen)});
  }

  // Whether the display jumps, or stands above all that a sound track lets it rise to, wherever the track is broken: where
  // the jump turns round between two places, it has to be the latter at both.
  static bool breaks_show(const Pieces& pieces, std::size_t pair, double most, double enough) {
    double jump_before = 0;
    bool above_before = false;
    for (std::size_t p = 0; p < pieces.size(); ++p) {
      const double before = pieces[p].first[pair];
      const double after = pieces[p].second[pair];
      const bool above = std::max(before, after) > kFarAbove * most;
      const double jump = std::isinf(before) || std::isinf(after) ? 0 : after - before;
      if (!above && std::abs(jump) < enough) return false;
      if (p > 0 && jump * jump_before < 0 && !(above && above_before)) return false;
      jump_before = jump;
      above_before = above;
    }
    return true;
  }

  // Beside a module, or a wiper of unknown taper, not every pair has limits. To ask takes long: the likeliest few do.
  void leave_certain() {
    std::vector<std::pair<Candidate, FaultSet>> certain;
    std::stable_sort(seen_.begin(), seen_.end(), [&](const auto& x, const auto& y) {
      return liking_of_sweep(harness_, x.first) > liking_of_sweep(harness_, y.first);
    });
    if (seen_.size() > kMostAsked) seen_.resize(kMostAsked);
    for (auto& [sweep, seen] : seen_) {
      const Setting& from = survey_.settings[sweep.setting];
      if (certain.size() < kMostCertain &&
          sweep_step(harness_, options_, faults_, survey_.access, from, *sweep.swept, sweep.a, sweep.b,
                     seen.list(), survey_.lifted))
        certain.emplace_back(sweep, std::move(seen));
    }
    seen_ = std::move(certain);
  }

  const Harness& harness_;
  const std::vector<Fault>& faults_;
  const PlanOptions& options_;
  Survey& survey_;
  std::vector<PointId> probes_;
  std::vector<std::pair<Candidate, FaultSet>> seen_;
  std::vector<std::size_t> tracks_;  // the worn tracks of the knob at hand
  std::vector<std::size_t> broken_;  // and the broken ones
};

// The most that a sound sweep may read between its stops. Every half of a mark is looked at, with the taper's slack; with
// one way of dividing the tracks on the shaft, the wiper may also stand anywhere.
Ohms most_between(const Harness& harness, const PlanOptions& options, const Step& step) {
  Ohms most = 0;
  for (int half = 1; half < 20; ++half) {
    State here{step.setting, options.stage, step.access.depth > 0, step.lifted, options.temperature};
    here.setting.turn(*step.swept, half / 2.0);
    Circuit circuit = circuit_of(harness, here);
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

}  // namespace

int liking_of_sweep(const Harness& harness, const Candidate& sweep) {
  int sum = 0;
  for (PointId point : {sweep.a, sweep.b}) {
    sum += harness[point].role == PointRole::Plug ? 2 : 0;
    sum += harness[point].part == sweep.swept ? 1 : 0;
  }
  return sum;
}

void add_sweeps(const Harness& harness, const std::vector<Fault>& faults, const PlanOptions& options,
                Survey& survey) {
  Sweeper(harness, faults, options, survey).add();
}

std::optional<Step> sweep_step(const Harness& harness, const PlanOptions& options,
                               const std::vector<Fault>& faults, const Access& access, const Setting& from,
                               PartId knob, PointId a, PointId b, const std::vector<std::size_t>& shown,
                               const std::vector<PointId>& lifted) {
  Step step;
  step.kind = StepKind::Sweep;
  step.access = access;
  step.setting = from;
  step.a = a;
  step.b = b;
  step.swept = knob;
  step.lifted = lifted;
  if (harness[b].role == PointRole::Plug && harness[b].name.ends_with("sleeve")) std::swap(step.a, step.b);
  const auto at = [&](const Setting& setting) {
    const State state{setting, options.stage, access.depth > 0, lifted, options.temperature};
    return expect(circuit_of(harness, state), step.a, step.b);
  };
  step.expected = at(step.setting);
  step.end = at(left_at(step));
  if (!step.expected.known || step.expected.open || !step.end.known) return std::nullopt;
  const Ohms most = most_between(harness, options, step);
  if (std::isinf(most)) return std::nullopt;
  const Ohms at_ends = std::max(step.expected.ohms.high, step.end.open ? 0 : step.end.ohms.high);
  const Meter& meter = options.meter;
  const int cables = plugs_among(harness, step.a, step.b);
  const Ohms highest = std::max(at_ends, most);
  step.range = range_for(meter, highest, cables);
  // A display that may be OL on the way shows no jump to OL.
  if (!margins(meter, step.range, {highest, highest, highest}, cables).open) return std::nullopt;
  step.shows = window(meter, step.range, step.expected.ohms, cables);
  step.end_shows = window(meter, step.range, step.end.ohms, cables);
  if (most > at_ends * (1 + kWorthSaying))
    step.most = window(meter, step.range, {most, most, most}, cables).high;
  for (std::size_t fault : shown) {
    step.proves.push_back(fault);
    if (pot_of(harness, faults[fault]).no_load)
      step.notes.push_back("It may jump once at 10, where the wiper leaves the track.");
  }
  step.fresh = step.proves;
  return step;
}

}  // namespace lugwise::plan::inside
