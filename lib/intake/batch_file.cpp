#include "intake/batch_file.h"

#include <fmt/format.h>

#include <string>

#include "intake/inside/fields.h"
#include "intake/inside/meter_map.h"
#include "intake/inside/plan_reader.h"
#include "intake/inside/tree.h"
#include "intake/inside/unit_reader.h"
#include "intake/inside/values_reader.h"

namespace lugwise {
namespace {

using namespace intake::inside;

bool is_batch(const Node& root, Diagnostics& diagnostics) {
  for (std::size_t i = 0; root.kind == Node::Kind::Map && i < root.pairs(); ++i) {
    if (root.key(i).text != "lugwise-batch") continue;
    if (root.value(i).text == "1") return true;
    diagnostics
        .error("U351", root.value(i).at,
               fmt::format("version '{}' of a batch is not one this program reads",
                           root.value(i).text.substr(0, 60)))
        .note("it reads version 1");
    return false;
  }
  diagnostics.error("U351", {}, "not the head of a batch: 'lugwise-batch: 1' is missing");
  return false;
}

void take(const Fields& fields, const char* key, std::string& text, Diagnostics& diagnostics) {
  const Node* const node = fields.find(key);
  const std::string* const found = node ? as_text(*node, fmt::format("'{}'", key), diagnostics) : nullptr;
  if (found) text = *found;
}

}  // namespace

std::optional<BatchHead> read_batch_file(std::string_view text, Diagnostics& diagnostics) {
  const SourceText source(text);
  const auto root = parse_tree(source, diagnostics);
  if (!root || !is_batch(*root, diagnostics)) return std::nullopt;
  Fields fields(
      *root, "a batch", root->at,
      {"lugwise-batch", "harness", "harness-id", "values", "plan", "meter", "temperature", "unit", "rule"},
      diagnostics);
  BatchHead head;
  fields.need("harness");
  take(fields, "harness", head.harness_file, diagnostics);
  take(fields, "harness-id", head.harness_id, diagnostics);
  if (const Node* node = fields.find("values")) head.values = read_values(*node, diagnostics);
  if (const Node* node = fields.need("plan"))
    head.plan = read_plan(*node, fields.key_span("plan"), PlanOf::Batch, diagnostics).plan;
  if (const Node* node = fields.find("meter"))
    head.meter = read_meter_map(*node, fields.key_span("meter"), diagnostics);
  if (const Node* node = fields.find("temperature")) head.temperature = read_temperature(*node, diagnostics);
  if (const Node* node = fields.find("unit"))
    head.unit = read_unit(*node, fields.key_span("unit"), diagnostics);
  if (diagnostics.failed()) return std::nullopt;
  return head;
}

}  // namespace lugwise
