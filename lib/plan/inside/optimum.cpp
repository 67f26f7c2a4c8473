#include "plan/inside/optimum.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <map>
#include <queue>
#include <set>
#include <span>
#include <string>

#include "plan/inside/legs.h"

namespace lugwise::plan::inside {
namespace {

constexpr double kRounding = 1e-9;

// Points, places of a control and ranges are told apart by a bit each.
using Bits = std::uint64_t;
constexpr std::size_t kMostBits = 64;

// The best order of so many stops can be found; beginnings of more are left as they are.
constexpr std::size_t kMostChosen = 13;

// Among more stops than this the search would not come to an end.
constexpr std::size_t kMostStops = 4'000;

constexpr std::uint32_t kNobody = ~std::uint32_t{0};

struct Stop : Visit {
  std::size_t candidate = 0;
  std::size_t a_bit = 0, b_bit = 0;
  double own = 0;  // what it adds to any plan: the reading, or what a sweep takes above the turn it makes
};

// What a few stops make use of.
struct Used {
  Bits points = 0;
  Bits ranges = 0;
  std::vector<Bits> places;  // by control
};

// What all that show a fault make use of between them.
struct Row {
  double own = 0;             // of the least of them
  FaultSet company;           // all rows that one of them shows
  std::vector<Bits> meeting;  // points of which each of them has one
  Bits ranges = 0;
  std::vector<Bits> places;
};

struct Node {
  double least = 0;  // no plan with these stops, and none of those tried before, takes less
  double route = 0;  // these stops alone
  std::uint32_t parent = kNobody;
  std::uint32_t stop = 0;
  std::uint32_t children = kNobody;  // its first; the others follow
  FaultSet rest;                     // rows not shown yet
};

class Search {
 public:
  Search(const Harness& harness, const Costs& costs, const Survey& survey, const FaultSet& wanted)
      : harness_(harness), costs_(costs), survey_(survey), legs_(harness, costs, survey.settings) {
    gather(wanted);
    number_places();
    describe_rows();
  }

  // Best first: of all beginnings of plans, the one that promises the least is taken further.
  double run(double seconds, std::size_t most_work) {
    best_ = seconds;
    Node root;
    root.rest = FaultSet(rows_.size());
    for (std::size_t row = 0; row < rows_.size(); ++row) root.rest.add(row);
    nodes_.push_back(std::move(root));
    using Turn = std::pair<double, std::uint32_t>;
    std::priority_queue<Turn, std::vector<Turn>, std::greater<>> turns;
    turns.emplace(0, 0);
    while (!turns.empty()) {
      const auto [least, node] = turns.top();
      if (least >= best_ - kRounding) break;
      if (work_ > most_work) return std::min(least, given_up_);
      turns.pop();
      const std::size_t from = nodes_.size();
      expand(node);
      for (std::size_t child = from; child < nodes_.size(); ++child)
        turns.emplace(nodes_[child].least, static_cast<std::uint32_t>(child));
    }
    return std::min(best_, given_up_);
  }

  // The candidates of the quickest plan found, in order.
  std::vector<std::size_t> quickest() const {
    std::vector<std::size_t> candidates;
    for (std::uint32_t stop : best_order_) candidates.push_back(stops_[stop].candidate);
    return candidates;
  }

