#include "intake/inside/tree.h"

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <sstream>
#include <string_view>
#include <utility>

#include "text/character.h"
#include "text/safe.h"

namespace lugwise::intake::inside {
namespace {

constexpr std::size_t kLargest = 16u << 20;  // bytes
// Brackets, commas and such: the YAML scanner keeps some 240 bytes for each until the outermost bracket is closed.
constexpr std::size_t kMostMarks = 1'000'000;
constexpr std::size_t kMostNodes = 1'200'000;
constexpr std::size_t kDeepest = 40;
constexpr std::size_t kLongestText = 2000;   // bytes of one name, remark or value
constexpr std::size_t kLongestExtent = 400;  // bytes of a bracketed list or map that are underlined

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

// Walks over brackets, skipping quotes and comments well enough for netlists; block scalars are not recognised.
class Brackets {
 public:
  explicit Brackets(std::string_view text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
      const char c = text[i];
      const bool starts =
          i == 0 || std::string_view(" \t\n\r[]{},").find(text[i - 1]) != std::string_view::npos;
      if (c == '#' && starts) {
        while (i + 1 < text.size() && text[i + 1] != '\n') ++i;
      } else if ((c == '"' || c == '\'') && starts) {
        const std::size_t end = quote_end(text, i);
        if (end == std::string_view::npos) {
          open_quote_ = i;
          return;
        }
        i = end;
      } else if (c == '[' || c == '{') {
        open_.push_back(i);
        if (open_.size() > kDeepest && !too_deep_) too_deep_ = i;
      } else if (c == ']' || c == '}') {
        if (open_.empty()) continue;
        if ((text[open_.back()] == '[') != (c == ']')) {
          if (!mismatch_) mismatch_ = std::pair(open_.back(), i);
        }
        open_.pop_back();
      }
    }
  }

  static std::size_t quote_end(std::string_view text, std::size_t start) {
    const char quote = text[start];
    for (std::size_t i = start + 1; i < text.size(); ++i) {
      if (quote == '"' && text[i] == '\\') {
        ++i;
      } else if (text[i] == quote) {
        if (quote == '\'' && i + 1 < text.size() && text[i + 1] == quote) {
          ++i;
          continue;
        }
        return i;
      }
    }
    return std::string_view::npos;
  }

  std::optional<std::size_t> too_deep() const { return too_deep_; }
  std::optional<std::size_t> open_quote() const { return open_quote_; }
  std::optional<std::pair<std::size_t, std::size_t>> mismatch() const { return mismatch_; }
  std::optional<std::size_t> unclosed() const {
    if (open_.empty()) return std::nullopt;
    return open_.back();
  }

 private:
  std::vector<std::size_t> open_;
  std::optional<std::size_t> too_deep_, open_quote_;
  std::optional<std::pair<std::size_t, std::size_t>> mismatch_;
};

// Thrown from an event to stop the parser; the reason is already reported.
struct Stop {};

class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(const SourceText& source, std::size_t offset, Diagnostics& diagnostics)
      : source_(source), offset_(offset), diagnostics_(diagnostics) {}

  bool refused() const { return refused_; }

  Node take() {
    settle(std::string_view::npos);
    return root_ ? std::move(*root_) : Node{};
  }

