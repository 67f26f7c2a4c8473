// docs/errors.md, the table of codes and the code agree, and each sample on the page gives the message beside it.

#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <sstream>

#include "intake/attempt.h"
#include "intake/code.h"
#include "intake/instrument.h"
#include "intake/key.h"
#include "intake/pickups.h"
#include "intake/readings.h"
#include "intake/workshop.h"
#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

struct Sample {
  std::string code;
  std::string title;
  std::string input;  // `\xHH` made into bytes
  std::string message;
  bool shown = false;  // there is an input
};

std::string with_bytes(const std::string& text) {
  std::string bytes;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text.compare(i, 2, "\\x") == 0) {
      bytes += static_cast<char>(std::stoi(text.substr(i + 2, 2), nullptr, 16));
      i += 3;
    } else {
      bytes += text[i];
    }
  }
  return bytes;
}

std::vector<Sample> samples() {
  std::istringstream page(test::file_text("docs/errors.md"));
  std::vector<Sample> found;
  std::string* block = nullptr;
  for (std::string line; std::getline(page, line);) {
    if (line.starts_with("### ")) {
      const std::size_t colon = line.find(": ");
      found.push_back({line.substr(4, colon - 4), line.substr(colon + 2), {}, {}, false});
    } else if (line == "```yaml") {
      block = &found.back().input;
      found.back().shown = true;
    } else if (line == "```text") {
      block = &found.back().message;
    } else if (line == "```") {
      block = nullptr;
    } else if (block) {
      *block += line + "\n";
    }
  }
  return found;
}

std::string messages(const Diagnostics& diagnostics, const std::string& text) {
  std::string shown;
  for (const Diagnostic& diagnostic : diagnostics.sorted()) shown += render(diagnostic, text);
  return shown;
}

std::string answer_to(const Sample& sample) {
  const std::string text = with_bytes(sample.input);
  if (sample.code[0] == 'R') {
    Diagnostics diagnostics("readings.yaml");
    if (sample.code == "R412") {
      read_exercise(text, diagnostics);
      return messages(diagnostics, text);
    }
    read_sheet(text, test::netlist_of("harnesses/fernhollow-2.yaml"), diagnostics);
    return messages(diagnostics, text);
  }
  if (sample.code[0] == 'S') {
    Diagnostics diagnostics("workshop.yaml");
    read_workshop(text, diagnostics);
    return messages(diagnostics, text);
  }
  if (sample.code[0] == 'E') {
    const bool rule = text.find("lugwise-marks") != std::string::npos;
    Diagnostics diagnostics(rule ? "marks.yaml" : "key.yaml");
    rule ? void(read_rule(text, diagnostics)) : void(read_key(text, diagnostics));
    return messages(diagnostics, text);
  }
  if (sample.code[0] == 'K') {
    Diagnostics diagnostics("pickups.yaml");
    read_pickups(text, diagnostics);
    return messages(diagnostics, text);
  }
  Diagnostics diagnostics(sample.code[0] == 'M' ? "meter.yaml" : "harness.yaml");
  if (sample.code[0] == 'M') {
    read_meter(text, diagnostics);
  } else {
    read_netlist(text, diagnostics);
  }
  return messages(diagnostics, text);
}

TEST_CASE("every sample on the page of errors gives the message beside it", "[intake]") {
  int shown = 0;
  for (const Sample& sample : samples()) {
    if (!sample.shown) continue;
    CAPTURE(sample.code);
    ++shown;
    CHECK(answer_to(sample) == sample.message);
    CHECK(sample.message.find(" (" + sample.code + ")\n") != std::string::npos);
  }
  CHECK(shown == static_cast<int>(intake_codes().size()) -
                     5);  // N103, N104, R103 and K103 need inputs too large to print, N502 several files
}

TEST_CASE("the page of errors has every code once, in order, under its title", "[intake]") {
  const std::vector<Sample> on_page = samples();
  REQUIRE(on_page.size() == intake_codes().size());
  for (std::size_t i = 0; i < on_page.size(); ++i) {
    CHECK(on_page[i].code == intake_codes()[i].code);
    CHECK(on_page[i].title == intake_codes()[i].title);
    if (i > 0) CHECK(intake_codes()[i - 1].code.substr(1) != intake_codes()[i].code.substr(1));
  }
}

