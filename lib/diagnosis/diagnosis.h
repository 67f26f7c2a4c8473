// What do the entered readings say is wrong?
//
// Every explanation (sound, one fault, or two where none does) is judged on all readings together: part values, the coils' temperature and
// the meter's gain are shared unknowns, so a pot that is 15 % high shows in each reading taken through it. The answer is
// a probability for each explanation; those the readings cannot tell apart stand in one group.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "circuit/circuit.h"
#include "expectation/expectation.h"
#include "fault/fault.h"
#include "fault/kind.h"
#include "handling/circumstances.h"
#include "handling/handling.h"
#include "handling/scope.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "sheet/observation.h"
#include "sheet/sheet.h"

namespace lugwise {

struct DiagnosisOptions : Circumstances {
  Temperature temperature;
  bool suggest = true;   // look for the next probe
  bool separate = true;  // and for what would separate the suspects of group 1
  // What the readings are to show before anything is sound: that of the plan they were taken by, else of the usual one.
  // None: nothing is ever sound, as nobody says what was looked for.
  std::optional<Scope> scope = {};
  // The points of each repair before the readings, once a repair: what lies between them is seldom wrong still.
  std::vector<std::vector<PointId>> mended = {};
};

// One reading beside what a sound harness would show.
struct Comparison {
  std::size_t observation = 0;
  Expected expected;
  Range range;
  Window shows;
  std::optional<CapacitanceReading> capacitance;  // a reading in farads is compared with this, not the above
  bool agrees = true;
  double off =
      0;  // how far outside the window, as a share of its nearer end; 0 where it agrees or was no number
  bool doubtful = false;  // fits nothing the other readings allow, or is wrong alone: take it again
  std::optional<std::size_t> again =
      {};                        // a later reading of the same took its place, and only that one is weighed
  std::vector<Comparison> ends;  // of a sweep whose ends were read; `agrees` above holds for them too
  // A value read through a coil: what would have stood there with the coils at 20 degrees C, were the rest as in a
  // sound harness. None where the temperature isn't known or only limits are.
  std::optional<Ohms> at_20;
};

struct Size {
  double low = 0, nominal = 0, high = 0;  // ohms of a High, factor of a Value
};

// How a suspect does on one observation, against sound: log of the likelihood ratio.
struct Evidence {
  std::size_t observation = 0;
  double weight = 0;  // above 0 speaks for the suspect
};

struct Suspect {
  Fault fault;
  std::optional<Fault> also;  // a second fault at the same time: neither alone explains the readings
  double probability = 0;
  int group = 0;  // from 1, the likeliest first
  std::optional<Size> size;
  std::optional<Size> also_size;
  std::vector<Evidence> evidence;  // strongest first
  std::vector<Evidence> heard;     // the same of what was heard; `observation` counts among that
  std::string mend;                // what to do about it, in a few words
  std::string also_mend;           // and about the second fault, where that is something else
};

// So much of what may be wrong lies in one place where that place is named and probing ends. A judgement.
inline constexpr double kEnoughToAct = 0.9;

// Unfinished: right so far, but not all that the plan shows is ruled out.
enum class Verdict { Sound, Fault, Unsure, Unfinished };

// How far the readings go in what the plan looks for. A fault is ruled out by a reading that agrees and that could not
// stand there with the fault, whatever the tolerances: only a slip, one in a hundred, speaks for it then.
struct RuledOut {
  std::size_t seen = 0, of = 0;  // ruled out, of those that the plan shows
  std::vector<Fault> open;       // those that are not
};

// A probe worth taking next, and what each outcome would mean.
struct NextProbe {
  enum class Why {
    Tells,   // it parts the suspects
    Again,   // that reading was wrong alone, or says too little: take it once more
    Wiggle,  // that reading was OL and is right now: press and move what lies on its way
    Step,    // the next of the plan
    Proof,   // once it is mended: the reading that was wrong
  };
  Why why = Why::Tells;
  std::optional<int> step = {};           // of the plan, where it is one
  std::optional<std::size_t> again = {};  // the observation that it is of
  std::optional<PartId> swept = {};       // a sweep
  std::vector<PointId> wiggled = {};      // a wiggle: what is pressed and moved
  bool farads = false;                    // on a capacitance range
  std::vector<PartId> watched = {};       // a sweep: the pots on that shaft whose wiper it shows
  std::optional<PartId> worked =
      {};                      // a control, worked a dozen times before that observation is taken again
  bool another_cable = false;  // before it is taken again
  PointId a, b;
  std::optional<PointId> lifted;  // a lead that is unsoldered first, and held clear
  Setting setting;
  Access access;
  Expected expected;
  Range range;
  Window shows;
  double seconds = 0;  // handling
  double bits = 0;     // expected information
  struct Outcome {
    std::string reads;  // in words: "OL", "about 250k"
    double probability = 0;
    std::vector<std::size_t> suspects;  // that would remain likely; indices into Diagnosis::suspects
    bool sound = false;                 // "nothing wrong" would remain likely
  };
  std::vector<Outcome> outcomes;
};

// A probe as a reading yet to be taken.
Observation as_observation(const Harness& harness, const NextProbe& probe);

// What is said to whoever was given a shock, instead of any probe.
inline constexpr std::string_view kShockCaution =
    "Stop: touch neither strings nor microphone, unplug the amplifier at the wall, and measure nothing. A "
    "shock from the "
    "strings or a microphone is mains wiring or lethal voltage inside an amplifier, and belongs to a "
    "licensed electrician "
    "or a qualified amplifier technician, under local codes. Never lift or bypass a mains earth, and never "
    "cut the string "
    "ground, to cure it.";

struct Diagnosis {
  Verdict verdict = Verdict::Unfinished;
  double sound = 1;               // probability
  double unmodelled = 0;          // probability that nothing we list explains the readings
  std::vector<Suspect> suspects;  // likeliest first
  std::vector<Comparison> readings;
  std::vector<Fault> cleared;       // faults that alone can't explain the readings
  RuledOut shown;                   // of what the plan looks for
  std::vector<NextProbe> separate;  // what would split group 1
  std::optional<NextProbe> lift;    // where no probe does: the one that does with a lead off
  std::optional<NextProbe> next;
  // With a complaint and no reading: the first probes that suit it, whatever each shows, `next` the first of them.
  std::vector<NextProbe> first;
  std::string advice;  // one sentence: what to do now
  // Where nothing listed explains the readings: what would have to differ from the netlist, likeliest first, in words.
  std::vector<std::string> differs;
};

// The probability of what would be mended where the first suspect is: a track and its wiper are one pot. Of two faults at a time
// the other must be the same. 0 where there is no suspect.
double probability_at_first_place(const Harness& harness, const Diagnosis& diagnosis);

// One observation by itself beside what a sound harness would show; no other reading makes it doubtful.
Comparison compare(const Harness& harness, const Observation& observation, const DiagnosisOptions& options);

// Whether any of these faults could change what was read at all, a sweep at either of its stops.
bool may_show(const Harness& harness, const Observation& observation, const std::vector<Fault>& faults,
              const DiagnosisOptions& options);

// All observations together, in the order in which they were taken. `unproven` are readings that were wrong before a
// repair and were not taken since.
Diagnosis diagnose(const Harness& harness, const std::vector<Observation>& observations,
                   const DiagnosisOptions& options, const std::vector<Heard>& heard = {},
                   const std::vector<Observation>& unproven = {});

// The same for many sets of readings of one kind of harness: what was solved for one is kept for the next. The harness
// must outlive it. Not for two threads at once.
class Diagnoser {
 public:
  Diagnoser(const Harness& harness, const DiagnosisOptions& options);
  ~Diagnoser();
  Diagnoser(const Diagnoser&) = delete;
  Diagnoser& operator=(const Diagnoser&) = delete;

  Diagnosis diagnose(const std::vector<Observation>& observations, const std::vector<Heard>& heard = {},
                     const std::vector<Observation>& unproven = {});

  // The same without what to take next.
  Diagnosis judge(const std::vector<Observation>& observations, const std::vector<Heard>& heard = {});

 private:
  struct Memory;
  Diagnosis conclude(const DiagnosisOptions& options, const std::vector<Observation>& observations,
                     const std::vector<Heard>& heard, const std::vector<Observation>& unproven);
  std::unique_ptr<Memory> memory_;
};

}  // namespace lugwise
