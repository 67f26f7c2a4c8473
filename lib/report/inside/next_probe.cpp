#include "report/inside/next_probe.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "report/inside/finding.h"
#include "report/inside/shown.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

// "Once more: ", "Step 7 of the plan: ", and nothing of a probe that was searched for.
std::string why_in_words(const NextProbe& probe) {
  switch (probe.why) {
    case NextProbe::Why::Again:
      return "Once more, tip on bare metal: ";
    case NextProbe::Why::Step:
      return probe.step ? fmt::format("Step {} of the plan: ", *probe.step) : "The plan's next: ";
    case NextProbe::Why::Proof:
      return "Once it is mended, first: ";
    default:
      return "";
  }
}

// What is done before a reading is taken once more.
std::string before_in_words(const Harness& harness, const NextProbe& probe) {
  if (probe.another_cable) return "Another test cable, then once more: ";
  if (!probe.worked) return "";
  const Part& control = harness[*probe.worked];
  const char* const how = control.kind == PartKind::Jack     ? "Push the plug in and out a dozen times at"
                          : control.kind == PartKind::Switch ? "Work a dozen times"
                                                             : "Turn from stop to stop a dozen times";
  return fmt::format("{} {}, then once more: ", how, control.name);
}

std::string shown_in_words(const Meter& meter, const NextProbe& probe) {
  if (probe.farads) {
    return fmt::format("Range {}, if sound: {} to {}.", capacitance_range_name(probe.range.top),
                       capacitance_display(meter, probe.range, probe.shows.low),
                       capacitance_display(meter, probe.range, probe.shows.high));
  }
  const Shown sound = shown(meter, probe.range, probe.expected, probe.shows);
  const char* const steady = probe.swept ? "smooth, from " : !probe.wiggled.empty() ? "steady at " : "";
  return fmt::format("Range {}, if sound: {}{}.", sound.range, steady, in_words(sound));
}

// What holds a battery or a circuit that one feeds.
bool is_active(const Harness& harness) {
  return std::any_of(harness.parts().begin(), harness.parts().end(), [](const Part& part) {
    return part.kind == PartKind::Battery || part.kind == PartKind::Module;
  });
}

}  // namespace

std::string in_words(const Meter& meter, const Harness& harness, const NextProbe& probe) {
  const std::string off =
      probe.lifted ? fmt::format("unsolder {} and hold it clear; ", point_in_words(harness, *probe.lifted))
                   : "";
  std::string move;
  if (probe.swept)
    move = fmt::format("; turn {} slowly to its other stop and watch", harness[*probe.swept].name);
  if (!probe.wiggled.empty())
    move = fmt::format("; press and move {} and watch", names(harness, probe.wiggled));
  const std::string opened = in_words(probe.access);
  const std::string why = before_in_words(harness, probe) + why_in_words(probe);
  return fmt::format("{}{}; {}{}probes on {} and {}{}. {}", why,
                     why.empty() ? first_letter_up(opened) : opened, off,
                     set_in_words(harness, probe.setting), point_in_words(harness, probe.a),
                     point_in_words(harness, probe.b), move, shown_in_words(meter, probe));
}

page::Step step_of(const Meter& meter, const Harness& harness, const Diagnosis& diagnosis,
                   const NextProbe& probe, Sketchbook& pictures, std::vector<std::string> before) {
  page::Step said;
  said.to_do = std::move(before);
  said.picture = pictures.probes(probe.setting, probe.a, probe.b);
  said.to_do.push_back(in_words(meter, harness, probe));
  for (const NextProbe::Outcome& outcome : probe.outcomes) {
    said.signs.push_back({fmt::format("{} ({})", outcome.reads, percent(outcome.probability)),
                          what_remains(harness, diagnosis, outcome)});
  }
  return said;
}

std::vector<std::string> cautions_of(const Harness& harness) {
  std::vector<std::string> cautions;
  const bool instrument = std::any_of(harness.parts().begin(), harness.parts().end(), [](const Part& part) {
    return part.kind == PartKind::Jack || part.kind == PartKind::Metal;
  });
  if (instrument) {
    cautions.push_back(
        "Unplugged from the amplifier and everything else, at both ends of the cable; strings slack before "
        "bridge, claw or springs are touched.");
  }
  if (is_active(harness))
    cautions.push_back("Battery out first, its clip covered: a plug in the jack switches it on.");
  return cautions;
}

bool same_probe(const NextProbe& x, const NextProbe& y) {
  return x.a == y.a && x.b == y.b && x.setting == y.setting && x.wiggled == y.wiggled && x.swept == y.swept &&
         x.worked == y.worked && x.another_cable == y.another_cable;
}

}  // namespace inside
}  // namespace lugwise::report
