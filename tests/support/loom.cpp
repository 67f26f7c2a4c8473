#include "support/loom.h"

#include <fmt/format.h>

#include <algorithm>

namespace lugwise::test {
namespace {

constexpr int kWiresEach = 50;
constexpr int kTags = 18;     // of a station's ground chain
constexpr int kSplices = 12;  // of its hot chain

int stations(int wires) { return wires / kWiresEach; }

}  // namespace

std::string farthest(int wires) { return fmt::format("tag-{}-{}.lug", stations(wires) - 1, kTags - 1); }

std::string loom(int wires) {
  std::string parts = "lugwise: 1\nname: loom\nparts:\n";
  std::string joints = "joints:\n";
  std::string runs = "wires:\n";
  int drawn = 0;
  const auto wire = [&](const std::string& a, const std::string& b) {
    runs += fmt::format("  - [{}, {}]\n", a, b);
    ++drawn;
  };
  parts += "  jack: {kind: jack}\n";
  parts +=
      "  selector: {kind: switch, lugs: [a, b, out], positions: {first: [[a, out]], second: [[b, out]], "
      "both: [[a, b, out]]}}\n";
  wire("selector.out", "pot-0.3");
  wire("pot-0.2", "jack.tip");
  wire("pot-0.case", "jack.sleeve");
  for (int s = 0; s < stations(wires); ++s) {
    parts += fmt::format("  pot-{}: {{kind: pot, track: 250k, taper: audio{}}}\n", s,
                         s % 10 == 9 ? ", normal: 5" : "");
    parts += fmt::format("  coil-{}: {{kind: pickup, dcr: {}k}}\n", s, 6 + s % 5);
    joints += fmt::format("  - [pot-{0}.case, coil-{0}.ground, pot-{0}.1]\n", s);
    joints += s == 0 ? "  - [selector.a, coil-0.hot]\n" : fmt::format("  - [pot-{0}.3, coil-{0}.hot]\n", s);
    const auto tag = [&](int k) { return fmt::format("tag-{}-{}.lug", s, k); };
    const auto splice = [&](int k, int end) { return fmt::format("splice-{}-{}.{}", s, k, end); };
    for (int k = 0; k < kTags; ++k)
      parts += fmt::format("  tag-{}-{}: {{kind: metal, points: [lug]}}\n", s, k);
    for (int k = 0; k < kSplices; ++k)
      parts += fmt::format("  splice-{}-{}: {{kind: resistor, value: 10}}\n", s, k);
    // Grounds: a chain from the case over the tags, every third tag grounded once more, and the ends joined to a loop.
    wire(fmt::format("pot-{}.case", s), tag(0));
    for (int k = 1; k < kTags; ++k) wire(tag(k - 1), tag(k));
    for (int k = 2; k < kTags; k += 3) wire(tag(k), fmt::format("pot-{}.case", s));
    wire(tag(1), tag(kTags - 2));
    // Hot: from the wiper over the splices, the first two of them soldered together without a wire.
    wire(s == 0 ? std::string("selector.b") : fmt::format("pot-{}.2", s), splice(0, 1));
    joints += fmt::format("  - [{}, {}]\n", splice(0, 2), splice(1, 1));
    for (int k = 2; k < kSplices; ++k) wire(splice(k - 1, 2), splice(k, 1));
    // On to the next station by one hot wire and two grounds, or back to the first.
    if (s + 1 == stations(wires)) {
      wire(splice(kSplices - 1, 2), "selector.a");
    } else {
      wire(splice(kSplices - 1, 2), fmt::format("pot-{}.3", s + 1));
      wire(tag(kTags - 1), fmt::format("pot-{}.case", s + 1));
      wire(fmt::format("pot-{}.case", s), fmt::format("pot-{}.case", s + 1));
    }
    // What is left of the station's wires: spare grounds between its tags.
    const int due = s + 1 < stations(wires) ? (s + 1) * kWiresEach : wires;
    const int spare = due - drawn;
    for (int k = 3; k < 3 + spare; ++k) wire(tag(k % kTags), tag((k + 5) % kTags));
  }
  return parts + joints + runs;
}

}  // namespace lugwise::test
