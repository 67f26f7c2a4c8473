#include "plan/inside/openings.h"

#include <algorithm>

namespace lugwise::plan::inside {

std::vector<Access> openings(const Harness& harness, const PlanOptions& options) {
  std::vector<Access> list = accesses(harness, options.stage);
  if (!options.after.empty()) {
    int open = 0;
    for (PointId point : options.after) {
      const auto access = access_to(harness, point, options.stage);
      // What no probe reaches was mended from the cavity.
      open = std::max(open, access ? access->depth : 1);
    }
    open = std::min(open, list.back().depth);
    std::erase_if(list, [&](const Access& access) { return access.depth < open; });
    return list;
  }
  if (options.depth == Depth::Outside && list.front().depth == 0) list.resize(1);
  return list;
}

}  // namespace lugwise::plan::inside
