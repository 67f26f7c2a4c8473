// How often is the plan with the diagnosis right, and how soon? Simulated instruments, sound and faulty, are taken through
// the checklist and the probes that the diagnosis asks for, as a technician would who does just what the sheet says.
//
// Every case has its own chance, made from the seed and the case's number: the same two give the same case on every machine,
// whatever ran before.
//
//   Study study(netlist.harness, netlist.id, {});
//   Findings findings;
//   for (std::size_t number = 0; number < 300; ++number) findings.add(study.run(number));
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "fault/fault.h"
#include "handling/handling.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "plan/plan.h"

namespace lugwise {

// What is wrong with the instruments of a study. Mixed: half of them have a fault, each kind as common as its weight says.
enum class Ills { Mixed, None, Any, Open, High, Short, Value, Worn, Misplaced };
inline constexpr Ills kAllIlls[] = {Ills::Mixed, Ills::None,  Ills::Any,  Ills::Open,     Ills::High,
                                    Ills::Short, Ills::Value, Ills::Worn, Ills::Misplaced};
std::string_view ills_name(Ills);  // "mixed", "none", "any", "open", ...

struct StudyOptions : Circumstances {
  std::uint64_t seed = 1;
  Ills ills = Ills::Mixed;
  bool pairs = false;        // two faults at once, in two places
  double slips = 0;          // the share of readings that are taken or written down wrongly
  bool whole_sheet = false;  // the whole plan is read before anything is diagnosed, and no probe is added
};

// A suspect's probability, as the last diagnosis stated it, and whether it was the fault.
struct Claim {
  double probability = 0;
  bool right = false;
};

// What a technician needs who uses no diagnosis, from the first wrong reading on.
struct Effort {
  double probes = 0;
  double seconds = 0;
};

// One simulated instrument.
struct Case {
  std::size_t number = 0;
  struct Ill {
    Fault fault;
    double size = 0;
  };
  std::vector<Ill> ills;  // what is wrong; empty: sound
  bool visible =
      false;  // some step of the plan cannot show what a sound instrument shows, whatever the tolerances
  // Of two faults on a whole sheet: one other, or either of them, that by itself may have shown every reading, whatever the
  // tolerances. None: it takes two.
  std::optional<Fault> lone;
  bool alarmed = false;  // some reading was wrong
  Verdict verdict = Verdict::Sound;
  double sound = 1;
  bool named = false;      // the fault stands in the first group
  bool placed = false;     // or another at its place does, as an open joint for a cold one
  bool first = false;      // it is the first suspect
  bool all_named = false;  // every fault is in the first three groups
  bool explained =
      false;  // or one that leads the answer leaves no reading in doubt, so that nothing asks for a second
  std::size_t group = 0;   // suspects in the first group
  std::size_t places = 0;  // and the places they lie in
  double at_once = 0;      // places that stood at the first wrong reading
  std::vector<Claim> claims;
  std::optional<double> size;  // estimated over true, of a High that was named
  bool size_fits = false;      // within 20 %, or closer than the meter can show
  std::size_t readings = 0;    // taken in all
  std::size_t probes = 0;      // those after the first wrong one
  std::size_t again = 0;       // readings taken again
  double seconds = 0;          // for all
  double seconds_after = 0;    // for those after the first wrong one
  double bound = 0;            // yes-or-no probes that the places standing at the first wrong reading need
  Effort in_order, halving;    // from the first wrong reading on
};

class Study {
 public:
  // The harness must outlive the study. `harness_id` is the netlist's.
  // `reached` is told of the plan, which is made first.
  Study(const Harness& harness, const std::string& harness_id, const StudyOptions& options,
        const Reached& reached = {});
  ~Study();

  // The same study for another thread: the plan, which is most of the work of making one, is shared. Its harness must outlive
  // this one too.
  explicit Study(const Study& other);
  Study& operator=(const Study&) = delete;

  // Not for two threads at once: what is found for one case is kept for the next. Give each its own study.
  Case run(std::size_t number);

  // The same with all that was read, and the last answer.
  struct Followed {
    Case end;
    std::vector<Observation> observations;
    Diagnosis diagnosis;
  };
  Followed follow(std::size_t number);

  const Plan& plan() const;

 private:
  struct Shop;
  std::unique_ptr<Shop> shop_;
};

}  // namespace lugwise
