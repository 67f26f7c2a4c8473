#include "browser/engine.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <exception>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <sstream>
#include <stdexcept>
#include <utility>
#include <vector>

#include "circuit/setting.h"
#include "cli.h"
#include "command.h"
#include "failure.h"
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
using Files = std::map<std::string, std::string>;  // texts by their names

constexpr const char* kProgram = "lugwise " LUGWISE_VERSION;

std::string text_of(const Json& request, const char* key) {
  const auto found = request.find(key);
  return found != request.end() && found->is_string() ? found->get<std::string>() : std::string();
}

void put(const fs::path& path, const std::string& text) {
  std::error_code error;
  fs::create_directories(path.parent_path(), error);
  std::ofstream file(path, std::ios::binary);
  file << text;
  file.close();
  if (!file) throw std::runtime_error(fmt::format("'{}' can't be laid out", path.filename().string()));
}

// Where a file of a request lies below the folder of files; refused is what leads out of it.
std::string name_of(const std::string& typed) {
  const fs::path path = fs::path(typed).lexically_normal();
  if (!path.has_filename() || path.is_absolute() || *path.begin() == ".." || path == "." ||
      typed.find('\0') != std::string::npos)
    throw std::invalid_argument(fmt::format("'{}' is no name of a file here", text::in_one_line(typed)));
  return path.string();
}

// While it lives, names of files are seen from this folder.
class Inside {
 public:
  explicit Inside(const fs::path& folder) : before_(fs::current_path()) { fs::current_path(folder); }
  ~Inside() {
    std::error_code error;
    fs::current_path(before_, error);
  }
  Inside(const Inside&) = delete;
  Inside& operator=(const Inside&) = delete;

 private:
  fs::path before_;
};

// While it lives, the terminal is two files.
class TerminalFiles {
 public:
  TerminalFiles(const fs::path& folder, const std::string& typed) : shown_(folder / "shown") {
    put(folder / "typed", typed);
    put(shown_, "");
    in_ = ::dup(STDIN_FILENO);
    out_ = ::dup(STDOUT_FILENO);
    turn(folder / "typed", O_RDONLY, STDIN_FILENO);
    turn(shown_, O_WRONLY | O_APPEND, STDOUT_FILENO);
  }
  ~TerminalFiles() {
    ::dup2(in_, STDIN_FILENO);
    ::dup2(out_, STDOUT_FILENO);
    ::close(in_);
    ::close(out_);
  }
  TerminalFiles(const TerminalFiles&) = delete;
  TerminalFiles& operator=(const TerminalFiles&) = delete;
  std::string shown() const { return read_file(shown_.string()); }

 private:
  static void turn(const fs::path& path, int how, int to) {
    const int file = ::open(path.c_str(), how);
    ::dup2(file, to);
    ::close(file);
  }
  fs::path shown_;
  int in_ = -1, out_ = -1;
};

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

// Calls `work`, and tells of what stopped it as every command does.
template <class Work>
Json guarded(Desk& desk, const Work& work) {
  try {
    return work();
  } catch (...) {
    const Failure failure = failure_of(std::current_exception(), desk.run.heading,
                                       "a netlist with fewer switches, positions and parts takes less");
    return {{"exit", static_cast<int>(failure.code)},
            {"err", problems_as_text(failure.errors, desk.run.texts)},
            {"errors", Json::parse(errors_as_json(desk.run.heading, failure.errors))["errors"]}};
  }
}

// The one session.
struct Held {
  Desk desk{"guide"};
  PreparedSession prepared;
  std::optional<Session> session;
  std::string name;  // of its record

  Json told(const Reply& reply) {
    const std::string said = as_json(desk.run.heading, *session, reply, name);
    return {{"exit", 0},
            {"err", std::exchange(desk.err, std::ostringstream()).str()},
            {"session", Json::parse(said)},
            {"record", as_readings_file(session->harness(), session->record())}};
  }
};

// Not begun where the answer's exit is not 0.
Json begin(Held& held, const Json& request, const Files& files) {
  CommandLine& line = held.desk.line;
  line.harness = text_of(request, "harness");
  line.json = true;
  line.stage = text_of(request, "stage");
  line.meter = text_of(request, "meter");
  held.name = text_of(request, "record");
  if (const std::string depth = text_of(request, "depth"); !depth.empty()) {
    line.depth = depth;
    line.given.push_back({"--depth", depth});
  }
  const auto record = files.find(held.name);
  const bool begun =
      record != files.end() && record->second.find_first_not_of(" \r\n\t") != std::string::npos;
  if (begun) line.readings = held.name;
  Json answer = guarded(held.desk, [&] {
    held.prepared = prepare_session(held.desk.run, line, begun ? From::Record : From::Nothing);
    held.prepared.beginning.record.harness_file = seen_from(folder_of(held.name), line.harness);
    held.session.emplace(begin_session(held.desk.run, held.prepared));
    Reply reply;
    for (const auto& sentence : request.value("heard", Json::array())) {
      const Reply heard = held.session->take("heard " + sentence.get<std::string>());
      if (heard.kind == Reply::Kind::Refused) reply = heard;
    }
    return held.told(reply);
  });
  if (answer.value("exit", 1) != 0) {
    answer["session"] = nullptr;
    answer["record"] = begun ? record->second : std::string();
  }
  return answer;
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

}  // namespace

