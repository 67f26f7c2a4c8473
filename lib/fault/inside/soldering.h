// What is soldered where, and whether it matters if it were elsewhere. Private to this room.
#pragma once

#include <algorithm>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <utility>
#include <vector>

#include "fault/fault.h"

namespace lugwise::fault::inside {

// One lead in solder.
struct Lead {
  ElementId joint;
  PointId point;
  PointId surface;
  PointId seat;  // the surface, or the solder of its blob
};

class Soldering {
 public:
  // `present` says by point what is there; it must outlive this, as the harness must.
  Soldering(const Harness& harness, const std::vector<char>& present);

  bool there(PointId point) const { return present_[point.index] != 0; }

  // What is one net whatever the settings has one number: all that small resistances join for good.
  std::uint32_t net(PointId point) const { return net_[point.index]; }

  // Whether it joins or parts anything that these ends are elsewhere: between two nets always; within one only if it falls
  // apart.
  bool matters(const std::vector<Moved>& moved) const;

  const std::vector<Lead>& leads_on(PointId surface) const;

  // Whether a lug is itself bent into other solder; and whether nothing is soldered to it, nor it to anything.
  bool bent(PointId lug) const { return lead_of_.count(lug) > 0; }
  bool bare(PointId lug) const { return !blobs_on_.count(lug) && !bent(lug); }

  // Whether a lead can go elsewhere: a lug that is itself bent into other solder is no loose lead.
  bool loose(const Lead& lead) const;

  // Whether a wire's other end is there already: nobody solders both ends of a wire to one lug.
  bool ends_on(const Lead& lead, PointId surface) const;

  // Whether two ends are those of one leg of a wire.
  bool one_leg(PointId x, PointId y) const { return legs_.count(std::minmax(x, y)) > 0; }

  // Where one more lead goes: into the blob that is there.
  PointId seat_on(PointId surface) const;

  // Adds all that is on a lug as moved to another one: its blobs, and where it is bent into other solder.
  void take(PointId from, PointId to, std::vector<Moved>& moved) const;

  // A pickup's leads that are soldered somewhere, once each; and its coils.
  std::vector<Lead> soldered(PartId pickup) const;
  const std::vector<const Element*>& coils_of(PartId pickup) const;

 private:
  void find_nets();
  bool falls_apart(std::uint32_t net, const std::vector<Moved>& moved) const;

  const Harness& harness_;
  const std::vector<char>& present_;
  std::vector<std::uint32_t> net_;                   // of each point
  std::vector<std::vector<ElementId>> elements_in_;  // of each net, by its root
  std::map<PointId, std::vector<Lead>> lead_of_;     // by the lead
  std::map<PointId, std::vector<Lead>> leads_on_;    // by the surface
  std::map<PointId, std::vector<const Blob*>> blobs_on_;
  std::set<std::pair<PointId, PointId>> legs_;
  std::map<PointId, std::vector<PointId>> far_;  // of a wire's end: what its other end is soldered to
  std::map<PartId, std::vector<const Element*>> coils_of_;
};

}  // namespace lugwise::fault::inside
