// From the YAML parser's events to a tree: what YAML knows and we don't is refused where it stands.
#pragma once

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/mark.h>

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "intake/inside/tree.h"
#include "source/diagnostic.h"
#include "source/source_text.h"

namespace lugwise::intake::inside {

// Thrown from an event to stop the parser; the reason is already reported.
struct Stop {};

// Each event may throw Stop, and nothing else of ours.
class TreeBuilder : public YAML::EventHandler {
 public:
  // The parser was given the source from `offset` on.
  TreeBuilder(const SourceText& source, std::size_t offset, Diagnostics& diagnostics)
      : source_(source), offset_(offset), diagnostics_(diagnostics) {}

  bool refused() const { return refused_; }

  // The whole tree, once all events have come; Node::Kind::Nothing of an empty file.
  Node take();

  void OnDocumentStart(const YAML::Mark& mark) override;
  void OnDocumentEnd() override { settle(std::string_view::npos); }
  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override;
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t anchor) override;
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override;
  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value style) override;
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value style) override;
  void OnMapEnd() override { close(); }

 private:
  std::size_t place(const YAML::Mark& mark) const;
  Diagnostic& refuse(std::string code, const YAML::Mark& mark, std::size_t bytes, std::string message);
  void refuse_extra(const YAML::Mark& mark, std::string_view what);
  void check(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor);
  Span span(const YAML::Mark& mark) const;
  Span scalar_span(std::size_t start, const std::string& value) const;
  std::string seen(const YAML::Mark& mark, const std::string& value);
  void settle(std::size_t next);
  void add(Node node);
  void open(Node node);
  void close();

  const SourceText& source_;
  std::size_t offset_;
  Diagnostics& diagnostics_;
  std::optional<Node> root_;
  std::vector<Node> open_;
  std::optional<std::size_t> pending_;  // a value that may be left out
  std::size_t nodes_ = 0;
  int documents_ = 0;
  int extras_ = 0;
  bool refused_ = false;
};

}  // namespace lugwise::intake::inside
