// Every warning's whole message, as docs/warnings.md shows it.

#include <map>
#include <sstream>

#include "check/check.h"
#include "check/warning.h"
#include "sample.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

struct Section {
  std::string heading;  // "W104: a lug or lead left over"
  std::string sample;   // what stands between its fences
};

std::vector<Section> sections_of_the_page() {
  std::vector<Section> sections;
  std::istringstream page(file_text("docs/warnings.md"));
  bool fenced = false;
  for (std::string line; std::getline(page, line);) {
    if (line.rfind("## ", 0) == 0) {
      sections.push_back({line.substr(3), ""});
    } else if (line.rfind("```", 0) == 0) {
      fenced = !fenced;
    } else if (fenced) {
      REQUIRE_FALSE(sections.empty());
      sections.back().sample += line + "\n";
    }
  }
  return sections;
}

std::vector<Diagnostic> warned(const std::string& text) {
  return warnings_of(harness_from(text), "fernhollow-2.yaml");
}

std::vector<std::string> codes_of(const std::vector<Diagnostic>& warnings) {
  std::vector<std::string> codes;
  for (const Diagnostic& warning : warnings) codes.push_back(warning.code);
  return codes;
}

}  // namespace

TEST_CASE("the sound netlist of the samples earns no warning", "[check]") {
  REQUIRE(codes_of(warned(kSound)) == std::vector<std::string>{});
}

TEST_CASE("the page of warnings and the table of codes agree, and each code has a sample", "[check]") {
  std::vector<std::string> in_table;
  std::vector<std::string> sampled;
  for (const WarningKind& kind : warning_kinds()) {
    in_table.push_back(std::string(kind.code) + ": " + std::string(kind.title));
  }
  std::vector<std::string> on_page;
  for (const Section& section : sections_of_the_page()) on_page.push_back(section.heading);
  CHECK(on_page == in_table);

  std::vector<std::string> codes;
  for (const WarningKind& kind : warning_kinds()) codes.emplace_back(kind.code);
  for (const Sample& sample : samples()) sampled.push_back(sample.code);
  CHECK(sampled == codes);
}

TEST_CASE("each sample earns its warning, worded and placed as the page shows it", "[check]") {
  std::map<std::string, std::string> page;
  for (const Section& section : sections_of_the_page()) page[section.heading.substr(0, 4)] = section.sample;
  for (const Sample& sample : samples()) {
    INFO(sample.code);
    const std::string text = changed(sample.changes);
    const std::vector<Diagnostic> warnings = warned(text);
    CHECK(codes_of(warnings) == sample.codes);
    std::string shown;
    for (const Diagnostic& warning : warnings) {
      CHECK(warning.severity == Severity::Warning);
      if (warning.code == sample.code) shown += render(warning, text);
    }
    CHECK(shown == page[sample.code]);
  }
}
