// How a page of help looks: usage, purpose, groups of flags with their defaults, examples.
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace lugwise::app {

// The groups a flag can be in, in the order of the page.
inline constexpr const char* kWhat = "what to look at";
inline constexpr const char* kHow = "how it is measured";
inline constexpr const char* kOutput = "output";

class HelpPage : public CLI::FormatterBase {
 public:
  std::string make_help(const CLI::App* app, std::string name, CLI::AppFormatMode mode) const override;
};

// "lugwise convert bands"
std::string full_name(const CLI::App& app);

// The commands within it, without those nobody types.
std::vector<const CLI::App*> commands_of(const CLI::App& app);

// How an option is typed, as "-o, --output FILE", and what it does.
std::string spelling(const CLI::Option& option);
std::string described(const CLI::Option& option);

// "lugwise expect HARNESS POINT OTHER [options]"
std::string usage_of(const CLI::App& app);

}  // namespace lugwise::app
