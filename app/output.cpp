#include "output.h"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <utility>
#include <vector>

#include "file.h"

namespace lugwise::app {
namespace {

namespace fs = std::filesystem;

struct Named {
  std::string option;
  std::string path;
};

std::vector<Named> files_of(const Command& command, const CommandLine& line, Use use) {
  std::vector<Named> files;
  for (const Option& option : command.options) {
    if (option.use != use) continue;
    if (const auto* one = std::get_if<std::string CommandLine::*>(&option.into);
        one && !(line.*(*one)).empty())
      files.push_back({option.longest_name(), line.*(*one)});
    if (const auto* many = std::get_if<std::vector<std::string> CommandLine::*>(&option.into)) {
      for (const std::string& path : line.*(*many)) files.push_back({option.longest_name(), path});
    }
  }
  return files;
}

// Whether two paths lead to one file, which need not be there yet.
bool same_file(const std::string& a, const std::string& b) {
  std::error_code error;
  if (fs::equivalent(a, b, error)) return true;
  std::error_code first, second;
  const fs::path whole = fs::weakly_canonical(a, first);
  return !first && whole == fs::weakly_canonical(b, second) && !second;
}

// A terminal or /dev/null can be written twice, or read and written.
bool keeps_nothing(const std::string& path) {
  const std::string kind = kind_of(path);
  return kind == "a device" || kind == "a pipe";
}

// What lugwise would read that file as, by the key that begins one of its first lines; empty where it is none of ours.
std::string kind_of_ours(const std::string& path) {
  static constexpr std::pair<std::string_view, const char*> kKeys[] = {
      {"lugwise-readings:", "a readings file"},
      {"ranges:", "a meter's file"},
      {"lugwise-workshop:", "a workshop's file"},
      {"lugwise-batch:", "a batch's file"},
      {"lugwise-key:", "an exercise's key"},
      {"lugwise-pickups:", "a file of pickups"},
      {"lugwise-marks:", "a rule for marks"},
      {"lugwise:", "a netlist"},
      {"counts:", "a meter's file"},
  };
  if (kind_of(path) != "a file") return {};
  std::ifstream file(path, std::ios::binary);
  std::string head(1u << 16, '\0');
  file.read(head.data(), static_cast<std::streamsize>(head.size()));
  head.resize(static_cast<std::size_t>(file.gcount()));
  for (const auto& [key, kind] : kKeys) {
    for (const std::string begin : {"", "\n", "\r", "\xEF\xBB\xBF"}) {
      const std::string wanted = begin + std::string(key);
      if (begin.empty() || begin[0] == '\xEF' ? head.starts_with(wanted)
                                              : head.find(wanted) != std::string::npos)
        return kind;
    }
  }
  return {};
}

WrongUsage overwrites(const Named& file) {
  return WrongUsage{
      fmt::format("{}: '{}' is read for this answer, which would overwrite it", file.option, file.path)};
}

}  // namespace

void guard_outputs(const Command& command, const CommandLine& line) {
  const std::vector<Named> read = files_of(command, line, Use::Read);
  std::vector<Named> written = files_of(command, line, Use::Written);
  const std::size_t fresh = written.size();
  for (Named& each : files_of(command, line, Use::Continued)) written.push_back(std::move(each));
  for (std::size_t i = 0; i < written.size(); ++i) {
    const Named& file = written[i];
    if (keeps_nothing(file.path)) continue;
    for (const Named& other : read) {
      if (same_file(file.path, other.path)) throw overwrites(file);
    }
    for (std::size_t j = 0; j < i; ++j) {
      if (same_file(file.path, written[j].path))
        throw WrongUsage{fmt::format("{} and {} both name '{}': one would overwrite the other",
                                     written[j].option, file.option, file.path)};
    }
    if (const std::string kind = kind_of_ours(file.path); i < fresh && !kind.empty())
      throw WrongUsage{fmt::format("{}: '{}' is {}, which would be lost: name another, or remove it first",
                                   file.option, file.path, kind)};
    if (const std::string why = why_unwritable(file.path); !why.empty())
      throw bad_input("U320", "can't be written: " + why, file.path);
  }
}

void write_output(const Run& run, const std::string& option, const std::string& path,
                  const std::string& text) {
  for (const auto& [read, source] : run.texts) {
    if (!keeps_nothing(path) && same_file(read, path)) throw overwrites({option, path});
  }
  write_file(path, text);
}

}  // namespace lugwise::app
