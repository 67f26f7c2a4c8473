#include "plan/inside/optimum.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <queue>
#include <set>
#include <span>
#include <utility>

#include "plan/inside/remainder.h"
#include "plan/inside/tour.h"

namespace lugwise::plan::inside {
namespace {

// Among more visits than this the search would not come to an end.
constexpr std::size_t kMostVisits = 4'000;

constexpr std::uint32_t kNobody = ~std::uint32_t{0};

// A beginning of a plan: its visits in no order.
struct Node {
  double least = 0;  // no plan with these visits, and none of those tried before, takes less
  double route = 0;  // these visits alone
  std::uint32_t parent = kNobody;
  std::uint32_t visit = 0;
  std::uint32_t children = kNobody;  // its first; the others follow
  FaultSet rest;                     // rows not shown yet
};

class PlanSearch {
 public:
  PlanSearch(const Harness& harness, const Costs& costs, const Survey& survey, const FaultSet& wanted)
      : costs_(costs),
        settings_(survey.settings.size()),
        legs_(harness, costs, survey.settings),
        remainder_(harness, costs, survey, wanted),
        tour_(legs_) {}

  // Best first: of all beginnings of plans, the one that promises the least is taken further.
  double run(double seconds, std::size_t most_work) {
    best_ = seconds;
    Node root;
    root.rest = FaultSet(remainder_.rows());
    for (std::size_t row = 0; row < remainder_.rows(); ++row) root.rest.add(row);
    nodes_.push_back(std::move(root));
    using Turn = std::pair<double, std::uint32_t>;
    std::priority_queue<Turn, std::vector<Turn>, std::greater<>> turns;
    turns.emplace(0, 0);
    while (!turns.empty()) {
      const auto [least, node] = turns.top();
      if (least >= best_ - kHair) break;
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
    for (std::uint32_t visit : best_order_) candidates.push_back(remainder_.visits()[visit].candidate);
    return candidates;
  }

 private:
  // A beginning as it is taken further.
  struct Beginning {
    std::vector<std::uint32_t> chosen;
    std::vector<char> tried;  // by visit: out of the question
    InUse used;
  };

  // Each visit that is still open, and each row not shown yet.
  struct Outlay {
    std::vector<double>
        fresh;  // by visit: what it has of its own, beside its reading; HUGE_VAL: too much already
    std::vector<std::size_t> holders;  // by row: how many visits may show it
    std::vector<double> nearest;       // by row: the least that one of them has of its own
  };

  Beginning begin(std::uint32_t node) const {
    Beginning here{{}, std::vector<char>(remainder_.visits().size(), 0), remainder_.start()};
    for (std::uint32_t at = node; nodes_[at].parent != kNobody; at = nodes_[at].parent) {
      here.chosen.push_back(nodes_[at].visit);
      remainder_.use(here.used, remainder_.visits()[nodes_[at].visit]);
      for (std::uint32_t before = nodes_[nodes_[at].parent].children; before < at; ++before)
        here.tried[nodes_[before].visit] = 1;
    }
    return here;
  }

  Outlay lay_out(const Beginning& here, const FaultSet& rest, double slack) {
    const std::vector<MarkedVisit>& visits = remainder_.visits();
    std::vector<int> turns_to(settings_, 0);
    for (std::uint32_t s = 0; s < turns_to.size(); ++s) {
      Visit there;
      there.setting = there.left = s;
      turns_to[s] = remainder_.turns(here.used, there);
    }
    const std::span<const std::uint64_t> words = rest.words();
    Outlay outlay{std::vector<double>(visits.size(), HUGE_VAL),
                  std::vector<std::size_t>(remainder_.rows(), 0),
                  std::vector<double>(remainder_.rows(), HUGE_VAL)};
    work_ += visits.size();
    for (std::size_t v = 0; v < visits.size(); ++v) {
      if (here.tried[v]) continue;
      const MarkedVisit& visit = visits[v];
      const int turns =
          visit.left == visit.setting ? turns_to[visit.setting] : remainder_.turns(here.used, visit);
      double sum = costs_.turn_control * turns +
                   costs_.move_probe * std::popcount(visit.point_bits() & ~here.used.points);
      if (!here.chosen.empty() && (visit.range_bit() & here.used.ranges) == 0) sum += costs_.change_range;
      if (sum >= slack - kHair) continue;
      outlay.fresh[v] = sum;
      for (std::size_t w = 0; w < words.size(); ++w) {
        for (std::uint64_t word = remainder_.shows(v).words()[w] & words[w]; word != 0; word &= word - 1) {
          const std::size_t row = w * 64 + static_cast<std::size_t>(std::countr_zero(word));
          ++outlay.holders[row];
          outlay.nearest[row] = std::min(outlay.nearest[row], sum);
        }
      }
    }
    return outlay;
  }

  // A beginning, with each visit that shows the row which the fewest visits can; a visit tried is out of the question for the
  // next.
  void expand(std::uint32_t node) {
    const FaultSet rest = nodes_[node].rest;
    const double route = nodes_[node].route;
    const Beginning here = begin(node);
    if (here.chosen.size() == Tour::kMost) {
      given_up_ = std::min(given_up_, nodes_[node].least);
      return;
    }
    const double slack = best_ - route - remainder_.reading(rest);
    const Outlay outlay = lay_out(here, rest, slack);
    std::size_t row = rest.list().front();
    double far = 0;
    for (std::size_t r : rest.list()) {
      if (outlay.holders[r] < outlay.holders[row]) row = r;
      far = std::max(far, outlay.nearest[r]);
    }
    const double least = std::max(nodes_[node].least, best_ - slack + far);
    if (least >= best_ - kHair) return;

    tour_.clear();
    for (std::uint32_t visit : here.chosen) tour_.push(remainder_.visits()[visit]);
    std::vector<Node> children;
    for (std::uint32_t v : remainder_.holders(row)) {
      if (here.tried[v] || outlay.fresh[v] == HUGE_VAL) continue;
      const MarkedVisit& visit = remainder_.visits()[v];
      Node child;
      child.rest = rest;
      child.rest -= remainder_.shows(v);
      const double read = remainder_.reading(child.rest);
      if (route + visit.own + outlay.fresh[v] + read >= best_ - kHair) continue;
      tour_.push(visit);
      child.route = tour_.seconds();
      work_ += (tour_.size() * tour_.size() << tour_.size()) / 4 + 8 * remainder_.rows();
      if (child.rest.empty()) {
        if (child.route < best_ - kHair) keep(here, v, child.route);
      } else {
        InUse more = here.used;
        remainder_.use(more, visit);
        child.least = std::max(least, child.route + read + remainder_.reaching(more, child.rest));
        child.parent = node;
        child.visit = v;
        if (child.least < best_ - kHair) children.push_back(std::move(child));
      }
      tour_.pop();
    }
    std::stable_sort(children.begin(), children.end(),
                     [](const Node& x, const Node& y) { return x.least < y.least; });
    nodes_[node].children = static_cast<std::uint32_t>(nodes_.size());
    for (Node& child : children) nodes_.push_back(std::move(child));
  }

  // A whole plan, with its last visit, that is quicker than all before.
  void keep(const Beginning& here, std::uint32_t last, double seconds) {
    best_ = seconds;
    best_order_.clear();
    for (std::size_t place : tour_.order())
      best_order_.push_back(place < here.chosen.size() ? here.chosen[place] : last);
  }

  const Costs& costs_;
  std::size_t settings_ = 0;
  const Legs legs_;
  const Remainder remainder_;
  Tour tour_;
  std::vector<Node> nodes_;
  double best_ = 0;
  double given_up_ = HUGE_VAL;  // the least that a beginning of too many visits promises
  std::vector<std::uint32_t> best_order_;
  std::size_t work_ = 0;
};

}  // namespace

Optimum find_optimum(const Harness& harness, const Costs& costs, const std::vector<Survey>& surveys,
                     std::size_t of, const FaultSet& wanted, double seconds, std::size_t most_work) {
  Optimum optimum;
  std::set<PointId> points;
  for (const Candidate& probe : surveys[of].candidates) points.insert({probe.a, probe.b});
  if (wanted.empty() || surveys[of].candidates.size() > kMostVisits || points.size() > kMostBits ||
      costs.sweep < costs.turn_control)
    return optimum;
  PlanSearch search(harness, costs, surveys[of], wanted);
  optimum.least = search.run(seconds, most_work);
  for (std::size_t candidate : search.quickest())
    optimum.quicker.push_back({static_cast<std::uint32_t>(of), static_cast<std::uint32_t>(candidate)});
  return optimum;
}

}  // namespace lugwise::plan::inside
