#include "diagnosis/inside/remedy.h"

namespace lugwise {
namespace {

// A wire trapped under a part, or two parts that touch: no blade to bend.
bool is_pressed(const Harness& harness, const Fault& fault) {
  return fault.site == Site::Contact && fault.element && harness[*fault.element].pressed;
}

}  // namespace

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
      return fault.mode == Mode::Short
                 ? "Part them." + again
                 : "Scuff and flux the metal, reflow the joint, hold the lead still, tug when cold." + again;
    case Site::Wire:
      return "Look along the wire, bend it while watching the meter, and replace it." + again;
    case Site::Contact:
      if (is_pressed(harness, fault))
        return "Loosen it, clean both faces to bright metal, press or screw it tight again." + again;
      return fault.mode == Mode::Short
                 ? "Look for a bent blade or a bridge of solder across the contact." + again
                 : "Work the contact a dozen times, clean it, bend its blade; else replace it." + again;
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
        return "bend its blade, or replace the part";
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
      return "reflow";
    case Site::Wire:
      return "replace the wire";
    case Site::Contact:
      return is_pressed(harness, fault) ? "clean both faces and tighten it" : "clean it and bend its blade";
    case Site::Track:
    case Site::Wiper:
      return "clean the pot, or replace it";
    default:
      return "measure it alone, then replace it";
  }
}

}  // namespace lugwise
