// The whole program as a function, so that tests can call it.
#pragma once

#include <cstddef>
#include <iosfwd>
#include <string>
#include <vector>

namespace lugwise::app {

class Allowance;

// Does what the arguments (without the program's name) ask. Results and asked-for help go to `out`, everything else to
// `err`; with --json errors go to `out` too. Text is set for a terminal of so many columns, unless --width says
// otherwise; `watched` says that `err` is a terminal, where long work shows itself. What is told beforehand, `allowance` need not
// tell. Returns an ExitCode; lets no exception escape.
int run(const std::vector<std::string>& args, std::ostream& out, std::ostream& err, std::size_t columns = 80,
        bool watched = false, Allowance* allowance = nullptr);

}  // namespace lugwise::app
