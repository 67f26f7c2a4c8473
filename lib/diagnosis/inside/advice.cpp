#include "diagnosis/inside/reasoning.h"

#include <fmt/format.h>

#include <algorithm>

#include "diagnosis/inside/comparison.h"
#include "diagnosis/inside/remedy.h"

namespace lugwise {
namespace {

bool of_pot(const Fault& fault) { return fault.site == Site::Track || fault.site == Site::Wiper; }

}  // namespace

void Reasoning::suggest() {
  if (answer_.verdict != Verdict::Sound && options_.suggest) finder_.suggest(all_, answer_);
  advise();
}

// The probability that the fault lies where the first suspect is, open or high; a track and its wiper are one pot.
double Reasoning::at_first_place() const {
  double sum = 0;
  const Suspect& best = answer_.suspects.front();
  const Fault& first = best.fault;
  for (const Suspect& suspect : answer_.suspects) {
    const Fault& fault = suspect.fault;
    const bool same_pot =
        of_pot(fault) && of_pot(first) && harness_[*fault.element].part == harness_[*first.element].part;
    if (suspect.also.has_value() != best.also.has_value() || (best.also && !(*suspect.also == *best.also)))
      continue;
    if (same_pot || same_place(fault, first)) sum += suspect.probability;
  }
  return sum;
}

std::ptrdiff_t Reasoning::doubtful_readings() const {
  return std::count_if(answer_.readings.begin(), answer_.readings.end(),
                       [](const Comparison& each) { return each.doubtful; });
}

void Reasoning::advise() {
  const auto doubtful = std::find_if(answer_.readings.begin(), answer_.readings.end(),
                                     [](const Comparison& each) { return each.doubtful; });
  const auto too_low =
      std::find_if(answer_.readings.begin(), answer_.readings.end(),
                   [&](const Comparison& each) { return says_too_little(all_[each.observation], each); });
  const bool all_agree = std::all_of(answer_.readings.begin(), answer_.readings.end(),
                                     [](const Comparison& each) { return each.agrees; });
  if (all_.empty() && heard_.empty()) {
    answer_.advice = "No readings were entered.";
  } else if (answer_.verdict == Verdict::Sound) {
    answer_.advice = fmt::format("Every reading is as a sound {} would show it.",
                                 harness_.by_itself() ? "part" : "harness");
  } else if (answer_.verdict == Verdict::Unsure && all_agree && too_low != answer_.readings.end()) {
    const int plugs = (harness_[all_[too_low->observation].a].role == PointRole::Plug) +
                      (harness_[all_[too_low->observation].b].role == PointRole::Plug);
    const Range& enough = range_for(options_.meter, too_low->expected.ohms.high, plugs);
    answer_.advice = fmt::format(
        "Reading {} says only that it is above {}, as it should be: take it again on the {} range.",
        too_low->observation + 1, range_name(too_low->range.top), range_name(enough.top));
  } else if (answer_.verdict == Verdict::Unsure && doubtful_readings() == 1) {
    answer_.advice = fmt::format(
        "Reading {} fits nothing that the others allow: take it again before anything is condemned.",
        doubtful->observation + 1);
  } else if (answer_.verdict == Verdict::Unsure && (answer_.unmodelled > 0.3 || doubtful_readings() > 1)) {
    answer_.advice =
        "Neither one fault nor two explain these readings: check that the netlist describes this harness.";
  } else if (answer_.verdict == Verdict::Fault &&
             at_first_place() > kSure * (1 - answer_.sound - answer_.unmodelled)) {
    answer_.advice = remedy(harness_, answer_.suspects.front().fault);
  } else if (answer_.next) {
    answer_.advice = fmt::format("Take the next probe before anything is {}.",
                                 harness_.by_itself() ? "thrown out" : "unsoldered");
  } else if (answer_.verdict == Verdict::Fault) {
    answer_.advice =
        answer_.lift
            ? "No further probe within reach tells the first suspects apart; one does with a lead off."
            : "No further probe within reach tells the first suspects apart: press and wiggle them "
              "while watching, or lift a lead.";
  } else {
    answer_.advice = "The readings leave it open; take those that the plan still has.";
  }
}

}  // namespace lugwise
