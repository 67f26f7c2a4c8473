#include "fault/inside/soldering.h"

#include <algorithm>

#include "circuit/clusters.h"

namespace lugwise::fault::inside {
namespace {

// Larger grounds are those of looms; whether a lead moved along one parts anything is not looked into.
constexpr std::size_t kMostInNet = 2000;

// What is one net whatever the settings: all that small resistances join for good.
bool lasting(const Element& element) {
  const bool small = element.kind == ElementKind::Joint || element.kind == ElementKind::Blob ||
                     element.kind == ElementKind::Wire || element.kind == ElementKind::Contact;
  return small && element.when == Conducts::Always;
}

}  // namespace

Soldering::Soldering(const Harness& harness, const std::vector<char>& present)
    : harness_(harness), present_(present) {
  find_nets();
  for (std::uint32_t i = 0; i < harness.blobs().size(); ++i) {
    const Blob& blob = harness.blobs()[i];
    if (blob.inside || !there(blob.surface)) continue;
    for (ElementId joint : blob.joints) {
      const Lead lead{joint, harness_[joint].points[1], blob.surface, harness_[joint].a};
      if (!there(lead.point)) continue;
      lead_of_[lead.point].push_back(lead);
      leads_on_[lead.surface].push_back(lead);
    }
    blobs_on_[blob.surface].push_back(&blob);
  }
  for (const Element& element : harness.elements()) {
    if (element.kind == ElementKind::Wire) {
      legs_.insert(std::minmax(element.a, element.b));
      for (const auto& [end, far] : {std::pair(element.a, element.b), std::pair(element.b, element.a)}) {
        if (harness[far].on) far_[end].push_back(*harness[far].on);
      }
    }
    const bool source = element.kind == ElementKind::Coil || element.kind == ElementKind::Capacitor;
    if (source && harness[*element.part].kind == PartKind::Pickup)
      coils_of_[*element.part].push_back(&element);
  }
}

void Soldering::find_nets() {
  Clusters clusters(harness_.points().size());
  const auto counts = [&](const Element& element) {
    return lasting(element) && there(element.a) && there(element.b);
  };
  for (const Element& element : harness_.elements()) {
    if (counts(element)) clusters.join(element.a.index, element.b.index);
  }
  net_ = clusters.of_each();
  elements_in_.resize(net_.size());
  for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
    const Element& element = harness_.elements()[i];
    if (counts(element)) elements_in_[net_[element.a.index]].push_back(ElementId{i});
  }
}

bool Soldering::matters(const std::vector<Moved>& moved) const {
  std::set<std::uint32_t> nets;
  for (const Moved& each : moved) {
    if (net_[each.from.index] != net_[each.to.index]) return true;
    nets.insert(net_[each.from.index]);
  }
  for (std::uint32_t net : nets) {
    if (elements_in_[net].size() <= kMostInNet && falls_apart(net, moved)) return true;
  }
  return false;
}

bool Soldering::falls_apart(std::uint32_t net, const std::vector<Moved>& moved) const {
  std::map<std::uint32_t, std::uint32_t> number;
  Clusters clusters(4 * elements_in_[net].size());  // its two ends, and where they were moved to
  const auto at = [&](PointId point) {
    return number.emplace(point.index, static_cast<std::uint32_t>(number.size())).first->second;
  };
  for (ElementId id : elements_in_[net]) {
    PointId a = harness_[id].a;
    PointId b = harness_[id].b;
    at(a);
    at(b);
    for (const Moved& each : moved) {
      if (each.element == id) (a == each.from ? a : b) = each.to;
    }
    clusters.join(at(a), at(b));
  }
  // Solder that holds nothing any more is no point of anybody's.
  std::optional<std::uint32_t> first;
  for (const auto& [point, place] : number) {
    if (harness_.points()[point].role == PointRole::Solder) continue;
    const std::uint32_t here = clusters.of(place);
    if (first && *first != here) return true;
    first = here;
  }
  return false;
}

const std::vector<Lead>& Soldering::leads_on(PointId surface) const {
  static const std::vector<Lead> kNone;
  const auto found = leads_on_.find(surface);
  return found == leads_on_.end() ? kNone : found->second;
}

bool Soldering::loose(const Lead& lead) const {
  const PointRole role = harness_[lead.point].role;
  return role == PointRole::Lead || role == PointRole::WireEnd;
}

bool Soldering::ends_on(const Lead& lead, PointId surface) const {
  const auto found = far_.find(lead.point);
  return found != far_.end() &&
         std::find(found->second.begin(), found->second.end(), surface) != found->second.end();
}

PointId Soldering::seat_on(PointId surface) const {
  const auto found = blobs_on_.find(surface);
  const bool body = harness_[surface].role == PointRole::Surface;
  if (found == blobs_on_.end() || body) return surface;
  return found->second.front()->solder.value_or(surface);
}

void Soldering::take(PointId from, PointId to, std::vector<Moved>& moved) const {
  if (const auto on = blobs_on_.find(from); on != blobs_on_.end()) {
    for (const Blob* blob : on->second)
      moved.push_back({blob->grip ? *blob->grip : blob->joints.front(), from, to});
  }
  if (const auto bent = lead_of_.find(from); bent != lead_of_.end()) {
    for (const Lead& lead : bent->second) moved.push_back({lead.joint, from, to});
  }
}

std::vector<Lead> Soldering::soldered(PartId pickup) const {
  std::vector<Lead> leads;
  for (PointId point : harness_[pickup].points) {
    const auto found = lead_of_.find(point);
    if (harness_[point].role != PointRole::Lead || found == lead_of_.end()) continue;
    if (found->second.size() == 1) leads.push_back(found->second.front());
  }
  return leads;
}

const std::vector<const Element*>& Soldering::coils_of(PartId pickup) const {
  static const std::vector<const Element*> kNone;
  const auto found = coils_of_.find(pickup);
  return found == coils_of_.end() ? kNone : found->second;
}

}  // namespace lugwise::fault::inside
