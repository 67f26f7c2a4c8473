#include "diagnosis/inside/model.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>

#include "component/copper.h"
#include "expectation/corner.h"

namespace lugwise {
namespace {

constexpr double kOpen = std::numeric_limits<double>::infinity();
constexpr Ohms kLeast = 1e-4;        // no joint or wire is less
constexpr double kMostShare = 0.98;  // of a gain error that all readings on a range share

bool is_scaled(ElementKind kind) {
  return kind == ElementKind::Coil || kind == ElementKind::Track || kind == ElementKind::Resistor;
}

double share_at(const Branch& branch, double t) {
  return std::max(1e-6, branch.at_low + t * (branch.at_high - branch.at_low));
}

}  // namespace

Model::Model(const Harness& harness, const std::vector<Observation>& observations,
             const DiagnosisOptions& options)
    : harness_(harness), observations_(observations) {
  for (const Element& element : harness.elements()) {
    if (is_scaled(element.kind)) {
      // The tolerance is two deviations: a third of it would raise false alarms.
      const double tolerance = element.ohms.nominal > 0 ? element.ohms.high / element.ohms.nominal - 1 : 0;
      mean_.push_back(0);
      deviation_.push_back(std::max(tolerance / 2, 1e-4));
    } else {
      mean_.push_back(element.ohms.nominal);
      deviation_.push_back(std::max((element.ohms.high - element.ohms.low) / 2.5, 1e-4));
    }
  }
  temperature_ = static_cast<std::uint32_t>(mean_.size());
  mean_.push_back(options.temperature.nominal);
  deviation_.push_back(options.temperature.known ? 0.5
                                                 : (options.temperature.high - options.temperature.low) / 4);
  leads_ = static_cast<std::uint32_t>(mean_.size());
  mean_.push_back((options.meter.leads_low + options.meter.leads_high) / 2);
  deviation_.push_back(
      std::max((options.meter.leads_high - options.meter.leads_low) / std::sqrt(12.0), 0.05));
  first_gain_ = static_cast<std::uint32_t>(mean_.size());
  for (const Range& range : options.meter.ranges) {
    mean_.push_back(0);
    deviation_.push_back(kMostShare * range.share / std::sqrt(3.0));
  }
  size_ = static_cast<std::uint32_t>(mean_.size());
  mean_.push_back(0);
  deviation_.push_back(0.25 * std::log(10.0) / 2);

  for (const Observation& observation : observations) {
    const bool open = observation.access.depth > 0;
    std::uint32_t s = 0;
    for (; s < situations_.size(); ++s) {
      const Situation& known = situations_[s];
      if (known.setting == observation.setting && known.cavity_open == open &&
          known.lifted == observation.lifted)
        break;
    }
    situation_of_.push_back(s);
    if (s < situations_.size()) continue;
    Situation fresh;
    fresh.setting = observation.setting;
    fresh.cavity_open = open;
    fresh.lifted = observation.lifted;
    State state{observation.setting, options.stage, open, observation.lifted, options.temperature};
    fresh.circuit = circuit_of(harness, state);
    fresh.first_travel = static_cast<std::uint32_t>(mean_.size());
    for (std::uint32_t t = 0; t < fresh.circuit.travels.size(); ++t) {
      // The taper's slack is two deviations either way; with no taper given, anything goes.
      double nominal = 0.5;
      for (const Branch& branch : fresh.circuit.branches) {
        if (branch.travel == t && branch.at_high != branch.at_low) {
          nominal = (branch.at_nominal - branch.at_low) / (branch.at_high - branch.at_low);
        }
      }
      mean_.push_back(nominal);
      deviation_.push_back(0.25);
    }
    fresh.branches.resize(harness.elements().size());
    for (std::uint32_t b = 0; b < fresh.circuit.branches.size(); ++b) {
      fresh.branches[fresh.circuit.branches[b].element.index].push_back(b);
    }
    situations_.push_back(std::move(fresh));
  }
  fresh_deviation_ = deviation_;
  for (std::size_t i = 0; i < harness.elements().size(); ++i) {
    if (harness.elements()[i].kind == ElementKind::Wiper) fresh_deviation_[i] /= 40;
  }
  for (Situation& situation : situations_) {
    const std::vector<double> values = branch_ohms(situation, mean_);
    std::vector<Resistor> resistors;
    for (std::uint32_t b = 0; b < values.size(); ++b) {
      const Branch& branch = situation.circuit.branches[b];
      resistors.push_back({branch.a.index, branch.b.index, values[b]});
    }
    situation.sound.emplace_back(situation.circuit.points, std::move(resistors));
    for (std::uint32_t b = 0; b < values.size(); ++b)
      situation.cut.push_back(situation.sound.front().cut(b) ? 1 : 0);
    situation.detour.resize(values.size());
  }

  for (std::size_t i = 0; i < observations.size(); ++i) {
    const Situation& situation = situations_[situation_of_[i]];
    const Network& network = situation.sound.front();
    const auto flow = network.flow(observations[i].a.index, observations[i].b.index);
    Prediction prediction;
    std::vector<double> amperes(situation.circuit.branches.size(), 0);
    std::vector<double> volts(situation.circuit.points, 0);
    if (!flow) {
      prediction.open = true;
    } else {
      prediction.ohms = flow->ohms;
      add_slopes(situation, *flow, mean_, prediction);
      for (const Current& current : flow->currents) amperes[current.resistor] = current.amperes;
      // Potentials by walking outward from the first probe along any branches.
      std::vector<std::vector<std::uint32_t>> at(situation.circuit.points);
      for (std::uint32_t b = 0; b < situation.circuit.branches.size(); ++b) {
        at[situation.circuit.branches[b].a.index].push_back(b);
        at[situation.circuit.branches[b].b.index].push_back(b);
      }
      std::vector<char> seen(situation.circuit.points, 0);
      std::vector<std::uint32_t> queue{observations[i].a.index};
      seen[observations[i].a.index] = 1;
      for (std::size_t next = 0; next < queue.size(); ++next) {
        for (std::uint32_t b : at[queue[next]]) {
          const Branch& branch = situation.circuit.branches[b];
          const bool forward = branch.a.index == queue[next];
          const std::uint32_t there = forward ? branch.b.index : branch.a.index;
          if (seen[there]) continue;
          seen[there] = 1;
          const double drop = amperes[b] * network.resistors()[b].ohms;
          volts[there] = volts[queue[next]] - (forward ? drop : -drop);
          queue.push_back(there);
        }
      }
    }
    sound_.push_back(std::move(prediction));
    current_.push_back(std::move(amperes));
    potential_.push_back(std::move(volts));
  }
}

Ohms Model::ohms(const Situation& situation, const Branch& branch, const std::vector<double>& x) const {
  const Element& element = harness_[branch.element];
  const double own = x[branch.element.index];
  switch (element.kind) {
    case ElementKind::Coil:
      return element.ohms.nominal * std::exp(own) * copper_factor(x[temperature_]);
    case ElementKind::Track: {
      const double whole = element.ohms.nominal * std::exp(own);
      return branch.travel ? whole * share_at(branch, x[situation.first_travel + *branch.travel]) : whole;
    }
    case ElementKind::Resistor:
      return element.ohms.nominal * std::exp(own);
    default:
      return std::max(own, kLeast);
  }
}

std::vector<double> Model::branch_ohms(const Situation& situation, const std::vector<double>& x) const {
  std::vector<double> values;
  values.reserve(situation.circuit.branches.size());
  for (const Branch& branch : situation.circuit.branches) values.push_back(ohms(situation, branch, x));
  return values;
}

// By Cohn's theorem the reading moves with a branch's ohms as its current squared.
void Model::add_slopes(const Situation& situation, const Flow& flow, const std::vector<double>& x,
                       Prediction& prediction) const {
  double by_temperature = 0;
  for (const Current& current : flow.currents) {
    if (current.resistor >= situation.circuit.branches.size()) continue;  // a short's own branch
    const Branch& branch = situation.circuit.branches[current.resistor];
    const Element& element = harness_[branch.element];
    const double weight = current.amperes * current.amperes;
    const Ohms value = ohms(situation, branch, x);
    if (is_scaled(element.kind)) {
      prediction.slopes.emplace_back(branch.element.index, weight * value);
    } else {
      prediction.slopes.emplace_back(branch.element.index, weight);
    }
    if (element.kind == ElementKind::Coil) {
      by_temperature += weight * value * kStandardCopper.rise / copper_factor(x[temperature_]);
    }
    if (branch.travel) {
      const double share = share_at(branch, x[situation.first_travel + *branch.travel]);
      prediction.slopes.emplace_back(situation.first_travel + *branch.travel,
                                     weight * value / share * (branch.at_high - branch.at_low));
    }
  }
  if (by_temperature != 0) prediction.slopes.emplace_back(temperature_, by_temperature);
}

double Model::detour(const Situation& situation, std::uint32_t branch) const {
  auto& known = situation.detour[branch];
  if (!known) known = situation.sound.front().detour(branch).value_or(kOpen);
  return *known;
}

bool Model::touches(std::size_t i, const Fault& fault) const {
  const Situation& situation = situations_[situation_of_[i]];
  if (fault.element && fault.mode != Mode::Short) {
    // Of a worn track only the wiper knows.
    const std::uint32_t element = is_worn_track(fault)
                                      ? harness_[*harness_[*fault.element].part].pot->wiper_element.index
                                      : fault.element->index;
    for (std::uint32_t b : situation.branches[element]) {
      if (current_[i][b] != 0) return true;
    }
    return false;
  }
  if (sound_[i].open) return true;
  return potential_[i][fault.a.index] != potential_[i][fault.b.index];
}

std::vector<double> Model::sketch(const Explanation& explanation) const {
  std::vector<double> values;
  for (const Prediction& prediction : sound_) values.push_back(prediction.open ? kOpen : prediction.ohms);
  if (!explanation.fault || is_worn_track(*explanation.fault)) return values;
  const Fault& fault = *explanation.fault;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const Situation& situation = situations_[situation_of_[i]];
    const Network& network = situation.sound.front();
    if (fault.mode == Mode::Short) {
      if (!situation.circuit.has(fault.a) || !situation.circuit.has(fault.b)) continue;
      if (fault.element && !situation.branches[fault.element->index].empty() && fault.site == Site::Contact)
        continue;
      const std::uint32_t a = observations_[i].a.index;
      const std::uint32_t b = observations_[i].b.index;
      std::uint32_t x = fault.a.index;
      std::uint32_t y = fault.b.index;
      if (sound_[i].open) {
        if (!network.connected(a, x)) std::swap(x, y);
        if (!network.connected(a, x) || !network.connected(y, b)) continue;
        values[i] = *network.resistance(a, x) + kShort.nominal + *network.resistance(y, b);
      } else if (network.connected(a, x) && network.connected(x, y)) {
        const double v = potential_[i][x] - potential_[i][y];
        if (v == 0) continue;
        values[i] -= v * v / (kShort.nominal + *network.resistance(x, y));
      }
      continue;
    }
    if (sound_[i].open || !fault.element) continue;
    // Halves of a track in mid-travel are treated one after the other: good enough for a sketch.
    for (std::uint32_t b : situation.branches[fault.element->index]) {
      const double amperes = current_[i][b];
      if (amperes == 0) continue;
      const double r = network.resistors()[b].ohms;
      if (fault.mode == Mode::Open) {
        values[i] = situation.cut[b] ? kOpen : values[i] + amperes * amperes * (r + detour(situation, b));
      } else {
        const double more = fault.mode == Mode::High ? explanation.size : r * (explanation.size - 1);
        values[i] +=
            situation.cut[b] ? more : more * amperes * amperes / (1 + more / (r + detour(situation, b)));
      }
    }
  }
  return values;
}

