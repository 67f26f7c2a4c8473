// The keys of one map, checked: unknown, repeated and missing keys and values left out are reported where they stand.
#pragma once

#include <initializer_list>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "handling/workload.h"
#include "intake/inside/tree.h"
#include "intake/value.h"

namespace lugwise::intake::inside {

class Fields {
 public:
  // `what` names the map in messages: "a pot". `at` is where a missing key is reported: the map's own name.
  // `may_be_bare`, a key: of it nothing is something that can be said.
  Fields(const Node& map, std::string what, Span at, std::initializer_list<std::string_view> known,
         Diagnostics& diagnostics, std::string_view may_be_bare = {});
  Fields(const Node& map, std::string what, Span at, std::span<const std::string_view> known,
         Diagnostics& diagnostics, std::string_view may_be_bare = {});

  // The name of what the map describes, for messages on what is missing: "the capacitor 'cap' needs 'value'".
  void call(const std::string& name) { name_ = name; }

  // The value of a key; null where the key is absent or its value is left out.
  const Node* find(std::string_view key) const;
  // The same, and the absence is reported; not where a mistyped key was probably meant to be this one.
  const Node* need(std::string_view key);
  bool given(std::string_view key) const;     // the key is there, whatever its value
  bool mistyped(std::string_view key) const;  // an unknown key was probably meant to be this one
  Span key_span(std::string_view key) const;

  // Whether nothing was wrong with the keys so far.
  bool fine() const { return fine_; }

 private:
  // `value_before` is that of the key before it, or null.
  void refuse_key(const Node& key, const Node& value, const Node* value_before,
                  std::span<const std::string_view> known);

  struct Field {
    std::string_view key;
    Span at;
    const Node* value;
  };
  std::string what_;
  std::string name_;
  Span at_;
  std::vector<Field> fields_;
  std::vector<std::string> mistyped_;  // keys that unknown ones were probably meant to be
  Diagnostics& diagnostics_;
  bool fine_ = true;
};

// What kind of thing a node is, in words: "a list", "the text 'x'".
std::string described(const Node& node);

// A text of two points or more as the list it was probably meant to be: "[volume.2, jack.tip]" of "volume.2 -> jack.tip";
// empty where it is none.
std::string meant_list(const Node& node);

// The node as what it has to be, or null after reporting that it isn't. `what` begins the sentence: "the joints".
const Node* as_list(const Node& node, std::string_view what, Diagnostics& diagnostics);
const Node* as_map(const Node& node, std::string_view what, Diagnostics& diagnostics);
const std::string* as_text(const Node& node, std::string_view what, Diagnostics& diagnostics);

// `true` or `false`.
std::optional<bool> as_flag(const Node& node, std::string_view what, Diagnostics& diagnostics);

// A text that has to be a name: letters, digits, - and _.
bool is_name(std::string_view text);
const std::string* as_name(const Node& node, std::string_view what, Diagnostics& diagnostics);

// A list of texts; a single text stands for a list of one.
std::optional<std::vector<const Node*>> as_texts(const Node& node, std::string_view what,
                                                 Diagnostics& diagnostics);

// A value read by one of the parsers of value.h and its limits, both included.
struct Limits {
  double least;
  double most;
  const char* words;  // "more than 0 and at most 1G"
};
inline constexpr Limits kLevelLimits{1, kLevels, "from 1 to 4"};  // of exercises
std::optional<double> as_value(const Node& node, std::string_view what, std::string code,
                               Parsed<double> (*parser)(std::string_view), Limits limits,
                               Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
