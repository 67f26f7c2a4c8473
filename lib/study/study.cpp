#include "study/study.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <string_view>

#include "expectation/corner.h"
#include "sequence/sequence.h"
#include "simulation/dice.h"
#include "simulation/meter_in_use.h"
#include "simulation/simulation.h"
#include "simulation/specimen.h"

namespace lugwise {
namespace {

// How often a sweep jumps over a worn track or a dirty wiper whose motion the probes see.
constexpr double kJumps = 0.995;

// And how often a loose joint or contact betrays itself that is pressed and moved.
constexpr double kBetrayed = 0.7;

// Nobody takes more probes than this after the first wrong reading.
constexpr std::size_t kMostProbes = 25;

// Enough to act on: so much of the probability lies in one place.
constexpr double kSettled = 0.9;

// A reading is taken again at most so often.
constexpr std::ptrdiff_t kMostAgain = 2;

// What the diagnosis keeps from case to case is forgotten after so many.
constexpr std::size_t kAfresh = 1000;

constexpr double kFits = 0.2;  // a size within 20 % is right

constexpr std::array<std::string_view, 9> kIllsNames{"mixed", "none",  "any",  "open",     "high",
                                                     "short", "value", "worn", "misplaced"};

}  // namespace

std::string_view ills_name(Ills ills) { return kIllsNames[static_cast<std::size_t>(ills)]; }

namespace {

Plan plan_of(const Harness& harness, const std::string& harness_id, const StudyOptions& options,
             const Reached& reached) {
  PlanOptions wanted;
  static_cast<Circumstances&>(wanted) = options;
  return plan_for(harness, harness_id, wanted, reached);
}

}  // namespace

class Study::Bench {
 public:
  Bench(const Harness& harness, const StudyOptions& options, std::shared_ptr<const Plan> plan)
      : harness_(harness),
        options_(options),
        faults_(faults_at(harness, options.stage)),
        wired_(harness, options.stage, faults_),
        shared_(std::move(plan)) {
    weigh(faults_, options.common);
    for (const Step& step : plan_.steps) {
      if (step.kind == StepKind::Sweep || (step.kind == StepKind::Read && !step.capacitance))
        steps_.push_back(&step);
    }
    static_cast<Circumstances&>(told_) = options;
    told_.separate = false;
    told_.scope = scope_of(plan_);
    diagnoser_.emplace(harness, told_);
    for (std::size_t f = 0; f < faults_.size(); ++f) {
      if (wanted_fault(faults_[f])) drawn_from_.push_back(f);
    }
    thresholds_.resize(faults_.size());
  }

  Bench(const Bench& other) : Bench(other.harness_, other.options_, other.shared_) {}
  Bench& operator=(const Bench&) = delete;

  const Plan& plan() const { return plan_; }

  Case run(std::size_t number) {
    if (++ran_ % kAfresh == 0) diagnoser_.emplace(harness_, told_);
    return Visit(*this, number).run();
  }
  Followed follow(std::size_t number) { return Visit(*this, number).follow(); }

 private:
  // From which size on a fault shows: above `over`, or below `under`. A fault without a size shows where `over` is 0.
  struct Threshold {
    double over = HUGE_VAL;
    double under = 0;
  };

  bool wanted_fault(const Fault& fault) const {
    switch (options_.ills) {
      case Ills::None:
        return false;
      case Ills::Open:
        return fault.mode == Mode::Open;
      case Ills::High:
        return fault.mode == Mode::High && !is_worn_track(fault);
      case Ills::Short:
        return fault.mode == Mode::Short;
      case Ills::Value:
        return fault.mode == Mode::Value;
      case Ills::Worn:
        return is_worn_track(fault);
      case Ills::Misplaced:
        return fault.mode == Mode::Misplaced;
      default:
        return true;
    }
  }

  // What a step may show, whatever the tolerances: from its lowest to its highest, or OL.
  struct Reach {
    bool always_over = false, maybe_over = false;
    double low = 0, high = 0;
  };

