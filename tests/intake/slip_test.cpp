// What a technician mistypes: each slip is one message, where it was made, and says what was probably meant.

#include <string>
#include <string_view>
#include <vector>

#include "intake/netlist.h"
#include "intake/readings.h"
#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

constexpr std::string_view kNetlist = R"(lugwise: 1
parts:
  front: {kind: pickup, dcr: 6.2k}
  volume: {kind: pot, track: 250k}
  tone: {kind: pot, track: 250k}
  cap: {kind: capacitor, value: 47n}
  jack: {kind: jack}
joints:
  - [volume.case, front.ground, volume.1]
  - [tone.2, cap.1]
wires:
  - [front.hot, volume.3]
  - [volume.3, tone.1]
  - [cap.2, tone.case]
  - [volume.2, jack.tip]
  - {name: chain, run: [volume.case, tone.case, jack.sleeve]}
reach: {volume.case>tone.case: hidden}
)";

// All that is said of the netlist with one thing in it written otherwise.
std::string said_of(std::string_view right, std::string_view typed) {
  std::string text(kNetlist);
  const std::size_t at = text.find(right);
  REQUIRE(at != std::string::npos);
  text.replace(at, right.size(), typed);
  Diagnostics diagnostics("x.yaml");
  read_netlist(text, diagnostics);
  std::string said;
  for (const Diagnostic& one : diagnostics.sorted()) said += render(one, text);
  return said;
}

TEST_CASE("the netlist of these tests is right as it is", "[intake]") {
  CHECK(said_of("lugwise", "lugwise").empty());
}

TEST_CASE("a colon that is missing behind a name is called that, in the line it is missing in", "[intake]") {
  CHECK(said_of("  volume: {", "  volume  {") ==
        R"(x.yaml:4:3: error: a colon is missing after 'volume' (N105)
  volume  {kind: pot, track: 250k}
  ^
)");
  CHECK(said_of("parts:", "parts") == R"(x.yaml:2:1: error: a colon is missing after 'parts' (N105)
parts
^
)");
}

TEST_CASE("a comma that is missing within brackets is called that", "[intake]") {
  CHECK(said_of("pot, track", "pot track") == R"(x.yaml:4:22: error: a comma is missing before 'track' (N105)
  volume: {kind: pot track: 250k}
                     ^
)");
  CHECK(said_of("pot, track", "pot; track") == R"(x.yaml:4:21: error: a comma belongs here, not ';' (N105)
  volume: {kind: pot; track: 250k}
                    ^
)");
  CHECK(said_of("[volume.3, tone.1]", "[volume.3 tone.1]") ==
        R"(x.yaml:13:5: error: a wire joins at least two points (N404)
  - [volume.3 tone.1]
    ^
  a comma goes between: '[volume.3, tone.1]'
)");
  CHECK(said_of("[tone.2, cap.1]", "[tone.2 cap.1]") ==
        R"(x.yaml:10:5: error: a joint needs at least two points (N401)
  - [tone.2 cap.1]
    ^
  a comma goes between: '[tone.2, cap.1]'
)");
}

TEST_CASE("points without brackets, or with an arrow between, are shown as the list they are", "[intake]") {
  for (const std::string_view typed :
       {"volume.3, tone.1", "volume.3 -> tone.1", "volume.3 to tone.1", "volume.3 \u2192 tone.1"}) {
    CAPTURE(typed);
    CHECK_THAT(said_of("[volume.3, tone.1]", typed),
               Catch::Matchers::EndsWith("  write '[volume.3, tone.1]'\n"));
  }
  CHECK(said_of("- [volume.3, tone.1]", "[volume.3, tone.1]") ==
        R"(x.yaml:13:3: error: this line can't be read as YAML (N105)
  [volume.3, tone.1]
  ^
  an entry of a list begins with '- '
)");
}

