// A harness as its rules look at it: what is one net, what has solder on it, where the jacks are.
//
// A net is what joints, wires and touches make one whatever the controls do, with the cavity closed. Switch contacts,
// wipers, plugs and everything with a resistance of its own lie between nets.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

#include "circuit/clusters.h"
#include "harness/harness.h"

namespace lugwise::check::inside {

struct JackEnds {
  PartId part;
  PointId tip, sleeve;
  PointId plug_tip, plug_sleeve;
  bool exchanged = false;  // the cases are on the tip, and none on the sleeve

  PointId ground() const { return exchanged ? tip : sleeve; }
  PointId hot() const { return exchanged ? sleeve : tip; }
};

class Drawing {
 public:
  explicit Drawing(const Harness& harness);

  const Harness& harness() const { return harness_; }
  // The rings of stereo plugs, signals of their own, each with its sleeve.
  const std::vector<std::pair<PointId, PointId>>& rings() const { return rings_; }
  std::vector<std::pair<PointId, PointId>> rings_;
  const std::vector<JackEnds>& jacks() const { return jacks_; }

  // The parts of a kind, in the harness's order.
  const std::vector<PartId>& parts(PartKind kind) const { return parts_[static_cast<std::size_t>(kind)]; }

  // The elements that rules ask for, in the harness's order: few beside all its joints and wires.
  const std::vector<ElementId>& coils() const { return coils_; }
  const std::vector<ElementId>& resistors() const { return resistors_; }
  const std::vector<ElementId>& capacitors() const { return capacitors_; }
  const std::vector<ElementId>& switch_contacts() const { return switch_contacts_; }
  const std::vector<ElementId>& plug_contacts() const { return plug_contacts_; }

  // A point's net, named by one of its points; and all nets, to be copied by a rule that joins more.
  std::uint32_t net(PointId point) const { return net_of_[point.index]; }
  const Clusters& nets() const { return nets_; }

  // How many joints, pressed wire ends and touches a point has outside its pickup.
  int joints_at(PointId point) const { return joints_[point.index]; }
  bool joined(PointId point) const { return joints_[point.index] > 0; }
  // Joined outside or inside its pickup.
  bool joined_anywhere(PointId point) const { return joined(point) || joined_inside_[point.index]; }

  // On a jack's sleeve and on no jack's tip; the other way round where those two are exchanged.
  bool grounded(PointId point) const { return ground_nets_[net(point)] && !hot(point); }
  bool hot(PointId point) const { return hot_nets_[net(point)]; }

  // Whether another pot is on this one's shaft, or this one on another's.
  bool ganged(PartId pot) const { return ganged_[pot.index]; }

  // A point's name without its part's.
  std::string_view own_name(PointId point) const;
  // The end of a coil, or `shield`, that a pickup's point is; its own name if no lead stands for it.
  std::string_view end_of(PointId point) const;
  // Whether a pickup's point is a lead by the netlist's own words, under `leads`.
  bool named_lead(PointId point) const { return leads_.count(point) > 0; }

 private:
  void sort_parts();
  void sort_elements();
  void count_joints();
  void find_jacks();
  void find_gangs();
  void find_leads();

  const Harness& harness_;
  Clusters nets_;
  std::vector<std::uint32_t> net_of_;  // by point
  std::array<std::vector<PartId>, kPartKinds> parts_;
  std::vector<ElementId> coils_, resistors_, capacitors_, switch_contacts_, plug_contacts_;
  std::vector<int> joints_;
  std::vector<bool> joined_inside_;
  std::vector<JackEnds> jacks_;
  std::vector<bool> hot_nets_;
  std::vector<bool> ground_nets_;
  std::vector<bool> ganged_;
  std::unordered_map<PointId, std::string_view> leads_;  // to the end each is
};

// "'a'", "'a' and 'b'", "'a', 'b' and 'c'"; beyond four, "'a', 'b', 'c' and 9 more".
std::string quoted_list(const std::vector<std::string>& names);

}  // namespace lugwise::check::inside
