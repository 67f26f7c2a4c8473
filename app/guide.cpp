#include <fmt/format.h>

#include <csignal>
#include <filesystem>
#include <optional>
#include <ostream>
#include <sstream>
#include <utility>

#include "allowance.h"
#include "command.h"
#include "drawing/drawing.h"
#include "file.h"
#include "intake/readings.h"
#include "opening.h"
#include "progress.h"
#include "record_file.h"
#include "report/drawing.h"
#include "report/session.h"
#include "session/session.h"
#include "terminal.h"
#include "text/safe.h"

namespace lugwise::app {
namespace {

namespace fs = std::filesystem;

// "fernhollow-2.yaml" keeps its record in "fernhollow-2.readings.yaml", beside it.
std::string usual_name(const std::string& harness, int number = 1) {
  const fs::path path(harness);
  const std::string more = number == 1 ? "" : fmt::format("-{}", number);
  return (path.parent_path() / fmt::format("{}.readings{}.yaml", path.stem().string(), more)).string();
}

// The first such name that is free.
std::string free_name(const std::string& harness) {
  std::error_code error;
  int number = 1;
  while (number < 1000 && fs::exists(usual_name(harness, number), error)) ++number;
  return usual_name(harness, number);
}

// A drawing beside the record, under the first name that is free: no record and no drawing is lost to another.
std::string free_drawing(const std::string& record) {
  const fs::path path(record);
  for (int number = 1;; ++number) {
    const std::string more = number == 1 ? "" : fmt::format("-{}", number);
    const std::string name =
        (path.parent_path() / fmt::format("{}{}.svg", path.stem().string(), more)).string();
    if (number == 1000 || kind_of(name).empty()) return name;
  }
}

// The first free name for the text of a record as it was: "x.readings.yaml" in "x.readings.before.yaml".
std::string free_keepsake(const std::string& record) {
  const fs::path path(record);
  for (int number = 1;; ++number) {
    const std::string more = number == 1 ? "" : fmt::format("-{}", number);
    const std::string name = (path.parent_path() / fmt::format("{}.before{}{}", path.stem().string(), more,
                                                               path.extension().string()))
                                 .string();
    if (number == 1000 || kind_of(name).empty()) return name;
  }
}

// Whether a text has lines with a remark in them that another has not.
bool loses_remarks(const std::string& text, const std::string& rewritten) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    const std::size_t mark = line.find('#');
    if (mark == std::string::npos || (mark > 0 && line[mark - 1] != ' ' && line[mark - 1] != '\t')) continue;
    if (rewritten.find(line.substr(mark)) == std::string::npos) return true;
  }
  return false;
}

// Whether a record is a unit's, in its batch.
bool of_batch(const CommandLine& line, const std::string& record) {
  return !line.serial.empty() && record == line.resume;  // and not kept elsewhere since
}

// How a session is taken up again, as it can be typed; that of a unit by its batch, which has records of its own.
std::string to_go_on(const CommandLine& line, const std::string& record) {
  if (!of_batch(line, record)) return "lugwise guide --resume " + lugwise::text::in_shell(record);
  return fmt::format("lugwise batch take {} {}", lugwise::text::in_shell(line.folder),
                     lugwise::text::in_shell(line.serial));
}

class Guide {
 public:
  // `name` is what the record is called to the person; `resumed`: it was there before.
  Guide(Run& run, RecordFile file, std::string name, bool resumed, const Places& places, Session session)
      : run_(run),
        file_(std::move(file)),
        name_(std::move(name)),
        resumed_(resumed),
        places_(places),
        session_(std::move(session)) {
    appearance_.colour = terminal_.coloured();
    appearance_.columns = terminal_.columns();
    if (resumed_ && loses_remarks(file_->text(), record_text())) by_hand_ = file_->text();
  }

  ExitCode walk(const std::string& remark) {
    if (run_.line.json) {
      tell({});
    } else {
      terminal_.show(opening_as_text(session_, name_, appearance_) + remark);
      if (by_hand_)
        terminal_.show(
            "The record stays as it is until something is entered; with its remarks it is then kept "
            "beside.\n");
    }
    for (;;) {
      const auto line = ask(prompt(session_));
      if (!line) break;
      Reply reply = answer(session_.take(*line));
      if (reply.changed && !(keep_by_hand() && keep())) return ExitCode::BadInput;
      tell(reply);
      if (reply.kind == Reply::Kind::Stopped) break;
    }
    return put_down();
  }

 private:
  std::optional<std::string> ask(const std::string& text) {
    return terminal_.ask(run_.line.json ? "" : text, run_.line.json);
  }

