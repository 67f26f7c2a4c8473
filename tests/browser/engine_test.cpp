// The engine of the page, as it is before it becomes WebAssembly: what it answers, and that nothing asked of it ends it.
// tests/browser/equality_test.py holds what it becomes to the program.
#include <fcntl.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "app/browser/engine.h"
#include "app/cli.h"
#include "support/catch.h"

using Catch::Matchers::ContainsSubstring;
using Json = nlohmann::ordered_json;
namespace fs = std::filesystem;

namespace {

const fs::path kHarnesses =
    fs::path(std::getenv("LUGWISE_ROOT") ? std::getenv("LUGWISE_ROOT") : ".") / "harnesses";

std::string text_in(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

// A folder that is gone at the end.
class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "lugwise-XXXXXX").string();
    path_ = ::mkdtemp(name.data());
  }
  ~Folder() { fs::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

class Asked {
 public:
  Json operator()(const Json& request) { return Json::parse(engine_.answer(request.dump())); }
  Json raw(const std::string& request) { return Json::parse(engine_.answer(request)); }
  const fs::path& folder() const { return folder_.path(); }

 private:
  Folder folder_;
  lugwise::app::Engine engine_{(folder_.path() / "engine").string()};
};

const std::string kName = "fernhollow-2.yaml";
const Json kFiles = {{kName, text_in(kHarnesses / kName)}};
const Json kRun = {{"do", "run"}, {"arguments", {"check", kName}}, {"files", kFiles}};

std::string joined(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

// What `guide --json` says line by line, and the record it leaves.
struct Guided {
  std::vector<Json> said;
  std::string record;
};

Guided guided(Asked& asked, const Json& files, const std::vector<std::string>& lines) {
  const Json ran = asked({{"do", "run"},
                          {"arguments", {"guide", kName, "--json", "-o", "kept.yaml"}},
                          {"files", files},
                          {"input", joined(lines)}});
  Guided guided;
  std::istringstream out(ran["out"].get<std::string>());
  for (std::string line; std::getline(out, line);) guided.said.push_back(Json::parse(line));
  guided.record = ran["files"].value("kept.yaml", "");
  return guided;
}

}  // namespace

TEST_CASE("a command of a request answers as at a terminal, and says which files it wrote", "[browser]") {
  Asked asked;
  std::ostringstream out, err;
  const fs::path before = fs::current_path();
  fs::current_path(kHarnesses);
  const int code = lugwise::app::run({"plan", kName, "--width", "80"}, out, err);
  fs::current_path(before);
  const Json ran = asked({{"do", "run"}, {"arguments", {"plan", kName, "--width", "80"}}, {"files", kFiles}});
  CHECK(ran["exit"] == code);
  CHECK(ran["out"] == out.str());
  CHECK(ran["err"] == err.str());
  CHECK(ran["files"] == Json::object());

  const Json drawn =
      asked({{"do", "run"}, {"arguments", {"draw", kName, "-o", "one.svg"}}, {"files", kFiles}});
  CHECK(drawn["exit"] == 0);
  REQUIRE(drawn["files"].size() == 1);
  CHECK_THAT(drawn["files"]["one.svg"].get<std::string>(), ContainsSubstring("<svg"));
}

TEST_CASE("the files of one request are not there in the next", "[browser]") {
  Asked asked;
  CHECK(asked(kRun)["exit"] == 0);
  const Json gone = asked({{"do", "run"}, {"arguments", {"check", kName}}});
  CHECK(gone["exit"] == 3);
  CHECK_THAT(gone["err"].get<std::string>(), ContainsSubstring("U300"));
  const Json many = {
      {"a/b/1.yaml", "1"}, {"a/2.yaml", "2"}, {"a/3.yaml", "3"}, {"4.yaml", "4"}, {"a/c/5.yaml", "5"}};
  asked({{"do", "run"}, {"arguments", {"check"}}, {"files", many}});
  asked({{"do", "run"}, {"arguments", {"check"}}});
  for (const auto& entry : fs::recursive_directory_iterator(asked.folder()))
    CHECK(entry.path().extension() != ".yaml");
}

TEST_CASE("a request leaves the folder of the process and its terminal as they were", "[browser]") {
  Asked asked;
  const fs::path before = fs::current_path();
  asked(kRun);
  asked({{"do", "open"}, {"files", kFiles}, {"harness", kName}, {"record", "kept.yaml"}});
  asked({{"do", "say"}, {"line", "0.3"}});
  asked({{"do", "open"}, {"files", kFiles}, {"harness", "none.yaml"}});
  CHECK(fs::current_path() == before);
  CHECK(::fcntl(STDOUT_FILENO, F_GETFD) != -1);
}

TEST_CASE("a session is, reply for reply and record for record, the one that is typed to `guide`",
          "[browser]") {
  const std::vector<std::vector<std::string>> typed = {
      {"", "0.3", "", "", "", "6.71k", "OL", "undo", "skip", "beep", "note dull", "heard front silent"},
      {"", "0.3", "", "", "", "OL", "OL", "OL", "OL", "again", "why", "list", "repaired", "", "go 2",
       "6.7k on 20k"},
      {"meter short.yaml", "meter none.yaml", "", "0.2", "range 400", "", "", "6.6k", "jumps", "smooth",
       "picture", "help"},
      {"", "nonsense", "6.71", "\x01\x02", "&<script>", std::string(20000, 'k'), "undo", "undo", "note kept"},
  };
  Json files = kFiles;
  files["short.yaml"] = "counts: 4000\nranges: [400, 4k, 40k, 400k, 4M, 40M]\naccuracy: 1% + 2\n";
  for (const auto& lines : typed) {
    Asked asked;
    const Guided wanted = guided(asked, files, lines);
    REQUIRE(wanted.said.size() == lines.size() + 1);
    Json got = asked({{"do", "open"}, {"files", files}, {"harness", kName}, {"record", "kept.yaml"}});
    CHECK(got["session"] == wanted.said[0]);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      CAPTURE(lines[i]);
      got = asked({{"do", "say"}, {"line", lines[i]}});
      // A picture is written by `guide` alone: a page draws its own.
      if (!lines[i].starts_with("picture")) CHECK(got["session"] == wanted.said[i + 1]);
    }
    CHECK(got["record"] == wanted.record);
  }
}

