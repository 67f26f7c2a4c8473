// Where a probe can go now, and what must be open for it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "circuit/circuit.h"
#include "circuit/setting.h"
#include "handling/handling.h"
#include "harness/harness.h"
#include "sheet/observation.h"

namespace lugwise {

// Why a probe can't go there, in words, or nothing: the part isn't there at this stage, or the plug is out.
std::string why_absent(const Harness& harness, const Circuit& circuit, std::optional<std::size_t> stage,
                       PointId point);

// The same of a reading yet to be taken: of the first of its two points that isn't there.
std::string why_absent(const Harness& harness, const Observation& seen, std::optional<std::size_t> stage);

// A reading between two points, yet to be taken, with as much open as that needs.
Observation observation_between(const Harness& harness, PointId a, PointId b, const Setting& setting,
                                const std::vector<PointId>& lifted, std::optional<std::size_t> stage);

// How far the instrument must be open to touch these points; the cavity where a hidden one is among them, or a lead off.
Access access_for(const Harness& harness, const std::vector<PointId>& points,
                  const std::vector<PointId>& lifted, std::optional<std::size_t> stage);

}  // namespace lugwise
