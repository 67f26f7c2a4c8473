// Which of the surveys' probes are worth a stop on a route? Private to this room.
#pragma once

#include <cstdint>
#include <set>
#include <tuple>
#include <vector>

#include "plan/inside/fault_set.h"
#include "plan/inside/legs.h"
#include "plan/inside/survey.h"

namespace lugwise::plan::inside {

// A probe of one of the surveys.
struct RouteChoice {
  std::uint32_t survey = 0;
  std::uint32_t candidate = 0;
};

// Some of the surveys, one after the other, and where the hands are when they begin; no visit: as the instrument came.
struct RouteStretch {
  std::size_t from = 0, to = 0;  // surveys[from], ... before surveys[to]
  const Visit* after = nullptr;
};

inline constexpr std::uint32_t kNoTwin = ~std::uint32_t{0};

struct Stop : Visit {
  RouteChoice choice;
  const std::uint64_t* set = nullptr;
  std::uint32_t twin = kNoTwin;  // the same the other way round: of a reading itself
};

// The stops of a stretch that show something of what is wanted, survey by survey.
class Stops {
 public:
  Stops(const Harness& harness, const Costs& costs, const std::vector<Survey>& surveys,
        const RouteStretch& stretch, const FaultSet& wanted);

  std::size_t size() const { return stops_.size(); }
  const Stop& operator[](std::size_t stop) const { return stops_[stop]; }
  const std::vector<Stop>& all() const { return stops_; }

  // Those worth trying that show a fault, by their numbers; and how many readings are worth trying at all.
  const std::vector<std::size_t>& holders(std::size_t fault) const { return holders_[fault]; }
  std::size_t likely() const { return likely_; }

 private:
  void choose_readings(std::size_t s);
  void choose_in_setting(std::size_t s, std::uint32_t setting, const std::vector<std::size_t>& candidates,
                         std::vector<std::uint32_t>& size, std::vector<char>& kept) const;
  void choose_sweeps(std::size_t s);
  void hold(const Stop& stop);

  const Harness& harness_;
  const Costs& costs_;
  const std::vector<Survey>& surveys_;
  const FaultSet& wanted_;
  std::vector<Stop> stops_;
  std::vector<std::vector<std::size_t>> holders_;                     // by fault
  std::set<std::tuple<std::uint32_t, PointId, PointId>> pairs_read_;  // by setting, worth trying
  std::size_t likely_ = 0;
};

}  // namespace lugwise::plan::inside
