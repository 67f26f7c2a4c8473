#include "plan/inside/survey.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>

#include "circuit/clusters.h"
#include "dictionary/dictionary.h"
#include "expectation/corner.h"

namespace lugwise::plan::inside {
namespace {

constexpr double kOpen = std::numeric_limits<double>::infinity();

// A hair more than what is just told apart.
constexpr double kAbove = 1 + 1e-9;

// What reads that many times as much would be told on any meter that has a range for it; a judgement, for advice only.
constexpr double kClearly = 1.1;

std::vector<double> all_pairs(const Network& network, const std::vector<std::uint32_t>& points) {
  std::vector<double> ohms;
  ohms.reserve(points.size() * points.size());
  for (const std::optional<double>& each : network.all_pairs(points)) ohms.push_back(each.value_or(kOpen));
  return ohms;
}

// One setting at one depth of opening.
class View {
 public:
  View(const Harness& harness, const std::vector<Fault>& faults, const std::vector<Ohms>& sizes,
       const PlanOptions& options, const Setting& setting, const Access& access,
       const std::vector<PointId>& lifted)
      : harness_(harness), faults_(faults), sizes_(sizes), meter_(options.meter) {
    State state;
    state.setting = setting;
    state.stage = options.stage;
    state.cavity_open = access.depth > 0;
    state.temperature = options.temperature;
    state.lifted = lifted;
    circuit_ = circuit_of(harness, state);
    // Pairs that a lesser opening reaches in the same circuit were surveyed there: only those with a new point follow.
    const std::vector<PointId> before =
        access.depth > 1 ? reachable(harness, options.stage, access.depth - 1) : std::vector<PointId>{};
    for (PointId point : reachable(harness, options.stage, access.depth)) {
      if (!circuit_.has(point)) continue;
      probes_.push_back(point.index);
      fresh_.push_back(!std::binary_search(before.begin(), before.end(), point));
    }
  }

  void add_to(Survey& survey, std::uint32_t setting) {
    measure_all();
    FaultSet seen(faults_.size());
    for (std::size_t i = 0; i < probes_.size(); ++i) {
      for (std::size_t j = i + 1; j < probes_.size(); ++j) {
        if (!fresh_[i] && !fresh_[j]) continue;
        const PairLimits pair = limits(i, j);
        look(i, j, pair, seen, survey.beyond);
        if (seen.empty()) continue;
        survey.add({setting, setting, pair.range, PointId{probes_[i]}, PointId{probes_[j]}, std::nullopt},
                   seen);
      }
    }
  }

  void find_least(std::vector<Ohms>& least) {
    measure_sound();
    for (std::size_t f = 0; f < faults_.size(); ++f) {
      if (faults_[f].mode == Mode::High && !is_worn_track(faults_[f])) add_rise(f);
    }
    for (std::size_t i = 0; i < probes_.size(); ++i) {
      for (std::size_t j = i + 1; j < probes_.size(); ++j) {
        const PairLimits pair = limits(i, j);
        if (pair.unusable || pair.open || !pair.told.open) continue;
        for (const Rise& rise : rises_) {
          least[rise.fault] = std::min(least[rise.fault], least_rise(rise, i, j, pair));
        }
      }
    }
  }

 private:
  // An element with a way round it, taken out: the least each pair can read, by the places that the circuit then has at its
  // lowest.
  struct Gap {
    std::vector<std::uint32_t> place;  // of each probe
    std::size_t places = 0;
    std::vector<double> least;  // place by place
    Ohms round = 0;             // from end to end
  };
  // An open with a way round.
  struct LoopOpen {
    std::size_t fault;
    std::size_t gap;
  };
  // An element of more ohms than it should have: a High, or a value that is twice or half what it should be.
  struct Rise {
    std::size_t fault;
    Ohms own;                         // what it has at its lowest
    Ohms more;                        // what it has to have on top for the fault to count
    std::optional<std::size_t> gap;   // none: a cut
    std::vector<char> side;           // of a cut, by probe
    std::optional<std::size_t> drop;  // of a value: the touch that stands for half of it
  };
  // A misplaced lead makes another circuit.
  struct Other {
    std::size_t fault;
    Page page;
  };
  // A short between x and y, as far as connections go.
  struct Touch {
    std::size_t fault;
    bool counts;       // by itself: half a value does not
    Ohms own;          // the most it has
    std::size_t x, y;  // its seats
  };
  // What a sound pair shows, and what the meter would tell from it.
  struct PairLimits {
    bool open = false;      // there is no way between them
    bool unusable = false;  // a module makes it anything
    Margins told;           // a circuit whose least is above these, or whose most is below, is told apart
    std::uint32_t range = 0;
  };