  Reach reach(const Step& step, const Circuit& circuit) const {
    const auto corner = [&](Corner which, bool joined) {
      return network_at(circuit, loose_resistors_at(circuit, which), joined)
          .resistance(step.a.index, step.b.index);
    };
    const auto low = corner(Corner::Low, true);
    const auto high = corner(Corner::High, false);
    const int plugs = (harness_[step.a].role == PointRole::Plug) + (harness_[step.b].role == PointRole::Plug);
    const auto shown = [&](Ohms ohms) { return window(told_.meter, step.range, {ohms, ohms, ohms}, plugs); };
    Reach reach;
    reach.always_over = !low;
    reach.maybe_over = !high;
    if (low) reach.low = shown(*low).low;
    if (high) reach.high = shown(*high).high;
    return reach;
  }

  // Whether no reading can be both, on this step's range.
  bool apart(const Step& step, const Reach& one, const Reach& other) const {
    const double round = told_.meter.step(step.range);
    const double top = step.range.top - round;
    const auto below_top = [&](const Reach& each) { return !each.maybe_over && each.high < top; };
    if (one.always_over) return below_top(other);
    if (other.always_over) return below_top(one);
    const auto above = [&](const Reach& high, const Reach& low) {
      return below_top(low) && high.low > low.high + round;
    };
    return above(one, other) || above(other, one);
  }

  // Whether some reading of the plan cannot be a sound one's with this fault, whatever the tolerances; or, beside another
  // fault, not that other's alone.
  bool shows(const Fault& fault, double size, const Ailment* beside = nullptr) const {
    return std::any_of(steps_.begin(), steps_.end(), [&](const Step* step) {
      if (step->kind != StepKind::Read || !step->expected.known) return false;
      const State state{step->setting, options_.stage, step->access.depth > 0, {}, Temperature{}};
      Circuit without = circuit_of(harness_, state);
      if (beside) without = with_fault(without, faults_[beside->fault], beside->size);
      const Reach usual = beside ? reach(*step, without)
                                 : Reach{step->expected.open, step->expected.open || step->expected.unlimited,
                                         step->shows.low, step->shows.high};
      return apart(*step, usual, reach(*step, with_fault(without, fault, size)));
    });
  }

  bool proved(const Fault& fault) const {
    for (const Step* step : steps_) {
      for (std::size_t f : step->proves) {
        if (plan_.faults[f] == fault) return true;
      }
    }
    return false;
  }

  // A reading moves one way with a size, so the least that shows is found by halving.
  const Threshold& threshold(std::size_t f) {
    std::optional<Threshold>& known = thresholds_[f];
    if (known) return *known;
    known.emplace();
    const Fault& fault = faults_[f];
    const auto halve = [&](double hidden, double shown) {
      if (!shows(fault, shown)) return hidden < shown ? HUGE_VAL : 0.0;
      for (int step = 0; step < 12; ++step) {
        const double middle = std::sqrt(hidden * shown);
        (shows(fault, middle) ? shown : hidden) = middle;
      }
      return shown;
    };
    if (is_worn_track(fault)) {
      known->over = proved(fault) ? 0 : HUGE_VAL;
    } else if (fault.mode == Mode::High) {
      known->over = halve(kLeastHigh / 10, kMostHigh);
    } else if (fault.mode == Mode::Value && fault.site != Site::Capacitor) {
      known->over = halve(1, kMostFactor);
      known->under = halve(1, 1 / kMostFactor);
    } else {
      known->over = shows(fault, 0) ? 0 : HUGE_VAL;
    }
    return *known;
  }

  bool visible(const Ailment& ailment) {
    const Threshold& from = threshold(ailment.fault);
    if (faults_[ailment.fault].mode == Mode::Value)
      return ailment.size >= from.over || ailment.size <= from.under;
    return ailment.size >= from.over;
  }

  bool visible(const Ailment& ailment, const Ailment& beside) {
    const Fault& fault = faults_[ailment.fault];
    return is_worn_track(fault) ? proved(fault) : shows(fault, ailment.size, &beside);
  }

