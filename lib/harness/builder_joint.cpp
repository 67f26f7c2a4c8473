// What holds points together: blobs of solder, and what touches.
#include <map>
#include <set>
#include <utility>

#include "harness/builder.h"

namespace lugwise {

void HarnessBuilder::add_joint(PointId surface, const std::vector<PointId>& leads, Span at) {
  entries_.push_back({surface, leads, at, false});
}

void HarnessBuilder::add_touch(const std::vector<PointId>& points, Conducts when, Span at) {
  for (std::size_t i = 1; i < points.size(); ++i) {
    Element contact;
    contact.kind = ElementKind::Contact;
    contact.a = points.front();
    contact.b = points[i];
    contact.ohms = defaults_.contact_band();
    contact.points = {points.front(), points[i]};
    contact.when = when;
    contact.pressed = true;
    contact.at = at;
    add_element(std::move(contact));
  }
}

// One blob becomes its elements: the grip on the surface and each lead's grip in the blob, or one joint for one lead.
void HarnessBuilder::solder(const Entry& entry) {
  Blob blob;
  blob.surface = entry.surface;
  blob.leads = entry.leads;
  blob.inside = entry.inside;
  blob.at = entry.at;
  const bool several = entry.leads.size() > 1;
  PointId from = entry.surface;
  if (several) {
    from = add_hidden("the solder at " + harness_[entry.surface].name, PointRole::Solder, entry.surface,
                      entry.at);
    blob.solder = from;
    Element grip;
    grip.kind = ElementKind::Blob;
    grip.a = entry.surface;
    grip.b = from;
    grip.ohms = defaults_.joint_band();
    grip.points.push_back(entry.surface);
    grip.points.insert(grip.points.end(), entry.leads.begin(), entry.leads.end());
    grip.at = entry.at;
    blob.grip = add_element(std::move(grip));
  }
  for (PointId lead : entry.leads) {
    Element joint;
    joint.kind = ElementKind::Joint;
    joint.a = from;
    joint.b = lead;
    joint.ohms = defaults_.joint_band();
    joint.points = {entry.surface, lead};
    joint.wire = harness_[lead].wire;
    joint.at = entry.at;
    blob.joints.push_back(add_element(std::move(joint)));
  }
  harness_.blobs_.push_back(std::move(blob));
}

// On a lug or lead all solder is one blob; on a surface each entry is its own, and so is each wire end no entry lists.
void HarnessBuilder::join_ends() {
  std::set<std::pair<PointId, PointId>> listed;
  for (const Entry& entry : entries_) {
    for (PointId lead : entry.leads) listed.emplace(entry.surface, lead);
  }
  std::vector<Entry> blobs;
  std::map<PointId, std::size_t> blob_at;
  const auto add = [&](const Entry& entry) {
    if (harness_[entry.surface].role == PointRole::Surface || entry.inside) {
      blobs.push_back(entry);
      return;
    }
    const auto [known, fresh] = blob_at.emplace(entry.surface, blobs.size());
    if (fresh) {
      blobs.push_back(entry);
    } else {
      auto& leads = blobs[known->second].leads;
      leads.insert(leads.end(), entry.leads.begin(), entry.leads.end());
    }
  };
  for (const Entry& entry : entries_) add(entry);
  for (const auto& [end, on] : ends_) {
    if (listed.count({on, end})) continue;
    const std::optional<WireId> wire = harness_[end].wire;
    add({on, {end}, harness_[*wire].at, false});
  }
  for (const Entry& entry : blobs) solder(entry);
}

}  // namespace lugwise
