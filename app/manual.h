// The program's page of the manual, written from the same commands that are parsed.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace lugwise::app {

// lugwise(1), in the language of man pages.
std::string manual_page(const CLI::App& app, const std::string& program);

}  // namespace lugwise::app
