#include "effect/effect.h"

#include <algorithm>
#include <cmath>

namespace lugwise {
namespace {

// Readings of next to nothing differ by no more than leads do: a judgement, for which of two readings is the clearer.
constexpr Ohms kLeads = 0.5;

// Open where it conducts or the other way round counts as this many times.
constexpr double kOpenness = 1e6;

// How clearly a reading tells a fault; nothing where its limits overlap.
double clearness(const Found& sound, const Found& faulty) {
  const auto known = [](const Found& entry) { return entry.open() || entry.high.has_value(); };
  if (!known(sound) || !known(faulty)) return 0;  // a module may make it anything
  if (sound.open() != faulty.open()) return kOpenness;
  if (sound.open()) return 0;
  const auto beyond = [](Ohms far, Ohms near) { return far > near ? (far + kLeads) / (near + kLeads) : 0; };
  return std::max(beyond(*faulty.low, *sound.high), beyond(*sound.low, *faulty.high));
}

// Whether the meter's display tells it too.
bool tells(const Meter& meter, const Found& sound, const Found& faulty, int plugs) {
  if (sound.open()) return *faulty.high < margins_of_open(meter, meter.ranges.back(), plugs).below;
  const Margins told =
      margins(meter, range_for(meter, *sound.high, plugs), {*sound.low, *sound.nominal, *sound.high}, plugs);
  if (faulty.open()) return told.open;
  return *faulty.low > told.above || *faulty.high < told.below;
}

class Search {
 public:
  Search(const Harness& harness, const std::vector<Fault>& faults, const EffectOptions& options,
         std::vector<Effect>& effects)
      : harness_(harness), faults_(faults), options_(options), effects_(effects), best_(faults.size(), 0) {}

  // Depth by depth; a fault that is told is not looked for any deeper.
  void run(const Reached& reached) {
    const std::vector<Setting> settings =
        options_.setting ? std::vector{*options_.setting} : settings_to_try(harness_, options_.stage);
    const std::vector<Access> depths = accesses(harness_, options_.stage);
    std::size_t done = 0;
    for (const Access& access : depths) {
      std::vector<std::size_t> left;
      for (std::size_t f = 0; f < faults_.size(); ++f) {
        if (!effects_[f].telling) left.push_back(f);
      }
      for (const Setting& setting : settings) {
        if (left.empty()) return;
        look(setting, access, left);
        if (reached) reached(++done, depths.size() * settings.size());
        // Clearer than open for closed it does not get.
        std::erase_if(left, [&](std::size_t f) { return best_[f] >= kOpenness; });
      }
    }
  }

 private:
  void look(const Setting& setting, const Access& access, const std::vector<std::size_t>& left) {
    State state;
    state.setting = setting;
    state.stage = options_.stage;
    state.cavity_open = access.depth > 0;
    state.temperature = options_.temperature;
    const Circuit circuit = circuit_of(harness_, state);
    std::vector<PointId> probes;
    for (PointId point : reachable(harness_, options_.stage, access.depth)) {
      if (circuit.has(point)) probes.push_back(point);
    }
    if (probes.size() < 2) return;
    std::vector<int> plugs;
    for (PointId probe : probes) plugs.push_back(harness_[probe].role == PointRole::Plug ? 1 : 0);
    const Chapter chapter(circuit, probes);
    const std::vector<Found> all = chapter.sound();
    for (std::size_t f : left) {
      const Page page = chapter.page(faults_[f], usual_size(faults_[f]));
      if (!page.changes()) continue;
      for (std::size_t i = 0; i < probes.size(); ++i) {
        for (std::size_t j = i + 1; j < probes.size(); ++j) {
          if (!page.changes(i, j)) continue;
          const Found faulty = page(i, j);
          const Found& sound = all[i * probes.size() + j];
          const double clear = clearness(sound, faulty);
          if (clear <= best_[f] * (1 + 1e-9)) continue;
          if (!tells(options_.meter, sound, faulty, plugs[i] + plugs[j])) continue;
          best_[f] = clear;
          effects_[f].telling = Telling{probes[i], probes[j], setting, access, sound, faulty};
        }
      }
    }
  }

  const Harness& harness_;
  const std::vector<Fault>& faults_;
  const EffectOptions& options_;
  std::vector<Effect>& effects_;
  std::vector<double> best_;
};

}  // namespace

double usual_size(const Fault& fault) {
  if (fault.mode == Mode::High) return kUsualHigh;
  return fault.mode == Mode::Value ? kUsualFactor : 0;
}

std::vector<Effect> effects_of(const Harness& harness, const std::vector<Fault>& faults,
                               const EffectOptions& options, const Reached& reached) {
  double weights = 0;
  std::vector<Fault> all = faults_at(harness, options.stage);
  weigh(all, options.common);
  for (const Fault& fault : all) weights += fault.weight;
  std::vector<Effect> effects;
  for (const Fault& fault : faults)
    effects.push_back({fault, fault.weight / weights, std::nullopt, {}, true});
  Search(harness, faults, options, effects).run(reached);
  Listener listener(harness, options.stage);
  for (Effect& effect : effects) {
    if (!listener.plugged()) break;
    if (reached) reached(static_cast<std::size_t>(&effect - effects.data()), effects.size());
    const double size = usual_size(effect.fault);
    if (!options.setting) {
      effect.heard = listener.complaints(effect.fault, size);
      if (effect.heard.empty()) effect.heard_known = !listener.hidden_by_module(effect.fault, size);
      continue;
    }
    for (const Change& change : listener.changes_in(*options.setting, effect.fault, size))
      effect.heard.push_back({change.sound, change.pickup, std::nullopt, {*options.setting}});
  }
  return effects;
}

}  // namespace lugwise
