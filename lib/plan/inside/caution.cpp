#include "plan/inside/caution.h"

#include <algorithm>

namespace lugwise::plan::inside {
namespace {

bool has(const Harness& harness, PartKind kind) {
  return std::any_of(harness.parts().begin(), harness.parts().end(),
                     [&](const Part& part) { return part.kind == kind; });
}

}  // namespace

bool has_battery(const Harness& harness) { return has(harness, PartKind::Battery); }

std::vector<std::string> cautions_for(const Harness& harness, const PlanOptions& options) {
  const bool bench = on_bench(harness, options.stage);
  const bool instrument = has(harness, PartKind::Jack) || has(harness, PartKind::Metal);
  std::vector<std::string> cautions;
  if (instrument) {
    cautions.push_back(
        "Unplug the instrument from the amplifier and everything else, at both ends of the cable, before a "
        "probe goes in. The cable's far plug is the probe point; never measure resistance in anything that "
        "is powered.");
  }
  if (has_battery(harness) || has(harness, PartKind::Module)) {
    cautions.push_back(
        "Take the battery out first and cover its clip: a plug in the jack switches it on. Don't measure "
        "resistance through a module's own circuit.");
  }
  const std::string iron =
      "The soldering iron burns; its fumes need air; wash your hands after leaded solder.";
  if (bench) {
    if (!harness.blobs().empty()) cautions.push_back("Wear eye protection. " + iron);
  } else if (options.depth == Depth::Full) {
    cautions.push_back(
        "Strings under tension whip: slacken them before touching bridge, claw or springs, and wear eye "
        "protection. " +
        iron);
  }
  if (instrument) {
    cautions.push_back(
        "If strings or a microphone give a shock, or the noise follows the house wiring or the amplifier, "
        "stop: that is mains wiring or lethal voltage inside an amplifier, and belongs to a licensed "
        "electrician or a qualified amplifier technician, under local codes. Never lift a mains earth or cut "
        "the string ground to cure a hum.");
  }
  return cautions;
}

}  // namespace lugwise::plan::inside
