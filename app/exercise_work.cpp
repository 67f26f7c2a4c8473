#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <optional>
#include <utility>

#include "command.h"
#include "exercise/practice.h"
#include "exercise/seal.h"
#include "exercise_folder.h"
#include "fault/naming.h"
#include "file.h"
#include "load.h"
#include "record/exercise_file.h"
#include "record/record.h"
#include "record_file.h"
#include "report/practice.h"
#include "terminal.h"
#include "text/safe.h"
#include "typed.h"

namespace lugwise::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* kElsewhere = "keep the log elsewhere: -o FILE";

// Letters of a name that go into a file's: some systems take no more than 255 bytes for all of it.
constexpr std::size_t kMostOfName = 80;

// A name that may stand in a file's.
std::string in_file_name(const std::string& name) {
  std::string text;
  for (const char letter : name) {
    const bool plain = std::isalnum(static_cast<unsigned char>(letter)) || letter == '-' || letter == '_' ||
                       static_cast<unsigned char>(letter) >= 0x80;
    text += plain ? letter : '-';
  }
  if (text.size() <= kMostOfName) return text;
  std::size_t end = kMostOfName;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xc0) == 0x80) --end;  // no letter is cut
  return text.substr(0, end);
}

std::string log_name(const Run& run) {
  if (!run.line.output.empty()) return run.line.output;
  const fs::path file(run.line.exercise);
  const std::string who = run.line.by.empty() ? "log" : in_file_name(run.line.by);
  return (file.parent_path() / (file.stem().string() + "-" + who + ".yaml")).string();
}

// One student's work at the terminal, kept after each reading.
class Desk {
 public:
  Desk(const Run& run, const Netlist& netlist, const std::vector<Fault>& faults, Job job, ExerciseNote note,
       Practice& practice, std::string log, std::optional<RecordFile> file)
      : run_(run),
        netlist_(netlist),
        faults_(faults),
        job_(std::move(job)),
        note_(std::move(note)),
        practice_(practice),
        log_(std::move(log)),
        file_(std::move(file)) {
    record_ = record_of(netlist.harness, job_);
    if (job_.sheet.plan) record_.plan = *job_.sheet.plan;
    record_.heard = job_.sheet.heard;
    record_.deeds.resize(std::min(record_.deeds.size(), note_.given));
    given_ = record_.deeds.size();
    for (const Deed& deed : record_.deeds) on_sheet_.push_back(deed.seen);
  }

  void call(const std::string& by) {
    if (!by.empty()) note_.by = by;
  }

  ExitCode work() {
    tell(nullptr);
    const PracticeLog& earlier = practice_.log();
    if (!run_.line.json && (!earlier.probes.empty() || !earlier.claims.empty()))
      terminal_.show(fmt::format("Going on with {}: 'list' shows what is there\n", text::in_one_line(log_)));
    while (const auto line = terminal_.ask(run_.line.json ? "" : "> ", run_.line.json)) {
      const PracticeReply reply = practice_.take(*line);
      if (reply.changed) keep();
      tell(&reply);
      if (reply.kind == PracticeReply::Kind::Stopped) break;
    }
    if (kept_ && !run_.line.json) terminal_.show(fmt::format("The log is {}\n", text::in_one_line(log_)));
    return ExitCode::Well;
  }

 private:
  // What became of a line; none: what stands before the first.
  void tell(const PracticeReply* reply) {
    const PracticeSheet sheet{netlist_.harness, faults_, note_, job_.sheet.heard, on_sheet_};
    if (run_.line.json) {
      terminal_.show(as_json(run_.heading, sheet, practice_, reply, log_));
    } else {
      terminal_.show(reply ? as_text(netlist_.harness, faults_, practice_, *reply, terminal_.columns())
                           : practice_opening(sheet, terminal_.columns()));
    }
  }

