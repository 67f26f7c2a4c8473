#include "plan/inside/identity.h"

#include <fmt/format.h>

#include <cstdint>
#include <string_view>

#include "source/fingerprint.h"

namespace lugwise::plan::inside {

std::string identity_of(const Harness& harness, const std::string& harness_id, const Plan& plan) {
  const PlanOptions& options = plan.options;
  Fingerprint whole;
  const auto add = [&](std::string_view text) {
    whole.add(text);
    whole.add_byte(0x1f);
  };
  add(harness_id);
  add(options.stage ? harness.stages()[*options.stage].name : "");
  add(depth_name(options.depth));
  if (options.aim != Aim::Usual) add(aim_name(options.aim));
  if (options.lift) add("lift");
  for (PointId point : options.after) add(harness[point].name);
  for (const Step& step : plan.steps) {
    if (step.kind == StepKind::Prepare || step.kind == StepKind::Lift || step.kind == StepKind::Refit) {
      add(step.instruction.substr(0, 8));
      continue;
    }
    add(harness[step.a].name);
    add(harness[step.b].name);
    for (PartId control : harness.controls()) add(step.setting.place_name(harness, control));
    if (step.swept) add(harness[*step.swept].name);
    for (PointId point : step.wiggled) add(harness[point].name);
    for (PointId point : step.lifted) add(harness[point].name);
  }
  const std::uint64_t hash = whole.value();
  return fmt::format("{:06x}", (hash ^ hash >> 24 ^ hash >> 48) & 0xffffff);
}

}  // namespace lugwise::plan::inside