 private:
  // The stops that show something wanted, and of the faults those rows that come with no other.
  void gather(const FaultSet& wanted) {
    std::vector<FaultSet> sets;
    for (std::size_t c = 0; c < survey_.candidates.size(); ++c) {
      FaultSet set(survey_.set(c), survey_.words());
      set &= wanted;
      if (set.empty()) continue;
      const Candidate& probe = survey_.candidates[c];
      Stop stop{
          {probe.setting, probe.left, probe.range, probe.a, probe.b, costs_.read}, c, 0, 0, costs_.read};
      if (probe.swept) {
        stop.seconds = costs_.sweep;
        stop.own = costs_.sweep - costs_.turn_control;
      }
      for (PointId point : {probe.a, probe.b}) points_.try_emplace(point, points_.size());
      stop.a_bit = points_.at(probe.a);
      stop.b_bit = points_.at(probe.b);
      stops_.push_back(stop);
      sets.push_back(std::move(set));
    }
    struct Held {
      std::size_t fault;
      std::size_t size;
      FaultSet by;
    };
    std::vector<Held> faults;
    for (std::size_t fault : wanted.list()) {
      FaultSet by(stops_.size());
      for (std::size_t s = 0; s < sets.size(); ++s) {
        if (sets[s].has(fault)) by.add(s);
      }
      const std::size_t size = by.size();
      faults.push_back({fault, size, std::move(by)});
    }
    std::stable_sort(faults.begin(), faults.end(),
                     [](const Held& x, const Held& y) { return x.size < y.size; });
    std::vector<const Held*> kept;
    for (const Held& fault : faults) {
      if (std::none_of(kept.begin(), kept.end(), [&](const Held* o) { return fault.by.contains(o->by); }))
        kept.push_back(&fault);
    }
    rows_.resize(kept.size());
    shows_.assign(stops_.size(), FaultSet(kept.size()));
    holders_.resize(kept.size());
    for (std::size_t row = 0; row < kept.size(); ++row) {
      for (std::size_t s : kept[row]->by.list()) {
        shows_[s].add(row);
        holders_[row].push_back(static_cast<std::uint32_t>(s));
      }
    }
  }

  // By setting and control; where the plan begins is 0. Beyond what has a bit they count as one, which promises less.
  void number_places() {
    const std::vector<PartId> controls = harness_.controls();
    std::vector<std::map<std::string, Bits>> numbers(controls.size());
    const Setting start(harness_);
    const auto bit = [&](std::size_t c, const Setting& setting) {
      const auto [at, fresh] =
          numbers[c].try_emplace(setting.place_name(harness_, controls[c]), numbers[c].size());
      return Bits{1} << std::min<Bits>(at->second, kMostBits - 1);
    };
    for (std::size_t c = 0; c < controls.size(); ++c) start_.places.push_back(bit(c, start));
    for (const Setting& setting : survey_.settings) {
      places_.emplace_back();
      for (std::size_t c = 0; c < controls.size(); ++c) places_.back().push_back(bit(c, setting));
    }
  }

  static Bits range_bit(const Stop& stop) { return Bits{1} << std::min<Bits>(stop.range, kMostBits - 1); }
  static Bits point_bits(const Stop& stop) { return Bits{1} << stop.a_bit | Bits{1} << stop.b_bit; }

  void use(Used& used, const Stop& stop) const {
    used.points |= point_bits(stop);
    used.ranges |= range_bit(stop);
    for (std::size_t c = 0; c < used.places.size(); ++c)
      used.places[c] |= places_[stop.setting][c] | places_[stop.left][c];
  }

  void describe_rows() {
    for (std::size_t r = 0; r < rows_.size(); ++r) {
      Row& row = rows_[r];
      row.own = HUGE_VAL;
      row.company = FaultSet(rows_.size());
      Used used;
      used.places.assign(start_.places.size(), 0);
      std::vector<Bits> partners(points_.size(), 0);
      for (std::uint32_t s : holders_[r]) {
        const Stop& stop = stops_[s];
        row.own = std::min(row.own, stop.own);
        row.company |= shows_[s];
        use(used, stop);
        partners[stop.a_bit] |= Bits{1} << stop.b_bit;
        partners[stop.b_bit] |= Bits{1} << stop.a_bit;
      }
      row.ranges = used.ranges;
      row.places = used.places;
      row.meeting = meeting(partners);
    }
  }