TEST_CASE("a record goes on in the engine where `guide` left it, and the other way round", "[browser]") {
  Asked asked;
  const std::vector<std::string> first = {"", "0.3", "", "6.71k", "OL"},
                                 then = {"undo", "7.02k", "OL", "note: cold"};
  std::vector<std::string> all = first;
  all.insert(all.end(), then.begin(), then.end());
  Json files = kFiles;
  files["kept.yaml"] = guided(asked, kFiles, first).record;
  Json here = asked({{"do", "open"}, {"files", files}, {"harness", kName}, {"record", "kept.yaml"}});
  REQUIRE(here["exit"] == 0);
  CHECK(here["record"] == files["kept.yaml"]);
  for (const std::string& line : then) here = asked({{"do", "say"}, {"line", line}});
  const Json there = asked({{"do", "run"},
                            {"arguments", {"guide", kName, "--resume", "kept.yaml", "--json"}},
                            {"files", files},
                            {"input", joined(then)}});
  CHECK(there["files"]["kept.yaml"] == here["record"]);
  std::istringstream out(there["out"].get<std::string>());
  std::string line, last;
  while (std::getline(out, line)) last = line;
  CHECK(Json::parse(last) == here["session"]);
}

TEST_CASE("a record with values is gone on with as it was begun, and refused with others", "[browser]") {
  Asked asked;
  Json files = kFiles;
  std::string text = files[kName];
  for (std::size_t at; (at = text.find("track: 250k")) != std::string::npos;)
    text.replace(at, 11, "track: $pots");
  files[kName] = text + "values: {pots: 250k}\n";
  const Json begun =
      asked({{"do", "run"},
             {"arguments", {"guide", kName, "-o", "kept.yaml", "--value", "pots=500k", "--json"}},
             {"files", files},
             {"input", "\n0.3\nstop\n"}});
  REQUIRE(begun["files"].contains("kept.yaml"));
  files["kept.yaml"] = begun["files"]["kept.yaml"];
  CHECK_THAT(files["kept.yaml"].get<std::string>(), ContainsSubstring("values: {pots: 500k}"));
  const Json opened = asked({{"do", "open"}, {"files", files}, {"harness", kName}, {"record", "kept.yaml"}});
  REQUIRE(opened["exit"] == 0);
  CHECK(opened["record"] == files["kept.yaml"]);
  CHECK(opened["session"]["harness"]["values"] == Json({{"pots", "500k"}}));
  const Json judged =
      asked({{"do", "run"}, {"arguments", {"diagnose", kName, "kept.yaml", "--json"}}, {"files", files}});
  CHECK(Json::parse(judged["out"].get<std::string>())["harness"] == opened["session"]["harness"]);
}

