// Which fault a person means, by a short lasting name or by its words.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fault/fault.h"
#include "harness/harness.h"

namespace lugwise {

// A letter and six letters or digits, such as "k7m2xq4": the same as long as the netlist gives the fault's points these
// names, whatever else is added or moved in the file. Two exchanged leads have one, from whichever of them it is asked.
std::string fault_id(const Harness& harness, const Fault& fault);

// Whether a fault is named by one of these points, or what it is exchanged with is.
bool touches(const Fault& fault, const std::vector<PointId>& points);

// Why a fault was not found.
struct FaultRefusal {
  std::string problem;  // "no such fault: 'the joint of front.hot is warm'"
  std::vector<std::string>
      nearest;  // faults in words, the likeliest first; of several that fit, each with its id
};

struct FaultFound {
  std::optional<std::size_t> fault;  // index into the list
  FaultRefusal refusal;              // where there is none
};

// Finds a fault of a list by its id, or by its words as `faults` prints them: with or without the line, the share, the
// articles and the full stop; capital letters, and the order of the words, count only where two faults differ by nothing
// else. `faults` are the harness's.
FaultFound find_fault(const Harness& harness, const std::vector<Fault>& faults, std::string_view typed);

}  // namespace lugwise