  void measure_all() {
    measure_sound();
    differences_.assign(probes_.size(), {});
    for (std::size_t f = 0; f < faults_.size(); ++f) {
      if (faults_[f].mode == Mode::Open) add_open(f);
      if (faults_[f].mode == Mode::Short) add_short(f);
      if (faults_[f].mode == Mode::High && !is_worn_track(faults_[f])) add_rise(f);
      if (faults_[f].mode == Mode::Value) add_rise(f);
      if (faults_[f].mode == Mode::Misplaced) add_other(f);
    }
  }

  void measure_sound() {
    // The ends of shorts and of what may have a wrong value are asked too, reachable or not.
    seats_ = probes_;
    for (const Fault& fault : faults_) {
      if ((fault.mode != Mode::Short && fault.mode != Mode::Value) || !circuit_.has(fault.a) ||
          !circuit_.has(fault.b))
        continue;
      for (PointId end : {fault.a, fault.b}) {
        if (std::find(seats_.begin(), seats_.end(), end.index) == seats_.end()) seats_.push_back(end.index);
      }
    }
    const Network high = network_at(circuit_, loose_resistors_at(circuit_, Corner::High));
    lowest_ = loose_resistors_at(circuit_, Corner::Low);
    high_ = all_pairs(high, seats_);
    low_ = all_pairs(network_at(circuit_, lowest_, Modules::Joined), probes_);
    sides_.assign(probes_.size(), FaultSet(faults_.size()));
    cut_.assign(circuit_.branches.size(), 0);
    if (circuit_.modules.empty()) {
      for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) cut_[b] = high.cut(b) ? 1 : 0;
    } else {
      const Network joined =
          network_at(circuit_, loose_resistors_at(circuit_, Corner::High), Modules::Joined);
      for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) cut_[b] = joined.cut(b) ? 1 : 0;
    }
  }

  PairLimits limits(std::size_t i, std::size_t j) const {
    PairLimits pair;
    const double high = high_[i * seats_.size() + j];
    const double low = low_[i * probes_.size() + j];
    pair.open = std::isinf(high);
    pair.unusable = pair.open && !std::isinf(low);
    const int plugs = is_plug(i) + is_plug(j);
    const Range& range = pair.open ? meter_.ranges.back() : range_for(meter_, high, plugs);
    pair.range = static_cast<std::uint32_t>(&range - meter_.ranges.data());
    pair.told =
        pair.open ? margins_of_open(meter_, range, plugs) : margins(meter_, range, {low, high, high}, plugs);
    return pair;
  }

  int is_plug(std::size_t seat) const {
    return harness_.points()[probes_[seat]].role == PointRole::Plug ? 1 : 0;
  }

