#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "drawing/drawing.h"

namespace lugwise {
namespace {

// A strand as it is told apart: what it is called, and what it joins.
struct Tie {
  std::string id;
  std::string ends;  // "jack.tip and volume.2"
  std::string words;
  std::size_t strand = 0;
  bool named = true;
};

std::string surface_of(const Harness& harness, PointId point) {
  const Point& at = harness[point];
  return at.on ? harness[*at.on].name : at.name;
}

std::vector<Tie> ties_of(const Harness& harness, const Layout& layout) {
  std::vector<Tie> ties;
  std::map<std::string, int> seen;
  for (std::size_t i = 0; i < layout.strands.size(); ++i) {
    const Strand& strand = layout.strands[i];
    std::string a = surface_of(harness, strand.from), b = surface_of(harness, strand.to);
    Tie tie;
    tie.strand = i;
    tie.words = fmt::format("from {} to {}", a, b);
    if (b < a) std::swap(a, b);
    tie.ends = a + " and " + b;
    if (strand.kind == Strand::Kind::Lead) {
      tie.id = "lead " + harness[strand.from].name;
      tie.words = "lead " + tie.words;
    } else if (strand.kind == Strand::Kind::Touch) {
      tie.id = "touch " + tie.ends;
      tie.words = "touch " + tie.words;
    } else {
      const Wire& wire = harness[*strand.wire];
      tie.named = !wire.name.empty();
      tie.id = (wire.braid ? "braid " : "wire ") + (tie.named ? wire.name : tie.ends);
      tie.words =
          fmt::format("{}{} {}", wire.braid ? "braid" : "wire", tie.named ? " " + wire.name : "", tie.words);
    }
    tie.id += fmt::format(" {}", ++seen[tie.id]);
    ties.push_back(std::move(tie));
  }
  return ties;
}

const PlacedPart* part_named(const Harness& harness, const Layout& layout, const std::string& name) {
  for (const PlacedPart& part : layout.parts) {
    if (harness[part.part].name == name) return &part;
  }
  return nullptr;
}

class Comparison {
 public:
  Comparison(const Harness& before, const Layout& layout_before, const Harness& after,
             const Layout& layout_after)
      : before_(before), layout_before_(layout_before), after_(after), layout_after_(layout_after) {
    overlaid_ =
        std::all_of(layout_after.parts.begin(), layout_after.parts.end(), [&](const PlacedPart& part) {
          const PlacedPart* was = part_named(before, layout_before, after[part.part].name);
          return !was || was->corner == part.corner;
        });
  }

  std::vector<Alteration> changes() {
    compare_parts();
    compare_ties();
    return std::move(changes_);
  }

 private:
  void compare_parts() {
    for (const PlacedPart& part : layout_after_.parts) {
      if (!part_named(before_, layout_before_, after_[part.part].name))
        changes_.push_back({Alteration::Kind::Added, after_[part.part].name, std::nullopt, part.part, {}});
    }
    for (const PlacedPart& part : layout_before_.parts) {
      if (!part_named(after_, layout_after_, before_[part.part].name))
        changes_.push_back(
            {Alteration::Kind::TakenOff, before_[part.part].name, std::nullopt, std::nullopt, {}});
    }
  }

  std::vector<Cell> path_before(const Tie& tie) const {
    return overlaid_ ? layout_before_.strands[tie.strand].path : std::vector<Cell>{};
  }

  void moved(const Tie& was, const Tie& now) {
    changes_.push_back({Alteration::Kind::Moved, fmt::format("{}; it was {}", now.words, was.words),
                        now.strand, std::nullopt, path_before(was)});
  }

  void compare_ties() {
    std::vector<Tie> was = ties_of(before_, layout_before_), now = ties_of(after_, layout_after_);
    const auto drop = [](std::vector<Tie>& ties, const std::set<std::size_t>& strands) {
      ties.erase(std::remove_if(ties.begin(), ties.end(),
                                [&](const Tie& tie) { return strands.count(tie.strand) > 0; }),
                 ties.end());
    };
    const auto pair = [&](const auto& alike, const auto& take) {
      std::set<std::size_t> old_done, new_done;
      for (const Tie& one : now) {
        const auto other = std::find_if(was.begin(), was.end(), [&](const Tie& tie) {
          return old_done.count(tie.strand) == 0 && alike(tie, one);
        });
        if (other == was.end()) continue;
        take(*other, one);
        old_done.insert(other->strand);
        new_done.insert(one.strand);
      }
      drop(was, old_done);
      drop(now, new_done);
    };
    pair([](const Tie& a, const Tie& b) { return a.id == b.id && a.ends == b.ends; },
         [](const Tie&, const Tie&) {});
    pair([](const Tie& a, const Tie& b) { return a.id == b.id; },
         [&](const Tie& a, const Tie& b) { moved(a, b); });
    // A wire without a name that keeps one of its ends.
    const auto one_end = [](const Tie& a, const Tie& b) {
      if (a.named || b.named) return false;
      const auto split = [](const std::string& ends) {
        const std::size_t at = ends.find(" and ");
        return std::pair(ends.substr(0, at), ends.substr(at + 5));
      };
      const auto [a1, a2] = split(a.ends);
      const auto [b1, b2] = split(b.ends);
      return a1 == b1 || a1 == b2 || a2 == b1 || a2 == b2;
    };
    pair(one_end, [&](const Tie& a, const Tie& b) { moved(a, b); });
    for (const Tie& tie : now)
      changes_.push_back({Alteration::Kind::Added, tie.words, tie.strand, std::nullopt, {}});
    for (const Tie& tie : was)
      changes_.push_back(
          {Alteration::Kind::TakenOff, tie.words, std::nullopt, std::nullopt, path_before(tie)});
  }

  const Harness& before_;
  const Layout& layout_before_;
  const Harness& after_;
  const Layout& layout_after_;
  bool overlaid_ = false;  // what both have stands at the same places
  std::vector<Alteration> changes_;
};

}  // namespace

std::vector<Alteration> changes_between(const Harness& before, const Layout& layout_before,
                                        const Harness& after, const Layout& layout_after) {
  return Comparison(before, layout_before, after, layout_after).changes();
}

}  // namespace lugwise
