#include "intake/inside/tree_text.h"

#include <algorithm>

#include "text/scalar.h"

namespace lugwise::intake::inside {
namespace {

constexpr int kLines = 2;  // levels of them

std::string in_brackets(const Node& node) {
  if (node.kind == Node::Kind::Nothing) return "";
  if (node.kind == Node::Kind::Text) return text::as_scalar(node.text);
  const bool map = node.kind == Node::Kind::Map;
  std::string yaml = map ? "{" : "[";
  for (std::size_t i = 0; i < node.items.size(); ++i) {
    if (i > 0) yaml += map && i % 2 == 1 ? ": " : ", ";
    yaml += in_brackets(node.items[i]);
  }
  return yaml + (map ? "}" : "]");
}

bool holds_more(const Node& node) {
  return std::any_of(node.items.begin(), node.items.end(), [](const Node& item) {
    return item.kind == Node::Kind::List || item.kind == Node::Kind::Map;
  });
}

// The value behind a key.
std::string below(const Node& node, int level) {
  const bool lines = level < kLines && holds_more(node);
  if (!lines) {
    const std::string yaml = in_brackets(node);
    return yaml.empty() ? "\n" : " " + yaml + "\n";
  }
  const std::string indent(static_cast<std::size_t>(level) * 2, ' ');
  std::string yaml = "\n";
  if (node.kind == Node::Kind::List) {
    for (const Node& item : node.items) yaml += indent + "- " + in_brackets(item) + "\n";
  } else {
    for (std::size_t i = 0; i < node.pairs(); ++i)
      yaml += indent + in_brackets(node.key(i)) + ":" + below(node.value(i), level + 1);
  }
  return yaml;
}

}  // namespace

std::string tree_text(const Node& root) {
  std::string yaml;
  for (std::size_t i = 0; i < root.pairs(); ++i)
    yaml += in_brackets(root.key(i)) + ":" + below(root.value(i), 1);
  return yaml;
}

}  // namespace lugwise::intake::inside
