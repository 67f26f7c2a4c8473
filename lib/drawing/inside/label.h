// Where the names of wires go: on the wire itself, interrupting it, wherever that covers nothing else.
#pragma once

#include <string>
#include <vector>

#include "drawing/layout.h"

namespace lugwise::drawing::inside {

class LabelPlacer {
 public:
  // Everything must stay within `page`.
  explicit LabelPlacer(Box page) : page_(page) {}

  void avoid(const Box& box) { taken_.push_back(box); }
  // A wire's run, so that no other's label covers it.
  void avoid(std::size_t strand, const std::vector<Spot>& path);

  // On one of these runs of one wire, the longest free stretch first. False where there is none.
  bool place(const std::vector<std::size_t>& strands, const std::string& text, double size, Lettering& made);

  // A round tag, as small as can be, on one of these runs.
  bool place_tag(const std::vector<std::size_t>& strands, double radius, Spot& made);

  // The same beside a run, for a short line from `on` to it.
  bool place_beside(const std::vector<std::size_t>& strands, double radius, Spot& made, Spot& on);

  // Whether a box lies on nothing.
  bool is_free(const Box& box) const;
  double overlap(const Box& box) const;  // how much of it is taken, in square units

 private:
  struct Stretch {
    std::size_t strand;
    Spot a, b;
    Box box;
  };
  bool free_for(const Box& box, const Stretch& own) const;

  Box page_;
  std::vector<Box> taken_;
  std::vector<Stretch> stretches_;
};

}  // namespace lugwise::drawing::inside
