#include "study/inside/score.h"

#include <algorithm>
#include <cmath>

#include "sequence/sequence.h"

namespace lugwise::study::inside {
namespace {

constexpr double kFits = 0.2;  // a size within 20 % is right

bool is_ill(const Case& one, const Fault& fault) {
  return std::any_of(one.ills.begin(), one.ills.end(),
                     [&](const Case::Ill& ill) { return ill.fault == fault; });
}

// The closest that any reading taken could tell the size: its accuracy on the range it was on.
double finest(const Case::Ill& ill, const std::vector<Observation>& taken, const Meter& meter) {
  double finest = HUGE_VAL;
  for (const Observation& seen : taken) {
    if (seen.shows != Shows::Value || seen.value < ill.size) continue;
    const Range& range = seen.range ? *seen.range : range_for(meter, seen.value);
    finest = std::min(finest, error_bound(meter, range, seen.value));
  }
  return std::isfinite(finest) ? finest : 0;
}

// Every fault of the instrument stands in the first three groups; or what leads leaves no reading in doubt.
void score_all(Case& one, const Diagnosis& diagnosis) {
  const std::vector<Suspect>& suspects = diagnosis.suspects;
  one.all_named =
      !one.ills.empty() && std::all_of(one.ills.begin(), one.ills.end(), [&](const Case::Ill& ill) {
        return std::any_of(suspects.begin(), suspects.end(), [&](const Suspect& each) {
          return each.group <= 3 && (each.fault == ill.fault || (each.also && *each.also == ill.fault));
        });
      });
  one.explained = !suspects.empty() && suspects.front().probability > diagnosis.sound &&
                  std::none_of(diagnosis.readings.begin(), diagnosis.readings.end(),
                               [](const Comparison& each) { return each.doubtful; });
}

}  // namespace

bool settled(const Diagnosis& diagnosis) {
  if (diagnosis.verdict != Verdict::Fault || diagnosis.suspects.empty()) return false;
  double here = 0;
  for (const Suspect& each : diagnosis.suspects) {
    if (same_place(each.fault, diagnosis.suspects.front().fault)) here += each.probability;
  }
  return here >= kEnoughToAct;
}

void take_stock(Case& one, const Diagnosis& diagnosis) {
  std::vector<const Fault*> places;
  std::vector<double> shares;
  for (const Suspect& each : diagnosis.suspects) {
    std::size_t p = 0;
    while (p < places.size() && !same_place(*places[p], each.fault)) ++p;
    if (p == places.size()) {
      places.push_back(&each.fault);
      shares.push_back(0);
    }
    shares[p] += each.probability;
  }
  one.at_once = static_cast<double>(places.size());
  one.bound = least_tests(shares);
}

void score(Case& one, const Diagnosis& diagnosis, const std::vector<Observation>& taken, const Meter& meter) {
  one.verdict = diagnosis.verdict;
  one.sound = diagnosis.sound;
  score_all(one, diagnosis);
  std::vector<const Fault*> places;
  for (std::size_t k = 0; k < diagnosis.suspects.size(); ++k) {
    const Suspect& suspect = diagnosis.suspects[k];
    const auto right = std::find_if(one.ills.begin(), one.ills.end(), [&](const Case::Ill& ill) {
      return ill.fault == suspect.fault || (suspect.also && ill.fault == *suspect.also);
    });
    const bool both = !suspect.also || (is_ill(one, suspect.fault) && is_ill(one, *suspect.also));
    one.claims.push_back({suspect.probability, right != one.ills.end() && both});
    if (suspect.group != 1) continue;
    ++one.group;
    if (std::none_of(places.begin(), places.end(),
                     [&](const Fault* place) { return same_place(*place, suspect.fault); }))
      places.push_back(&suspect.fault);
    one.placed = one.placed || std::any_of(one.ills.begin(), one.ills.end(), [&](const Case::Ill& ill) {
                   return same_place(ill.fault, suspect.fault);
                 });
    if (right == one.ills.end()) continue;
    one.named = true;
    if (k == 0) one.first = true;
    if (right->fault.mode == Mode::High && suspect.size && right->size > 0) {
      one.size = suspect.size->nominal / right->size;
      const double off = std::abs(suspect.size->nominal - right->size);
      one.size_fits = off <= kFits * right->size || off <= finest(*right, taken, meter);
    }
  }
  one.places = places.size();
}

}  // namespace lugwise::study::inside
