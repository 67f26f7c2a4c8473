#include "support/harness_from.h"

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>

#include "intake/readings.h"
#include "support/catch.h"

namespace lugwise::test {
namespace {

std::string all_rendered(const Diagnostics& diagnostics, const std::string& text) {
  const SourceText source(text);
  std::string shown;
  for (const Diagnostic& diagnostic : diagnostics.sorted()) shown += render(diagnostic, source);
  return shown;
}

std::string with_version(std::string_view text, std::string_view key) {
  std::string whole(text);
  if (whole.find(std::string(key) + ":") == std::string::npos) whole = std::string(key) + ": 1\n" + whole;
  return whole;
}

Netlist read_or_fail(const std::string& text, const std::string& name) {
  Diagnostics diagnostics(name);
  auto netlist = read_netlist(text, diagnostics);
  if (!netlist) FAIL(all_rendered(diagnostics, text));
  check_invariants(netlist->harness);
  return std::move(*netlist);
}

}  // namespace

Netlist netlist_from(std::string_view text) {
  return read_or_fail(with_version(text, "lugwise"), "test.yaml");
}

Harness harness_from(std::string_view text) { return netlist_from(text).harness; }

Sheet sheet_from(std::string_view text, const Netlist& netlist) {
  const std::string whole = with_version(text, "lugwise-readings");
  Diagnostics diagnostics("readings.yaml");
  auto sheet = read_sheet(whole, netlist, diagnostics);
  if (!sheet) FAIL(all_rendered(diagnostics, whole));
  return std::move(*sheet);
}

std::filesystem::path repository() {
  const char* root = std::getenv("LUGWISE_ROOT");
  return root ? root : ".";
}

std::string file_text(std::string_view path) {
  std::ifstream stream(repository() / path, std::ios::binary);
  if (!stream) FAIL("cannot read " << path);
  return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

Netlist netlist_of(std::string_view path) { return read_or_fail(file_text(path), std::string(path)); }

void check_invariants(const Harness& harness) {
  const auto point_exists = [&](PointId id) { return id.index < harness.points().size(); };
  const auto in_order = [](const Band& band) {
    return 0 <= band.low && band.low <= band.nominal && band.nominal <= band.high;
  };
  bool fine = true;
  for (const Element& element : harness.elements()) {
    fine = fine && point_exists(element.a) && point_exists(element.b) && element.a != element.b;
    fine = fine && in_order(element.ohms) && !element.points.empty();
    for (const PointId id : element.points) fine = fine && point_exists(id);
    if (element.part) fine = fine && element.part->index < harness.parts().size();
    if (element.wire) fine = fine && element.wire->index < harness.wires().size();
  }
  CHECK(fine);
  fine = true;
  for (std::uint32_t i = 0; i < harness.parts().size(); ++i) {
    const Part& part = harness.parts()[i];
    fine = fine && harness.find_part(part.name) == PartId{i} && !part.points.empty() && part.at.known();
    for (const PointId id : part.points) fine = fine && point_exists(id) && harness[id].part == PartId{i};
    if (part.kind == PartKind::Switch) fine = fine && !part.positions.empty();
    fine = fine && part.pot.has_value() == (part.kind == PartKind::Pot);
    if (part.pot && part.pot->gang) {
      fine = fine && part.pot->gang->index < harness.parts().size();
      fine = fine && harness[*part.pot->gang].pot && !harness[*part.pot->gang].pot->gang;
    }
  }
  CHECK(fine);
  fine = true;
  for (std::uint32_t i = 0; i < harness.points().size(); ++i) {
    const Point& point = harness.points()[i];
    const bool named = point.role != PointRole::Solder && point.role != PointRole::WiperPlace;
    if (named) fine = fine && harness.find_point(point.name) == PointId{i};
    if (point.on) fine = fine && point_exists(*point.on);
    if (point.role == PointRole::WireEnd)
      fine = fine && point.wire && point.wire->index < harness.wires().size();
  }
  CHECK(fine);
  fine = true;
  for (const std::string& name : harness.point_names()) fine = fine && harness.find_point(name).has_value();
  for (const Wire& wire : harness.wires()) {
    for (const ElementId leg : wire.legs) fine = fine && leg.index < harness.elements().size();
  }
  for (const Blob& blob : harness.blobs()) {
    fine = fine && !blob.leads.empty() && blob.joints.size() == blob.leads.size();
    fine = fine && blob.grip.has_value() == (blob.leads.size() > 1);
  }
  CHECK(fine);
}

}  // namespace lugwise::test
