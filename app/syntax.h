// What can be typed: every command as plain data. Parsing, help, the manual, completion and what is said of misuse all
// follow from it, so a new command is an entry in entry.cpp or kinds.cpp and a function that answers it.
#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "exit_code.h"

namespace lugwise::app {

struct CommandLine;
struct Run;

// The headings that options stand under, in the order of a page of help.
enum class Group { What, How, Output };
inline constexpr Group kGroups[] = {Group::What, Group::How, Group::Output};
std::string_view heading(Group group);

// What the tab key offers for a value that is no fixed word: of the netlist already typed, or of the disk.
enum class Offer { Nothing, Files, Folders, Points, Places, Settings, Stages, Ranges, Colours, Faults };

// What happens to a file that is named. No file is written that is read, nor by two options. One of ours is not written over,
// but where the command goes on with it.
enum class Use { None, Read, Written, Continued };

// Where a value goes. A switch is a bool, a count a size_t, degrees Celsius a double; what the field holds before is the
// default.
using Target =
    std::variant<std::monostate, bool CommandLine::*, std::string CommandLine::*,
                 std::optional<std::string> CommandLine::*, std::vector<std::string> CommandLine::*,
                 std::size_t CommandLine::*, std::optional<std::size_t> CommandLine::*, double CommandLine::*,
                 std::optional<double> CommandLine::*>;

inline constexpr std::size_t kMany = 1u << 20;  // as often as one likes

struct Option {
  std::string name{};   // "--stage", "-o,--output"; what is given by its place alone: "HARNESS"
  std::string value{};  // what help calls its value, "STAGE"; empty: a switch, or given by its place
  std::string what{};   // in a few words
  Group group = Group::What;
  Target into{};

  bool required = false;
  std::size_t least = 1, most = 1;  // values: after a name that is typed once, or by place
  bool repeats = false;             // may be given again and again, a value each time

  std::vector<std::string> choices{};        // it is one of these words; empty: anything
  std::string CommandLine::*form = nullptr;  // of a switch: where one of `choices` behind '=' goes
  std::size_t from = 0;                      // the least that a count may be
  std::size_t to = std::numeric_limits<std::size_t>::max();
  Offer offer = Offer::Nothing;
  Use use = Use::None;
  std::string one_of{};             // options of one command with the same word here exclude each other
  std::vector<std::string> like{};  // what else people call it

  bool by_place() const { return name.empty() || name[0] != '-'; }
  bool takes_value() const { return by_place() || !value.empty(); }
  std::vector<std::string> names() const;  // "-o", "--output"
  std::string longest_name() const;        // "--output"
};

// Lines at the end of a page of help, such as examples.
struct Section {
  std::string heading;
  std::vector<std::string> lines;
};

struct Command {
  std::string name{};
  std::string purpose{};  // a sentence
  std::vector<Section> sections{};
  std::vector<Option> options{};
  std::vector<Command> within{};
  ExitCode (*answer)(Run&) = nullptr;
  bool hidden = false;              // nobody types it
  std::vector<std::string> like{};  // what else people call it

  std::vector<std::string> examples() const;
  std::vector<const Command*> shown() const;               // those within it that somebody types
  const Command* find(std::string_view name) const;        // one of those, or null
  const Option* find_option(std::string_view name) const;  // "--json" or "-h"; or null
  std::vector<const Option*> by_place() const;
};

// lugwise, with all its commands.
const Command& program();

// What an option is where it is not given, as "full" or "300"; empty where there is nothing to say.
std::string default_of(const Option& option);

}  // namespace lugwise::app
