// What is wrong with a simulated instrument, as the command line says it.
#pragma once

#include <string>
#include <vector>

#include "command.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "simulation/specimen.h"

namespace lugwise::app {

// Each `--fault` with the `--size` behind it, else its usual size; indices into `faults`.
std::vector<Ailment> read_ailments(const Run& run, const Harness& harness, const std::vector<Fault>& faults);

// The share of readings that are wrong, such as "2%"; none for an empty text.
double read_slips(const std::string& typed);

}  // namespace lugwise::app