Prediction Model::predict_one(const Situation& situation, const Observation& observation,
                              const Network& network, const Explanation& explanation,
                              const std::vector<double>& x) const {
  Prediction prediction;
  const auto flow = network.flow(observation.a.index, observation.b.index);
  if (!flow) {
    prediction.open = true;
    return prediction;
  }
  prediction.ohms = flow->ohms;
  add_slopes(situation, *flow, x, prediction);
  if (explanation.fault && explanation.fault->mode == Mode::High) {
    double by_size = 0;
    for (const Current& current : flow->currents) {
      if (current.resistor >= situation.circuit.branches.size()) continue;
      if (situation.circuit.branches[current.resistor].element != explanation.fault->element) continue;
      by_size += current.amperes * current.amperes * explanation.size * std::exp(x[size_]);
    }
    if (by_size != 0) prediction.slopes.emplace_back(size_, by_size);
  }
  if (explanation.fault && explanation.fault->mode == Mode::Value) {
    for (const auto& [unknown, slope] : std::vector(prediction.slopes)) {
      if (unknown == explanation.fault->element->index) prediction.slopes.emplace_back(size_, slope);
    }
  }
  return prediction;
}

std::vector<Prediction> Model::predict(const Explanation& explanation, const std::vector<double>& x) const {
  const bool at_means = x == mean_;
  std::vector<Prediction> predictions(observations_.size());
  for (std::uint32_t s = 0; s < situations_.size(); ++s) {
    const Situation& situation = situations_[s];
    const Fault* fault = explanation.fault && is_worn_track(*explanation.fault) ? nullptr : explanation.fault;
    const double size = explanation.size * std::exp(x[size_]);
    std::vector<std::uint32_t> hit;
    if (fault && fault->element) hit = situation.branches[fault->element->index];
    const bool shorts = fault && fault->mode == Mode::Short && situation.circuit.has(fault->a) &&
                        situation.circuit.has(fault->b) && !(fault->site == Site::Contact && !hit.empty());

    std::optional<Network> faulty;  // built only when a reading needs it
    const auto build = [&]() -> const Network& {
      if (faulty) return *faulty;
      std::vector<double> values = branch_ohms(situation, x);
      bool parts = false;
      for (std::uint32_t b : hit) {
        if (fault->mode == Mode::High) values[b] += size;
        if (fault->mode == Mode::Value) values[b] *= size;
        if (fault->mode == Mode::Open) parts = true;
      }
      if (!parts && !shorts) {
        faulty = situation.sound.front().reweighted(values);
        return *faulty;
      }
      std::vector<Resistor> resistors;
      for (std::uint32_t b = 0; b < values.size(); ++b) {
        const bool gone = parts && std::find(hit.begin(), hit.end(), b) != hit.end();
        const Branch& branch = situation.circuit.branches[b];
        // A resistor from a point to itself carries nothing: numbers stay those of the branches.
        resistors.push_back({branch.a.index, gone ? branch.a.index : branch.b.index, values[b]});
      }
      if (shorts) resistors.push_back({fault->a.index, fault->b.index, kShort.nominal});
      faulty.emplace(situation.circuit.points, std::move(resistors));
      return *faulty;
    };

    for (std::size_t i = 0; i < observations_.size(); ++i) {
      if (situation_of_[i] != s) continue;
      if (at_means && (!fault || !touches(i, *fault))) {
        predictions[i] = sound_[i];
        continue;
      }
      if (sound_[i].open && !shorts) {
        predictions[i].open = true;
        continue;
      }
      // A cut in the way: open, or the size on top.
      const bool cut = hit.size() == 1 && situation.cut[hit.front()] && current_[i][hit.front()] != 0;
      if (cut && fault->mode == Mode::Open) {
        predictions[i].open = true;
        continue;
      }
      if (cut && at_means && fault->mode == Mode::High) {
        predictions[i] = sound_[i];
        predictions[i].ohms += size;
        predictions[i].slopes.emplace_back(size_, size);
        continue;
      }
      predictions[i] = predict_one(situation, observations_[i], build(), {fault, explanation.size}, x);
    }
  }
  return predictions;
}

}  // namespace lugwise
