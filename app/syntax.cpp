#include "syntax.h"

#include <fmt/format.h>

#include <algorithm>

#include "command.h"
#include "entry.h"
#include "option.h"

namespace lugwise::app {
namespace {

Command whole() {
  using namespace syntax;
  return {
      .name = "lugwise",
      .purpose = "What an ohmmeter should show in a guitar's wiring, and which joint is bad.",
      .sections = {{"examples",
                    {"lugwise plan fernhollow-2.yaml", "lugwise plan fernhollow-2.yaml --html -o sheet.html",
                     "lugwise diagnose fernhollow-2.yaml jobs/fernhollow-2-silent-front.yaml"}},
                   {"exit codes",
                    {"0 all well, 1 a fault was found or the answer is unsure, 2 wrong usage,",
                     "3 bad input, 4 a failure of lugwise itself"}}},
      .options = {help(), {.name = "--version", .what = "show the version", .group = Group::Output}},
      .within = {check(), expect(), faults(), plan(), diagnose(), guide(), batch(), study(), simulate(),
                 match_pickups(), exercise(), convert(), draw(), completion(), manual()}};
}

}  // namespace

const Command& program() {
  static const Command command = whole();
  return command;
}

std::string_view heading(Group group) {
  switch (group) {
    case Group::What:
      return "what to look at";
    case Group::How:
      return "how it is measured";
    case Group::Output:
      return "output";
  }
  return {};
}

std::vector<std::string> Option::names() const {
  std::vector<std::string> names;
  for (std::size_t begin = 0; begin < name.size();) {
    const std::size_t end = std::min(name.find(',', begin), name.size());
    names.push_back(name.substr(begin, end - begin));
    begin = end + 1;
  }
  return names;
}

std::string Option::longest_name() const { return names().back(); }

std::vector<std::string> Command::examples() const {
  for (const Section& section : sections) {
    if (section.heading == "examples") return section.lines;
  }
  return {};
}

std::vector<const Command*> Command::shown() const {
  std::vector<const Command*> shown;
  for (const Command& one : within) {
    if (!one.hidden) shown.push_back(&one);
  }
  return shown;
}

const Command* Command::find(std::string_view wanted) const {
  const auto found =
      std::find_if(within.begin(), within.end(), [&](const Command& one) { return one.name == wanted; });
  return found != within.end() ? &*found : nullptr;
}

const Option* Command::find_option(std::string_view wanted) const {
  for (const Option& option : options) {
    if (option.by_place()) continue;
    const std::vector<std::string> names = option.names();
    if (std::find(names.begin(), names.end(), wanted) != names.end()) return &option;
  }
  return nullptr;
}

std::vector<const Option*> Command::by_place() const {
  std::vector<const Option*> found;
  for (const Option& option : options) {
    if (option.by_place()) found.push_back(&option);
  }
  return found;
}

std::string default_of(const Option& option) {
  static const CommandLine untouched;
  if (option.required) return {};
  if (const auto* text = std::get_if<std::string CommandLine::*>(&option.into)) return untouched.*(*text);
  if (const auto* count = std::get_if<std::size_t CommandLine::*>(&option.into))
    return fmt::format("{}", untouched.*(*count));
  if (const auto* celsius = std::get_if<double CommandLine::*>(&option.into))
    return fmt::format("{:g}", untouched.*(*celsius));
  return {};
}

}  // namespace lugwise::app