TEST_CASE("the code gives no code that is not in the table, and all that are", "[intake]") {
  std::set<std::string> used;
  const std::regex code("\"([NRMSEK][0-9]{3})\"");
  for (const auto& entry : std::filesystem::recursive_directory_iterator(test::repository() / "lib/intake")) {
    if (entry.path().extension() != ".cpp" || entry.path().filename() == "code.cpp") continue;
    std::ifstream stream(entry.path());
    const std::string text{std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
    for (std::sregex_iterator match(text.begin(), text.end(), code), end; match != end; ++match)
      used.insert((*match)[1]);
  }
  std::set<std::string> listed;
  for (const Code& one : intake_codes()) listed.emplace(one.code);
  CHECK(used == listed);
}

TEST_CASE("what an escape hides in a text is refused, and a line break in one is a space", "[intake]") {
  for (const char* hidden :
       {"\\e[2J", "\\u009b2J", "\\u202e", "\\x7f", "\\u2066", "\\u2028", "\\ufffe", "\\0"}) {
    CAPTURE(hidden);
    Diagnostics diagnostics("harness.yaml");
    read_netlist("lugwise: 1\nname: \"a" + std::string(hidden) + "b\"\nparts: {jack: {kind: jack}}\n",
                 diagnostics);
    REQUIRE_FALSE(diagnostics.list().empty());
    CHECK(diagnostics.list().front().code == "N102");
    CHECK(diagnostics.list().front().at.line == 2);
  }
  Diagnostics diagnostics("harness.yaml");
  const auto netlist =
      read_netlist("lugwise: 1\nname: \"a\\nb\"\nparts: {jack: {kind: jack}}\n", diagnostics);
  REQUIRE(netlist);
  CHECK(netlist->harness.name == "a b");
}

TEST_CASE("what is too large or too deep to read is refused by name", "[intake]") {
  const auto answer = [](const std::string& text) {
    Diagnostics diagnostics("harness.yaml");
    CHECK_FALSE(read_netlist(text, diagnostics));
    return messages(diagnostics, text);
  };
  CHECK(answer(std::string((16u << 20) + 1, '#')) ==
        "harness.yaml: error: the file is larger than 16 MiB (N103)\n");
  CHECK_THAT(
      answer("[" + std::string(1'100'000, ',') + "]"),
      Catch::Matchers::StartsWith(
          "harness.yaml:1:1000001: error: more than 1000000 brackets and commas in one file (N103)\n"));
  std::string entries;
  for (int i = 0; i < 1'300'000; ++i) entries += "-\n";
  CHECK_THAT(answer(entries),
             Catch::Matchers::ContainsSubstring("error: more than 1200000 entries in one file (N103)\n"));
  // An apostrophe within a key begins no quote, so what follows it is brackets to the reader of YAML.
  CHECK_THAT(
      answer("a 'b: " + std::string(1'100'000, '[')),
      Catch::Matchers::ContainsSubstring("more than 1000000 brackets and commas in one file (N103)\n"));
  CHECK_THAT(answer("a: " + std::string(100'000, '[')),
             Catch::Matchers::StartsWith("harness.yaml:1:44: error: nested more than 40 deep (N104)\n"));
}

TEST_CASE("a readings file of too many entries is refused by name", "[intake]") {
  std::string text = "lugwise-readings: 1\nreadings:\n";
  for (int i = 0; i < 10'001; ++i) text += "- {between: [volume.1, volume.3], reads: OL}\n";
  Diagnostics diagnostics("readings.yaml");
  CHECK_FALSE(read_sheet(text, test::netlist_of("harnesses/fernhollow-2.yaml"), diagnostics));
  CHECK_THAT(messages(diagnostics, text),
             Catch::Matchers::StartsWith(
                 "readings.yaml:3:1: error: 10001 entries; at most 10000 can be read in one file (R103)\n"));
}

}  // namespace
}  // namespace lugwise
