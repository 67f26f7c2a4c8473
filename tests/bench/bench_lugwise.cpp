// How long each answer takes, of the worked harnesses with the fewest and the most elements.

#include <benchmark/benchmark.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <map>
#include <string>

#include "check/check.h"
#include "expectation/corner.h"
#include "expectation/expectation.h"
#include "support/bench.h"

namespace {

using namespace lugwise;
using namespace lugwise::test;

// No test framework here: what cannot be read ends the program.
Netlist read(const std::string& text) {
  Diagnostics diagnostics("bench.yaml");
  return read_netlist(text, diagnostics).value();
}

std::string text_of(const std::string& path) {
  std::ifstream file(path);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

// The worked harness with the fewest elements, or with the most.
std::string worked(bool most) {
  std::vector<std::pair<std::size_t, std::string>> found;
  for (const std::string& path : worked_harnesses())
    found.emplace_back(read(text_of(path)).harness.elements().size(), path);
  return (most ? std::max_element(found.begin(), found.end()) : std::min_element(found.begin(), found.end()))
      ->second;
}

struct Worked {
  std::string text;
  Netlist netlist;
  PlanOptions options;
  Plan plan;
};

const Worked& of(const benchmark::State& state) {
  static std::map<std::int64_t, Worked> known;
  const auto [at, fresh] = known.try_emplace(state.range(0));
  if (fresh) {
    Worked& one = at->second;
    one.text = text_of(worked(state.range(0) != 0));
    one.netlist = read(one.text);
    one.plan = plan_for(one.netlist.harness, one.netlist.id, one.options);
  }
  return at->second;
}

void say(benchmark::State& state, const Worked& one) {
  state.SetLabel(one.netlist.harness.name);
  state.counters["elements"] = static_cast<double>(one.netlist.harness.elements().size());
}

void reading(benchmark::State& state) {
  const Worked& one = of(state);
  for (auto _ : state) benchmark::DoNotOptimize(read(one.text));
  say(state, one);
}

void checking(benchmark::State& state) {
  const Worked& one = of(state);
  for (auto _ : state) benchmark::DoNotOptimize(warnings_of(one.netlist.harness, "bench.yaml"));
  say(state, one);
}

void one_expectation(benchmark::State& state) {
  const Worked& one = of(state);
  const Step& step = one.plan.steps.back();
  for (auto _ : state) {
    const Circuit circuit = circuit_of(one.netlist.harness, {step.setting, {}, true, {}, {}});
    benchmark::DoNotOptimize(expect(circuit, step.a, step.b));
  }
  say(state, one);
}

void all_pairs(benchmark::State& state) {
  const Worked& one = of(state);
  const Harness& harness = one.netlist.harness;
  std::vector<std::uint32_t> asked;
  for (PointId point : reachable(harness, {}, accesses(harness).back().depth)) asked.push_back(point.index);
  for (auto _ : state) {
    const Circuit circuit = circuit_of(harness, {Setting(harness), {}, true, {}, {}});
    benchmark::DoNotOptimize(network_at(circuit, resistors_at(circuit, Corner::Nominal)).all_pairs(asked));
  }
  say(state, one);
}

void planning(benchmark::State& state) {
  const Worked& one = of(state);
  for (auto _ : state) benchmark::DoNotOptimize(plan_for(one.netlist.harness, one.netlist.id, one.options));
  say(state, one);
}

void diagnosing(benchmark::State& state, bool faulty) {
  const Worked& one = of(state);
  const Harness& harness = one.netlist.harness;
  const auto shown = [&](const Step& step) { return !step.proves.empty(); };
  const Step& step = *std::find_if(one.plan.steps.begin(), one.plan.steps.end(), shown);
  const Fault* fault = faulty ? &one.plan.faults[step.proves.front()] : nullptr;
  const std::vector<Observation> readings = take_readings(harness, one.plan, fault);
  for (auto _ : state) benchmark::DoNotOptimize(diagnose(harness, readings, {}));
  say(state, one);
}

void diagnosing_sound(benchmark::State& state) { diagnosing(state, false); }
void diagnosing_an_open(benchmark::State& state) { diagnosing(state, true); }

#define LUGWISE_WORKED(work) \
  BENCHMARK(work)->ArgName("largest")->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond)
LUGWISE_WORKED(reading);
LUGWISE_WORKED(checking);
LUGWISE_WORKED(one_expectation);
LUGWISE_WORKED(all_pairs);
LUGWISE_WORKED(planning);
LUGWISE_WORKED(diagnosing_sound);
LUGWISE_WORKED(diagnosing_an_open);

}  // namespace
