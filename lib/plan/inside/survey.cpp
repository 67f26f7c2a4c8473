#include "plan/inside/survey.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numeric>

#include "expectation/corner.h"

namespace lugwise {
namespace {

// One setting at one depth of opening.
class View {
 public:
  View(const Harness& harness, const std::vector<Fault>& faults, const PlanOptions& options, const Setting& setting,
       const Access& access)
      : harness_(harness), faults_(faults), meter_(options.meter) {
    State state;
    state.setting = setting;
    state.stage = options.stage;
    state.cavity_open = access.depth > 0;
    state.temperature = options.temperature;
    circuit_ = circuit_of(harness, state);
    for (PointId point : reachable(harness, options.stage, access.depth)) {
      if (circuit_.has(point)) probes_.push_back(point.index);
    }
  }

  void add_to(Survey& survey, std::uint32_t setting) {
    measure_sound();
    for (std::size_t f = 0; f < faults_.size(); ++f) {
      if (faults_[f].mode == Mode::Open) add_open(f);
      if (faults_[f].mode == Mode::Short) add_short(f);
    }
    FaultSet seen(faults_.size());
    for (std::size_t i = 0; i < probes_.size(); ++i) {
      for (std::size_t j = i + 1; j < probes_.size(); ++j) {
        std::fill(seen.words().begin(), seen.words().end(), 0);
        look(i, j, seen);
        if (seen.empty()) continue;
        survey.candidates.push_back({setting, PointId{probes_[i]}, PointId{probes_[j]}});
        survey.sets.insert(survey.sets.end(), seen.words().begin(), seen.words().end());
      }
    }
  }

 private:
  // A fault seen by connection alone: probes on different sides read OL.
  struct CutOpen {
    std::size_t fault;
    std::vector<char> side;  // of each probe
  };
  // An open with a way round: the least it can read.
  struct LoopOpen {
    std::size_t fault;
    std::vector<std::uint32_t> place;  // of each probe, in the faulty circuit at its lowest
    std::size_t places;
    std::vector<std::optional<double>> least;  // place by place
  };
  struct Touch {
    std::size_t fault;
    std::size_t x, y;  // seats in `seats_`
  };

  void measure_sound() {
    // The ends of shorts are asked too, reachable or not.
    seats_ = probes_;
    for (const Fault& fault : faults_) {
      if (fault.mode != Mode::Short || !circuit_.has(fault.a) || !circuit_.has(fault.b)) continue;
      seats_.push_back(fault.a.index);
      seats_.push_back(fault.b.index);
    }
    const Network high = network_at(circuit_, loose_resistors_at(circuit_, Corner::High));
    const Network low = network_at(circuit_, loose_resistors_at(circuit_, Corner::Low), true);
    high_ = high.all_pairs(seats_);
    low_ = low.all_pairs(seats_);
    cut_.assign(circuit_.branches.size(), 0);
    for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) cut_[b] = high.cut(b) ? 1 : 0;
    if (!circuit_.modules.empty()) {
      const Network joined = network_at(circuit_, loose_resistors_at(circuit_, Corner::High), true);
      for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) cut_[b] = joined.cut(b) ? 1 : 0;
    }
    ranges_.clear();
    for (std::size_t i = 0; i < probes_.size(); ++i) {
      for (std::size_t j = i + 1; j < probes_.size(); ++j) ranges_.push_back(limits(i, j));
    }
  }

  // What a sound pair shows, and the lowest and highest resistance that would be told from it.
  struct PairLimits {
    bool open = false;     // reads OL
    bool unusable = false;  // a module makes it anything
    Ohms above = HUGE_VAL;  // a circuit whose least is above this is told apart
    Ohms below = -1;        // and one whose most is below this
  };

  PairLimits limits(std::size_t i, std::size_t j) const {
    PairLimits pair;
    const auto& high = high_[i * seats_.size() + j];
    const auto& low = low_[i * seats_.size() + j];
    pair.open = !high;
    pair.unusable = !high && low;
    if (!high) return pair;
    const int plugs = is_plug(i) + is_plug(j);
    const Range& range = range_for(meter_, *high, plugs);
    const Window sound = window(meter_, range, {*low, *high, *high}, plugs);
    const double slack = range.digits * meter_.step(range) + meter_.step(range);
    const Ohms cable = plugs * meter_.cable / 2;
    pair.above = (sound.high + slack) / (1 - range.share) - meter_.leads_low - cable;
    pair.below = (sound.low - slack) / (1 + range.share) - meter_.leads_high - cable;
    return pair;
  }

  int is_plug(std::size_t seat) const { return harness_.points()[probes_[seat]].role == PointRole::Plug ? 1 : 0; }

