// Builds a Harness from what a netlist declares, and does what the declarations leave unsaid: which joints share one
// blob, what the ends of wires are called, what conducts when, and what a sound element may measure.
//
// The caller (intake) has checked names and values; a broken promise here is a programming error and throws
// std::logic_error. Order: parts, then all wires at once, then joints, touches, stages and reach, then build().
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "component/farads.h"
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

// Tolerances in what follows are shares, `at` is a place in the netlist.
struct CoilSpec {
  std::string start, finish;  // the ends' names: hot and ground, or slug-start and slug-finish
  Ohms dcr = 0;               // at 20 degrees C
  double tolerance = 0;
};

struct PickupSpec {
  std::vector<CoilSpec> coils;
  bool shield = false;
  std::vector<std::pair<std::string, std::string>> leads;         // lead -> end
  std::vector<std::pair<std::vector<std::string>, Span>> inside;  // ends or leads, surface first
  // A piezo: farads and their tolerance instead of the coils' ohms; then there is one coil, for its ends' names.
  std::optional<std::pair<Farads, double>> piezo;
};

struct PotSpec {
  Ohms track = 0;
  double tolerance = 0;
  Taper taper = Taper::Unknown;
  std::vector<double> shares;  // of Taper::Listed, as Pot has them
  bool no_load = false;        // at 10 the wiper leaves the track
  double normal = 10;          // where the knob rests
  std::optional<PartId> gang;  // the pot whose shaft it is on
};

struct SwitchSpec {
  std::vector<std::string> lugs;
  struct Place {
    std::string name;
    std::vector<std::vector<std::string>> groups;  // lugs that touch there
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
  std::string name;              // or empty
  std::vector<PointId> run;      // from point to point, two at least
  std::vector<PointId> pressed;  // those of them where it is trapped or screwed, not soldered
  std::string colour;
  std::optional<double> gauge;   // AWG
  std::optional<double> length;  // metres, of the whole run
  bool uncut = false;            // one wire from end to end, bared at the points between
  // The outer conductor of a shielded cable; an end without a point is left free.
  std::optional<std::pair<std::optional<PointId>, std::optional<PointId>>> braid;
  Span at;
};

class HarnessBuilder {
 public:
  explicit HarnessBuilder(Defaults defaults = {}) : defaults_(defaults) {}

  // What the instrument is called, and a line about it.
  void title(std::string name, std::string about);

  // Each adds one part with its points and what lies between them inside it; `at` is its place in the netlist, tolerances are
  // shares. The points are called `name.point`. Throws std::logic_error for a name given twice.

  // A pickup: its leads, or the ends of its coils where no lead stands for them, and `shield`.
  PartId add_pickup(const std::string& name, const PickupSpec&, Span at);

  // A pot: lugs `1` to `3`, a `case` unless it sits on another's shaft.
  PartId add_pot(const std::string& name, const PotSpec&, Span at);

  // A switch: its lugs by the names given; `frame` and `case` are metal. Two lugs are one contact, in whichever positions it is
  // closed.
  PartId add_switch(const std::string& name, const SwitchSpec&, Span at);

  // A jack: its contacts and rests, and what the far end of the test cable has of it: `plug-tip`, `plug-sleeve` and, where the
  // plug is a stereo one, `plug-ring`.
  PartId add_jack(const std::string& name, const JackSpec&, Span at);

  // Leads `1` and `2`. An inductor is a coil that makes no sound, of so many henries; a capacitor, of so many farads, conducts
  // nothing.
  PartId add_resistor(const std::string& name, Ohms, double tolerance, Span at);
  PartId add_inductor(const std::string& name, Ohms dcr, double tolerance, double henries, Span at);
  PartId add_capacitor(const std::string& name, Farads, double tolerance, Span at);

  // Metal that is no part of another: a surface at each point, each touching the next for good.
  PartId add_metal(const std::string& name, const std::vector<std::string>& points, Span at);

  // `plus` and `minus`, with nothing known of what lies between.
  PartId add_battery(const std::string& name, double volts, Span at);

  // A circuit that isn't modelled: it may join its points or not.
  PartId add_module(const std::string& name, const std::vector<std::string>& points, Span at);

  // All wires at once. Names their ends: `A>B`, and `name:A>B` where two wires join the same points. A wire without a name that
  // needs one is called by its place in the list: `wire-3`.
  void add_wires(const std::vector<WireSpec>&);

  // One blob of solder that holds these leads on a surface. A wire's end that no joint lists gets one of its own; on a lug or
  // lead all of them are one blob.
  void add_joint(PointId surface, const std::vector<PointId>& leads, Span at);

  // The first of these points touches each of the others without solder: always, or only with the cavity closed.
  void add_touch(const std::vector<PointId>& points, Conducts, Span at);

  // A state of assembly. A pot on another's shaft is missing where that one is.
  void add_stage(Stage);

  // Lugs that are left unsoldered on purpose.
  void set_spare(PartId, const std::vector<PointId>& points);

  // What has to be off before a probe gets there: at a point, or at all points of a part that have none of their own. Else in
  // the cavity, but plugs, bridge and strings are outside.
  void set_reach(PointId, Reach);
  void set_reach(PartId, Reach);

  // What has been declared so far, for finding names.
  const Harness& so_far() const { return harness_; }

  // Makes the blobs and settles what is in reach. The builder is empty then.
  Harness build();

 private:
  class Wiring;

  // A blob as it was declared.
  struct Entry {
    PointId surface;
    std::vector<PointId> leads;
    Span at;
    bool inside = false;  // a pickup
  };

  PartId add_part(const std::string& name, PartKind, Span);
  PointId add_point(const std::string& name, PointRole, std::optional<PartId>, Span);
  PointId add_part_point(PartId, const std::string& point, PointRole, Span);
  PointId add_hidden(const std::string& description, PointRole, PointId on, Span);
  void alias(const std::string& name, PointId);
  ElementId add_element(Element);
  PointId part_point(PartId, const std::string& point) const;
  PartId add_two_leads(const std::string& name, PartKind, double value, double tolerance, Element, Span);
  void join_inside(PartId, const PickupSpec&, const std::map<std::string, PointId>& ends);
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