class Engine::Work {
 public:
  explicit Work(const std::string& folder) : folder_(fs::absolute(folder)), files_(folder_ / "files-0") {
    fs::create_directories(files_);
  }

  Json answered(const Json& request) {
    if (!request.is_object()) throw std::invalid_argument("a request is a JSON object");
    const std::string what = text_of(request, "do");
    if (what == "run") return run_command(request);
    if (what == "open") return open(request);
    if (what == "say") return say(request);
    if (what == "describe") return describe(request);
    throw std::invalid_argument(fmt::format("nothing is known of '{}'", text::in_one_line(what)));
  }

 private:
  const fs::path& files() const { return files_; }

  // The files of a request, and no others, where commands look for files: a new folder each time, as the file system that
  // emscripten gives still finds a file that was replaced before it was removed.
  Files lay_out(const Json& request) {
    Files laid;
    std::vector<fs::path>
        old;  // listed before any is removed: a folder that changes is not read to its end there
    for (const auto& entry : fs::recursive_directory_iterator(files_)) old.push_back(entry.path());
    old.insert(old.begin(), files_);
    std::error_code error;
    for (auto path = old.rbegin(); path != old.rend(); ++path) fs::remove(*path, error);
    files_ = folder_ / fmt::format("files-{}", ++requests_);
    fs::create_directories(files_);
    if (!request.contains("files")) return laid;
    if (!request["files"].is_object()) throw std::invalid_argument("the files are no JSON object");
    for (const auto& [typed, text] : request["files"].items()) {
      const std::string name = name_of(typed);
      laid[name] = text.get<std::string>();
      put(files() / name, laid[name]);
    }
    return laid;
  }

  Json written_since(const Files& before) const {
    Json written = Json::object();
    for (const auto& entry : fs::recursive_directory_iterator(files())) {
      if (!entry.is_regular_file()) continue;
      const std::string name = entry.path().lexically_relative(files()).string();
      const std::string text = read_file(entry.path().string());
      const auto known = before.find(name);
      if (known == before.end() || known->second != text) written[name] = text;
    }
    return written;
  }

  Json run_command(const Json& request) {
    const auto arguments = request.at("arguments").get<std::vector<std::string>>();
    const Files before = lay_out(request);
    const Inside inside(files());
    std::ostringstream out, err;
    const TerminalFiles terminal(folder_, text_of(request, "input"));
    const int code = run(arguments, out, err);
    return {{"exit", code},
            {"out", terminal.shown() + text::in_lines(out.str())},
            {"err", err.str()},
            {"files", written_since(before)}};
  }

  // What was open before is put down first: it can be opened again from its record, and there may be no room for both.
  Json open(const Json& request) {
    held_.reset();
    const Files laid = lay_out(request);
    const Inside inside(files());
    auto next = std::make_unique<Held>();
    Json answer = begin(*next, request, laid);
    if (!answer["session"].is_null()) held_ = std::move(next);
    return answer;
  }

  Json say(const Json& request) {
    // What fails half way may leave the session neither here nor there: then it is put down.
    std::unique_ptr<Held> now = std::move(held_);
    if (!now) throw std::invalid_argument("no session is open");
    const Inside inside(files());
    Reply reply = now->session->take(text_of(request, "line"));
    if (reply.kind == Reply::Kind::Meter) reply = change_meter(now->desk.run, *now->session, reply.word);
    Json answer = now->told(reply);
    held_ = std::move(now);
    return answer;
  }

  Json describe(const Json& request) {
    lay_out(request);
    const Inside inside(files());
    Desk desk("check");
    desk.line.harness = text_of(request, "harness");
    return guarded(desk, [&] { return described(load_netlist(desk.run).harness); });
  }

  fs::path folder_;
  fs::path files_;  // of the last request
  std::size_t requests_ = 0;
  std::unique_ptr<Held> held_;
};

Engine::Engine(const std::string& folder) : work_(std::make_unique<Work>(folder)) {}
Engine::~Engine() = default;

std::string Engine::answer(const std::string& request) {
  try {
    Json answer;
    try {
      answer = work_->answered(Json::parse(request));
    } catch (const std::bad_alloc&) {
      answer = {{"failure", "there is not enough memory for this"}};
    } catch (const BadInput& input) {
      answer = {{"failure", input.errors.front().message}};
    } catch (const std::exception& error) {
      answer = {{"failure", error.what()}};
    }
    return answer.dump(-1, ' ', false, Json::error_handler_t::replace);
  } catch (...) {
    return R"({"failure":"the engine failed"})";
  }
}

}  // namespace lugwise::app
