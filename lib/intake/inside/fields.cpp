#include "intake/inside/fields.h"

#include <fmt/format.h>

#include <algorithm>

#include "intake/inside/synonym.h"
#include "text/character.h"

namespace lugwise::intake::inside {

namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// "000" of "250,000".
bool is_thousands(std::string_view text) {
  return text.size() == 3 && std::all_of(text.begin(), text.end(), is_digit);
}

}  // namespace

std::string described(const Node& node) {
  switch (node.kind) {
    case Node::Kind::List:
      return "a list";
    case Node::Kind::Map:
      return "a map";
    case Node::Kind::Text:
      return fmt::format("the text '{}'", node.text.size() > 40 ? "..." : node.text);
    default:
      return "nothing";
  }
}

Fields::Fields(const Node& map, std::string what, Span at, std::initializer_list<std::string_view> known,
               Diagnostics& diagnostics, std::string_view may_be_bare)
    : Fields(map, std::move(what), at, std::span(known.begin(), known.size()), diagnostics, may_be_bare) {}

Fields::Fields(const Node& map, std::string what, Span at, std::span<const std::string_view> known,
               Diagnostics& diagnostics, std::string_view may_be_bare)
    : what_(std::move(what)), at_(at), diagnostics_(diagnostics) {
  for (std::size_t i = 0; i < map.pairs(); ++i) {
    const Node& key = map.key(i);
    const Node& value = map.value(i);
    if (key.kind != Node::Kind::Text) {
      fine_ = false;
      diagnostics_.error("N111", key.at, fmt::format("a key of {} is a word, not {}", what_, described(key)));
      continue;
    }
    const auto place = std::find(known.begin(), known.end(), key.text);
    if (place == known.end()) {
      fine_ = false;
      const Node* const value_before = i > 0 ? &map.value(i - 1) : nullptr;
      refuse_key(key, value, value_before, known);
      continue;
    }
    const auto before =
        std::find_if(fields_.begin(), fields_.end(), [&](const Field& f) { return f.key == key.text; });
    if (before != fields_.end()) {
      fine_ = false;
      diagnostics_.error("N113", key.at, fmt::format("key '{}' is given twice", key.text))
          .note("first given", before->at);
      continue;
    }
    const bool left_out = value.kind == Node::Kind::Nothing;
    if (left_out && key.text != may_be_bare) {
      fine_ = false;
      diagnostics_.error("N115", key.at, fmt::format("nothing is given for '{}'", key.text));
    }
    fields_.push_back({*place, key.at, left_out ? nullptr : &value});
  }
}

void Fields::refuse_key(const Node& key, const Node& value, const Node* value_before,
                        std::span<const std::string_view> known) {
  Diagnostic& error = diagnostics_.error("N112", key.at, fmt::format("{} has no key '{}'", what_, key.text));
  const bool alone = value.kind == Node::Kind::Nothing;
  const std::string first = key.text.substr(0, key.text.find(' '));
  if (alone && first.size() < key.text.size() &&
      std::find(known.begin(), known.end(), first) != known.end()) {
    error.message = fmt::format("a colon is missing after '{}'", first);
    error.note(fmt::format("write '{}: {}'", first, key.text.substr(first.size() + 1)));
    mistyped_.push_back(first);
  } else if (const std::size_t colon = key.text.find(':'); alone && colon != std::string::npos) {
    error.note(fmt::format("a space is needed after the colon: '{}: {}'", key.text.substr(0, colon),
                           key.text.substr(colon + 1)));
    mistyped_.push_back(key.text.substr(0, colon));
  } else if (alone && is_thousands(key.text) && value_before && value_before->kind == Node::Kind::Text &&
             !value_before->text.empty() && is_digit(value_before->text[0])) {
    error.note(fmt::format("a comma begins the next key: did you mean '{}{}'?",
                           text::first_characters(value_before->text, 20), key.text));
  } else if (alone && !key.text.empty() && is_digit(key.text[0])) {
    error.note("the decimal mark is a point; a comma begins the next key");
  } else if (const auto nearest =
                 meant_name(key.text, std::vector<std::string>(known.begin(), known.end()))) {
    error.note(fmt::format("nearest key is '{}'", *nearest));
    mistyped_.push_back(*nearest);
  } else {
    error.note(fmt::format("its keys are {}", fmt::join(known, ", ")));
  }
}

const Node* Fields::find(std::string_view key) const {
  for (const Field& field : fields_) {
    if (field.key == key) return field.value;
  }
  return nullptr;
}

bool Fields::given(std::string_view key) const {
  return std::any_of(fields_.begin(), fields_.end(), [&](const Field& field) { return field.key == key; });
}

bool Fields::mistyped(std::string_view key) const {
  return std::find(mistyped_.begin(), mistyped_.end(), key) != mistyped_.end();
}

Span Fields::key_span(std::string_view key) const {
  for (const Field& field : fields_) {
    if (field.key == key) return field.at;
  }
  return at_;
}

const Node* Fields::need(std::string_view key) {
  const Node* value = find(key);
  if (!value) {
    std::string whose = what_;
    if (!name_.empty()) whose = fmt::format("the {} '{}'", what_.substr(what_.find(' ') + 1), name_);
    if (!given(key) && !mistyped(key))
      diagnostics_.error("N114", at_, fmt::format("{} needs '{}'", whose, key));
    fine_ = false;
  }
  return value;
}

