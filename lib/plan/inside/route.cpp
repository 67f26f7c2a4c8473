#include "plan/inside/route.h"

#include <algorithm>

#include "plan/inside/delay.h"
#include "plan/inside/itinerary.h"
#include "plan/inside/novelty.h"

namespace lugwise::plan::inside {
namespace {

// Rounds are the more the quicker each is.
constexpr std::size_t kWork = 1'000'000;
constexpr std::size_t kLeastRounds = 250;
constexpr std::size_t kMostRounds = 2'000;

// A plan is worth going on from if it costs no more than this above the best.
constexpr double kSlack = 1.03;

// Something that costs next to nothing is worth no more than this many seconds say.
constexpr double kLeastSeconds = 0.5;

// Whether a mended plan may differ from what is the best at the moment, so that what is nearly as good gets its turn.
enum class Luck { None, Some };

auto at_place(Order& order, std::size_t place) { return order.begin() + static_cast<std::ptrdiff_t>(place); }

class Router {
 public:
  Router(const Harness& harness, const Costs& costs, const std::vector<Survey>& surveys,
         const RouteStretch& stretch, const std::vector<Fault>& faults, const FaultSet& wanted)
      : wanted_(wanted),
        stops_(harness, costs, surveys, stretch, wanted),
        legs_(harness, costs, surveys.front().settings),
        itinerary_(stops_, legs_, stretch.after),
        delays_(stops_, costs, surveys, faults, wanted),
        novelty_(harness, costs, surveys.front().settings, stretch.after),
        every_(faults.size()) {}

  std::vector<RouteChoice> run(const Reached& reached) {
    Order now;
    mend(now, Luck::None);
    polish(now);
    Order best = now;
    double least = cost(best);
    const std::size_t rounds =
        best.size() < 2 ? 0 : std::clamp(kWork / (stops_.likely() + 1), kLeastRounds, kMostRounds);
    for (std::size_t round = 0; round < rounds; ++round) {
      if (reached) reached(round, rounds);
      Order tried = now;
      take_apart(tried);
      mend(tried, Luck::Some);
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
  double cost(const Order& order) const { return itinerary_.handling(order) + delays_.of(order); }

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
  void mend(Order& order, Luck shaken) {
    FaultSet missing = wanted_;
    for (std::size_t stop : order) missing -= stops_[stop].set;
    while (!missing.empty()) {
      const std::vector<std::size_t>& holders = stops_.holders(rarest(missing));
      if (holders.empty()) return;
      const std::vector<double> legs = itinerary_.all_legs(order);
      const std::vector<FaultSet> early = delays_.shown_early(order);
      const Used used = novelty_.used_by(stops_, order);
      double best = 0;
      std::size_t best_stop = 0;
      std::size_t best_place = 0;
      for (const std::size_t s : holders) {
        const Stop& stop = stops_[s];
        const double worth =
            static_cast<double>(count_of(stop.set, missing)) * (shaken == Luck::Some ? luck() : 1);
        const double sooner = delays_.avoided(stop, early);
        if (worth <= best * std::max(kLeastSeconds,
                                     order.empty() ? 0 : novelty_.least_added(stop, used) - sooner - kHair))
          continue;
        const auto [from, to] = itinerary_.places(order, stop);
        for (std::size_t at = from; at <= to; ++at) {
          const double gain =
              worth / std::max(kLeastSeconds, itinerary_.added(order, legs, at, stop) - sooner);
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
      return stops_.holders(x).size() < stops_.holders(y).size();
    });
  }

  // Drops what the others make unnecessary, then moves single stops and turns stretches round while that saves time.
  void polish(Order& order) const {
    drop_needless(order);
    for (bool better = true; better;) better = move_one(order) || turn_round(order);
  }

  void drop_needless(Order& order) const {
    for (;;) {
      const double now = delays_.of(order);
      std::size_t worst = order.size();
      double most = 0;
      // What those after each show, so that one pass says what all but one show.
      std::vector<FaultSet> later(order.size() + 1, FaultSet(wanted_.words().size() * 64));
      for (std::size_t i = order.size(); i-- > 0;) {
        later[i] = later[i + 1];
        later[i] |= stops_[order[i]].set;
      }
      FaultSet before(wanted_.words().size() * 64);
      for (std::size_t drop = 0; drop < order.size(); ++drop) {
        FaultSet others = before;
        others |= later[drop + 1];
        before |= stops_[order[drop]].set;
        if (!others.contains(wanted_)) continue;
        const double saved = itinerary_.saving(order, drop) - (delays_.without(order, drop) - now);
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
      const std::vector<double> legs = itinerary_.all_legs(rest);
      const std::vector<FaultSet> early = delays_.shown_early(rest);
      const double without = cost(rest);
      if (need.empty()) continue;  // polished away, but for what rounding leaves
      for (const std::uint32_t s : every(rarest(need))) {
        const Stop& stop = stops_[s];
        if (!holds(stop.set, need.words().data(), wanted_)) continue;
        const double sooner = delays_.avoided(stop, early);
        const auto [from, to] = itinerary_.places(rest, stop);
        for (std::size_t at = from; at <= to; ++at) {
          if (without + itinerary_.added(rest, legs, at, stop) - sooner >= now - 1e-6) continue;
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
      const double saved = itinerary_.saving(order, i);
      Order rest = order;
      rest.erase(at_place(rest, i));
      const std::vector<double> legs = itinerary_.all_legs(rest);
      const auto [from, to] = itinerary_.places(rest, stops_[order[i]]);
      bool found = false;
      for (std::size_t stop = order[i]; !found && stop != kNoTwin;) {
        for (std::size_t at = from; at <= to && !found; ++at) {
          if (itinerary_.added(rest, legs, at, stops_[stop]) >= saved - 1e-9) continue;
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
        if (itinerary_.turning(order, i, j) >= -1e-9) continue;
        std::reverse(at_place(order, i), at_place(order, j + 1));
        for (std::size_t k = i; k <= j; ++k) order[k] = stops_[order[k]].twin;
        turned = true;
      }
    }
    return turned;
  }

  const FaultSet& wanted_;
  const Stops stops_;
  const Legs legs_;
  const Itinerary itinerary_;
  const Delays delays_;
  const Novelty novelty_;
  std::vector<std::vector<std::uint32_t>> every_;  // by fault, made when asked for
  std::uint64_t spin_ = 1;                         // a linear congruence: the same on every machine
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
