// When to stop probing.
#pragma once

namespace lugwise::session::inside {

// Of what is likely to be wrong, the first place has so much when it is named.
inline constexpr double kSure = 0.9;

// A probe that tells less is not worth opening a hand for, unless more is asked for.
inline constexpr double kLeastBits = 0.02;

}  // namespace lugwise::session::inside
