// The picture of a harness as it lies in its cavity: one SVG that stands by itself.
//
//   const Layout layout = lay_out(harness);            // once a harness
//   picture(harness, layout, {});                      // the whole of it
//   Look look;                                         // one step of a plan
//   look.setting = step.setting; look.probes = {step.a, step.b}; look.small = true; look.id_prefix = "step-4-";
//   picture(harness, layout, look);
//
// The SVG has a title and a description, needs nothing from outside and holds no script. It can stand in an HTML page,
// more than once where each has an `id_prefix` of its own (letters, digits, - and _). A layout belongs to the harness it was made
// of, and so do all points, parts and faults that are named here.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "circuit/setting.h"
#include "drawing/layout.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "harness/places.h"

namespace lugwise {

// Why a harness is too large to be drawn, as "it has 412 parts; at most 100 can be drawn"; empty where it isn't. Drawn are up to
// 100 parts, 1000 points on them, and 300 wires, leads and touches.
std::string too_large_to_draw(const Harness& harness);

// Where everything lies. The same for the same harness, and moved by no wire and no value. `places` is where its netlist wants
// parts. A harness too large to be drawn has an empty layout, and its picture only says so.
Layout lay_out(const Harness& harness, const Places& places = {});

// A place on the picture that a text beside it speaks of: its letter, and a few words that stand behind it.
struct Tag {
  PointId point;
  std::string letter;
  std::string words;  // "2 5-7"; may be empty
};

// What differs between a harness and the same after a change, as its picture marks it.
struct Alteration {
  enum class Kind { Added, Moved, TakenOff };
  Kind kind = Kind::Added;
  std::string words;                  // "wire from volume.2 to jack.tip"
  std::optional<std::size_t> strand;  // of the new layout
  std::optional<PartId> part;         // of the new harness: all of it is added
  std::vector<Cell> was;  // where it ran before; empty where that can't be laid over the new picture
};

// What of a harness a picture shows, and what is marked on it.
struct Look {
  std::optional<std::size_t> stage;  // index into Harness::stages(); its missing parts are drawn faint
  std::optional<Setting> setting;    // contacts, wipers and what is live are drawn for it
  std::optional<std::pair<PointId, PointId>>
      probes;                       // A, which parks, and B; the path between them is marked
  std::vector<Fault> marked;        // suspects, numbered in this order
  std::vector<Tag> tags;            // where probes go, each with its letter
  std::vector<Alteration> changes;  // numbered in this order
  bool ground_symbols = false;      // instead of long ways to ground
  bool within =
      false;  // in a page that says whose it is: without a title, and no more of a legend than it needs
  bool small = false;     // only what lies around the probes, for 8 cm of paper; no legend
  std::string id_prefix;  // of every id in it
};

// The SVG. Throws std::logic_error where `setting` was made for another harness, and with `probes` NetworkTooDense
// (network/network.h) where the current's way between them can't be worked out.
std::string picture(const Harness& harness, const Layout& layout, const Look& look);

// What was added, moved or taken off from one harness to the next: parts first, then wires and leads, each kind in the order of
// its harness. Parts are the same by their names, wires by theirs or by what they join, leads by theirs.
std::vector<Alteration> changes_between(const Harness& before, const Layout& layout_before,
                                        const Harness& after, const Layout& layout_after);

// How large that picture is, in its own units: 96 of them are an inch where nothing sets another size. Throws as picture() does.
struct Extent {
  double width = 0, height = 0;
};
Extent extent_of(const Harness& harness, const Layout& layout, const Look& look);

}  // namespace lugwise
