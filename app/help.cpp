#include "help.h"

#include <fmt/format.h>

#include "page/text.h"
#include "parser.h"

namespace lugwise::app {

std::string described(const Option& option) {
  const std::string value = default_of(option);
  return value.empty() ? option.what : fmt::format("{} (default {})", option.what, value);
}

std::string spelling(const Option& option) {
  if (option.by_place()) return option.name;
  const std::string names = fmt::format("{}", fmt::join(option.names(), ", "));
  return option.value.empty() ? names : names + " " + option.value;
}

std::string usage_of(const std::vector<const Command*>& chain) {
  const Command& command = *chain.back();
  std::string text = full_name(chain);
  if (!command.shown().empty()) text += " COMMAND";
  for (const Option& option : command.options) {
    if (!option.by_place() && !option.required) continue;
    text += option.required ? " " + spelling(option) : " [" + spelling(option) + "]";
    if (option.by_place() && option.most > 1) text += "...";
  }
  return text + " [options]";
}

std::string help_page(const std::vector<const Command*>& chain) {
  const Command& command = *chain.back();
  std::string page = fmt::format("usage: {}\n\n{}\n", usage_of(chain), command.purpose);
  const auto within = command.shown();
  if (!within.empty()) page += "\ncommands\n";
  for (const Command* one : within)
    page += page::wrapped(fmt::format("  {:<12}", one->name), one->purpose, 14);
  for (const Group group : kGroups) {
    bool begun = false;
    for (const Option& option : command.options) {
      if (option.group != group) continue;
      if (!begun) page += fmt::format("\n{}\n", heading(group));
      begun = true;
      page += page::wrapped(fmt::format("  {:<24}", spelling(option)), described(option), 26);
    }
  }
  for (const Section& section : command.sections) {
    page += fmt::format("\n{}\n", section.heading);
    for (const std::string& line : section.lines) page += fmt::format("  {}\n", line);
  }
  return page;
}

}  // namespace lugwise::app
