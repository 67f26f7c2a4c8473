// A netlist that starts from another, and named values: what comes of it, and where its errors stand.
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <vector>

#include "intake/netlist.h"
#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

const std::string kBase = R"(lugwise: 1
name: Fernhollow base
values: {track: 500k}
parts:
  single: {kind: pickup, dcr: 6k}
  volume: {kind: pot, track: $track}
  tone: {kind: pot, track: 250k}
  cap: {kind: capacitor, value: 22n}
  jack: {kind: jack}
joints:
  - [volume.3, single.hot]
  - [volume.case, single.ground, volume.1]
  - [tone.2, cap.1]
  - [tone.case, cap.2]
wires:
  - [volume.3, tone.1]
  - [volume.2, jack.tip]
  - {name: ground chain, run: [volume.case, tone.case, jack.sleeve]}
)";

struct Answer {
  std::optional<Netlist> netlist;
  std::string problems;  // "base.yaml:6:3 N301; "
  std::string notes;     // of all of them
};

Answer read(const std::string& text, std::map<std::string, std::string> files = {{"base.yaml", kBase}},
            std::vector<ChosenValue> values = {}) {
  NetlistSources sources;
  sources.open = [&](const std::string& named, const std::string&) {
    const auto found = files.find(named);
    return found == files.end() ? OpenedNetlist{named, std::nullopt, "there is no such file"}
                                : OpenedNetlist{named, found->second, {}};
  };
  sources.values = std::move(values);
  Diagnostics diagnostics("variant.yaml");
  Answer answer{read_netlist(text, diagnostics, sources), {}, {}};
  for (const Diagnostic& each : diagnostics.sorted()) {
    answer.problems += each.file + ":" + std::to_string(each.at.line) + ":" + std::to_string(each.at.column) +
                       " " + each.code + "; ";
    for (const auto& note : each.notes) answer.notes += note.message + "; ";
  }
  return answer;
}

}  // namespace

TEST_CASE("a variant takes parts off, changes some and adds others", "[intake]") {
  const Answer answer = read(R"(lugwise: 1
from: base.yaml
without: [tone, cap]
parts:
  single: {dcr: 8k}
  bleed: {kind: capacitor, value: 1n}
joints:
  - [volume.3, bleed.1]
  - [volume.2, bleed.2]
)");
  CHECK(answer.problems.empty());
  REQUIRE(answer.netlist);
  const Harness& harness = answer.netlist->harness;
  CHECK(harness.name == "Fernhollow base");
  CHECK_FALSE(harness.find_part("tone"));
  CHECK(harness.find_part("bleed"));
  // The chain goes on without the case that is off.
  CHECK(harness.find_point("volume.case>jack.sleeve"));
  CHECK_FALSE(harness.find_point("volume.3>tone.1"));
  CHECK(harness[*harness.find_part("volume")].pot->track.nominal == 500e3);
  for (const Element& element : harness.elements()) {
    if (element.kind == ElementKind::Coil) CHECK(element.ohms.nominal == 8e3);
  }
}

