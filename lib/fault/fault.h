// What can be wrong with a harness, and what each fault does to a circuit.
//
// Faults, elements and points are those of one harness throughout; of another harness is a programming error.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "circuit/circuit.h"
#include "harness/harness.h"

namespace lugwise {

enum class Mode { Open, High, Short, Value, Misplaced };

// Where a fault sits. The first nine are kinds of element; the rest are pairs of points that must not touch.
enum class Site { Joint, Blob, Wire, Contact, Coil, Track, Wiper, Resistor, Capacitor, Lugs, Braid, Nearby };

std::string_view mode_name(Mode);  // "open", "high", "short", "value", "misplaced"
std::string_view site_name(Site);  // "joint", ..., "nearby"

// An end of an element that is at `to` instead of at `from`: points, or the solder of a blob there.
struct Moved {
  ElementId element;
  PointId from, to;
  friend auto operator<=>(const Moved&, const Moved&) = default;
};

// The one position of a switch in which a contact fails that is closed in several: a leaf that no longer reaches.
struct OnlyIn {
  PartId control;
  std::uint16_t position = 0;
  friend bool operator==(const OnlyIn&, const OnlyIn&) = default;
};

struct Fault {
  Mode mode = Mode::Open;
  Site site = Site::Joint;
  std::optional<ElementId> element;  // what breaks, rises, or stays closed; none for shorts between points
  std::vector<PointId> points;       // how reports name it
  PointId a, b;                      // Short: the points that touch; Misplaced: where it is, where it belongs
  double weight = 1;                 // how common it is beside the others; a judgement, see docs/faults.md
  Span at;                           // the line of the netlist it comes from
  std::vector<PointId> also = {};    // Misplaced: what it is exchanged with, named like `points`
  std::vector<Moved> moved = {};     // Misplaced: all that is elsewhere
  std::optional<OnlyIn> in = {};     // a switch's contact that is open in this position only

  friend bool operator==(const Fault& x, const Fault& y) {
    return x.mode == y.mode && x.site == y.site && x.element == y.element && x.points == y.points &&
           x.also == y.also && x.in == y.in;
  }
};

// A track that jumps as its knob is turned. It is Mode::High at Site::Track, has no size and no reading of its own: at
// the stops, and wherever the wiper happens to rest well, all reads as in a sound harness.
bool is_worn_track(const Fault& fault);

// Whether a fault can show in this circuit at all: not one of a contact that fails in another position only.
inline bool acts_in(const Fault& fault, const Circuit& circuit) {
  return !fault.in || circuit.setting.position(fault.in->control) == fault.in->position;
}

// Whether two faults would be mended at one place: a joint, wire, contact, coil or pot, whatever is wrong with it. Leads in
// the wrong place are so only where the same leads are.
bool same_place(const Fault& x, const Fault& y);

// The second of two exchanged leads as a fault of its own, for reports; none of a fault that is one thing.
std::optional<Fault> partner(const Fault& fault);

// Every fault of one place that the harness can have with all parts there: opens of all that conducts, high joints,
// blobs, contacts and wipers, worn tracks, shorts between neighbours, wrong values, misplaced leads. In the order of
// modes, then of the netlist.
std::vector<Fault> faults_of(const Harness& harness);

// Those that can happen with the parts of a stage: both ends are there, a blob holds something, and a misplaced lead
// joins or parts points that are there.
std::vector<Fault> faults_at(const Harness& harness, std::optional<std::size_t> stage);

// What a short measures where nothing is said: metal on metal, from nothing to about what a contact shows.
inline constexpr Band kShort{0, 0.1, 1.0};

// The element of a short's branch: none of the harness's own.
inline constexpr std::uint32_t kNoElement = 0xffffffff;

// The circuit with the fault in it. `size` is the added ohms of a High, the factor of a Value; Open, Short and
// Misplaced take none. A fault whose element does not conduct in this circuit changes nothing, nor does a worn track.
Circuit with_fault(const Circuit& circuit, const Fault& fault, double size = 0);

// A fault in words, as a technician would say it: "the joint of front.ground at volume.case is open".
std::string in_words(const Harness& harness, const Fault& fault);

// Where to put the tip: "the bare wire at volume.3 that goes to tone.1".
std::string point_in_words(const Harness& harness, PointId point);

}  // namespace lugwise