  // The branch of a fault's element; none where it does not conduct, or in mid-travel, where it is not known where along the
  // track it broke.
  std::optional<std::uint32_t> branch_of(std::size_t f) const {
    std::optional<std::uint32_t> branch;
    if (!acts_in(faults_[f], circuit_)) return branch;
    for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) {
      if (circuit_.branches[b].element != faults_[f].element) continue;
      if (circuit_.branches[b].travel) return std::nullopt;
      branch = b;
    }
    return branch;
  }

  void add_open(std::size_t f) {
    const std::optional<std::uint32_t> branch = branch_of(f);
    if (!branch) return;
    if (cut_[*branch]) {
      // Seen by connection alone: probes on different sides read OL.
      const std::vector<char> side = sides_of_cut(*branch);
      for (std::size_t i = 0; i < probes_.size(); ++i) {
        if (side[i]) sides_[i].add(f);
      }
    } else if (const auto gap = gap_of(*branch)) {
      loops_.push_back({f, *gap});
    }
  }

  void add_rise(std::size_t f) {
    const std::optional<std::uint32_t> branch = branch_of(f);
    if (!branch) return;
    Rise rise{f, lowest_[*branch].ohms, sizes_[f], {}, {}, {}};
    if (cut_[*branch]) {
      rise.side = sides_of_cut(*branch);
    } else {
      rise.gap = gap_of(*branch);
      if (!rise.gap) return;
    }
    if (faults_[f].mode == Mode::Value) {
      rise.more = rise.own;  // twice
      rise.drop = across_.size();
      // Half of it is the same as as much again beside it.
      add_touch(f, circuit_.branches[*branch].a, circuit_.branches[*branch].b,
                circuit_.branches[*branch].ohms.high);
    }
    rises_.push_back(std::move(rise));
  }

  void add_other(std::size_t f) {
    if (!chapter_) {
      std::vector<PointId> probes;
      for (std::uint32_t probe : probes_) probes.push_back(PointId{probe});
      chapter_.emplace(circuit_, std::move(probes));
    }
    Page page = chapter_->page(faults_[f], 0);
    if (page.changes()) others_.push_back({f, std::move(page)});
  }

  std::vector<char> sides_of_cut(std::uint32_t branch) const {
    const std::vector<std::uint32_t> group = groups_without(branch, false);
    const std::uint32_t here = group[circuit_.branches[branch].a.index];
    std::vector<char> side;
    for (std::uint32_t probe : probes_) side.push_back(group[probe] == here ? 1 : 0);
    return side;
  }

  // At its lowest a circuit is a few coils and tracks between a few places: all else is nothing and makes points one. None
  // where the way round has no ohms: the gap then reads as a sound one may.
  std::optional<std::size_t> gap_of(std::uint32_t branch) {
    const auto [known, fresh] = gap_numbers_.try_emplace(branch, std::nullopt);
    if (!fresh) return known->second;
    const std::vector<std::uint32_t> group = groups_without(branch, true);
    const std::uint32_t from = group[lowest_[branch].a];
    const std::uint32_t to = group[lowest_[branch].b];
    if (from == to) return std::nullopt;
    std::vector<std::uint32_t> number(circuit_.points, ~0U);
    std::uint32_t places = 0;
    const auto take = [&](std::uint32_t at) {
      if (number[at] == ~0U) number[at] = places++;
    };
    Gap gap;
    for (std::uint32_t probe : probes_) {
      take(group[probe]);
      gap.place.push_back(number[group[probe]]);
    }
    take(from);
    take(to);
    gap.places = places;
    std::vector<Resistor> few;
    for (std::uint32_t b = 0; b < lowest_.size(); ++b) {
      if (b == branch || lowest_[b].ohms == 0) continue;
      for (std::uint32_t end : {lowest_[b].a, lowest_[b].b}) take(group[end]);
      few.push_back({number[group[lowest_[b].a]], number[group[lowest_[b].b]], lowest_[b].ohms});
    }
    std::vector<std::uint32_t> asked(gap.places);
    std::iota(asked.begin(), asked.end(), 0U);
    gap.least = all_pairs(Network(places, std::move(few)), asked);
    gap.round = gap.least[number[from] * gap.places + number[to]];
    known->second = gaps_.size();
    gaps_.push_back(std::move(gap));
    return known->second;
  }

  // Which points are still together without a branch: by anything, or only by what has no ohms at its lowest.
  std::vector<std::uint32_t> groups_without(std::uint32_t skip, bool no_ohms) const {
    Clusters clusters(circuit_.points);
    for (std::uint32_t b = 0; b < lowest_.size(); ++b) {
      if (b == skip || (no_ohms && lowest_[b].ohms != 0)) continue;
      clusters.join(lowest_[b].a, lowest_[b].b);
    }
    for (const auto& module : circuit_.modules) {
      for (PointId point : module) clusters.join(point.index, module.front().index);
    }
    return clusters.of_each();
  }

  void add_short(std::size_t f) {
    const Fault& fault = faults_[f];
    if (!circuit_.has(fault.a) || !circuit_.has(fault.b)) return;
    if (fault.element && fault.site == Site::Contact) {
      for (const Branch& branch : circuit_.branches) {
        if (branch.element == fault.element) return;  // closed anyway
      }
    }
    add_touch(f, fault.a, fault.b, kShort.high);
  }

  void add_touch(std::size_t f, PointId a, PointId b, Ohms ohms) {
    const auto seat = [&](PointId point) {
      return static_cast<std::size_t>(std::find(seats_.begin(), seats_.end(), point.index) - seats_.begin());
    };
    const std::size_t n = seats_.size();
    const std::size_t x = seat(a);
    const std::size_t y = seat(b);
    touches_.push_back({f, faults_[f].mode == Mode::Short, ohms, x, y});
    across_.push_back(high_[x * n + y] + ohms);
    for (std::size_t i = 0; i < probes_.size(); ++i) {
      const double to_x = high_[i * n + x];
      const double to_y = high_[i * n + y];
      differences_[i].push_back(std::isinf(to_x) || std::isinf(to_y) ? 0 : to_y - to_x);
    }
  }

  void look(std::size_t i, std::size_t j, const PairLimits& pair, FaultSet& seen,
            std::vector<Ohms>& beyond) const {
    std::fill(seen.words().begin(), seen.words().end(), 0);
    if (pair.unusable) return;
    for (const Other& other : others_) {
      if (!other.page.changes(i, j)) continue;
      const Found found = other.page(i, j);
      const double low = found.low.value_or(kOpen);
      const double high = found.high.value_or(kOpen);
      const bool parted = !pair.open && std::isinf(low) && pair.told.open;
      if (parted || (!std::isinf(low) && low > pair.told.above) || high < pair.told.below)
        seen.add(other.fault);
    }
    if (pair.open) {
      for (std::size_t t = 0; t < touches_.size(); ++t) {
        const Touch& touch = touches_[t];
        if (!touch.counts) continue;
        const double most = joined_by(touch, i, j);
        if (most < pair.told.below) {
          seen.add(touch.fault);
        } else {
          beyond[touch.fault] = std::min(beyond[touch.fault], most);
        }
      }
      return;
    }
    if (!pair.told.open) {
      note_beyond(i, j, beyond);
    } else {
      for (std::size_t w = 0; w < seen.words().size(); ++w)
        seen.words()[w] |= sides_[i].words()[w] ^ sides_[j].words()[w];
      for (const LoopOpen& open : loops_) {
        if (without(gaps_[open.gap], i, j) > pair.told.above) seen.add(open.fault);
      }
    }
    // By the rank-one formula, from the highest sound circuit: R - v^2 / (s + R[x,y]), where v is the drop on x-y. A short
    // of parts of which the probes see but one has no drop.
    const double told = high_[i * seats_.size() + j] - pair.told.below;
    const double* const from_i = differences_[i].data();
    const double* const from_j = differences_[j].data();
    const auto falls = [&](std::size_t t) {
      const double v = (from_i[t] - from_j[t]) / 2;
      return v * v > told * across_[t];
    };
    for (std::size_t t = 0; t < across_.size(); ++t) {
      if (touches_[t].counts && falls(t)) seen.add(touches_[t].fault);
    }
    if (!pair.told.open) return;
    for (const Rise& rise : rises_) {
      const Ohms least = least_rise(rise, i, j, pair);
      if (least < kOpen && least <= rise.more && (!rise.drop || falls(*rise.drop))) seen.add(rise.fault);
    }
  }

  // The most that a short between what is apart makes of two probes on either side of it.
  double joined_by(const Touch& touch, std::size_t i, std::size_t j) const {
    const std::size_t n = seats_.size();
    return touch.own + std::min(high_[i * n + touch.x] + high_[touch.y * n + j],
                                high_[i * n + touch.y] + high_[touch.x * n + j]);
  }

  // The opens that would show, but for the sound reading being above every range itself.
  void note_beyond(std::size_t i, std::size_t j, std::vector<Ohms>& beyond) const {
    const Ohms most = high_[i * seats_.size() + j];
    const auto note = [&](std::size_t fault) { beyond[fault] = std::min(beyond[fault], most); };
    FaultSet parted = sides_[i];
    for (std::size_t w = 0; w < parted.words().size(); ++w) parted.words()[w] ^= sides_[j].words()[w];
    for (std::size_t f : parted.list()) note(f);
    for (const LoopOpen& open : loops_) {
      if (without(gaps_[open.gap], i, j) > most * kClearly) note(open.fault);
    }
  }

  double without(const Gap& gap, std::size_t i, std::size_t j) const {
    return gap.least[gap.place[i] * gap.places + gap.place[j]];
  }

  // The least that has to be added to an element for a pair to tell. With all else at its lowest the pair reads
  // R(r) = open - c / (Ro + r) with r ohms in the element, where Ro is the way round it.
  Ohms least_rise(const Rise& rise, std::size_t i, std::size_t j, const PairLimits& pair) const {
    const double low = low_[i * probes_.size() + j];
    if (!rise.gap)
      return rise.side[i] != rise.side[j] ? std::max(0.0, pair.told.above - low) * kAbove : kOpen;
    const Gap& gap = gaps_[*rise.gap];
    const double open = without(gap, i, j);
    if (open <= pair.told.above) return kOpen;
    if (std::isinf(open) || std::isinf(gap.round)) return kOpen;  // not so where it is no cut
    return std::max(0.0, (gap.round + rise.own) * ((open - low) / (open - pair.told.above) - 1)) * kAbove;
  }

  const Harness& harness_;
  const std::vector<Fault>& faults_;
  const std::vector<Ohms>& sizes_;
  const Meter& meter_;
  Circuit circuit_;
  std::vector<std::uint32_t> probes_;
  std::vector<char> fresh_;           // of each probe: this depth of opening reaches it first
  std::vector<std::uint32_t> seats_;  // the probes, then the ends of shorts
  std::vector<Resistor> lowest_;
  std::vector<double> high_;
  std::vector<double> low_;
  std::vector<char> cut_;
  std::vector<FaultSet> sides_;  // of each probe: the cut opens on whose first point's side it lies
  std::map<std::uint32_t, std::optional<std::size_t>> gap_numbers_;  // by branch
  std::vector<Gap> gaps_;
  std::vector<LoopOpen> loops_;
  std::vector<Rise> rises_;
  std::optional<Chapter> chapter_;  // where a lead may be misplaced
  std::vector<Other> others_;
  std::vector<Touch> touches_;
  // With d = R[a,y] - R[a,x] of each probe a, the drop on x-y for one ampere from a to b is (d[a] - d[b]) / 2.
  std::vector<double> across_;  // by touch: R[x,y] + the short's own most; kOpen if they are apart
  std::vector<std::vector<double>> differences_;  // by probe, by touch: d, or nought where they are apart
};

}  // namespace

