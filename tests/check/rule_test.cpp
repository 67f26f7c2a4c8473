// What earns a warning, and what a technician passes over.

#include "check/check.h"
#include "sample.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

using Codes = std::vector<std::string>;
using Changes = std::vector<std::pair<std::string, std::string>>;

Codes codes_in(const std::string& text) {
  Codes codes;
  for (const Diagnostic& warning : warnings_of(harness_from(text), "fernhollow-2.yaml"))
    codes.push_back(warning.code);
  return codes;
}

Codes codes_after(const Changes& changes) { return codes_in(changed(changes)); }

std::string first_message(const Changes& changes) {
  const auto warnings = warnings_of(harness_from(changed(changes)), "fernhollow-2.yaml");
  return warnings.empty() ? "" : warnings.front().message;
}

const std::string kPositions =
    "      rear:   [[r, out]]\n      both:   [[f, r, out]]\n      front:  [[f, out]]\n";

// A twin coil with all its leads, two of which the rest of the text joins.
std::string twin(const std::string& parts, const std::string& joints, const std::string& wires = "") {
  return "parts:\n"
         "  twin: {kind: pickup, coils: {slug: 3.9k, screw: 4k}, leads: {red: slug-start, green: "
         "slug-finish, "
         "white: screw-finish, black: screw-start}}\n"
         "  volume: {kind: pot, track: 500k}\n"
         "  jack: {kind: jack}\n" +
         parts + "joints:\n" + joints +
         "  - [volume.case, volume.1]\n"
         "wires:\n"
         "  - [volume.2, jack.tip]\n"
         "  - [volume.case, jack.sleeve]\n" +
         wires;
}

}  // namespace

// --- W101 ---

TEST_CASE("a pickup that no position selects reaches the jack in no setting", "[check]") {
  CHECK(codes_after({{kPositions, "      rear:   [[r, out]]\n      none: []\n"},
                     {"[f, r, out]", "[r, out]"},
                     {"  - [selector.f, front.hot]\n", "  - [tone.3, front.hot]\n"}}) == Codes{});
  CHECK(codes_after({{kPositions, "      rear:   [[r, out]]\n      none:   [[f, r]]\n"}}) == Codes{"W101"});
}

TEST_CASE("a pickup that one position of one of two switches brings to the jack is heard", "[check]") {
  const std::string parts =
      "  one: {kind: switch, lugs: [a, b], positions: {off: [], on: [[a, b]]}}\n"
      "  two: {kind: switch, lugs: [a, b], positions: {on: [[a, b]], off: []}}\n";
  const std::string joints =
      "  - [volume.case, twin.black]\n  - [twin.green, twin.white]\n  - [one.a, twin.red]\n";
  CHECK(codes_in(twin(parts, joints, "  - [one.b, two.a]\n  - [two.b, volume.3]\n")) == Codes{});
}

TEST_CASE("a pickup whose two switches never close together is silent", "[check]") {
  // One rotary has to stand in two positions at once.
  const std::string parts =
      "  rotary: {kind: switch, lugs: [a, b, c, d], positions: {one: [[a, b]], two: [[c, d]]}}\n";
  const std::string joints =
      "  - [volume.case, twin.black]\n  - [twin.green, twin.white]\n  - [rotary.a, twin.red]\n";
  CHECK(codes_in(twin(parts, joints, "  - [rotary.b, rotary.c]\n  - [rotary.d, volume.3]\n")) ==
        Codes{"W101"});
}

TEST_CASE("two coils in series are both heard, and a coil across itself is not", "[check]") {
  const std::string ends = "  - [volume.case, twin.black]\n  - [volume.3, twin.red]\n";
  CHECK(codes_in(twin("", ends + "  - [twin.green, twin.white]\n")) == Codes{});
  CHECK(codes_in(
            twin("", "  - [volume.case, twin.black, twin.white, twin.green]\n  - [volume.3, twin.red]\n")) ==
        Codes{"W101"});
}