  // One instrument from the first touch to the answer.
  class Visit {
   public:
    Visit(Bench& bench, std::size_t number)
        : bench_(bench),
          options_(bench.options_),
          harness_(bench.harness_),
          dice_(options_.seed, number),
          ailments_(draw_ills()),
          specimen_(bench.wired_, ailments_, dice_),
          meter_(bench.options_.meter, dice_) {
      case_.number = number;
      hands_.setting = Setting(harness_);
      for (const Ailment& each : ailments_) {
        case_.ills.push_back({bench.faults_[each.fault], each.size});
        case_.visible = case_.visible || bench.visible(each);
      }
      // Of two, each must show beside the other: nothing tells of one that the other hides.
      if (ailments_.size() == 2)
        case_.visible =
            bench.visible(ailments_[0], ailments_[1]) && bench.visible(ailments_[1], ailments_[0]);
    }

    Case run() {
      bool located = false;
      for (next_step_ = 0; next_step_ < bench_.steps_.size() && !located;) {
        const bool right = take_step();
        if (!right && !options_.whole_sheet) located = locate();
      }
      if (!located) conclude();
      judge();
      return std::move(case_);
    }

    Followed follow() {
      Case end = run();
      return {std::move(end), observations_, *diagnosis_};
    }

   private:
    std::vector<Ailment> draw_ills() {
      std::vector<Ailment> ills;
      if (bench_.drawn_from_.empty()) return ills;
      if (options_.ills == Ills::Mixed && dice_.chance(0.5)) return ills;
      ills.push_back(draw_one());
      for (int tries = 0; options_.pairs && ills.size() < 2 && tries < 100; ++tries) {
        const Ailment other = draw_one();
        if (!same_place(bench_.faults_[other.fault], bench_.faults_[ills[0].fault])) ills.push_back(other);
      }
      return ills;
    }

    Ailment draw_one() {
      double weights = 0;
      for (std::size_t f : bench_.drawn_from_) weights += bench_.faults_[f].weight;
      double left = dice_.even() * weights;
      std::size_t chosen = bench_.drawn_from_.back();
      for (std::size_t f : bench_.drawn_from_) {
        left -= bench_.faults_[f].weight;
        if (left < 0) {
          chosen = f;
          break;
        }
      }
      return {chosen, draw_size(harness_, bench_.faults_[chosen], dice_), false};
    }

    // Takes the plan's next step; whether it reads as a sound instrument may.
    bool take_step() {
      const Step& step = *bench_.steps_[next_step_++];
      Observation seen = blank(step.setting, step.access, step.a, step.b);
      seen.step = step.number;
      Hands wanted = at(seen);
      wanted.range = step.range.top;
      if (step.kind == StepKind::Sweep) {
        spend(wanted, options_.costs.sweep - options_.costs.read);
        hands_.setting = left_at(step);
        seen.action = Action::Sweep;
        seen.swept = step.swept;
        seen.range = step.range;
        const bool jumps = jumps_on(step);
        seen.shows = jumps ? Shows::Jumps : Shows::Smooth;
        seen.text = jumps ? "jumps" : "smooth";
      } else {
        spend(wanted, 0);
        read(seen, step.range, true);
      }
      observations_.push_back(seen);
      const bool right = agrees(step, seen);
      if (!right && !first_wrong_) {
        first_wrong_ = &step;
        seconds_before_ = seconds_;
        readings_before_ = case_.readings;
        low_ = !(seen.shows == Shows::OverRange || seen.value > step.shows.nominal);
      }
      return right;
    }

    bool agrees(const Step& step, const Observation& seen) const {
      if (seen.shows == Shows::Smooth) return true;
      if (seen.shows == Shows::Jumps) return false;
      const Meter& meter = options_.meter;
      const double round = std::max(meter.step(step.range), seen.resolution) * 0.500001;
      const bool maybe_open = step.expected.open || step.expected.unlimited;
      if (seen.shows == Shows::OverRange) return maybe_open || step.shows.high > step.range.top - round;
      if (step.expected.open) return false;
      if (seen.value < step.shows.low - round) return false;
      return step.expected.unlimited || seen.value <= step.shows.high + round;
    }

    Observation blank(const Setting& setting, const Access& access, PointId a, PointId b) const {
      Observation seen;
      seen.setting = setting;
      seen.access = access;
      seen.a = a;
      seen.b = b;
      return seen;
    }

