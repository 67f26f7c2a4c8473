// How long an answer with its next probe takes on every worked harness: from nothing kept, after the first wrong reading
// and after a whole plan with a fault; and with what was solved for an answer before.

#include <benchmark/benchmark.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <map>

#include "support/bench.h"

namespace {

using namespace lugwise;
using namespace lugwise::test;

struct Job {
  Netlist netlist;
  DiagnosisOptions options;
  std::vector<Observation> first, all;
};

const Job& job(std::int64_t number) {
  static std::map<std::int64_t, Job> known;
  const auto [at, fresh] = known.try_emplace(number);
  Job& one = at->second;
  if (!fresh) return one;
  const std::string path = worked_harnesses()[static_cast<std::size_t>(number)];
  std::ifstream file(path);
  Diagnostics diagnostics(path);
  one.netlist =
      read_netlist(std::string(std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()),
                   diagnostics)
          .value();
  const Harness& harness = one.netlist.harness;
  const Plan plan = plan_for(harness, one.netlist.id, {});
  const auto shows = [](const Step& step) { return step.kind == StepKind::Read && !step.proves.empty(); };
  const Step& step = *std::find_if(plan.steps.begin(), plan.steps.end(), shows);
  const Fault& fault = plan.faults[step.proves[step.proves.size() / 2]];
  one.first = {observe(harness, step, plan.options, &fault)};
  one.all = take_readings(harness, plan, &fault);
  return one;
}

void measure(benchmark::State& state, bool all, bool kept) {
  const Job& one = job(state.range(0));
  const std::vector<Observation>& taken = all ? one.all : one.first;
  Diagnoser diagnoser(one.netlist.harness, one.options);
  for (auto _ : state) {
    if (kept) {
      benchmark::DoNotOptimize(diagnoser.diagnose(taken));
    } else {
      benchmark::DoNotOptimize(diagnose(one.netlist.harness, taken, one.options));
    }
  }
  state.SetLabel(one.netlist.harness.name);
  state.counters["readings"] = static_cast<double>(taken.size());
}

void after_the_first_wrong_reading(benchmark::State& state) { measure(state, false, false); }
void after_a_whole_plan(benchmark::State& state) { measure(state, true, false); }
void once_more(benchmark::State& state) { measure(state, false, true); }

void each_harness(benchmark::internal::Benchmark* benchmark) {
  const auto count = static_cast<std::int64_t>(worked_harnesses().size());
  benchmark->DenseRange(0, count - 1)->Unit(benchmark::kMillisecond);
}

BENCHMARK(after_the_first_wrong_reading)->Apply(each_harness);
BENCHMARK(after_a_whole_plan)->Apply(each_harness);
BENCHMARK(once_more)->Apply(each_harness);

}  // namespace