  // A few sets of points such that each pair has one of them, none with a point to spare: the points with few partners go
  // first, then those with many, then as they come.
  static std::vector<Bits> meeting(const std::vector<Bits>& partners) {
    std::vector<std::size_t> order;
    for (std::size_t point = 0; point < partners.size(); ++point) {
      if (partners[point] != 0) order.push_back(point);
    }
    std::stable_sort(order.begin(), order.end(), [&](std::size_t x, std::size_t y) {
      return std::popcount(partners[x]) < std::popcount(partners[y]);
    });
    std::vector<Bits> all;
    const auto take = [&] {
      Bits in = 0;
      for (std::size_t point : order) in |= Bits{1} << point;
      for (std::size_t point : order) {
        if ((partners[point] & ~in) == 0) in &= ~(Bits{1} << point);
      }
      if (std::find(all.begin(), all.end(), in) == all.end()) all.push_back(in);
    };
    take();
    std::reverse(order.begin(), order.end());
    take();
    std::sort(order.begin(), order.end());
    take();
    std::reverse(order.begin(), order.end());
    take();
    return all;
  }

  // What rows of which no stop shows two take to be read, those with the least company first.
  double reading(const FaultSet& rest) const {
    const std::vector<std::size_t> rows = rest.list();
    std::vector<std::pair<std::size_t, std::size_t>> by_company;
    for (std::size_t row : rows) {
      FaultSet company = rows_[row].company;
      company &= rest;
      by_company.emplace_back(company.size(), row);
    }
    std::sort(by_company.begin(), by_company.end());
    FaultSet taken(rows_.size());
    double sum = 0;
    for (const auto& [size, row] : by_company) {
      if (taken.has(row)) continue;
      sum += rows_[row].own;
      taken |= rows_[row].company;
    }
    return sum;
  }

  // What comes on top, whichever stops show the rest: points, places and ranges that nothing so far makes use of, each
  // counted for rows that have none in common.
  double reaching(Used used, const FaultSet& rest) const {
    double sum = 0;
    std::vector<std::pair<int, Bits>> meeting;
    for (std::size_t r : rest.list()) {
      const Row& row = rows_[r];
      for (std::size_t c = 0; c < used.places.size(); ++c) {
        if ((row.places[c] & used.places[c]) != 0) continue;
        used.places[c] |= row.places[c];
        sum += costs_.turn_control;
      }
      if ((row.ranges & used.ranges) == 0) {
        used.ranges |= row.ranges;
        sum += costs_.change_range;
      }
      for (Bits points : row.meeting) {
        if ((points & used.points) == 0) meeting.emplace_back(std::popcount(points), points);
      }
    }
    std::sort(meeting.begin(), meeting.end());
    for (const auto& [size, points] : meeting) {
      if ((points & used.points) != 0) continue;
      used.points |= points;
      sum += costs_.move_probe;
    }
    return sum;
  }

  // The least seconds for some stops, in the best order (Held and Karp's table: by set of stops, by the last of them). What
  // is known of the stops they begin with is kept: `known_` of them, until they are others.
  double seconds_of(const std::vector<std::uint32_t>& stops, std::vector<std::uint32_t>* order = nullptr) {
    for (; known_ < stops.size(); ++known_) tabulate(stops, known_);
    const std::size_t n = stops.size();
    const std::size_t all = (std::size_t{1} << n) - 1;
    std::size_t last = 0;
    for (std::size_t i = 1; i < n; ++i) {
      if (ends_[all * kMostChosen + i] < ends_[all * kMostChosen + last]) last = i;
    }
    const double least = ends_[all * kMostChosen + last];
    if (!order) return least;
    order->assign(1, stops[last]);
    for (std::size_t done = all ^ std::size_t{1} << last; done != 0;) {
      for (std::size_t i = 0; i < n; ++i) {
        if ((done >> i & 1) == 0) continue;
        const double through = ends_[done * kMostChosen + i] + leg_[last * kMostChosen + i];
        if (std::abs(through - ends_[(done | std::size_t{1} << last) * kMostChosen + last]) > kRounding)
          continue;
        order->push_back(stops[i]);
        done ^= std::size_t{1} << i;
        last = i;
        break;
      }
    }
    std::reverse(order->begin(), order->end());
    return least;
  }

