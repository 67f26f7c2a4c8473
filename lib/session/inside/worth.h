// When a probe is worth taking.
#pragma once

namespace lugwise::session::inside {

// A probe that tells less is not worth opening a hand for, unless more is asked for.
inline constexpr double kLeastBits = 0.02;

}  // namespace lugwise::session::inside
