#include "batch/batch.h"

#include <fmt/format.h>

#include <cstdint>
#include <ctime>
#include <filesystem>
#include <ostream>
#include <utility>

#include "allowance.h"
#include "batch_folder.h"
#include "command.h"
#include "file.h"
#include "form.h"
#include "intake/batch_file.h"
#include "intake/date.h"
#include "intake/readings.h"
#include "load.h"
#include "record/record.h"
#include "record_file.h"
#include "report/batch.h"
#include "session/session.h"
#include "typed.h"

namespace lugwise::app {
namespace {

namespace fs = std::filesystem;

// "2026-11-28T14:05+01:00"
std::string now() {
  const std::time_t time = std::time(nullptr);
  std::tm local{};
  localtime_r(&time, &local);
  char text[40];
  if (std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M%z", &local) == 0) return {};
  std::string date = text;
  date.insert(date.size() - 2, ":");
  return date;
}

// A command of a batch reads its files under names of its own, and hands over what it found whatever ends it.
class BatchRun {
 public:
  explicit BatchRun(Run& outer)
      : outer_(outer), line_(outer.line), run_{line_,           outer.heading,  outer.texts,   outer.noticed,
                                               outer.out,       outer.err,      outer.columns, outer.watched,
                                               outer.leave_out, outer.allowance} {}
  ~BatchRun() {
    outer_.heading = std::move(run_.heading);
    outer_.texts = std::move(run_.texts);
    outer_.noticed = run_.noticed;
  }
  BatchRun(const BatchRun&) = delete;
  BatchRun& operator=(const BatchRun&) = delete;

  Run& run() { return run_; }
  CommandLine& line() { return line_; }
  std::string in_folder(const std::string& name) const { return (fs::path(line_.folder) / name).string(); }

 private:
  Run& outer_;
  CommandLine line_;
  Run run_;
};

struct Opened {
  BatchHead head;
  Netlist netlist;  // with what the head says of the conditions
};

Opened open_batch(BatchRun& batch) {
  Run& run = batch.run();
  const std::string file = batch.in_folder(kHeadFile);
  if (kind_of(file).empty())
    throw bad_input("U350", fmt::format("no batch in this folder: it has no {}", kHeadFile),
                    batch.line().folder);
  run.texts[file] = read_file(file);
  Diagnostics problems(file);
  auto head = read_batch_file(run.texts[file], problems);
  if (!head) throw BadInput{problems.sorted()};
  batch.line().harness = (fs::path(batch.line().folder) / head->harness_file).lexically_normal().string();
  // The head says what all units are read with; readings that say something else are refused.
  batch.line().chosen = head->values;
  const std::string readings = std::exchange(batch.line().readings, {});
  Netlist netlist = load_searchable(run);
  batch.line().readings = readings;
  if (netlist.id != head->harness_id) {
    Diagnostic changed{
        Severity::Warning,
        "U150",
        fmt::format("the netlist is another than when the batch was begun: its check sum was {}, "
                    "and is {}; units are judged by what it says now",
                    head->harness_id, netlist.id),
        batch.line().harness,
        {},
        {}};
    run.heading.warnings.insert(run.heading.warnings.begin(), std::move(changed));
  }
  run.heading.meter = head->meter.value_or(assumed_meter());
  run.heading.temperature = head->temperature;
  return {*head, with_head(std::move(netlist), *head)};
}

// What the records of so many units take, with the plan they are held against.
void announce_units(BatchRun& batch, const Harness& harness, const PlanReference& plan, std::size_t units) {
  const auto stage = find_stage(harness, plan.stage, batch.line().harness, {});
  announce(batch.run(), work_of_units(search_size(harness, stage), plan.aim, units));
}

Job load_record(BatchRun& batch, const Netlist& netlist, const std::string& file) {
  batch.line().readings = file;
  Sheet sheet = load_sheet(batch.run(), netlist);
  const Conditions conditions = load_conditions(batch.run(), netlist, &sheet);
  return take_up_sheet(batch.run(), netlist, std::move(sheet), conditions);
}

// A record that was copied or renamed by hand is not of the unit that its name says.
void check_serial(const std::string& said, const std::string& serial, const std::string& file) {
  // A file keeps no line breaks and the like of a name.
  const auto plain = [](std::string text) {
    std::erase_if(text, [](char c) { return static_cast<unsigned char>(c) <= ' ' || c == '\x7f'; });
    return text;
  };
  if (!said.empty() && plain(said) != plain(serial))
    throw bad_input("U353", fmt::format("these readings are of unit '{}', not of '{}'", said, serial), file);
}

// Drift goes by dates: one that is still to come is told.
void add_future(std::vector<Diagnostic>& warnings, const Unit& unit, const std::string& file) {
  constexpr std::int64_t kClocksApart = 300;  // seconds
  const auto at = instant_of(unit.date);
  if (!at || *at <= static_cast<std::int64_t>(std::time(nullptr)) + kClocksApart) return;
  Diagnostic future{
      Severity::Warning,
      "U151",
      fmt::format("taken on {}, which is still to come: mend the date, drift goes by it", unit.date),
      file,
      {},
      {}};
  warnings.insert(warnings.begin(), std::move(future));
}

// A record of its own for this time, whoever else takes the same unit now.
std::pair<RecordFile, std::string> new_record(BatchRun& batch, const std::string& serial) {
  std::size_t number = 1;
  for (const BatchRecord& record : records_in(batch.line().folder)) {
    if (record.serial == serial) number = std::max(number, record.number + 1);
  }
  for (;; ++number) {
    const std::string path = batch.in_folder(record_name(serial, number));
    if (!kind_of(path).empty()) continue;
    try {
      return {RecordFile::create(path, "take the unit again"), path};
    } catch (const BadInput&) {
      if (kind_of(path).empty()) throw;  // not because somebody else was quicker
    }
  }
}

void keep(RecordFile& file, const std::string& path, const std::string& text) {
  const auto why = file.write(text);
  if (!why) return;
  file.remove();
  throw bad_input("U331", fmt::format("the record can't be kept here: {}", *why), path);
}

// What is said of the unit on the command line.
Unit named_unit(const CommandLine& line) { return {"", "", line.by, line.instrument, line.due}; }

void check_due(const CommandLine& line) {
  if (!line.due.empty() && !is_day(line.due))
    throw WrongUsage{fmt::format("--due: write a day, as '2027-05-01', not '{}'", line.due)};
}

// A record that is gone on with says already by whom and with what: it is not to be said otherwise by a word that changes nothing.
void check_same(const CommandLine& line, const Unit& begun, const std::string& file) {
  const auto check = [&](const char* option, const std::string& named, const std::string& there) {
    if (!named.empty() && named != there)
      throw WrongUsage{
          fmt::format("{}: {} was begun with '{}', and is gone on with: leave it out", option, file, there)};
  };
  check("--by", line.by, begun.by);
  check("--instrument", line.instrument, begun.meter);
  check("--due", line.due, begun.calibration_due);
}

// The last record of a unit, where more is to be entered; empty: there is none. What was copied from a file may lack what a session
// asks for first, and is not gone on with either once it passes.
std::string unfinished(BatchRun& batch, const Opened& opened) {
  const Netlist& netlist = opened.netlist;
  std::string last;
  for (const BatchRecord& record : records_in(batch.line().folder)) {
    if (record.serial == batch.line().serial) last = batch.in_folder(record.file);
  }
  if (last.empty() || read_file(last).empty()) return last;
  const Job job = load_record(batch, netlist, last);
  Session session(netlist.harness, netlist.id, job.plan_options(), record_of(netlist.harness, job));
  session.take("");
  if (session.at_its_end()) return "";
  if (session.diagnosis().verdict == Verdict::Sound &&
      assess(netlist, plan_of(netlist, opened.head), job, batch.line().serial, last).decision ==
          Decision::Pass)
    return "";
  check_same(batch.line(), job.sheet.unit, last);
  batch.line().by = job.sheet.unit.by;
  return last;
}

ExitCode take_file(BatchRun& batch, const Opened& opened) {
  const Netlist& netlist = opened.netlist;
  const CommandLine& line = batch.line();
  Job job = load_record(batch, netlist, line.readings);
  check_serial(job.sheet.unit.serial, line.serial, line.readings);
  add_future(batch.run().heading.warnings, job.sheet.unit, line.readings);
  job.sheet.unit = unit_of(opened.head, line.serial, named_unit(line), job.sheet.unit);
  // Drift goes by the order in which the units were taken.
  if (job.sheet.unit.date.empty()) job.sheet.unit.date = now();
  auto [file, path] = new_record(batch, line.serial);
  Record record = record_of(netlist.harness, job);
  record.harness_file = seen_from(line.folder, line.harness);
  if (job.sheet.plan) record.plan = *job.sheet.plan;
  keep(file, path, as_readings_file(netlist.harness, record));
  announce_units(batch, netlist.harness, opened.head.plan, 1);
  const Plan plan = plan_of(netlist, opened.head);
  const UnitRecord unit = assess(netlist, plan, job, line.serial, fs::path(path).filename().string());
  batch.run().heading.meter = job.meter;
  const Run& run = batch.run();
  run.out << (line.json ? as_json(run.heading, netlist.harness, unit) : as_text(netlist.harness, unit, path));
  return unit.decision == Decision::Pass ? ExitCode::Well : ExitCode::Found;
}

// What a unit came to, below its session. `ended`: how that went.
ExitCode tell_result(BatchRun& batch, const Opened& opened, const std::string& path, ExitCode ended) {
  CommandLine& line = batch.line();
  if (kind_of(path).empty()) return ended;  // nothing was entered
  line.harness = (fs::path(line.folder) / opened.head.harness_file).lexically_normal().string();
  line.meter.clear();
  line.temperature.reset();
  batch.run().texts.erase(path);
  const Job job = load_record(batch, opened.netlist, path);
  const UnitRecord unit = assess(opened.netlist, plan_of(opened.netlist, opened.head), job, line.serial,
                                 fs::path(path).filename().string());
  batch.run().out << as_text(opened.netlist.harness, unit, path);
  return unit.decision == Decision::Pass ? ExitCode::Well : ExitCode::Found;
}

}  // namespace

ExitCode batch_new_command(Run& outer) {
  BatchRun batch(outer);
  Run& run = batch.run();
  const CommandLine& line = batch.line();
  batch.line().folder = line.output;
  check_due(line);
  const Netlist netlist = load_searchable(run);
  const Conditions conditions = load_conditions(run, netlist);
  BatchHead head;
  head.harness_id = netlist.id;
  head.values = netlist.values;
  if (!conditions.meter.assumed) head.meter = conditions.meter;
  head.temperature = conditions.temperature;
  head.unit = {"", "", line.by, line.instrument, line.due};
  head.plan.stage = line.stage;
  head.plan.depth = depth_of(line);
  head.plan.aim = aim_of(line);
  announce_units(batch, netlist.harness, head.plan, 0);
  const Plan plan = plan_of(netlist, head);
  head.plan.id = plan.id;
  std::error_code error;
  fs::create_directories(line.folder, error);
  if (error) throw bad_input("U331", "the folder can't be made: " + error.message(), line.folder);
  head.harness_file = seen_from(line.folder, line.harness);
  const std::string path = batch.in_folder(kHeadFile);
  RecordFile file =
      RecordFile::create(path, "go on with it: lugwise batch take FOLDER SERIAL; or name another folder");
  keep(file, path, as_batch_file(head, decision_rule()));
  run.out << (line.json ? as_json(run.heading, head, plan, line.folder) : as_text(head, plan, line.folder));
  return ExitCode::Well;
}

ExitCode batch_take_command(Run& outer) {
  BatchRun batch(outer);
  check_due(batch.line());
  if (batch.line().serial.empty()) throw WrongUsage{"SERIAL is empty: say which unit"};
  const Opened opened = open_batch(batch);
  if (!batch.line().readings.empty()) return take_file(batch, opened);
  CommandLine& line = batch.line();
  std::string path = unfinished(batch, opened);
  if (path.empty() || read_file(path).empty()) {
    auto [file, begun] =
        path.empty() ? new_record(batch, line.serial)
                     : std::pair(RecordFile::open(path, "close it, or take the unit again later"), path);
    path = begun;
    Record record;
    record.harness_file = seen_from(line.folder, line.harness);
    record.values = opened.netlist.values;
    record.plan = opened.head.plan;
    record.unit = unit_of(opened.head, line.serial, named_unit(line), Unit{"", now(), "", "", ""});
    const Conditions conditions = load_conditions(batch.run(), opened.netlist);
    if (!conditions.meter.assumed) record.meter = conditions.meter;
    record.temperature = conditions.temperature;
    keep(file, path, as_readings_file(opened.netlist.harness, record));
    line.meter.clear();  // the record has both
    line.temperature.reset();
  }
  line.harness.clear();  // the record names it
  line.readings.clear();
  line.resume = path;
  batch.run().heading.warnings.clear();
  batch.run().noticed = 0;
  const ExitCode ended = guide_command(batch.run());
  return line.json ? ended : tell_result(batch, opened, path, ended);
}

ExitCode batch_report_command(Run& outer) {
  BatchRun batch(outer);
  Opened opened = open_batch(batch);
  Run& run = batch.run();
  const std::vector<BatchRecord> records = records_in(batch.line().folder);
  announce_units(batch, opened.netlist.harness, opened.head.plan, records.size());
  const Plan plan = plan_of(opened.netlist, opened.head);
  std::vector<UnitRecord> units;
  std::vector<Diagnostic> errors;
  Heading heading = run.heading;
  for (const BatchRecord& record : records) {
    const std::string file = batch.in_folder(record.file);
    try {
      run.texts[file] = read_file(file);
      if (run.texts[file].empty()) continue;  // begun a moment ago, and nothing entered yet
      const Job job = load_record(batch, opened.netlist, file);
      check_serial(job.sheet.unit.serial, record.serial, file);
      add_future(heading.warnings, job.sheet.unit, file);
      if (!units.empty() && units.back().serial == record.serial) units.back().counts = false;
      units.push_back(assess(opened.netlist, plan, job, record.serial, record.file));
    } catch (const BadInput& input) {
      errors.insert(errors.end(), input.errors.begin(), input.errors.end());
    }
  }
  if (!errors.empty()) throw BadInput{std::move(errors)};
  run.heading = std::move(heading);  // what is the batch's, not the last unit's
  const Batch found = compare_units(opened.netlist.harness, opened.head, plan, std::move(units));
  const Harness& harness = opened.netlist.harness;
  if (run.line.html) {
    give(run, as_html(run.heading, harness, found, opened.netlist.places));
  } else {
    answer(run, harness, found);
  }
  return found.how_many(Decision::Pass) == found.counted() ? ExitCode::Well : ExitCode::Found;
}

}  // namespace lugwise::app
