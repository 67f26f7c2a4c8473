#include "plan/inside/route.h"

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <tuple>
#include <unordered_map>

#include "plan/inside/legs.h"
#include "plan/inside/sweeps.h"

namespace lugwise::plan::inside {
namespace {

// Rounds are the more the quicker each is.
constexpr std::size_t kWork = 1'000'000;
constexpr std::size_t kLeastRounds = 250;
constexpr std::size_t kMostRounds = 2'000;

// A plan is worth going on from if it costs no more than this above the best.
constexpr double kSlack = 1.03;

// Of the pairs that share a point and show the same in one setting, so many are looked at.
constexpr int kMostAlike = 3;

// Something that costs next to nothing is worth no more than this many seconds say.
constexpr double kLeastSeconds = 0.5;

// Seconds that rounding may add up to.
constexpr double kHair = 1e-9;

constexpr std::uint32_t kNoTwin = ~std::uint32_t{0};

struct Stop : Visit {
  RouteChoice choice;
  const std::uint64_t* set = nullptr;
  std::uint32_t twin = kNoTwin;  // the same the other way round: of a reading itself
};

using Order = std::vector<std::size_t>;  // stops by their number

// Faster than std::popcount where the compiler may not count on the machine's own instruction.
std::size_t bits(std::uint64_t word) {
  word -= word >> 1 & 0x5555555555555555;
  word = (word & 0x3333333333333333) + (word >> 2 & 0x3333333333333333);
  word = (word + (word >> 4)) & 0x0f0f0f0f0f0f0f0f;
  return static_cast<std::size_t>(word * 0x0101010101010101 >> 56);
}

auto at_place(Order& order, std::size_t place) { return order.begin() + static_cast<std::ptrdiff_t>(place); }

class Router {
 public:
  Router(const Harness& harness, const Costs& costs, const std::vector<Survey>& surveys,
         const RouteStretch& stretch, const std::vector<Fault>& faults, const FaultSet& wanted)
      : harness_(harness),
        costs_(costs),
        surveys_(surveys),
        after_(stretch.after),
        wanted_(wanted),
        legs_(harness, costs, surveys.front().settings),
        holders_(faults.size()),
        every_(faults.size()) {
    number_places();
    FaultSet shown = nothing();
    for (std::size_t s = stretch.from; s < stretch.to; ++s) {
      FaultSet more = nothing();
      surveys[s].show_all(more);
      more &= wanted_;
      if (shown.contains(more)) continue;  // nothing is opened for nothing
      choose_stops(s);
      shown |= more;
    }
    count_delays(faults);
  }

  std::vector<RouteChoice> run(const Reached& reached) {
    Order now;
    mend(now, false);
    polish(now);
    Order best = now;
    double least = cost(best);
    const std::size_t rounds =
        best.size() < 2 ? 0 : std::clamp(kWork / (likely_ + 1), kLeastRounds, kMostRounds);
    for (std::size_t round = 0; round < rounds; ++round) {
      if (reached) reached(round, rounds);
      Order tried = now;
      take_apart(tried);
      mend(tried, true);
      polish(tried);
      const double seconds = cost(tried);
      if (seconds <= kSlack * least) now = tried;
      if (seconds < least - 1e-9) {
        best = tried;
        while (exchange(best)) polish(best);
        least = cost(best);
        now = best;
      } else if (round % 50 == 49) {
        now = best;
      }
    }
    std::vector<RouteChoice> choices;
    for (std::size_t stop : best) choices.push_back(stops_[stop].choice);
    return choices;
  }