TEST_CASE("any part, named wire or joint of a worked harness can be taken off", "[intake]") {
  int taken = 0;
  for (int number = 1; number <= 20; ++number) {
    const std::string name = "fernhollow-" + std::to_string(number) + ".yaml";
    std::ifstream file(test::repository() / "harnesses" / name, std::ios::binary);
    const std::string base{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    const Harness harness = test::netlist_of("harnesses/" + name).harness;
    std::vector<std::string> names;
    for (const Part& part : harness.parts()) names.push_back(part.name);
    for (const Wire& wire : harness.wires())
      if (!wire.name.empty()) names.push_back(wire.name);
    for (const std::string& each : names) {
      INFO(name << " without " << each);
      CHECK(read("lugwise: 1\nfrom: " + name + "\nwithout: ['" + each + "']\n", {{name, base}})
                .problems.empty());
      ++taken;
    }
  }
  CHECK(taken > 200);
}

TEST_CASE("a value given instead is read, and changes the harness's id", "[intake]") {
  const Answer own = read(kBase);
  const Answer other = read(kBase, {}, {{"track", "250k"}});
  REQUIRE(own.netlist);
  REQUIRE(other.netlist);
  CHECK(other.netlist->harness[*other.netlist->harness.find_part("volume")].pot->track.nominal == 250e3);
  CHECK(own.netlist->id != other.netlist->id);
  const std::string variant = "lugwise: 1\nfrom: base.yaml\n";
  std::string changed = kBase;
  changed.replace(changed.find("6k"), 2, "7k");
  CHECK(read(variant).netlist->id != read(variant, {{"base.yaml", changed}}).netlist->id);
}

TEST_CASE("an error of a variant stands in the file and line it was written in, once", "[intake]") {
  std::string bad = kBase;
  bad.replace(bad.find("dcr: 6k"), 7, "dcr: 6x");
  CHECK(read("lugwise: 1\nfrom: base.yaml\n", {{"base.yaml", bad}}).problems == "base.yaml:5:31 N301; ");
  CHECK(read("lugwise: 1\nfrom: base.yaml\nparts: {single: {dcr: 6x}}\n").problems ==
        "variant.yaml:3:23 N301; ");
  CHECK(read("lugwise: 1\nfrom: base.yaml\nwithout: [tome]\n").problems == "variant.yaml:3:11 N203; ");
  CHECK(read("lugwise: 1\nfrom: base.yaml\nwithout: [volume.4]\n").problems == "variant.yaml:3:11 N203; ");
  CHECK(read("lugwise: 1\nfrom: base.yaml\nvalues: {trak: 250k}\n").problems == "variant.yaml:3:10 N504; ");
  CHECK(read("lugwise: 1\nfrom: base.yaml\nvalues: {track: 250k}\n").problems.empty());
  CHECK(read("lugwise: 1\nfrom: nowhere.yaml\n").problems == "variant.yaml:2:7 N501; ");
  CHECK(read("lugwise: 1\nfrom: base.yaml\n", {{"base.yaml", "lugwise: [1\n"}})
            .problems.starts_with("base.yaml:"));
  CHECK(read(kBase, {}, {{"trak", "1"}}).problems == "--value trak=1:0:0 N503; ");
  CHECK(read("lugwise: 1\nparts: {volume: {kind: pot, track: $none}}\n").problems ==
        "variant.yaml:2:36 N503; ");
}

TEST_CASE("a part that a variant changes under a mistyped name is told once, with the name it was meant for",
          "[intake]") {
  const Answer mistyped = read("lugwise: 1\nfrom: base.yaml\nparts: {volme: {track: 250k}}\n");
  CHECK(mistyped.problems == "variant.yaml:3:9 N203; ");
  CHECK(mistyped.notes == "nearest name is 'volume', declared; a new part needs 'kind'; ");
  // A new one without its kind is near to none, or has mistyped the key.
  CHECK(read("lugwise: 1\nfrom: base.yaml\nparts: {selector: {poles: 1}}\n").problems ==
        "variant.yaml:3:9 N114; ");
  CHECK(read("lugwise: 1\nfrom: base.yaml\nparts: {tune: {knd: pot}}\n")
            .problems.find("variant.yaml:3:9 N114; ") != std::string::npos);
  // One that has it may have any name.
  CHECK(read("lugwise: 1\nfrom: base.yaml\nparts: {tones: {kind: pot, track: 1M}}\n").problems.find("N203") ==
        std::string::npos);
}

TEST_CASE("files that start one from another without end are refused", "[intake]") {
  const std::string variant = "lugwise: 1\nfrom: b.yaml\n";
  CHECK(read(variant, {{"b.yaml", "lugwise: 1\nfrom: c.yaml\n"}, {"c.yaml", "lugwise: 1\nfrom: b.yaml\n"}})
            .problems == "c.yaml:2:7 N502; ");
  std::map<std::string, std::string> many;
  for (int i = 0; i < 40; ++i)
    many["n" + std::to_string(i)] = "lugwise: 1\nfrom: n" + std::to_string(i + 1) + "\n";
  CHECK(read("lugwise: 1\nfrom: n0\n", many).problems.find("N502") != std::string::npos);
}

TEST_CASE("of values given twice the last counts, in whatever order they come", "[intake]") {
  std::string two = kBase;
  two.replace(two.find("track: 500k}"), 12, "track: 500k, dark: 22n}");
  two.replace(two.find("value: 22n"), 10, "value: $dark");
  const Answer one = read(two, {}, {{"track", "250k"}, {"dark", "47n"}});
  const Answer other = read(two, {}, {{"dark", "1n"}, {"dark", "47n"}, {"track", "250k"}});
  REQUIRE(one.netlist);
  REQUIRE(other.netlist);
  CHECK(one.netlist->id == other.netlist->id);
  CHECK(one.netlist->values == std::vector<ChosenValue>{{"dark", "47n"}, {"track", "250k"}});
  CHECK(one.netlist->values == other.netlist->values);
}

TEST_CASE("an error of a value that a file has chosen stands in that file", "[intake]") {
  CHECK(read(kBase, {}, {{"trak", "1", {3, 17}, "kept.yaml"}}).problems == "kept.yaml:3:17 N503; ");
  CHECK(read(kBase, {}, {{"track", "1x", {3, 17}, "kept.yaml"}}).problems == "kept.yaml:3:17 N301; ");
}

TEST_CASE("every worked harness, started from and written in one text, is the same harness", "[intake]") {
  std::size_t looked_at = 0;
  for (const auto& entry : std::filesystem::directory_iterator(test::repository() / "harnesses")) {
    if (entry.path().extension() != ".yaml") continue;
    CAPTURE(entry.path().string());
    const std::string base = test::file_text("harnesses/" + entry.path().filename().string());
    NetlistSources sources;
    sources.open = [&](const std::string& named, const std::string&) {
      return OpenedNetlist{named, base, {}};
    };
    const std::string variant = "lugwise: 1\nfrom: base.yaml\n";
    const auto alone = in_one_text(variant, "variant.yaml", sources);
    REQUIRE(alone);
    CHECK(alone->find("from:") == std::string::npos);
    Diagnostics problems("alone.yaml");
    const auto netlist = read_netlist(*alone, problems);
    CHECK(problems.list().empty());
    REQUIRE(netlist);
    const auto whole = read(variant, {{"base.yaml", base}}).netlist;
    REQUIRE(whole);
    CHECK(netlist->harness.name == whole->harness.name);
    CHECK(netlist->harness.about == whole->harness.about);
    CHECK(netlist->harness.point_names() == whole->harness.point_names());
    CHECK(netlist->harness.elements().size() == whole->harness.elements().size());
    for (std::size_t i = 0; i < whole->harness.elements().size(); ++i)
      CHECK(netlist->harness.elements()[i].ohms.nominal == whole->harness.elements()[i].ohms.nominal);
    // Nothing is lost in writing: what was written once is written so again.
    sources.open = [&](const std::string& named, const std::string&) {
      return OpenedNetlist{named, *alone, {}};
    };
    CHECK(in_one_text(variant, "variant.yaml", sources) == alone);
    // One that starts from no other is its own text, remarks and all.
    CHECK(in_one_text(base, "base.yaml", {}) == base);
    ++looked_at;
  }
  CHECK(looked_at >= 17);
}

TEST_CASE("in one text names of values stay, and odd texts are quoted", "[intake]") {
  std::string odd = kBase;
  odd.replace(odd.find("Fernhollow base"), 15, R"("a: 'b' \"c\" \\ # {d} é")");
  NetlistSources sources;
  sources.open = [&](const std::string& named, const std::string&) { return OpenedNetlist{named, odd, {}}; };
  const auto alone =
      in_one_text("lugwise: 1\nfrom: base.yaml\nvalues: {track: 250k}\n", "variant.yaml", sources);
  REQUIRE(alone);
  const Answer own = read(*alone), other = read(*alone, {}, {{"track", "1M"}});
  CHECK(own.problems.empty());
  REQUIRE(own.netlist);
  REQUIRE(other.netlist);
  CHECK(own.netlist->harness.name == R"(a: 'b' "c" \ # {d} é)");
  CHECK(own.netlist->harness[*own.netlist->harness.find_part("volume")].pot->track.nominal == 250e3);
  CHECK(other.netlist->harness[*other.netlist->harness.find_part("volume")].pot->track.nominal == 1e6);
  CHECK_FALSE(in_one_text("lugwise: 1\nfrom: base.yaml\nparts: [", "variant.yaml", sources));
}

TEST_CASE("new kinds of part: a stereo jack, an inductor, a mounted switch with a spare lug, a piezo",
          "[intake]") {
  const Answer answer = read(R"(lugwise: 1
parts:
  saddle: {kind: pickup, piezo: 1.2n}
  choke: {kind: inductor, dcr: 42, value: 800mH}
  volume: {kind: pot, track: 250k}
  second: {kind: pot, track: 250k, gang: volume}
  third: {kind: pot, track: 250k, gang: second}
  pull: {kind: switch, lugs: [a, b, c], positions: {down: [], up: [[a, b]]}, mounted: volume, spare: [c]}
  jack: {kind: jack, plug: stereo}
wires:
  - {run: [volume.2, jack.tip], color: red}
)");
  CHECK(answer.problems.empty());
  REQUIRE(answer.netlist);
  const Harness& harness = answer.netlist->harness;
  CHECK(harness.find_point("jack.plug-ring"));
  CHECK(harness.piezo(*harness.find_part("saddle")));
  CHECK(harness[*harness.find_part("choke")].value == 0.8);
  CHECK(harness[*harness.find_part("pull")].mounted == harness.find_part("volume"));
  CHECK(harness[*harness.find_part("pull")].spare == std::vector<PointId>{*harness.find_point("pull.c")});
  CHECK(harness[*harness.find_part("third")].pot->gang == harness.find_part("volume"));
  CHECK(harness.wires()[0].colour == "red");
  CHECK(read("lugwise: 1\nparts: {s: {kind: switch, lugs: [a, b], positions: {x: []}, mounted: s, spare: "
             "[z]}}\n")
            .problems == "variant.yaml:2:70 N410; variant.yaml:2:81 N206; ");
}

TEST_CASE("a part given twice is one error, whatever hangs on it", "[intake]") {
  CHECK(read("lugwise: 1\nparts:\n  a: {kind: jack}\n  a: {kind: pot, track: 250k}\nwires:\n  - [a.1, a.2]\n "
             " - [a.3, "
             "a.tip]\n")
            .problems == "variant.yaml:4:3 N113; ");
}

}  // namespace lugwise
