// Every worked harness, job and meter of harnesses/ reads without errors or warnings.

#include <filesystem>

#include "intake/instrument.h"
#include "intake/readings.h"
#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

namespace fs = std::filesystem;

std::vector<std::string> files_in(const std::string& folder) {
  std::vector<std::string> found;
  for (const auto& entry : fs::directory_iterator(test::repository() / folder)) {
    if (entry.path().extension() == ".yaml") found.push_back(folder + "/" + entry.path().filename().string());
  }
  return found;
}

TEST_CASE("every worked harness reads without a word of complaint", "[intake]") {
  auto files = files_in("harnesses");
  CHECK(files.size() >= 17);
  const auto parts = files_in("harnesses/parts");
  CHECK(parts.size() >= 4);
  files.insert(files.end(), parts.begin(), parts.end());
  for (const std::string& file : files) {
    CAPTURE(file);
    test::netlist_of(file);
    const std::string text = test::file_text(file);
    Diagnostics diagnostics(file);
    CHECK(read_netlist(text, diagnostics));
    CHECK(diagnostics.list().empty());
  }
}

TEST_CASE("every job's readings fit the harness they name", "[intake]") {
  const auto files = files_in("harnesses/jobs");
  CHECK(files.size() >= 9);
  for (const std::string& file : files) {
    CAPTURE(file);
    const std::string text = test::file_text(file);
    const std::size_t name = text.find("../") + 3;
    const Netlist netlist = test::netlist_of("harnesses/" + text.substr(name, text.find('\n', name) - name));
    test::sheet_from(text, netlist);
  }
}

TEST_CASE("every meter of the workshop reads", "[intake]") {
  for (const std::string& file : files_in("harnesses/meters")) {
    CAPTURE(file);
    Diagnostics diagnostics(file);
    const auto meter = read_meter(test::file_text(file), diagnostics);
    REQUIRE(meter);
    CHECK(meter->ranges.size() == 6);
    CHECK(diagnostics.list().empty());
  }
}

}  // namespace
}  // namespace lugwise