  void tell(const Reply& reply) {
    terminal_.show(run_.line.json ? as_json(run_.heading, session_, reply, name_)
                                  : as_text(session_, reply, appearance_));
  }

  // What the session itself can't do: read a meter's file, write a picture.
  Reply answer(Reply reply) {
    if (reply.kind == Reply::Kind::Meter) return change_meter(run_, session_, reply.word);
    if (reply.kind == Reply::Kind::Picture) return draw(std::move(reply));
    return reply;
  }

  // The harness with the probes where they are asked for, or with the suspects of a verdict. No file is overwritten.
  Reply draw(Reply reply) {
    const bool named = !reply.word.empty();
    if (!named) reply.word = free_drawing(name_);
    const std::string there = kind_of(reply.word);
    if (!there.empty())
      return refused_reply(fmt::format("there is {} '{}' already", there, reply.word),
                           named ? "name another, or none" : "name another: 'picture FILE'");
    const Harness& harness = session_.harness();
    if (const std::string why = too_large_to_draw(harness); !why.empty())
      return refused_reply("the harness is too large to be drawn", why);
    try {
      write_file(reply.word, picture(harness, lay_out(harness, places_), look_of(session_)));
    } catch (const BadInput& input) {
      return refused_reply(input.errors.front().message, "name another file: 'picture FILE'");
    }
    return reply;
  }

  // What somebody wrote has remarks that a record has no room for. Its text is kept beside before it is written over.
  bool keep_by_hand() {
    if (!by_hand_) return true;
    const std::string beside = free_keepsake(file_->path());
    try {
      write_file(beside, *by_hand_);
    } catch (const BadInput& input) {
      run_.err << fmt::format(
          "lugwise: the record with its remarks can't be kept in {}: {}; it is as it was before\n",
          lugwise::text::in_shell(beside), input.errors.front().message);
      return false;
    }
    by_hand_.reset();
    const std::string kept =
        "The record as it was, with its remarks, is " + lugwise::text::in_shell(beside) + ".\n";
    if (run_.line.json) {
      run_.err << "lugwise: " << kept;
    } else {
      terminal_.show(kept);
    }
    return true;
  }

  // Until the record is on the disk nothing else is asked. False: it was given up.
  bool keep() {
    while (const auto why = file_->write(record_text())) {
      const std::string problem = fmt::format("the record could not be written: {}", *why);
      const std::string hint =
          "This entry is in memory only; what was kept before is unharmed. Put that right (free some space) "
          "and "
          "press Enter to try again; 'save FILE' keeps the record elsewhere, 'stop' gives the entry up.";
      if (run_.line.json) {
        tell(refused_reply(problem, hint));
      } else {
        terminal_.show(page::wrapped("NOT KEPT: ", problem + ". " + hint, 10, appearance_.columns));
      }
      const auto line = ask("try again? ");
      if (!line || *line == "stop" || *line == "q") {
        run_.err << fmt::format("lugwise: the last entry was not kept; {} is as it was before\n", name_);
        return false;
      }
      if (line->starts_with("save ")) {
        save_elsewhere(line->substr(5));
      } else if (!line->empty()) {
        run_.err << "lugwise: that line was not taken: the last entry is not kept yet; type it again later\n";
      }
    }
    return true;
  }

  // The netlist is named as seen from where the record lies now.
  std::string record_text() const {
    Record record = session_.record();
    record.harness_file = seen_from(folder_of(file_->path()), run_.line.harness);
    return as_readings_file(session_.harness(), record);
  }

  void save_elsewhere(const std::string& path) {
    try {
      file_.emplace(RecordFile::create(path, "name another"));
      name_ = path;
    } catch (const BadInput& input) {
      terminal_.show(page::wrapped("NOT KEPT: ", input.errors.front().message, 10, appearance_.columns));
    }
  }

  ExitCode put_down() {
    // One that was there before stays, whatever was taken back.
    const bool empty = !resumed_ && session_.record().deeds.empty() && session_.record().heard.empty();
    if (empty) file_->remove();
    if (!run_.line.json) {
      std::string text = standing_as_text(session_, appearance_);
      if (empty) {
        text += "Nothing was entered, so no record is left.\n";
      } else {
        text += page::wrapped("", "The record is " + name_, 0, appearance_.columns);
        // As it can be typed, so it stays in one line. A unit of a batch that stands at its end is not gone on with.
        const bool another = of_batch(run_.line, name_) && session_.at_its_end();
        text += fmt::format("{}: {}\n", another ? "To take it once more" : "To go on",
                            to_go_on(run_.line, name_));
      }
      terminal_.show(text);
    }
    return session_.finds_it_sound() ? ExitCode::Well : ExitCode::Found;
  }