TEST_CASE("the dash, the dot and the quotes of a word processor are told from ours", "[intake]") {
  CHECK(said_of("- [volume.3", "\u2013 [volume.3") ==
        "x.yaml:13:3: error: this line can't be read as YAML (N105)\n"
        "  \u2013 [volume.3, tone.1]\n"
        "  ^\n"
        "  an entry of a list begins with '- ', not with '\u2013 '\n");
  CHECK_THAT(said_of("- [volume.3", "* [volume.3"),
             Catch::Matchers::EndsWith("  an entry of a list begins with '- ', not with '* '\n"));
  CHECK_THAT(said_of("kind: pot", "kind: \u201cpot\u201d"),
             Catch::Matchers::EndsWith("  nearest name is 'pot'\n"));
}

TEST_CASE("thousands are not parted by a comma", "[intake]") {
  CHECK(said_of("track: 250k", "track: 250,000") == R"(x.yaml:4:34: error: a pot has no key '000' (N112)
  volume: {kind: pot, track: 250,000}
                                 ^
  a comma begins the next key: did you mean '250000'?
)");
}

TEST_CASE("a part under another's name is one mistake, whatever is joined to the name that is missing",
          "[intake]") {
  CHECK(said_of("  tone: {", "  volume: {") == R"(x.yaml:5:3: error: part 'volume' is given twice (N113)
  volume: {kind: pot, track: 250k}
  ^
  first given at 4:3
)");
  // The second mistake, in the name of a part that is there, is told all the same.
  const std::string both =
      said_of("  tone: {kind: pot, track: 250k}\n  cap", "  volume: {kind: pot, track: 250k}\n  jakc");
  CHECK_THAT(both, Catch::Matchers::ContainsSubstring("part 'volume' is given twice"));
  CHECK_THAT(both, Catch::Matchers::ContainsSubstring("no such point: 'cap."));
}

TEST_CASE("a key of the whole file that is mistyped is one mistake", "[intake]") {
  CHECK(said_of("lugwise:", "lugwize:") == R"(x.yaml:1:1: error: a netlist has no key 'lugwize' (N112)
lugwize: 1
^
  nearest key is 'lugwise'
)");
  CHECK(said_of("wires:", "wire:") == R"(x.yaml:11:1: error: a netlist has no key 'wire' (N112)
wire:
^
  nearest key is 'wires'
)");
  Diagnostics diagnostics("x.yaml");
  const std::string text =
      "lugwise-reading: 1\nreadings:\n  - {betwen: [jack.tip, jack.sleeve], reads: OL}\n";
  read_sheet(text, test::netlist_of("harnesses/fernhollow-2.yaml"), diagnostics);
  std::vector<std::string> said;
  for (const Diagnostic& one : diagnostics.sorted()) said.push_back(one.message);
  CHECK(said == std::vector<std::string>{"a readings file has no key 'lugwise-reading'",
                                         "a reading has no key 'betwen'"});
}

TEST_CASE("what is written as a pair or a list is shown as the map it should be", "[intake]") {
  CHECK_THAT(said_of("parts:\n  front: {kind: pickup, dcr: 6.2k}\n",
                     "parts:\n  - front: {kind: pickup, dcr: 6.2k}\nx:\n"),
             Catch::Matchers::ContainsSubstring("  leave out the '- ' before each\n"));
}

TEST_CASE("a comma after what is no number is not taken for one of thousands", "[intake]") {
  Diagnostics diagnostics("x.yaml");
  read_sheet(
      "lugwise-readings: 1\nreadings:\n  - {between: [jack.tip, jack.sleeve], reads: aΩΩΩΩΩΩΩΩΩΩΩ,850}\n",
      test::netlist_of("harnesses/fernhollow-2.yaml"), diagnostics);
  CHECK_FALSE(diagnostics.sorted().empty());
  for (const Diagnostic& one : diagnostics.sorted()) {
    for (const Note& note : one.notes) CHECK(note.message.find("did you mean") == std::string::npos);
  }
}

TEST_CASE("a part that is one word is told to be a map, and nothing is made up of the word", "[intake]") {
  const std::string said = said_of("front: {kind: pickup, dcr: 6.2k}", "front: pickup");
  CHECK_THAT(said, Catch::Matchers::ContainsSubstring("must be a map of 'key: value'"));
  CHECK_THAT(said, !Catch::Matchers::ContainsSubstring("{pickup"));
}

}  // namespace
}  // namespace lugwise
