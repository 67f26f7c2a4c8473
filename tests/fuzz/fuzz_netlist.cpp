// Any bytes as a netlist: a harness, or errors.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>

#include "intake/netlist.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lugwise;
  const std::string text(reinterpret_cast<const char*>(data), size);
  Diagnostics diagnostics("fuzz.yaml");
  const auto netlist = read_netlist(text, diagnostics);
  if (netlist.has_value() == diagnostics.failed()) std::abort();
  const SourceText source(text);
  for (const Diagnostic& one : diagnostics.sorted()) {
    if (render(one, source).empty()) std::abort();
  }
  return 0;
}
