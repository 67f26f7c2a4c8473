// How long `check` takes on a loom of guitars: each a copy of the two-pickup harness with a jack of its own, their
// grounds one long chain. Once where all is well, once where in each guitar a switch shorts a pickup for good, so that
// every setting has to be tried.
//
// Counted in wires: 100, 1,000, 10,000, 50,000 (a file may have a million brackets and commas). Near-linear means an
// exponent of 1.15 at most; read it off the complexity that is printed, or off two times in a row.

#include <benchmark/benchmark.h>

#include <string>

#include "check/check.h"
#include "intake/netlist.h"

namespace {

using namespace lugwise;

constexpr int kWiresEach = 8;

std::string loom(int wires, bool faulty) {
  const int guitars = (wires + kWiresEach - 1) / kWiresEach;
  std::string parts = "lugwise: 1\nname: loom\nparts:\n";
  std::string joints = "joints:\n";
  std::string runs = "wires:\n";
  for (int i = 0; i < guitars; ++i) {
    const std::string n = "-" + std::to_string(i);
    parts += "  front" + n + ": {kind: pickup, dcr: 6.2k}\n  rear" + n + ": {kind: pickup, dcr: 6.9k}\n";
    parts +=
        "  selector" + n +
        ": {kind: switch, lugs: [f, r, out, g], positions: {rear: [[r, out]], both: [[f, r, out]], front: "
        "[[f, out], [r, g]]}}\n";
    parts += "  volume" + n + ": {kind: pot, track: 250k}\n  tone" + n + ": {kind: pot, track: 250k}\n";
    parts += "  cap" + n + ": {kind: capacitor, value: 47n}\n  jack" + n + ": {kind: jack}\n";
    joints += "  - [selector" + n + ".f, front" + n + ".hot]\n  - [selector" + n + ".r, rear" + n + ".hot" +
              (faulty ? ", rear" + n + ".ground" : "") + "]\n";
    joints += "  - [volume" + n + ".case, front" + n + ".ground, " +
              (faulty ? "" : "rear" + n + ".ground, ") + "volume" + n + ".1]\n";
    joints += "  - [tone" + n + ".2, cap" + n + ".1]\n  - [tone" + n + ".case, cap" + n + ".2]\n";
    for (const auto& [a, b] : {std::pair("selector$.out", "volume$.3"),
                               {"volume$.3", "tone$.1"},
                               {"volume$.2", "jack$.tip"},
                               {"volume$.case", "tone$.case"},
                               {"tone$.case", "jack$.sleeve"},
                               {"selector$.g", "volume$.case"},
                               {"selector$.g", "tone$.case"}}) {
      std::string run = std::string("  - [") + a + ", " + b + "]\n";
      for (std::size_t at; (at = run.find('$')) != std::string::npos;) run.replace(at, 1, n);
      runs += run;
    }
    if (i > 0) runs += "  - [jack-" + std::to_string(i - 1) + ".sleeve, volume" + n + ".case]\n";
  }
  return parts + joints + runs;
}

Harness read(const std::string& text) {
  Diagnostics diagnostics("loom.yaml");
  return read_netlist(text, diagnostics).value().harness;
}

void check_loom(benchmark::State& state, bool faulty) {
  const Harness harness = read(loom(static_cast<int>(state.range(0)), faulty));
  std::size_t warnings = 0;
  for (auto _ : state) warnings = warnings_of(harness, "loom.yaml").size();
  state.counters["warnings"] = static_cast<double>(warnings);
  state.SetComplexityN(state.range(0));
}

void sound(benchmark::State& state) { check_loom(state, false); }
void faulty(benchmark::State& state) { check_loom(state, true); }

void read_and_check(benchmark::State& state) {
  const std::string text = loom(static_cast<int>(state.range(0)), false);
  for (auto _ : state) benchmark::DoNotOptimize(warnings_of(read(text), "loom.yaml"));
  state.SetComplexityN(state.range(0));
}

BENCHMARK(sound)->RangeMultiplier(10)->Range(100, 50'000)->Unit(benchmark::kMillisecond)->Complexity();
BENCHMARK(faulty)->RangeMultiplier(10)->Range(100, 50'000)->Unit(benchmark::kMillisecond)->Complexity();
BENCHMARK(read_and_check)
    ->RangeMultiplier(10)
    ->Range(100, 50'000)
    ->Unit(benchmark::kMillisecond)
    ->Complexity();

}  // namespace
