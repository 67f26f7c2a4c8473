// Which faults would each allowed probe show? Private to this room.
//
// For every setting worth trying and every pair of points a probe can reach: the set of faults whose reading could not
// be a sound one on this meter. A fault is seen only if its whole band of readings lies outside the sound band.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "fault/fault.h"
#include "plan/inside/fault_set.h"
#include "plan/plan.h"

namespace lugwise::plan::inside {

// A reading, or a sweep: that leaves its knob at the other stop.
struct Candidate {
  std::uint32_t setting = 0;  // index into Survey::settings
  std::uint32_t left = 0;     // the setting afterwards
  std::uint32_t range = 0;    // index into the meter's ranges: the lowest that surely holds the sound reading
  PointId a, b;
  std::optional<PartId> swept;  // the knob
};

// All candidates of one depth of opening, each with the faults it shows.
class Survey {
 public:
  Access access;
  std::vector<PointId> lifted;  // leads that are off
  std::vector<Setting> settings;
  std::vector<Candidate> candidates;
  // By fault: where all that stands against it is that the meter reads OL, sound or faulty, how many ohms its range would
  // have to hold.
  std::vector<Ohms> beyond;

  Survey() = default;
  explicit Survey(std::size_t faults) : words_((faults + 63) / 64), sets_(faults) {}

  void add(const Candidate& candidate, const FaultSet& shows) {
    candidates.push_back(candidate);
    numbers_.push_back(sets_.add(shows.words().data()));
  }

  // Gives back what memory adding took in hand.
  void close() {
    candidates.shrink_to_fit();
    numbers_.shrink_to_fit();
  }

  // Until the next is added.
  const std::uint64_t* set(std::size_t candidate) const { return sets_[numbers_[candidate]]; }
  std::size_t words() const { return words_; }  // a set's length

  // What all candidates show between them.
  void show_all(FaultSet& shown) const {
    for (std::uint32_t number = 0; number < sets_.size(); ++number) shown |= sets_[number];
  }

 private:
  std::size_t words_ = 0;
  FaultSets sets_;
  std::vector<std::uint32_t> numbers_;  // by candidate
};

// `sizes` has, by fault, from how many added ohms on a High is to be shown; of the others it is not asked.
Survey survey(const Harness& harness, const std::vector<Fault>& faults, const std::vector<Ohms>& sizes,
              const PlanOptions& options, const std::vector<Setting>& settings, const Access& access,
              const std::vector<PointId>& lifted = {}, const Reached& reached = {});

// A survey as it would be for fewer faults: `number` has, by fault, which of those it is, or how many they are. What shows none
// of them goes.
Survey narrowed(const Survey& survey, const std::vector<std::size_t>& number, std::size_t faults);

// Lowers `least`, by fault, to the smallest added resistance of each High that some pair of these would show.
void find_least_sizes(const Harness& harness, const std::vector<Fault>& faults, const PlanOptions& options,
                      const std::vector<Setting>& settings, const Access& access, std::vector<Ohms>& least);

}  // namespace lugwise::plan::inside
