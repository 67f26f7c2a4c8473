// Foreign text, made safe for every place it is shown in; and its characters, counted.
//
// The bytes of UTF-8 and what is none: the Unicode standard, table 3-7, from memory. What Markdown takes for markup: its
// CommonMark specification, from memory.
#include "text/safe.h"

#include <vector>

#include "support/catch.h"
#include "text/character.h"

namespace lugwise::text {
namespace {

std::string bytes_of(char32_t c) {
  std::string bytes;
  const auto put = [&](unsigned value) { bytes += static_cast<char>(value); };
  if (c < 0x80) {
    put(c);
  } else if (c < 0x800) {
    put(0xC0 | c >> 6), put(0x80 | (c & 0x3F));
  } else if (c < 0x10000) {
    put(0xE0 | c >> 12), put(0x80 | (c >> 6 & 0x3F)), put(0x80 | (c & 0x3F));
  } else {
    put(0xF0 | c >> 18), put(0x80 | (c >> 12 & 0x3F)), put(0x80 | (c >> 6 & 0x3F)), put(0x80 | (c & 0x3F));
  }
  return bytes;
}

// Every character there is, one in 13 of the higher planes.
template <class Look>
void for_each_character(const Look& look) {
  for (char32_t c = 1; c <= 0x10FFFF; c += c < 0x10000 ? 1 : 13) {
    if (c < 0xD800 || c > 0xDFFF) look(c, bytes_of(c));
  }
}

TEST_CASE("nothing that moves a cursor, begins a line or turns writing round comes out, of all characters",
          "[text]") {
  std::size_t wrong = 0, unseen = 0;
  for_each_character([&](char32_t c, const std::string& bytes) {
    const std::string shown = in_one_line("a" + bytes + "b");
    const bool control = c < 0x20 || (c >= 0x7F && c <= 0x9F);
    const bool turns = (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
    const bool breaks = c == '\t' || c == '\n' || c == '\r';
    if ((control || turns) && shown != (breaks ? "a b" : "a?b")) ++wrong;
    if (shown != "a" + bytes + "b") ++unseen;
    for (const std::string& markup : {in_markup(bytes), in_markdown("x" + bytes)}) {
      for (const char byte : markup) wrong += static_cast<unsigned char>(byte) < 0x20 || byte == 0x7F ? 1 : 0;
    }
  });
  CHECK(wrong == 0);
  CHECK(unseen < 400);
}

TEST_CASE("bytes that are no characters are shown as such, and each counts as one", "[text]") {
  for (const char* stray : {"\x80", "\xC0\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xE2\x82", "\xFF"}) {
    CAPTURE(stray);
    CHECK_FALSE(is_utf8(stray));
    CHECK(in_one_line(stray).find_first_not_of('?') == std::string::npos);
    CHECK(is_utf8(in_markup(stray)));
    CHECK(length(stray) == std::string(stray).size());
  }
  CHECK(utf8_end("Caf\xE9 au lait") == 3);
  CHECK(length("8.2 kΩ") == 6);
  CHECK(first_characters("kΩm", 2) == "kΩ");
  CHECK(first_bytes("kΩm", 2) == "k");
  CHECK(first_bytes("kΩm", 3) == "kΩ");
}

TEST_CASE("lines of our own stay lines, and colours only where they are wanted", "[text]") {
  CHECK(in_lines("a\nb\r\x1b[2J\xC2\x9b"
                 "2J\n") == "a\nb ?[2J?2J\n");
  CHECK(in_lines("\033[1;31mbad\033[0m\033[2J", Colours::Kept) == "\033[1;31mbad\033[0m?[2J");
  CHECK(in_lines("\033[1mbad") == "?[1mbad");
}

TEST_CASE("markup is escaped in text and in attributes", "[text]") {
  CHECK(in_markup("<a href=\"x\">'&'</a>") == "&lt;a href=&quot;x&quot;&gt;&#39;&amp;&#39;&lt;/a&gt;");
  CHECK(in_markup("x\xEF\xBF\xBEy\x01z") == "x\xEF\xBF\xBDy\xEF\xBF\xBDz");
}

TEST_CASE("bare text makes no link, mention, number or formula in Markdown", "[text]") {
  CHECK(in_markdown("see https://x.org") == "see https\\://x.org");
  CHECK(in_markdown("www.x.org") == "www\\.x.org");
  CHECK(in_markdown("by @somebody") == "by \\@somebody");
  CHECK(in_markdown("for #12") == "for \\#12");
  CHECK(in_markdown("it is $x$") == "it is \\$x\\$");
  CHECK(in_markdown("volume_3 *a* <b>") == "volume_3 \\*a\\* \\<b>");
  CHECK(in_markdown("# a") == "\\# a");
  CHECK(in_markdown("1. a") == "1\\. a");
}

TEST_CASE("a word for a shell is quoted where it must be", "[text]") {
  CHECK(in_shell("a/b-c_1.yaml") == "a/b-c_1.yaml");
  CHECK(in_shell("") == "''");
  CHECK(in_shell("a b") == "'a b'");
  CHECK(in_shell("it's") == "'it'\\''s'");
  CHECK(in_shell("$(touch x)`y`") == "'$(touch x)`y`'");
  CHECK(in_shell("~root") == "'~root'");
  CHECK(in_shell("a\nb") == "$'a\\x0ab'");
  CHECK(in_shell("a\xC2\x9b"
                 "2J'") == "$'a\\xc2\\x9b2J\\''");
  CHECK(in_shell("caf\xE9") == "$'caf\\xe9'");
}

}  // namespace
}  // namespace lugwise::text
