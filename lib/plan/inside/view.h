// One setting at one depth of opening: what would each pair of probes show there? Private to this room.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "dictionary/dictionary.h"
#include "plan/inside/gap.h"
#include "plan/inside/survey.h"

namespace lugwise::plan::inside {

class View {
 public:
  // `sizes` as survey() has them. What is passed must outlive it.
  View(const Harness& harness, const std::vector<Fault>& faults, const std::vector<Ohms>& sizes,
       const PlanOptions& options, const Setting& setting, const Access& access,
       const std::vector<PointId>& lifted);
  View(const View&) = delete;
  View& operator=(const View&) = delete;

  // Adds a candidate for each pair that shows a fault; `setting` is its number there. Throws NetworkTooDense.
  void add_to(Survey& survey, std::uint32_t setting);

  // Lowers `least` as find_least_sizes() says.
  void find_least(std::vector<Ohms>& least);

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

  void measure_all();
  void measure_sound();
  PairLimits limits(std::size_t i, std::size_t j) const;
  int is_plug(std::size_t seat) const;
  std::optional<std::uint32_t> branch_of(std::size_t f) const;
  void add_open(std::size_t f);
  void add_rise(std::size_t f);
  void add_other(std::size_t f);
  void add_short(std::size_t f);
  void add_touch(std::size_t f, PointId a, PointId b, Ohms ohms);

  void look(std::size_t i, std::size_t j, const PairLimits& pair, FaultSet& seen,
            std::vector<Ohms>& beyond) const;
  void look_at_open(std::size_t i, std::size_t j, const PairLimits& pair, FaultSet& seen,
                    std::vector<Ohms>& beyond) const;
  double joined_by(const Touch& touch, std::size_t i, std::size_t j) const;
  void note_beyond(std::size_t i, std::size_t j, std::vector<Ohms>& beyond) const;
  Ohms least_rise(const Rise& rise, std::size_t i, std::size_t j, const PairLimits& pair) const;

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

}  // namespace lugwise::plan::inside
