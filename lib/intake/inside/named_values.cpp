#include "intake/inside/named_values.h"

#include <fmt/format.h>

#include <set>
#include <string>
#include <unordered_map>

#include "intake/inside/fields.h"
#include "intake/inside/given_once.h"
#include "source/nearest.h"

namespace lugwise::intake::inside {
namespace {

class NamedValues {
 public:
  explicit NamedValues(Diagnostics& diagnostics) : diagnostics_(diagnostics) {}

  // False: it is no map, which is told.
  bool read(const Node& given) {
    if (!as_map(given, "'values'", diagnostics_)) return false;
    GivenOnce<std::string> seen(diagnostics_);
    for (std::size_t i = 0; i < given.pairs(); ++i) {
      const Node& key = given.key(i);
      const std::string* name = as_name(key, "a value's name", diagnostics_);
      if (!name || !as_text(given.value(i), fmt::format("the value '{}'", *name), diagnostics_)) continue;
      if (!seen.take(*name, key.at, "N113", [&] { return fmt::format("value '{}' is given twice", *name); }))
        continue;
      values_.emplace(*name, given.value(i));
      names_.push_back(*name);
      given_at_.emplace(*name, key.at);
    }
    return true;
  }

  // Another value for one of them, from elsewhere.
  void give(const ChosenValue& value) {
    Span at = value.at;
    at.file = diagnostics_.add_file(value.file.empty() ? fmt::format("--value {}={}", value.name, value.text)
                                                       : value.file);
    Node* const known = find_value(value.name, at);
    if (!known) return;
    known->text = value.text;
    known->at = at;
  }

  void put_in(Node& node) {
    const bool named =
        node.kind == Node::Kind::Text && node.text.starts_with('$') && is_name(node.text.substr(1));
    if (named) {
      const std::string name = node.text.substr(1);
      const Node* const known = find_value(name, node.at);
      if (!known) return;
      used_.insert(name);
      node = *known;
      return;
    }
    for (std::size_t i = 0; i < node.items.size(); ++i) {
      const bool key = node.kind == Node::Kind::Map && i % 2 == 0;
      if (!key) put_in(node.items[i]);
    }
  }

  void tell_unused() {
    for (const std::string& name : names_) {
      if (used_.count(name) || diagnostics_.failed()) continue;  // an unknown one may be meant for it
      Diagnostic& warning =
          diagnostics_.warning("N504", given_at_.at(name), fmt::format("no '${}' stands anywhere", name));
      if (const auto nearest = nearest_name(name, std::vector<std::string>(used_.begin(), used_.end())))
        warning.note(fmt::format("did you mean '{}'?", *nearest));
    }
  }

 private:
  // Null where there is none of that name, which is told.
  Node* find_value(const std::string& name, Span at) {
    const auto known = values_.find(name);
    if (known != values_.end()) return &known->second;
    Diagnostic& error =
        diagnostics_.error("N503", at, fmt::format("no such value: '{}'", name.substr(0, 100)));
    if (const auto nearest = nearest_name(name, names_)) {
      error.note(fmt::format("nearest name is '{}'", *nearest));
    } else {
      error.note(names_.empty() ? "the netlist has no 'values'"
                                : fmt::format("its values are {}", fmt::join(names_, ", ")));
    }
    return nullptr;
  }

  Diagnostics& diagnostics_;
  std::unordered_map<std::string, Node> values_;
  std::vector<std::string> names_;  // in their order
  std::unordered_map<std::string, Span> given_at_;
  std::set<std::string> used_;
};

}  // namespace

void put_in_values(Node& root, const std::vector<ChosenValue>& chosen, Diagnostics& diagnostics) {
  NamedValues values(diagnostics);
  const Node* const given = value_of(root, "values");
  if (given && given->kind != Node::Kind::Nothing && !values.read(*given)) return;
  for (const ChosenValue& value : chosen) values.give(value);
  erase_key(root, "values");
  values.put_in(root);
  values.tell_unused();
}

}  // namespace lugwise::intake::inside