    Hands at(const Observation& seen) const { return {seen.setting, seen.a, seen.b, seen.access.depth, 0}; }

    void spend(const Hands& wanted, double extra) {
      const double seconds = seconds_to_read(harness_, options_.costs, hands_, wanted) + extra;
      seconds_ += seconds;
      const int depth = std::max(hands_.depth, wanted.depth);
      const double range = wanted.range == 0 ? hands_.range : wanted.range;
      hands_ = wanted;
      hands_.depth = depth;
      hands_.range = range;
      ++case_.readings;
    }

    // Whether the display jumps as the knob of a step is turned.
    bool jumps_on(const Step& step) {
      return jumps_at(step.range, [&](const Fault& fault) {
        return std::any_of(step.proves.begin(), step.proves.end(), [&](std::size_t f) {
          const Fault& seen = bench_.plan_.faults[f];
          return is_worn_track(seen) && harness_[*seen.element].part == harness_[*fault.element].part;
        });
      });
    }

    // The same on a range, of the pots that the sweep shows.
    template <class Shown>
    bool jumps_at(const Range& range, const Shown& shown) {
      bool jumps = false;
      for (const Ailment& each : ailments_) {
        const Fault& fault = bench_.faults_[each.fault];
        if (fault.site != Site::Track && fault.site != Site::Wiper) continue;
        if (fault.mode != Mode::High && fault.mode != Mode::Open) continue;
        // Nor does a dirty wiper show that adds less than the display can tell.
        if (fault.mode == Mode::High && !is_worn_track(fault) && each.size < 20 * options_.meter.step(range))
          continue;
        jumps = jumps || shown(fault);
      }
      return jumps && dice_.chance(kJumps);
    }

    // What stands on the display; `slipping`: it may be the wrong thing.
    void read(Observation& seen, const Range& range, bool slipping) {
      const Workbench::Place place{seen.setting, seen.access.depth > 0, seen.lifted};
      std::optional<Ohms> ohms = specimen_.ohms(place, seen.a, seen.b);
      double scale = 1;
      if (slipping && options_.slips > 0 && dice_.chance(options_.slips)) slip(place, seen, ohms, scale);
      const auto plug = [&](PointId point) { return harness_[point].role == PointRole::Plug ? 1 : 0; };
      meter_.show(ohms, plug(seen.a) + plug(seen.b), range, dice_, seen, scale);
    }

    // A tip on nothing, a tip on another point, or a decimal point in the wrong place: each as often.
    void slip(const Workbench::Place& place, const Observation& seen, std::optional<Ohms>& ohms,
              double& scale) {
      const std::size_t kind = dice_.below(3);
      if (kind == 0) {
        ohms.reset();
      } else if (kind == 1) {
        scale = dice_.chance(0.5) ? 10 : 0.1;
      } else {
        const Circuit& circuit = bench_.wired_.sound(place);
        const std::vector<PointId> points = reachable(harness_, options_.stage, seen.access.depth);
        for (int tries = 0; tries < 20; ++tries) {
          const PointId other = points[dice_.below(points.size())];
          if (!circuit.has(other) || other == seen.a || other == seen.b) continue;
          ohms = specimen_.ohms(place, seen.a, other);
          break;
        }
      }
    }

    void diagnose_now() { diagnosis_ = bench_.diagnoser_->diagnose(observations_); }

    // Probes until the answer stands. False: nothing is wrong after all, and the plan goes on.
    bool locate() {
      while (true) {
        diagnose_now();
        if (case_.at_once == 0) take_stock();
        const Verdict verdict = diagnosis_->verdict;
        if (verdict == Verdict::Sound || verdict == Verdict::Unfinished) return false;
        if (case_.readings - readings_before_ >= kMostProbes) return true;
        if (const auto doubted = to_take_again()) {
          take_again(*doubted);
          continue;
        }
        if (settled()) return true;
        if (diagnosis_->next && worth_taking(*diagnosis_->next)) {
          take(*diagnosis_->next);
        } else if (next_step_ < bench_.steps_.size() && verdict == Verdict::Unsure) {
          take_step();
        } else {
          return true;
        }
      }
    }

