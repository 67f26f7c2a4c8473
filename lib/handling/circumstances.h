// Under what an instrument is measured: what plans, diagnoses, studies and exercises all have to know.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "fault/kind.h"
#include "handling/handling.h"
#include "meter/meter.h"

namespace lugwise {

struct Circumstances {
  std::optional<std::size_t> stage;  // of assembly; none: all is built
  Meter meter = assumed_meter();
  Costs costs;
  std::vector<KindWeight> common;  // kinds of fault that are not as common as usual
};

}  // namespace lugwise
