#include "batch_folder.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <filesystem>
#include <optional>

#include "command.h"
#include "text/order.h"

namespace lugwise::app {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view kEnd = ".yaml";

// The serial and number of a name, if it is one that record_name() gives.
std::optional<BatchRecord> record_of(const std::string& name) {
  if (!name.ends_with(kEnd)) return std::nullopt;
  std::string stem = name.substr(0, name.size() - kEnd.size());
  BatchRecord record{{}, 1, name};
  if (const std::size_t dot = stem.find('.'); dot != std::string::npos) {
    const char* const end = stem.data() + stem.size();
    const auto [rest, error] = std::from_chars(stem.data() + dot + 1, end, record.number);
    if (error != std::errc() || rest != end) return std::nullopt;
    stem.resize(dot);
  }
  for (std::size_t i = 0; i < stem.size(); ++i) {
    if (stem[i] != '%') {
      record.serial += stem[i];
      continue;
    }
    unsigned byte = 0;
    if (i + 2 >= stem.size()) return std::nullopt;
    const char* const end = stem.data() + i + 3;
    if (std::from_chars(stem.data() + i + 1, end, byte, 16).ptr != end) return std::nullopt;
    record.serial += static_cast<char>(byte);
    i += 2;
  }
  if (record.serial.empty() || record_name(record.serial, record.number) != name) return std::nullopt;
  return record;
}

}  // namespace

std::string record_name(const std::string& serial, std::size_t number) {
  std::string name;
  for (const char c : serial) {
    const bool plain = std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '-' || c == '_';
    name += plain ? std::string(1, c) : fmt::format("%{:02x}", static_cast<unsigned char>(c));
  }
  // The head file has that name.
  if (name == "batch") name = "%62atch";
  if (number > 1) name += fmt::format(".{}", number);
  return name + std::string(kEnd);
}

std::vector<BatchRecord> records_in(const std::string& folder) {
  std::vector<BatchRecord> records;
  std::error_code error;
  for (fs::directory_iterator entry(folder, error), end; !error && entry != end; entry.increment(error)) {
    const std::string name = entry->path().filename().string();
    if (name == kHeadFile) continue;
    if (auto record = record_of(name)) records.push_back(std::move(*record));
  }
  if (error) throw bad_input("U350", "no folder of a batch: " + error.message(), folder);
  std::sort(records.begin(), records.end(), [](const BatchRecord& x, const BatchRecord& y) {
    return x.serial == y.serial ? x.number < y.number : text::stands_before(x.serial, y.serial);
  });
  return records;
}

}  // namespace lugwise::app
