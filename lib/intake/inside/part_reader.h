// The `parts` of a netlist: who is there and of which kind, each handed to the reader of its kind.
#pragma once

#include <string>
#include <string_view>
#include <unordered_set>

#include "intake/inside/given_once.h"
#include "intake/inside/part_desk.h"

namespace lugwise::intake::inside {

class PartReader {
 public:
  PartReader(HarnessBuilder& builder, const Tolerances& tolerances, Diagnostics& diagnostics)
      : desk_{builder, tolerances, diagnostics}, names_(diagnostics) {}

  void read(const Node& parts);

  // A part was declared under this name, but its points are not known because of what is wrong with it.
  bool broken(std::string_view part) const;

  const std::vector<OwnReach>& own_reach() const { return desk_.own_reach; }
  const Places& places() const { return desk_.places; }

 private:
  void declare(const Node& key, const Node& body);
  void read_kind(const Node& body, DeclaredPart& part);

  PartDesk desk_;
  GivenOnce<std::string> names_;
  std::unordered_set<std::string> twice_;  // which of the two was meant is not known
  bool all_broken_ = false;
};

}  // namespace lugwise::intake::inside