  void OnDocumentStart(const YAML::Mark& mark) override {
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
  void OnDocumentEnd() override { settle(std::string_view::npos); }

  // `null` and `~` are texts to us, but the parser reports them like a value that isn't there. Which it was shows at
  // the next event: a value that isn't there has the place of what follows it.
  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    settle(place(mark));
    check(mark, "?", anchor);
    pending_ = place(mark);
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
    settle(place(mark));
    refuse_extra(mark, "an alias");
    add(Node{Node::Kind::Text, span(mark), {}, {}});
  }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
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
  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value) override {
    settle(place(mark));
    check(mark, tag, anchor);
    open(Node{Node::Kind::List, span(mark), {}, {}});
  }
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value) override {
    settle(place(mark));
    check(mark, tag, anchor);
    open(Node{Node::Kind::Map, span(mark), {}, {}});
  }
  void OnMapEnd() override { close(); }

 private:
  std::size_t place(const YAML::Mark& mark) const {
    const std::size_t at = offset_ + static_cast<std::size_t>(std::max(mark.pos, 0));
    return std::min(at, source_.text().size());
  }

  Diagnostic& refuse(std::string code, const YAML::Mark& mark, std::size_t bytes, std::string message) {
    refused_ = true;
    return diagnostics_.error(std::move(code), source_.span(place(mark), bytes), std::move(message));
  }

  // A file full of anchors is one problem, not thousands.
  void refuse_extra(const YAML::Mark& mark, std::string_view what) {
    constexpr int kMostExtras = 20;
    if (++extras_ > kMostExtras) throw Stop{};
    const std::string_view rest = source_.text().substr(place(mark));
    const std::size_t end = std::min(rest.find_first_of(" \t\r\n,]}"), rest.size());
    refuse("N108", mark, end, fmt::format("{} can't be used here", what))
        .note("write the value out in each place");
  }

  void check(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor) {
    const std::string_view rest = source_.text().substr(place(mark));
    if (anchor != 0) {
      refuse_extra(mark, "an anchor");
    } else if (rest.starts_with('!') && tag != "?") {
      refuse_extra(mark, "a tag");
    }
  }

  // The bracketed text from its bracket to its end on the same line; else one character.
  Span span(const YAML::Mark& mark) const {
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

  Span scalar_span(std::size_t start, const std::string& value) const {
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
  std::string seen(const YAML::Mark& mark, const std::string& value) {
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

  void settle(std::size_t next) {
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

  void add(Node node) {
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

  void open(Node node) {
    if (open_.size() >= kDeepest) {
      refused_ = true;
      diagnostics_.error("N104", node.at, fmt::format("nested more than {} deep", kDeepest));
      throw Stop{};
    }
    open_.push_back(std::move(node));
  }

  void close() {
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

  const SourceText& source_;
  std::size_t offset_;
  Diagnostics& diagnostics_;
  std::optional<Node> root_;
  std::vector<Node> open_;
  std::optional<std::size_t> pending_;
  std::size_t nodes_ = 0;
  int documents_ = 0;
  int extras_ = 0;
  bool refused_ = false;
};

// Whether a bracket stands where a list or a map may begin, and not within a text.
bool begins_value(std::string_view text, std::size_t bracket) {
  const std::size_t before = text.substr(0, bracket).find_last_not_of(" \t");
  return before == std::string_view::npos ||
         std::string_view(":-,[{\r\n").find(text[before]) != std::string_view::npos;
}

// The parser's complaint in our words; its own where we know none better.
void report_syntax(const SourceText& source, std::size_t offset, const YAML::Exception& problem,
                   const Brackets& brackets, Diagnostics& diagnostics) {
  const std::string_view text = source.text();
  const std::size_t at =
      std::min(offset + static_cast<std::size_t>(std::max(problem.mark.pos, 0)), text.size());
  const std::string& said = problem.msg;
  const auto says = [&](std::string_view words) { return said.find(words) != std::string::npos; };
  if (brackets.open_quote() && (says("EOF in scalar") || says("illegal") || says("end of"))) {
    diagnostics.error("N106", source.span(*brackets.open_quote(), 1), "a quote is opened and never closed");
    return;
  }
  if (says("map flow") || says("sequence flow") || says("flow end") || says("end of map") ||
      says("end of sequence")) {
    if (const auto pair = brackets.mismatch()) {
      diagnostics
          .error("N106", source.span(pair->second, 1),
                 fmt::format("'{}' does not close '{}'", text[pair->second], text[pair->first]))
          .note(fmt::format("'{}' was opened", text[pair->first]), source.span(pair->first, 1));
      return;
    }
    if (const auto open = brackets.unclosed()) {
      diagnostics.error("N106", source.span(*open, 1),
                        fmt::format("'{}' is opened and never closed", text[*open]));
      return;
    }
  }
  if (says("flow end")) {
    diagnostics.error("N106", source.span(at, 1), "a bracket is closed that was never opened");
    return;
  }
  const Span here = source.span(at, 1);
  const std::string_view line = source.line(here.line);
  const std::size_t tab = line.find_first_not_of(' ');
  if (says("tab") || (tab != std::string_view::npos && line[tab] == '\t')) {
    Span where = here;
    if (tab != std::string_view::npos && line[tab] == '\t')
      where = {here.line, static_cast<std::uint32_t>(tab + 1), 1};
    diagnostics.error("N107", where, "a tab can't be used to indent").note("indent with spaces");
    return;
  }
  if (says("alias") || says("anchor")) {
    diagnostics.error("N108", here, "an anchor or alias can't be used here")
        .note("write the value out in each place");
    return;
  }
  if (says("escape")) {  // the parser is already past the letter
    diagnostics
        .error("N105", source.span(at - std::min<std::size_t>(at, 1), 1), "no such escape in a quoted text")
        .note("in double quotes a backslash is written '\\\\'");
    return;
  }
  // A bracket left open swallows the lines below it; what the parser stumbles over comes later.
  if (const auto open = brackets.unclosed(); open && *open < at && begins_value(text, *open)) {
    diagnostics.error("N106", source.span(*open, 1),
                      fmt::format("'{}' is opened and never closed", text[*open]));
    return;
  }
  Diagnostic& error = diagnostics.error("N105", here, "this line can't be read as YAML");
  if (says("illegal map value")) {
    const std::size_t line_start = text.substr(0, at).find_last_of("\r\n") + 1;  // 0 on the first line
    if (text.substr(line_start, at - line_start).find(": ") != std::string_view::npos) {
      error.note("a second ': ' on one line; a text with ': ' in it goes between quotes");
    } else {
      error.note("the line before has no ': ', or this one is not in line with its neighbours");
    }
  } else if (says("end of map")) {
    error.note("expected 'key: value', in line with the other keys");
  } else if (says("end of sequence") || says("block entry")) {
    error.note("expected '- ', in line with the other entries");
  } else if (says("unknown token")) {
    error.note("put a text that begins with such a mark between quotes");
  } else {
    error.note("the YAML reader says: " + said);
  }
}

}  // namespace

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
