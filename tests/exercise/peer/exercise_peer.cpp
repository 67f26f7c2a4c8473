// Makes exercises and looks at each in three ways that have nothing to do with how it was made.
//
//   lugwise_exercise_peer NETLIST LEVEL COUNT SEED
//
// A line in JSON for each:
//   "key"       the diagnosis of the key's own readings has the answer, and nothing else, in its first group
//   "path", "seconds"            readings on the key's way, and what the hands need for them
//   "next", "next_seconds"       the same of a technician who takes nothing but what `next` asks for, until the answer stands
//                                in the first group alone; null where that is not within eighteen readings
//   "others"    faults outside the answer under which all readings on the sheet could stand as they do, whatever the parts
//               have inside their limits and the meter inside its accuracy; none at levels without readings
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>

#include "diagnosis/diagnosis.h"
#include "effect/effect.h"
#include "exercise/exercise.h"
#include "exercise/inside/information.h"
#include "expectation/corner.h"
#include "handling/handling.h"
#include "intake/netlist.h"
#include "simulation/simulation.h"

using namespace lugwise;
using namespace lugwise::exercise::inside;

namespace {

constexpr std::size_t kMostReadings = 18;
constexpr double kStands = 0.9;  // of the probability, in the first group: as the exercises have it

// Whether the first group of a diagnosis is of the answer alone.
bool stands(const std::vector<Fault>& faults, const Exercise& exercise, const Diagnosis& diagnosis) {
  if (diagnosis.verdict != Verdict::Fault) return false;
  double here = 0;
  const auto right = [&](const Fault& fault) {
    return std::any_of(exercise.answer.begin(), exercise.answer.end(), [&](const auto& group) {
      return std::any_of(group.begin(), group.end(), [&](std::size_t f) {
        return faults[f] == fault || (partner(faults[f]) && *partner(faults[f]) == fault);
      });
    });
  };
  for (const Suspect& suspect : diagnosis.suspects) {
    if (suspect.group != 1) continue;
    here += suspect.probability;
    if (suspect.also.has_value() != (exercise.ailments.size() == 2)) return false;
    if (!right(suspect.fault) || (suspect.also && !right(*suspect.also))) return false;
  }
  return here >= kStands;
}

double seconds_of(const Harness& harness, const std::vector<Observation>& seen) {
  Hands hands;
  hands.setting = Setting(harness);
  double seconds = 0;
  for (const Observation& each : seen) seconds += seconds_to_take(harness, {}, hands, each);
  return seconds;
}

// Where `next` leads, reading for reading.
std::optional<std::vector<Observation>> follow(const Harness& harness, const std::vector<Fault>& faults,
                                               const Exercise& exercise) {
  SimulationOptions options;
  options.seed = exercise.instrument;
  Simulation simulation(harness, faults, exercise.ailments, options);
  std::vector<Observation> seen;
  Diagnoser diagnoser(harness, {});
  for (;;) {
    const Diagnosis diagnosis = diagnoser.diagnose(seen, exercise.heard);
    if (stands(faults, exercise, diagnosis)) return seen;
    if (!diagnosis.next || seen.size() == kMostReadings) return std::nullopt;
    const NextProbe& next = *diagnosis.next;
    Observation probe = as_observation(harness, next);
    const auto again = static_cast<std::size_t>(std::count_if(
        seen.begin(), seen.end(), [&](const Observation& other) { return at_one_place(other, probe); }));
    simulation.take(probe, next.range, again);
    seen.push_back(std::move(probe));
  }
}

// Whether a reading could stand so under a fault of this size: the circuit with all at their least, and at their most.
bool could_show(const Harness& harness, const Meter& meter, const Fault& fault, double size,
                const Observation& seen) {
  if (seen.action == Action::Sweep && seen.ends.size() == 2) {
    for (std::size_t end = 0; end < 2; ++end) {
      Observation stop = seen;
      stop.action = Action::Read;
      stop.ends.clear();
      if (end == 1) stop.setting = other_end(seen.setting, *seen.swept);
      stop.shows = seen.ends[end].shows;
      stop.value = seen.ends[end].value;
      if (seen.ends[end].range) stop.range = seen.ends[end].range;
      if (!could_show(harness, meter, fault, size, stop)) return false;
    }
    return true;
  }
  if (seen.action != Action::Read || seen.capacitor)
    return true;  // what is watched, and farads: not looked at
  const State state{seen.setting, std::nullopt, seen.access.depth > 0, seen.lifted, Temperature{}};
  Circuit circuit = circuit_of(harness, state);
  if (acts_in(fault, circuit)) circuit = with_fault(circuit, fault, size);
  const auto low = network_at(circuit, loose_resistors_at(circuit, Corner::Low), Modules::Joined)
                       .resistance(seen.a.index, seen.b.index);
  const auto high =
      network_at(circuit, loose_resistors_at(circuit, Corner::High)).resistance(seen.a.index, seen.b.index);
  const Range& range = *seen.range;
  const double step = meter.step(range);
  const double error = (range.digits + 0.5001) * step;
  const int plugs = (harness[seen.a].role == PointRole::Plug) + (harness[seen.b].role == PointRole::Plug);
  const double cable = meter.cable / 2 * plugs;
  const double most = high ? (*high + meter.leads_high + cable) * (1 + range.share) + error : HUGE_VAL;
  if (seen.shows != Shows::Value) return !high || most >= range.top - 1.01 * step;
  if (!low) return false;
  const double least = (*low + meter.leads_low + cable) * (1 - range.share) - error;
  return seen.value >= least - 1e-9 && seen.value <= most + 1e-9;
}

std::vector<double> sizes_of(const Fault& fault) {
  if (is_worn_track(fault)) return {0};
  std::vector<double> sizes{0};
  if (fault.mode == Mode::High)
    for (sizes.clear(); sizes.size() < 25;
         sizes.push_back(std::pow(10.0, static_cast<double>(sizes.size()) / 4))) {
    }
  if (fault.mode == Mode::Value)
    sizes = {0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1.25, 1.5, 2, 3, 5, 10};
  return sizes;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 5) return 2;
  std::ifstream file(argv[1], std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  Diagnostics problems(argv[1]);
  const std::optional<Netlist> read = read_netlist(text, problems);
  if (!read) return 3;
  const Harness& harness = read->harness;
  ExerciseOptions options;
  options.level = std::atoi(argv[2]);
  options.seed = std::strtoull(argv[4], nullptr, 10);
  ExerciseMaker maker(harness, read->id, options);
  const std::vector<Fault>& faults = maker.faults();
  for (int number = 1; number <= std::atoi(argv[3]); ++number) {
    const std::optional<Exercise> exercise = maker.make(number);
    if (!exercise) break;
    std::vector<Observation> path;
    for (const PathStep& step : exercise->path) path.push_back(step.seen);
    const bool key = stands(faults, *exercise, diagnose(harness, path, {}, exercise->heard));
    const auto next = follow(harness, faults, *exercise);
    std::vector<std::string> others;
    const bool worn = std::any_of(exercise->ailments.begin(), exercise->ailments.end(),
                                  [&](const Ailment& each) { return is_worn_track(faults[each.fault]); });
    for (std::size_t f = 0; f < faults.size() && !exercise->given.empty() && !worn; ++f) {
      const auto right = [&](std::size_t g) { return g == f || same_place(faults[g], faults[f]); };
      if (is_worn_track(faults[f]) || faults[f].site == Site::Capacitor) continue;
      // The sheet of the first level says that it is an open or a short.
      if (options.level == 1 && faults[f].mode != Mode::Open && faults[f].mode != Mode::Short) continue;
      if (std::any_of(exercise->answer[0].begin(), exercise->answer[0].end(), right)) continue;
      for (const double size : sizes_of(faults[f])) {
        const bool all =
            std::all_of(exercise->given.begin(), exercise->given.end(), [&](const Observation& seen) {
              return could_show(harness, options.meter, faults[f], size, seen);
            });
        if (!all) continue;
        others.push_back(fmt::format("\"{}, {:g}\"", in_words(harness, faults[f]), size));
        break;
      }
    }
    std::cout << fmt::format(
                     "{{\"number\": {}, \"is\": \"{}\", \"key\": {}, \"path\": {}, \"seconds\": {:.1f}, "
                     "\"next\": {}, "
                     "\"next_seconds\": {}, \"others\": [{}]}}\n",
                     number, in_words(harness, faults[exercise->ailments.front().fault]), key, path.size(),
                     seconds_of(harness, path), next ? std::to_string(next->size()) : "null",
                     next ? fmt::format("{:.1f}", seconds_of(harness, *next)) : "null",
                     fmt::join(others, ", "))
              << std::flush;
  }
}
