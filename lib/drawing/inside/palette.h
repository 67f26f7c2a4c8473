// The colours of a picture: each is named here and typed nowhere else. And those a wire can be said to have, as they look on
// paper.
#pragma once

#include <string>
#include <string_view>

namespace lugwise::drawing::inside {

inline constexpr std::string_view kWhite = "#fff";
inline constexpr std::string_view kBlack = "#000";  // tags, that are read from afar
inline constexpr std::string_view kInk = "#1d2126";
inline constexpr std::string_view kRule = "#c9ccd0";
inline constexpr std::string_view kPlace = "#7a3b00";  // where a control stands

inline constexpr std::string_view kBody = "#f5f2ea";   // of a part
inline constexpr std::string_view kCase = "#e9e6de";   // of a pot, and plates
inline constexpr std::string_view kMetal = "#dcd7c9";  // of lugs
inline constexpr std::string_view kFaint = "#8b9096";
inline constexpr std::string_view kSolder = "#c9cbcc";

inline constexpr std::string_view kUncoloured = "#b4bcc4";  // a wire whose colour isn't told
inline constexpr std::string_view kBareWire = "#e0ad7b";
inline constexpr std::string_view kBraid = "#e6e8ea";

inline constexpr std::string_view kHot = "#f2b48c";
inline constexpr std::string_view kGround = "#9fbfdc";
inline constexpr std::string_view kTrail = "#ffd24a";  // the current's way between the probes
inline constexpr std::string_view kProbeA = "#15181c";
inline constexpr std::string_view kProbeB = "#c21f30";
inline constexpr std::string_view kSuspect = kProbeB;
inline constexpr std::string_view kAdded = "#0b6e3a";
inline constexpr std::string_view kTakenOff = kProbeB;

struct Paint {
  std::string base;    // "#rrggbb"
  std::string stripe;  // of a second colour; empty: none
  bool known = false;  // some colour was named
};

// "white", "dark green", "red/white", "white with blue stripe": the first colour named, and the second as a stripe. What
// names none is grey.
Paint paint_of(std::string_view words);

}  // namespace lugwise::drawing::inside
