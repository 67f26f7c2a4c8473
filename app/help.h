// How a page of help looks: usage, purpose, groups of flags with their defaults, examples.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace lugwise::app {

// The groups a flag can be in, in the order of the page.
inline constexpr const char* kWhat = "what to look at";
inline constexpr const char* kHow = "how it is measured";
inline constexpr const char* kOutput = "output";

class HelpPage : public CLI::FormatterBase {
 public:
  std::string make_help(const CLI::App* app, std::string name, CLI::AppFormatMode mode) const override;
};

// "lugwise expect HARNESS POINT OTHER [options]"
std::string usage_of(const CLI::App& app);

}  // namespace lugwise::app
