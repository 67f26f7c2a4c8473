// What is soldered to what: parts, the points a probe can touch, and the elements that conduct between them.
//
// A harness is a value. It holds no switch position, no reading and no answer; it is built once by HarnessBuilder
// and never changes. Points also stand for the places no probe reaches but where elements meet: the inside of a blob
// of solder, and the wiper's place on a pot's track.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "component/ohms.h"
#include "harness/id.h"
#include "source/span.h"

namespace lugwise {

enum class PartKind { Pickup, Pot, Switch, Jack, Resistor, Capacitor, Metal, Battery, Module, Inductor };

// How many kinds there are.
inline constexpr std::size_t kPartKinds = static_cast<std::size_t>(PartKind::Inductor) + 1;

enum class PointRole {
  Lug,         // of a pot, switch or jack: what is soldered to it is one blob
  Lead,        // of a pickup, resistor, capacitor, battery or module
  Surface,     // a case, frame, shield or metal: each blob on it is its own
  WireEnd,     // the bare wire just outside its joint, `A>B`
  Plug,        // the far end of the test cable
  Inside,      // a coil's end inside its pickup, without a lead
  Solder,      // inside a blob; never probed
  WiperPlace,  // where the wiper stands on the track; never probed
};

// What has to be taken off before a probe reaches a point.
enum class ReachKind { Outside, Cavity, Cover, Hidden };
struct Reach {
  ReachKind kind = ReachKind::Cavity;
  std::string cover;  // the cover's name where kind is Cover
  friend bool operator==(const Reach&, const Reach&) = default;
};

struct Point {
  std::string name;  // `part.point`, `A>B`, `name:A>B`; for solder and wiper places a description
  PointRole role = PointRole::Lug;
  std::optional<PartId> part;  // whose point this is; none for wire ends
  std::optional<WireId> wire;  // for wire ends
  std::optional<PointId> on;   // for a wire end or solder: the point it is soldered to
  Reach reach;
  Span at;
};

enum class ElementKind { Joint, Blob, Wire, Contact, Coil, Track, Wiper, Resistor, Capacitor };

// When an element conducts.
enum class Conducts {
  Always,
  InPositions,   // a switch's contact: in the positions listed in `closed_in`
  PlugIn,        // a jack's contact to the plug
  PlugOut,       // a jack's contact to its rest
  CavityClosed,  // a touch that opens with the cavity
  ByKnob,        // a pot's track and wiper
  Never,         // a capacitor, at DC
};

struct Element {
  ElementKind kind = ElementKind::Joint;
  PointId a;  // the surface, the start, the common lug's partner: what `points` names first
  PointId b;
  Band ohms;  // sound limits; a coil's at 20 degrees C; a wiper's at the stop
  std::vector<PointId>
      points;  // how reports name it: [surface, lead], [A, A>B], [A, B], [pot.1, pot.3], [pot.2], …
  Conducts when = Conducts::Always;
  std::optional<PartId> part;  // whose element this is: the control that moves it, the coil's pickup, …
  std::vector<std::uint16_t> closed_in;  // InPositions: the switch's positions, rising
  std::optional<WireId> wire;            // Wire, and joints or contacts of a wire's end
  bool pressed = false;                  // a contact that is trapped or screwed, or a touch
  Span at;
};

enum class Taper { Unknown, Linear, Audio, ReverseAudio, Listed };

struct Pot {
  Band track;
  Taper taper = Taper::Unknown;
  std::vector<double>
      shares;  // Listed: share of the track between lugs 1 and 2, evenly spaced over the knob's travel
  bool no_load = false;        // at 10 the wiper leaves the track
  double normal = 10;          // where plans leave it
  std::optional<PartId> gang;  // the pot whose shaft and case it shares
  PointId lug1, lug2, lug3, wiper_place;
  ElementId track_element, wiper_element;
};

struct Position {
  std::string name;
  std::vector<std::vector<PointId>> groups;  // the lugs that touch, as written
  Span at;
};

struct Part {
  std::string name;
  PartKind kind = PartKind::Metal;
  Span at;
  std::vector<PointId> points;      // as declared; without solder and wiper places
  std::optional<Pot> pot;           // PartKind::Pot
  std::vector<Position> positions;  // PartKind::Switch
  std::optional<double>
      value;  // ohms, farads, henries or volts as typed: resistor, capacitor and piezo, inductor, battery
  std::optional<double> tolerance;                         // as a share
  std::vector<std::pair<std::string, std::string>> leads;  // pickup: lead name -> the end it is
  std::optional<PartId> mounted;                           // a switch on a pot's shaft: that pot
  std::vector<PointId> spare;                              // lugs left unsoldered on purpose
};

struct Wire {
  std::string name;          // as given, or empty
  std::vector<PointId> run;  // as written
  std::string colour;
  std::optional<double> gauge;   // AWG
  std::optional<double> length;  // metres, of the whole run
  bool uncut = false;
  bool braid = false;  // this is the outer conductor of `core`
  std::optional<WireId> core;
  std::vector<ElementId> legs;
  Span at;
};

// One blob of solder: a surface and the leads in it. `solder` is set where it holds two leads or more.
struct Blob {
  PointId surface;
  std::vector<PointId> leads;
  std::optional<PointId> solder;
  std::optional<ElementId> grip;  // the blob's own grip on its surface
  std::vector<ElementId> joints;  // one a lead
  bool inside = false;            // made inside a pickup
  Span at;
};

// Parts not there yet.
struct Stage {
  std::string name;
  std::vector<PartId> without;
  Span at;
};

class Harness {
 public:
  std::string name;
  std::string about;
  // The files it was read from, by Span::file: the one that was named first; empty for one that was not read.
  std::vector<std::string> files;

