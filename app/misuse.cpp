#include "misuse.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <optional>
#include <string_view>

#include "source/nearest.h"

namespace lugwise::app {
namespace {

std::string near(const std::optional<std::string>& nearest, const std::vector<std::string>& names) {
  return nearest ? fmt::format("nearest name is '{}'", *nearest)
                 : fmt::format("there are {}", fmt::join(names, ", "));
}

bool calls(const std::vector<std::string>& like, std::string_view word) {
  return std::find(like.begin(), like.end(), word) != like.end();
}

// A word that is no command's, among those there are.
std::string no_command(const Parse& parse, const std::string& word) {
  std::vector<std::string> names;
  std::optional<std::string> meant;
  for (const Command* command : parse.command().shown()) {
    names.push_back(command->name);
    if (calls(command->like, word)) meant = command->name;
  }
  if (!meant) meant = nearest_name(word, names);
  std::string typed = word;
  for (std::size_t i = parse.chain.size(); i-- > 1;) typed = parse.chain[i]->name + " " + typed;
  return fmt::format("no such command: '{}'; {}", typed, near(meant, names));
}

struct Names {
  std::vector<std::string> longs, shorts;
};
Names names_of(const Command& command) {
  Names names;
  for (const Option& option : command.options) {
    if (option.by_place()) continue;
    for (const std::string& name : option.names())
      (name.starts_with("--") ? names.longs : names.shorts).push_back(name);
  }
  return names;
}

// The option that a name of another kind stands for: a word for the same thing, or the first letter of one.
std::optional<std::string> meant_by(const Command& command, const std::string& name, const Names& names) {
  if (!name.starts_with("--")) {
    const auto meant = std::find_if(names.longs.begin(), names.longs.end(), [&](const std::string& one) {
      return one[2] == name[1] || one[2] == name[1] - 'A' + 'a';
    });
    return meant != names.longs.end() ? std::optional(*meant) : std::nullopt;
  }
  for (const Option& option : command.options) {
    if (calls(option.like, std::string_view(name).substr(2))) return option.longest_name();
  }
  return nearest_name(name, names.longs);
}

// The first that the command has not, in words; empty if it has all.
std::string unknown_option(const Command& command, const std::vector<std::string>& args) {
  const Names names = names_of(command);
  for (const std::string& arg : args) {
    if (arg == "--") break;
    const bool longer = arg.starts_with("--");
    if (!arg.starts_with("-") || arg == "-" || (!longer && arg[1] >= '0' && arg[1] <= '9')) continue;
    const std::string name = longer ? arg.substr(0, arg.find('=')) : arg.substr(0, 2);
    const std::vector<std::string>& known = longer ? names.longs : names.shorts;
    if (calls(known, name)) continue;
    return fmt::format("no such option: '{}'; {}", name, near(meant_by(command, name, names), names.longs));
  }
  return {};
}

// `--stage= x.yaml` takes the next word for its value.
std::string empty_value(const Command& command, const std::vector<std::string>& args) {
  for (const std::string& arg : args) {
    if (!arg.starts_with("--") || arg.find('=') != arg.size() - 1) continue;
    const Option* option = command.find_option(arg.substr(0, arg.size() - 1));
    if (option && option->takes_value()) return fmt::format("'{}' needs {} behind it", arg, option->value);
  }
  return {};
}

std::string missing(const Option& option) {
  return fmt::format("{} is missing: {}{}", option.longest_name(), option.what.ends_with(" file") ? "a " : "",
                     option.what);
}

}  // namespace

std::string explain(const Parse& parse, const std::vector<std::string>& args) {
  const Misuse& misuse = parse.misuse;
  if (misuse.kind == Misuse::Kind::Value) return misuse.said;
  const Command& command = parse.command();
  const bool choosing = !command.within.empty();  // a command, or one within it
  if (choosing) {
    std::vector<std::string> words;
    std::copy_if(args.begin(), args.end(), std::back_inserter(words),
                 [](const std::string& arg) { return !arg.starts_with("-"); });
    const std::size_t known = parse.chain.size() - 1;
    if (words.size() > known) return no_command(parse, words[known]);
  }
  if (const std::string wrong = unknown_option(command, args); !wrong.empty()) return wrong;
  if (choosing) {
    std::vector<std::string> names;
    for (const Command* one : command.shown()) names.push_back(one->name);
    return fmt::format("{} is needed: {}", parse.chain.size() == 1 ? "a command" : "one of these",
                       fmt::join(names, ", "));
  }
  if (const std::string wrong = empty_value(command, args); !wrong.empty()) return wrong;
  const Option* const option = misuse.option;
  if (misuse.kind == Misuse::Kind::Missing && option) return missing(*option);
  if (misuse.kind == Misuse::Kind::TooMuch)
    return fmt::format("more than is needed: '{}'", fmt::join(misuse.words, "', '"));
  if (misuse.kind == Misuse::Kind::Values && option) {
    if (misuse.words.size() > option->most) return option->longest_name() + " is given more than once";
    return fmt::format("{} needs {} after it", option->longest_name(), option->value);
  }
  return misuse.said;
}

}  // namespace lugwise::app
