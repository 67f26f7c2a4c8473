// How a problem is shown: place, code, message, the line, the caret, the notes.

#include "source/diagnostic.h"

#include <string>

#include "support/catch.h"

namespace lugwise {
namespace {

TEST_CASE("a problem is shown with its line, a caret under it, and where the nearest name is declared",
          "[source]") {
  Diagnostics diagnostics("bad-sleeve.yaml");
  const std::string text = "joints:\n  - [volume.case, jack.sleve]\n";
  diagnostics.error("N204", {2, 18, 10}, "no such point: 'jack.sleve'")
      .note("nearest name is 'jack.sleeve', declared", {6, 5, 4});
  CHECK(render(diagnostics.list().front(), text) ==
        "bad-sleeve.yaml:2:18: error: no such point: 'jack.sleve' (N204)\n"
        "  - [volume.case, jack.sleve]\n"
        "                 ^\n"
        "  nearest name is 'jack.sleeve', declared at 6:5\n");
}

TEST_CASE("a problem of the file as a whole shows no line", "[source]") {
  Diagnostics diagnostics("a.yaml");
  diagnostics.warning("N999", {}, "odd").note("look again");
  CHECK(render(diagnostics.list().front(), "text\n") == "a.yaml: warning: odd (N999)\n  look again\n");
}

TEST_CASE("without the text a problem still has its place", "[source]") {
  Diagnostics diagnostics("a.yaml");
  diagnostics.error("N999", {3, 4, 1}, "odd");
  CHECK(render(diagnostics.list().front(), "") == "a.yaml:3:4: error: odd (N999)\n");
}

TEST_CASE("the caret stands under the character meant, whatever comes before it", "[source]") {
  Diagnostics diagnostics("a.yaml");
  diagnostics.error("N999", {1, 6, 1}, "odd");
  const std::string shown = render(diagnostics.list().front(), std::string("\tΩ\x80\x01 x\n"));
  CHECK(shown == "a.yaml:1:6: error: odd (N999)\n Ω?? x\n     ^\n");
}

TEST_CASE("of a very long line only the part around the caret is shown", "[source]") {
  Diagnostics diagnostics("a.yaml");
  diagnostics.error("N999", {1, 5001, 900}, "odd");
  const std::string shown =
      render(diagnostics.list().front(), std::string(5000, 'a') + "X" + std::string(5000, 'b'));
  CHECK(shown == "a.yaml:1:5001: error: odd (N999)\n..." + std::string(36, 'a') + "X" + std::string(29, 'b') +
                     "...\n" + std::string(39, ' ') + "^\n");
}

TEST_CASE("problems are sorted by place, those at one place as they were found", "[source]") {
  Diagnostics diagnostics("a.yaml");
  diagnostics.error("N3", {9, 1, 1}, "third");
  diagnostics.warning("N1", {2, 7, 1}, "first");
  diagnostics.error("N2", {2, 7, 1}, "second");
  diagnostics.error("N0", {}, "the file");
  const auto sorted = diagnostics.sorted();
  CHECK(sorted[0].code == "N0");
  CHECK(sorted[1].code == "N1");
  CHECK(sorted[2].code == "N2");
  CHECK(sorted[3].code == "N3");
}

TEST_CASE("warnings alone are no failure", "[source]") {
  Diagnostics diagnostics("a.yaml");
  diagnostics.warning("N1", {}, "odd");
  CHECK_FALSE(diagnostics.failed());
  diagnostics.error("N2", {}, "wrong");
  CHECK(diagnostics.failed());
}

}  // namespace
}  // namespace lugwise
