// Builds a Harness from what a netlist declares, and does what the declarations leave unsaid: which joints share one
// blob, what the ends of wires are called, what conducts when, and what a sound element may measure.
//
// The caller (intake) has checked names and values; a broken promise here is a programming error and throws
// std::logic_error. Order: parts, then all wires at once, then joints, touches, stages and reach, then build().
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "harness/harness.h"

namespace lugwise {

struct Tolerances {
  double pickup = 0.10;
  double pot = 0.20;
  double resistor = 0.05;
  double capacitor = 0.20;
};

// The most that sound joints, wires, contacts and stopped wipers may show. Typical bench values: common practice, no source.
struct Defaults {
  Ohms joint = 0.05;
  Ohms wire = 0.1;
  Ohms contact = 0.5;
  double end = 0.0002;  // share of the track; 20 ohms at least
  Tolerances tolerance;

  Band joint_band() const;
  Band wire_band() const;
  Band contact_band() const;
  Band end_band(Ohms track) const;
};

struct CoilSpec {
  std::string start, finish;  // the ends' names: hot and ground, or slug-start and slug-finish
  Ohms dcr = 0;
  double tolerance = 0;
};

struct PickupSpec {
  std::vector<CoilSpec> coils;
  bool shield = false;
  std::vector<std::pair<std::string, std::string>> leads;         // lead -> end
  std::vector<std::pair<std::vector<std::string>, Span>> inside;  // ends or leads, surface first
  // A piezo: farads and their tolerance instead of the coils' ohms; then there is one coil, for its ends' names.
  std::optional<std::pair<double, double>> piezo;
};

struct PotSpec {
  Ohms track = 0;
  double tolerance = 0;
  Taper taper = Taper::Unknown;
  std::vector<double> shares;
  bool no_load = false;
  double normal = 10;
  std::optional<PartId> gang;
};

struct SwitchSpec {
  std::vector<std::string> lugs;
  struct Place {
    std::string name;
    std::vector<std::vector<std::string>> groups;
    Span at;
  };
  std::vector<Place> positions;
  std::optional<PartId> mounted;  // the pot it sits on
};

struct JackSpec {
  std::vector<std::string> contacts{"tip", "sleeve"};
  std::vector<std::pair<std::string, std::string>>
      rests;            // contact -> the rest it leaves when the plug goes in
  bool stereo = false;  // the plug has three contacts, and the ring is a signal of its own
};

struct WireSpec {
  std::string name;
  std::vector<PointId> run;
  std::vector<PointId> pressed;
  std::string colour;
  std::optional<double> gauge;
  std::optional<double> length;  // metres, of the whole run
  bool uncut = false;
  // The outer conductor of a shielded cable; an end without a point is left free.
  std::optional<std::pair<std::optional<PointId>, std::optional<PointId>>> braid;
  Span at;
};

class HarnessBuilder {
 public:
  explicit HarnessBuilder(Defaults defaults = {}) : defaults_(defaults) {}

  void title(std::string name, std::string about);

  PartId add_pickup(const std::string& name, const PickupSpec&, Span);
  PartId add_pot(const std::string& name, const PotSpec&, Span);
  PartId add_switch(const std::string& name, const SwitchSpec&, Span);
  PartId add_jack(const std::string& name, const JackSpec&, Span);
  PartId add_resistor(const std::string& name, Ohms, double tolerance, Span);
  PartId add_inductor(const std::string& name, Ohms dcr, double tolerance, double henries, Span);
  PartId add_capacitor(const std::string& name, double farads, double tolerance, Span);
  PartId add_metal(const std::string& name, const std::vector<std::string>& points, Span);
  PartId add_battery(const std::string& name, double volts, Span);
  PartId add_module(const std::string& name, const std::vector<std::string>& points, Span);

  // Names the wires' ends: `A>B`, and `name:A>B` where two wires join the same points. A wire without a name that
  // needs one is called by its place in the list: `wire-3`.
  void add_wires(const std::vector<WireSpec>&);

  void add_joint(PointId surface, const std::vector<PointId>& leads, Span);
  // A touch is there always, or only with the cavity closed.
  void add_touch(const std::vector<PointId>& points, Conducts, Span);
  void add_stage(Stage);
  void set_spare(PartId, const std::vector<PointId>& points);
  void set_reach(PointId, Reach);
  void set_reach(PartId, Reach);

  // What has been declared so far, for finding names.
  const Harness& so_far() const { return harness_; }

  Harness build();

 private:
  class Wiring;

  struct Entry {
    PointId surface;
    std::vector<PointId> leads;
    Span at;
    bool inside = false;
  };

  PartId add_part(const std::string& name, PartKind, Span);
  PointId add_point(const std::string& name, PointRole, std::optional<PartId>, Span);
  PointId add_part_point(PartId, const std::string& point, PointRole, Span);
  PointId add_hidden(const std::string& description, PointRole, PointId on, Span);
  void alias(const std::string& name, PointId);
  ElementId add_element(Element);
  PointId part_point(PartId, const std::string& point) const;
  void add_leg(WireId, PointId from_end, PointId to_end, std::vector<PointId> points, const WireSpec&);
  void solder(const Entry&);
  void join_ends();
  void settle_reach();

  Defaults defaults_;
  Harness harness_;
  std::vector<Entry> entries_;
  std::vector<std::pair<PartId, Reach>> part_reach_;
  std::vector<std::pair<PointId, Reach>> point_reach_;
  std::vector<std::pair<PointId, PointId>> ends_;  // wire end, the point it is soldered to; in file order
};

}  // namespace lugwise
