#include "manual.h"

#include <fmt/format.h>

#include <string_view>
#include <vector>

#include "help.h"
#include "text/safe.h"

namespace lugwise::app {
namespace {

std::string escaped(std::string_view text) { return lugwise::text::in_roff(text); }

std::string bold(std::string_view text) { return "\\fB" + escaped(text) + "\\fR"; }

void add_options(std::string& page, const Command& command) {
  for (const Group group : kGroups) {
    for (const Option& option : command.options) {
      if (option.group == group)
        page += fmt::format(".TP\n{}\n{}\n", bold(spelling(option)), escaped(described(option)));
    }
  }
}

using Chain = std::vector<const Command*>;

Chain longer(Chain chain, const Command* by) {
  chain.push_back(by);
  return chain;
}

void add_command(std::string& page, const Chain& chain) {
  const Command& command = *chain.back();
  const auto within = command.shown();
  page += fmt::format(".SS {}\n{}\n", escaped(usage_of(chain).substr(chain.front()->name.size() + 1)),
                      escaped(command.purpose));
  if (within.empty()) add_options(page, command);
  for (const Command* one : within) add_command(page, longer(chain, one));
}

void add_examples(std::string& page, const Command& command) {
  for (const std::string& line : command.examples()) page += escaped(line) + "\n";
  for (const Command* one : command.shown()) add_examples(page, *one);
}

}  // namespace

std::string manual_page(const Command& program, const std::string& version) {
  std::string page = fmt::format(".TH LUGWISE 1 \"\" \"{}\" \"User commands\"\n", escaped(version));
  page += fmt::format(".SH NAME\nlugwise \\- {}\n",
                      escaped("what an ohmmeter should show in a guitar's wiring, and which joint is bad"));
  page += ".SH SYNOPSIS\n";
  bool first = true;
  for (const Command* command : program.shown()) {
    page += fmt::format("{}{}\n", first ? "" : ".br\n", escaped(usage_of({&program, command})));
    first = false;
  }
  page +=
      ".SH DESCRIPTION\n" +
      escaped(
          "A technician describes a guitar's wiring once, in a netlist; lugwise says what an ohmmeter should "
          "show between any two points, makes a checklist of the probes that prove the harness, and finds "
          "the "
          "bad joint from the readings taken.") +
      "\n.PP\n" +
      escaped(
          "Unplug the instrument at both ends of the cable before a probe goes in. Never measure resistance "
          "in "
          "anything that is powered.") +
      "\n.SH COMMANDS\n";
  for (const Command* command : program.shown()) add_command(page, {&program, command});
  page += ".SH OPTIONS\n";
  add_options(page, program);
  page += ".SH EXIT STATUS\n";
  for (const Section& section : program.sections) {
    if (section.heading != "exit codes") continue;
    for (const std::string& line : section.lines) page += escaped(line) + "\n";
  }
  page += ".SH ENVIRONMENT\n.TP\n\\fBCOLUMNS\\fR\n" +
          escaped("How wide text is set on a terminal, from 40 to 100; else as wide as the terminal.") + "\n";
  page += ".SH EXAMPLES\n.nf\n";
  add_examples(page, program);
  page += ".fi\n";
  return page;
}

}  // namespace lugwise::app
