#include "intake/inside/tree_builder.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "intake/inside/brackets.h"
#include "text/character.h"
#include "text/safe.h"

namespace lugwise::intake::inside {
namespace {

constexpr std::size_t kMostNodes = 1'200'000;
constexpr std::size_t kLongestText = 2000;   // bytes of one name, remark or value
constexpr std::size_t kLongestExtent = 400;  // bytes of a bracketed list or map that are underlined

}  // namespace

Node TreeBuilder::take() {
  settle(std::string_view::npos);
  return root_ ? std::move(*root_) : Node{};
}

void TreeBuilder::OnDocumentStart(const YAML::Mark& mark) {
  if (documents_++ == 0) return;
  const std::string_view before = source_.text().substr(0, place(mark));
  const std::size_t content = before.find_last_not_of(" \t\r\n");
  const bool ended =
      content != std::string_view::npos && content >= 2 && before.substr(content - 2, 3) == "...";
  if (!ended && !source_.text().substr(place(mark)).starts_with("---")) {
    refuse("N105", mark, 1, "this line can't be read as YAML")
        .note("expected '- ', in line with the other entries");
    throw Stop{};
  }
  refuse("N109", mark, 1, "a second document in one file").note("'---' may only stand at the beginning");
  throw Stop{};
}

// `null` and `~` are texts to us, but the parser reports them like a value that isn't there. Which it was shows at
// the next event: a value that isn't there has the place of what follows it.
void TreeBuilder::OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) {
  settle(place(mark));
  check(mark, "?", anchor);
  pending_ = place(mark);
}

void TreeBuilder::OnAlias(const YAML::Mark& mark, YAML::anchor_t) {
  settle(place(mark));
  refuse_extra(mark, "an alias");
  add(Node{Node::Kind::Text, span(mark), {}, {}});
}

void TreeBuilder::OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                           const std::string& value) {
  settle(place(mark));
  check(mark, tag, anchor);
  const std::string_view rest = source_.text().substr(place(mark));
  // The parser takes the end of the file for the end of a quote.
  if (tag == "!" && !rest.empty() && (rest[0] == '"' || rest[0] == '\'') &&
      Brackets::quote_end(rest, 0) == std::string_view::npos) {
    refuse("N106", mark, 1, "a quote is opened and never closed");
    throw Stop{};
  }
  if (value.size() > kLongestText) {
    refuse("N103", mark, 1,
           fmt::format("a text of {} bytes; at most {} can be read", value.size(), kLongestText));
    throw Stop{};
  }
  add(Node{Node::Kind::Text, scalar_span(place(mark), value), seen(mark, value), {}});
}

void TreeBuilder::OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                                  YAML::EmitterStyle::value) {
  settle(place(mark));
  check(mark, tag, anchor);
  open(Node{Node::Kind::List, span(mark), {}, {}});
}

void TreeBuilder::OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                             YAML::EmitterStyle::value) {
  settle(place(mark));
  check(mark, tag, anchor);
  open(Node{Node::Kind::Map, span(mark), {}, {}});
}

std::size_t TreeBuilder::place(const YAML::Mark& mark) const {
  const std::size_t at = offset_ + static_cast<std::size_t>(std::max(mark.pos, 0));
  return std::min(at, source_.text().size());
}

Diagnostic& TreeBuilder::refuse(std::string code, const YAML::Mark& mark, std::size_t bytes,
                                std::string message) {
  refused_ = true;
  return diagnostics_.error(std::move(code), source_.span(place(mark), bytes), std::move(message));
}

// A file full of anchors is one problem, not thousands.
void TreeBuilder::refuse_extra(const YAML::Mark& mark, std::string_view what) {
  constexpr int kMostExtras = 20;
  if (++extras_ > kMostExtras) throw Stop{};
  const std::string_view rest = source_.text().substr(place(mark));
  const std::size_t end = std::min(rest.find_first_of(" \t\r\n,]}"), rest.size());
  refuse("N108", mark, end, fmt::format("{} can't be used here", what))
      .note("write the value out in each place");
}

void TreeBuilder::check(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor) {
  const std::string_view rest = source_.text().substr(place(mark));
  if (anchor != 0) {
    refuse_extra(mark, "an anchor");
  } else if (rest.starts_with('!') && tag != "?") {
    refuse_extra(mark, "a tag");
  }
}

