// Lines and columns as an editor counts them.

#include "source/source_text.h"

#include <string>

#include "source/fingerprint.h"
#include "support/catch.h"

namespace lugwise {
namespace {

TEST_CASE("lines end at a line feed, a carriage return, or both", "[source]") {
  const SourceText text("one\ntwo\r\nthree\rfour");
  CHECK(text.lines() == 4);
  CHECK(text.line(1) == "one");
  CHECK(text.line(2) == "two");
  CHECK(text.line(3) == "three");
  CHECK(text.line(4) == "four");
  CHECK(text.line(0).empty());
  CHECK(text.line(5).empty());
}

TEST_CASE("columns count characters, not bytes", "[source]") {
  const std::string line = "8.2 kΩ, 24 °C, x";
  const SourceText text(line);
  const Span x = text.span(line.find('x'), 1);
  CHECK(x == Span{1, 16, 1});
  CHECK(text.span(line.find("24"), std::string("24 °C").size()) == Span{1, 9, 5});
}

TEST_CASE("a span never leaves its line or the text", "[source]") {
  const SourceText text("abc\ndef");
  CHECK(text.span(1, 100) == Span{1, 2, 2});
  CHECK(text.span(4, 0) == Span{2, 1, 1});
  CHECK(text.span(999, 5) == Span{2, 4, 1});
  CHECK(SourceText("").span(0, 3) == Span{1, 1, 1});
}

TEST_CASE("every place of a long text is found as counting from its start finds it", "[source]") {
  std::string text;
  for (int i = 0; i < 300; ++i)
    text += std::string(static_cast<std::size_t>(i * 7 % 50), 'x') + "µΩ°" + (i % 3 ? "\n" : "\r\n");
  const SourceText source(text);
  std::uint32_t line = 1;
  std::uint32_t column = 1;
  bool right = true;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool inside = (static_cast<unsigned char>(text[i]) & 0xC0) == 0x80;
    if (!inside) {
      const Span span = source.span(i, 1);
      right = right && span.line == line && span.column == column;
      ++column;
    }
    if (text[i] == '\n') {
      ++line;
      column = 1;
    }
  }
  CHECK(right);
}

TEST_CASE("a text's fingerprint tells it from its neighbours and never changes", "[source]") {
  // FNV-1a with 64 bits gives cbf29ce484222325 and af63dc4c8601ec8c, as published (from memory); the upper 16 bits are
  // laid over the lower 48.
  CHECK(fingerprint("") == "9ce48422e8d7");
  CHECK(fingerprint("a") == "dc4c860143ef");
  CHECK(fingerprint("volume: 250k") != fingerprint("volume: 500k"));
  CHECK(fingerprint("volume").size() == 12);
}

}  // namespace
}  // namespace lugwise