 private:
  // Of the pairs that share a point in one setting, those whose faults another shows too and more are left out unless
  // they are the best of their other point; and what a lesser opening shows as well.
  void choose_stops(std::size_t s) {
    const Survey& survey = surveys_[s];
    std::vector<std::vector<std::size_t>> by_setting(survey.settings.size());
    for (std::size_t c = 0; c < survey.candidates.size(); ++c) {
      const Candidate& probe = survey.candidates[c];
      if (!probe.swept && holds_any(survey.set(c), wanted_)) by_setting[probe.setting].push_back(c);
    }
    std::unordered_map<std::uint64_t, const std::uint64_t*> sooner;  // of one setting, by pair
    const auto pair = [](PointId a, PointId b) { return std::uint64_t{a.index} << 32 | b.index; };
    std::vector<char> kept(survey.candidates.size(), 0);
    std::vector<std::uint32_t> size(survey.candidates.size(), 0);
    for (std::uint32_t setting = 0; setting < by_setting.size(); ++setting) {
      sooner.clear();
      for (const Stop& stop : stops_) {
        if (stop.setting == setting && stop.left == setting && stop.choice.survey < s)
          sooner.emplace(pair(stop.a, stop.b), stop.set);
      }
      std::map<PointId, std::vector<std::size_t>> at;
      for (std::size_t c : by_setting[setting]) {
        const Candidate& probe = survey.candidates[c];
        const auto known = sooner.find(pair(probe.a, probe.b));
        if (known != sooner.end() && holds(known->second, survey.set(c))) continue;
        size[c] = static_cast<std::uint32_t>(count(survey.set(c), wanted_));
        at[probe.a].push_back(c);
        at[probe.b].push_back(c);
      }
      for (auto& [point, pairs] : at) {
        std::stable_sort(pairs.begin(), pairs.end(),
                         [&](std::size_t x, std::size_t y) { return size[x] > size[y]; });
        struct Largest {
          std::size_t candidate;
          int alike;
        };
        std::vector<Largest> largest;
        for (std::size_t c : pairs) {
          const auto above = std::find_if(largest.begin(), largest.end(), [&](const Largest& other) {
            return holds(survey.set(other.candidate), survey.set(c));
          });
          if (above == largest.end()) {
            largest.push_back({c, 1});
          } else if (size[above->candidate] > size[c] || ++above->alike > kMostAlike) {
            continue;
          }
          kept[c] = 1;
        }
      }
    }
    // Of a large harness these are most of a plan's memory: no more than there are.
    stops_.reserve(stops_.size() + size.size() - std::count(size.begin(), size.end(), 0U));
    for (std::size_t c = 0; c < kept.size(); ++c) {
      if (size[c] == 0) continue;
      const Candidate& probe = survey.candidates[c];
      if (kept[c]) {
        FaultSet shows = nothing();
        shows |= survey.set(c);
        shows &= wanted_;
        for (std::size_t fault : shows.list()) holders_[fault].push_back(stops_.size());
        ++likely_;
      }
      stops_.push_back({{probe.setting, probe.left, probe.range, probe.a, probe.b, costs_.read},
                        choice(s, c),
                        survey.set(c),
                        static_cast<std::uint32_t>(stops_.size())});
      if (kept[c]) pairs_read_.insert({probe.setting, probe.a, probe.b});
    }
    choose_sweeps(s);
  }

  // Of the sweeps of one knob from one setting, those whose pair is worth reading before or after it, and the best of each
  // point: plug points and the pot's own lugs go first.
  void choose_sweeps(std::size_t s) {
    const Survey& survey = surveys_[s];
    std::map<std::tuple<PartId, std::uint32_t, PointId>, std::pair<int, std::size_t>> best;
    for (std::size_t c = 0; c < survey.candidates.size(); ++c) {
      const Candidate& probe = survey.candidates[c];
      if (!probe.swept || !holds_any(survey.set(c), wanted_)) continue;
      const int here = liking_of_sweep(harness_, probe);
      for (PointId point : {probe.a, probe.b}) {
        const auto [at, fresh] =
            best.try_emplace({*probe.swept, std::min(probe.setting, probe.left), point}, here, c);
        if (!fresh && here > at->second.first) at->second = {here, c};
      }
    }
    std::set<std::tuple<PartId, std::uint32_t, PointId, PointId>> alone;
    for (const auto& [key, one] : best) {
      const Candidate& probe = survey.candidates[one.second];
      alone.insert({*probe.swept, std::min(probe.setting, probe.left), probe.a, probe.b});
    }
    std::map<std::tuple<std::uint32_t, std::uint32_t, PointId, PointId>, std::uint32_t> other_way;
    for (std::size_t c = 0; c < survey.candidates.size(); ++c) {
      const Candidate& probe = survey.candidates[c];
      if (!probe.swept || !holds_any(survey.set(c), wanted_)) continue;
      const bool likely =
          alone.count({*probe.swept, std::min(probe.setting, probe.left), probe.a, probe.b}) != 0 ||
          pairs_read_.count({probe.setting, probe.a, probe.b}) != 0 ||
          pairs_read_.count({probe.left, probe.a, probe.b}) != 0;
      if (!likely) continue;
      Stop stop{{probe.setting, probe.left, probe.range, probe.a, probe.b, costs_.sweep},
                choice(s, c),
                survey.set(c),
                kNoTwin};
      const auto twin = other_way.find({probe.left, probe.setting, probe.a, probe.b});
      if (twin != other_way.end()) {
        stop.twin = twin->second;
        stops_[twin->second].twin = static_cast<std::uint32_t>(stops_.size());
      }
      other_way.emplace(std::tuple(probe.setting, probe.left, probe.a, probe.b),
                        static_cast<std::uint32_t>(stops_.size()));
      FaultSet shows = nothing();
      shows |= stop.set;
      shows &= wanted_;
      for (std::size_t fault : shows.list()) holders_[fault].push_back(stops_.size());
      stops_.push_back(stop);
    }
  }

