// Everything that may be wrong, as one list with numbers, and how loudly the readings speak for each. Private to this room.
#pragma once

#include <optional>
#include <vector>

#include "diagnosis/inside/likelihood.h"

namespace lugwise::diagnosis::inside {

// A listed fault, in the sizes that are tried: a High from an ohm to a megohm, four a decade; a Value from the
// tolerance on, up and down to some thirty times, eight a decade; one for all others. Explanation `first_number` + s is the fault in size s.
struct Hypothesis {
  Fault fault;
  double weight = 0;
  std::vector<double> sizes;
  std::uint32_t first_number = 0;

  Numbered in_size(std::size_t s) const {
    return {{&fault, sizes[s]}, first_number + static_cast<std::uint32_t>(s)};
  }
};

std::vector<double> sizes_of(const Harness& harness, const Fault& fault);

// What the readings say of one hypothesis.
struct Weight {
  double log = 0;      // likelihood, all sizes together
  double loudest = 0;  // how much more its likeliest size alone has
  bool touched = false;
  std::vector<double> glances;    // by size, with the size's share of the prior
  std::vector<Likelihood> full;   // of the best sizes, the best first
  std::vector<std::size_t> best;  // which those are
  bool followed = false;
};

// How far a search goes: kinds of hypotheses judged in full, and those of them whose unknowns are followed to their likeliest
// values; none that is less likely than the best by more than the slack.
struct SearchEffort {
  std::size_t most_weighed = 60;
  std::size_t most_followed = 16;
  double glance_slack = 25;
  double follow_slack = 7;
};

// Weighs all hypotheses on what the judge has taken. `nothing` is the log likelihood and the log prior of no (further)
// fault; `log_prior` is of each hypothesis.
struct Weighing {
  Likelihood nothing;
  std::vector<Weight> weights;
};
Weighing weigh_all(Judge& judge, const std::vector<Hypothesis>& hypotheses,
                   const std::vector<double>& log_prior, double log_prior_of_nothing,
                   const SearchEffort& effort);

// The size and how sure it is, from the sizes that are likely; none for a fault that has none, or that was not weighed.
std::optional<Size> size_of(const Hypothesis& hypothesis, const Weight& weight);

}  // namespace lugwise::diagnosis::inside
