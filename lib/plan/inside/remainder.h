// What does it take at least to show what is not shown yet? Private to this room.
#pragma once

#include <cstdint>
#include <map>
#include <vector>

#include "plan/inside/fault_set.h"
#include "plan/inside/legs.h"
#include "plan/inside/survey.h"

namespace lugwise::plan::inside {

// Points, places of a control and ranges are told apart by a bit each.
using Bits = std::uint64_t;
inline constexpr std::size_t kMostBits = 64;

// A candidate that shows something wanted.
struct MarkedVisit : Visit {
  std::size_t candidate = 0;
  std::size_t a_bit = 0, b_bit = 0;
  double own = 0;  // what it adds to any plan: the reading, or what a sweep takes above the turn it makes

  Bits point_bits() const { return Bits{1} << a_bit | Bits{1} << b_bit; }
  Bits range_bit() const;
};

// What a few visits make use of.
struct InUse {
  Bits points = 0;
  Bits ranges = 0;
  std::vector<Bits> places;  // by control
};

// The wanted faults as rows, without those that come with another anyway, and the visits that show them.
class Remainder {
 public:
  // No more points than bits.
  Remainder(const Harness& harness, const Costs& costs, const Survey& survey, const FaultSet& wanted);

  const std::vector<MarkedVisit>& visits() const { return visits_; }
  const FaultSet& shows(std::size_t visit) const { return shows_[visit]; }  // rows
  std::size_t rows() const { return rows_.size(); }
  const std::vector<std::uint32_t>& holders(std::size_t row) const { return holders_[row]; }

  // What the instrument has as it came, and what a visit adds to that.
  const InUse& start() const { return start_; }
  void use(InUse& used, const MarkedVisit& visit) const;
  int turns(const InUse& used, const Visit& visit) const;

  // What rows of which no visit shows two take to be read, those with the least company first.
  double reading(const FaultSet& rest) const;

  // What comes on top, whichever visits show the rest: points, places and ranges that nothing so far makes use of, each
  // counted for rows that have none in common.
  double reaching(InUse used, const FaultSet& rest) const;

 private:
  // What all that show a fault make use of between them.
  struct Row {
    double own = 0;             // of the least of them
    FaultSet company;           // all rows that one of them shows
    std::vector<Bits> meeting;  // points of which each of them has one
    Bits ranges = 0;
    std::vector<Bits> places;
  };

  std::vector<FaultSet> gather_visits(const Survey& survey, const FaultSet& wanted);
  void gather_rows(const std::vector<FaultSet>& sets, const FaultSet& wanted);
  void number_places(const Harness& harness, const std::vector<Setting>& settings);
  void describe_rows();

  const Costs& costs_;
  std::vector<MarkedVisit> visits_;
  std::vector<FaultSet> shows_;                      // by visit: rows
  std::vector<std::vector<std::uint32_t>> holders_;  // by row: visits
  std::vector<Row> rows_;
  std::map<PointId, std::size_t> points_;
  std::vector<std::vector<Bits>> places_;  // by setting, by control
  InUse start_;
};

}  // namespace lugwise::plan::inside
