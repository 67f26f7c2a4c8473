// What has to come off before a probe gets to a part or a point: the key `reach`, and the parts' own.
#pragma once

#include <vector>

#include "harness/builder.h"
#include "intake/inside/part_desk.h"
#include "intake/inside/point_reader.h"
#include "intake/inside/tree.h"

namespace lugwise::intake::inside {

void read_reach(const Node* node, const std::vector<OwnReach>& own, HarnessBuilder& builder,
                PointReader& points, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
