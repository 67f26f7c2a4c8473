// What tests ask of an inquiry beside the next test: what an outcome leaves, and what greed would pay.
#pragma once

#include "sequence/sequence.h"

namespace lugwise::test {

// The same inquiry once a test has shown an outcome: the others' shares are nought.
Inquiry after_outcome(const Inquiry& inquiry, std::size_t test, std::uint8_t outcome);

// What it costs to take, again and again, the test that says most for its cost. By plain sums, none of the room's own; of an
// inquiry without open outcomes.
double greedy_cost(const Inquiry& inquiry);

}  // namespace lugwise::test
