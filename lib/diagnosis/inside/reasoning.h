// One set of readings, from the comparison with a sound harness to the verdict and what to do. Private to this room.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "diagnosis/inside/book.h"
#include "diagnosis/inside/coverage.h"
#include "diagnosis/inside/ear.h"
#include "diagnosis/inside/hypothesis.h"
#include "diagnosis/inside/likelihood.h"
#include "diagnosis/inside/model.h"
#include "diagnosis/inside/next_probe.h"

namespace lugwise::diagnosis::inside {

// Before any reading: how likely some listed fault is on an instrument that somebody bothers to measure, how likely two
// at once, and how likely something we don't list. Judgements: docs/diagnosis.md.
inline constexpr double kSomeFault = 0.40;
inline constexpr double kTwoFaults = 0.03;
inline constexpr double kUnlisted = 0.002;

// What was mended is so much less likely to be wrong than if it had not been, once for each time. A judgement.
inline constexpr double kStillWrong = 0.05;

// Repairs beyond these say nothing: what is mended in vain ever again must stay findable.
inline constexpr std::ptrdiff_t kMostRepairs = 2;

// The listed faults together are condemned from here on; with no reading left that contradicts the first, from the
// second. Never where every reading lies in its sound window.
inline constexpr double kSure = 0.9;
inline constexpr double kSureUncontradicted = 0.6;

// One fault, or two.
struct Answer {
  std::size_t first = 0;
  std::optional<std::size_t> second;
  double log = 0;
  double log_prior = 0;
  double loudest = 0;  // the same in its likeliest size alone: what its group goes by
  std::optional<Size> size, second_size;
  Likelihood likelihood;
  double posterior() const { return log + log_prior; }
};

// A reading, or what stood there before it was taken again.
struct Act {
  std::size_t observation = 0;  // that it is, or that took its place
  bool before = false;          // it is none of the observations: it stood there before
  bool wrong = false;
  bool weighed = true;
  Observation seen = {};
  Comparison comparison = {};
};

// A reading of which only limits are known, as it runs through a module: weighed by itself.
struct Limited {
  Observation seen;
  Comparison comparison;
  std::size_t act = 0;
  double sound = 0;          // log of its likelihood if nothing is wrong
  std::vector<double> more;  // how much louder it speaks for each hypothesis
};

// Why the verdict is what it is.
enum class Reason {
  Sound,
  NothingMeasured,
  RightSoFar,   // not all that the plan shows is ruled out
  Unproven,     // a repair is
  TooLow,       // an OL on too low a range
  StillTooLow,  // it was taken on too low a range once more: all else first
  CameAndWent,  // wrong once, then right
  Suspected,    // all agree, and yet a fault is likelier than none
  Complaint,    // all that the plan shows is ruled out, and something was heard
  Alone,        // one wrong reading carries it all
  Doubted,      // one fits nothing
  Fault,
  Open,
};

class Reasoning {
 public:
  Reasoning(const Harness& harness, const DiagnosisOptions& options, Model& model, Judge& judge, Ear& ear,
            ProbeFinder& finder, const std::vector<Hypothesis>& hypotheses,
            const std::vector<Observation>& all, const std::vector<Heard>& heard,
            const std::vector<Observation>& unproven, Coverage* coverage, std::function<Book&()> book)
      : harness_(harness),
        options_(options),
        model_(model),
        judge_(judge),
        ear_(ear),
        finder_(finder),
        hypotheses_(hypotheses),
        all_(all),
        heard_(heard),
        unproven_(unproven),
        coverage_(coverage),
        book_(std::move(book)) {}

  Diagnosis conclude();

 private:
  // evidence.cpp: each reading beside a sound harness's, and how loudly all speak for each hypothesis.
  void compare_all();
  void put(Observation& observation, const Display& display) const;
  Comparison compare_act(std::size_t i, const Observation& observation);
  Comparison compare_and_use(std::size_t i, const Observation& observation);
  bool measured_in_farads(const Fault& fault) const;
  bool counts(const Fault& fault) const;
  std::ptrdiff_t repairs_of(const Fault& fault) const;
  void weigh();
  void weigh_limited();
  void weigh_farads();
  void weigh_heard();
  double beside_more(std::size_t one, std::size_t other) const;
  double farads_for(const Fault& fault, std::size_t i) const;
  double log_of_farads_if_sound(std::size_t i) const;

