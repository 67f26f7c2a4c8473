// Which faults would each allowed probe show? Private to this room.
//
// For every setting worth trying and every pair of points a probe can reach: the set of faults whose reading could not
// be a sound one on this meter. A fault is seen only if its whole band of readings lies outside the sound band.
#pragma once

#include <cstdint>
#include <vector>

#include "fault/fault.h"
#include "plan/plan.h"

namespace lugwise {

// A set of faults, by their number.
class FaultSet {
 public:
  FaultSet() = default;
  explicit FaultSet(std::size_t faults) : words_((faults + 63) / 64, 0) {}

  void add(std::size_t fault) { words_[fault / 64] |= std::uint64_t{1} << (fault % 64); }
  bool has(std::size_t fault) const { return (words_[fault / 64] >> (fault % 64) & 1) != 0; }
  bool empty() const;
  std::size_t size() const;
  std::vector<std::size_t> list() const;

  FaultSet& operator|=(const FaultSet& other);
  FaultSet& operator-=(const FaultSet& other);
  friend bool operator==(const FaultSet&, const FaultSet&) = default;

  std::vector<std::uint64_t>& words() { return words_; }
  const std::vector<std::uint64_t>& words() const { return words_; }

 private:
  std::vector<std::uint64_t> words_;
};

// How many of the candidate's faults are not in `known` yet.
std::size_t count_fresh(const std::uint64_t* candidate, const FaultSet& known);

struct Candidate {
  std::uint32_t setting = 0;  // index into Survey::settings
  PointId a, b;
};

// All candidates of one depth of opening; their fault sets lie in one block of memory, one after the other.
struct Survey {
  Access access;
  std::vector<Setting> settings;
  std::vector<Candidate> candidates;
  std::vector<std::uint64_t> sets;
  std::size_t words = 0;  // a set's length

  const std::uint64_t* set(std::size_t candidate) const { return sets.data() + candidate * words; }
};

Survey survey(const Harness& harness, const std::vector<Fault>& faults, const PlanOptions& options,
              const std::vector<Setting>& settings, const Access& access);

}  // namespace lugwise
