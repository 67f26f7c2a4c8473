#include "diagnosis/inside/model.h"

#include <algorithm>
#include <cmath>

#include "component/copper.h"
#include "expectation/corner.h"

namespace lugwise::diagnosis::inside {
namespace {

constexpr Ohms kLeast = 1e-4;        // no joint or wire is less
constexpr double kMostShare = 0.98;  // of a gain error that all readings on a range share
constexpr double kEvenSpread = 1.7;
constexpr Ohms kLeadsVary = 0.1;  // tips pressed harder or softer: at least so much deviation

// Faulty circuits kept of one situation; beyond this all are forgotten.
constexpr std::size_t kMostKept = 4000;

const std::vector<std::uint32_t> kNothing;

bool is_scaled(ElementKind kind) {
  return kind == ElementKind::Coil || kind == ElementKind::Track || kind == ElementKind::Resistor;
}

double share_at(const Branch& branch, double t) {
  return std::clamp(branch.at_low + t * (branch.at_high - branch.at_low), 1e-6, 1.0);
}

bool changes_ohms(const Fault* fault, const Branch& branch) {
  return fault && has_size(*fault) && fault->element == branch.element;
}

}  // namespace

bool has_size(const Fault& fault) {
  if (fault.site == Site::Capacitor) return false;
  return fault.mode == Mode::Value || (fault.mode == Mode::High && !is_worn_track(fault));
}

Model::Model(const Harness& harness, const DiagnosisOptions& options, Explanation base)
    : harness_(harness), options_(options), base_(base) {
  for (const Element& element : harness.elements()) {
    if (is_scaled(element.kind)) {
      // The tolerance is two deviations: a third of it would raise false alarms.
      const double tolerance = element.ohms.nominal > 0 ? element.ohms.high / element.ohms.nominal - 1 : 0;
      mean_.push_back(0);
      deviation_.push_back(std::max(tolerance / 2, 1e-4));
    } else {
      // Anywhere between, evenly: so far from the nominal on the average.
      const double width = element.ohms.high - element.ohms.low;
      mean_.push_back(element.ohms.nominal);
      deviation_.push_back(std::max(width / kEvenSpread, 1e-4));
    }
  }
  const auto add = [&](double mean, double deviation) {
    mean_.push_back(mean);
    deviation_.push_back(deviation);
    return static_cast<std::uint32_t>(mean_.size() - 1);
  };
  const Meter& meter = options.meter;
  temperature_ =
      add(options.temperature.nominal,
          options.temperature.known ? 0.5 : (options.temperature.high - options.temperature.low) / 4);
  leads_ = add((meter.leads_low + meter.leads_high) / 2,
               std::max((meter.leads_high - meter.leads_low) / std::sqrt(12.0),
                        meter.leads_high > 0 ? kLeadsVary : kLeadsVary / 2));
  first_gain_ = static_cast<std::uint32_t>(mean_.size());
  for (const Range& range : meter.ranges) add(0, kMostShare * range.share / std::sqrt(3.0));
  short_ = add(kShort.nominal, kShort.high / kEvenSpread);
  size_ = add(0, 0.25 * std::log(10.0) / 2);
  base_size_ = add(0, 0.25 * std::log(10.0) / 2);
}

std::uint32_t Model::situation_of(const Observation& observation) {
  const bool open = observation.access.depth > 0;
  for (std::uint32_t s = 0; s < situations_.size(); ++s) {
    const Situation& known = situations_[s];
    if (known.setting == observation.setting && known.cavity_open == open &&
        known.lifted == observation.lifted)
      return s;
  }
  Situation fresh;
  fresh.setting = observation.setting;
  fresh.cavity_open = open;
  fresh.lifted = observation.lifted;
  State state{observation.setting, options_.stage, open, observation.lifted, options_.temperature};
  Circuit circuit = circuit_of(harness_, state);
  if (base_.fault && !has_size(*base_.fault)) circuit = with_fault(circuit, *base_.fault);
  fresh.circuit = std::make_unique<Circuit>(std::move(circuit));
  fresh.first_travel = static_cast<std::uint32_t>(mean_.size());
  for (std::uint32_t t = 0; t < fresh.circuit->travels.size(); ++t) {
    // The taper's slack is two deviations either way; with no taper given, anything goes.
    double nominal = 0.5;
    for (const Branch& branch : fresh.circuit->branches) {
      if (branch.travel == t && branch.at_high != branch.at_low) {
        nominal = (branch.at_nominal - branch.at_low) / (branch.at_high - branch.at_low);
      }
    }
    // Likeliest where the taper says, and anywhere in its slack: of a taper that stays at its stop the slack is all to
    // one side.
    mean_.push_back((nominal + 0.5) / 2);
    deviation_.push_back(std::hypot(1 / std::sqrt(12.0), (nominal - 0.5) / 2));
  }
  fresh.branches.resize(harness_.elements().size());
  for (std::uint32_t b = 0; b < fresh.circuit->branches.size(); ++b) {
    const std::uint32_t element = fresh.circuit->branches[b].element.index;
    if (element != kNoElement) fresh.branches[element].push_back(b);
  }
  const std::vector<double> values = branch_ohms(fresh, fresh.circuit->branches, {}, mean_);
  std::vector<Resistor> resistors;
  for (std::uint32_t b = 0; b < values.size(); ++b) {
    const Branch& branch = fresh.circuit->branches[b];
    resistors.push_back({branch.a.index, branch.b.index, values[b]});
  }
  fresh.sound = std::make_unique<Network>(fresh.circuit->points, std::move(resistors));
  for (std::uint32_t b = 0; b < values.size(); ++b) fresh.cut.push_back(fresh.sound->cut(b) ? 1 : 0);
  fresh.detour.resize(values.size());
  situations_.push_back(std::move(fresh));
  return static_cast<std::uint32_t>(situations_.size() - 1);
}

std::uint32_t Model::probe(const Observation& observation) {
  const std::uint32_t s = situation_of(observation);
  for (std::uint32_t p = 0; p < probes_.size(); ++p) {
    const Probe& known = probes_[p];
    if (known.situation == s && known.a == observation.a && known.b == observation.b) return p;
  }
  const Situation& situation = situations_[s];
  const std::vector<Branch>& branches = situation.circuit->branches;
  Probe probe;
  probe.situation = s;
  probe.a = observation.a;
  probe.b = observation.b;
  const auto flow = situation.sound->flow(observation.a.index, observation.b.index);
  probe.current.assign(branches.size(), 0);
  probe.potential.assign(situation.circuit->points, 0);
  if (!flow) {
    probe.sound.open = true;
  } else {
    probe.sound.ohms = flow->ohms;
    add_slopes(situation, branches, *flow, {}, mean_, probe.sound);
    for (const Current& current : flow->currents) probe.current[current.resistor] = current.amperes;
    // Potentials by walking outward from the first probe along any branches.
    std::vector<std::vector<std::uint32_t>> at(situation.circuit->points);
    for (std::uint32_t b = 0; b < branches.size(); ++b) {
      at[branches[b].a.index].push_back(b);
      at[branches[b].b.index].push_back(b);
    }
    std::vector<char> seen(situation.circuit->points, 0);
    std::vector<std::uint32_t> queue{observation.a.index};
    seen[observation.a.index] = 1;
    for (std::size_t next = 0; next < queue.size(); ++next) {
      for (std::uint32_t b : at[queue[next]]) {
        const bool forward = branches[b].a.index == queue[next];
        const std::uint32_t there = forward ? branches[b].b.index : branches[b].a.index;
        if (seen[there]) continue;
        seen[there] = 1;
        const double drop = probe.current[b] * situation.sound->resistors()[b].ohms;
        probe.potential[there] = probe.potential[queue[next]] - (forward ? drop : -drop);
        queue.push_back(there);
      }
    }
  }
  probes_.push_back(std::move(probe));
  return static_cast<std::uint32_t>(probes_.size() - 1);
}

const Expected& Model::expected(std::uint32_t number) {
  Probe& probe = probes_[number];
  if (!probe.expected) probe.expected = expect(*situations_[probe.situation].circuit, probe.a, probe.b);
  return *probe.expected;
}

const std::vector<std::uint32_t>& Model::hit(const Situation& situation, const Fault& fault) const {
  if (!fault.element || !acts_in(fault, *situation.circuit)) return kNothing;
  return situation.branches[fault.element->index];
}

Ohms Model::ohms(const Situation& situation, const Branch& branch, const Explanation& explanation,
                 const std::vector<double>& x) const {
  if (branch.element.index == kNoElement) return std::max(x[short_], kLeast);
  const Element& element = harness_[branch.element];
  const double own = x[branch.element.index];
  double value = 0;
  switch (element.kind) {
    case ElementKind::Coil:
      value = element.ohms.nominal * std::exp(own) * copper_factor(x[temperature_]);
      break;
    case ElementKind::Track:
      value = element.ohms.nominal * std::exp(own);
      if (branch.travel) value *= share_at(branch, x[situation.first_travel + *branch.travel]);
      break;
    case ElementKind::Resistor:
      value = element.ohms.nominal * std::exp(own);
      break;
    default:
      value = std::max(own, kLeast);
  }
  if (changes_ohms(base_.fault, branch)) {
    const double size = base_.size * std::exp(x[base_size_]);
    value = base_.fault->mode == Mode::High ? value + size : value * size;
  }
  if (changes_ohms(explanation.fault, branch)) {
    const double size = explanation.size * std::exp(x[size_]);
    value = explanation.fault->mode == Mode::High ? value + size : value * size;
  }
  return std::clamp(value, kLeast, 1e12);
}

std::vector<double> Model::branch_ohms(const Situation& situation, const std::vector<Branch>& branches,
                                       const Explanation& explanation, const std::vector<double>& x) const {
  std::vector<double> values;
  values.reserve(branches.size());
  for (const Branch& branch : branches) values.push_back(ohms(situation, branch, explanation, x));
  return values;
}

// By Cohn's theorem the reading moves with a branch's ohms as its current squared.
void Model::add_slopes(const Situation& situation, const std::vector<Branch>& branches, const Flow& flow,
                       const Explanation& explanation, const std::vector<double>& x,
                       Prediction& prediction) const {
  double by_temperature = 0;
  double by_size = 0;
  double by_base = 0;
  prediction.slopes.reserve(flow.currents.size() + 4);
  for (const Current& current : flow.currents) {
    const Branch& branch = branches[current.resistor];
    if (branch.element.index == kNoElement) {
      prediction.slopes.emplace_back(short_, current.amperes * current.amperes);
      continue;
    }
    const Element& element = harness_[branch.element];
    const double weight = current.amperes * current.amperes;
    const Ohms value = ohms(situation, branch, explanation, x);
    double added = 0;  // ohms that a High puts on top: they do not scale with the part
    for (const auto& [fault, size, unknown] : {std::tuple{explanation.fault, explanation.size, size_},
                                               std::tuple{base_.fault, base_.size, base_size_}}) {
      if (!changes_ohms(fault, branch)) continue;
      const double slope = weight * (fault->mode == Mode::High ? size * std::exp(x[unknown]) : value);
      if (fault->mode == Mode::High) added += size * std::exp(x[unknown]);
      (unknown == size_ ? by_size : by_base) += slope;
    }
    const Ohms own = value - added;
    if (is_scaled(element.kind)) {
      prediction.slopes.emplace_back(branch.element.index, weight * own);
    } else {
      prediction.slopes.emplace_back(branch.element.index, weight);
    }
    if (element.kind == ElementKind::Coil) {
      by_temperature += weight * own * kStandardCopper.rise / copper_factor(x[temperature_]);
    }
    if (branch.travel) {
      const double share = share_at(branch, x[situation.first_travel + *branch.travel]);
      prediction.slopes.emplace_back(situation.first_travel + *branch.travel,
                                     weight * own / share * (branch.at_high - branch.at_low));
    }
  }
  if (by_temperature != 0) prediction.slopes.emplace_back(temperature_, by_temperature);
  if (by_size != 0) prediction.slopes.emplace_back(size_, by_size);
  if (by_base != 0) prediction.slopes.emplace_back(base_size_, by_base);
}

double Model::detour(const Situation& situation, std::uint32_t branch) const {
  auto& known = situation.detour[branch];
  if (!known) known = situation.sound->detour(branch).value_or(kOpen);
  return *known;
}

// Whether a fault leaves other branches than the sound circuit has.
bool Model::rejoins(const Situation& situation, const Fault& fault) const {
  if (has_size(fault) || is_worn_track(fault)) return false;
  if (fault.mode == Mode::Open) return !hit(situation, fault).empty();
  return true;
}

const Model::Faulty& Model::faulty(const Situation& situation, const Fault& fault) const {
  const auto known = situation.faulty.find(&fault);
  if (known != situation.faulty.end()) return known->second;
  if (situation.faulty.size() > kMostKept) situation.faulty.clear();
  Circuit circuit = with_fault(*situation.circuit, fault);
  const std::vector<double> values = branch_ohms(situation, circuit.branches, {}, mean_);
  std::vector<Resistor> resistors;
  for (std::uint32_t b = 0; b < values.size(); ++b)
    resistors.push_back({circuit.branches[b].a.index, circuit.branches[b].b.index, values[b]});
  Faulty made{std::move(circuit.branches), Network(circuit.points, std::move(resistors))};
  return situation.faulty.emplace(&fault, std::move(made)).first->second;
}

bool Model::touches(std::uint32_t number, const Fault& fault) const {
  const Probe& probe = probes_[number];
  const Situation& situation = situations_[probe.situation];
  if (fault.mode == Mode::Misplaced) return true;
  if (!acts_in(fault, *situation.circuit)) return false;
  if (fault.element && fault.mode != Mode::Short) {
    // Of a worn track only the wiper knows.
    const std::uint32_t element = is_worn_track(fault)
                                      ? harness_[*harness_[*fault.element].part].pot->wiper_element.index
                                      : fault.element->index;
    for (std::uint32_t b : situation.branches[element]) {
      if (probe.current[b] != 0) return true;
    }
    return false;
  }
  if (probe.sound.open) return true;
  return probe.potential[fault.a.index] != probe.potential[fault.b.index];
}

double Model::sketch(std::uint32_t number, const Explanation& explanation) const {
  const Probe& probe = probes_[number];
  const double sound = probe.sound.open ? kOpen : probe.sound.ohms;
  if (!explanation.fault || is_worn_track(*explanation.fault)) return sound;
  const Fault& fault = *explanation.fault;
  const Situation& situation = situations_[probe.situation];
  const Network& network = *situation.sound;
  if (fault.mode == Mode::Misplaced)
    return faulty(situation, fault).network.resistance(probe.a.index, probe.b.index).value_or(kOpen);
  if (fault.mode == Mode::Short) {
    if (!situation.circuit->has(fault.a) || !situation.circuit->has(fault.b)) return sound;
    if (fault.site == Site::Contact && !hit(situation, fault).empty()) return sound;
    const std::uint32_t a = probe.a.index;
    const std::uint32_t b = probe.b.index;
    std::uint32_t x = fault.a.index;
    std::uint32_t y = fault.b.index;
    if (probe.sound.open) {
      if (!network.connected(a, x)) std::swap(x, y);
      if (!network.connected(a, x) || !network.connected(y, b)) return sound;
      return *network.resistance(a, x) + kShort.nominal + *network.resistance(y, b);
    }
    if (!network.connected(a, x) || !network.connected(x, y)) return sound;
    const double v = probe.potential[x] - probe.potential[y];
    return v == 0 ? sound : sound - v * v / (kShort.nominal + *network.resistance(x, y));
  }
  if (probe.sound.open) return sound;
  // Halves of a track in mid-travel are treated one after the other: good enough for a sketch.
  double value = sound;
  for (std::uint32_t b : hit(situation, fault)) {
    const double amperes = probe.current[b];
    if (amperes == 0) continue;
    const double r = network.resistors()[b].ohms;
    if (fault.mode == Mode::Open) {
      value = situation.cut[b] ? kOpen : value + amperes * amperes * (r + detour(situation, b));
    } else {
      const double more = fault.mode == Mode::High ? explanation.size : r * (explanation.size - 1);
      value += situation.cut[b] ? more : more * amperes * amperes / (1 + more / (r + detour(situation, b)));
    }
  }
  return value;
}

std::vector<Prediction> Model::predict(const std::vector<std::uint32_t>& numbers,
                                       const Explanation& explanation, const std::vector<double>& x) const {
  const bool at_means = x == mean_;
  const Fault* fault = explanation.fault && !is_worn_track(*explanation.fault) ? explanation.fault : nullptr;
  std::vector<Prediction> predictions(numbers.size());
  for (std::uint32_t s = 0; s < situations_.size(); ++s) {
    const Situation& situation = situations_[s];
    const std::vector<Branch>* branches = nullptr;
    std::optional<Network> network;  // made only when a reading needs it
    const auto make = [&]() {
      if (network) return;
      branches = &situation.circuit->branches;
      const Network* shape = situation.sound.get();
      if (fault && rejoins(situation, *fault)) {
        const Faulty& with = faulty(situation, *fault);
        branches = &with.branches;
        shape = &with.network;
      }
      network = shape->reweighted(branch_ohms(situation, *branches, {fault, explanation.size}, x));
    };
    const std::vector<std::uint32_t>& in_way = fault ? hit(situation, *fault) : kNothing;
    for (std::size_t i = 0; i < numbers.size(); ++i) {
      const Probe& probe = probes_[numbers[i]];
      if (probe.situation != s) continue;
      if (at_means && (!fault || !touches(numbers[i], *fault))) {
        predictions[i] = probe.sound;
        continue;
      }
      const bool joins = fault && (fault->mode == Mode::Short || fault->mode == Mode::Misplaced);
      if (probe.sound.open && !joins) {
        predictions[i].open = true;
        continue;
      }
      // A cut in the way: open, or the size on top.
      const bool cut =
          in_way.size() == 1 && situation.cut[in_way.front()] && probe.current[in_way.front()] != 0 && !joins;
      if (cut && fault->mode == Mode::Open) {
        predictions[i].open = true;
        continue;
      }
      if (cut && at_means && fault->mode == Mode::High) {
        predictions[i] = probe.sound;
        predictions[i].ohms += explanation.size;
        predictions[i].slopes.emplace_back(size_, explanation.size);
        continue;
      }
      make();
      const auto flow = network->flow(probe.a.index, probe.b.index);
      predictions[i].open = !flow;
      if (!flow) continue;
      predictions[i].ohms = flow->ohms;
      add_slopes(situation, *branches, *flow, {fault, explanation.size}, x, predictions[i]);
    }
  }
  return predictions;
}

}  // namespace lugwise::diagnosis::inside
