// tests/cases/bad/ holds one small bad file for each way to get something wrong. Its first line says what must be found
// and where: `# expect: N204 14:19, N309 20:3`; 0:0 is the file as a whole. Nothing else may be found.
//
// Files called meter-* are meter files, readings-* are sheets of harnesses/fernhollow-2.yaml, all others netlists.

#include <fmt/format.h>
#include <algorithm>
#include <filesystem>

#include "intake/instrument.h"
#include "intake/readings.h"
#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

std::vector<std::string> bad_files() {
  std::vector<std::string> found;
  for (const auto& entry : std::filesystem::directory_iterator(test::repository() / "tests/cases/bad")) {
    found.push_back(entry.path().filename().string());
  }
  std::sort(found.begin(), found.end());
  return found;
}

std::string found_in(const Diagnostics& diagnostics) {
  std::string found;
  for (const Diagnostic& one : diagnostics.sorted()) {
    found += fmt::format("{}{} {}:{}", found.empty() ? "" : ", ", one.code, one.at.line, one.at.column);
  }
  return found;
}

TEST_CASE("each bad file has the problem its first line says, at that place, and no other", "[intake]") {
  const Netlist fernhollow_2 = test::netlist_of("harnesses/fernhollow-2.yaml");
  const std::vector<std::string> files = bad_files();
  CHECK(files.size() >= 300);
  for (const std::string& file : files) {
    CAPTURE(file);
    const std::string text = test::file_text("tests/cases/bad/" + file);
    constexpr std::string_view kBegin = "# expect: ";
    REQUIRE(text.starts_with(kBegin));
    const std::string expected = text.substr(kBegin.size(), text.find('\n') - kBegin.size());
    Diagnostics diagnostics(file);
    if (file.starts_with("readings-")) {
      CHECK_FALSE(read_sheet(text, fernhollow_2, diagnostics));
    } else if (file.starts_with("meter-")) {
      CHECK_FALSE(read_meter(text, diagnostics));
    } else {
      CHECK_FALSE(read_netlist(text, diagnostics));
    }
    CHECK(diagnostics.failed());
    CHECK(found_in(diagnostics) == expected);
    const SourceText source(text);
    for (const Diagnostic& one : diagnostics.list()) CHECK(render(one, source).ends_with('\n'));
  }
}

}  // namespace
}  // namespace lugwise
