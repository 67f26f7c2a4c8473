// What has to be joined to what on the picture, before anything has a place.
#pragma once

#include <optional>
#include <vector>

#include "drawing/layout.h"
#include "harness/harness.h"

namespace lugwise::drawing::inside {

// A need for a site on a terminal: a joint or contact made there, or the place where a part's own lead begins.
struct Berth {
  PointId point;                   // the terminal
  std::optional<ElementId> joint;  // the joint or contact made here; none where a lead or touch begins
  Mark::Kind mark = Mark::Kind::Solder;
  PointId lead;             // what is joined here
  std::optional<int> pool;  // index of the blob it shares with others
  int sites = 1;            // 2 where an uncut wire goes on
  bool free = false;        // nothing is joined here: the end of a braid left free beside its core's
};

struct Run {
  Strand::Kind kind = Strand::Kind::Leg;
  std::optional<ElementId> element;
  std::optional<WireId> wire;
  PointId from, to;
  struct End {
    std::optional<std::size_t> berth;  // none: free
    int site = 0;                      // of the berth's two
  };
  End start, end;
};

struct Hookup {
  std::vector<Berth> berths;
  std::vector<Run> runs;
  std::vector<std::vector<std::size_t>> at_point;  // berths by point
  std::vector<std::optional<ElementId>> pools;     // a blob's grip, by pool

  int sites_at(PointId point) const;
};

Hookup hook_up(const Harness& harness);

}  // namespace lugwise::drawing::inside
