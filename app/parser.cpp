#include "parser.h"

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <charconv>
#include <limits>
#include <map>

#include "intake/value.h"
#include "source/nearest.h"

namespace lugwise::app {
namespace {

// Thrown where a value can't be.
struct WrongValue {
  std::string said;
};

double read_celsius(const std::string& option, const std::string& typed) {
  const Parsed<double> celsius = parse_celsius(typed);
  if (!celsius.value) throw WrongValue{fmt::format("{}: {}", option, celsius.why())};
  // Nobody solders outside these; Fahrenheit taken for Celsius falls outside.
  if (!(*celsius.value >= -20 && *celsius.value <= 60))
    throw WrongValue{fmt::format("{}: {} is no workshop's, in °C from -20 to 60", option, typed)};
  return *celsius.value;
}

std::size_t read_count(const Option& option, const std::string& typed) {
  std::size_t count = 0;
  const char* const end = typed.data() + typed.size();
  const auto [stopped, error] = std::from_chars(typed.data(), end, count);
  if (error == std::errc{} && stopped == end && count >= option.from && count <= option.to) return count;
  const bool endless = option.to == std::numeric_limits<std::size_t>::max();
  throw WrongValue{fmt::format("{}: write a whole number{}, not '{}'", option.longest_name(),
                               !endless          ? fmt::format(" from {} to {}", option.from, option.to)
                               : option.from > 0 ? fmt::format(", {} at least", option.from)
                                                 : "",
                               typed)};
}

void heed_choices(const Option& option, const std::string& typed) {
  const std::vector<std::string>& choices = option.choices;
  if (choices.empty() || std::find(choices.begin(), choices.end(), typed) != choices.end()) return;
  const std::string name = option.longest_name();
  if (choices.size() <= 2)
    throw WrongValue{fmt::format("{}: write '{}', not '{}'", name, fmt::join(choices, "' or '"), typed)};
  std::string kind = option.by_place() ? option.name : option.value;
  std::transform(kind.begin(), kind.end(), kind.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  // A few are told all: the nearest letters need not be the nearest in sense.
  constexpr std::size_t kFew = 4;
  const auto nearest = choices.size() > kFew ? nearest_name(typed, choices) : std::nullopt;
  throw WrongValue{fmt::format("{}: no such {}: '{}'; {}", name, kind, typed,
                               nearest ? fmt::format("nearest name is '{}'", *nearest)
                                       : fmt::format("there are {}", fmt::join(choices, ", ")))};
}

// Puts what was typed for an option where it belongs.
class Placing {
 public:
  Placing(CommandLine& line, const Option& option, const std::vector<std::string>& typed)
      : line_(line), option_(option), typed_(typed) {}

  void operator()(std::monostate) const {}
  void operator()(bool CommandLine::*to) const { line_.*to = true; }
  void operator()(std::string CommandLine::*to) const { line_.*to = typed_.back(); }
  void operator()(std::optional<std::string> CommandLine::*to) const { line_.*to = typed_.back(); }
  void operator()(std::vector<std::string> CommandLine::*to) const { line_.*to = typed_; }
  void operator()(std::size_t CommandLine::*to) const { line_.*to = read_count(option_, typed_.back()); }
  void operator()(std::optional<std::size_t> CommandLine::*to) const {
    line_.*to = read_count(option_, typed_.back());
  }
  void operator()(double CommandLine::*to) const { line_.*to = celsius(); }
  void operator()(std::optional<double> CommandLine::*to) const { line_.*to = celsius(); }

 private:
  double celsius() const { return read_celsius(option_.longest_name(), typed_.back()); }

  CommandLine& line_;
  const Option& option_;
  const std::vector<std::string>& typed_;
};

// The commands as the library knows them, and which of ours each of its own is.
class Parser {
 public:
  explicit Parser(const Command& program) {
    app_.name(program.name);
    app_.set_help_flag();
    build(app_, program);
  }

  Parse parse(std::vector<std::string> args) {
    std::reverse(args.begin(), args.end());  // as CLI11 wants them
    Parse result;
    try {
      app_.parse(args);
    } catch (const CLI::CallForHelp&) {
      result.end = Parse::End::Help;
    } catch (const CLI::CallForVersion&) {
      result.end = Parse::End::Version;
    } catch (const CLI::ParseError& error) {
      result.end = Parse::End::Misused;
      result.misuse = misuse(error);
    }
    fill(result);
    return result;
  }

 private:
  void build(CLI::App& app, const Command& command) {
    commands_[&app] = &command;
    for (const Option& option : command.options) add(app, option);
    for (const Command& within : command.within) build(*app.add_subcommand(within.name), within);
    if (!command.within.empty()) app.require_subcommand(1);
    // Last, as commands within would have them too.
    for (const Option& option : command.options) {
      if (option.name == "-h,--help") options_[app.set_help_flag(option.name)] = &option;
      if (option.name == "--version") options_[app.set_version_flag(option.name, "")] = &option;
    }
  }

  void add(CLI::App& app, const Option& option) {
    if (std::holds_alternative<std::monostate>(option.into)) return;
    CLI::Option* made = nullptr;
    if (option.takes_value()) {
      made = app.add_option(option.name, [](const CLI::results_t&) { return true; });
      made->type_name(option.value)->required(option.required);
      if (option.repeats) {
        made->type_size(1)->expected(1)->allow_extra_args(false)->multi_option_policy(
            CLI::MultiOptionPolicy::TakeAll);
      } else if (option.most == kMany) {
        made->expected(static_cast<int>(option.least), CLI::detail::expected_max_vector_size)
            ->allow_extra_args(true)
            ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
      } else {
        made->expected(static_cast<int>(option.least), static_cast<int>(option.most));
      }
    } else {
      made = app.add_flag(option.name);
    }
    options_[made] = &option;
  }

  // The commands that were typed, from the program on.
  std::vector<const CLI::App*> chain() const {
    std::vector<const CLI::App*> chain{&app_};
    for (auto within = app_.get_subcommands(); !within.empty(); within = chain.back()->get_subcommands())
      chain.push_back(within.front());
    return chain;
  }

  void fill(Parse& result) {
    for (const CLI::App* app : chain()) result.chain.push_back(commands_.at(app));
    for (std::size_t i = 1; i < result.chain.size(); ++i)
      result.line.command.push_back(result.chain[i]->name);
    if (result.end != Parse::End::Ready) return;
    try {
      for (const CLI::App* app : chain()) place(*app, result.line);
      exclude(result);
    } catch (const WrongValue& wrong) {
      result.end = Parse::End::Misused;
      result.misuse = {Misuse::Kind::Value, {}, nullptr, wrong.said};
    }
  }

  void place(const CLI::App& app, CommandLine& line) {
    for (const auto& [made, option] : options_) {
      const auto& here = app.get_options();
      if (made->count() == 0 || std::find(here.begin(), here.end(), made) == here.end()) continue;
      if (option->takes_value()) {
        for (const std::string& typed : made->results()) heed_choices(*option, typed);
      }
      if (option->form && made->results().back() != "true") {
        heed_choices(*option, made->results().back());
        line.*option->form = made->results().back();
      }
      std::visit(Placing(line, *option, made->results()), option->into);
    }
    // Each option stands in the order as often as it was typed.
    std::map<const CLI::Option*, std::size_t> told;
    for (const CLI::Option* made : app.parse_order()) {
      const auto known = options_.find(made);
      if (known == options_.end()) continue;
      const Option& option = *known->second;
      const std::size_t n = told[made]++;
      const bool valued = option.takes_value() && n < made->results().size();
      line.given.push_back({option.longest_name(), valued ? made->results()[n] : ""});
    }
  }

  // Of options that exclude each other one may be given.
  static void exclude(const Parse& parse) {
    std::map<std::string, std::string> taken;
    for (const Option& option : parse.command().options) {
      if (option.one_of.empty() || !parse.line.has(option.longest_name())) continue;
      const auto [first, fresh] = taken.emplace(option.one_of, option.longest_name());
      if (!fresh)
        throw WrongValue{fmt::format("{} and {}: choose one", first->second, option.longest_name())};
    }
  }

  Misuse misuse(const CLI::ParseError& error) const {
    Misuse misuse{Misuse::Kind::Other, {}, nullptr, error.what()};
    if (dynamic_cast<const CLI::RequiredError*>(&error)) misuse.kind = Misuse::Kind::Missing;
    if (dynamic_cast<const CLI::ExtrasError*>(&error)) {
      misuse.kind = Misuse::Kind::TooMuch;
      misuse.words = app_.remaining(true);
    }
    if (misuse.kind == Misuse::Kind::Missing) {
      for (const CLI::Option* made : chain().back()->get_options()) {
        if (!made->get_required() || made->count() > 0) continue;
        misuse.option = options_.at(made);
        break;
      }
    }
    if (dynamic_cast<const CLI::ArgumentMismatch*>(&error)) {
      misuse.kind = Misuse::Kind::Values;
      const CLI::Option* made =
          chain().back()->get_option_no_throw(misuse.said.substr(0, misuse.said.find(':')));
      const auto known = made ? options_.find(made) : options_.end();
      if (known == options_.end()) return misuse;
      misuse.option = known->second;
      misuse.words = made->results();
    }
    return misuse;
  }

  CLI::App app_;
  std::map<const CLI::App*, const Command*> commands_;
  std::map<const CLI::Option*, const Option*> options_;
};

}  // namespace

bool CommandLine::has(std::string_view option) const {
  return std::any_of(given.begin(), given.end(), [&](const Given& one) { return one.option == option; });
}

Parse parse(const Command& program, const std::vector<std::string>& args) {
  return Parser(program).parse(args);
}

std::string full_name(const std::vector<const Command*>& chain) {
  std::vector<std::string> names;
  for (const Command* command : chain) names.push_back(command->name);
  return fmt::format("{}", fmt::join(names, " "));
}

}  // namespace lugwise::app
