// The options that several commands share, and how a command is put together from them: what the entries of entry.cpp and
// kinds.cpp are made of.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "command.h"
#include "syntax.h"

namespace lugwise::app::syntax {

using Options = std::vector<Option>;
Options operator+(Options a, Options b);

// A command with what every command has, and its own options.
Command command(std::string name, std::string purpose, ExitCode (*answer)(Run&), Options options,
                std::vector<std::string> examples, std::vector<std::string> like = {});

// A command of several kinds.
Command commands(std::string name, std::string purpose, std::vector<Command> within,
                 std::vector<std::string> examples, std::vector<std::string> like = {});

// `what` is what help says of it in that command.
Option help();
Option harness();
Option stage();
Option thorough();
Option quick();
Option depth();
Option workshop();
Option by(std::string what);
Option fault(std::string what);
Option seed(std::string what);
Option setting(std::string what);
Option lifted(std::string what);
Option output(std::string what);
Option temperature(std::string what);

// The meter and the coils' warmth may be said elsewhere too, "the netlist's": the first that says it is believed.
Option meter(std::string_view elsewhere);
Options conditions(std::string_view elsewhere);

// How the answer is set, and where it goes; with a page too, which some commands have in two forms.
Options form();
Options form_or(Option page);
Options form_or_page();
Option html_in_two_forms(std::string other, std::string what);

}  // namespace lugwise::app::syntax