  void add_open(std::size_t f) {
    std::optional<std::uint32_t> branch;
    for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) {
      if (circuit_.branches[b].element != faults_[f].element) continue;
      if (circuit_.branches[b].travel) return;  // where along the track is not known
      branch = b;
    }
    if (!branch) return;
    if (cut_[*branch]) {
      CutOpen open{f, std::vector<char>(probes_.size(), 0)};
      const std::vector<std::uint32_t> group = groups_without(*branch);
      const std::uint32_t here = group[circuit_.branches[*branch].a.index];
      for (std::size_t i = 0; i < probes_.size(); ++i) open.side[i] = group[probes_[i]] == here ? 1 : 0;
      cuts_.push_back(std::move(open));
      return;
    }
    std::vector<Resistor> resistors = loose_resistors_at(circuit_, Corner::Low);
    resistors.erase(resistors.begin() + *branch);
    const Network faulty = network_at(circuit_, std::move(resistors), true);
    LoopOpen open{f, {}, 0, {}};
    std::vector<std::uint32_t> number(circuit_.points, ~0U);
    std::vector<std::uint32_t> one_each;
    for (std::uint32_t probe : probes_) {
      const std::uint32_t place = faulty.merged(probe);
      if (number[place] == ~0U) {
        number[place] = static_cast<std::uint32_t>(one_each.size());
        one_each.push_back(probe);
      }
      open.place.push_back(number[place]);
    }
    open.places = one_each.size();
    open.least = faulty.all_pairs(one_each);
    loops_.push_back(std::move(open));
  }

  std::vector<std::uint32_t> groups_without(std::uint32_t skip) const {
    std::vector<std::uint32_t> parent(circuit_.points);
    std::iota(parent.begin(), parent.end(), 0U);
    const auto root = [&](std::uint32_t at) {
      while (parent[at] != at) at = parent[at] = parent[parent[at]];
      return at;
    };
    for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) {
      if (b != skip) parent[root(circuit_.branches[b].a.index)] = root(circuit_.branches[b].b.index);
    }
    for (const auto& module : circuit_.modules) {
      for (PointId point : module) parent[root(point.index)] = root(module.front().index);
    }
    for (std::uint32_t i = 0; i < parent.size(); ++i) parent[i] = root(i);
    return parent;
  }

  void add_short(std::size_t f) {
    const Fault& fault = faults_[f];
    if (!circuit_.has(fault.a) || !circuit_.has(fault.b)) return;
    if (fault.element) {
      for (const Branch& branch : circuit_.branches) {
        if (branch.element == fault.element && fault.site == Site::Contact) return;  // closed anyway
      }
    }
    const auto seat = [&](PointId point) {
      return static_cast<std::size_t>(std::find(seats_.begin(), seats_.end(), point.index) - seats_.begin());
    };
    touches_.push_back({f, seat(fault.a), seat(fault.b)});
  }

  void look(std::size_t i, std::size_t j, FaultSet& seen) const {
    const std::size_t n = probes_.size();
    const PairLimits& pair = ranges_[i * n - i * (i + 1) / 2 + (j - i - 1)];
    if (pair.unusable) return;
    if (!pair.open) {
      for (const CutOpen& open : cuts_) {
        if (open.side[i] != open.side[j]) seen.add(open.fault);
      }
      for (const LoopOpen& open : loops_) {
        const std::uint32_t a = open.place[i];
        const std::uint32_t b = open.place[j];
        if (a == b) continue;
        const auto& least = open.least[a * open.places + b];
        if (!least || *least > pair.above) seen.add(open.fault);
      }
    }
    for (const Touch& touch : touches_) {
      if (touched(pair, i, j, touch)) seen.add(touch.fault);
    }
  }

  // By the rank-one formula, from the highest sound circuit: R - v^2 / (s + R[x,y]).
  bool touched(const PairLimits& pair, std::size_t a, std::size_t b, const Touch& touch) const {
    const std::size_t n = seats_.size();
    const auto r = [&](std::size_t from, std::size_t to) -> const std::optional<double>& { return high_[from * n + to]; };
    const std::size_t x = touch.x;
    const std::size_t y = touch.y;
    if (pair.open) return (r(a, x) && r(y, b)) || (r(a, y) && r(x, b));
    if (!r(x, y) || !r(a, x)) return false;  // joins parts of which the probes see but one
    const double v = (*r(a, y) + *r(b, x) - *r(a, x) - *r(b, y)) / 2;
    const double most = *r(a, b) - v * v / (kShort.high + *r(x, y));
    return most < pair.below;
  }

  const Harness& harness_;
  const std::vector<Fault>& faults_;
  const Meter& meter_;
  Circuit circuit_;
  std::vector<std::uint32_t> probes_;
  std::vector<std::uint32_t> seats_;  // the probes, then the ends of shorts
  std::vector<std::optional<double>> high_;
  std::vector<std::optional<double>> low_;
  std::vector<char> cut_;
  std::vector<PairLimits> ranges_;
  std::vector<CutOpen> cuts_;
  std::vector<LoopOpen> loops_;
  std::vector<Touch> touches_;
};

}  // namespace

bool FaultSet::empty() const {
  return std::all_of(words_.begin(), words_.end(), [](std::uint64_t word) { return word == 0; });
}

std::size_t FaultSet::size() const {
  std::size_t count = 0;
  for (std::uint64_t word : words_) count += static_cast<std::size_t>(std::popcount(word));
  return count;
}

std::vector<std::size_t> FaultSet::list() const {
  std::vector<std::size_t> faults;
  for (std::size_t i = 0; i < words_.size() * 64; ++i) {
    if (has(i)) faults.push_back(i);
  }
  return faults;
}

FaultSet& FaultSet::operator|=(const FaultSet& other) {
  for (std::size_t i = 0; i < words_.size(); ++i) words_[i] |= other.words_[i];
  return *this;
}

FaultSet& FaultSet::operator-=(const FaultSet& other) {
  for (std::size_t i = 0; i < words_.size(); ++i) words_[i] &= ~other.words_[i];
  return *this;
}

std::size_t count_fresh(const std::uint64_t* candidate, const FaultSet& known) {
  std::size_t count = 0;
  for (std::size_t i = 0; i < known.words().size(); ++i) {
    count += static_cast<std::size_t>(std::popcount(candidate[i] & ~known.words()[i]));
  }
  return count;
}

Survey survey(const Harness& harness, const std::vector<Fault>& faults, const PlanOptions& options,
              const std::vector<Setting>& settings, const Access& access) {
  Survey survey;
  survey.access = access;
  survey.settings = settings;
  survey.words = (faults.size() + 63) / 64;
  for (std::uint32_t s = 0; s < settings.size(); ++s) {
    View(harness, faults, options, settings[s], access).add_to(survey, s);
  }
  return survey;
}

}  // namespace lugwise
