#include "support/trial.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "component/copper.h"
#include "network/network.h"

namespace lugwise::test {
namespace {

double even(std::mt19937& random, double low, double high) {
  return low + (high - low) * std::uniform_real_distribution<double>(0, 1)(random);
}

bool sized(const Fault& fault) {
  return (fault.mode == Mode::High && !is_worn_track(fault)) || fault.mode == Mode::Value;
}

// What the display shows.
void show(const Meter& meter, const Range& range, double shown, Observation& observation) {
  const double unit = meter.step(range);
  observation.text = display(meter, range, shown);
  observation.resolution = unit;
  if (std::isinf(shown) || over_range(meter, range, shown)) {
    observation.shows = Shows::OverRange;
    return;
  }
  observation.shows = Shows::Value;
  observation.value = std::max(0.0, std::round(shown / unit) * unit);
}

}  // namespace

Trials::Trials(const Harness& harness, const PlanOptions& options)
    : harness_(harness), plan_(plan_for(harness, "trial", options)) {
  for (const Step& step : plan_.steps) {
    if (step.kind != StepKind::Read && step.kind != StepKind::Sweep) continue;
    if (step.capacitance) continue;
    steps_.push_back(&step);
    State state{step.setting, options.stage, step.access.depth > 0, {}, exactly(20)};
    circuits_.push_back(circuit_of(harness, state));
  }
  std::vector<char> unseen(plan_.faults.size(), 0);
  for (const Unseen& each : plan_.unseen) unseen[each.fault] = 1;
  for (const Fault& fault : faults_at(harness, options.stage)) {
    double least = 1;
    if (sized(fault) && fault.mode == Mode::High) {
      const auto noticed = std::find_if(plan_.smallest.begin(), plan_.smallest.end(),
                                        [&](const Smallest& each) { return each.element == *fault.element; });
      if (noticed == plan_.smallest.end()) continue;
      least = noticed->ohms;
    } else if (fault.mode != Mode::Value) {
      const auto found = std::find(plan_.faults.begin(), plan_.faults.end(), fault);
      if (found == plan_.faults.end() || unseen[static_cast<std::size_t>(found - plan_.faults.begin())])
        continue;
    }
    drawn_.push_back(fault);
    weights_.push_back(fault.weight);
    least_.push_back(least);
  }
}

Hidden Trials::draw_fault(std::mt19937& random) const {
  std::discrete_distribution<std::size_t> pick(weights_.begin(), weights_.end());
  const std::size_t f = pick(random);
  Hidden hidden{drawn_[f], 0};
  if (!sized(hidden.fault)) return hidden;
  if (hidden.fault.mode == Mode::High) {
    hidden.size = std::exp(even(random, std::log(least_[f]), std::log(1e6)));
    return hidden;
  }
  const Band& ohms = harness_[*hidden.fault.element].ohms;
  const double tolerance = std::max(0.1, ohms.high / ohms.nominal - 1);
  do hidden.size = std::exp(even(random, std::log(0.1), std::log(10)));
  while (std::abs(std::log(hidden.size)) < tolerance);
  return hidden;
}

Trial Trials::take(std::vector<Hidden> hidden, std::mt19937& random) const {
  Trial trial;
  trial.hidden = std::move(hidden);
  const PlanOptions& options = plan_.options;
  const Meter& meter = options.meter;
  const double celsius = options.temperature.known ? options.temperature.nominal : even(random, 10, 35);
  const double leads = even(random, meter.leads_low, meter.leads_high);
  std::vector<double> gain;
  for (const Range& range : meter.ranges) gain.push_back(even(random, -range.share, range.share));
  std::vector<double> part;
  for (std::size_t e = 0; e < harness_.elements().size(); ++e) part.push_back(even(random, 0, 1));
  std::map<std::tuple<PartId, std::size_t, double>, double> places;
  for (std::size_t s = 0; s < steps_.size(); ++s) {
    const Step& step = *steps_[s];
    Circuit circuit = circuits_[s];
    // A wiper stays where it is as long as its knob is not touched.
    std::vector<double> place;
    for (std::size_t t = 0; t < circuit.travels.size(); ++t) {
      const PartId control = circuit.travels[t].control;
      const auto at = std::tuple{control, t, step.setting.knob(control)};
      const bool turned = s > 0 && !step.setting.alike(steps_[s - 1]->setting, control);
      if (turned || !places.contains(at)) places[at] = even(random, 0, 1);
      place.push_back(places[at]);
    }
    for (Branch& branch : circuit.branches) {
      double ohms = branch.ohms.low + part[branch.element.index] * (branch.ohms.high - branch.ohms.low);
      if (branch.copper) ohms *= copper_factor(celsius);
      if (branch.travel)
        branch.at_nominal = branch.at_low + place[*branch.travel] * (branch.at_high - branch.at_low);
      branch.ohms = {ohms, ohms, ohms};
    }
    for (const Hidden& each : trial.hidden) circuit = with_fault(circuit, each.fault, each.size);
    std::vector<Resistor> resistors;
    for (const Branch& branch : circuit.branches)
      resistors.push_back({branch.a.index, branch.b.index, branch.ohms.nominal * branch.at_nominal});
    const auto ohms = Network(circuit.points, std::move(resistors)).resistance(step.a.index, step.b.index);

    Observation reading;
    reading.a = step.a;
    reading.b = step.b;
    reading.setting = step.setting;
    reading.access = step.access;
    reading.range = step.range;
    reading.step = step.number;
    if (step.kind == StepKind::Sweep) {
      reading.action = Action::Sweep;
      reading.swept = step.swept;
      const bool jumps = std::any_of(trial.hidden.begin(), trial.hidden.end(), [&](const Hidden& each) {
        const Fault& fault = each.fault;
        if ((fault.site != Site::Track && fault.site != Site::Wiper) || fault.mode == Mode::Value ||
            fault.mode == Mode::Misplaced)
          return false;
        const PartId pot = *harness_[fault.points[0]].part;
        return harness_[pot].pot->gang.value_or(pot) == *step.swept;
      });
      reading.shows = jumps ? Shows::Jumps : Shows::Smooth;
      reading.text = jumps ? "jumps" : "smooth";
      trial.visible = trial.visible || jumps;
    } else {
      const double digits = even(random, -step.range.digits, step.range.digits) * meter.step(step.range);
      std::size_t r = 0;
      while (r + 1 < meter.ranges.size() && meter.ranges[r].top != step.range.top) ++r;
      show(meter, step.range, (ohms.value_or(HUGE_VAL) + leads) * (1 + gain[r]) + digits, reading);
      const double half = 0.500001 * meter.step(step.range);
      if (reading.shows == Shows::OverRange) {
        trial.visible = trial.visible || !(step.expected.open || step.expected.unlimited ||
                                           step.shows.high > step.range.top - half);
      } else {
        trial.visible = trial.visible || step.expected.open || reading.value < step.shows.low - half ||
                        (!step.expected.unlimited && reading.value > step.shows.high + half);
      }
    }
    trial.readings.push_back(std::move(reading));
  }
  return trial;
}

void Trials::spoil(Trial& trial, double share, std::mt19937& random) const {
  for (Observation& reading : trial.readings) {
    if (even(random, 0, 1) >= share) continue;
    if (reading.action == Action::Sweep) {
      reading.shows = reading.shows == Shows::Jumps ? Shows::Smooth : Shows::Jumps;
      continue;
    }
    const bool over = even(random, 0, 1) < 0.3;
    const double shown = over ? HUGE_VAL : std::exp(even(random, std::log(0.1), std::log(20e6)));
    show(plan_.options.meter, *reading.range, shown, reading);
  }
}

std::optional<std::size_t> Trials::slip_once(Trial& trial, std::mt19937& random) const {
  std::vector<std::size_t> numbers;
  for (std::size_t i = 0; i < trial.readings.size(); ++i) {
    const Observation& reading = trial.readings[i];
    if (reading.action == Action::Read && reading.shows == Shows::Value) numbers.push_back(i);
  }
  if (numbers.empty()) return std::nullopt;
  const std::size_t i = numbers[random() % numbers.size()];
  Observation& reading = trial.readings[i];
  const auto kind = random() % 4;
  const double decade = random() % 2 == 0 ? 10 : 0.1;
  const double shown = kind < 2    ? HUGE_VAL
                       : kind == 2 ? decade * reading.value
                                   : std::exp(even(random, std::log(0.1), std::log(20e6)));
  const Meter& meter = plan_.options.meter;
  if (std::isfinite(shown) && shown >= reading.range->top) reading.range = range_for(meter, shown);
  show(meter, *reading.range, shown, reading);
  return i;
}

bool reads_alike(const Observation& x, const Observation& y) {
  if (x.shows != y.shows) return false;
  return x.shows != Shows::Value || std::abs(x.value - y.value) <= 0.25 * std::max(x.value, y.value) + 2;
}

bool read_alike(const std::vector<Observation>& one, const std::vector<Observation>& other) {
  return std::equal(one.begin(), one.end(), other.begin(), other.end(), reads_alike);
}

TwoFaults TwoFaults::draw(const Trials& trials, std::mt19937& random) {
  TwoFaults drawn;
  drawn.one = trials.draw_fault(random);
  drawn.other = trials.draw_fault(random);
  drawn.seed = random();
  const auto taken = [&](std::vector<Hidden> hidden) {
    std::mt19937 same(drawn.seed);
    return trials.take(std::move(hidden), same);
  };
  drawn.both = taken({drawn.one, drawn.other});
  drawn.each_shows = !(drawn.one.fault == drawn.other.fault) &&
                     !read_alike(drawn.both.readings, taken({drawn.one}).readings) &&
                     !read_alike(drawn.both.readings, taken({drawn.other}).readings);
  return drawn;
}

bool TwoFaults::named_in(const Diagnosis& found) const {
  return std::any_of(found.suspects.begin(), found.suspects.end(), [&](const Suspect& each) {
    return each.group <= 3 && each.also &&
           ((each.fault == one.fault && *each.also == other.fault) ||
            (each.fault == other.fault && *each.also == one.fault));
  });
}

bool TwoFaults::reads_as(const Trials& trials, const Diagnosis& found) const {
  if (found.suspects.empty()) return false;
  const Suspect& first = found.suspects[0];
  std::vector<Hidden> instead{{first.fault, first.size ? first.size->nominal : 0}};
  if (first.also) instead.push_back({*first.also, first.also_size ? first.also_size->nominal : 0});
  std::mt19937 same(seed);
  return read_alike(trials.take(std::move(instead), same).readings, both.readings);
}

}  // namespace lugwise::test
