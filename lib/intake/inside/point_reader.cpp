#include "intake/inside/point_reader.h"

#include <fmt/format.h>

namespace lugwise::intake::inside {

void PointReader::lost_leg(const std::string& a, const std::string& b) {
  lost_legs_.insert(a + ">" + b);
  lost_legs_.insert(b + ">" + a);
}

bool PointReader::lost_part(std::string_view name) {
  const std::string_view part = name.substr(0, name.find('.'));
  if (parts_->broken(part)) return true;
  return part.size() < name.size() && parts_->takes_for_lost(part);
}

bool PointReader::lost(std::string_view name) {
  if (!parts_) return false;
  const std::size_t arrow = name.find('>');
  if (arrow == std::string_view::npos) return lost_part(name);
  if (all_legs_lost_) return true;
  const std::string_view plain = name.substr(name.find(':') + 1);  // the whole name where there is no colon
  const std::size_t middle = plain.find('>');
  if (middle == std::string_view::npos) return false;
  for (const std::string_view side : {plain.substr(0, middle), plain.substr(middle + 1)}) {
    if (lost_part(side)) return true;
  }
  return lost_legs_.count(std::string(plain)) > 0;
}

bool PointReader::afford() { return suggestions_.afford(harness_.parts().size() + harness_.points().size()); }

void PointReader::refuse(std::string code, const Node& node, const Refusal& refusal) {
  Diagnostic& error = diagnostics_.error(std::move(code), node.at, refusal.problem);
  if (refusal.hint.empty()) return;
  const bool elsewhere = !parts_ && refusal.declared.known();
  error.note(refusal.hint + (elsewhere ? " in the netlist" : ""), refusal.declared);
}

std::optional<PointId> PointReader::point(const Node& node) {
  const std::string* text = as_text(node, "a point", diagnostics_);
  if (!text) return std::nullopt;
  if (const auto found = harness_.find_point(*text)) return found;
  if (lost(*text)) return std::nullopt;
  const PointFound found = find_point(harness_, *text, afford() ? Suggest::Near : Suggest::Nothing);
  refuse(found.several ? "N208" : "N204", node, found.refusal);
  return std::nullopt;
}

std::optional<PointId> PointReader::for_joint(const Node& node) {
  const auto found = point(node);
  if (!found) return std::nullopt;
  const PointRole role = harness_[*found].role;
  if (role == PointRole::Plug) {
    diagnostics_.error(
        "N414", node.at,
        fmt::format("'{}' is the far end of the test cable: nothing is joined to it", node.text));
    return std::nullopt;
  }
  if (role == PointRole::Inside) {
    diagnostics_
        .error("N414", node.at,
               fmt::format("'{}' is inside the pickup: nothing outside is joined to it", node.text))
        .note("a lead that comes out is given under 'leads'");
    return std::nullopt;
  }
  return found;
}

std::optional<PointId> PointReader::for_wire(const Node& node) {
  const auto found = for_joint(node);
  if (!found || harness_[*found].role != PointRole::WireEnd) return found;
  diagnostics_.error("N414", node.at,
                     fmt::format("'{}' is a wire's end; a wire runs from point to point", node.text));
  return std::nullopt;
}

std::optional<PartId> PointReader::part(const Node& node, std::string_view what) {
  const std::string* text = as_text(node, what, diagnostics_);
  if (!text) return std::nullopt;
  if (const auto found = harness_.find_part(*text)) return found;
  if (parts_ && (parts_->broken(*text) || parts_->takes_for_lost(*text))) return std::nullopt;
  refuse("N203", node, find_part(harness_, *text, afford() ? Suggest::Near : Suggest::Nothing).refusal);
  return std::nullopt;
}

}  // namespace lugwise::intake::inside