  // All sets of the first stops with one more, which comes after them.
  void tabulate(const std::vector<std::uint32_t>& stops, std::size_t one) {
    leg_.resize(kMostChosen * kMostChosen);
    for (std::size_t i = 0; i < one; ++i) {
      leg_[one * kMostChosen + i] = legs_.between(stops_[stops[i]], stops_[stops[one]]);
      leg_[i * kMostChosen + one] = legs_.between(stops_[stops[one]], stops_[stops[i]]);
    }
    const std::size_t bit = std::size_t{1} << one;
    if (ends_.size() < 2 * bit * kMostChosen) ends_.resize(2 * bit * kMostChosen);
    ends_[bit * kMostChosen + one] = legs_.first(stops_[stops[one]]);
    const auto end_at = [&](std::size_t set, std::size_t last) {
      double least = HUGE_VAL;
      const std::size_t before = set & ~(std::size_t{1} << last);
      const double* const ends = ends_.data() + before * kMostChosen;
      const double* const leg = leg_.data() + last * kMostChosen;
      for (std::size_t left = before; left != 0; left &= left - 1) {
        const auto i = static_cast<std::size_t>(std::countr_zero(left));
        least = std::min(least, ends[i] + leg[i]);
      }
      ends_[set * kMostChosen + last] = least;
    };
    for (std::size_t set = bit + 1; set < 2 * bit; ++set) {
      for (std::size_t left = set; left != 0; left &= left - 1)
        end_at(set, static_cast<std::size_t>(std::countr_zero(left)));
    }
  }

  // A beginning, with each stop that shows the row which the fewest stops can; a stop tried is out of the question for the
  // next.
  void expand(std::uint32_t node) {
    const FaultSet rest = nodes_[node].rest;
    const double route = nodes_[node].route;
    std::vector<std::uint32_t> chosen;
    std::vector<char> tried(stops_.size(), 0);
    Used used = start_;
    for (std::uint32_t at = node; nodes_[at].parent != kNobody; at = nodes_[at].parent) {
      chosen.push_back(nodes_[at].stop);
      use(used, stops_[nodes_[at].stop]);
      for (std::uint32_t before = nodes_[nodes_[at].parent].children; before < at; ++before)
        tried[nodes_[before].stop] = 1;
    }
    if (chosen.size() == kMostChosen) {
      given_up_ = std::min(given_up_, nodes_[node].least);
      return;
    }

    known_ = 0;

    // What each stop has of its own, beside its reading, and whether that is too much already.
    const double slack = best_ - route - reading(rest);
    const auto turns = [&](const Stop& stop) {
      int sum = 0;
      for (std::size_t c = 0; c < used.places.size(); ++c)
        sum += std::popcount((places_[stop.setting][c] | places_[stop.left][c]) & ~used.places[c]);
      return sum;
    };
    std::vector<int> turns_to(survey_.settings.size(), 0);
    for (std::uint32_t s = 0; s < turns_to.size(); ++s) {
      Stop there;
      there.setting = there.left = s;
      turns_to[s] = turns(there);
    }
    const std::span<const std::uint64_t> words = rest.words();
    std::vector<std::size_t> holders(rows_.size(), 0);
    std::vector<double> fresh(stops_.size(), HUGE_VAL);
    std::vector<double> nearest(rows_.size(), HUGE_VAL);
    work_ += stops_.size();
    for (std::size_t s = 0; s < stops_.size(); ++s) {
      if (tried[s]) continue;
      const Stop& stop = stops_[s];
      double sum = costs_.turn_control * (stop.left == stop.setting ? turns_to[stop.setting] : turns(stop)) +
                   costs_.move_probe * std::popcount(point_bits(stop) & ~used.points);
      if (!chosen.empty() && (range_bit(stop) & used.ranges) == 0) sum += costs_.change_range;
      if (sum >= slack - kRounding) continue;
      fresh[s] = sum;
      for (std::size_t w = 0; w < words.size(); ++w) {
        for (std::uint64_t word = shows_[s].words()[w] & words[w]; word != 0; word &= word - 1) {
          const std::size_t row = w * 64 + static_cast<std::size_t>(std::countr_zero(word));
          ++holders[row];
          nearest[row] = std::min(nearest[row], sum);
        }
      }
    }
    std::size_t row = rest.list().front();
    double far = 0;
    for (std::size_t r : rest.list()) {
      if (holders[r] < holders[row]) row = r;
      far = std::max(far, nearest[r]);
    }
    const double least = std::max(nodes_[node].least, best_ - slack + far);
    if (least >= best_ - kRounding) return;

    std::vector<Node> children;
    for (std::uint32_t s : holders_[row]) {
      if (tried[s] || fresh[s] == HUGE_VAL) continue;
      Node child;
      child.rest = rest;
      child.rest -= shows_[s];
      const double read = reading(child.rest);
      if (route + stops_[s].own + fresh[s] + read >= best_ - kRounding) continue;
      chosen.push_back(s);
      child.route = seconds_of(chosen);
      work_ += (chosen.size() * chosen.size() << chosen.size()) / 4 + 8 * rows_.size();
      if (child.rest.empty()) {
        if (child.route < best_ - kRounding) best_ = seconds_of(chosen, &best_order_);
      } else {
        Used more = used;
        use(more, stops_[s]);
        child.least = std::max(least, child.route + read + reaching(more, child.rest));
        child.parent = node;
        child.stop = s;
        if (child.least < best_ - kRounding) children.push_back(std::move(child));
      }
      chosen.pop_back();
      known_ = std::min(known_, chosen.size());
    }
    std::stable_sort(children.begin(), children.end(),
                     [](const Node& x, const Node& y) { return x.least < y.least; });
    nodes_[node].children = static_cast<std::uint32_t>(nodes_.size());
    for (Node& child : children) nodes_.push_back(std::move(child));
  }

