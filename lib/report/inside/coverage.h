// How far readings go in what the plan looks for, and what nothing was looked for.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "handling/scope.h"
#include "harness/harness.h"

namespace lugwise::report {
inline namespace inside {

// "29 of the 55 faults that the plan shows are ruled out; not yet: …", then "Not looked for: …". Nothing without a scope.
std::vector<std::string> coverage_in_words(const Harness& harness, const Diagnosis& diagnosis,
                                           const std::optional<Scope>& scope);

// What no reading of this plan was taken for: "Not looked for: cold joints and dirty contacts below 3.6k at most places, …".
std::string not_looked_for(const Scope& scope);

}  // namespace inside
}  // namespace lugwise::report