TEST_CASE("a record names its netlist as seen from where the record lies", "[browser]") {
  Asked asked;
  const Json opened =
      asked({{"do", "open"}, {"files", kFiles}, {"harness", kName}, {"record", "jobs/kept.yaml"}});
  CHECK_THAT(opened["record"].get<std::string>(), ContainsSubstring("harness: \"../fernhollow-2.yaml\""));
}

TEST_CASE("a complaint may come with the opening, and one that is not understood is refused", "[browser]") {
  Asked asked;
  const auto opened = [&](const Json& heard) {
    return asked(
        {{"do", "open"}, {"files", kFiles}, {"harness", kName}, {"record", "k.yaml"}, {"heard", heard}});
  };
  CHECK_THAT(opened({"front silent"})["record"].get<std::string>(), ContainsSubstring("is: silent"));
  const Json refused = opened({"front blue"});
  CHECK(refused["session"]["reply"] == "refused");
  CHECK(refused["session"]["problem"].is_string());
}

TEST_CASE("a session that can't begin says why, and is none", "[browser]") {
  Asked asked;
  Json files = kFiles;
  files["bad.yaml"] = "lugwise: 1\nparts:\n  a: {kind: picup}\n  b: {kind: pot}\n";
  const Json bad = asked({{"do", "open"}, {"files", files}, {"harness", "bad.yaml"}, {"record", "k.yaml"}});
  CHECK(bad["exit"] == 3);
  CHECK(bad["session"].is_null());
  REQUIRE(bad["errors"].size() >= 2);
  CHECK(bad["errors"][0]["line"] == 3);
  CHECK_THAT(bad["err"].get<std::string>(), ContainsSubstring("bad.yaml:3:"));
  CHECK(asked({{"do", "say"}, {"line", "0.3"}}).contains("failure"));

  // A record that can't be read is handed back as it was, so that it is not lost.
  files["k.yaml"] = "lugwise-readings: 1\nreadings: [{between: [a.b], reads: 1}]\n";
  const Json broken = asked({{"do", "open"}, {"files", files}, {"harness", kName}, {"record", "k.yaml"}});
  CHECK(broken["exit"] == 3);
  CHECK(broken["record"] == files["k.yaml"]);
}

TEST_CASE("a harness is described: parts, wires, what can be set and what can be probed", "[browser]") {
  Asked asked;
  const Json told = asked({{"do", "describe"}, {"files", kFiles}, {"harness", kName}});
  CHECK(told["exit"] == 0);
  CHECK(told["name"] == "Fernhollow 2");
  std::vector<std::string> controls;
  for (const Json& control : told["controls"]) controls.push_back(control["name"]);
  CHECK(controls == std::vector<std::string>{"selector", "volume", "tone", "jack"});
  // Every point that is told of can be probed by `expect`.
  for (const Json& point : told["points"]) {
    const Json ran = asked({{"do", "run"},
                            {"arguments", {"expect", kName, point["name"], "jack.plug-sleeve"}},
                            {"files", kFiles}});
    INFO(point.dump());
    CHECK((ran["exit"] == 0 || point["name"] == "jack.plug-sleeve"));
  }
  CHECK(asked({{"do", "describe"}, {"files", kFiles}, {"harness", "none.yaml"}})["errors"][0]["code"] ==
        "U300");
}