    // What parts the suspects, a reading taken once more among that.
    static bool worth_taking(const NextProbe& probe) {
      return probe.why == NextProbe::Why::Tells || probe.why == NextProbe::Why::Again;
    }

    // The reading that the answer asks for once more, or doubts; no place more than three times.
    std::optional<std::size_t> to_take_again() const {
      if (diagnosis_->verdict != Verdict::Unsure) return std::nullopt;
      const auto times = [&](std::size_t i) {
        return std::count_if(observations_.begin(), observations_.end(),
                             [&](const Observation& each) { return at_one_place(each, observations_[i]); });
      };
      if (diagnosis_->next && diagnosis_->next->again && times(*diagnosis_->next->again) <= kMostAgain)
        return diagnosis_->next->again;
      for (const Comparison& each : diagnosis_->readings) {
        if (each.doubtful && !each.again && times(each.observation) < 2) return each.observation;
      }
      return std::nullopt;
    }

    void take_again(std::size_t i) {
      ++case_.again;
      Observation seen = observations_[i];
      Hands wanted = at(seen);
      if (seen.range) wanted.range = seen.range->top;
      spend(wanted, 0);
      if (seen.action == Action::Read) {
        read(seen, seen.range.value_or(options_.meter.ranges.back()), true);
      } else if (seen.action == Action::Sweep) {
        sweep(seen);
      }
      observations_.push_back(std::move(seen));
    }

    // The same knob once more: the fault shows as it did.
    void sweep(Observation& seen) {
      const auto step = std::find_if(bench_.steps_.begin(), bench_.steps_.end(),
                                     [&](const Step* each) { return each->number == seen.step; });
      if (step == bench_.steps_.end()) return;
      const bool jumps = jumps_on(**step);
      seen.shows = jumps ? Shows::Jumps : Shows::Smooth;
      seen.text = jumps ? "jumps" : "smooth";
    }

    void take(const NextProbe& probe) {
      Observation seen = blank(probe.setting, probe.access, probe.a, probe.b);
      Hands wanted = at(seen);
      wanted.range = probe.range.top;
      const Costs& costs = options_.costs;
      spend(wanted, probe.swept                           ? costs.sweep - costs.read
                    : !probe.wiggled.empty()              ? costs.wiggle
                    : probe.worked || probe.another_cable ? costs.sweep
                                                          : 0);
      if (probe.again) ++case_.again;
      if (probe.swept || !probe.wiggled.empty()) {
        move(probe, seen);
      } else {
        read(seen, probe.range, true);
      }
      observations_.push_back(std::move(seen));
    }

    // A knob turned or a place pressed, watching.
    void move(const NextProbe& probe, Observation& seen) {
      seen.range = probe.range;
      if (probe.swept) {
        seen.action = Action::Sweep;
        seen.swept = probe.swept;
        hands_.setting = other_end(seen.setting, *probe.swept);
        const bool jumps = jumps_at(probe.range, [&](const Fault& fault) {
          const PartId pot = *harness_[*fault.element].part;
          return std::find(probe.watched.begin(), probe.watched.end(), pot) != probe.watched.end();
        });
        seen.shows = jumps ? Shows::Jumps : Shows::Smooth;
        seen.text = jumps ? "jumps" : "smooth";
        return;
      }
      seen.action = Action::Wiggle;
      seen.wiggled = probe.wiggled;
      bool loose = false;
      for (const Ailment& each : ailments_) {
        const Fault& fault = bench_.faults_[each.fault];
        if (fault.mode != Mode::High && fault.mode != Mode::Open) continue;
        if (fault.site == Site::Track || fault.site == Site::Wiper) continue;
        loose = loose || std::any_of(fault.points.begin(), fault.points.end(), [&](PointId point) {
                  return std::find(probe.wiggled.begin(), probe.wiggled.end(), point) != probe.wiggled.end();
                });
      }
      const bool unstable = loose && dice_.chance(kBetrayed);
      seen.shows = unstable ? Shows::Unstable : Shows::Steady;
      seen.text = unstable ? "unstable" : "steady";
    }