  const std::vector<Part>& parts() const { return parts_; }
  const std::vector<Point>& points() const { return points_; }
  const std::vector<Element>& elements() const { return elements_; }
  const std::vector<Wire>& wires() const { return wires_; }
  const std::vector<Blob>& blobs() const { return blobs_; }
  const std::vector<Stage>& stages() const { return stages_; }

  const Part& operator[](PartId id) const { return parts_[id.index]; }
  const Point& operator[](PointId id) const { return points_[id.index]; }
  const Element& operator[](ElementId id) const { return elements_[id.index]; }
  const Wire& operator[](WireId id) const { return wires_[id.index]; }

  std::optional<PartId> find_part(std::string_view name) const;
  // A point by any of its names, solder and wiper places excepted.
  std::optional<PointId> find_point(std::string_view name) const;
  const Stage* find_stage(std::string_view name) const;

  // Every name a probe's place can be given by, in declaration order; for near-miss suggestions.
  std::vector<std::string> point_names() const;

  // Whether a probe can ever touch it: not solder, not a wiper's place, not hidden.
  bool probeable(PointId id) const;

  // Whether this is one part that nothing is joined to, as it is measured before it goes in. A pot counts as one with the
  // pots on its shaft.
  bool by_itself() const;

  // Whether a part sounds by a capacitance instead of a coil: a piezo.
  bool piezo(PartId id) const { return parts_[id.index].kind == PartKind::Pickup && parts_[id.index].value; }

  // Whether a part is a control: a pot without a gang, a switch, a jack.
  bool is_control(PartId id) const {
    const Part& part = parts_[id.index];
    return (part.kind == PartKind::Pot && !part.pot->gang) || part.kind == PartKind::Switch ||
           part.kind == PartKind::Jack;
  }
  // Those parts in declaration order.
  std::vector<PartId> controls() const;

 private:
  friend class HarnessBuilder;
  std::vector<Part> parts_;
  std::vector<Point> points_;
  std::vector<Element> elements_;
  std::vector<Wire> wires_;
  std::vector<Blob> blobs_;
  std::vector<Stage> stages_;
  std::unordered_map<std::string, PartId> part_names_;
  std::unordered_map<std::string, PointId> point_names_;
  std::vector<std::string> name_order_;
};

}  // namespace lugwise
