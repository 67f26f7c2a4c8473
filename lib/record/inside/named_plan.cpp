#include "record/inside/named_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "handling/capacity.h"
#include "record/repair.h"

namespace lugwise::record::inside {
namespace {

// The stage, depth and aim that a plan's id is of, if it is not what is asked for: somebody forgot to copy one of them.
std::optional<PlanOptions> plan_elsewhere(const Netlist& netlist, const PlanOptions& asked,
                                          const PlanReference& named) {
  constexpr std::size_t kMostStages = 4;
  // A dozen plans are made for this hint: not for a harness that takes long over one.
  constexpr std::size_t kMostProbes = 200'000;
  const Burden burden = burden_of(netlist.harness);
  if (burden.points * burden.points / 2 * burden.settings > kMostProbes) return std::nullopt;
  std::vector<PlanOptions> others;
  for (std::size_t s = 0; s <= std::min(kMostStages, netlist.harness.stages().size()); ++s) {
    for (const Depth depth : {Depth::Full, Depth::Outside}) {
      others.push_back(asked);
      others.back().stage = s == 0 ? std::nullopt : std::optional(s - 1);
      others.back().depth = depth;
    }
  }
  for (const Aim aim : {Aim::Usual, Aim::Quick, Aim::Thorough}) {
    others.push_back(asked);
    others.back().aim = aim;
  }
  for (const PlanOptions& other : others) {
    if (plan_for(netlist.harness, netlist.id, other).id == named.id) return other;
  }
  return std::nullopt;
}

// What the readings say of their plan, under no conditions yet; nothing where its repair names no place.
std::optional<PlanOptions> options_of(const Harness& harness, const PlanReference& named,
                                      const Workshop& workshop, std::optional<std::size_t> stage,
                                      Diagnostics& diagnostics) {
  PlanOptions options;
  options.costs = workshop.costs;
  options.common = workshop.common;
  options.stage = stage;
  options.aim = named.aim;
  options.lift = named.lift;
  options.depth = named.depth;
  const auto after = find_repair(harness, named.after, diagnostics, named.at);
  if (!after) return std::nullopt;
  options.after = *after;
  return options;
}

std::string called(const Harness& harness, const PlanOptions& of) {
  std::string text =
      of.stage ? fmt::format("stage {}", harness.stages()[*of.stage].name) : "no stage, all parts there";
  text += fmt::format(", depth {}", depth_name(of.depth));
  if (of.aim != Aim::Usual) text += fmt::format(", aim {}", aim_name(of.aim));
  return text;
}

void tell_elsewhere(const Harness& harness, const PlanReference& named, const PlanOptions& other,
                    const PlanOptions& asked, Diagnostics& diagnostics) {
  std::string more = other.stage ? ", stage: " + harness.stages()[*other.stage].name : "";
  if (other.depth != Depth::Full) more += fmt::format(", depth: {}", depth_name(other.depth));
  if (other.aim != Aim::Usual) more += fmt::format(", aim: {}", aim_name(other.aim));
  diagnostics
      .error("U302", named.at,
             fmt::format("plan {} is of {}; the readings say it is of {}", named.id, called(harness, other),
                         called(harness, asked)))
      .note(fmt::format("write 'plan: {{id: {}{}}}'", named.id, more));
}

}  // namespace

// What was known of meter and temperature when the plan was printed isn't in the readings file, and may have decided its
// steps: so each that could have been known is tried.
std::optional<Plan> plan_named(const Netlist& netlist, const Sheet& sheet, const Conditions& now,
                               std::optional<std::size_t> stage, Diagnostics& diagnostics) {
  const auto first = std::find_if(sheet.entries.begin(), sheet.entries.end(),
                                  [](const Entry& entry) { return entry.step.has_value(); });
  if (first == sheet.entries.end()) return std::nullopt;
  if (!sheet.plan) {
    diagnostics.error("U302", first->at, "'step' needs 'plan: {id: ...}', which says of which plan");
    return std::nullopt;
  }
  const PlanReference& named = *sheet.plan;
  const Meter usual = netlist.meter.value_or(assumed_meter());
  const std::vector<Conditions> tries{
      now, {usual, netlist.temperature}, {usual, now.temperature}, {now.meter, netlist.temperature}};
  std::optional<PlanOptions> options = options_of(netlist.harness, named, now.workshop, stage, diagnostics);
  if (!options) return std::nullopt;
  std::string id;
  for (const Conditions& conditions : tries) {
    options->meter = conditions.meter;
    options->temperature = conditions.coils();
    Plan plan = plan_for(netlist.harness, netlist.id, *options);
    if (plan.id == named.id) return plan;
    if (id.empty()) id = plan.id;
  }
  if (const auto other = plan_elsewhere(netlist, *options, named)) {
    tell_elsewhere(netlist.harness, named, *other, *options, diagnostics);
  } else {
    diagnostics.error(
        "U302", named.at,
        fmt::format("the readings name steps of plan {}, but this harness, stage and depth now give "
                    "plan {}; print the plan again, or say between which points each reading was",
                    named.id, id));
  }
  return std::nullopt;
}

}  // namespace lugwise::record::inside