TEST_CASE("a coil that a switch shorts in one of its positions is heard in the other", "[check]") {
  const std::string parts =
      "  split: {kind: switch, lugs: [a, b], positions: {pushed: [], pulled: [[a, b]]}}\n";
  const std::string joints =
      "  - [volume.case, twin.black]\n  - [volume.3, twin.red]\n"
      "  - [split.a, twin.green, twin.white]\n";
  CHECK(codes_in(twin(parts, joints, "  - [split.b, volume.case]\n")) == Codes{});
}

TEST_CASE("a lead left off is told as the reason of the silence", "[check]") {
  CHECK(first_message({{"  - [selector.f, front.hot]\n", ""}}) ==
        "'front' reaches the jack in no setting: 'front.hot' is joined to nothing");
}

TEST_CASE("more settings than can be tried leave a doubt, and nothing is said", "[check]") {
  // Thirteen switches in a row, each closed in another position than the first: the pickup is heard in one setting
  // of 8192. With twelve there are few enough to find that a coil across a wire never is.
  const auto row = [](int count) {
    std::string parts;
    std::string wires = "  - [s0.a, volume.3]\n";
    for (int i = 0; i < count; ++i) {
      const std::string name = "s" + std::to_string(i);
      parts += "  " + name + ": {kind: switch, lugs: [a, b], positions: " +
               (i % 2 ? "{off: [], on: [[a, b]]}}\n" : "{on: [[a, b]], off: []}}\n");
      if (i > 0) wires += "  - [s" + std::to_string(i - 1) + ".b, " + name + ".a]\n";
    }
    const std::string joints = "  - [volume.case, twin.black]\n  - [twin.green, twin.white]\n  - [s" +
                               std::to_string(count - 1) + ".b, twin.red]\n";
    return twin(parts, joints, wires);
  };
  CHECK(codes_in(row(12)) == Codes{});
  CHECK(codes_in(row(13)) == Codes{});
}

TEST_CASE("a pickup before a module is heard through it", "[check]") {
  CHECK(codes_after({{"joints:\n", "  preamp: {kind: module, points: [in, out, ground]}\njoints:\n"},
                     {"[volume.2, jack.tip]",
                      "[volume.2, preamp.in]\n  - [preamp.out, jack.tip]\n"
                      "  - [preamp.ground, tone.case]"}}) == Codes{});
}

// --- W102 ---

TEST_CASE("a case that the ground chain passes by has no path to the sleeve", "[check]") {
  CHECK(first_message({{"tone.case, jack.sleeve", "jack.sleeve"}}) ==
        "'tone.case' has no path to the jack's sleeve: run a ground wire to it");
}

TEST_CASE("metal on the hot is said to be there", "[check]") {
  CHECK(first_message({{"{run: [volume.case, hardware.bridge]", "{run: [volume.2, hardware.bridge]"}}) ==
        "'hardware.bridge' and 'hardware.strings' have no path to the jack's sleeve and are on the hot: run "
        "a ground "
        "wire to them");
}

TEST_CASE("a string ground through a resistor or a capacitor is a ground", "[check]") {
  for (const char* part : {"{kind: resistor, value: 220k}", "{kind: capacitor, value: 1n}"}) {
    CHECK(
        codes_after(
            {{"joints:\n", std::string("  safety: ") + part + "\njoints:\n  - [hardware.bridge, safety.1]\n"},
             {"  - {run: [volume.case, hardware.bridge], pressed: [hardware.bridge], colour: black}\n",
              "  - [safety.2, volume.case]\n"}}) == Codes{});
  }
}

TEST_CASE("metal that only touches grounded metal is grounded, even if only with the cavity closed",
          "[check]") {
  const std::string parts = "  paint: {kind: metal, points: [floor]}\n";
  CHECK(codes_after(
            {{"joints:\n", parts + "joints:\n"},
             {"wires:\n", "touches:\n  - {points: [tone.case, paint.floor], closed: true}\nwires:\n"}}) ==
        Codes{});
  CHECK(codes_after({{"joints:\n", parts + "joints:\n"}}) == Codes{"W102"});
}