    // So much lies in one place that no more probes are asked for.
    bool settled() const {
      if (diagnosis_->verdict != Verdict::Fault || diagnosis_->suspects.empty()) return false;
      double here = 0;
      for (const Suspect& each : diagnosis_->suspects) {
        if (same_place(each.fault, diagnosis_->suspects.front().fault)) here += each.probability;
      }
      return here >= kSettled;
    }

    // The places that stand, and what finding one of them takes at least.
    void take_stock() {
      std::vector<const Fault*> places;
      std::vector<double> shares;
      for (const Suspect& each : diagnosis_->suspects) {
        std::size_t p = 0;
        while (p < places.size() && !same_place(*places[p], each.fault)) ++p;
        if (p == places.size()) {
          places.push_back(&each.fault);
          shares.push_back(0);
        }
        shares[p] += each.probability;
      }
      case_.at_once = static_cast<double>(places.size());
      case_.bound = least_tests(shares);
    }

    void conclude() { diagnose_now(); }

    void judge() {
      const Diagnosis& d = *diagnosis_;
      case_.alarmed = first_wrong_ != nullptr;
      case_.verdict = d.verdict;
      case_.sound = d.sound;
      case_.seconds = seconds_;
      if (first_wrong_) {
        case_.probes = case_.readings - readings_before_;
        case_.seconds_after = seconds_ - seconds_before_;
      }
      std::vector<const Fault*> places;
      std::size_t found = 0;
      for (const Case::Ill& ill : case_.ills) {
        const bool named = std::any_of(d.suspects.begin(), d.suspects.end(), [&](const Suspect& each) {
          return each.group <= 3 && (each.fault == ill.fault || (each.also && *each.also == ill.fault));
        });
        found += named ? 1 : 0;
      }
      case_.all_named = !case_.ills.empty() && found >= case_.ills.size();
      case_.explained = !d.suspects.empty() && d.suspects.front().probability > d.sound &&
                        std::none_of(d.readings.begin(), d.readings.end(),
                                     [](const Comparison& each) { return each.doubtful; });
      for (std::size_t k = 0; k < d.suspects.size(); ++k) {
        const Suspect& suspect = d.suspects[k];
        const auto right = std::find_if(case_.ills.begin(), case_.ills.end(), [&](const Case::Ill& ill) {
          return ill.fault == suspect.fault || (suspect.also && ill.fault == *suspect.also);
        });
        const bool both = !suspect.also || (is_ill(suspect.fault) && is_ill(*suspect.also));
        case_.claims.push_back({suspect.probability, right != case_.ills.end() && both});
        if (suspect.group != 1) continue;
        ++case_.group;
        if (std::none_of(places.begin(), places.end(),
                         [&](const Fault* place) { return same_place(*place, suspect.fault); }))
          places.push_back(&suspect.fault);
        case_.placed =
            case_.placed || std::any_of(case_.ills.begin(), case_.ills.end(), [&](const Case::Ill& ill) {
              return same_place(ill.fault, suspect.fault);
            });
        if (right == case_.ills.end()) continue;
        case_.named = true;
        if (k == 0) case_.first = true;
        if (right->fault.mode == Mode::High && suspect.size && right->size > 0) {
          case_.size = suspect.size->nominal / right->size;
          const double off = std::abs(suspect.size->nominal - right->size);
          case_.size_fits = off <= kFits * right->size || off <= finest(*right);
        }
      }
      case_.places = places.size();
      if (first_wrong_ && !case_.ills.empty()) others();
    }

    bool is_ill(const Fault& fault) const {
      return std::any_of(case_.ills.begin(), case_.ills.end(),
                         [&](const Case::Ill& ill) { return ill.fault == fault; });
    }

    // The closest that any reading taken could tell the size: its accuracy on the range it was on.
    double finest(const Case::Ill& ill) const {
      double finest = HUGE_VAL;
      for (const Observation& seen : observations_) {
        if (seen.shows != Shows::Value || seen.value < ill.size) continue;
        const Range& range = seen.range ? *seen.range : range_for(options_.meter, seen.value);
        finest = std::min(finest, error_bound(options_.meter, range, seen.value));
      }
      return std::isfinite(finest) ? finest : 0;
    }