  static RouteChoice choice(std::size_t survey, std::size_t candidate) {
    return {static_cast<std::uint32_t>(survey), static_cast<std::uint32_t>(candidate)};
  }

  static bool holds_any(const std::uint64_t* set, const FaultSet& of) {
    for (std::size_t w = 0; w < of.words().size(); ++w) {
      if ((set[w] & of.words()[w]) != 0) return true;
    }
    return false;
  }

  // Whether the outer has all that is wanted of the inner.
  bool holds(const std::uint64_t* outer, const std::uint64_t* inner) const {
    for (std::size_t w = 0; w < wanted_.words().size(); ++w) {
      if ((inner[w] & ~outer[w] & wanted_.words()[w]) != 0) return false;
    }
    return true;
  }

  static std::size_t count(const std::uint64_t* set, const FaultSet& of) {
    std::size_t sum = 0;
    for (std::size_t w = 0; w < of.words().size(); ++w) sum += bits(set[w] & of.words()[w]);
    return sum;
  }

  FaultSet nothing() const { return FaultSet(wanted_.words().size() * 64); }

  // A fault that a lesser opening could have shown, and that is shown only after the next, has cost that opening where
  // the instrument has it.
  void count_delays(const std::vector<Fault>& faults) {
    double all = 0;
    for (const Fault& fault : faults) all += fault.weight;
    FaultSet shown = nothing();
    // What is opened last; stops stand by survey.
    const std::size_t last = stops_.empty() ? 0 : stops_.back().choice.survey;
    for (std::size_t s = 0; s < last; ++s) {
      for (const Stop& stop : stops_) {
        if (stop.choice.survey == s) shown |= stop.set;
      }
      shown &= wanted_;
      const double opening = surveys_[s + 1].access.depth == 1 ? costs_.open_cavity : costs_.open_cover;
      delayed_.push_back(shown);
      delay_.emplace_back();
      for (const Fault& fault : faults) delay_.back().push_back(costs_.faulty * fault.weight / all * opening);
    }
  }

  double first(const Visit& stop) const { return after_ ? legs_.between(*after_, stop) : legs_.first(stop); }

  double leg(const Order& order, std::size_t at) const {
    return at == 0 ? first(stops_[order[0]]) : legs_.between(stops_[order[at - 1]], stops_[order[at]]);
  }

  double handling(const Order& order) const {
    double sum = 0;
    for (std::size_t i = 0; i < order.size(); ++i) sum += leg(order, i);
    return sum;
  }

  double cost(const Order& order) const { return handling(order) + delays(order, order.size()); }

  // The seconds that faults shown too late cost, with the stop at place `without` left out.
  double delays(const Order& order, std::size_t without) const {
    double sum = 0;
    FaultSet shown = nothing();
    for (std::size_t s = 0; s < delayed_.size(); ++s) {
      for (std::size_t i = 0; i < order.size(); ++i) {
        if (i != without && stops_[order[i]].choice.survey == s) shown |= stops_[order[i]].set;
      }
      FaultSet late = delayed_[s];
      late -= shown;
      for (std::size_t fault : late.list()) sum += delay_[s][fault];
    }
    return sum;
  }

  // What a stop put before place `at` adds.
  double added(const Order& order, const std::vector<double>& legs, std::size_t at, const Stop& stop) const {
    const double into = at == 0 ? first(stop) : legs_.between(stops_[order[at - 1]], stop);
    return at == order.size() ? into : into + legs_.between(stop, stops_[order[at]]) - legs[at];
  }

  // By setting and control, numbers of their places.
  void number_places() {
    const std::vector<PartId> controls = harness_.controls();
    const std::vector<Setting>& settings = surveys_.front().settings;
    controls_ = controls.size();
    for (const PartId control : controls) {
      std::map<std::string, std::uint32_t> numbers{{Setting(harness_).place_name(harness_, control), 0}};
      places_.emplace_back();
      for (const Setting& setting : settings)
        places_.back().push_back(
            numbers.try_emplace(setting.place_name(harness_, control), numbers.size()).first->second);
      most_places_ = std::max(most_places_, numbers.size());
    }
  }