TEST_CASE("a cover joined to nothing, and a braid that ends in the air, have no path", "[check]") {
  CHECK(codes_after({{"dcr: 6.2k", "dcr: 6.2k, shield: true"}}) == Codes{"W102"});
  CHECK(codes_after({{"[volume.2, jack.tip]", "{run: [volume.2, jack.tip], braid: [volume.case, free]}"}}) ==
        Codes{});
  CHECK(first_message({{"joints:\n", "  plate: {kind: metal, points: [top]}\njoints:\n"},
                       {"[volume.2, jack.tip]", "{run: [volume.2, jack.tip], braid: [plate.top, free]}"}}) ==
        "'plate.top' and 'plate.top>free' have no path to the jack's sleeve: run a ground wire to them");
}

// --- W103 ---

TEST_CASE("a short across the output leaves one warning, not one for each pickup", "[check]") {
  CHECK(first_message({{"[volume.2, jack.tip]", "[volume.2, volume.case]\n  - [volume.2, jack.tip]"}}) ==
        "with the volume up the hot is on ground: 'jack.tip' meets 'jack.sleeve' by way of 'volume.2', "
        "'volume.case' "
        "and 'tone.case'");
}

TEST_CASE("hot on ground before the volume shows with the volume up", "[check]") {
  CHECK(codes_after({{"[selector.out, volume.3]", "[selector.out, volume.3]\n  - [tone.case, volume.3]"}}) ==
        Codes{"W118", "W103"});
}

TEST_CASE("a button may put hot on ground, but not in its first position", "[check]") {
  const auto with_button = [](const std::string& positions) {
    return codes_after(
        {{"joints:\n",
          "  button: {kind: switch, lugs: [hot, ground], positions: " + positions + "}\njoints:\n"},
         {"[volume.2, jack.tip]", "[volume.2, button.hot, jack.tip]\n  - [button.ground, tone.case]"}});
  };
  CHECK(with_button("{released: [], held: [[hot, ground]]}") == Codes{});
  CHECK(with_button("{held: [[hot, ground]], released: []}") == Codes{"W103"});
}

TEST_CASE("a selector that puts hot on ground in one of its positions is told by that position", "[check]") {
  CHECK(first_message({{"lugs: [f, r, out]", "lugs: [f, r, out, g]"},
                       {"both:   [[f, r, out]]", "both:   [[f, r, g, out]]"},
                       {"volume.1]", "volume.1]\n  - [selector.g, tone.3]"},
                       {"[volume.3, tone.1]", "[volume.3, tone.1]\n  - [tone.3, tone.case]"}}) ==
        "with the volume up and 'selector' at 'both' the hot is on ground: 'jack.tip' meets 'jack.sleeve'");
}

// --- W104, W105, W115 ---

TEST_CASE("lug 3 of a tone and the frame of a switch may stay empty; lug 1 of a volume may not", "[check]") {
  CHECK(codes_in(kSound) == Codes{});
  CHECK(codes_after({{", volume.1]", "]"}}) == Codes{"W104"});
  CHECK(codes_after({{"lugs: [f, r, out]", "lugs: [f, r, out, frame]"}}) == Codes{"W102"});
}

TEST_CASE("all that one part has left over is one warning", "[check]") {
  CHECK(first_message(
            {{"joints:\n", "  spare: {kind: pot, track: 250k}\njoints:\n  - [tone.case, spare.case]\n"}})
            .find("'spare.1', 'spare.2' and 'spare.3' are joined to nothing") != std::string::npos);
}

TEST_CASE("an empty lug with two leads on it is a post", "[check]") {
  CHECK(codes_after({{"lugs: [f, r, out]", "lugs: [f, r, out, post]"},
                     {"[selector.f, front.hot]", "[selector.post, front.hot]"},
                     {"[selector.out, volume.3]",
                      "[selector.out, volume.3]\n  - [selector.post, selector.f]"}}) == Codes{});
}

