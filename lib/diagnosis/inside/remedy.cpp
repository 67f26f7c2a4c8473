#include "diagnosis/inside/remedy.h"

#include <algorithm>

namespace lugwise::diagnosis::inside {
namespace {

// A wire trapped under a part, or two parts that touch: no blade to bend.
bool is_pressed(const Harness& harness, const Fault& fault) {
  return fault.site == Site::Contact && fault.element && harness[*fault.element].pressed;
}

// A joint made inside a pickup, where nobody at the bench solders.
bool is_inside(const Harness& harness, const Fault& fault) {
  if (!fault.element || (fault.site != Site::Joint && fault.site != Site::Blob)) return false;
  return std::any_of(harness.blobs().begin(), harness.blobs().end(), [&](const Blob& blob) {
    return blob.inside && (blob.grip == fault.element || std::find(blob.joints.begin(), blob.joints.end(),
                                                                   *fault.element) != blob.joints.end());
  });
}

// Of a switch or a jack, where a blade or a spring may lie open; of metal on metal there is none.
bool has_blade(const Harness& harness, const Fault& fault) {
  const std::optional<PartId> part = fault.element ? harness[*fault.element].part : std::nullopt;
  return part && (harness[*part].kind == PartKind::Switch || harness[*part].kind == PartKind::Jack);
}

std::string remedy_of_contact(const Harness& harness, const Fault& fault) {
  if (is_pressed(harness, fault) || !has_blade(harness, fault))
    return "Loosen it, clean both faces, press or screw it tight again; paint and foil are wiped, not "
           "scraped.";
  return fault.mode == Mode::Short
             ? "Look for a bent blade or a bridge of solder across the contact; a closed switch is replaced."
             : "Work the contact a dozen times and clean it; a blade that lies open may be bent a little, a "
               "closed switch is replaced.";
}

}  // namespace

std::string remedy_of_measured_alone(const Fault& fault) {
  return fault.site == Site::Coil ? "It was measured alone: replace the pickup, or have it rewound."
                                  : "It was measured alone: replace it.";
}

std::string remedy(const Harness& harness, const Fault& fault) {
  const std::string again = " Then take the readings that were wrong again.";
  const bool sweeps = fault.site == Site::Wiper || fault.site == Site::Track;
  if (harness.by_itself() && (fault.site == Site::Wiper || (sweeps && fault.mode == Mode::Open)))
    return "Turn it from end to end a dozen times and measure again; if that is no help, clean or replace "
           "it.";
  if (harness.by_itself() && fault.mode == Mode::Value && fault.site == Site::Coil)
    return "It is another pickup than was asked for, or a part of its coil is shorted.";
  if (harness.by_itself() && fault.mode == Mode::Value)
    return "Look at what is printed on it; this part is not the one that was asked for.";
  if (harness.by_itself() && fault.element && fault.site != Site::Contact)
    return "Measure it once more, tips on bare metal; if it reads the same it does not go in.";
  if (fault.mode == Mode::Value && fault.site == Site::Capacitor)
    return "Look at what is printed on it, and put in one of the right value.";
  if (fault.mode == Mode::Misplaced) {
    const bool both = !fault.also.empty() && fault.site != Site::Contact;
    return std::string(both ? "Look along both, and exchange them."
                            : "Look along it, and move it to where it belongs.") +
           again;
  }
  switch (fault.site) {
    case Site::Joint:
    case Site::Blob:
      if (is_inside(harness, fault)) return "It lies inside the pickup: that is a rewinder's work." + again;
      return fault.mode == Mode::Short
                 ? "Part them." + again
                 : "Scuff and flux the metal, reflow the joint, hold the lead still, tug when cold." + again;
    case Site::Wire:
      return "Look along the wire, bend it while watching the meter, and replace it." + again;
    case Site::Contact:
      return remedy_of_contact(harness, fault) + again;
    case Site::Coil:
      return "Lift one lead of the pickup and measure it alone before it is condemned.";
    case Site::Track:
    case Site::Wiper:
      if (fault.mode == Mode::High)
        return "Turn the pot from end to end a dozen times, clean it and sweep it again; else replace it.";
      return "Lift one lead of the pot, measure it alone and sweep it; clean or replace it." + again;
    case Site::Resistor:
    case Site::Capacitor:
      return "Lift one lead of it and measure it alone before it is replaced.";
    default:
      return "Look for a strand, a bridge of solder or a bent lug between them, and part them." + again;
  }
}

std::string remedy_in_short(const Harness& harness, const Fault& fault) {
  if (harness.by_itself()) return "put in another";
  if (fault.mode == Mode::Misplaced) {
    if (fault.site == Site::Contact) return "turn it around";
    return fault.also.empty() ? "move it to where it belongs" : "exchange them";
  }
  if (fault.mode == Mode::Value) return "measure it alone, then replace it";
  if (fault.mode == Mode::Short) {
    switch (fault.site) {
      case Site::Coil:
      case Site::Capacitor:
        return "measure it alone, then replace it";
      case Site::Contact:
        return has_blade(harness, fault) ? "look for a bridge; else replace the part" : "part them";
      case Site::Braid:
      case Site::Nearby:
        return "part them and route the lead elsewhere";
      default:
        return "part them";
    }
  }
  switch (fault.site) {
    case Site::Joint:
    case Site::Blob:
      return is_inside(harness, fault) ? "have the pickup rewound or replaced" : "reflow";
    case Site::Wire:
      return "replace the wire";
    case Site::Contact:
      return is_pressed(harness, fault) || !has_blade(harness, fault) ? "clean both faces and tighten it"
                                                                      : "work and clean it, else replace it";
    case Site::Track:
    case Site::Wiper:
      return "clean the pot, or replace it";
    default:
      return "measure it alone, then replace it";
  }
}

}  // namespace lugwise::diagnosis::inside
