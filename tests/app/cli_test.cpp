// The whole program as one function call: exit codes, streams, help and what is wrong with a command line.
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <regex>
#include <sstream>
#include <string>
#include <vector>

#include "app/cli.h"
#include "support/catch.h"

using Catch::Matchers::ContainsSubstring;

namespace {

struct Answer {
  int code;
  std::string out, err;
};

Answer run(const std::vector<std::string>& args) {
  std::ostringstream out, err;
  const int code = lugwise::app::run(args, out, err);
  // Where a message is wrapped depends on the folder's name.
  return {code, out.str(), std::regex_replace(err.str(), std::regex("\n(    |  )(?=[^ ])"), " ")};
}

std::string worked(const std::string& name) {
  const char* root = std::getenv("LUGWISE_ROOT");
  return std::string(root ? root : ".") + "/harnesses/" + name;
}

const std::string kHarness = worked("fernhollow-2.yaml");

std::vector<std::string> expecting(std::vector<std::string> more) {
  std::vector<std::string> args{"expect", kHarness, "jack.plug-tip", "jack.plug-sleeve"};
  args.insert(args.end(), more.begin(), more.end());
  return args;
}

// A file with this text for as long as the object lives.
class TextFile {
 public:
  TextFile(std::string name, const std::string& text) : path_(std::move(name)) {
    std::ofstream(path_) << text;
  }
  ~TextFile() { std::remove(path_.c_str()); }
  TextFile(const TextFile&) = delete;
  TextFile& operator=(const TextFile&) = delete;
  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

}  // namespace

TEST_CASE("help that was asked for is a page on stdout and no failure", "[app]") {
  for (const std::string command : {"check", "expect", "plan", "diagnose"}) {
    for (const char* flag : {"--help", "-h"}) {
      const Answer answer = run({command, flag});
      CHECK(answer.code == 0);
      CHECK(answer.err.empty());
      CHECK_THAT(answer.out, ContainsSubstring("usage: lugwise " + command + " HARNESS"));
      CHECK_THAT(answer.out, ContainsSubstring("\nexamples\n  lugwise " + command));
      CHECK_THAT(answer.out, ContainsSubstring("--json"));
    }
  }
  const Answer whole = run({"--help"});
  CHECK(whole.code == 0);
  for (const char* command : {"check", "expect", "plan", "diagnose", "convert", "draw"}) {
    CHECK_THAT(whole.out, ContainsSubstring(std::string("\n  ") + command + " "));
  }
}

TEST_CASE("help fits a terminal of 80 columns", "[app]") {
  for (std::vector<std::string> command : {std::vector<std::string>{},
                                           {"check"},
                                           {"expect"},
                                           {"plan"},
                                           {"diagnose"},
                                           {"convert"},
                                           {"convert", "bands"},
                                           {"convert", "value"},
                                           {"convert", "coil"},
                                           {"convert", "temperature"},
                                           {"draw"}}) {
    command.push_back("--help");
    std::istringstream page(run(command).out);
    for (std::string line; std::getline(page, line);) {
      INFO(line);
      CHECK(line.size() <= 80);
    }
  }
}

TEST_CASE("help says the defaults that hold", "[app]") {
  CHECK_THAT(run({"plan", "--help"}).out, ContainsSubstring("(default full)"));
  const std::string full = run({"plan", kHarness, "--depth", "full", "--json"}).out;
  CHECK(run({"plan", kHarness, "--json"}).out == full);
}

TEST_CASE("the version is asked for on its own", "[app]") {
  const Answer answer = run({"--version"});
  CHECK(answer.code == 0);
  CHECK_THAT(answer.out, ContainsSubstring("lugwise "));
}

TEST_CASE("a command line that makes no sense ends with 2, a word on stderr and nothing on stdout", "[app]") {
  const std::vector<std::vector<std::string>> wrong{
      {},
      {"expct", kHarness},
      {"check"},
      {"check", kHarness, "more"},
      {"check", kHarness, "--jsno"},
      {"expect", kHarness, "jack.tip"},
      {"plan", kHarness, "--depth", "half"},
      {"plan", kHarness, "--depth"},
      {"plan", kHarness, "--stage", "bench", "--stage", "bench"},
      {"plan", kHarness, "--temperature", "warm"},
      {"plan", kHarness, "--temperature", "75"},
      {"plan", kHarness, "--temperature", "nan"},
      expecting({"--set", "volume"}),
      expecting({"--set"}),
      expecting({"--reads", "about 6k"}),
      expecting({"--reads", "1"}),
      expecting({"--reads", "smooth"}),
      expecting({"--reads", "6.71k", "--range", "30k"}),
      expecting({"--range", "wide"}),
      {"expect", kHarness, "jack.tip", "jack.tip"},
  };
  for (const auto& args : wrong) {
    const Answer answer = run(args);
    INFO(answer.err);
    CHECK(answer.code == 2);
    CHECK(answer.out.empty());
    CHECK_THAT(answer.err, ContainsSubstring("lugwise: ") && ContainsSubstring("usage: lugwise"));
  }
}

TEST_CASE("a conversion that makes no sense ends with 2, a word on stderr and nothing on stdout", "[app]") {
  const std::string long_number(1000, '9');
  const auto coil = [](const char* ohms, const char* gauge, const char* turn) {
    return std::vector<std::string>{"coil", ohms, "--gauge", gauge, "--turn", turn};
  };
  const std::vector<std::vector<std::string>> wrong{
      {},
      {"colours", "red"},
      {"bands"},
      {"bands", "red", "red"},
      {"bands", "red", "red", "gold", "red", "red"},
      {"bands", "red", "", "red"},
      std::vector<std::string>(21, "bands"),
      {"value"},
      {"value", ""},
      {"value", "0"},
      {"value", "-4.7k"},
      {"value", "nan"},
      {"value", "inf"},
      {"value", "1e300"},
      {"value", "4.7m"},
      {"value", "0R"},
      {"value", "1001G"},
      {"value", long_number},
      {"value", "47k", "48k"},
      {"value", "47k", "--tolerance", "5"},
      {"value", "47k", "--tolerance", "0%"},
      {"value", "47k", "--tolerance", "100%"},
      {"value", "47k", "--tolerance", "-5%"},
      {"value", "47k", "--tolerance", ""},
      {"value", "4K7J", "--tolerance", "10%"},
      {"coil", "6.2k", "--gauge", "42"},
      {"coil", "6.2k", "--turn", "150 mm"},
      coil("0", "42", "150 mm"),
      coil("1e300", "42", "150 mm"),
      coil("6.2k", "99", "150 mm"),
      coil("6.2k", "-1", "150 mm"),
      coil("6.2k", "42.5", "150 mm"),
      coil("6.2k", "nan", "150 mm"),
      coil("6.2k", long_number.c_str(), "150 mm"),
      coil("6.2k", "42", "150"),
      coil("6.2k", "42", "0 mm"),
      coil("6.2k", "42", "-150 mm"),
      coil("6.2k", "42", "2 m"),
      {"coil", "6.2k", "--gauge", "42", "--turn", "15cm", "--diameters", "round"},
      {"coil", "6.2k", "--gauge", "42", "--turn", "15cm", "--temperature", "75"},
      {"temperature", "6.2k"},
      {"temperature", "6.2k", "--from", ""},
      {"temperature", "6.2k", "--from", "1e300"},
      {"temperature", "6.2k", "--from", "-234.5"},
      {"temperature", "6.2k", "--from", "20", "--to", "nan"},
      {"temperature", "0", "--from", "20"},
  };
  for (std::vector<std::string> args : wrong) {
    args.insert(args.begin(), "convert");
    const Answer answer = run(args);
    INFO(args.back() << ": " << answer.err);
    CHECK(answer.code == 2);
    CHECK(answer.out.empty());
    CHECK_THAT(answer.err, ContainsSubstring("lugwise: ") && ContainsSubstring("usage: lugwise convert"));
    CHECK(answer.err.size() < 1000);
  }
}

TEST_CASE("a conversion's mistakes are told with what was expected and the nearest name", "[app]") {
  CHECK_THAT(run({"convert", "bnds"}).err,
             ContainsSubstring("no such command: 'convert bnds'; nearest name is 'bands'"));
  CHECK_THAT(run({"convert"}).err, ContainsSubstring("bands, value, coil, temperature"));
  CHECK_THAT(run({"convert", "bands", "yelow", "violt", "red"}).err,
             ContainsSubstring("'yelow'; nearest name is 'yellow'") &&
                 ContainsSubstring("'violt'; nearest name is 'violet'") &&
                 ContainsSubstring("help: lugwise convert bands --help"));
  CHECK_THAT(run({"convert", "value", "5", "--tolerence", "5%"}).err,
             ContainsSubstring("nearest name is '--tolerance'"));
  CHECK_THAT(run({"convert", "coil", "6.2k", "--turn", "15cm"}).err, ContainsSubstring("--gauge is missing"));
  CHECK_THAT(run({"convert", "coil", "6.2k", "--gauge", "42", "--turn", "150"}).err,
             ContainsSubstring("did you mean '150 mm'?"));
  CHECK_THAT(run({"convert", "value", "4.7m"}).err, ContainsSubstring("did you mean '4.7M'?"));
}

TEST_CASE("colours are read in either case and spelling, values and codes alike", "[app]") {
  const std::string bands = run({"convert", "bands", "grey", "violet", "red", "gold"}).out;
  CHECK(run({"convert", "bands", "GRAY", "Purple", "red", "gold"}).out == bands);
  const auto below = [](const Answer& answer) { return answer.out.substr(answer.out.find(':')); };
  CHECK(below(run({"convert", "value", "4K7J"})) ==
        below(run({"convert", "value", "4.7k", "--tolerance", "5%"})));
  CHECK(run({"convert", "value", "4K7J", "--tolerance", "5%"}).code == 0);
  CHECK_THAT(run({"convert", "value", "4K7E"}).out, ContainsSubstring("sources disagree"));
}

TEST_CASE("bands that are written say the value they were written for", "[app]") {
  for (const char* ohms : {"0.47", "5.2", "97", "330", "4.7k", "82k", "910k", "1M", "22M"}) {
    const std::string value = run({"convert", "value", ohms, "--tolerance", "5%"}).out;
    for (const std::string lead : {"  four bands   ", "  five bands   "}) {
      const std::size_t at = value.find(lead) + lead.size();
      std::istringstream names(value.substr(at, value.find('\n', at) - at));
      std::vector<std::string> args{"convert", "bands"};
      for (std::string name; names >> name;) args.push_back(name);
      const Answer answer = run(args);
      REQUIRE(answer.code == 0);
      // The same limits, code and table.
      CHECK(answer.out.substr(answer.out.find("\n  allowed")) == value.substr(value.find("\n  allowed")));
    }
  }
}

TEST_CASE("the ends of what can be converted give numbers", "[app]") {
  const std::vector<std::vector<std::string>> ends{
      {"value", "0.001"},
      {"value", "1000G"},
      {"value", "1000G", "--tolerance", "99.99%"},
      {"bands", "black", "black", "black"},
      {"bands", "white", "white", "white", "white", "brown"},
      {"coil", "1000G", "--gauge", "56", "--turn", "1 mm", "--temperature", "-20"},
      {"coil", "0.001", "--gauge", "0", "--turn", "1 m", "--temperature", "60"},
      {"temperature", "1000G", "--from", "-20", "--to", "60"},
      {"temperature", "0.001", "--from", "60", "--to", "-20"},
  };
  for (std::vector<std::string> args : ends) {
    args.insert(args.begin(), "convert");
    const Answer text = run(args);
    CHECK(text.code == 0);
    CHECK_THAT(text.out, !ContainsSubstring("nan") && !ContainsSubstring("inf"));
    args.push_back("--json");
    CHECK(run(args).code == 0);
  }
}

TEST_CASE("a mistyped command or option is told the nearest one", "[app]") {
  CHECK_THAT(run({"expct"}).err, ContainsSubstring("no such command: 'expct'; nearest name is 'expect'"));
  CHECK_THAT(run({"check", kHarness, "--jsno"}).err,
             ContainsSubstring("no such option: '--jsno'; nearest name is '--json'"));
}

TEST_CASE("another word for a command or an option is told the one there is", "[app]") {
  CHECK_THAT(run({"plan", kHarness, "--fast"}).err,
             ContainsSubstring("no such option: '--fast'; nearest name is '--quick'"));
  CHECK_THAT(run({"plan", kHarness, "--out", "x"}).err, ContainsSubstring("nearest name is '--output'"));
  CHECK_THAT(run({"picture", kHarness}).err, ContainsSubstring("nearest name is 'draw'"));
  CHECK_THAT(run({"convert", "colours", "red"}).err, ContainsSubstring("nearest name is 'bands'"));
}

TEST_CASE("options that exclude each other are refused together, by name", "[app]") {
  CHECK_THAT(run({"plan", kHarness, "--thorough", "--quick"}).err,
             ContainsSubstring("--thorough and --quick: choose one"));
  CHECK_THAT(run({"plan", kHarness, "--html", "--markdown"}).err,
             ContainsSubstring("--markdown and --html: choose one"));
}

TEST_CASE("what is missing from a command line, too many or given twice is named", "[app]") {
  CHECK_THAT(run({"expect", kHarness, "jack.tip"}).err, ContainsSubstring("OTHER is missing"));
  CHECK_THAT(run({"check", kHarness, "more"}).err, ContainsSubstring("more than is needed: 'more'"));
  CHECK_THAT(run({"plan", kHarness, "--depth"}).err, ContainsSubstring("--depth needs DEPTH after it"));
  CHECK_THAT(run({"plan", kHarness, "--depth", "half"}).err,
             ContainsSubstring("--depth: write 'outside' or 'full', not 'half'"));
  CHECK_THAT(run({"plan", kHarness, "--stage", "bench", "--stage", "bench"}).err,
             ContainsSubstring("--stage is given more than once"));
}

TEST_CASE("a plan that opens the cavity says where the tips go, one that stays outside does not", "[app]") {
  CHECK_THAT(run({"plan", kHarness}).out, ContainsSubstring("bare metal beside the solder"));
  CHECK_THAT(run({"plan", kHarness, "--depth", "outside"}).out, !ContainsSubstring("beside the solder"));
}

TEST_CASE("a name that the netlist does not have ends with 3, all of them told at once", "[app]") {
  const Answer answer = run({"expect", kHarness, "jack.tipp", "jack.sleeve", "--set", "volum=10", "--set",
                             "selector=frnt", "--set", "tone=11", "--lifted", "volume.3"});
  CHECK(answer.code == 3);
  CHECK(answer.out.empty());
  CHECK_THAT(answer.err, ContainsSubstring("no such point: 'jack.tipp'") &&
                             ContainsSubstring("nearest name is 'jack.tip'") &&
                             ContainsSubstring("no such control: 'volum'") &&
                             ContainsSubstring("nearest name is 'volume'") &&
                             ContainsSubstring("'selector' has no position 'frnt'") &&
                             ContainsSubstring("'tone' stands from 0 to 10, not at '11'") &&
                             ContainsSubstring("'volume.3' is no lead"));
}

TEST_CASE("a lead lifted twice is off once", "[app]") {
  const std::vector<std::string> once{"--lifted", "front.hot", "--lifted", "volume.3>tone.1"};
  std::vector<std::string> twice = once;
  twice.insert(twice.end(), once.begin(), once.end());
  const Answer answer = run(expecting(once));
  CHECK(answer.code == 0);
  CHECK(run(expecting(twice)).out == answer.out);
  CHECK(run(expecting({"--lifted", "front.hot", "--lifted", "front.hot", "--json"})).out ==
        run(expecting({"--lifted", "front.hot", "--json"})).out);
}

TEST_CASE("a stage that the netlist does not have ends with 3 and the nearest one", "[app]") {
  const Answer answer = run({"plan", kHarness, "--stage", "bnch"});
  CHECK(answer.code == 3);
  CHECK_THAT(answer.err,
             ContainsSubstring("no such stage: 'bnch'") && ContainsSubstring("nearest name is 'bench'"));
}

TEST_CASE("a point that is not there now ends with 3", "[app]") {
  const Answer unplugged = run(expecting({"--set", "jack=out"}));
  CHECK(unplugged.code == 3);
  CHECK_THAT(unplugged.err, ContainsSubstring("'jack.plug-tip' can't be probed with the plug out"));
  const Answer missing = run({"expect", kHarness, "hardware.strings", "jack.sleeve", "--stage", "bench"});
  CHECK(missing.code == 3);
  CHECK_THAT(missing.err, ContainsSubstring("'hardware.strings' isn't there at stage 'bench'"));
}

TEST_CASE("a file that cannot be read ends with 3 and its name", "[app]") {
  for (const std::string& path : {worked("no-such.yaml"), worked(""), std::string("/dev/zero")}) {
    const Answer answer = run({"check", path});
    INFO(answer.err);
    CHECK(answer.code == 3);
    CHECK(answer.out.empty());
    CHECK_THAT(answer.err, ContainsSubstring(path));
  }
  CHECK(run({"plan", kHarness, "--meter", worked("no-such.yaml")}).code == 3);
  CHECK(run({"diagnose", kHarness, worked("no-such.yaml")}).code == 3);
}

TEST_CASE("with --json even errors are JSON on stdout, and stderr stays empty", "[app]") {
  for (const auto& args : std::vector<std::vector<std::string>>{
           {"check", worked("no-such.yaml"), "--json"},
           {"plan", kHarness, "--stage", "bnch", "--json"},
           {"plan", kHarness, "--depth", "half", "--json"},
           {"--json"},
       }) {
    const Answer answer = run(args);
    CHECK((answer.code == 2 || answer.code == 3));
    CHECK(answer.err.empty());
    CHECK(answer.out.starts_with("{\n  \"lugwise\": 1,\n  \"output\": "));
    CHECK_THAT(answer.out, ContainsSubstring("\"errors\": [\n    {\n      \"code\": "));
  }
}

TEST_CASE("the temperature warms the coils and nothing else", "[app]") {
  // By hand: 0.393 % a degree on what was 6.2k at 20 degrees C (IEC 60028).
  const Answer answer = run({"expect", kHarness, "front.hot", "front.ground", "--set", "selector=rear",
                             "--temperature", "30 °C", "--json"});
  REQUIRE(answer.code == 0);
  CHECK_THAT(answer.out, ContainsSubstring("\"nominal\": 6443.66,"));
}

TEST_CASE("which way round the probes are makes no difference", "[app]") {
  const std::string one = run(expecting({"--json"})).out;
  std::string other = run({"expect", kHarness, "jack.plug-sleeve", "jack.plug-tip", "--json"}).out;
  CHECK(one.substr(one.find("\"set\"")) == other.substr(other.find("\"set\"")));
}

TEST_CASE("the worked readings end with 0 where the harness is sound and with 1 where it is not", "[app]") {
  CHECK(run({"diagnose", worked("fernhollow-1.yaml"), worked("jobs/fernhollow-1-sound.yaml")}).code == 0);
  CHECK(run({"diagnose", worked("fernhollow-1.yaml"), worked("jobs/fernhollow-1-loose-blob.yaml")}).code ==
        1);
}

TEST_CASE("readings of another harness are compared, with a warning", "[app]") {
  const Answer answer =
      run({"diagnose", worked("fernhollow-1.yaml"), worked("jobs/fernhollow-1-sound.yaml")});
  CHECK(answer.err.empty());
  const TextFile copy("other-name.yaml", [] {
    std::ifstream file(worked("fernhollow-1.yaml"));
    return std::string(std::istreambuf_iterator<char>(file), {});
  }());
  const Answer other = run({"diagnose", copy.path(), worked("jobs/fernhollow-1-sound.yaml")});
  CHECK(other.code == 0);
  CHECK_THAT(other.err, ContainsSubstring("(U101)"));
}

TEST_CASE("a reading taken at a step is a reading between the step's points", "[app]") {
  const std::string plan = run({"plan", kHarness, "--json"}).out;
  const std::size_t at = plan.find("\n  \"id\": \"") + 10;
  const std::string id = plan.substr(at, 6);
  // The first reading of the plan, after the tips and the test cable; by hand, as the next test of this harness has it between the plug's contacts.
  const std::string head = "lugwise-readings: 1\nharness: " + kHarness + "\n";

  SECTION("the plan's id is the one that was printed") {
    const TextFile sheet("steps.yaml",
                         head + "plan: {id: " + id + "}\nreadings:\n  - {step: 5, reads: OL}\n");
    const Answer answer = run({"diagnose", kHarness, sheet.path()});
    INFO(answer.err);
    CHECK(answer.code == 1);
    CHECK_THAT(answer.out, ContainsSubstring("step 5: ") && ContainsSubstring("WRONG"));
  }
  SECTION("another meter in the readings file does not lose the plan") {
    const TextFile sheet("steps.yaml", head + "plan: {id: " + id +
                                           "}\nmeter: {counts: 6000, accuracy: 0.5% + 2, auto: true}\n"
                                           "temperature: 31\nreadings:\n  - {step: 5, reads: OL}\n");
    const Answer answer = run({"diagnose", kHarness, sheet.path()});
    INFO(answer.err);
    CHECK(answer.code == 1);
  }
  SECTION("another plan's id is told, with the id of now") {
    const TextFile sheet("steps.yaml", head + "plan: {id: ffffff}\nreadings:\n  - {step: 5, reads: OL}\n");
    const Answer answer = run({"diagnose", kHarness, sheet.path()});
    CHECK(answer.code == 3);
    CHECK_THAT(answer.err,
               ContainsSubstring("ffffff") && ContainsSubstring(id) && ContainsSubstring("steps.yaml:3"));
  }
  SECTION("a step that is not there, or takes no reading, is told") {
    const TextFile sheet(
        "steps.yaml",
        head + "plan: {id: " + id + "}\nreadings:\n  - {step: 999, reads: OL}\n  - {step: 1, reads: OL}\n");
    const Answer answer = run({"diagnose", kHarness, sheet.path()});
    CHECK(answer.code == 3);
    CHECK_THAT(answer.err, ContainsSubstring("has no step 999") && ContainsSubstring("step 1 of plan"));
  }
  SECTION("more digits than the step's range has are refused") {
    const TextFile sheet("steps.yaml",
                         head + "plan: {id: " + id + "}\nreadings:\n  - {step: 5, reads: 6.7123k}\n");
    const Answer answer = run({"diagnose", kHarness, sheet.path()});
    INFO(answer.err);
    CHECK(answer.code == 3);
    CHECK_THAT(answer.err, ContainsSubstring("(R302)"));
  }
}

TEST_CASE("expect compares farads with a capacitor by itself, and says why it can't elsewhere", "[app]") {
  const TextFile meter("farads-meter.yaml", "capacitance: [2n, 20n, 200n]\n");
  const auto reads = [&](const std::string& file, const std::string& a, const std::string& b,
                         std::vector<std::string> more) {
    std::vector<std::string> line{"expect", worked(file), a, b, "--meter", meter.path()};
    line.insert(line.end(), more.begin(), more.end());
    return run(line);
  };
  CHECK(reads("parts/capacitor.yaml", "cap.1", "cap.2", {"--reads", "46.9n"}).code == 0);
  const Answer low = reads("parts/capacitor.yaml", "cap.1", "cap.2", {"--reads", "20.1n", "--json"});
  CHECK(low.code == 1);
  CHECK_THAT(low.out, ContainsSubstring("\"off\": -0.5"));  // 20.1 below 40.3 (by hand)
  const Answer beside = reads("fernhollow-2.yaml", "cap.1", "cap.2", {"--reads", "22n"});
  CHECK(beside.code == 2);
  CHECK_THAT(beside.err, ContainsSubstring("lift one lead: --lifted cap.1"));
  CHECK(reads("fernhollow-2.yaml", "cap.1", "cap.2", {"--reads", "47.0n", "--lifted", "cap.1"}).code == 0);
  CHECK_THAT(reads("fernhollow-2.yaml", "volume.1", "volume.3", {"--reads", "22n"}).err,
             ContainsSubstring("not the two ends of a capacitor"));
  CHECK_THAT(run({"expect", worked("parts/capacitor.yaml"), "cap.1", "cap.2", "--reads", "46.9n"}).err,
             ContainsSubstring("no capacitance ranges"));
}

TEST_CASE("farads are not compared with a meter that measures none", "[app]") {
  const TextFile sheet("farads.yaml",
                       "lugwise-readings: 1\nmeter: {capacitance: [20n, 200n]}\n"
                       "readings:\n  - {between: [cap.1, cap.2], reads: 22.4n, range: 200n}\n");
  const TextFile meter("ohms-only.yaml", "counts: 2000\n");
  const std::string part = worked("parts/capacitor.yaml");
  CHECK(run({"diagnose", part, sheet.path()}).code == 1);
  const Answer answer = run({"diagnose", part, sheet.path(), "--meter", meter.path()});
  CHECK(answer.code == 3);
  CHECK_THAT(answer.err, ContainsSubstring("farads.yaml:4") && ContainsSubstring("(R304)"));
}

TEST_CASE("the command line's meter goes before the readings file's, and that before the netlist's",
          "[app]") {
  const std::string job = worked("jobs/fernhollow-10-thin-rear.yaml");  // names a meter of 6000 counts
  const std::string harness = worked("fernhollow-10.yaml");
  CHECK_THAT(run({"diagnose", harness, job, "--json"}).out, ContainsSubstring("\"counts\": 6000"));
  CHECK_THAT(run({"expect", kHarness, "jack.tip", "jack.sleeve", "--json", "--meter",
                  worked("meters/auto-4000.yaml")})
                 .out,
             ContainsSubstring("\"counts\": 4000"));
}

TEST_CASE("a reading of a point against itself is wrong usage, and says so", "[app]") {
  const Answer answer = run({"expect", kHarness, "volume.1", "volume.1"});
  CHECK(answer.code == 2);
  CHECK_THAT(answer.err, ContainsSubstring("both probes are at 'volume.1': a reading is between two points"));
}

// By hand: the limits at the plug with the rear pickup are 5.85k to 7.82k on the assumed meter: 9.39 is 20 % above, 4.68 20 % below.
TEST_CASE("what was read agrees, or ends with 1 and how far off it is", "[app]") {
  const auto read = [](const std::string& value, std::vector<std::string> more = {}) {
    more.insert(more.end(), {"--reads", value});
    return run(expecting(more));
  };
  const Answer right = read("6.71k");
  CHECK(right.code == 0);
  CHECK_THAT(right.out, ContainsSubstring("reads  6.71k: agrees"));
  CHECK_THAT(right.out, ContainsSubstring("at 20 °C not known, as no temperature is"));
  const Answer high = read("9.39k");
  CHECK(high.code == 1);
  CHECK_THAT(high.out, ContainsSubstring("WRONG, 20 % above the highest"));
  const Answer low = read("4.68k");
  CHECK(low.code == 1);
  CHECK_THAT(low.out, ContainsSubstring("WRONG, 20 % below the lowest"));
  CHECK(read("OL").code == 1);
  CHECK(read("OL", {"--range", "2k"}).code == 0);
  CHECK(read("beep").code == 1);
  CHECK(read("no beep").code == 0);
  CHECK(read("unstable").code == 1);
  CHECK_THAT(read("6.71k", {"--json"}).out, ContainsSubstring("\"reads\": {\n    \"text\": \"6.71k\",\n    "
                                                              "\"agrees\": true,\n    \"off\": 0,\n    "
                                                              "\"problem\": null,\n    \"at_20\": null"));
}

TEST_CASE("what the meter could not have shown does not agree, and why", "[app]") {
  const Answer fine = run(expecting({"--reads", "6.712k"}));
  CHECK(fine.code == 1);
  CHECK_THAT(fine.out, ContainsSubstring("agrees") &&
                           ContainsSubstring("the meter could not have shown it") &&
                           ContainsSubstring("'6.712k' is finer than"));
  const std::string better = worked("meters/auto-6000.yaml");
  CHECK(run(expecting({"--reads", "5.812k", "--meter", better, "--set", "selector=front"})).code == 0);
  const Answer above = run(expecting({"--reads", "25.0k", "--range", "20k"}));
  CHECK(above.code == 1);
  CHECK_THAT(above.out, ContainsSubstring("is above the 20k range"));
}

// By hand: 6.2k at 30 degrees C is 6443.66 (IEC 60028: 0.393 % a degree); with leads of 0.3 a display of 6.44k there is
// 6440 x 6200.3 / 6443.96 = 6196.5 at 20.
TEST_CASE("a value through a coil is also told at 20 degrees", "[app]") {
  const std::vector<std::string> coil{"expect",   kHarness,    "front.hot", "front.ground",
                                      "--lifted", "front.hot", "--reads",   "6.44k"};
  const auto with = [&](std::vector<std::string> more) {
    more.insert(more.begin(), coil.begin(), coil.end());
    return run(more).out;
  };
  CHECK_THAT(with({"--temperature", "30"}), ContainsSubstring("reads  6.44k: agrees; at 20 °C 6.20k"));
  CHECK_THAT(with({"--temperature", "30", "--json"}), ContainsSubstring("\"at_20\": 6196.48"));
  CHECK_THAT(with({"--temperature", "20", "--json"}), ContainsSubstring("\"at_20\": 6440\n"));
  CHECK_THAT(with({"--temperature", "20"}), !ContainsSubstring("; at 20"));
  CHECK_THAT(with({"--json"}), ContainsSubstring("\"at_20\": null"));
  // No coil on the way: nothing to correct.
  CHECK_THAT(run({"expect", kHarness, "jack.tip", "jack.plug-tip", "--reads", "0.4", "--temperature", "30",
                  "--json"})
                 .out,
             ContainsSubstring("\"at_20\": null"));
}

TEST_CASE("a diagnosis tells a warm coil's reading at 20 degrees too", "[app]") {
  const TextFile sheet("warm.yaml",
                       "lugwise-readings: 1\ntemperature: 30\nreadings:\n"
                       "  - {between: [front.hot, front.ground], lifted: [front.hot], reads: 6.44k}\n"
                       "  - {between: [jack.tip, jack.plug-tip], reads: 0.4}\n");
  const Answer words = run({"diagnose", kHarness, sheet.path()});
  CHECK_THAT(words.out, ContainsSubstring("agrees; at 20 °C 6.20k"));
  const std::string json = run({"diagnose", kHarness, sheet.path(), "--json"}).out;
  CHECK_THAT(json, ContainsSubstring("\"at_20\": 6196.48") && ContainsSubstring("\"at_20\": null"));
  const std::string cool = run({"diagnose", kHarness, sheet.path(), "--temperature", "20"}).out;
  CHECK_THAT(cool, !ContainsSubstring("; at 20"));
}

TEST_CASE("a meter's own sign for above the range stands in words, is read back, and is OL in JSON",
          "[app]") {
  const TextFile meter("old.yaml", "{counts: 2000, leads: 0.3, over: 1 .}\n");
  const std::vector<std::string> open{
      "expect", kHarness,  "jack.tip", "jack.plug-sleeve", "--lifted", "jack.tip>volume.2",
      "--set",  "jack=in", "--meter",  meter.path()};
  const auto with = [&](std::vector<std::string> more) {
    more.insert(more.begin(), open.begin(), open.end());
    return run(more);
  };
  const Answer words = with({"--reads", "1."});
  CHECK(words.code == 0);
  CHECK_THAT(words.out, ContainsSubstring("shows OL as '1 .'") &&
                            ContainsSubstring("shows  '1 .' on the 20M range") &&
                            ContainsSubstring("reads  1.: agrees"));
  const Answer json = with({"--reads", "OL", "--json"});
  CHECK(json.code == 0);
  CHECK_THAT(json.out, ContainsSubstring("\"shows\": \"OL\"") && ContainsSubstring("\"over\": \"1 .\""));

  const std::string text =
      "lugwise-readings: 1\nreadings:\n"
      "  - {between: [front.hot, front.ground], lifted: [front.hot], reads: 1 ., range: 2k}\n";
  const TextFile sheet("old-readings.yaml", text);
  // Above a range that is too low for what is there: understood, and asked for again on a higher one.
  CHECK(run({"diagnose", kHarness, sheet.path(), "--meter", meter.path()}).code == 1);
  CHECK(run({"diagnose", kHarness, sheet.path()}).code == 3);
}
