#include "exercise/inside/answer.h"

#include <algorithm>
#include <utility>

namespace lugwise::exercise::inside {
namespace {

bool same(const Fault& x, const Fault& y) {
  if (x == y) return true;
  const auto other = partner(y);
  return other && x == *other;
}

std::optional<std::size_t> number_of(const std::vector<Fault>& faults, const Fault& fault) {
  for (std::size_t f = 0; f < faults.size(); ++f) {
    if (same(faults[f], fault)) return f;
  }
  return std::nullopt;
}

// Whether a suspect is what is wrong. One that comes and goes may be named as a cold joint or as an open one.
bool is_it(const std::vector<Fault>& faults, const Ailment& ailment, std::size_t suspect) {
  return suspect == ailment.fault ||
         (ailment.comes_and_goes && same_place(faults[suspect], faults[ailment.fault]));
}

// One that comes and goes is right as a cold joint and as an open one.
void add_loose(const std::vector<Fault>& faults, const Exercise& exercise, std::vector<std::size_t>& group) {
  const Fault& fault = faults[exercise.ailments.front().fault];
  for (std::size_t f = 0; f < faults.size(); ++f) {
    const bool loose = faults[f].mode == Mode::High || faults[f].mode == Mode::Open;
    if (loose && same_place(faults[f], fault)) group.push_back(f);
  }
  std::sort(group.begin(), group.end());
  group.erase(std::unique(group.begin(), group.end()), group.end());
}

}  // namespace

std::optional<Groups> settle(const std::vector<Fault>& faults, const Exercise& exercise,
                             const Diagnosis& diagnosis) {
  if (diagnosis.verdict != Verdict::Fault) return std::nullopt;
  double here = 0;
  Groups groups(exercise.ailments.size());
  bool named = false;
  std::vector<std::pair<std::size_t, std::size_t>> pairs;
  for (const Suspect& each : diagnosis.suspects) {
    if (each.group != 1) continue;
    here += each.probability;
    if (each.also.has_value() != (exercise.ailments.size() == 2)) return std::nullopt;
    const auto one = number_of(faults, each.fault);
    const auto other = each.also ? number_of(faults, *each.also) : std::nullopt;
    if (!one || (each.also && !other)) return std::nullopt;
    if (!each.also) {
      groups[0].push_back(*one);
      named = named || is_it(faults, exercise.ailments[0], *one);
      continue;
    }
    const std::size_t first = exercise.ailments[0].fault;
    const std::size_t second = exercise.ailments[1].fault;
    named = named || (*one == first && *other == second) || (*one == second && *other == first);
    const auto beside = [&](std::size_t known, std::vector<std::size_t>& group) {
      if (*one == known) group.push_back(*other);
      if (*other == known) group.push_back(*one);
    };
    beside(second, groups[0]);
    beside(first, groups[1]);
    pairs.emplace_back(*one, *other);
  }
  // Two that have nothing to do with what is wrong, and explain all as well: there is no one right answer.
  const auto in = [&](std::size_t group, std::size_t fault) {
    return std::find(groups[group].begin(), groups[group].end(), fault) != groups[group].end();
  };
  for (const auto& [one, other] : pairs) {
    if (!(in(0, one) && in(1, other)) && !(in(0, other) && in(1, one))) return std::nullopt;
  }
  if (!named || here < kEnoughToAct) return std::nullopt;
  for (std::vector<std::size_t>& group : groups) {
    std::sort(group.begin(), group.end());
    group.erase(std::unique(group.begin(), group.end()), group.end());
    // One that comes and goes is right as a cold joint and as an open one.
    if (exercise.ailments.front().comes_and_goes) add_loose(faults, exercise, group);
  }
  return groups;
}

bool confirms(const std::vector<Fault>& faults, const Exercise& exercise, const Diagnosis& diagnosis) {
  const auto group = settle(faults, exercise, diagnosis);
  if (!group || group->size() != exercise.answer.size()) return false;
  for (std::size_t g = 0; g < group->size(); ++g) {
    const std::vector<std::size_t>& right = exercise.answer[g];
    if (!std::includes(right.begin(), right.end(), (*group)[g].begin(), (*group)[g].end())) return false;
  }
  return true;
}

}  // namespace lugwise::exercise::inside
