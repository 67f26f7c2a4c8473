// The fault dictionary: entries a second, against the same solver on the whole faulty network, and how it grows on looms.
//
// An entry is the least, the usual and the most that two probes find with one fault in one setting. `entries/s` is read off
// items_per_second; `peak MB` is the most memory that the process has had so far.

#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>
#include <string>

#include "dictionary/dictionary.h"
#include "expectation/corner.h"
#include "handling/handling.h"
#include "support/bench.h"

namespace {

using namespace lugwise;
using namespace lugwise::test;

Netlist read(const std::string& text) {
  Diagnostics diagnostics("bench.yaml");
  return read_netlist(text, diagnostics).value();
}

double peak() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

// The worked harness with the most elements.
const Harness& largest() {
  static const Harness harness = [] {
    std::optional<Harness> most;
    for (const std::string& path : worked_harnesses()) {
      std::ifstream file(path);
      Harness one = read({std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()}).harness;
      if (!most || one.elements().size() > most->elements().size()) most = std::move(one);
    }
    return *most;
  }();
  return harness;
}

double size_of(const Fault& fault) {
  return fault.mode == Mode::High ? 100 : fault.mode == Mode::Value ? 0.5 : 0;
}

struct Scene {
  Circuit circuit;
  std::vector<PointId> probes;
};

std::vector<Scene> scenes() {
  const Harness& harness = largest();
  std::vector<Scene> scenes;
  for (const Setting& setting : settings_to_try(harness, {})) {
    Scene scene{circuit_of(harness, {setting, {}, true, {}, {}}), {}};
    for (PointId point : reachable(harness, {}, accesses(harness).back().depth)) {
      if (scene.circuit.has(point)) scene.probes.push_back(point);
    }
    scenes.push_back(std::move(scene));
  }
  return scenes;
}

void say(benchmark::State& state, std::size_t entries) {
  state.SetItemsProcessed(static_cast<std::int64_t>(entries));
  state.SetLabel(largest().name);
  state.counters["peak MB"] = peak();
}

// Every setting, every fault, every pair.
void dictionary(benchmark::State& state) {
  const std::vector<Fault> faults = faults_of(largest());
  const std::vector<Scene> all = scenes();
  std::size_t entries = 0;
  for (auto _ : state) {
    double sum = 0;
    for (const Scene& scene : all) {
      const Chapter chapter(scene.circuit, scene.probes);
      for (const Fault& fault : faults) {
        const Page page = chapter.page(fault, size_of(fault));
        for (std::size_t i = 0; i < scene.probes.size(); ++i) {
          for (std::size_t j = i + 1; j < scene.probes.size(); ++j) sum += page(i, j).nominal.value_or(0);
        }
        entries += scene.probes.size() * (scene.probes.size() - 1) / 2;
      }
    }
    benchmark::DoNotOptimize(sum);
  }
  say(state, entries);
}

// One setting of them: the whole faulty network for each fault, all pairs of it at once, at three corners.
void whole_network_for_each_fault(benchmark::State& state) {
  const std::vector<Fault> faults = faults_of(largest());
  const Scene scene = scenes().front();
  std::vector<std::uint32_t> asked;
  for (PointId probe : scene.probes) asked.push_back(probe.index);
  std::size_t entries = 0;
  for (auto _ : state) {
    for (const Fault& fault : faults) {
      const Circuit faulty = with_fault(scene.circuit, fault, size_of(fault));
      for (const Corner corner : {Corner::Low, Corner::Nominal, Corner::High})
        benchmark::DoNotOptimize(network_at(faulty, loose_resistors_at(faulty, corner),
                                            corner == Corner::Low ? Modules::Joined : Modules::Apart)
                                     .all_pairs(asked));
      entries += asked.size() * (asked.size() - 1) / 2;
    }
  }
  say(state, entries);
}

// The same, entry by entry: some of the pairs, as all would take minutes.
void whole_network_for_each_entry(benchmark::State& state) {
  const std::vector<Fault> faults = faults_of(largest());
  const Scene scene = scenes().front();
  std::size_t entries = 0;
  for (auto _ : state) {
    for (std::size_t f = 0; f < faults.size(); f += 10) {
      for (std::size_t i = 1; i < scene.probes.size(); i += 7) {
        const Circuit faulty = with_fault(scene.circuit, faults[f], size_of(faults[f]));
        for (const Corner corner : {Corner::Low, Corner::Nominal, Corner::High})
          benchmark::DoNotOptimize(network_at(faulty, loose_resistors_at(faulty, corner),
                                              corner == Corner::Low ? Modules::Joined : Modules::Apart)
                                       .resistance(scene.probes[0].index, scene.probes[i].index));
        ++entries;
      }
    }
  }
  say(state, entries);
}

BENCHMARK(dictionary)->Unit(benchmark::kMillisecond);
BENCHMARK(whole_network_for_each_fault)->Unit(benchmark::kMillisecond);
BENCHMARK(whole_network_for_each_entry)->Unit(benchmark::kMillisecond);

constexpr int kWiresEach = 50;
constexpr int kBranches = 16;

// A star of stations around one stud; each hangs on it by two wires, and from its own stud sixteen branches go out, each over
// a connector and a splice to a tag.
std::string star(int wires) {
  std::string parts = "lugwise: 1\nname: star\nparts:\n  stud: {kind: metal, points: [all]}\n";
  std::string runs = "wires:\n";
  for (int s = 0; s < wires / kWiresEach; ++s) {
    const std::string n = std::to_string(s);
    parts += "  hub-" + n + ": {kind: metal, points: [stud]}\n";
    for (const char* name : {"first", "second"})
      runs += "  - {name: " + std::string(name) + "-" + n + ", run: [stud.all, hub-" + n + ".stud]}\n";
    for (int b = 0; b < kBranches; ++b) {
      const std::string k = n + "-" + std::to_string(b);
      parts += "  plug-" + k + ": {kind: metal, points: [pin, socket]}\n  splice-" + k +
               ": {kind: resistor, value: 10}\n  tag-" + k + ": {kind: metal, points: [lug]}\n";
      runs += "  - [hub-" + n + ".stud, plug-" + k + ".pin]\n  - [plug-" + k + ".socket, splice-" + k +
              ".1]\n  - [splice-" + k + ".2, tag-" + k + ".lug]\n";
    }
  }
  return parts + runs;
}

// What a plan asks of it: from each station's stud to each of its tags and to the stud in the middle, with every fault that
// can change the reading.
void star_asked(benchmark::State& state) {
  const int wires = static_cast<int>(state.range(0));
  const Harness harness = read(star(wires)).harness;
  const Circuit circuit = circuit_of(harness, {Setting(harness), {}, true, {}, {}});
  const auto at = [&](const std::string& name) { return harness.find_point(name).value(); };
  std::size_t entries = 0;
  for (auto _ : state) {
    const std::vector<Fault> faults = faults_of(harness);
    const Chapter chapter(circuit);
    const Chapter::Index index = chapter.index(faults);
    const auto ask = [&](PointId a, PointId b) {
      for (std::uint32_t f : chapter.among(index, a, b)) {
        benchmark::DoNotOptimize(chapter.with(faults[f], size_of(faults[f]), a, b));
        ++entries;
      }
    };
    for (int s = 0; s < wires / kWiresEach; ++s) {
      const PointId hub = at("hub-" + std::to_string(s) + ".stud");
      ask(at("stud.all"), hub);
      for (int b = 0; b < kBranches; ++b)
        ask(hub, at("tag-" + std::to_string(s) + "-" + std::to_string(b) + ".lug"));
    }
  }
  state.SetItemsProcessed(static_cast<std::int64_t>(entries));
  state.SetComplexityN(wires);
  state.counters["peak MB"] = peak();
}

BENCHMARK(star_asked)
    ->ArgName("wires")
    ->RangeMultiplier(10)
    ->Range(100, 10'000)
    ->Unit(benchmark::kMillisecond)
    ->Complexity();

}  // namespace
