#include "drawing/inside/hookup.h"

#include <map>

namespace lugwise::drawing::inside {
namespace {

class Builder {
 public:
  explicit Builder(const Harness& harness) : harness_(harness) {
    made_.at_point.resize(harness.points().size());
  }

  Hookup build() {
    for (const Blob& blob : harness_.blobs()) {
      if (!blob.inside) add_blob(blob);
    }
    add_contacts();
    for (std::uint32_t i = 0; i < harness_.wires().size(); ++i) add_wire(WireId{i});
    return std::move(made_);
  }

 private:
  std::size_t add(Berth berth) {
    made_.at_point[berth.point.index].push_back(made_.berths.size());
    made_.berths.push_back(berth);
    return made_.berths.size() - 1;
  }

  bool is_wire_end(PointId point) const { return harness_[point].role == PointRole::WireEnd; }

  void add_blob(const Blob& blob) {
    std::optional<int> pool;
    if (blob.leads.size() > 1) {
      pool = static_cast<int>(made_.pools.size());
      made_.pools.push_back(blob.grip);
    }
    for (std::size_t i = 0; i < blob.leads.size(); ++i) {
      Berth berth;
      berth.point = blob.surface;
      berth.joint = blob.joints[i];
      berth.lead = blob.leads[i];
      berth.pool = pool;
      const std::size_t made = add(berth);
      if (is_wire_end(blob.leads[i])) {
        of_end_[blob.leads[i]] = made;
      } else {
        add_lead(blob.leads[i], made);
      }
    }
  }

  // A part's own lead, from where it leaves the part.
  void add_lead(PointId lead, std::size_t to) {
    Berth from;
    from.point = lead;
    from.lead = lead;
    Run run;
    run.kind = Strand::Kind::Lead;
    run.from = lead;
    run.to = made_.berths[to].point;
    run.start.berth = add(from);
    run.end.berth = to;
    made_.runs.push_back(run);
  }

  // Pressed ends of wires, and touches.
  void add_contacts() {
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      if (element.kind != ElementKind::Contact || !element.pressed) continue;
      Berth berth;
      berth.joint = ElementId{i};
      berth.lead = element.b;
      if (element.wire) {
        berth.point = element.a;
        berth.mark = Mark::Kind::Pressed;
        of_end_[element.b] = add(berth);
        continue;
      }
      Berth from;
      from.point = element.a;
      from.lead = element.a;
      berth.point = element.b;
      berth.mark = Mark::Kind::Touch;
      Run run;
      run.kind = Strand::Kind::Touch;
      run.element = ElementId{i};
      run.from = element.a;
      run.to = element.b;
      run.start.berth = add(from);
      run.end.berth = add(berth);
      made_.runs.push_back(run);
    }
  }

  void add_wire(WireId id) {
    const Wire& wire = harness_[id];
    std::optional<PointId> before;
    for (ElementId leg : wire.legs) {
      const Element& element = harness_[leg];
      Run run;
      run.element = leg;
      run.wire = id;
      run.from = element.a;
      run.to = element.b;
      run.start = end(element.a, before == element.a);
      run.end = end(element.b, false);
      if (wire.core && !run.start.berth)
        run.start.berth = free_end(element.a, harness_[*wire.core].run.front());
      if (wire.core && !run.end.berth) run.end.berth = free_end(element.b, harness_[*wire.core].run.back());
      before = element.b;
      made_.runs.push_back(run);
    }
  }

  std::size_t free_end(PointId end, PointId beside) {
    Berth berth;
    berth.point = beside;
    berth.lead = end;
    berth.free = true;
    return add(berth);
  }

  Run::End end(PointId point, bool goes_on) {
    const auto found = of_end_.find(point);
    if (found == of_end_.end()) return {};
    if (goes_on) made_.berths[found->second].sites = 2;
    return {found->second, goes_on ? 1 : 0};
  }

  const Harness& harness_;
  Hookup made_;
  std::map<PointId, std::size_t> of_end_;
};

}  // namespace

int Hookup::sites_at(PointId point) const {
  int sites = 0;
  for (std::size_t berth : at_point[point.index]) sites += berths[berth].sites;
  return sites;
}

Hookup hook_up(const Harness& harness) { return Builder(harness).build(); }

}  // namespace lugwise::drawing::inside