TEST_CASE("what is no request is answered with a failure, and the next one as if it had not been there",
          "[browser]") {
  Asked asked;
  const Json wanted = asked(kRun);
  const std::vector<std::string> bad = {
      "",
      "{",
      "7",
      "null",
      "[]",
      "\"run\"",
      "{}",
      R"({"do": 7})",
      R"({"do": "dance"})",
      R"({"do": "run"})",
      R"({"do": "run", "arguments": "check"})",
      R"({"do": "run", "arguments": [7]})",
      R"({"do": "run", "arguments": ["check"], "files": [1]})",
      R"({"do": "run", "arguments": ["check"], "files": "h.yaml"})",
      R"({"do": "run", "arguments": ["check"], "files": {"h.yaml": null}})",
      R"({"do": "run", "arguments": ["check"], "files": {"a": "", "a/b": ""}})",
      R"({"do": "say"})",
      R"({"do": "say", "line": 7})",
      R"({"do": "open", "files": {"h.yaml": 3}})",
      "{\"do\": \"run\xff\"}",
      std::string(300000, '['),
      R"({"do": "\ud800"})",
      std::string("{\0}", 3)};
  for (const std::string& request : bad) {
    INFO(request.substr(0, 80));
    const Json answer = asked.raw(request);
    CHECK(answer.size() == 1);
    CHECK_FALSE(answer.value("failure", "").empty());
    CHECK(asked(kRun) == wanted);
  }
}

TEST_CASE("no name of a file leads out of the engine's folder", "[browser]") {
  Asked asked;
  std::ofstream(asked.folder() / "secret.yaml") << "lugwise: 1\n";
  for (const std::string name : {"../secret.yaml", "a/../../secret.yaml", "/tmp/lugwise-out.yaml", "..", ".",
                                 "", "a/", "a/../..", "./", "/"}) {
    INFO(name);
    CHECK(asked({{"do", "run"}, {"arguments", {"check"}}, {"files", {{name, "x"}}}}).contains("failure"));
  }
  CHECK(asked({{"do", "run"}, {"arguments", {"check"}}, {"files", {{std::string("a\0b", 3), "x"}}}})
            .contains("failure"));
  CHECK(text_in(asked.folder() / "secret.yaml") == "lugwise: 1\n");
  CHECK_FALSE(fs::exists("/tmp/lugwise-out.yaml"));
  // What only looks so does not.
  const Json files = {{"..h.yaml", kFiles[kName]}, {"a/b/../h.yaml", kFiles[kName]}};
  CHECK(asked({{"do", "run"}, {"arguments", {"check", "..h.yaml"}}, {"files", files}})["exit"] == 0);
  CHECK(asked({{"do", "run"}, {"arguments", {"check", "a/h.yaml"}}, {"files", files}})["exit"] == 0);
}

TEST_CASE("requests that were cut, doubled or changed in any place are answered", "[browser]") {
  Asked asked;
  std::mt19937 random(17);
  const std::string good = Json({{"do", "open"},
                                 {"files", kFiles},
                                 {"harness", kName},
                                 {"record", "k.yaml"},
                                 {"heard", {"front silent"}}})
                               .dump();
  std::uniform_int_distribution<std::size_t> place(0, good.size() - 1);
  std::uniform_int_distribution<int> byte(0, 255);
  for (int i = 0; i < 60; ++i) {
    std::string request = good;
    if (i % 3 == 0) request.resize(place(random));
    if (i % 3 == 1) request.insert(place(random), request.substr(place(random), 40));
    for (int change = 0; i % 3 == 2 && change < 5; ++change)
      request[place(random)] = static_cast<char>(byte(random));
    const Json answer = asked.raw(request);
    CHECK((answer.contains("failure") || answer.contains("session")));
  }
}