  // What a plan makes use of: whatever else a stop does, each point, place and range that is new costs a move, a turn or a
  // change, wherever it is put in.
  struct Used {
    std::vector<char> points, ranges;
    std::vector<int> turns;  // by setting: how many of its places are new
  };

  Used used_by(const Order& order) const {
    Used used;
    used.points.assign(harness_.points().size(), 0);
    used.ranges.assign(256, 0);
    std::vector<char> places(controls_ * most_places_, 0);
    const auto use = [&](const Visit& visit) {
      used.points[visit.a.index] = used.points[visit.b.index] = 1;
      used.ranges[visit.range & 255U] = 1;
      for (std::size_t c = 0; c < controls_; ++c)
        places[c * most_places_ + places_[c][visit.setting]] =
            places[c * most_places_ + places_[c][visit.left]] = 1;
    };
    if (after_) {
      use(*after_);
    } else {
      for (std::size_t c = 0; c < controls_; ++c) places[c * most_places_] = 1;
    }
    for (const std::size_t stop : order) use(stops_[stop]);
    used.turns.assign(surveys_.front().settings.size(), 0);
    for (std::size_t c = 0; c < controls_; ++c) {
      for (std::size_t s = 0; s < used.turns.size(); ++s)
        used.turns[s] += places[c * most_places_ + places_[c][s]] ? 0 : 1;
    }
    return used;
  }

  // No place of the order costs less. A sweep may do a turn that had to be done anyway.
  double least_added(const Stop& stop, const Used& used) const {
    const int moves = (used.points[stop.a.index] ? 0 : 1) + (used.points[stop.b.index] ? 0 : 1);
    const int turns = stop.left == stop.setting ? used.turns[stop.setting] : -1;
    return stop.seconds + costs_.move_probe * moves + costs_.turn_control * turns +
           (used.ranges[stop.range & 255U] ? 0 : costs_.change_range);
  }

  double saving(const Order& order, std::size_t at) const {
    if (at + 1 == order.size()) return leg(order, at);
    const Stop& next = stops_[order[at + 1]];
    return leg(order, at) + leg(order, at + 1) -
           (at == 0 ? first(next) : legs_.between(stops_[order[at - 1]], next));
  }

  // The places a stop may take: nothing is closed again.
  std::pair<std::size_t, std::size_t> places(const Order& order, const Stop& stop) const {
    std::size_t from = 0;
    while (from < order.size() && stops_[order[from]].choice.survey < stop.choice.survey) ++from;
    std::size_t to = from;
    while (to < order.size() && stops_[order[to]].choice.survey == stop.choice.survey) ++to;
    return {from, to};
  }

  std::size_t random(std::size_t below) {
    spin_ = spin_ * 6364136223846793005 + 1442695040888963407;
    return (spin_ >> 33) % below;
  }

  // About 1, so that what is nearly the best gets its turn.
  double luck() {
    spin_ = spin_ * 6364136223846793005 + 1442695040888963407;
    return 0.8 + 0.4 * static_cast<double>(spin_ >> 40) / 16777216.0;
  }

  void take_apart(Order& order) {
    const std::size_t most = std::max<std::size_t>(1, order.size() / 3);
    const std::size_t some = 1 + random(most);
    if (random(2) == 0) {
      const std::size_t from = random(order.size() - some + 1);
      order.erase(at_place(order, from), at_place(order, from + some));
      return;
    }
    for (std::size_t i = 0; i < some; ++i) order.erase(at_place(order, random(order.size())));
  }

