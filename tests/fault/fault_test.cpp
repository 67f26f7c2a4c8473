#include "fault/fault.h"

#include <algorithm>
#include <random>
#include <set>
#include <string>

#include "network/network.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

const char* const kBlob = R"(
parts:
  volume: {kind: pot, track: 250k}
  rear: {kind: pickup, dcr: 7k}
  front: {kind: pickup, dcr: 6k}
joints:
  - [volume.case, rear.ground, front.ground]
  - [volume.3, rear.hot]
)";

std::vector<std::string> all_words(const Harness& harness) {
  std::vector<std::string> words;
  for (const Fault& fault : faults_of(harness)) words.push_back(in_words(harness, fault));
  return words;
}

bool has(const std::vector<std::string>& words, const std::string& wanted) {
  return std::find(words.begin(), words.end(), wanted) != words.end();
}

}  // namespace

TEST_CASE("a blob can lose its grip, and so can each lead in it; one lead makes one joint", "[fault]") {
  const Harness harness = harness_from(kBlob);
  const auto words = all_words(harness);
  CHECK(has(words, "the blob on volume.case that holds rear.ground and front.ground is open"));
  CHECK(has(words, "the joint of rear.ground at volume.case is open"));
  CHECK(has(words, "the joint of rear.ground at volume.case is cold"));
  CHECK(has(words, "the joint of rear.hot at volume.3 is open"));
  CHECK_FALSE(has(words, "the blob on volume.3 that holds rear.hot is open"));
}

TEST_CASE("leads that come off with their blob stay joined to each other", "[fault]") {
  const Harness harness = harness_from(kBlob);
  const auto faults = faults_of(harness);
  const auto blob = std::find_if(faults.begin(), faults.end(), [](const Fault& fault) {
    return fault.site == Site::Blob && fault.mode == Mode::Open;
  });
  REQUIRE(blob != faults.end());
  const State state{Setting(harness), std::nullopt, true, {}, {}};
  const auto at = [&](const char* name) { return *harness.find_point(name); };
  CHECK_FALSE(true_ohms(harness, state, at("volume.case"), at("rear.ground"), &*blob));
  CHECK(true_ohms(harness, state, at("front.ground"), at("rear.ground"), &*blob));
}

TEST_CASE("raising a resistance or opening it never lowers a reading, a short never raises one", "[fault]") {
  // Rayleigh's monotonicity law (published: Levin, Peres, Markov Chains and Mixing Times, theorem 9.12).
  std::mt19937 random(5);
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    const State state{Setting(harness), std::nullopt, true, {}, {}};
    const Circuit circuit = circuit_of(harness, state);
    for (const Fault& fault : faults_of(harness)) {
      if (fault.mode == Mode::Misplaced) continue;
      const PointId a{static_cast<std::uint32_t>(random() % circuit.points)};
      const PointId b{static_cast<std::uint32_t>(random() % circuit.points)};
      if (!circuit.has(a) || !circuit.has(b)) continue;
      const double sound = true_ohms(harness, state, a, b, nullptr).value_or(HUGE_VAL);
      const double size = fault.mode == Mode::Value ? 3 : 100;
      const double faulty = true_ohms(harness, state, a, b, &fault, size).value_or(HUGE_VAL);
      INFO(path << " " << in_words(harness, fault));
      if (fault.mode == Mode::Short) {
        CHECK(faulty <= sound * (1 + 1e-9));
      } else {
        CHECK(faulty >= sound * (1 - 1e-9));
      }
    }
  }
}

TEST_CASE("no fault is listed twice", "[fault]") {
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    auto words = all_words(harness);
    std::sort(words.begin(), words.end());
    const auto twice = std::adjacent_find(words.begin(), words.end());
    INFO(path << " " << (twice == words.end() ? "" : *twice));
    CHECK(twice == words.end());
  }
}

// The bare lead of a shield lies beside the others under one jacket.
TEST_CASE("each lead of a pickup may touch its shield, whatever the shield's lead is called", "[fault]") {
  const Netlist netlist = netlist_of("harnesses/parts/pickup.yaml");
  std::set<std::string> beside;
  for (const Fault& fault : faults_of(netlist.harness)) {
    if (fault.site != Site::Nearby) continue;
    CHECK(netlist.harness[fault.b].name == "twin.bare");
    beside.insert(netlist.harness[fault.a].name);
  }
  CHECK(beside == std::set<std::string>{"twin.orange", "twin.blue", "twin.tan", "twin.grey"});
}
