#include "record/expected_reading.h"

#include <utility>

#include "circuit/capacitance.h"
#include "handling/dial.h"
#include "handling/handling.h"

namespace lugwise {
namespace {

Unfit why_no_farads(const Meter& meter, bool of_capacitor) {
  if (!of_capacitor) return Unfit::NotOfCapacitor;
  return meter.capacitance.empty() ? Unfit::NoCapacitance : Unfit::NotAlone;
}

}  // namespace

ExpectedReading expected_reading(const Harness& harness, const Observation& seen,
                                 std::optional<std::size_t> stage, const Conditions& conditions) {
  const Meter& meter = conditions.meter;
  const Circuit circuit = circuit_of(harness, state_of(seen, stage, conditions.coils()));
  ExpectedReading reading;
  reading.taken = seen;
  reading.stage = stage;
  Expected& expected = reading.expected;
  expected = expect(circuit, seen.a, seen.b);
  follow_wipers(circuit, seen.a, seen.b, expected);
  const int plugs = plugs_among(harness, seen.a, seen.b);
  reading.range = seen.range ? *seen.range : range_to_take(meter, expected, plugs);
  reading.shows = window(meter, reading.range, expected.ohms, plugs);
  const auto capacitor = capacitor_between(harness, seen.a, seen.b);
  if (capacitor && !meter.capacitance.empty() && measured_alone(harness, circuit, *capacitor))
    reading.capacitance = capacitance_reading(meter, farads_of(harness, *capacitor));
  if (auto best = best_to_measure(circuit, seen.a, seen.b, expected, measured_alone(harness),
                                  meter.step(reading.range))) {
    const Window shows = window(meter, reading.range, best->expected.ohms, plugs);
    reading.measure = {std::move(*best), shows};
  }
  return reading;
}

Held hold_against(const Harness& harness, const std::string& shown, const Conditions& conditions,
                  ExpectedReading& reading) {
  Observation seen = reading.taken;
  Asked asked;
  asked.farads.reset();
  if (seen.range) asked.range = seen.range->top;
  Held held{judge(shown, asked, conditions.meter), std::nullopt};
  const std::optional<Misread>& wrong = held.read.wrong;
  if (wrong && !wrong->on_range) {
    held.unfit = Unfit::NoReading;
    return held;
  }
  const Shown& read = held.read.shown;
  const auto capacitor = capacitor_between(harness, seen.a, seen.b);
  if (read.farads && !reading.capacitance) {
    held.unfit = why_no_farads(conditions.meter, capacitor.has_value());
    return held;
  }
  if (read.farads) seen.capacitor = capacitor;
  seen.text = shown;
  seen.shows = read.shows;
  seen.value = read.value;
  seen.resolution = read.resolution;
  DiagnosisOptions options = conditions.diagnosis_options();
  options.stage = reading.stage;
  Comparison comparison = compare(harness, seen, options);
  if (!read.farads) {
    reading.range = comparison.range;
    reading.shows = comparison.shows;
  }
  reading.reads = {std::move(seen), std::move(comparison), wrong ? wrong->why() : std::string{}};
  return held;
}

}  // namespace lugwise
