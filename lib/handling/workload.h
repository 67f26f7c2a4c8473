// What a search will take of the machine, told before it starts from counts of what there is to look through.
//
// Fitted to measurements (tests/limits/measured.txt): within a factor of three of each of them where it is more than a third of a
// second or 40 MB. Seconds are of one processor as that which they were measured on.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "fault/fault.h"
#include "handling/aim.h"
#include "harness/harness.h"

namespace lugwise {

// The counts that the work grows with.
struct SearchSize {
  std::size_t points = 0;                         // where a probe may stand, all opened
  std::size_t pairs = 0;                          // of them, each once where it is first in reach
  std::size_t joined = 0;                         // of these pairs, those that something may conduct between
  std::size_t settings = 0;                       // that are tried
  std::size_t loops = 0;                          // ways round, with all that may conduct
  std::size_t opens = 0, shorts = 0, others = 0;  // faults

  // Pairs in settings.
  double readings() const { return static_cast<double>(pairs) * static_cast<double>(settings); }
  double closed_readings() const { return static_cast<double>(joined) * static_cast<double>(settings); }
  std::size_t faults() const { return opens + shorts + others; }
};

// Where a plan or a list of effects looks for these faults.
SearchSize size_of_search(const Harness& harness, std::optional<std::size_t> stage,
                          const std::vector<Fault>& faults, Depth depth = Depth::Full);

struct Workload {
  double seconds = 0;
  double bytes = 0;  // the program's own too
};

// A list of what each of these faults does.
Workload work_of_effects(const SearchSize& size);

// A plan, and what is told of plans of another aim beside it.
Workload work_of_plan(const SearchSize& size, Aim aim);

// Steps of the usual plan, before there is one: what a study and an exercise grow with.
std::size_t expected_steps(const SearchSize& size);

// So many readings weighed together, and the next probe, the plan being made as well.
Workload work_of_diagnosis(const SearchSize& size, std::size_t readings);

// What one more thread of a study holds that simulates so many cases.
double bytes_of_study(const SearchSize& size, std::size_t cases);

// A study of so many cases, its plan too, on so many threads (at least one).
Workload work_of_study(const SearchSize& size, std::size_t cases, std::size_t threads);

// Levels of exercises go from 1 to this.
inline constexpr int kLevels = 4;

// So many exercises of a level. They are drawn until one has a single right answer, so that one alone may take much more or
// less.
Workload work_of_exercises(const SearchSize& size, int level, std::size_t count);

// An answer to an exercise: a diagnosis before each probe that was asked for, of so many readings in all.
Workload work_of_marking(const SearchSize& size, std::size_t readings, std::size_t probes);

// The records of so many units, each with the readings of its plan, weighed one after the other.
Workload work_of_units(const SearchSize& size, Aim aim, std::size_t units);

// "35 s and 420 MB", "2 min and 1.2 GB"; of less than a second the memory only.
std::string in_words(const Workload& work);

}  // namespace lugwise
