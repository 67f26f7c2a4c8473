// An exercise: one simulated instrument with something wrong, and exactly one right answer.
//
// The answer is the group of faults that no reading on offer can tell apart. Faults that those readings can't settle are not
// made into exercises. The same harness, options and seed make the same exercises on every machine.
//
//   ExerciseMaker maker(netlist.harness, netlist.id, options);
//   std::optional<Exercise> first = maker.make(1);
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "fault/fault.h"
#include "handling/handling.h"
#include "handling/workload.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "plan/plan.h"
#include "sheet/sheet.h"
#include "simulation/specimen.h"

namespace lugwise {

struct ExerciseOptions : Circumstances {
  int level =
      1;  // 1 an open or a short, 2 any fault, 3 from a complaint alone, 4 two faults or one that comes and goes
  std::optional<double> temperature;  // of the coils, told; none: drawn, and not told
  std::uint64_t seed = 1;             // kept with the key
  std::optional<std::size_t> chosen;  // of faults_at: what all exercises are about; none: drawn
};

// One reading of the way to the answer.
struct PathStep {
  NextProbe probe;                    // what it was expected to tell
  Observation seen;                   // and what stood there
  Window sound;                       // what a sound harness would have shown
  bool agrees = true;                 // with that
  std::size_t before = 0, after = 0;  // places that stood before it and after
};

struct Exercise {
  int number = 1;
  int level = 1;
  std::vector<Ailment> ailments;   // what is wrong; indices into ExerciseMaker::faults()
  std::vector<Heard> heard;        // what its player says; may be nothing
  std::vector<Observation> given;  // the readings on the sheet; none where the student asks for each
  // What counts as right: of one fault the group that can't be told apart, of two a group for each.
  std::vector<std::vector<std::size_t>> answer;
  std::vector<PathStep> path;           // the way there that is shortest for the hands
  double path_seconds = 0;              // that the hands need for it
  std::optional<int> answered_by = {};  // the number of one made before that has the same answer
  std::uint64_t instrument = 0;         // seed of the instrument and the meter
  std::uint64_t salt = 0;               // of the seal
};

// Makes the exercises of one harness, one number at a time.
class ExerciseMaker {
 public:
  // The harness must outlive it.
  ExerciseMaker(const Harness& harness, const std::string& harness_id, const ExerciseOptions& options);
  ~ExerciseMaker();
  ExerciseMaker(const ExerciseMaker&) = delete;
  ExerciseMaker& operator=(const ExerciseMaker&) = delete;

  // The one of that number, with another answer than those made before it as long as one is easily found. None where the
  // harness, the level or the chosen fault has none that readings can settle.
  // Throws NetworkTooDense.
  std::optional<Exercise> make(int number);

  const std::vector<Fault>& faults() const;

 private:
  class Bench;
  std::unique_ptr<Bench> bench_;
};

// Whether the sheet of a level has readings; of the others each is asked for.
inline bool readings_given(int level) { return level <= 2; }

// What the level asks for, in a few words: "one open or short".
std::string_view level_in_words(int level);

}  // namespace lugwise
