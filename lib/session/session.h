// A guided session: what to probe next, given all that was done so far, and what a typed line does.
//
// It follows the plan while every reading agrees, goes to the probe that tells most where one doesn't, stops at a
// verdict, and after a repair probes again what the repair may have touched. All it knows is in its record: a session
// made from that record stands where this one stands.
//
//   Session session(netlist.harness, netlist.id, options, {});
//   Reply reply = session.take("6.71k");
//   if (reply.changed) write(as_readings_file(netlist.harness, session.record()));
//
// It judges nothing by itself (lib/diagnosis does) and words nothing (lib/report does).
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "harness/harness.h"
#include "plan/plan.h"
#include "record/record.h"

namespace lugwise {

enum class PromptWord;

// What is asked for now.
struct Ask {
  enum class Kind {
    Begin,     // that the opening was read
    Prepare,   // that something is done, or what the tips together show
    Step,      // a reading of the plan
    Probe,     // the reading that tells most
    Again,     // a reading that fits nothing, once more
    Recheck,   // a reading that a repair may have changed
    Verdict,   // what to do: no further probe is worth while
    Finished,  // nothing: all is probed
  };
  Kind kind = Kind::Begin;
  Step step;                  // of Prepare to Recheck; its number is 0 where the plan has no such step
  int place = 0;              // Step, Recheck: the how-many-th
  int of = 0;                 // of how many
  bool after_repair = false;  // Recheck: the step is one of the plan after the repair, not of the whole one
  std::optional<Range> above = {};  // Probe, Again: it was OL on this lower range, which says too little
  NextProbe probe;  // Probe: what each outcome would mean; Again: what is done before, if anything
};

// What became of a line.
struct Reply {
  enum class Kind {
    Nothing,  // an empty line
    Begun,    // the opening was read
    Judged,   // a reading was taken
    Refused,  // the line means nothing here: `problem` and `hint`
    Done,     // a preparation is done
    Skipped,
    Undone,  // `word` says what
    Noted,
    Heard,
    Explain,  // asked: why this step
    Help,
    List,
    Suspects,
    Moved,     // to another step
    Ranged,    // another range for this step
    Metered,   // another meter: `count` readings could not have been its own and are aside
    Repaired,  // `word` is; `count` readings are to be taken again
    Meter,     // asked: the meter of the file `word`
    Picture,   // asked: a picture, in the file `word` if that isn't empty
    Stopped,
  };
  Kind kind = Kind::Nothing;
  std::string problem, hint;
  std::string word;
  std::size_t deed = 0;  // Judged: which of the record's
  std::size_t count = 0;
  bool changed = false;  // the record is another now: keep it before anything else is asked
};

// How a step of the plan stands.
enum class StepState { Open, Agrees, Wrong, Skipped, Done };

class Session {
 public:
  // `record` is empty but for harness_file, or what an earlier session left. The harness must outlive this. Of the options
  // `lift` and `after` are left out: the first it never asks for, the second follows from the record. Throws NetworkTooDense.
  Session(const Harness& harness, std::string harness_id, const PlanOptions& options, Record record);

  // Takes one line as typed. Nothing that is typed throws or changes what it should not.
  Reply take(std::string_view typed);

  // Another meter from here on. Readings that it could not have shown are put aside.
  Reply use_meter(const Meter& meter);

  const Harness& harness() const { return *harness_; }
  const PlanOptions& options() const { return options_; }
  const Meter& meter() const { return judging_.meter; }  // its leads as the tips together showed them
  const Record& record() const { return record_; }
  const Plan& plan() const { return plan_; }
  const Plan& plan_asked() const {
    return ask_.after_repair ? *recheck_ : plan_;
  }  // that the ask's step is of
  const Diagnosis& diagnosis() const { return diagnosis_; }
  const std::vector<Observation>& observations() const { return observations_; }  // that it is of
  const Ask& ask() const { return ask_; }

  // Whether some reading is not as it should be.
  bool trouble() const { return trouble_; }

  // Whether enough is known to act on the first suspects.
  bool settled() const;

  // Whether all is probed, and all of it is as it should be.
  bool finds_it_sound() const;

  // Whether nothing more is asked for: all is probed, or the verdict stands.
  bool at_its_end() const;

  StepState state_of(const Step& step) const;

  // A reading of the record beside what a sound harness shows.
  Comparison compared(const Deed& deed) const;

  // Where the probes are held, where the controls stand, and how far the instrument is open, as far as this sitting tells:
  // what lay on the bench since an earlier one may have been touched. null: no probe is held.
  const Observation* last_taken() const;
  std::optional<Setting> standing() const;
  std::optional<Access> open_to() const;

 private:
  Reply read(std::string_view typed, std::string_view range);
  Reply read_tips(std::string_view typed);
  Reply say(std::string_view typed);
  Reply obey(PromptWord word, std::string_view typed, std::string_view rest);
  Reply not_understood(std::string_view line) const;
  Reply skip(std::string_view why);
  Reply undo();
  void restore_before(std::size_t last);
  void restore_before_repair();
  Reply again();
  Reply note(std::string_view text);
  Reply set_range(std::string_view typed);
  Reply go(std::string_view typed);
  Reply hear(std::string_view text);
  Reply repaired(std::string_view text);
  std::size_t put_aside_for(std::size_t repair);
  Reply finish_preparation();

  Reply enter(Observation seen);
  void plan_anew();
  void weigh();
  void tell_what_was_taken_again();
  std::vector<Observation> unproven() const;
  bool ask_again(std::size_t observation, std::ptrdiff_t most);
  void choose();
  void choose_in_trouble();
  bool ask_step(const Step& step, Ask::Kind kind);
  bool ask_probe(const NextProbe& probe);
  bool ask_again(const NextProbe& probe);
  bool too_low_again(const Observation& place) const;
  void tell_of_too_low();
  bool choose_recheck();
  const Step* next_open() const;
  struct Recheck {
    Step step;
    bool after_repair;  // of that plan, not of the whole one
  };
  const Plan* plan_after_repair();
  std::vector<Recheck> to_recheck();
  std::size_t repairs() const;
  void doubt_what_came_before();
  Step step_of(const Observation& seen) const;
  std::size_t last_repair() const;
  const Observation* last_reading() const;
  const Deed* last_at(const Observation& place, std::size_t from = 0) const;

  const Harness* harness_;
  std::string harness_id_;
  PlanOptions options_;
  Record record_;
  std::size_t earlier_;                   // how many deeds are of earlier sittings
  std::vector<std::size_t> heard_after_;  // how many deeds each was heard after
  Plan plan_;
  std::optional<Plan> recheck_;  // after the last repair: PlanOptions::after
  DiagnosisOptions judging_;
  std::unique_ptr<Diagnoser> diagnoser_;  // with what is judging_
  std::pair<Ohms, Ohms> judged_with_;     // its leads
  std::vector<Observation> observations_;
  std::vector<std::size_t> deed_of_;  // of each observation
  Diagnosis diagnosis_;
  bool trouble_ = false;
  bool begun_ = false;
  bool more_ = false;                   // another probe is wanted though it is settled
  std::optional<int> goal_;             // the step of the plan that was jumped to
  std::optional<std::size_t> doubted_;  // the deed that is to be taken again
  Ask ask_;
};

}  // namespace lugwise
