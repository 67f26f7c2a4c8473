// The kinds of fault, and how common each is where a workshop knows better than the usual weights.
#pragma once

#include <span>
#include <vector>

#include "fault/fault.h"

namespace lugwise {

struct FaultKind {
  Mode mode = Mode::Open;
  Site site = Site::Joint;
  friend bool operator==(const FaultKind&, const FaultKind&) = default;
};

// Every kind that a list of faults may hold, by mode, then by site.
std::span<const FaultKind> fault_kinds();

// How much rarer it is that a contact fails in one of its positions than that it fails: a judgement.
inline constexpr double kOneLeaf = 0.1;

struct KindWeight {
  FaultKind kind;
  double weight = 1;  // beside the others; only ratios count
};

// Gives the faults of these kinds these weights, and leaves the others theirs. A later entry of a kind wins.
void weigh(std::vector<Fault>& faults, const std::vector<KindWeight>& weights);

}  // namespace lugwise