  const Harness& harness_;
  const Costs& costs_;
  const Survey& survey_;
  Legs legs_;
  std::vector<Stop> stops_;
  std::vector<FaultSet> shows_;                      // by stop: rows
  std::vector<std::vector<std::uint32_t>> holders_;  // by row: stops
  std::vector<Row> rows_;
  std::map<PointId, std::size_t> points_;
  std::vector<std::vector<Bits>> places_;  // by setting, by control
  Used start_;
  std::vector<Node> nodes_;
  std::vector<double> leg_;   // of seconds_of: to a stop, from a stop
  std::vector<double> ends_;  // of seconds_of: by stops done, by the last of them
  std::size_t known_ = 0;     // stops that seconds_of has tabulated
  double best_ = 0;
  double given_up_ = HUGE_VAL;  // the least that a beginning of too many stops promises
  std::vector<std::uint32_t> best_order_;
  std::size_t work_ = 0;
};

}  // namespace

Optimum find_optimum(const Harness& harness, const Costs& costs, const std::vector<Survey>& surveys,
                     std::size_t of, const FaultSet& wanted, double seconds, std::size_t most_work) {
  Optimum optimum;
  std::set<PointId> points;
  for (const Candidate& probe : surveys[of].candidates) points.insert({probe.a, probe.b});
  if (wanted.empty() || surveys[of].candidates.size() > kMostStops || points.size() > kMostBits ||
      costs.sweep < costs.turn_control)
    return optimum;
  Search search(harness, costs, surveys[of], wanted);
  optimum.least = search.run(seconds, most_work);
  for (std::size_t candidate : search.quickest())
    optimum.quicker.push_back({static_cast<std::uint32_t>(of), static_cast<std::uint32_t>(candidate)});
  return optimum;
}

}  // namespace lugwise::plan::inside
