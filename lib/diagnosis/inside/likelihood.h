// How probable the readings are under one explanation. Private to this room.
//
// A judge is kept from one set of readings to the next. What does not depend on the numbers read (what each explanation
// lets expect where, and how those expectations move together) is computed once for readings taken at the same places.
#pragma once

#include <cstdint>
#include <list>
#include <map>
#include <memory>
#include <string>
#include <unordered_map>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "diagnosis/inside/model.h"

namespace lugwise::diagnosis::inside {

struct Likelihood {
  double log = 0;             // of all readings together
  std::vector<double> each;   // of each reading by itself
  std::vector<double> pull;   // of each value: deviations from what the other readings let expect
  std::vector<char> slipped;  // of each reading: likelier a slip than what the explanation lets expect
  double size_shift = 0;      // where the size's unknown came to lie, in logs
  double size_deviation = 0;
};

// How worn the wipers are at their stops, all alike.
enum class Wear { Worn, Used, AsNew };

// One of the explanations that are weighed time and again: its number is that of its place in a list the caller keeps.
struct Numbered {
  Explanation explanation;
  std::uint32_t number = 0;
};

class Judge {
 public:
  Judge(const Harness& harness, Model& model, const DiagnosisOptions& options);
  ~Judge();

  // What is judged from now on. All that follows is about these readings; they must outlive it.
  void take(const std::vector<Observation>& observations);

  // A number that explanations share whose readings nothing tells apart: what one of them is worth, all are.
  std::uint64_t kind(const Numbered& explanation);

  // The quick judgement: all readings together, by the covariance of a sound harness.
  double glance(const Numbered& explanation);

  // The same of a fault without a size that has no number, and of which nothing is kept.
  double consider(const Fault& fault) const;

  // Whether some reading depends on the fault.
  bool touched(const Fault& fault) const;

  // The full one at the unknowns' means.
  const Likelihood& weigh(const Numbered& explanation);

  // The same at the unknowns' likeliest values; `free` lets the size go wherever the readings draw it.
  const Likelihood& follow(const Numbered& explanation, bool free = false);

  // The log of weigh(), or of follow(), without some of the readings.
  double without(const Numbered& explanation, const std::vector<std::size_t>& rows, bool followed);

  // Whether a reading fits an explanation with the wipers at their stops as worn as they may be. weigh() and follow() look
  // at all of them as worn, or all as good as new; here one alone may be.
  bool fits_worn(const Numbered& explanation, std::size_t row, double pull);

  // Whether a sweep must jump if that fault is there, but for one time in a hundred.
  bool would_jump(std::size_t row, const Fault& fault) const;

  // A reading that anything might have caused: what a slip of the hand, or a fault we don't list, is worth.
  double anything(std::size_t reading) const { return anything_[reading]; }

  // What the reading would be, as the sketch has it; for telling explanations apart that differ nowhere.
  const std::vector<double>& sketch(const Numbered& explanation);

 private:
  struct Lens;     // one explanation linearised about one point
  struct Pattern;  // which readings are numbers, and which only bounds
  struct Sketch;   // what one explanation makes readings
  struct Frame;    // readings at the same places

  void find_frame(const std::vector<Observation>& observations);
  void measure_off();
  void find_pattern(const std::vector<Observation>& observations);
  void begin_glances(const std::vector<Observation>& observations);
  std::unique_ptr<Lens> grind(const Explanation&, const std::vector<double>& x, Wear wear, bool free) const;
  Likelihood through(const Lens&, const Explanation&, const std::vector<char>* left_out = nullptr) const;
  double events(const Lens&, const Explanation&, const std::vector<double>& weighted, Likelihood&) const;
  const Lens& lens(const Numbered&, Wear wear);
  void forget_frames();
  void forget_lenses();
  // The wipers in the state that explains the readings best, and what the others add to its log.
  struct Worn {
    Wear wear = Wear::Worn;
    Likelihood likelihood;
    double beside = 0;
  };
  Worn worn(const Numbered&, const std::vector<char>* left_out = nullptr);
  Likelihood weigh_anew(const Numbered&);
  Likelihood follow_anew(const Numbered&, bool free, const std::vector<char>* left_out = nullptr);
  double glance_anew(const Numbered&);
  double glance_at(const Explanation&, const Sketch&) const;
  Sketch draw(const Explanation&) const;
  std::uint64_t kind_of(const Sketch&, const Explanation&) const;
  double deviation(std::uint32_t unknown, const Explanation&, Wear wear, bool free) const;
  double side(std::size_t i, double ohms, double deviation, bool open) const;
  double log_of_event(std::size_t i, double ohms, double deviation, bool open) const;
  double chance_of_motion(std::size_t i, const Explanation& explanation) const;
  double evidence_of_motion(std::size_t i, const Explanation& explanation) const;
  double meter_variance(std::size_t i, double shown) const;
  double log_of_slip(std::size_t i, double mean, double variance) const;

  const Harness& harness_;
  Model& model_;
  const DiagnosisOptions& options_;
  const std::vector<Observation>* observations_ = nullptr;
  std::list<std::unique_ptr<Frame>> frames_;  // the latest first
  Frame* frame_ = nullptr;
  Pattern* pattern_ = nullptr;
  std::vector<double> anything_;
  // Of the readings at hand under "nothing wrong", at the means: what the glance starts from.
  std::vector<double> residual_;      // of each number, in the pattern's order
  std::vector<double> weighted_;      // inverse covariance times that
  std::vector<double> sound_events_;  // of each reading that is no number
  double square_ = 0;
  double sound_glance_ = 0;
  std::vector<double> values_anything_;
  // What the kinds of explanation are worth, as far as they were judged.
  std::unordered_map<std::uint64_t, double> glances_;
  std::unordered_map<std::uint64_t, Likelihood> weighed_, followed_, freed_;
};

// Which of a reading's forms is a number on the display, and which only a bound on it.
bool is_value(const Observation& observation);
bool is_bound(const Observation& observation);

// The log of a sum of numbers given by their logs.
double log_sum(double x, double y);
double log_sum(const std::vector<double>& logs);

}  // namespace lugwise::diagnosis::inside
