#include "browser/engine.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <sstream>
#include <utility>

#include "circuit/setting.h"
#include "cli.h"
#include "command.h"
#include "fault/fault.h"
#include "file.h"
#include "load.h"
#include "opening.h"
#include "report/session.h"
#include "text/safe.h"

namespace lugwise::app {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr const char* kFolder = "/work";  // where commands find the files of a request
constexpr const char* kTyped = "/typed";  // what is typed at the terminal
constexpr const char* kShown = "/shown";  // what the terminal shows
constexpr const char* kProgram = "lugwise " LUGWISE_VERSION;

std::string text_of(const Json& request, const char* key) {
  return request.contains(key) && request[key].is_string() ? request[key].get<std::string>() : std::string();
}

void put(const fs::path& path, const std::string& text) {
  std::error_code error;
  fs::create_directories(path.parent_path(), error);
  std::ofstream(path, std::ios::binary) << text;
}

// The files of a request, and no others, where commands look for files.
std::map<std::string, std::string> lay_out_files(const Json& request) {
  std::map<std::string, std::string> files;
  fs::create_directories(kFolder);
  fs::current_path(kFolder);
  for (const auto& entry : fs::directory_iterator(kFolder)) fs::remove_all(entry.path());
  if (!request.contains("files")) return files;
  for (const auto& [name, text] : request.at("files").items()) {
    const fs::path path = fs::path(name).lexically_normal();
    if (name.empty() || path.is_absolute() || path.string().starts_with(".."))
      throw std::invalid_argument(fmt::format("'{}' is no name of a file here", name));
    files[path.string()] = text.get<std::string>();
    put(fs::path(kFolder) / path, files[path.string()]);
  }
  return files;
}

Json written_since(const std::map<std::string, std::string>& before) {
  Json written = Json::object();
  for (const auto& entry : fs::recursive_directory_iterator(kFolder)) {
    if (!entry.is_regular_file()) continue;
    const std::string name = entry.path().lexically_relative(kFolder).string();
    const std::string text = read_file(entry.path().string());
    const auto known = before.find(name);
    if (known == before.end() || known->second != text) written[name] = text;
  }
  return written;
}

// While it lives, the terminal is two files.
class TerminalFiles {
 public:
  explicit TerminalFiles(const std::string& typed) {
    put(kTyped, typed);
    put(kShown, "");
    in_ = ::dup(STDIN_FILENO);
    out_ = ::dup(STDOUT_FILENO);
    turn(kTyped, O_RDONLY, STDIN_FILENO);
    turn(kShown, O_WRONLY | O_TRUNC, STDOUT_FILENO);
  }
  ~TerminalFiles() {
    ::dup2(in_, STDIN_FILENO);
    ::dup2(out_, STDOUT_FILENO);
    ::close(in_);
    ::close(out_);
  }
  TerminalFiles(const TerminalFiles&) = delete;
  TerminalFiles& operator=(const TerminalFiles&) = delete;
  static std::string shown() { return read_file(kShown); }

 private:
  static void turn(const char* path, int how, int to) {
    const int file = ::open(path, how);
    ::dup2(file, to);
    ::close(file);
  }
  int in_ = -1, out_ = -1;
};

Json run_command(const Json& request) {
  const auto before = lay_out_files(request);
  std::ostringstream out, err;
  int code = 0;
  {
    const TerminalFiles terminal(text_of(request, "input"));
    code = run(request.at("arguments").get<std::vector<std::string>>(), out, err);
  }
  return {{"exit", code},
          {"out", TerminalFiles::shown() + text::in_lines(out.str())},
          {"err", err.str()},
          {"files", written_since(before)}};
}

// What reading files for a request came to, and what it said on the way.
struct Desk {
  CommandLine line;
  std::ostringstream out, err;
  Run run{line, {}, {}, 0, out, err};

  explicit Desk(const std::string& output) {
    run.heading.program = kProgram;
    run.heading.output = output;
  }
};

Json refused(Desk& desk, const std::vector<Diagnostic>& errors, ExitCode code) {
  return {{"exit", static_cast<int>(code)},
          {"err", problems_as_text(errors, desk.run.texts)},
          {"errors", Json::parse(errors_as_json(desk.run.heading, errors))["errors"]}};
}

// Calls `work`, and tells of bad input as every request does.
template <class Work>
Json guarded(Desk& desk, const Work& work) {
  try {
    return work();
  } catch (const BadInput& input) {
    return refused(desk, input.errors, ExitCode::BadInput);
  } catch (const WrongUsage& usage) {
    return refused(desk, bad_input("U200", usage.message).errors, ExitCode::WrongUsage);
  }
}

// The one session.
struct Held {
  Desk desk{"guide"};
  Opening opening;
  std::optional<Session> session;
  std::string name;

