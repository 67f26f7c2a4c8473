#include "intake/complaint.h"

#include <string>

#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

const Harness& two_pickups() {
  static const Harness harness = harness_from(R"(
lugwise: 1
name: Fernhollow 60
parts:
  front:    {kind: pickup, dcr: 6.2k}
  rear:     {kind: pickup, dcr: 6.9k}
  selector:
    kind: switch
    lugs: [f, r, out]
    positions:
      rear:  [[r, out]]
      both:  [[f, r, out]]
      front: [[f, out]]
  volume:   {kind: pot, track: 250k}
  jack:     {kind: jack}
joints:
  - [selector.f, front.hot]
  - [selector.r, rear.hot]
  - [volume.case, front.ground, rear.ground, volume.1]
wires:
  - [selector.out, volume.3]
  - [volume.2, jack.tip]
  - [volume.case, jack.sleeve]
)");
  return harness;
}

std::string place(const Heard& heard, std::string_view control) {
  const Harness& harness = two_pickups();
  return heard.setting.place_name(harness, *harness.find_part(control));
}

}  // namespace

TEST_CASE("a complaint names a pickup, what is heard and what was set", "[intake]") {
  const Harness& harness = two_pickups();
  for (const char* sentence :
       {"front silent with selector front, volume 8", "silent front with selector=front volume=8",
        "the front pickup is silent with selector at front and volume at 8",
        "front silent when selector is in front, volume set to 8", "front silent selector=front, volume 8",
        "silent, front; selector front volume 8"}) {
    INFO(sentence);
    const ComplaintFound heard = read_complaint(sentence, harness);
    INFO(heard.refusal.why());
    REQUIRE(heard.heard);
    CHECK(heard.heard->pickup == harness.find_part("front"));
    CHECK(heard.heard->sound == Sound::Silent);
    CHECK(place(*heard.heard, "selector") == "front");
    CHECK(place(*heard.heard, "volume") == "8");
  }
}

TEST_CASE("a switch may stand on", "[intake]") {
  const Harness harness = harness_from(R"(
parts:
  single: {kind: pickup, dcr: 7.8k}
  kill: {kind: switch, lugs: [a, b], positions: {"off": [], "on": [[a, b]]}}
  jack: {kind: jack}
joints:
  - [kill.a, single.hot, jack.tip]
  - [kill.b, single.ground, jack.sleeve]
)");
  for (const char* sentence : {"silent with kill on", "silent with kill at on", "silent with kill=on"}) {
    const ComplaintFound heard = read_complaint(sentence, harness);
    INFO(sentence << ": " << heard.refusal.why());
    REQUIRE(heard.heard);
    CHECK(heard.heard->setting.place_name(harness, *harness.find_part("kill")) == "on");
  }
}

TEST_CASE("a sound's words may stand apart, and the longest sound counts", "[intake]") {
  const ComplaintFound apart = read_complaint("buzzes until touched", two_pickups());
  REQUIRE(apart.heard);
  CHECK(apart.heard->sound == Sound::BuzzesUntilTouched);
  CHECK_FALSE(apart.heard->pickup);
  const ComplaintFound plain = read_complaint("rear buzzes", two_pickups());
  REQUIRE(plain.heard);
  CHECK(plain.heard->sound == Sound::Buzzes);
}

TEST_CASE("what is not understood of a complaint is refused with the nearest word", "[intake]") {
  const auto why = [](const char* sentence) {
    const ComplaintFound heard = read_complaint(sentence, two_pickups());
    CHECK_FALSE(heard.heard);
    return heard.refusal.why();
  };
  CHECK(why("front silnt") == "'silnt' is no pickup, no control and no sound; nearest is 'silent'");
  CHECK(why("frnt silent") == "'frnt' is no pickup, no control and no sound; nearest is 'front'");
  CHECK(why("neck silent with selector front") ==
        "'neck' is no pickup, no control and no sound; the pickups are front, rear; the controls selector, "
        "volume");
  CHECK(why("silent with selector middle").find("'middle'") != std::string::npos);
  CHECK(why("silent with selectr front").find("nearest name is 'selector'") != std::string::npos);
  CHECK(why("silent with selector").find("where did 'selector' stand?") != std::string::npos);
  CHECK(why("front").find("what was heard?") != std::string::npos);
  CHECK(why("").find("what was heard?") != std::string::npos);
  CHECK(why("front is dead quiet") ==
        "'dead' and 'quiet': a complaint is of one sound; make two complaints of it");
  CHECK(why("front rear silent").find("of one pickup or of all") != std::string::npos);
  CHECK(why("silent with volume 11").find("from 0 to 10") != std::string::npos);
  CHECK(why(std::string(2000, 'x').c_str()).find("too long") != std::string::npos);
}
