// How the work grows with the wires, stage by stage, on looms far larger than any instrument. `exponent` is the slope of the
// logarithm of time over that of wires since the smallest size; tests/bench/growth draws it.
//
//   reading       text to harness, most of it yaml-cpp's
//   checking      all warnings about a drawing
//   circuit       what conducts in one setting
//   solving       the network of it: places, edges, blocks and their tree
//   expecting     one reading, from the harness: at the plug, and from end to end
//
// Memory once had is kept: else glibc gives every block beyond some megabytes back to the kernel and takes it anew in each
// round, page by page, which is neither the work nor what a run of the program does.
#include <benchmark/benchmark.h>
#include <malloc.h>

#include <climits>
#include <cmath>
#include <ctime>
#include <map>
#include <string>

#include "check/check.h"
#include "expectation/corner.h"
#include "expectation/expectation.h"
#include "intake/netlist.h"
#include "support/loom.h"

namespace {

using namespace lugwise;
using lugwise::test::farthest;
using lugwise::test::loom;

int wires(const benchmark::State& state) { return static_cast<int>(state.range(0)); }

Harness read(const std::string& text) {
  Diagnostics diagnostics("loom.yaml");
  return read_netlist(text, diagnostics).value().harness;
}

const bool kept = mallopt(M_MMAP_MAX, 0) == 1 && mallopt(M_TRIM_THRESHOLD, INT_MAX) == 1;

// Benches run in the order of their sizes.
template <class Work>
void measure(benchmark::State& state, const Work& work) {
  if (!kept) state.SkipWithError("memory is not kept");
  std::clock_t spent = 0;
  for (auto _ : state) {
    const std::clock_t began = std::clock();
    work();
    spent += std::clock() - began;
  }
  static std::map<double, double> seconds;
  const double size = wires(state);
  seconds[size] = static_cast<double>(spent) / CLOCKS_PER_SEC / static_cast<double>(state.iterations());
  const auto [least, then] = *seconds.begin();
  if (size > least) state.counters["exponent"] = std::log(seconds[size] / then) / std::log(size / least);
}

void reading(benchmark::State& state) {
  const std::string text = loom(wires(state));
  measure(state, [&] { benchmark::DoNotOptimize(read(text)); });
}

void checking(benchmark::State& state) {
  const Harness harness = read(loom(wires(state)));
  measure(state, [&] { benchmark::DoNotOptimize(warnings_of(harness, "loom.yaml")); });
}

Circuit circuit_in_rest(const Harness& harness) {
  return circuit_of(harness, {Setting(harness), {}, true, {}, {}});
}

void circuit(benchmark::State& state) {
  const Harness harness = read(loom(wires(state)));
  measure(state, [&] { benchmark::DoNotOptimize(circuit_in_rest(harness)); });
}

void solving(benchmark::State& state) {
  const Circuit circuit = circuit_in_rest(read(loom(wires(state))));
  measure(state,
          [&] { benchmark::DoNotOptimize(network_at(circuit, resistors_at(circuit, Corner::Nominal))); });
}

void expecting_at_the_plug(benchmark::State& state) {
  const Harness harness = read(loom(wires(state)));
  const PointId a = harness.find_point("jack.plug-tip").value();
  const PointId b = harness.find_point("jack.plug-sleeve").value();
  measure(state, [&] { benchmark::DoNotOptimize(expect(circuit_in_rest(harness), a, b)); });
}

void expecting_end_to_end(benchmark::State& state) {
  const Harness harness = read(loom(wires(state)));
  const PointId a = harness.find_point("jack.plug-tip").value();
  const PointId b = harness.find_point(farthest(wires(state))).value();
  measure(state, [&] { benchmark::DoNotOptimize(expect(circuit_in_rest(harness), a, b)); });
}

#define LUGWISE_GROWTH(work)                                                                    \
  BENCHMARK(work)->ArgName("wires")->Arg(10'000)->Arg(20'000)->Arg(50'000)->Arg(100'000)->Unit( \
      benchmark::kMillisecond)
LUGWISE_GROWTH(reading);
LUGWISE_GROWTH(checking);
LUGWISE_GROWTH(circuit);
LUGWISE_GROWTH(solving);
LUGWISE_GROWTH(expecting_at_the_plug);
LUGWISE_GROWTH(expecting_end_to_end);

}  // namespace
