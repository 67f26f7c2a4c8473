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

  // Takes a name that no part has for one that was lost: where a name is given twice, one of the two was probably meant to be
  // another part's, which is then missing. As many names as were lost; not one that is near to another part's.
  bool takes_for_lost(std::string_view part);

  const std::vector<OwnReach>& own_reach() const { return desk_.own_reach; }
  const Places& places() const { return desk_.places; }

 private:
  void declare(const Node& key, const Node& body);
  void read_kind(const Node& body, DeclaredPart& part);

  PartDesk desk_;
  GivenOnce<std::string> names_;
  std::unordered_set<std::string> twice_;  // which of the two was meant is not known
  std::unordered_set<std::string> lost_;   // names taken for lost
  bool all_broken_ = false;
};

}  // namespace lugwise::intake::inside
