#include "plan/inside/remainder.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <string>
#include <utility>

namespace lugwise::plan::inside {
namespace {

// A few sets of points such that each pair has one of them, none with a point to spare: the points with few partners go
// first, then those with many, then as they come.
std::vector<Bits> meeting(const std::vector<Bits>& partners) {
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

}  // namespace

Remainder::Remainder(const Harness& harness, const Costs& costs, const Survey& survey, const FaultSet& wanted)
    : costs_(costs) {
  gather_rows(gather_visits(survey, wanted), wanted);
  number_places(harness, survey.settings);
  describe_rows();
}

// The visits that show something wanted, and what of it.
std::vector<FaultSet> Remainder::gather_visits(const Survey& survey, const FaultSet& wanted) {
  std::vector<FaultSet> sets;
  for (std::size_t c = 0; c < survey.candidates.size(); ++c) {
    FaultSet set(survey.set(c), survey.words());
    set &= wanted;
    if (set.empty()) continue;
    const Candidate& probe = survey.candidates[c];
    MarkedVisit visit{
        {probe.setting, probe.left, probe.range, probe.a, probe.b, costs_.read}, c, 0, 0, costs_.read};
    if (probe.swept) {
      visit.seconds = costs_.sweep;
      visit.own = costs_.sweep - costs_.turn_control;
    }
    for (PointId point : {probe.a, probe.b}) points_.try_emplace(point, points_.size());
    visit.a_bit = points_.at(probe.a);
    visit.b_bit = points_.at(probe.b);
    visits_.push_back(visit);
    sets.push_back(std::move(set));
  }
  return sets;
}

// Of the faults those rows that come with no other.
void Remainder::gather_rows(const std::vector<FaultSet>& sets, const FaultSet& wanted) {
  struct Held {
    std::size_t fault;
    std::size_t size;
    FaultSet by;
  };
  std::vector<Held> faults;
  for (std::size_t fault : wanted.list()) {
    FaultSet by(visits_.size());
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
  shows_.assign(visits_.size(), FaultSet(kept.size()));
  holders_.resize(kept.size());
  for (std::size_t row = 0; row < kept.size(); ++row) {
    for (std::size_t s : kept[row]->by.list()) {
      shows_[s].add(row);
      holders_[row].push_back(static_cast<std::uint32_t>(s));
    }
  }
}

// By setting and control; where the plan begins is 0. Beyond what has a bit they count as one, which promises less.
void Remainder::number_places(const Harness& harness, const std::vector<Setting>& settings) {
  const std::vector<PartId> controls = harness.controls();
  std::vector<std::map<std::string, Bits>> numbers(controls.size());
  const Setting start(harness);
  const auto bit = [&](std::size_t c, const Setting& setting) {
    const auto [at, fresh] =
        numbers[c].try_emplace(setting.place_name(harness, controls[c]), numbers[c].size());
    return Bits{1} << std::min<Bits>(at->second, kMostBits - 1);
  };
  for (std::size_t c = 0; c < controls.size(); ++c) start_.places.push_back(bit(c, start));
  for (const Setting& setting : settings) {
    places_.emplace_back();
    for (std::size_t c = 0; c < controls.size(); ++c) places_.back().push_back(bit(c, setting));
  }
}

Bits MarkedVisit::range_bit() const { return Bits{1} << std::min<Bits>(range, kMostBits - 1); }

void Remainder::use(InUse& used, const MarkedVisit& visit) const {
  used.points |= visit.point_bits();
  used.ranges |= visit.range_bit();
  for (std::size_t c = 0; c < used.places.size(); ++c)
    used.places[c] |= places_[visit.setting][c] | places_[visit.left][c];
}

int Remainder::turns(const InUse& used, const Visit& visit) const {
  int sum = 0;
  for (std::size_t c = 0; c < used.places.size(); ++c)
    sum += std::popcount((places_[visit.setting][c] | places_[visit.left][c]) & ~used.places[c]);
  return sum;
}

void Remainder::describe_rows() {
  for (std::size_t r = 0; r < rows_.size(); ++r) {
    Row& row = rows_[r];
    row.own = HUGE_VAL;
    row.company = FaultSet(rows_.size());
    InUse used;
    used.places.assign(start_.places.size(), 0);
    std::vector<Bits> partners(points_.size(), 0);
    for (std::uint32_t s : holders_[r]) {
      const MarkedVisit& visit = visits_[s];
      row.own = std::min(row.own, visit.own);
      row.company |= shows_[s];
      use(used, visit);
      partners[visit.a_bit] |= Bits{1} << visit.b_bit;
      partners[visit.b_bit] |= Bits{1} << visit.a_bit;
    }
    row.ranges = used.ranges;
    row.places = used.places;
    row.meeting = meeting(partners);
  }
}

double Remainder::reading(const FaultSet& rest) const {
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

double Remainder::reaching(InUse used, const FaultSet& rest) const {
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

}  // namespace lugwise::plan::inside
