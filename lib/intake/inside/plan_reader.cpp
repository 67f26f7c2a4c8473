#include "intake/inside/plan_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "handling/aim.h"
#include "intake/inside/fields.h"

namespace lugwise::intake::inside {
namespace {

bool is_hexadecimal(char c) {
  return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
}

void read_id(const Node& id, PlanReference& plan, Diagnostics& diagnostics) {
  const std::string* text = as_text(id, "the plan's id", diagnostics);
  if (!text) return;
  if (text->size() < 6 || text->size() > 64 || !std::all_of(text->begin(), text->end(), is_hexadecimal)) {
    diagnostics.error("R306", id.at, fmt::format("not a plan's id: '{}'", text->substr(0, 100)))
        .note("it is six or more of the digits 0 to 9 and a to f, as the plan shows it");
    return;
  }
  for (const char c : *text) plan.id += c >= 'A' && c <= 'F' ? static_cast<char>(c - 'A' + 'a') : c;
}

// One of a few words, which `find` knows.
template <class Choice>
void read_choice(const Fields& fields, const char* key, std::optional<Choice> (*find)(std::string_view),
                 const char* told, Choice& choice, Diagnostics& diagnostics) {
  const Node* const node = fields.find(key);
  const std::string* const text = node ? as_text(*node, fmt::format("'{}'", key), diagnostics) : nullptr;
  if (!text) return;
  if (const auto found = find(*text)) {
    choice = *found;
    return;
  }
  diagnostics.error("N207", node->at,
                    fmt::format("'{}' must be {}, not '{}'", key, told, text->substr(0, 100)));
}

}  // namespace

PlanRead read_plan(const Node& node, Span at, PlanOf of, Diagnostics& diagnostics) {
  PlanRead read;
  PlanReference& plan = read.plan;
  plan.at = at;
  if (!as_map(node, "'plan'", diagnostics)) return read;
  std::vector<std::string_view> keys{"id", "stage", "depth", "aim"};
  if (of == PlanOf::Readings) keys.insert(keys.end(), {"lift", "after"});
  Fields fields(node, "'plan'", at, std::move(keys), diagnostics);
  if (const Node* id = fields.need("id")) {
    plan.at = id->at;
    read_id(*id, plan, diagnostics);
  }
  read.stage = fields.find("stage");
  const std::string* stage = read.stage ? as_text(*read.stage, "'stage'", diagnostics) : nullptr;
  if (stage) {
    plan.stage = *stage;
  } else {
    read.stage = nullptr;
  }
  read_choice(fields, "depth", find_depth, "outside or full", plan.depth, diagnostics);
  read_choice(fields, "aim", find_aim, "usual, thorough or quick", plan.aim, diagnostics);
  if (of == PlanOf::Batch) return read;
  if (const Node* lift = fields.find("lift"))
    plan.lift = as_flag(*lift, "'lift'", diagnostics).value_or(false);
  if (const Node* after = fields.find("after")) {
    if (const std::string* text = as_text(*after, "'after'", diagnostics)) plan.after = *text;
  }
  return read;
}

}  // namespace lugwise::intake::inside
