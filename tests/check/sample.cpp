#include "sample.h"

#include <stdexcept>

namespace lugwise::test {

const std::string kSound = R"(lugwise: 1
name: Fernhollow 2
parts:
  front:    {kind: pickup, dcr: 6.2k}
  rear:     {kind: pickup, dcr: 6.9k}
  selector:
    kind: switch
    lugs: [f, r, out]
    positions:
      rear:   [[r, out]]
      both:   [[f, r, out]]
      front:  [[f, out]]
  volume:   {kind: pot, track: 250k, taper: audio}
  tone:     {kind: pot, track: 250k, taper: audio}
  cap:      {kind: capacitor, value: 47n}
  jack:     {kind: jack}
  hardware: {kind: metal, points: [bridge, strings]}
joints:
  - [selector.f, front.hot]
  - [selector.r, rear.hot]
  - [volume.case, front.ground, rear.ground, volume.1]
  - [tone.2, cap.1]
  - [tone.case, cap.2]
wires:
  - [selector.out, volume.3]
  - [volume.3, tone.1]
  - [volume.2, jack.tip]
  - {run: [volume.case, hardware.bridge], pressed: [hardware.bridge], colour: black}
  - {run: [volume.case, tone.case, jack.sleeve], colour: black}
)";

std::string changed(const std::vector<std::pair<std::string, std::string>>& changes) {
  std::string text = kSound;
  for (const auto& [words, instead] : changes) {
    const std::size_t at = text.find(words);
    if (at == std::string::npos || text.find(words, at + 1) != std::string::npos) {
      throw std::logic_error("not there exactly once: " + words);
    }
    text.replace(at, words.size(), instead);
  }
  return text;
}

const std::vector<Sample>& samples() {
  static const std::vector<Sample> list{
      {"W101", {{"front.hot]", "front.hot, front.ground]"}, {"case, front.ground", "case"}}, {"W101"}},
      {"W102",
       {{"  - {run: [volume.case, hardware.bridge], pressed: [hardware.bridge], colour: black}\n", ""}},
       {"W102"}},
      {"W103", {{"jack.tip]", "jack.tip, jack.sleeve]"}}, {"W103"}},
      {"W104", {{"  - [tone.case, cap.2]\n", ""}}, {"W104"}},
      {"W105",
       {{"rear:     {kind: pickup, dcr: 6.9k}",
         "rear:     {kind: pickup, coils: {slug: 3.4k, screw: 3.5k}, leads: {red: slug-start, green: "
         "slug-finish, "
         "white: screw-start}}"},
        {"rear.hot", "rear.red"},
        {"rear.ground", "rear.green, rear.white"}},
       {"W101", "W105"}},
      {"W106", {{"tone.2, cap.1]", "tone.2, cap.1, cap.2]"}, {"  - [tone.case, cap.2]\n", ""}}, {"W106"}},
      {"W107", {{"front:  [[f, out]]", "front:  [[out, r]]"}}, {"W107"}},
      {"W108",
       {{"rear.ground, volume.1", "rear.ground, volume.3"},
        {"[selector.out, volume.3]", "[selector.out, volume.1]"},
        {"[volume.3, tone.1]", "[volume.1, tone.1]"}},
       {"W108"}},
      {"W109", {{"tone.1]", "tone.3]"}}, {"W104", "W109"}},
      {"W110", {{"[tone.case, cap.2]", "[cap.2, tone.case]"}}, {"W110"}},
      {"W111", {{"jack.sleeve], colour: black", "jack.sleeve], colour: blakc"}}, {"W111"}},
      {"W112",
       {{"  jack:     {kind: jack}\n", ""},
        {"[volume.2, jack.tip]", "[volume.2, tone.3]"},
        {", jack.sleeve]", "]"}},
       {"W112"}},
      {"W113", {{"jack.tip", "jack.sleeve"}, {"tone.case, jack.sleeve", "tone.case, jack.tip"}}, {"W113"}},
      {"W114", {{"front.hot]", "front.ground]"}, {"case, front.ground", "case, front.hot"}}, {"W114"}},
      {"W115",
       {{"lugs: [f, r, out]", "lugs: [f, r, out, spare]"},
        {"[selector.r, rear.hot]", "[selector.spare, rear.hot]"}},
       {"W101", "W104", "W115"}},
      {"W116",
       {{"joints:\n",
         "stages:\n  bare: {without: [front, rear, selector, volume, tone, cap, jack, "
         "hardware]}\njoints:\n"}},
       {"W116"}},
      {"W117", {{"dcr: 6.2k", "dcr: 6.2"}}, {"W117"}},
      {"W118", {{"tone.1]", "tone.1]\n  - [tone.1, tone.3]"}}, {"W118"}},
      {"W119",
       {{"joints:\n",
         "  preamp:   {kind: module, points: [in, out, plus, ground]}\n  battery:  {kind: battery, voltage: "
         "9}\njoints:\n"
         "  - [preamp.plus, battery.plus]\n"},
        {"rear.ground, volume.1", "rear.ground, volume.1, battery.minus"},
        {"[volume.2, jack.tip]",
         "[volume.2, preamp.in]\n  - [preamp.out, jack.tip]\n  - [preamp.ground, tone.case]"}},
       {"W119"}},
      {"W120", {{"both:   [[f, r, out]]", "both:   [[f, r]]"}}, {"W120"}},
  };
  return list;
}

}  // namespace lugwise::test
