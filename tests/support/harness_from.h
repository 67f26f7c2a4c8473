// Harnesses from a few lines of text; the test fails with the diagnostics where they can't be read.
//
// Every harness made this way is also checked for what must hold of all of them: ids that lead somewhere, names that
// find their points, bands in order.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "intake/netlist.h"
#include "sheet/sheet.h"

namespace lugwise::test {

// `lugwise: 1` may be left out.
Netlist netlist_from(std::string_view text);
Harness harness_from(std::string_view text);

// `lugwise-readings: 1` may be left out.
Sheet sheet_from(std::string_view text, const Netlist& netlist);

// The root of the repository: LUGWISE_ROOT, else where the test runs.
std::filesystem::path repository();

// A file below it, as text.
std::string file_text(std::string_view path);

// One of the worked harnesses: netlist_of("harnesses/fernhollow-2.yaml").
Netlist netlist_of(std::string_view path);

void check_invariants(const Harness& harness);

}  // namespace lugwise::test
