// Any bytes as the readings of a fixed harness: a sheet, or errors.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>

#include "intake/readings.h"

namespace {

constexpr const char* kHarness = R"(
lugwise: 1
parts:
  front: {kind: pickup, dcr: 6.2k}
  selector: {kind: switch, lugs: [f, r, out], positions: {front: [[f, out]], rear: [[r, out]]}}
  volume: {kind: pot, track: 250k}
  jack: {kind: jack}
  hardware: {kind: metal, points: [bridge, strings]}
joints:
  - [selector.f, front.hot]
  - [volume.case, front.ground, volume.1]
wires:
  - [selector.out, volume.3]
  - [volume.2, jack.tip]
  - [volume.case, jack.sleeve]
  - {run: [volume.case, hardware.bridge], pressed: [hardware.bridge]}
stages: {bench: {without: [hardware]}}
)";

const lugwise::Netlist& harness() {
  static const lugwise::Netlist netlist = [] {
    lugwise::Diagnostics diagnostics("harness.yaml");
    auto read = lugwise::read_netlist(kHarness, diagnostics);
    if (!read) std::abort();
    return std::move(*read);
  }();
  return netlist;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lugwise;
  const std::string text(reinterpret_cast<const char*>(data), size);
  Diagnostics diagnostics("fuzz.yaml");
  const auto sheet = read_sheet(text, harness(), diagnostics);
  if (sheet.has_value() == diagnostics.failed()) std::abort();
  const SourceText source(text);
  for (const Diagnostic& one : diagnostics.sorted()) {
    if (render(one, source).empty()) std::abort();
  }
  return 0;
}
