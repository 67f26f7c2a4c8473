#include "hearing/inside/scene.h"

#include <utility>

namespace lugwise::hearing::inside {

Scenes::Scenes(const Harness& harness, std::optional<std::size_t> stage) : harness_(harness), stage_(stage) {
  for (const Setting& setting : settings_to_hear(harness, stage)) {
    auto played = play(setting);
    if (!played->plugged()) return;
    scenes_.push_back({setting, std::move(played), {}});
    for (PartId control : harness.controls()) {
      const Part& part = harness[control];
      if (part.kind != PartKind::Pot || !scenes_.back().played->circuit().has(part.pot->lug1)) continue;
      Setting low = setting, high = setting;
      low.turn(control, 0);
      high.turn(control, 10);
      scenes_.back().knobs.push_back({control, play(low), play(high), {}});
    }
  }
}

Circuit Scenes::circuit_in(const Setting& setting) const { return as_played(harness_, setting, stage_); }

std::unique_ptr<Played> Scenes::play(const Setting& setting) const {
  return std::make_unique<Played>(harness_, circuit_in(setting));
}

const Played& Scenes::between(const Scene& scene, Knob& knob, double place) const {
  std::unique_ptr<Played>& known = knob.between[place];
  if (!known) {
    Setting setting = scene.setting;
    setting.turn(knob.pot, place);
    known = play(setting);
  }
  return *known;
}

}  // namespace lugwise::hearing::inside