// --- W106 ---

TEST_CASE("a resistor across the volume is in use, one across a wire is not", "[check]") {
  const auto across = [](const std::string& a, const std::string& b) {
    return codes_after({{"joints:\n", "  bleed: {kind: resistor, value: 150k}\njoints:\n  - [" + a +
                                          ", bleed.1]\n  - [" + b + ", bleed.2]\n"}});
  };
  CHECK(across("volume.2", "volume.3") == Codes{});
  CHECK(across("tone.1", "volume.3") == Codes{"W106"});
}

// --- W107 ---

TEST_CASE("positions are alike however their groups are written", "[check]") {
  CHECK(codes_after({{"both:   [[f, r, out]]", "both:   [[f, out], [r, out]]"}}) == Codes{});
  CHECK(codes_after({{"front:  [[f, out]]", "front:  [[out, f], [f, r]]"}}) == Codes{"W107"});
}

// --- W108, W109 ---

TEST_CASE("a gang wired backwards, and a pot that rests elsewhere than at 10, are meant so", "[check]") {
  const Changes backwards{{"rear.ground, volume.1", "rear.ground, volume.3"},
                          {"[selector.out, volume.3]", "[selector.out, volume.1]"},
                          {"[volume.3, tone.1]", "[volume.1, tone.1]"}};
  CHECK(codes_after(backwards) == Codes{"W108"});
  Changes resting = backwards;
  resting.push_back({"volume:   {kind: pot, ", "volume:   {kind: pot, normal: 5, "});
  CHECK(codes_after(resting) == Codes{});
}

TEST_CASE("a volume with its pickup on the wiper turns backwards if lug 3 is on ground", "[check]") {
  const auto wired = [](const std::string& ground, const std::string& out) {
    return codes_in(
        "parts:\n  single: {kind: pickup, dcr: 6k}\n  volume: {kind: pot, track: 250k}\n  jack: {kind: "
        "jack}\n"
        "joints:\n  - [volume.2, single.hot]\n  - [volume.case, single.ground, " +
        ground +
        "]\n"
        "wires:\n  - [" +
        out + ", jack.tip]\n  - [volume.case, jack.sleeve]\n");
  };
  CHECK(wired("volume.1", "volume.3") == Codes{});
  CHECK(wired("volume.3", "volume.1") == Codes{"W108"});
}

TEST_CASE("a tone turns the same way wherever its capacitor lies", "[check]") {
  // From hot through the capacitor to the pot, and from the pot to ground.
  const auto wired = [](const std::string& hot_end, const std::string& ground_end) {
    return codes_after({{"  - [tone.2, cap.1]\n", "  - [" + hot_end + ", cap.1]\n"},
                        {"[tone.case, cap.2]", "[tone.case, " + ground_end + "]"},
                        {"[volume.3, tone.1]", "[volume.3, cap.2]"}});
  };
  CHECK(wired("tone.1", "tone.2") == Codes{});
  CHECK(wired("tone.2", "tone.1") == Codes{});
  CHECK(wired("tone.3", "tone.2") == Codes{"W104", "W109"});
  CHECK(wired("tone.2", "tone.3") == Codes{"W104", "W109"});
}

TEST_CASE("a treble bleed is no tone", "[check]") {
  CHECK(codes_after({{"joints:\n",
                      "  bleed: {kind: capacitor, value: 680p}\njoints:\n  - [volume.3, bleed.1]\n"
                      "  - [volume.2, bleed.2]\n"}}) == Codes{});
}

// --- W110 ---

TEST_CASE("a shield may be a lead of an entry, a case may not", "[check]") {
  CHECK(codes_after({{"dcr: 6.2k", "dcr: 6.2k, shield: true"},
                     {"[tone.case, cap.2]", "[tone.case, cap.2, front.shield]"}}) == Codes{});
  CHECK(codes_after({{"[tone.case, cap.2]", "[volume.case, cap.2, tone.case]"}}) == Codes{"W110"});
}