  void keep() {
    record_.deeds.resize(given_);
    for (const Observation& seen : practice_.log().probes) {
      Deed deed;
      deed.seen = seen;
      record_.deeds.push_back(std::move(deed));
    }
    note_.claims.clear();
    for (std::size_t claim : practice_.log().claims)
      note_.claims.push_back({in_words(netlist_.harness, faults_[claim]), {}});
    if (!file_) file_.emplace(RecordFile::create(log_, kElsewhere));
    if (const auto why = file_->write(as_exercise_file(netlist_.harness, record_, note_)))
      throw bad_input("U331", "the record can't be kept here: " + *why, log_);
    kept_ = true;
  }

  const Run& run_;
  const Netlist& netlist_;
  const std::vector<Fault>& faults_;
  Job job_;
  ExerciseNote note_;
  Practice& practice_;
  std::string log_;
  std::optional<RecordFile> file_;  // one sitting's at a time; none before there is anything to keep
  Record record_;
  std::vector<Observation> on_sheet_;
  std::size_t given_ = 0;
  bool kept_ = false;
  Terminal terminal_;
};

// What the log of an earlier sitting has.
PracticeLog earlier_log(Run& run, const Netlist& netlist, const std::vector<Fault>& faults,
                        const std::string& seal, const std::string& log) {
  PracticeLog earlier;
  const CommandLine line = about(run, run.line.harness, log);
  Run one{line, run.heading, run.texts, 0, run.out, run.err, run.columns};
  const Job job = load_job(one, netlist);
  run.texts = one.texts;
  const ExerciseNote note = load_note(one, log);
  if (note.seal != seal) throw bad_input("U341", "is there already, and is no log of this exercise", log);
  // Two names may be one in a file's.
  if (!note.by.empty() && !run.line.by.empty() && note.by != run.line.by)
    throw bad_input("U341", fmt::format("is there already, and is the log of {}", text::in_one_line(note.by)),
                    log);
  std::vector<Observation> seen = job.weighed();
  seen.erase(seen.begin(), seen.begin() + static_cast<std::ptrdiff_t>(std::min(seen.size(), note.given)));
  earlier.probes = std::move(seen);
  for (const NamedFault& claim : note.claims)
    earlier.claims.push_back(find_fault_of(netlist.harness, faults, claim.words, log, claim.at));
  return earlier;
}

}  // namespace

ExitCode exercise_work_command(Run& run) {
  const std::string& file = run.line.exercise;
  const CommandLine line = about(run, harness_of(run, file), file);
  Run one{line, run.heading, run.texts, 0, run.out, run.err, run.columns};
  const Netlist netlist = load_searchable(one);
  Job job = load_job(one, netlist);
  const ExerciseNote note = load_note(one, file);
  const auto content = opened(note.seal);
  if (!content) throw bad_input("U343", "can't be worked on: its seal is broken or missing", file);
  const std::vector<Fault> faults = faults_at(netlist.harness, job.stage);
  for (const Sealed::Ill& ill : content->ills) {
    if (std::none_of(faults.begin(), faults.end(),
                     [&](const Fault& fault) { return fault_id(netlist.harness, fault) == ill.fault; }))
      throw bad_input("U343", "can't be worked on: its seal is of another harness", file);
  }
  SimulationOptions options;
  options.stage = job.stage;
  options.meter = job.conditions.meter;
  options.temperature = job.conditions.temperature;
  const std::string log = log_name(run);
  std::optional<RecordFile> kept;
  if (kind_of(log) == "a file") kept.emplace(RecordFile::open(log, kElsewhere));
  // One that is empty is of a sitting that was killed before its first reading stood in it.
  PracticeLog earlier;
  if (kept && !kept->text().empty()) earlier = earlier_log(one, netlist, faults, note.seal, log);
  earlier.given = std::min(note.given, job.weighed().size());
  Practice practice(netlist.harness, faults, *content, options, std::move(earlier));
  one.heading.meter = options.meter;
  one.heading.temperature = options.temperature;
  Desk desk(one, netlist, faults, std::move(job), note, practice, log, std::move(kept));
  desk.call(run.line.by);
  return desk.work();
}

}  // namespace lugwise::app
