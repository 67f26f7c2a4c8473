#include "plan/inside/view.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "dictionary/dictionary.h"
#include "expectation/corner.h"
#include "plan/inside/gap.h"

namespace lugwise::plan::inside {
namespace {

// A hair more than what is just told apart.
constexpr double kAbove = 1 + 1e-9;

// What reads that many times as much would be told on any meter that has a range for it; a judgement, for advice only.
constexpr double kClearly = 1.1;

class View {
 public:
  explicit View(const Sight& sight)
      : harness_(sight.harness),
        faults_(sight.faults),
        sizes_(sight.sizes),
        meter_(sight.options.meter),
        gaps_(circuit_, lowest_, probes_) {
    State state;
    state.setting = sight.setting;
    state.stage = sight.options.stage;
    state.cavity_open = sight.access.depth > 0;
    state.temperature = sight.options.temperature;
    state.lifted = sight.lifted;
    circuit_ = circuit_of(harness_, state);
    // Pairs that a lesser opening reaches in the same circuit were surveyed there: only those with a new point follow.
    const int depth = sight.access.depth;
    const std::vector<PointId> before =
        depth > 1 ? reachable(harness_, state.stage, depth - 1) : std::vector<PointId>{};
    for (PointId point : reachable(harness_, state.stage, depth)) {
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
  // An open with a way round.
  struct LoopOpen {
    std::size_t fault;
    std::size_t gap;  // of gaps_
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
      const std::vector<char> side = gaps_.sides_of_cut(*branch);
      for (std::size_t i = 0; i < probes_.size(); ++i) {
        if (side[i]) sides_[i].add(f);
      }
    } else if (const auto gap = gaps_.of(*branch)) {
      loops_.push_back({f, *gap});
    }
  }

  void add_rise(std::size_t f) {
    const std::optional<std::uint32_t> branch = branch_of(f);
    if (!branch) return;
    Rise rise{f, lowest_[*branch].ohms, sizes_[f], {}, {}, {}};
    if (cut_[*branch]) {
      rise.side = gaps_.sides_of_cut(*branch);
    } else {
      rise.gap = gaps_.of(*branch);
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
    if (pair.open) return look_at_open(i, j, pair, seen, beyond);
    if (!pair.told.open) {
      note_beyond(i, j, beyond);
    } else {
      for (std::size_t w = 0; w < seen.words().size(); ++w)
        seen.words()[w] |= sides_[i].words()[w] ^ sides_[j].words()[w];
      for (const LoopOpen& open : loops_) {
        if (gaps_[open.gap].without(i, j) > pair.told.above) seen.add(open.fault);
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

  // Between what is apart only a short can show.
  void look_at_open(std::size_t i, std::size_t j, const PairLimits& pair, FaultSet& seen,
                    std::vector<Ohms>& beyond) const {
    for (const Touch& touch : touches_) {
      if (!touch.counts) continue;
      const double most = joined_by(touch, i, j);
      if (most < pair.told.below) {
        seen.add(touch.fault);
      } else {
        beyond[touch.fault] = std::min(beyond[touch.fault], most);
      }
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
      if (gaps_[open.gap].without(i, j) > most * kClearly) note(open.fault);
    }
  }

  // The least that has to be added to an element for a pair to tell. With all else at its lowest the pair reads
  // R(r) = open - c / (Ro + r) with r ohms in the element, where Ro is the way round it.
  Ohms least_rise(const Rise& rise, std::size_t i, std::size_t j, const PairLimits& pair) const {
    const double low = low_[i * probes_.size() + j];
    if (!rise.gap)
      return rise.side[i] != rise.side[j] ? std::max(0.0, pair.told.above - low) * kAbove : kOpen;
    const Gap& gap = gaps_[*rise.gap];
    const double open = gap.without(i, j);
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
  Gaps gaps_;
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

void add_candidates(const Sight& sight, std::uint32_t setting, Survey& survey) {
  View(sight).add_to(survey, setting);
}

void lower_sizes(const Sight& sight, std::vector<Ohms>& least) { View(sight).find_least(least); }

}  // namespace lugwise::plan::inside