// The bracketed text from its bracket to its end on the same line; else one character.
Span TreeBuilder::span(const YAML::Mark& mark) const {
  const std::size_t start = place(mark);
  const std::string_view rest = source_.text().substr(start, kLongestExtent);
  if (!rest.starts_with('[') && !rest.starts_with('{')) return source_.span(start, 1);
  std::size_t depth = 0;
  for (std::size_t i = 0; i < rest.size() && rest[i] != '\n' && rest[i] != '\r'; ++i) {
    if (rest[i] == '[' || rest[i] == '{') ++depth;
    if ((rest[i] == ']' || rest[i] == '}') && --depth == 0) return source_.span(start, i + 1);
  }
  return source_.span(start, 1);
}

Span TreeBuilder::scalar_span(std::size_t start, const std::string& value) const {
  const std::string_view rest = source_.text().substr(start);
  if (rest.starts_with('"') || rest.starts_with('\'')) {
    const std::string_view line = rest.substr(0, rest.find_first_of("\r\n"));
    const std::size_t end = Brackets::quote_end(line, 0);
    return source_.span(start, end == std::string_view::npos ? line.size() : end + 1);
  }
  if (rest.starts_with(value) && !value.empty()) return source_.span(start, value.size());
  if (rest.starts_with('|') || rest.starts_with('>') || value.empty()) return source_.span(start, 1);
  const std::string_view line = rest.substr(0, rest.find_first_of("\r\n"));
  return source_.span(start, std::min(line.size(), value.size()));
}

// A text as it can be shown: its line breaks and tabs are spaces, and what an escape hides is refused.
std::string TreeBuilder::seen(const YAML::Mark& mark, const std::string& value) {
  const bool plain = std::all_of(value.begin(), value.end(), [](char c) { return c >= 0x20 && c < 0x7F; });
  if (plain) return value;
  std::string shown = value;
  std::replace_if(
      shown.begin(), shown.end(), [](char c) { return c == '\n' || c == '\r' || c == '\t'; }, ' ');
  while (shown.ends_with(' ') && !value.ends_with(' ')) shown.pop_back();
  for (std::string_view rest = shown; !rest.empty(); rest.remove_prefix(text::character_length(rest))) {
    const char32_t character = text::character_at(rest);
    if (!text::is_unseen(character)) continue;
    refuse("N102", mark, 1,
           fmt::format("a character that can't be seen, U+{:04X}, in a text",
                       static_cast<std::uint32_t>(character)));
    break;
  }
  return shown;
}

void TreeBuilder::settle(std::size_t next) {
  if (!pending_) return;
  const std::size_t start = *pending_;
  pending_.reset();
  if (start != next) {
    const std::string_view rest = source_.text().substr(start);
    for (const std::string_view word : {"~", "null", "Null", "NULL"}) {
      if (!rest.starts_with(word)) continue;
      add(Node{Node::Kind::Text, source_.span(start, word.size()), std::string(word), {}});
      return;
    }
  }
  add(Node{Node::Kind::Nothing, source_.span(start, 1), {}, {}});
}

void TreeBuilder::add(Node node) {
  if (++nodes_ > kMostNodes) {
    refused_ = true;
    diagnostics_.error("N103", node.at, fmt::format("more than {} entries in one file", kMostNodes));
    throw Stop{};
  }
  if (open_.empty()) {
    root_ = std::move(node);
  } else {
    open_.back().items.push_back(std::move(node));
  }
}

void TreeBuilder::open(Node node) {
  if (open_.size() >= kDeepest) {
    refused_ = true;
    diagnostics_.error("N104", node.at, fmt::format("nested more than {} deep", kDeepest));
    throw Stop{};
  }
  open_.push_back(std::move(node));
}

void TreeBuilder::close() {
  settle(std::string_view::npos);
  Node node = std::move(open_.back());
  open_.pop_back();
  // A value left out has the place of what follows; the key says better where it is missing.
  if (node.kind == Node::Kind::Map) {
    for (std::size_t i = 0; i < node.pairs(); ++i) {
      if (node.value(i).kind == Node::Kind::Nothing) node.items[2 * i + 1].at = node.key(i).at;
      if (node.key(i).kind == Node::Kind::Text && node.key(i).text == "<<") {
        refused_ = true;
        diagnostics_.error("N108", node.key(i).at, "a merge key can't be used here")
            .note("write the values out in each place");
      }
    }
  }
  add(std::move(node));
}

}  // namespace lugwise::intake::inside
