#include "intake/inside/tree.h"

#include <fmt/format.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/parser.h>

#include <sstream>
#include <string_view>
#include <utility>

#include "intake/inside/brackets.h"
#include "intake/inside/syntax_error.h"
#include "intake/inside/tree_builder.h"
#include "text/character.h"

namespace lugwise::intake::inside {
namespace {

constexpr std::size_t kLargest = 16u << 20;  // bytes
// Brackets, commas and such: the YAML scanner keeps some 240 bytes for each until the outermost bracket is closed.
constexpr std::size_t kMostMarks = 1'000'000;

constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

std::size_t first_control(std::string_view text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    if ((byte < 0x20 && byte != '\t' && byte != '\n' && byte != '\r') || byte == 0x7F) return i;
  }
  return text.size();
}

// Where there are more marks than the scanner may be given; nothing if there are not. Whatever stands within quotes and
// comments counts too: which those are only the scanner knows for sure.
std::optional<std::size_t> too_many_marks(std::string_view text) {
  std::size_t marks = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    const bool bracket = c == '[' || c == ']' || c == '{' || c == '}' || c == ',';
    const bool sign = c == '&' || c == '*' || c == '!' || c == '?';
    const bool ends =
        i + 1 == text.size() || std::string_view(" \t\n\r,[]{}").find(text[i + 1]) != std::string_view::npos;
    if ((bracket || (sign && !ends) || (c == '?' && ends)) && ++marks > kMostMarks) return i;
  }
  return std::nullopt;
}

}  // namespace

Node* value_of(Node& map, std::string_view key) {
  if (map.kind != Node::Kind::Map) return nullptr;
  for (std::size_t i = 0; i + 1 < map.items.size(); i += 2) {
    if (map.items[i].text == key) return &map.items[i + 1];
  }
  return nullptr;
}

void erase_key(Node& map, std::string_view key) {
  if (map.kind != Node::Kind::Map) return;
  for (std::size_t i = 0; i + 1 < map.items.size(); i += 2) {
    if (map.items[i].text != key) continue;
    map.items.erase(map.items.begin() + static_cast<std::ptrdiff_t>(i),
                    map.items.begin() + static_cast<std::ptrdiff_t>(i) + 2);
    return;
  }
}

std::optional<Node> parse_tree(const SourceText& source, Diagnostics& diagnostics) {
  const std::string_view text = source.text();
  if (text.size() > kLargest) {
    diagnostics.error("N103", {}, fmt::format("the file is larger than {} MiB", kLargest >> 20));
    return std::nullopt;
  }
  if (const std::size_t end = text::utf8_end(source.text()); end < text.size()) {
    const bool wide = text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF");
    diagnostics.error("N101", source.span(end, 1), "the text is not UTF-8")
        .note(wide ? "it looks like UTF-16: save it as UTF-8" : "save the file as UTF-8");
    return std::nullopt;
  }
  if (const std::size_t control = first_control(text); control < text.size()) {
    diagnostics.error("N102", source.span(control, 1),
                      fmt::format("a control character, byte {:#04x}, in the text",
                                  static_cast<unsigned char>(text[control])));
    return std::nullopt;
  }
  const std::size_t offset = text.starts_with(kByteOrderMark) ? kByteOrderMark.size() : 0;
  const Brackets brackets(text);
  if (brackets.too_deep()) {
    diagnostics.error("N104", source.span(*brackets.too_deep(), 1),
                      fmt::format("nested more than {} deep", kDeepest));
    return std::nullopt;
  }
  if (const auto many = too_many_marks(text)) {
    diagnostics.error("N103", source.span(*many, 1),
                      fmt::format("more than {} brackets and commas in one file", kMostMarks));
    return std::nullopt;
  }

  std::string body(text.substr(offset));
  // The parser knows LF and CR LF; a lone CR is as good to an editor.
  for (std::size_t i = 0; i < body.size(); ++i) {
    if (body[i] == '\r' && (i + 1 == body.size() || body[i + 1] != '\n')) body[i] = '\n';
  }
  std::istringstream stream(std::move(body));
  TreeBuilder builder(source, offset, diagnostics);
  try {
    YAML::Parser parser(stream);
    while (parser.HandleNextDocument(builder)) {
    }
  } catch (const Stop&) {
    return std::nullopt;
  } catch (const YAML::Exception& problem) {
    report_syntax(source, offset, problem, brackets, diagnostics);
    return std::nullopt;
  }
  Node root = builder.take();
  if (builder.refused()) return std::nullopt;
  if (root.kind == Node::Kind::Nothing) {
    diagnostics.error("N110", {}, "the file is empty");
    return std::nullopt;
  }
  return root;
}

}  // namespace lugwise::intake::inside