    // Two other ways from the first wrong reading on: both know which places it may point to, and no more.
    void others() {
      std::vector<const Fault*> places;
      for (std::size_t f : first_wrong_->proves) {
        const Fault& fault = bench_.plan_.faults[f];
        if (first_wrong_->kind == StepKind::Read && low_ != (fault.mode == Mode::Short)) continue;
        if (std::none_of(places.begin(), places.end(),
                         [&](const Fault* other) { return same_place(*other, fault); }))
          places.push_back(&fault);
      }
      std::size_t at = 0;
      while (at < places.size() && !same_place(*places[at], case_.ills.front().fault)) ++at;
      const std::size_t count = std::max(places.size(), at + 1);
      const Costs& costs = options_.costs;
      const double each = costs.read + costs.move_probe;
      const double opening =
          first_wrong_->access.depth > 0 || on_bench(harness_, options_.stage) ? 0 : costs.open_cavity;

      // In order: the rest of the plan, then place by place, the last of which needs no probe.
      Hands hands{left_at(*first_wrong_), first_wrong_->a, first_wrong_->b, first_wrong_->access.depth,
                  first_wrong_->range.top};
      for (const Step* step : bench_.steps_) {
        if (step->number <= first_wrong_->number) continue;
        const Hands wanted{step->setting, step->a, step->b, step->access.depth, step->range.top};
        case_.in_order.seconds += seconds_to_read(harness_, costs, hands, wanted);
        case_.in_order.probes += 1;
        hands = wanted;
        hands.setting = left_at(*step);
      }
      const double traced = count < 2 ? 0 : static_cast<double>(std::min(at + 1, count - 1));
      case_.in_order.probes += traced;
      if (hands.depth == 0 && traced > 0) case_.in_order.seconds += opening;
      case_.in_order.seconds += each * traced;

      // Halving: each probe leaves half of the places.
      std::size_t low = 0;
      std::size_t high = count;
      while (high - low > 1) {
        const std::size_t middle = low + (high - low) / 2;
        (at < middle ? high : low) = middle;
        case_.halving.probes += 1;
      }
      case_.halving.seconds = each * case_.halving.probes + (case_.halving.probes > 0 ? opening : 0);
    }

    Bench& bench_;
    const StudyOptions& options_;
    const Harness& harness_;
    Dice dice_;
    std::vector<Ailment> ailments_;
    Specimen specimen_;
    MeterInUse meter_;
    Hands hands_;
    std::vector<Observation> observations_;
    std::size_t next_step_ = 0;
    const Step* first_wrong_ = nullptr;
    bool low_ = false;  // the first wrong reading was below what it should be
    double seconds_ = 0;
    double seconds_before_ = 0;
    std::size_t readings_before_ = 0;
    std::optional<Diagnosis> diagnosis_;
    Case case_;
  };

  const Harness& harness_;
  StudyOptions options_;
  std::vector<Fault> faults_;
  Workbench wired_;
  std::shared_ptr<const Plan> shared_;  // with the same study on other threads
  const Plan& plan_ = *shared_;
  std::vector<const Step*> steps_;  // those that take a reading in ohms, or sweep
  DiagnosisOptions told_;           // what the diagnosis is told: nothing of the temperature
  std::optional<Diagnoser> diagnoser_;
  std::size_t ran_ = 0;
  std::vector<std::size_t> drawn_from_;
  std::vector<std::optional<Threshold>> thresholds_;
};

Study::Study(const Harness& harness, const std::string& harness_id, const StudyOptions& options,
             const Reached& reached)
    : bench_(std::make_unique<Bench>(
          harness, options, std::make_shared<const Plan>(plan_of(harness, harness_id, options, reached)))) {}
Study::Study(const Study& other) : bench_(std::make_unique<Bench>(*other.bench_)) {}
Study::~Study() = default;

Case Study::run(std::size_t number) { return bench_->run(number); }
Study::Followed Study::follow(std::size_t number) { return bench_->follow(number); }
const Plan& Study::plan() const { return bench_->plan(); }

}  // namespace lugwise
