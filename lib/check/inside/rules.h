// Everything `check` looks for, one function a warning.
#pragma once

#include "check/inside/as_drawn.h"
#include "source/diagnostic.h"

namespace lugwise::check::inside {

// W101: no setting of the switches puts the coil between tip and sleeve.
// W120: a position of a switch puts none there, though its lugs are soldered and the hot is not put on ground.
void silent_coils(const Drawing& drawing, Diagnostics& found);

// W102: cases, frames, shields, metal and braids that no wire, contact, resistor or capacitor ties to a sleeve.
void floating_metal(const Drawing& drawing, Diagnostics& found);
// W103: tip and sleeve are one net with every knob at 10 and each switch in its first position, or one of them in
// another and not there to silence the guitar. Returns whether that is
// so at every jack whatever the switches do: then nothing can be heard, and there is no use in saying so of each coil.
bool grounded_hot(const Drawing& drawing, Diagnostics& found);
// W113: the tip has the cases on it, and the sleeve has not.
void exchanged_jacks(const Drawing& drawing, Diagnostics& found);
// W114: a pickup's hot is on the sleeve, its ground is not.
void reversed_pickups(const Drawing& drawing, Diagnostics& found);

// W104: nothing is joined to it.
void left_over_points(const Drawing& drawing, Diagnostics& found);
// W105: a coil's end that no lead stands for and nothing is joined to.
void lost_coil_ends(const Drawing& drawing, Diagnostics& found);
// W115: the only lead on a switch lug that nothing ever touches.
void dead_switch_lugs(const Drawing& drawing, Diagnostics& found);
// W106: a capacitor or resistor between two points of one net.
void bypassed_parts(const Drawing& drawing, Diagnostics& found);

// W108: at 10 the wiper is at ground.
void backward_volumes(const Drawing& drawing, Diagnostics& found);
// W109: at 10 none of the track is in series with the capacitor.
void backward_tones(const Drawing& drawing, Diagnostics& found);
bool backward_volume(const Drawing& drawing, PartId pot);

// W118: both ends of a track on one net.
void idle_pots(const Drawing& drawing, Diagnostics& found);

// W107: the same lugs touch.
void equal_positions(const Drawing& drawing, Diagnostics& found);
// W110: a case or frame written as if it were a lead.
void buried_cases(const Drawing& drawing, Diagnostics& found);
// W112
void missing_jack(const Drawing& drawing, Diagnostics& found);
// W116: a stage without any part.
void empty_stages(const Drawing& drawing, Diagnostics& found);
// W117: a coil, track or capacitor far from any in use.
void odd_values(const Drawing& drawing, Diagnostics& found);

// W119: a battery that feeds a module with the plug out.
void draining_batteries(const Drawing& drawing, Diagnostics& found);

// W111: covers, colours and parts.
void misspelt_names(const Drawing& drawing, Diagnostics& found);

}  // namespace lugwise::check::inside