// --- W111 ---

TEST_CASE("a word of the netlist's own that is mistyped becomes a cover, and is noticed", "[check]") {
  CHECK(first_message({{"wires:\n", "reach: {front: hiden, rear: hiden}\nwires:\n"}}) ==
        "the cover 'hiden' looks like a misspelling of 'hidden': give both one name, or names less alike");
}

TEST_CASE("covers one slip apart are noticed, covers told apart by a number or a letter are not", "[check]") {
  const auto covers = [](const std::string& one, const std::string& two) {
    return codes_after(
        {{"wires:\n", "reach: {front: " + one + ", rear: " + one + ", tone: " + two + "}\nwires:\n"}});
  };
  CHECK(covers("springs", "sprigns") == Codes{"W111"});
  CHECK(covers("springs", "spring") == Codes{"W111"});
  CHECK(covers("springs", "Springs") == Codes{"W111"});
  CHECK(covers("plate-1", "plate-2") == Codes{});
  CHECK(covers("plate-a", "plate-b") == Codes{});
  CHECK(covers("front-plate", "rear-plate") == Codes{});
  CHECK(covers("back", "rack") == Codes{});
}

TEST_CASE("colours that are used often enough are not mistyped", "[check]") {
  const auto colours = [](const std::string& one, const std::string& two) {
    return codes_after({{"[selector.out, volume.3]", "{run: [selector.out, volume.3], colour: " + one + "}"},
                        {"[volume.3, tone.1]", "{run: [volume.3, tone.1], colour: " + two + "}"}});
  };
  CHECK(colours("white", "whte") == Codes{"W111"});
  CHECK(colours("blue", "green") == Codes{});
  CHECK(colours("grey", "green") == Codes{});
  CHECK(colours("white-black", "white-blue") == Codes{});
}

// --- W113 ---

TEST_CASE("tip and sleeve exchanged are one warning: the rest is judged as it is wired", "[check]") {
  CHECK(codes_after({{"jack.tip", "jack.sleeve"},
                     {"tone.case, jack.sleeve", "tone.case, jack.tip"},
                     {"rear.ground, volume.1", "rear.ground, volume.3"},
                     {"[selector.out, volume.3]", "[selector.out, volume.1]"},
                     {"[volume.3, tone.1]", "[volume.1, tone.1]"}}) == Codes{"W108", "W113"});
}

// --- W116, W117, W119 ---

TEST_CASE("a stage that leaves one part is a stage", "[check]") {
  CHECK(codes_after(
            {{"joints:\n",
              "stages:\n  bare: {without: [front, rear, selector, volume, tone, cap, jack]}\njoints:\n"}}) ==
        Codes{});
}

TEST_CASE("values a technician would send back", "[check]") {
  CHECK(codes_after({{"dcr: 6.2k", "dcr: 6.2M"}}) == Codes{"W117"});
  CHECK(codes_after({{"value: 47n", "value: 47u"}}) == Codes{"W117"});
  CHECK(codes_after({{"tone:     {kind: pot, track: 250k", "tone:     {kind: pot, track: 250"}}) ==
        Codes{"W117"});
  CHECK(codes_after({{"tone:     {kind: pot, track: 250k", "tone:     {kind: pot, track: 1M"}}) == Codes{});
}

TEST_CASE("a battery whose minus waits for the plug runs down only with the plug in", "[check]") {
  CHECK(codes_after({{"{kind: jack}", "{kind: jack, contacts: [tip, ring, sleeve]}"},
                     {"joints:\n",
                      "  preamp: {kind: module, points: [in, out, plus, ground]}\n"
                      "  battery: {kind: battery, voltage: 9}\njoints:\n"
                      "  - [preamp.plus, battery.plus]\n  - [jack.ring, battery.minus]\n"},
                     {"[volume.2, jack.tip]",
                      "[volume.2, preamp.in]\n  - [preamp.out, jack.tip]\n"
                      "  - [preamp.ground, tone.case]"}}) == Codes{});
}
