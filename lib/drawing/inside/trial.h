// One try at a layout: parts placed, what is joined to them given a site each, wires routed.
//
// Sites are chosen in trial_site.cpp; what the try came to is told by trial_layout.cpp.
#pragma once

#include <cstddef>
#include <map>
#include <vector>

#include "drawing/drawing.h"
#include "drawing/inside/hookup.h"
#include "drawing/inside/placement.h"
#include "drawing/inside/router.h"
#include "drawing/inside/shape.h"
#include "drawing/layout.h"

namespace lugwise::drawing::inside {

// How a part can be drawn, by part.
using Shapes = std::vector<std::vector<Shape>>;

class Trial {
 public:
  // `room` makes the gaps between parts wider, by that many cells. A wire that is pushed off its way more than `most_pushes`
  // times stays off. All but `places` must outlive it.
  Trial(const Harness& harness, const Hookup& hookup, const Shapes& shapes, const Places& places, int room,
        int most_pushes);

  // Whether the search was given up before all was tried.
  bool tired() const { return router_.tired(); }
  // Wires that found no way.
  int unrouted() const;

  // Exchanges sites and ways as long as that makes them shorter or crosses fewer.
  void polish();

  // Only once: it takes the parts along.
  Layout layout();

 private:
  // What goes to one place: one berth, or those of a pool.
  struct Group {
    std::vector<std::size_t> berths;
    double wish = 0;
    int sites = 0;
    int first = 0;
  };

  void cover(const Shape& shape, Cell corner);
  // Leads of one pickup go side by side, and so do the core and the braid of a cable.
  int bundle_of(const Run& run) const;
  // A pot's outer lug that is soldered to its own case is bent up to it: -1 for lug 3, at the left, 1 for lug 1; 0 for what
  // is no such thing.
  int bent_at(const Run& run) const;

  // ---- sites
  // The middle of what the other ends of a berth's runs are at.
  Spot target(std::size_t berth) const;
  // Where along its terminal a berth would lie nearest to that.
  double wish_of(const Terminal& terminal, std::size_t berth) const;
  std::vector<Group> groups_at(const Terminal& terminal) const;
  void give_sites(const Terminal& terminal);
  Foot site(const Run::End& end) const;

  // ---- exchanges
  struct End {
    TaskEnd of;
    std::size_t berth = 0;
  };
  std::vector<End> ends_at(PointId point) const;
  // Whether that made anything better.
  bool move_along(const Terminal& ring, const std::vector<End>& ends);
  bool exchange_at(PointId point, const Terminal& terminal);

  // ---- the layout
  // Of a lug's sites those that are used, or the one that would be first.
  void keep_used(PlacedPart& part) const;
  // Of a run: a bent lug, or the way that was found; without one it is a stub at either end.
  Strand strand_of(std::size_t run) const;

  const Harness& harness_;
  const Hookup& hookup_;
  Placement placement_;
  Router router_;
  std::vector<PlacedPart> parts_;
  std::map<PointId, const Terminal*> terminals_;
  std::vector<int> first_site_;  // by berth
  std::vector<Task> tasks_;
  std::vector<std::size_t> run_of_;  // by task
};

}  // namespace lugwise::drawing::inside