  // Puts in, again and again, a stop that shows the missing fault which the fewest stops show: of those, the one with the
  // most missing faults for the seconds it adds.
  void mend(Order& order, bool shaken) {
    FaultSet missing = wanted_;
    for (std::size_t stop : order) missing -= stops_[stop].set;
    std::vector<double> legs;
    while (!missing.empty()) {
      const std::vector<std::size_t>& holders = holders_[rarest(missing)];
      if (holders.empty()) return;
      legs.clear();
      for (std::size_t i = 0; i < order.size(); ++i) legs.push_back(leg(order, i));
      const std::vector<FaultSet> early = shown_early(order);
      const Used used = used_by(order);
      double best = 0;
      std::size_t best_stop = 0;
      std::size_t best_place = 0;
      for (const std::size_t s : holders) {
        const Stop& stop = stops_[s];
        const double worth = static_cast<double>(count(stop.set, missing)) * (shaken ? luck() : 1);
        const double sooner =
            stop.choice.survey < early.size() ? avoided(stop, early[stop.choice.survey]) : 0;
        if (worth <=
            best * std::max(kLeastSeconds, order.empty() ? 0 : least_added(stop, used) - sooner - kHair))
          continue;
        const auto [from, to] = places(order, stop);
        for (std::size_t at = from; at <= to; ++at) {
          const double gain = worth / std::max(kLeastSeconds, added(order, legs, at, stop) - sooner);
          if (gain <= best * (1 + 1e-12)) continue;
          best = gain;
          best_stop = s;
          best_place = at;
        }
      }
      order.insert(at_place(order, best_place), best_stop);
      missing -= stops_[best_stop].set;
    }
  }

  // All stops that show a fault, worth trying or not.
  const std::vector<std::uint32_t>& every(std::size_t fault) {
    std::vector<std::uint32_t>& list = every_[fault];
    if (!list.empty()) return list;
    for (std::uint32_t s = 0; s < stops_.size(); ++s) {
      if ((stops_[s].set[fault / 64] >> (fault % 64) & 1) != 0) list.push_back(s);
    }
    return list;
  }

  std::size_t rarest(const FaultSet& missing) const {
    const std::vector<std::size_t> faults = missing.list();
    return *std::min_element(faults.begin(), faults.end(), [&](std::size_t x, std::size_t y) {
      return holders_[x].size() < holders_[y].size();
    });
  }

  // What is shown before each further opening.
  std::vector<FaultSet> shown_early(const Order& order) const {
    std::vector<FaultSet> early;
    FaultSet shown = nothing();
    for (std::size_t s = 0; s < delayed_.size(); ++s) {
      for (std::size_t stop : order) {
        if (stops_[stop].choice.survey == s) shown |= stops_[stop].set;
      }
      early.push_back(shown);
    }
    return early;
  }

  double avoided(const Stop& stop, const FaultSet& early) const {
    const std::size_t s = stop.choice.survey;
    double sum = 0;
    for (std::size_t w = 0; w < wanted_.words().size(); ++w) {
      for (std::uint64_t word = stop.set[w] & delayed_[s].words()[w] & ~early.words()[w]; word != 0;
           word &= word - 1)
        sum += delay_[s][w * 64 + static_cast<std::size_t>(__builtin_ctzll(word))];
    }
    return sum;
  }

  // Drops what the others make unnecessary, then moves single stops and turns stretches round while that saves time.
  void polish(Order& order) const {
    drop_needless(order);
    for (bool better = true; better;) better = move_one(order) || turn_round(order);
  }

  void drop_needless(Order& order) const {
    for (;;) {
      const double now = delays(order, order.size());
      std::size_t worst = order.size();
      double most = 0;
      // What those after each show, so that one pass says what all but one show.
      std::vector<FaultSet> later(order.size() + 1, nothing());
      for (std::size_t i = order.size(); i-- > 0;) {
        later[i] = later[i + 1];
        later[i] |= stops_[order[i]].set;
      }
      FaultSet before = nothing();
      for (std::size_t drop = 0; drop < order.size(); ++drop) {
        FaultSet others = before;
        others |= later[drop + 1];
        before |= stops_[order[drop]].set;
        if (!others.contains(wanted_)) continue;
        const double saved = saving(order, drop) - (delays(order, drop) - now);
        if (saved <= most) continue;
        most = saved;
        worst = drop;
      }
      if (worst == order.size()) return;
      order.erase(at_place(order, worst));
    }
  }

  // Puts another stop, any of all, in the place of one where that costs less. Whether it found one.
  bool exchange(Order& order) {
    const double now = cost(order);
    for (std::size_t i = 0; i < order.size(); ++i) {
      Order rest = order;
      rest.erase(at_place(rest, i));
      FaultSet need = wanted_;
      for (std::size_t stop : rest) need -= stops_[stop].set;
      std::vector<double> legs;
      for (std::size_t k = 0; k < rest.size(); ++k) legs.push_back(leg(rest, k));
      const std::vector<FaultSet> early = shown_early(rest);
      const double without = handling(rest) + delays(rest, rest.size());
      if (need.empty()) continue;  // polished away, but for what rounding leaves
      for (const std::uint32_t s : every(rarest(need))) {
        const Stop& stop = stops_[s];
        if (!holds(stop.set, need.words().data())) continue;
        const double sooner =
            stop.choice.survey < early.size() ? avoided(stop, early[stop.choice.survey]) : 0;
        const auto [from, to] = places(rest, stop);
        for (std::size_t at = from; at <= to; ++at) {
          if (without + added(rest, legs, at, stop) - sooner >= now - 1e-6) continue;
          rest.insert(at_place(rest, at), s);
          order = rest;
          return true;
        }
      }
    }
    return false;
  }

