// What an experienced technician would notice on the drawing, before any probe.
#pragma once

#include <string>
#include <vector>

#include "harness/harness.h"
#include "source/diagnostic.h"

namespace lugwise {

// Warnings W1xx, each with a code and its place in the netlist; none for a clean drawing. `file` is the netlist's name.
std::vector<Diagnostic> warnings_of(const Harness& harness, const std::string& file);

}  // namespace lugwise
