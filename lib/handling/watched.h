// What is seen while something moves, and how often: judgements from bench practice, not measurements. Plan, diagnosis and
// what is simulated for them have them from here.
#pragma once

namespace lugwise {

// What moves the display by fewer of its last digits than this is not sure to be seen while a knob turns,
inline constexpr double kSeenSweeping = 20;
// and while a joint is pressed, which stands still otherwise.
inline constexpr double kSeenWiggling = 3;

// How often a loose joint or contact betrays itself that is pressed and moved.
inline constexpr double kBetrays = 0.7;

// And how often a sweep jumps over a worn track or a dirty wiper that it sees.
inline constexpr double kJumps = 0.995;

}  // namespace lugwise
