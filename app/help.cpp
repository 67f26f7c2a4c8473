#include "help.h"

#include <fmt/format.h>

#include <vector>

#include "page/text.h"

namespace lugwise::app {
namespace {

std::string default_of(const CLI::Option& option) {
  const std::string value = option.get_default_str();
  return value.empty() ? "" : fmt::format(" (default {})", value);
}

}  // namespace

std::string full_name(const CLI::App& app) {
  return app.get_parent() ? full_name(*app.get_parent()) + " " + app.get_name() : app.get_name();
}

std::vector<const CLI::App*> commands_of(const CLI::App& app) {
  return app.get_subcommands([](const CLI::App* one) { return !one->get_group().empty(); });
}

std::string described(const CLI::Option& option) { return option.get_description() + default_of(option); }

// "--stage STAGE"
std::string spelling(const CLI::Option& option) {
  if (option.get_positional()) return option.get_name(true);
  std::string text;
  for (const std::string& name : option.get_snames()) text += "-" + name + ", ";
  for (const std::string& name : option.get_lnames()) text += "--" + name;
  if (option.get_type_size() != 0) {
    // What may be given follows a colon; the description says it.
    const std::string type = option.get_type_name();
    text += " " + type.substr(0, type.find(':'));
  }
  return text;
}

std::string usage_of(const CLI::App& app) {
  std::string text = full_name(app);
  if (!commands_of(app).empty()) text += " COMMAND";
  for (const CLI::Option* option :
       app.get_options([](const CLI::Option* o) { return o->get_positional() || o->get_required(); })) {
    text += " " + spelling(*option);
    if (option->get_positional() && option->get_expected_max() > 1) text += "...";
  }
  return text + " [options]";
}

std::string HelpPage::make_help(const CLI::App* app, std::string, CLI::AppFormatMode) const {
  std::string page = fmt::format("usage: {}\n\n{}\n", usage_of(*app), app->get_description());
  const auto commands = commands_of(*app);
  if (!commands.empty()) page += "\ncommands\n";
  for (const CLI::App* command : commands) {
    page += page::wrapped(fmt::format("  {:<12}", command->get_name()), command->get_description(), 14);
  }
  for (const char* group : {kWhat, kHow, kOutput}) {
    const auto options = app->get_options([&](const CLI::Option* o) { return o->get_group() == group; });
    if (options.empty()) continue;
    page += fmt::format("\n{}\n", group);
    for (const CLI::Option* option : options) {
      page += page::wrapped(fmt::format("  {:<24}", spelling(*option)), described(*option), 26);
    }
  }
  return page + "\n" + app->get_footer();
}

}  // namespace lugwise::app