std::string meant_list(const Node& node) {
  const std::string& text = node.text;
  if (node.kind != Node::Kind::Text || text.size() > 200) return {};
  std::string list;
  std::size_t points = 0;
  constexpr std::string_view kBetween = " ,;";
  for (std::size_t i = text.find_first_not_of(kBetween); i < text.size();) {
    const std::size_t end = std::min(text.find_first_of(kBetween, i), text.size());
    const std::string_view word = std::string_view(text).substr(i, end - i);
    if (word.find('.') != std::string_view::npos && word.size() > 2) {
      list += (points++ > 0 ? ", " : "") + std::string(word);
    } else if (word != "->" && word != "-" && word != ">" && word != "to" && word != "and" &&
               word != "\u2192") {
      return {};
    }
    i = std::min(text.find_first_not_of(kBetween, end), text.size());
  }
  return points < 2 ? std::string() : '[' + list + ']';
}

const Node* as_list(const Node& node, std::string_view what, Diagnostics& diagnostics) {
  if (node.kind == Node::Kind::List) return &node;
  Diagnostic& error =
      diagnostics.error("N111", node.at, fmt::format("{} must be a list, not {}", what, described(node)));
  if (const std::string list = meant_list(node); !list.empty()) error.note(fmt::format("write '{}'", list));
  return nullptr;
}

const Node* as_map(const Node& node, std::string_view what, Diagnostics& diagnostics) {
  if (node.kind == Node::Kind::Map) return &node;
  Diagnostic& error = diagnostics.error(
      "N111", node.at, fmt::format("{} must be a map of 'key: value', not {}", what, described(node)));
  const std::size_t equals = node.text.find('=');
  if (node.kind == Node::Kind::List && !node.items.empty() && node.items[0].kind == Node::Kind::Map) {
    error.note("leave out the '- ' before each");
  } else if (node.kind == Node::Kind::Text && equals != std::string::npos &&
             is_name(node.text.substr(0, equals)) && is_name(node.text.substr(equals + 1))) {
    error.note(fmt::format("write '{{{}: {}}}'", node.text.substr(0, equals), node.text.substr(equals + 1)));
  }
  return nullptr;
}

const std::string* as_text(const Node& node, std::string_view what, Diagnostics& diagnostics) {
  if (node.kind == Node::Kind::Text) return &node.text;
  diagnostics.error("N111", node.at, fmt::format("{} must be one value, not {}", what, described(node)));
  return nullptr;
}

std::optional<bool> as_flag(const Node& node, std::string_view what, Diagnostics& diagnostics) {
  const std::string* text = as_text(node, what, diagnostics);
  if (!text) return std::nullopt;
  if (*text == "true") return true;
  if (*text == "false") return false;
  diagnostics.error("N207", node.at, fmt::format("{} must be true or false, not '{}'", what, *text));
  return std::nullopt;
}

bool is_name(std::string_view text) {
  constexpr std::size_t kLongest = 100;
  if (text.empty() || text.size() > kLongest) return false;
  return std::all_of(text.begin(), text.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
  });
}

const std::string* as_name(const Node& node, std::string_view what, Diagnostics& diagnostics) {
  const std::string* text = as_text(node, what, diagnostics);
  if (!text) return nullptr;
  if (is_name(*text)) return text;
  Diagnostic& error =
      diagnostics.error("N201", node.at, fmt::format("not a name: '{}'", text->substr(0, 100)));
  error.note("a name is letters, digits, - and _, at most 100 of them");
  return nullptr;
}

std::optional<std::vector<const Node*>> as_texts(const Node& node, std::string_view what,
                                                 Diagnostics& diagnostics) {
  if (node.kind == Node::Kind::Text) return std::vector<const Node*>{&node};
  if (!as_list(node, what, diagnostics)) return std::nullopt;
  std::vector<const Node*> texts;
  bool fine = true;
  for (const Node& item : node.items) {
    if (as_text(item, "an entry of this list", diagnostics)) {
      texts.push_back(&item);
    } else {
      fine = false;
    }
  }
  if (!fine) return std::nullopt;
  return texts;
}

std::optional<double> as_value(const Node& node, std::string_view what, std::string code,
                               Parsed<double> (*parser)(std::string_view), Limits limits,
                               Diagnostics& diagnostics) {
  const std::string* text = as_text(node, what, diagnostics);
  if (!text) return std::nullopt;
  // A named value that there is none of has been reported there.
  const auto reported = [&](const Diagnostic& other) { return other.code == "N503" && other.at == node.at; };
  if (text->starts_with('$') && std::any_of(diagnostics.list().begin(), diagnostics.list().end(), reported))
    return std::nullopt;
  const Parsed<double> parsed = parser(*text);
  if (!parsed.value) {
    Diagnostic& error = diagnostics.error(std::move(code), node.at, parsed.problem);
    if (!parsed.hint.empty()) error.note(parsed.hint);
    return std::nullopt;
  }
  if (!(*parsed.value >= limits.least && *parsed.value <= limits.most)) {
    diagnostics.error("N309", node.at, fmt::format("{} must be {}, not '{}'", what, limits.words, *text));
    return std::nullopt;
  }
  return parsed.value;
}

}  // namespace lugwise::intake::inside
