// Pictures for a page, each with ids of its own.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "circuit/setting.h"
#include "drawing/drawing.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "page/document.h"

namespace lugwise::report {
inline namespace inside {

class Sketchbook {
 public:
  // Without a harness it has no pictures; nor of one too large to be drawn.
  Sketchbook() = default;
  Sketchbook(const Harness& harness, std::optional<std::size_t> stage, const Places& places);

  // Where two probes go, in a setting that is told below.
  page::Picture probes(const Setting& setting, PointId a, PointId b);

  // The whole harness with letters where the probes of a plan go, for a page that says whose it is.
  page::Picture whole(std::vector<Tag> tags);

  // The whole harness with these suspects marked, numbered in this order.
  page::Picture suspects(const std::vector<Fault>& faults);

  // The same for a page that says whose it is.
  page::Picture finding(const std::vector<Fault>& faults, std::string caption);

 private:
  page::Picture draw(Look look, std::string caption);

  const Harness* harness_ = nullptr;
  std::optional<std::size_t> stage_;
  Layout layout_;
  int drawn_ = 0;
};

}  // namespace inside
}  // namespace lugwise::report
