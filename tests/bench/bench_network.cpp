// The network solver: building, one reading, one flow, a table of readings; with a fit of how each grows.
//
//   chain    resistors one after another, every tenth stretch bypassed: many small blocks, as in a harness
//   ladder   two rails and rungs: one block, two points wide
//   loom     ten rails tied to each other at every step: one block, ten points wide
#include <benchmark/benchmark.h>

#include <string>

#include "network/network.h"

namespace lugwise {
namespace {

struct Web {
  std::uint32_t points = 0;
  std::vector<Resistor> resistors;
};

Web chain(std::uint32_t points) {
  Web web{points, {}};
  for (std::uint32_t i = 0; i + 1 < points; ++i) web.resistors.push_back({i, i + 1, 0.005});
  for (std::uint32_t i = 0; i + 2 < points; i += 10) web.resistors.push_back({i, i + 2, 7200});
  return web;
}

Web strip(std::uint32_t points, std::uint32_t wide) {
  Web web{points / wide * wide, {}};
  for (std::uint32_t i = 0; i < web.points; ++i) {
    if (i % wide + 1 < wide) web.resistors.push_back({i, i + 1, 0.005});
    if (i + wide < web.points) web.resistors.push_back({i, i + wide, 250e3});
  }
  return web;
}

Web ladder(std::uint32_t points) { return strip(points, 2); }
Web loom(std::uint32_t points) { return strip(points, 10); }

using Make = Web (*)(std::uint32_t);

std::uint32_t size(const benchmark::State& state) { return static_cast<std::uint32_t>(state.range(0)); }

void build(benchmark::State& state, Make make) {
  const Web web = make(size(state));
  for (auto _ : state) benchmark::DoNotOptimize(Network(web.points, web.resistors));
  state.SetComplexityN(state.range(0));
}

void reading(benchmark::State& state, Make make) {
  const Web web = make(size(state));
  const Network network(web.points, web.resistors);
  for (auto _ : state) benchmark::DoNotOptimize(network.resistance(0, web.points - 1));
  state.SetComplexityN(state.range(0));
}

void flow(benchmark::State& state, Make make) {
  const Web web = make(size(state));
  const Network network(web.points, web.resistors);
  for (auto _ : state) benchmark::DoNotOptimize(network.flow(0, web.points - 1));
  state.SetComplexityN(state.range(0));
}

// Of a hundred points spread evenly.
void all_pairs(benchmark::State& state, Make make) {
  const Web web = make(size(state));
  const Network network(web.points, web.resistors);
  std::vector<std::uint32_t> asked;
  for (std::uint32_t i = 0; i < 100; ++i)
    asked.push_back(static_cast<std::uint32_t>(std::uint64_t{i} * web.points / 100));
  for (auto _ : state) benchmark::DoNotOptimize(network.all_pairs(asked));
  state.SetComplexityN(state.range(0));
}

constexpr std::int64_t kLeast = 100;
constexpr std::int64_t kMost = 100'000;
constexpr std::int64_t kMostInOneBlock = 1'000;  // a table holds every pair of a block

#define LUGWISE_SIZES(most) \
  RangeMultiplier(10)->Range(kLeast, most)->Unit(benchmark::kMicrosecond)->Complexity()
#define LUGWISE_WEB(web, most_pairs)                          \
  BENCHMARK_CAPTURE(build, web, web)->LUGWISE_SIZES(kMost);   \
  BENCHMARK_CAPTURE(reading, web, web)->LUGWISE_SIZES(kMost); \
  BENCHMARK_CAPTURE(flow, web, web)->LUGWISE_SIZES(kMost);    \
  BENCHMARK_CAPTURE(all_pairs, web, web)->LUGWISE_SIZES(most_pairs)

LUGWISE_WEB(chain, kMost);
LUGWISE_WEB(ladder, kMostInOneBlock);
LUGWISE_WEB(loom, kMostInOneBlock);

}  // namespace
}  // namespace lugwise
