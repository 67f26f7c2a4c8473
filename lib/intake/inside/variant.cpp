#include "intake/inside/variant.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>
#include <vector>

#include "intake/inside/fields.h"
#include "intake/inside/overlay.h"

namespace lugwise::intake::inside {
namespace {

constexpr std::size_t kMostBases = 8;
constexpr std::size_t kMostBytes = 8'000'000;

void put_file(Node& node, std::uint32_t file) {
  node.at.file = file;
  for (Node& item : node.items) put_file(item, file);
}

class Reader {
 public:
  Reader(const NetlistSources& sources, Diagnostics& diagnostics, std::string& read)
      : sources_(sources), diagnostics_(diagnostics), read_(read) {}

  std::optional<Node> tree(std::string_view text, const std::string& file, bool base) {
    read_ += text;
    if (!base) {
      const SourceText source(text);
      auto root = parse_tree(source, diagnostics_);
      return root ? with_base(std::move(*root), file) : std::nullopt;
    }
    const std::uint32_t number = diagnostics_.add_file(file);
    Diagnostics own(file);
    const SourceText source(text);
    auto root = parse_tree(source, own);
    diagnostics_.take_over(own, number);
    if (!root) return std::nullopt;
    put_file(*root, number);
    return with_base(std::move(*root), file);
  }

 private:
  std::optional<Node> with_base(Node root, const std::string& file) {
    Node* from = value_of(root, "from");
    if (!from) {
      refuse_alone(root);
      return root;
    }
    const Node named = *from;
    const auto fail = [&](std::string code, std::string problem,
                          std::string hint = {}) -> std::optional<Node> {
      Diagnostic& error = diagnostics_.error(std::move(code), named.at, std::move(problem));
      if (!hint.empty()) error.note(std::move(hint));
      return std::nullopt;
    };
    const std::string* name =
        named.kind == Node::Kind::Nothing ? nullptr : as_text(named, "'from'", diagnostics_);
    if (!name) {
      if (named.kind == Node::Kind::Nothing) return fail("N115", "nothing is given for 'from'");
      return std::nullopt;
    }
    if (!sources_.open) return fail("N501", "no other file can be read here, so 'from' can't be followed");
    if (chain_.empty()) chain_.push_back(sources_.open(file, file).name);
    const OpenedNetlist opened = sources_.open(*name, file);
    if (!opened.text) return fail("N501", fmt::format("can't read '{}': {}", *name, opened.problem));
    if (std::find(chain_.begin(), chain_.end(), opened.name) != chain_.end())
      return fail("N502", fmt::format("'{}' starts from itself", *name));
    if (chain_.size() > kMostBases)
      return fail("N502", fmt::format("more than {} files start one from another", kMostBases));
    if (read_.size() + opened.text->size() > kMostBytes) return fail("N502", "too much text in all");
    chain_.push_back(opened.name);
    auto base = tree(*opened.text, opened.name, true);
    if (!base) return std::nullopt;
    if (base->kind != Node::Kind::Map || !value_of(*base, "parts"))
      return fail("N501", fmt::format("'{}' is no netlist: it has no 'parts'", *name));
    return laid_over(std::move(*base), std::move(root), diagnostics_);
  }

  // Only with 'from' there is something to take parts off.
  void refuse_alone(Node& root) {
    for (std::size_t i = 0; root.kind == Node::Kind::Map && i < root.pairs(); ++i) {
      if (root.key(i).text != "without") continue;
      diagnostics_.error("N411", root.key(i).at, "'without' takes parts off the netlist that 'from' names")
          .note("parts not there yet are given under 'stages'");
      erase_key(root, "without");
      return;
    }
  }

  const NetlistSources& sources_;
  Diagnostics& diagnostics_;
  std::string& read_;
  std::vector<std::string> chain_;
};

}  // namespace

std::optional<Node> whole_tree(std::string_view text, const NetlistSources& sources, Diagnostics& diagnostics,
                               std::string& read) {
  return Reader(sources, diagnostics, read).tree(text, diagnostics.file(), false);
}

}  // namespace lugwise::intake::inside