  // history.cpp: readings of one place, one after another.
  void follow_history();
  bool weighed(std::size_t i) const;
  bool wrong(const std::vector<std::size_t>& place) const;
  bool confirmed(const std::vector<std::size_t>& place) const;
  bool came_and_went(const std::vector<std::size_t>& place) const;

  // pairs.cpp: two faults at once, where no single one explains the readings.
  std::size_t likeliest() const;
  static std::size_t slips(const Likelihood& likelihood);
  std::size_t likeliest_size(std::size_t h) const;
  bool alike(std::size_t x, std::size_t y);
  bool leaves_something_wrong(std::size_t h);
  bool leaves_as_it_is(std::size_t h, std::size_t row);
  std::vector<std::vector<std::size_t>> firsts_of_two();
  void look_for_two();
  void add_seconds(const std::vector<std::size_t>& firsts,
                   std::map<std::pair<std::size_t, std::size_t>, Answer>& pairs);

  // rank.cpp: suspects, likeliest first, in groups.
  void rank();
  const Likelihood* likelihood_of(const Answer& answer) const;
  void add_suspect(std::size_t a, double probability);
  std::optional<Size> capacitor_size(ElementId capacitor) const;
  void group();
  void doubt();

  // verdict.cpp: what is ruled out, and what is to be said.
  void cover();
  bool ruled_out_by_motion_or_farads(const Fault& fault) const;
  double log_without(const Answer& answer, std::size_t act);
  std::vector<std::size_t> rows_of(std::size_t act) const;
  double faulty_without(std::size_t act);
  std::optional<std::size_t> rests_on();
  bool complained() const;
  bool shocks() const;
  void decide();
  std::vector<std::size_t> too_low() const;
  bool asked_for_higher(std::size_t i) const;
  void decide_right();
  void decide_wrong();

  // difference.cpp: what would have to differ from the netlist.
  void differ();

  // advice.cpp: what to do now.
  void suggest();
  std::ptrdiff_t doubtful_readings() const;
  bool measured_alone(const Fault& fault) const;
  std::size_t number_of(std::size_t i) const;
  void advise();
  std::string advice_if_right() const;
  std::string advice_if_wrong() const;

  // next_step.cpp: the next probe.
  void suggest_probe();
  void suggest_again(std::size_t i);
  bool suggest_step();
  NextProbe probe_of(const Scope::Reading& step) const;
  void fill_first();
  void suggest_proof();
  Hands hands() const;
  NextProbe once_more(const Observation& seen, const Comparison& reading) const;
  bool was_open(std::size_t i) const;
  std::vector<PointId> loose_on_the_way(std::size_t i) const;

  const Harness& harness_;
  const DiagnosisOptions& options_;
  Model& model_;
  Judge& judge_;
  Ear& ear_;
  ProbeFinder& finder_;
  const std::vector<Hypothesis>& hypotheses_;
  const std::vector<Observation>& all_;
  const std::vector<Heard>& heard_;
  const std::vector<Observation>& unproven_;
  Coverage* const coverage_;  // none: nobody says what is looked for
  const std::function<Book&()> book_;
  std::vector<Act> acts_;
  std::vector<std::vector<std::size_t>> places_;  // acts at each, one after another
  std::vector<Limited> limited_;
  std::vector<std::vector<double>> ear_logs_;  // of each hypothesis, of each thing heard
  std::vector<Observation> usable_;
  std::vector<std::size_t> used_;    // their numbers among all
  std::vector<std::size_t> act_of_;  // and the acts they are of
  std::vector<double> share_;        // of each hypothesis: the log of its share of all that is listed
  std::vector<Weight> weights_;
  Likelihood sound_;
  double unlisted_ = 0;
  std::vector<Answer> answers_;          // the single ones in the order of the hypotheses, then pairs
  std::vector<std::size_t> of_suspect_;  // answer of each suspect
  Reason reason_ = Reason::Open;
  std::optional<std::size_t> again_;  // the observation that is to be taken again
  Diagnosis answer_;
};

}  // namespace lugwise::diagnosis::inside