  Run& run_;
  std::optional<RecordFile> file_;  // another one after 'save'
  std::string name_;
  const bool resumed_;
  std::optional<std::string> by_hand_;  // the record's text as it was, until it is kept beside
  const Places& places_;                // of the netlist, for pictures
  Session session_;
  Terminal terminal_;
  Appearance appearance_;
};

RecordFile begin_file(const std::string& path, const std::string& harness) {
  const std::string there = kind_of(path);
  if (there == "a file")
    return RecordFile::create(
        path, fmt::format("go on with it: lugwise guide {} --resume {}; or name another: -o {}",
                          lugwise::text::in_shell(harness), lugwise::text::in_shell(path),
                          lugwise::text::in_shell(free_name(harness))));
  if (!there.empty())
    return RecordFile::create(
        path, fmt::format("name another: -o {}", lugwise::text::in_shell(free_name(harness))));
  return RecordFile::create(path, "name one elsewhere: -o FILE");
}

// The record to go on with; its netlist is the one it names, where the command line names none.
RecordFile take_up_record(Run& run, CommandLine& line) {
  if (!line.output.empty()) throw WrongUsage{"--resume goes on in the file it names: leave -o out"};
  if (!line.stage.empty()) throw WrongUsage{"--resume goes on at the stage of its record: leave --stage out"};
  const std::string whose = line.by.empty() ? "" : "it was begun by " + line.by + ": ";
  RecordFile file =
      RecordFile::open(line.resume, line.serial.empty() ? "close it, or begin another record with -o FILE"
                                                        : whose + "close it, or take the unit again later");
  line.readings = line.resume;
  run.texts[line.readings] = file.text();
  if (!line.harness.empty()) return file;
  const std::string named = harness_named_in(file.text());
  const std::string& text = file.text();
  if (text.starts_with("lugwise:") || text.find("\nlugwise:") != std::string::npos)
    throw WrongUsage{fmt::format("--resume: '{}' is a netlist, not a session's record", line.resume)};
  if (named.empty()) throw WrongUsage{"HARNESS is missing: the record names no netlist"};
  line.harness = (fs::path(file.path()).parent_path() / named).lexically_normal().string();
  return file;
}

}  // namespace

ExitCode guide_command(Run& outer) {
  std::signal(SIGXFSZ, SIG_IGN);  // a file grown to its limit is a full disk
  CommandLine line = outer.line;
  // What is found on the way is told by the caller, whatever ends this.
  struct Handing {
    Run& to;
    Run from;
    ~Handing() {
      to.heading = std::move(from.heading);
      to.texts = std::move(from.texts);
      to.noticed = from.noticed;
    }
  } handing{outer, Run{line, outer.heading, outer.texts, outer.noticed, outer.out, outer.err, outer.columns,
                       outer.watched, outer.leave_out, outer.allowance}};
  Run& run = handing.from;

  const bool resumed = !line.resume.empty();
  std::optional<RecordFile> file;
  if (resumed) {
    file.emplace(take_up_record(run, line));
  } else if (line.harness.empty()) {
    throw WrongUsage{"HARNESS is missing: a netlist file"};
  }

  const bool begun = resumed && file->text().find_first_not_of(" \r\n\t") != std::string::npos;
  PreparedSession prepared = prepare_session(run, line, begun ? From::Record : From::Nothing);
  Beginning& beginning = prepared.beginning;

  const std::string name = resumed               ? line.resume
                           : line.output.empty() ? usual_name(line.harness)
                                                 : line.output;
  if (!file) file.emplace(begin_file(name, line.harness));
  beginning.record.harness_file = seen_from(folder_of(file->path()), line.harness);

  announce_plan(run, prepared.netlist->harness, beginning.options);
  Session session = shown_while(run, "choosing the probes", [&] { return begin_session(run, prepared); });
  // What is gone on with is left as it is until something is entered.
  if (!resumed) {
    if (const auto why = file->write(as_readings_file(session.harness(), session.record()))) {
      file->remove();
      throw bad_input("U331", fmt::format("the record can't be kept here: {}", *why), name);
    }
  }
  std::string remark;
  if (!beginning.plan.empty() && beginning.plan != session.plan().id)
    remark = "The plan has changed since this record was begun: the netlist, the meter or lugwise has.\n";
  tell_warnings(run);  // before anything is probed
  if (line.json && !remark.empty()) run.err << "lugwise: " << remark;
  return Guide(run, std::move(*file), name, resumed, prepared.netlist->places, std::move(session))
      .walk(remark);
}

}  // namespace lugwise::app
