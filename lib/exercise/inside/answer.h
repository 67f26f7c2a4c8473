// What counts as the right answer of an exercise.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "exercise/exercise.h"

namespace lugwise::exercise::inside {

// Of one fault the group that can't be told apart, of two a group for each; indices into the faults.
using Groups = std::vector<std::vector<std::size_t>>;

// The first group of a diagnosis that settles the exercise: it holds what is wrong, and next to all of the probability. None:
// it settles nothing.
std::optional<Groups> settle(const std::vector<Fault>& faults, const Exercise& exercise,
                             const Diagnosis& diagnosis);

// Whether a diagnosis comes to nothing but the exercise's answer.
bool confirms(const std::vector<Fault>& faults, const Exercise& exercise, const Diagnosis& diagnosis);

}  // namespace lugwise::exercise::inside
