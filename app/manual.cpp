#include "manual.h"

#include <fmt/format.h>

#include <string_view>

#include "help.h"

namespace lugwise::app {
namespace {

// A text as it stands on the page: a hyphen that is typed, not one that may break a line; nothing taken for a request.
std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\') {
      out += "\\e";
    } else if (c == '-') {
      out += "\\-";
    } else if (c == '\'') {
      out += "\\(aq";
    } else {
      out += c;
    }
  }
  return out.starts_with('.') ? "\\&" + out : out;
}

std::string bold(std::string_view text) { return "\\fB" + escaped(text) + "\\fR"; }

void add_options(std::string& page, const CLI::App& app) {
  for (const char* group : {kWhat, kHow, kOutput}) {
    for (const CLI::Option* option :
         app.get_options([&](const CLI::Option* o) { return o->get_group() == group; })) {
      page += fmt::format(".TP\n{}\n{}\n", bold(spelling(*option)), escaped(described(*option)));
    }
  }
}

// What stands below a heading of a page of help, such as its examples: the indented lines.
std::vector<std::string> lines_below(const std::string& footer, std::string_view heading) {
  std::vector<std::string> lines;
  bool here = false;
  std::string_view rest(footer);
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find('\n'), rest.size());
    const std::string_view line = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    if (!line.starts_with("  ")) {
      here = line == heading;
    } else if (here) {
      lines.emplace_back(line.substr(2));
    }
  }
  return lines;
}

void add_command(std::string& page, const CLI::App& command) {
  const auto within = commands_of(command);
  page += fmt::format(".SS {}\n{}\n", escaped(usage_of(command).substr(sizeof "lugwise")),
                      escaped(command.get_description()));
  if (within.empty()) add_options(page, command);
  for (const CLI::App* one : within) add_command(page, *one);
}

void add_examples(std::string& page, const CLI::App& app) {
  for (const std::string& line : lines_below(app.get_footer(), "examples")) page += escaped(line) + "\n";
  for (const CLI::App* command : commands_of(app)) add_examples(page, *command);
}

}  // namespace

std::string manual_page(const CLI::App& app, const std::string& program) {
  std::string page = fmt::format(".TH LUGWISE 1 \"\" \"{}\" \"User commands\"\n", escaped(program));
  page += fmt::format(".SH NAME\nlugwise \\- {}\n",
                      escaped("what an ohmmeter should show in a guitar's wiring, and which joint is bad"));
  page += ".SH SYNOPSIS\n";
  bool first = true;
  for (const CLI::App* command : commands_of(app)) {
    page += fmt::format("{}{}\n", first ? "" : ".br\n", escaped(usage_of(*command)));
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
  for (const CLI::App* command : commands_of(app)) add_command(page, *command);
  page += ".SH OPTIONS\n";
  add_options(page, app);
  page += ".SH EXIT STATUS\n";
  for (const std::string& line : lines_below(app.get_footer(), "exit codes")) page += escaped(line) + "\n";
  page += ".SH ENVIRONMENT\n.TP\n\\fBCOLUMNS\\fR\n" +
          escaped("How wide text is set on a terminal, from 40 to 100; else as wide as the terminal.") + "\n";
  page += ".SH EXAMPLES\n.nf\n";
  add_examples(page, app);
  page += ".fi\n";
  return page;
}

}  // namespace lugwise::app
