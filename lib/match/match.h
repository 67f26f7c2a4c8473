// Which measured pickups go together in one instrument, and how sure is that?
//
// Readings are brought to 20 degrees C and compared as ratios, since what is off in one meter and one room is off alike in all
// that it measured there. Sets are proposed by a stated rule: each pickup nearer the bridge has more ohms than its neighbour, by
// as near to 8 % as there are, and by 25 % at most. The rule is common practice, no source.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "component/ohms.h"
#include "meter/meter.h"

namespace lugwise {

// The step from one place to the next, as a share, that a set aims at, and the most that is still proposed.
inline constexpr double kSetStep = 0.08;
inline constexpr double kMostStep = 0.25;

// Two coils of one pickup further apart than this are pointed out; common practice, no source.
inline constexpr double kCoilsApart = 0.05;

// How far two pickups measured at one temperature may really be apart, in degrees; a judgement.
inline constexpr double kSameRoom = 1;

struct MeasuredCoil {
  std::string name;  // empty: the whole pickup
  Ohms reads = 0;    // as displayed
  Ohms resolution = 0;
  std::optional<double> range;  // by its top; none: the lowest that holds it
};

struct MeasuredPickup {
  std::string name;
  std::string group;                  // only pickups of one group go together; empty: a group too
  std::vector<MeasuredCoil> coils;    // one, or those it has
  std::optional<double> temperature;  // degrees C; none: not known
};

struct Lot {
  std::string file;  // where it is written; empty: not known
  Meter meter;
  std::vector<MeasuredPickup> pickups;
  std::vector<std::size_t> sizes{2, 3};  // of sets that are wanted
};

// Ohms at 20 degrees C, and how far they may be off, all told: meter, leads and temperature.
struct At20 {
  Ohms ohms = 0;
  Ohms off = 0;
};

// One as a multiple of the other, and how far that may be off: what both have in common is left out.
struct Ratio {
  double ratio = 1;
  double off = 0;
};

struct CoilPair {
  std::size_t pickup = 0, one = 0, other = 0;  // indices; `one` has the fewer ohms
  Ratio ratio;
  bool apart = false;  // surely further than kCoilsApart
};

struct ProposedSet {
  std::vector<std::size_t> pickups;  // from the neck to the bridge
  std::vector<Ratio> steps;          // from each to the next
  bool sure = true;                  // that the order is this one, whatever the meter's errors
};

struct Proposal {
  std::size_t size = 2;
  std::string group;
  std::vector<ProposedSet> sets;  // the closest to the rule first; no pickup is in two
  std::vector<std::size_t> left;  // pickups in no set
  bool best = true;               // no choice makes more sets, nor as many that keep closer to the rule
};

struct Matching {
  std::vector<std::vector<At20>> at_20;  // by pickup, by coil
  std::vector<At20> whole;               // by pickup: its coils in series
  std::vector<CoilPair> coils;
  std::vector<Proposal> proposals;  // by group, by size
};

At20 at_20(const Meter& meter, const MeasuredCoil& coil, std::optional<double> celsius);
Ratio ratio_of(const Meter& meter, const MeasuredPickup& one, const MeasuredPickup& other);

// How far a set of these ohms, from the neck to the bridge, keeps from the rule; none: it breaks it.
std::optional<double> distance_from_rule(const std::vector<Ohms>& ohms);

Matching match(const Lot& lot);

}  // namespace lugwise