  Json told(const Reply& reply) {
    const std::string said = as_json(desk.run.heading, *session, reply, name);
    Json answer{{"exit", 0},
                {"err", std::exchange(desk.err, std::ostringstream()).str()},
                {"session", Json::parse(said)},
                {"record", as_readings_file(session->harness(), session->record())}};
    return answer;
  }
};

std::unique_ptr<Held>& held() {
  static std::unique_ptr<Held> one;
  return one;
}

Json open_session(const Json& request) {
  held().reset();
  auto next = std::make_unique<Held>();
  CommandLine& line = next->desk.line;
  Run& run = next->desk.run;
  const auto files = lay_out_files(request);
  line.harness = text_of(request, "harness");
  line.json = true;
  line.stage = text_of(request, "stage");
  line.meter = text_of(request, "meter");
  next->name = text_of(request, "record");
  if (const std::string depth = text_of(request, "depth"); !depth.empty()) {
    line.depth = depth;
    line.given.push_back({"--depth", depth});
  }
  const auto record = files.find(next->name);
  const bool begun =
      record != files.end() && record->second.find_first_not_of(" \r\n\t") != std::string::npos;
  if (begun) line.readings = next->name;
  Json answer = guarded(next->desk, [&] {
    next->opening = prepare_session(run, line, begun);
    next->opening.record.harness_file = line.harness;
    next->session.emplace(begin_session(run, next->opening));
    Reply reply;
    if (request.contains("heard")) {
      for (const auto& sentence : request.at("heard")) {
        const Reply heard = next->session->take("heard " + sentence.get<std::string>());
        if (heard.kind == Reply::Kind::Refused) reply = heard;
      }
    }
    return next->told(reply);
  });
  if (next->session && answer.value("exit", 1) == 0) {
    held() = std::move(next);
  } else {
    answer["session"] = nullptr;
    answer["record"] = begun ? record->second : std::string();
  }
  return answer;
}

Json say(const Json& request) {
  Held* const now = held().get();
  if (!now) throw std::invalid_argument("no session is open");
  return guarded(now->desk, [&] {
    Reply reply = now->session->take(text_of(request, "line"));
    if (reply.kind == Reply::Kind::Meter) reply = change_meter(now->desk.run, *now->session, reply.word);
    return now->told(reply);
  });
}

const char* kind_word(PartKind kind) {
  static constexpr const char* kWords[] = {"pickup",    "pot",   "switch",  "jack",   "resistor",
                                           "capacitor", "metal", "battery", "module", "inductor"};
  static_assert(std::size(kWords) == kPartKinds);
  return kWords[static_cast<std::size_t>(kind)];
}

Json described(const Harness& harness) {
  Json parts = Json::array(), wires = Json::array(), controls = Json::array(), points = Json::array();
  for (const Part& part : harness.parts())
    parts.push_back({{"name", part.name}, {"kind", kind_word(part.kind)}});
  for (const Wire& wire : harness.wires()) {
    std::string name = wire.name;
    for (std::size_t i = 0; name.empty() && i < wire.run.size(); ++i) {
      for (const PointId point : wire.run) name += (name.empty() ? "" : ">") + harness[point].name;
    }
    wires.push_back(name);
  }
  const Setting rest(harness);
  for (const PartId id : harness.controls()) {
    const Part& part = harness[id];
    Json places = Json::array();
    for (const Position& position : part.positions) places.push_back(position.name);
    if (part.kind == PartKind::Jack) places = {"in", "out"};
    controls.push_back({{"name", part.name},
                        {"kind", kind_word(part.kind)},
                        {"places", places},
                        {"rests", rest.place_name(harness, id)}});
  }
  for (const std::string& name : harness.point_names()) {
    const auto point = harness.find_point(name);
    if (point && harness.probeable(*point))
      points.push_back({{"name", name}, {"words", point_in_words(harness, *point)}});
  }
  return {{"exit", 0},      {"err", ""},      {"name", harness.name}, {"about", harness.about},
          {"parts", parts}, {"wires", wires}, {"controls", controls}, {"points", points}};
}

Json describe(const Json& request) {
  lay_out_files(request);
  Desk desk("check");
  desk.line.harness = text_of(request, "harness");
  return guarded(desk, [&] { return described(load_netlist(desk.run).harness); });
}

Json answered(const Json& request) {
  const std::string what = text_of(request, "do");
  if (what == "run") return run_command(request);
  if (what == "open") return open_session(request);
  if (what == "say") return say(request);
  if (what == "describe") return describe(request);
  return {{"failure", fmt::format("nothing is known of '{}'", what)}};
}

}  // namespace

std::string answer(const std::string& request) {
  Json answer;
  try {
    answer = answered(Json::parse(request));
  } catch (const std::exception& error) {
    answer = {{"failure", error.what()}};
  } catch (...) {
    answer = {{"failure", "the engine failed"}};
  }
  return answer.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace lugwise::app

// The answer stays until the next request.
extern "C" const char* lugwise_answer(const char* request) {
  static std::string text;
  text = lugwise::app::answer(request);
  return text.c_str();
}
