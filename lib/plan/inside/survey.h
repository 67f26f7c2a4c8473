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

namespace lugwise {

// A reading, or a sweep: that leaves its knob at the other stop.
struct Candidate {
  std::uint32_t setting = 0;  // index into Survey::settings
  std::uint32_t left = 0;     // the setting afterwards
  std::uint32_t range = 0;    // index into the meter's ranges: the lowest that surely holds the sound reading
  PointId a, b;
  std::optional<PartId> swept;  // the knob
};

// All candidates of one depth of opening; their fault sets lie in one block of memory, one after the other.
struct Survey {
  Access access;
  std::vector<PointId> lifted;  // leads that are off
  std::vector<Setting> settings;
  std::vector<Candidate> candidates;
  std::vector<std::uint64_t> sets;
  std::size_t words = 0;  // a set's length
  // By fault: where all that stands against it is that the meter reads OL, sound or faulty, how many ohms its range would
  // have to hold.
  std::vector<Ohms> beyond;

  const std::uint64_t* set(std::size_t candidate) const { return sets.data() + candidate * words; }
};

// `sizes` has, by fault, from how many added ohms on a High is to be shown; of the others it is not asked.
Survey survey(const Harness& harness, const std::vector<Fault>& faults, const std::vector<Ohms>& sizes,
              const PlanOptions& options, const std::vector<Setting>& settings, const Access& access,
              const std::vector<PointId>& lifted = {});

// A survey as it would be for fewer faults: `number` has, by fault, which of those it is, or how many they are. What shows none
// of them goes.
Survey narrowed(const Survey& survey, const std::vector<std::size_t>& number, std::size_t faults);

// Lowers `least`, by fault, to the smallest added resistance of each High that some pair of these would show.
void find_least_sizes(const Harness& harness, const std::vector<Fault>& faults, const PlanOptions& options,
                      const std::vector<Setting>& settings, const Access& access, std::vector<Ohms>& least);

}  // namespace lugwise