  bool move_one(Order& order) const {
    bool moved = false;
    for (std::size_t i = 0; i < order.size(); ++i) {
      const double saved = saving(order, i);
      Order rest = order;
      rest.erase(at_place(rest, i));
      std::vector<double> legs;
      for (std::size_t k = 0; k < rest.size(); ++k) legs.push_back(leg(rest, k));
      const auto [from, to] = places(rest, stops_[order[i]]);
      bool found = false;
      for (std::size_t stop = order[i]; !found && stop != kNoTwin;) {
        for (std::size_t at = from; at <= to && !found; ++at) {
          if (added(rest, legs, at, stops_[stop]) >= saved - 1e-9) continue;
          rest.insert(at_place(rest, at), stop);
          order = rest;
          found = true;
        }
        stop = stop == order[i] && stops_[stop].twin != stop ? stops_[stop].twin : kNoTwin;
      }
      moved = moved || found;
    }
    return moved;
  }

  bool turn_round(Order& order) const {
    bool turned = false;
    for (std::size_t i = 0; i + 1 < order.size(); ++i) {
      if (stops_[order[i]].twin == kNoTwin) continue;
      for (std::size_t j = i + 1; j < order.size(); ++j) {
        if (stops_[order[j]].twin == kNoTwin) break;
        if (stops_[order[i]].choice.survey != stops_[order[j]].choice.survey) break;
        const Stop& head = stops_[stops_[order[i]].twin];
        const Stop& tail = stops_[stops_[order[j]].twin];
        double change = (i == 0 ? first(tail) : legs_.between(stops_[order[i - 1]], tail)) - leg(order, i);
        if (j + 1 < order.size()) change += legs_.between(head, stops_[order[j + 1]]) - leg(order, j + 1);
        // Within the stretch each leg costs the same the other way, but for the seconds of its end.
        change += stops_[order[i]].seconds - tail.seconds;
        if (change >= -1e-9) continue;
        std::reverse(at_place(order, i), at_place(order, j + 1));
        for (std::size_t k = i; k <= j; ++k) order[k] = stops_[order[k]].twin;
        turned = true;
      }
    }
    return turned;
  }

  const Harness& harness_;
  const Costs& costs_;
  const std::vector<Survey>& surveys_;
  const Visit* after_;
  const FaultSet& wanted_;
  Legs legs_;
  std::vector<Stop> stops_;
  std::vector<Order> holders_;                     // by fault: the stops worth trying that show it
  std::vector<std::vector<std::uint32_t>> every_;  // by fault, made when asked for
  std::size_t controls_ = 0, most_places_ = 0;
  std::vector<std::vector<std::uint32_t>> places_;  // by control, by setting; 0 is where it rests
  std::set<std::tuple<std::uint32_t, PointId, PointId>> pairs_read_;  // by setting, worth trying
  std::size_t likely_ = 0;                                            // how many are worth trying
  std::vector<FaultSet> delayed_;           // by survey: what it and those before it can show
  std::vector<std::vector<double>> delay_;  // by survey, by fault: the seconds lost if it is shown only later
  std::uint64_t spin_ = 1;                  // a linear congruence: the same on every machine
};

}  // namespace

std::vector<RouteChoice> route(const Harness& harness, const Costs& costs, const std::vector<Survey>& surveys,
                               const RouteStretch& stretch, const std::vector<Fault>& faults,
                               const FaultSet& wanted, const Reached& reached) {
  if (wanted.empty()) return {};
  return Router(harness, costs, surveys, stretch, faults, wanted).run(reached);
}

Visit visit_of(const Costs& costs, const std::vector<Survey>& surveys, const RouteChoice& choice) {
  const Candidate& probe = surveys[choice.survey].candidates[choice.candidate];
  return {probe.setting, probe.left, probe.range, probe.a, probe.b, probe.swept ? costs.sweep : costs.read};
}

}  // namespace lugwise::plan::inside
