#include "diagnosis/inside/reasoning.h"

#include <fmt/format.h>

#include <algorithm>

#include "diagnosis/inside/comparison.h"
#include "diagnosis/inside/remedy.h"

namespace lugwise::diagnosis::inside {

void Reasoning::suggest() {
  if (answer_.verdict != Verdict::Sound && options_.suggest) suggest_probe();
  advise();
}

std::ptrdiff_t Reasoning::doubtful_readings() const {
  return std::count_if(answer_.readings.begin(), answer_.readings.end(),
                       [](const Comparison& each) { return each.doubtful; });
}

// Whether a part was wrong with one of its leads off, so that nothing else can be to blame.
bool Reasoning::measured_alone(const Fault& fault) const {
  const bool part_of_it = fault.site == Site::Coil || fault.site == Site::Track ||
                          fault.site == Site::Resistor || fault.site == Site::Capacitor;
  if (!part_of_it || !fault.element || (fault.mode == Mode::Value && fault.site != Site::Coil)) return false;
  const std::optional<PartId> part = harness_[*fault.element].part;
  return std::any_of(acts_.begin(), acts_.end(), [&](const Act& act) {
    const auto at_it = [&](PointId point) { return part && harness_[point].part == part; };
    return act.wrong && act.weighed && !act.seen.lifted.empty() && at_it(act.seen.a) && at_it(act.seen.b);
  });
}

// As the technician counts it: its place in the readings file, where it is from one.
std::size_t Reasoning::number_of(std::size_t i) const { return all_[i].place > 0 ? all_[i].place : i + 1; }

void Reasoning::advise() {
  if (shocks()) {
    answer_.advice = std::string(kShockCaution);
    return;
  }
  const bool wrongs =
      std::any_of(places_.begin(), places_.end(), [&](const auto& place) { return wrong(place); });
  answer_.advice = wrongs ? advice_if_wrong() : advice_if_right();
}

std::string Reasoning::advice_if_right() const {
  switch (reason_) {
    case Reason::Sound:
      return fmt::format("Every reading is as a sound {} would show it.",
                         harness_.by_itself() ? "part" : "harness");
    case Reason::NothingMeasured:
      return complained() ? "Nothing measured yet; what was heard says where to begin."
                          : "Nothing measured yet.";
    case Reason::Unproven:
      return "Right so far. Before anything else, take again what was wrong before the repair.";
    case Reason::TooLow: {
      const Comparison& low = answer_.readings[*again_];
      const Range& enough =
          range_for(options_.meter, low.expected.ohms.high, plugs_among(harness_, all_[*again_]));
      return fmt::format(
          "Reading {} says only that it is above {}, as it should be: take it again on the {} range.",
          number_of(*again_), range_name(low.range.top), range_name(enough.top));
    }
    case Reason::StillTooLow: {
      const Comparison& low = answer_.readings[too_low().front()];
      return fmt::format(
          "Reading {} still says only that it is above {}, and stays in doubt: go on with the plan.",
          number_of(low.observation), range_name(low.range.top));
    }
    case Reason::CameAndWent:
      return was_open(*again_)
                 ? fmt::format(
                       "Reading {} was OL and is right now: press and move what lies on its way while "
                       "watching, or take it once more.",
                       number_of(*again_))
                 : fmt::format("Reading {} was wrong and is right now: take it once more.",
                               number_of(*again_));
    case Reason::Suspected:
      return "Every reading is as it should be, and yet together they hint at a fault: take the next probe.";
    case Reason::Complaint:
      return "It measures sound, and what was heard is not explained. Try another cable and amplifier first; "
             "then "
             "press and move the wires while listening. Ohms can't see a capacitor's value, a pickup out of "
             "phase, "
             "a cover or a room that hums.";
    case Reason::Doubted:
      return fmt::format("Reading {} fits nothing that the others allow: take it again.", number_of(*again_));
    default:
      return complained() ? "Right so far; what was heard is not explained yet."
                          : "Right so far: go on with the plan.";
  }
}

std::string Reasoning::advice_if_wrong() const {
  const double faulty = 1 - answer_.sound - answer_.unmodelled;
  const std::string_view done = harness_.by_itself() ? "thrown out" : "unsoldered";
  if (reason_ == Reason::Alone) {
    const auto wrongs =
        std::count_if(places_.begin(), places_.end(), [&](const auto& place) { return wrong(place); });
    return fmt::format("Reading {} {}: press the tip on bare metal and take it again before anything is {}.",
                       number_of(*again_), wrongs == 1 ? "alone is wrong" : "decides nearly all", done);
  }
  if (reason_ == Reason::Doubted && doubtful_readings() == 1)
    return fmt::format(
        "Reading {} fits nothing that the others allow: take it again before anything is condemned.",
        number_of(*again_));
  if (answer_.verdict == Verdict::Unsure && (answer_.unmodelled > 0.3 || doubtful_readings() > 1))
    return "Neither one fault nor two explain these readings: check that the netlist describes this harness.";
  if (answer_.verdict == Verdict::Fault &&
      probability_at_first_place(harness_, answer_) > kEnoughToAct * faulty)
    return measured_alone(answer_.suspects.front().fault)
               ? remedy_of_measured_alone(answer_.suspects.front().fault)
               : remedy(harness_, answer_.suspects.front().fault);
  if (answer_.next && answer_.next->why != NextProbe::Why::Proof)
    return fmt::format("Take the next probe before anything is {}.", done);
  if (answer_.verdict == Verdict::Fault)
    return answer_.lift
               ? "No further probe within reach tells the first suspects apart; one does with a lead off."
               : "No further probe within reach tells the first suspects apart: press and wiggle them "
                 "while watching, or lift a lead.";
  return "The readings leave it open; take those that the plan still has.";
}

}  // namespace lugwise::diagnosis::inside
