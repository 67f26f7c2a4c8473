// What many cases of a study add up to.
#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "study/study.h"

namespace lugwise {

// Suspects by the probability they were given: how many, what they were given together, how many of them were right.
struct Stated {
  double from = 0, to = 1;  // shares
  std::size_t claims = 0;
  double expected = 0;
  std::size_t right = 0;
};

// Faults of one kind, or all.
struct Score {
  std::size_t cases = 0;
  std::size_t visible = 0;    // some step of the plan must show it
  std::size_t missed = 0;     // visible, and called sound
  std::size_t named = 0;      // visible, and in the first group
  std::size_t placed = 0;     // visible, and its place is in the first group
  std::size_t first = 0;      // visible, and the first suspect
  std::size_t all_named = 0;  // visible, and every fault of the instrument is in the first three groups
  std::size_t explained = 0;  // visible, and that, or one suspect explains every reading
  // Of two at once, by whether it takes two to show the whole sheet or one by itself may have: visible, and of these one in
  // the first group.
  std::size_t takes_two = 0, takes_two_named = 0;
  std::size_t one_may = 0, one_may_named = 0;
  std::size_t unsure = 0;     // visible, and the verdict is unsure
  std::size_t sized = 0;      // named, with an estimate of its ohms
  std::size_t size_fits = 0;  // and that within 20 % or the meter's resolution
};

struct Findings {
  std::size_t cases = 0;
  std::size_t sound = 0;         // instruments with nothing wrong
  std::size_t false_alarms = 0;  // of those: called faulty
  std::size_t sound_unsure = 0;  // of those: the verdict is unsure
  Score all;
  std::map<std::string, Score> kinds;  // by the mode of the first fault; "worn" for tracks

  // Of faulty instruments with a wrong reading, from there to the answer; sums.
  std::size_t located = 0;
  double probes = 0, seconds = 0;
  double bound = 0;  // yes-or-no probes at the least
  double stood = 0;  // places at the first wrong reading
  double groups = 0, places = 0;
  std::array<std::size_t, 6> group_sizes{};  // 1, 2, 3, 4, 5, more
  Effort in_order, halving;
  std::array<std::size_t, 13> probe_counts{};  // 0, 1, ... 11, more

  // Of all instruments; sums.
  double readings = 0, all_seconds = 0;
  std::size_t again = 0;

  std::vector<Stated> stated;

  // Cases that went wrong, by their number, and how.
  struct Mishap {
    std::size_t number = 0;
    std::string what;
  };
  std::vector<Mishap> mishaps;

  Findings();
  // In the order of their numbers, for the mishaps to be.
  void add(const Case& one);
};

}  // namespace lugwise
