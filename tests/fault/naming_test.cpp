#include "fault/naming.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <set>
#include <sstream>
#include <string>

#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"
#include "support/loom.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

const char* const kPair = R"(
parts:
  volume: {kind: pot, track: 250k}
  front: {kind: pickup, dcr: 6k}
  rear: {kind: pickup, dcr: 7k}
joints:
  - [volume.case, front.ground, rear.ground]
  - [volume.3, front.hot]
  - [volume.2, rear.hot]
)";

std::string called(const Harness& harness, const std::string& typed) {
  const auto faults = faults_of(harness);
  const FaultFound found = find_fault(harness, faults, typed);
  return found.fault ? in_words(harness, faults[*found.fault]) : "";
}

std::vector<std::string> nearest(const Harness& harness, const std::string& typed) {
  const auto faults = faults_of(harness);
  const FaultFound found = find_fault(harness, faults, typed);
  CHECK_FALSE(found.fault);
  return found.refusal.nearest;
}

}  // namespace

TEST_CASE("no two faults of a harness have one id, and each is found by it and by its words", "[fault]") {
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    const auto faults = faults_of(harness);
    std::set<std::string> ids;
    std::map<std::string, int> words;
    for (const Fault& fault : faults) ++words[in_words(harness, fault)];
    for (std::size_t f = 0; f < faults.size(); ++f) {
      const std::string id = fault_id(harness, faults[f]);
      INFO(path << ": " << in_words(harness, faults[f]));
      CHECK(id.size() == 7);
      CHECK(id.front() >= 'a');
      CHECK(ids.insert(id).second);
      CHECK(find_fault(harness, faults, id).fault == f);
      if (words[in_words(harness, faults[f])] == 1)
        CHECK(find_fault(harness, faults, in_words(harness, faults[f])).fault == f);
    }
  }
}

TEST_CASE("the ids of a loom of two thousand wires are all different", "[fault]") {
  const Harness harness = netlist_from(loom(2000)).harness;
  std::set<std::string> ids;
  const auto faults = faults_of(harness);
  for (const Fault& fault : faults) ids.insert(fault_id(harness, fault));
  CHECK(ids.size() == faults.size());
}

TEST_CASE("an id stays where other lines of the netlist are added, moved and turned around", "[fault]") {
  const Harness before = harness_from(kPair);
  const Harness after = harness_from(R"(
parts:
  jack: {kind: jack}
  rear: {kind: pickup, dcr: 7k}
  volume: {kind: pot, track: 500k}
  front: {kind: pickup, dcr: 6k}
wires:
  - [volume.1, jack.tip]
joints:
  - [volume.2, rear.hot]
  - [volume.3, front.hot]
  - [volume.case, rear.ground, front.ground]
)");
  const auto id = [](const Harness& harness, const char* words) {
    const auto faults = faults_of(harness);
    const FaultFound found = find_fault(harness, faults, words);
    REQUIRE(found.fault);
    return fault_id(harness, faults[*found.fault]);
  };
  for (const char* words : {"the joint of front.hot at volume.3 is open", "the track of volume is worn",
                            "volume.1 and volume.2 touch each other"})
    CHECK(id(before, words) == id(after, words));
  CHECK(id(before, "the blob on volume.case that holds front.ground and rear.ground is cold") ==
        id(after, "the blob on volume.case that holds rear.ground and front.ground is cold"));
  // Pinned: people write these down.
  CHECK(id(before, "the track of volume is worn") == "f97yabg");
}

TEST_CASE("two exchanged leads have one id, from whichever it is asked", "[fault]") {
  const Harness harness = harness_from(kPair);
  int seen = 0;
  for (const Fault& fault : faults_of(harness)) {
    const auto other = partner(fault);
    if (!other) continue;
    CHECK(fault_id(harness, fault) == fault_id(harness, *other));
    ++seen;
  }
  CHECK(seen > 0);
}

TEST_CASE("a fault is found by what a list prints around its words, and by less", "[fault]") {
  const Harness harness = harness_from(kPair);
  const std::string open = "the joint of front.hot at volume.3 is open";
  CHECK(called(harness, "1.4 %: the joint of front.hot at volume.3 is open (line 14)") == open);
  CHECK(called(harness, "The joint of front.hot at volume.3 is open.") == open);
  CHECK(called(harness, "joint front.hot volume.3 open") == open);
  CHECK(called(harness, "  THE JOINT of FRONT.HOT at volume.3   is open") == open);
}

TEST_CASE("two points that touch are found in either order, and by other words for it", "[fault]") {
  const Harness harness = harness_from(kPair);
  const std::string both = called(harness, "volume.3 and volume.case touch each other");
  REQUIRE(both == "volume.3 and volume.case touch each other");
  CHECK(called(harness, "volume.case and volume.3 touch each other") == both);
  CHECK(called(harness, "volume.3 touches volume.case") == both);
  CHECK(called(harness, "short volume.3 to volume.case") == both);
  CHECK(nearest(harness, "volume.3 is short of volume.cose").at(0) == both);
}

TEST_CASE("whatever the order of its words, a fault's name leads to no other fault", "[fault]") {
  const Harness harness = harness_from(kPair);
  const std::vector<Fault> faults = faults_of(harness);
  for (std::size_t f = 0; f < faults.size(); ++f) {
    std::istringstream words(in_words(harness, faults[f]));
    std::vector<std::string> turned{std::istream_iterator<std::string>(words), {}};
    std::reverse(turned.begin(), turned.end());
    std::string typed;
    for (const std::string& word : turned) typed += word + " ";
    const FaultFound found = find_fault(harness, faults, typed);
    CAPTURE(typed);
    CHECK((found.fault == f || (!found.fault && found.refusal.nearest.size() > 1)));
  }
}

TEST_CASE("a capital letter decides where two names differ by nothing else", "[fault]") {
  const Harness harness = harness_from(R"(
parts:
  r: {kind: resistor, value: 1k}
  R: {kind: resistor, value: 2k}
)");
  CHECK(called(harness, "the resistor R is open") == "the resistor R is open");
  CHECK(called(harness, "the resistor r is open") == "the resistor r is open");
  const std::vector<std::string> both = nearest(harness, "the RESISTOR r is OPEN");
  REQUIRE(both.size() == 2);
  CHECK_THAT(both.front(), Catch::Matchers::ContainsSubstring("the resistor r is open"));
}

TEST_CASE("an unknown fault has its nearest named, and nonsense has none", "[fault]") {
  const Harness harness = harness_from(kPair);
  CHECK(nearest(harness, "the joint of front.hott at volume.3 is opn").at(0) ==
        "the joint of front.hot at volume.3 is open");
  CHECK(nearest(harness, "the track of volumn is wron").at(0) == "the track of volume is worn");
  CHECK(nearest(harness, "fish").empty());
  CHECK(nearest(harness, "").empty());
  CHECK(nearest(harness, std::string(100000, 'x')).empty());
}
