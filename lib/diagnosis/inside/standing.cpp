#include "diagnosis/inside/standing.h"

#include <algorithm>

namespace lugwise::diagnosis::inside {
namespace {

// Suspects weighed, none below so much of the probability.
constexpr std::size_t kMostSuspects = 14;
constexpr double kLeastShare = 0.005;
// Before any reading little is told yet, and many stand.
constexpr std::size_t kMostAtFirst = 40;
constexpr double kLeastAtFirst = 0.001;
// As many as can be ordered, each in its sizes.
constexpr std::size_t kMostStanding = 60;

// So much in one place is sure enough: no more probes.
constexpr double kSureEnough = 0.97;

// What comes and goes is gone so often while a plain reading is taken. A judgement.
constexpr double kResting = 0.7;

// Sizes that stand for one that no reading speaks of yet.
constexpr Ohms kDirty = 1e4;
constexpr Ohms kNearlyOpen = 1e6;

// A size known less well than this is three explanations, from its least to its most.
constexpr double kWideSize = 2;

bool at_same_place(const Suspect& x, const Suspect& y) {
  if (x.also.has_value() != y.also.has_value()) return false;
  if (!x.also) return same_place(x.fault, y.fault);
  return (same_place(x.fault, y.fault) && same_place(*x.also, *y.also)) ||
         (same_place(x.fault, *y.also) && same_place(*x.also, y.fault));
}

bool stands(const std::vector<Standing>& standing, const Fault& fault) {
  return std::any_of(standing.begin(), standing.end(), [&](const Standing& each) {
    return each.suspect && each.suspect->also &&
           (each.suspect->fault == fault || *each.suspect->also == fault);
  });
}

}  // namespace

std::vector<Standing> standing_of(const Diagnosis& answer, Among among, bool comes_and_goes) {
  const bool first_group = among == Among::FirstGroup;
  const std::size_t most = answer.readings.empty() ? kMostAtFirst : kMostSuspects;
  const double least = answer.readings.empty() ? kLeastAtFirst : kLeastShare;
  std::vector<Standing> standing;
  double total = 0;
  if (!first_group && answer.sound > kLeastShare) {
    standing.push_back({nullptr, 0, 0, answer.sound, 0});
    total += answer.sound;
  }
  std::vector<const Suspect*> places;
  std::size_t suspects = 0;
  for (std::size_t k = 0; k < answer.suspects.size() && suspects < most; ++k) {
    const Suspect& suspect = answer.suspects[k];
    if (first_group ? suspect.group != 1 : suspect.probability < least && !suspect.also) continue;
    if (suspect.also && standing.size() > 1 && stands(standing, suspect.fault) &&
        stands(standing, *suspect.also))
      continue;
    if (standing.size() + 4 > kMostStanding) break;
    ++suspects;
    std::uint32_t place = 0;
    while (place < places.size() && !at_same_place(*places[place], suspect)) ++place;
    if (place == places.size()) places.push_back(&suspect);
    const bool loses = suspect.fault.mode == Mode::Open || suspect.fault.mode == Mode::High;
    const bool rests = comes_and_goes && loses && !suspect.also && !is_worn_track(suspect.fault);
    const auto add = [&](double size, double share) {
      const double here = suspect.probability * share * (rests ? 1 - kResting : 1);
      standing.push_back({&suspect, k, size, here, place + 1});
    };
    if (rests) standing.push_back({&suspect, k, 0, suspect.probability * kResting, place + 1, true});
    total += suspect.probability;
    if (!suspect.size && suspect.fault.mode == Mode::High && !is_worn_track(suspect.fault)) {
      // Of no reading yet: heard, so not small.
      if (!rests) add(kDirty, 0.5);
      add(kNearlyOpen, rests ? 1 : 0.5);
    } else if (!suspect.size && suspect.fault.mode == Mode::Value) {
      add(0.5, 0.5);
      add(2, 0.5);
    } else if (!suspect.size) {
      add(0, 1);
    } else if (suspect.size->high > kWideSize * suspect.size->low) {
      add(suspect.size->low, 0.25);
      add(suspect.size->nominal, 0.5);
      add(suspect.size->high, 0.25);
    } else {
      add(suspect.size->nominal, 1);
    }
  }
  for (Standing& each : standing) each.probability /= total;
  return standing;
}

std::vector<double> shares_of_places(const std::vector<Standing>& standing) {
  std::vector<double> shares;
  for (const Standing& each : standing) {
    shares.resize(std::max<std::size_t>(shares.size(), each.place + 1U), 0);
    shares[each.place] += each.probability;
  }
  return shares;
}

bool sure_enough(const std::vector<Standing>& standing) {
  const std::vector<double> shares = shares_of_places(standing);
  return std::any_of(shares.begin(), shares.end(), [](double share) { return share >= kSureEnough; });
}

bool lies_at(const Harness& harness, const std::vector<Standing>& standing, PointId point) {
  const std::optional<PartId> part = harness[point].part;
  const auto there = [&](const Fault& fault) {
    return std::any_of(fault.points.begin(), fault.points.end(),
                       [&](PointId each) { return each == point || (part && harness[each].part == part); });
  };
  return std::any_of(standing.begin(), standing.end(), [&](const Standing& each) {
    return each.suspect && (there(each.suspect->fault) || (each.suspect->also && there(*each.suspect->also)));
  });
}

}  // namespace lugwise::diagnosis::inside