Survey survey(const Harness& harness, const std::vector<Fault>& faults, const std::vector<Ohms>& sizes,
              const PlanOptions& options, const std::vector<Setting>& settings, const Access& access,
              const std::vector<PointId>& lifted, const Reached& reached) {
  Survey survey(faults.size());
  survey.access = access;
  survey.lifted = lifted;
  survey.settings = settings;
  survey.beyond.assign(faults.size(), kOpen);
  for (std::uint32_t s = 0; s < settings.size(); ++s) {
    View(harness, faults, sizes, options, settings[s], access, lifted).add_to(survey, s);
    if (reached) reached(s + 1, settings.size());
  }
  return survey;
}

Survey narrowed(const Survey& survey, const std::vector<std::size_t>& number, std::size_t faults) {
  Survey few(faults);
  few.access = survey.access;
  few.lifted = survey.lifted;
  few.settings = survey.settings;
  few.beyond.assign(faults, kOpen);
  for (std::size_t f = 0; f < number.size(); ++f) {
    if (number[f] < faults) few.beyond[number[f]] = survey.beyond[f];
  }
  for (std::size_t c = 0; c < survey.candidates.size(); ++c) {
    FaultSet set(faults);
    for (std::size_t w = 0; w < survey.words(); ++w) {
      for (std::uint64_t word = survey.set(c)[w]; word != 0; word &= word - 1) {
        const std::size_t f = number[w * 64 + static_cast<std::size_t>(std::countr_zero(word))];
        if (f < faults) set.add(f);
      }
    }
    if (!set.empty()) few.add(survey.candidates[c], set);
  }
  return few;
}

void find_least_sizes(const Harness& harness, const std::vector<Fault>& faults, const PlanOptions& options,
                      const std::vector<Setting>& settings, const Access& access, std::vector<Ohms>& least) {
  for (const Setting& setting : settings) {
    View(harness, faults, least, options, setting, access, {}).find_least(least);
  }
}

}  // namespace lugwise::plan::inside
