#include "exercise/mark.h"

#include <algorithm>
#include <string_view>

#include "exercise/inside/information.h"
#include "handling/handling.h"

namespace lugwise {

using namespace exercise::inside;
namespace {

// Over the range, then on a higher one: the second reading is another.
bool climbs(const Observation& from, const Observation& to) {
  return from.shows == Shows::OverRange && from.range && to.range && to.range->top > from.range->top;
}

bool same_reading(const Observation& x, const Observation& y) {
  const bool alike = (x.a == y.a && x.b == y.b) || (x.a == y.b && x.b == y.a);
  return alike && x.action == y.action && x.setting == y.setting && x.lifted == y.lifted &&
         x.swept == y.swept && x.wiggled == y.wiggled && x.capacitor.has_value() == y.capacitor.has_value() &&
         !climbs(x, y);
}

// Whether two claims that name no fault are the same words, whatever their capitals and blanks.
bool same_words(std::string_view x, std::string_view y) {
  const auto folded = [](std::string_view words) {
    std::string text;
    for (const char letter : words) {
      if (letter == ' ' || letter == '\t') continue;
      text += letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
    }
    return text;
  };
  return folded(x) == folded(y);
}

// Named once more it is no other claim.
bool named_before(const std::vector<ClaimedFault>& claims, std::size_t c) {
  return std::any_of(claims.begin(), claims.begin() + static_cast<std::ptrdiff_t>(c),
                     [&](const ClaimedFault& other) {
                       return claims[c].fault ? other.fault == claims[c].fault
                                              : !other.fault && same_words(other.words, claims[c].words);
                     });
}

// What each probe could have told, and took.
class Watcher {
 public:
  Watcher(const Harness& harness, const DiagnosisOptions& options, const Attempt& attempt, Grade& mark)
      : harness_(harness), options_(options), attempt_(attempt), mark_(mark) {}

  void watch() {
    DiagnosisOptions quick = options_;
    quick.separate = false;
    Diagnoser diagnoser(harness_, quick);
    Hands hands;
    hands.setting = Setting(harness_);
    std::vector<Observation> known = attempt_.given;
    for (std::size_t i = 0; i < attempt_.probes.size(); ++i) {
      const Observation& probe = attempt_.probes[i];
      if (i >= kMostJudged) {
        mark_.each.push_back({0, mark_.each.back().best, 0, true, std::nullopt});
        mark_.each.back().seconds = seconds_to_take(harness_, options_.costs, hands, probe);
        mark_.seconds += mark_.each.back().seconds;
        continue;
      }
      const Diagnosis before = diagnoser.diagnose(known, attempt_.heard);
      ProbeMark each;
      each.bits = expected_bits(harness_, options_, before, probe);
      bool asked_for = false;  // by the diagnosis: nobody knew better
      if (before.next) {
        const Observation next = as_observation(harness_, *before.next);
        each.best = expected_bits(harness_, options_, before, next);
        asked_for = same_reading(next, probe);
      }
      const bool of_the_key = i < attempt_.of_the_key.size() && attempt_.of_the_key[i];
      each.best = of_the_key ? each.bits : std::max(each.best, each.bits);
      for (std::size_t j = 0; j < i && !each.repeats && !of_the_key; ++j) {
        if (same_reading(attempt_.probes[j], probe)) each.repeats = j;
      }
      // To take a reading again that fits nothing is no waste.
      const bool doubted =
          each.repeats &&
          std::any_of(before.readings.begin(), before.readings.end(), [&](const Comparison& other) {
            return other.observation == attempt_.given.size() + *each.repeats && other.doubtful;
          });
      // Where all that the plan looks for is ruled out, nothing says what could still tell.
      const bool judged = !before.suspects.empty() || !before.shown.open.empty();
      each.wasted =
          !of_the_key && !doubted && !asked_for && (each.repeats || (judged && each.bits < kNothing));
      if (each.wasted) each.bits = 0;
      each.seconds = seconds_to_take(harness_, options_.costs, hands, probe);
      mark_.seconds += each.seconds;
      mark_.each.push_back(each);
      known.push_back(probe);
    }
  }

 private:
  const Harness& harness_;
  const DiagnosisOptions& options_;
  const Attempt& attempt_;
  Grade& mark_;
};

}  // namespace

double Grade::total() const {
  return most <= 0 ? 0 : std::clamp((place + probes + hands - wrong) / most, 0.0, 1.0) * 100;
}

Grade mark(const Harness& harness, const std::vector<Fault>& faults, const DiagnosisOptions& options,
           const Key& key, const Attempt& attempt, const MarkRule& rule) {
  Grade result;
  result.right.assign(key.answer.size(), false);
  for (std::size_t c = 0; c < attempt.claims.size(); ++c) {
    if (named_before(attempt.claims, c)) continue;
    const std::optional<std::size_t>& claim = attempt.claims[c].fault;
    bool right = false;
    for (std::size_t g = 0; claim && g < key.answer.size(); ++g) {
      const bool named = std::any_of(key.answer[g].begin(), key.answer[g].end(), [&](std::size_t f) {
        return f == *claim || same_place(faults[f], faults[*claim]);
      });
      if (named) result.right[g] = right = true;
    }
    if (!right) result.wrong_claims.push_back(c);
  }
  const auto found = static_cast<double>(std::count(result.right.begin(), result.right.end(), true));
  if (!key.answer.empty()) result.place = rule.place * found / static_cast<double>(key.answer.size());
  result.wrong = rule.wrong * static_cast<double>(result.wrong_claims.size());
  Watcher(harness, options, attempt, result).watch();
  // Who was given the readings and took none is marked on the place alone.
  if (attempt.probes.empty() && attempt.readings_given) {
    result.most = rule.place;
    return result;
  }
  result.most = rule.place + rule.probes + rule.hands;
  double bits = 0;
  double best = 0;
  for (const ProbeMark& each : result.each) {
    bits += each.bits;
    best += each.best;
  }
  const bool any = !attempt.probes.empty();
  // Nothing to be learned any more is no reason to mark down the one who stops.
  if (any) result.probes = rule.probes * (best > 0 ? bits / best : 0);
  if (any && found > 0 && result.seconds > 0)
    result.hands = rule.hands * std::min(1.0, key.least_seconds / result.seconds);
  return result;
}

}  // namespace lugwise
