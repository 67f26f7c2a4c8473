#include "load.h"

#include <fmt/format.h>

#include <filesystem>
#include <stdexcept>
#include <utility>

#include "check/check.h"
#include "file.h"
#include "handling/capacity.h"
#include "intake/instrument.h"
#include "intake/pickups.h"
#include "intake/readings.h"
#include "intake/workshop.h"
#include "text/character.h"
#include "text/safe.h"
#include "typed.h"

namespace lugwise::app {

void take(Run& run, const Diagnostics& found) {
  std::vector<Diagnostic> errors;
  std::vector<Diagnostic>& warnings = run.heading.warnings;
  for (const Diagnostic& problem : found.sorted()) {
    if (problem.severity == Severity::Error) {
      errors.push_back(problem);
    } else {
      warnings.insert(warnings.end() - static_cast<std::ptrdiff_t>(run.noticed), problem);
    }
  }
  if (!errors.empty()) throw BadInput{std::move(errors)};
}

namespace {

// Read once, as it may be a pipe.
const std::string& load_text(Run& run, const std::string& file) {
  const auto known = run.texts.find(file);
  return known != run.texts.end() ? known->second : run.texts[file] = read_file(file);
}

// The meter that the command line names, if any.
std::optional<Meter> named_meter(Run& run) {
  if (run.line.meter.empty()) return std::nullopt;
  return load_meter(run, run.line.meter);
}

Workshop load_workshop(Run& run) {
  if (run.line.workshop.empty()) return {};
  Diagnostics problems(run.line.workshop);
  std::optional<Workshop> workshop = read_workshop(load_text(run, run.line.workshop), problems);
  take(run, problems);
  return std::move(*workshop);
}

// The readings may have moved since, so a file of the same name counts as the same.
void compare_harness_files(Run& run, const Sheet& sheet) {
  if (sheet.harness_file.empty()) return;
  namespace fs = std::filesystem;
  std::error_code error;
  const fs::path named = fs::path(run.line.readings).parent_path() / sheet.harness_file;
  if (fs::equivalent(named, run.line.harness, error)) return;
  if (named.filename() == fs::path(run.line.harness).filename()) return;
  run.heading.warnings.insert(run.heading.warnings.end() - static_cast<std::ptrdiff_t>(run.noticed),
                              {Severity::Warning,
                               "U101",
                               fmt::format("the readings are of '{}', and are compared with '{}'",
                                           sheet.harness_file, run.line.harness),
                               run.line.readings,
                               {},
                               {}});
}

// Files that a netlist starts from lie beside it.
OpenedNetlist open_beside(Run& run, const std::string& named, const std::string& by) {
  namespace fs = std::filesystem;
  const fs::path path = named == by ? fs::path(by) : fs::path(by).parent_path() / named;
  OpenedNetlist opened{path.lexically_normal().string(), std::nullopt, {}};
  std::error_code error;
  if (!fs::is_regular_file(path, error)) {
    opened.problem = fs::exists(path, error) ? "it is no plain file" : "there is no such file";
    return opened;
  }
  try {
    opened.text = load_text(run, opened.name);
  } catch (const BadInput& bad) {
    opened.problem = bad.errors.empty() ? "it can't be read" : bad.errors.front().message;
  }
  return opened;
}

// "track=250k"; a text that no file could hold is refused, as what is made with it could not be read again.
ChosenValue typed_value(const std::string& typed) {
  constexpr std::size_t kLongest = 1000;  // bytes
  const auto refuse = [&](std::string_view why) {
    return bad_input(
        "U310", fmt::format("'{}' is no value: {}", text::in_one_line(text::first_bytes(typed, 100)), why),
        "--value");
  };
  const std::size_t equals = typed.find('=');
  if (equals == std::string::npos || equals == 0) throw refuse("write NAME=VALUE, as 'track=250k'");
  if (typed.size() > kLongest) throw refuse("it is too long");
  if (!text::is_utf8(typed)) throw refuse("it is not UTF-8");
  for (std::string_view rest = typed; !rest.empty(); rest.remove_prefix(text::character_length(rest))) {
    if (text::is_unseen(text::character_at(rest)))
      throw refuse("there is a character in it that can't be seen");
  }
  return {typed.substr(0, equals), typed.substr(equals + 1), {}, {}};
}

// What the readings file of the command line has chosen; one that can't be read is told of where it is read.
std::vector<ChosenValue> values_of_readings(Run& run) {
  if (run.line.readings.empty()) return {};
  try {
    return values_chosen_in(load_text(run, run.line.readings), run.line.readings);
  } catch (const BadInput&) {
    return {};
  }
}

// The command line goes first: where a file says something else, take_up() refuses its readings.
NetlistSources netlist_sources(Run& run) {
  NetlistSources sources;
  sources.open = [&run](const std::string& named, const std::string& by) {
    return open_beside(run, named, by);
  };
  sources.values = values_of_readings(run);
  sources.values.insert(sources.values.end(), run.line.chosen.begin(), run.line.chosen.end());
  for (const std::string& each : run.line.values) sources.values.push_back(typed_value(each));
  return sources;
}

}  // namespace

Netlist load_netlist(Run& run) {
  const std::string& file = run.line.harness;
  run.heading.harness_file = file;
  const std::string& text = load_text(run, file);
  Diagnostics problems(file);
  std::optional<Netlist> netlist = read_netlist(text, problems, netlist_sources(run));
  take(run, problems);
  run.heading.harness_id = netlist->id;
  run.heading.harness_name = netlist->harness.name;
  run.heading.values = netlist->values;
  const std::vector<Diagnostic> noticed = warnings_of(netlist->harness, file);
  run.heading.warnings.insert(run.heading.warnings.end(), noticed.begin(), noticed.end());
  run.noticed = noticed.size();
  return std::move(*netlist);
}

LoneNetlist load_alone(Run& run) {
  const std::string& file = run.line.harness;
  Netlist whole = load_searchable(run);  // what is wrong with it is told of the files as they are
  const NetlistSources sources = netlist_sources(run);
  const std::string& own = load_text(run, file);
  std::optional<std::string> alone = in_one_text(own, file, sources);
  if (!alone) throw std::logic_error("a netlist that can be read can be written as one");
  if (*alone == own) return {own, std::move(whole)};
  Diagnostics problems(file);
  std::optional<Netlist> netlist = read_netlist(*alone, problems, {nullptr, sources.values});
  if (!netlist) throw std::logic_error("a netlist written as one can be read");
  run.heading.harness_id = netlist->id;
  return {std::move(*alone), std::move(*netlist)};
}

Netlist load_later(Run& run) {
  NetlistSources sources;
  sources.open = [&run](const std::string& named, const std::string& by) {
    return open_beside(run, named, by);
  };
  Diagnostics problems(run.line.later);
  std::optional<Netlist> netlist = read_netlist(load_text(run, run.line.later), problems, sources);
  take(run, problems);
  return std::move(*netlist);
}

Netlist load_searchable(Run& run) {
  Netlist netlist = load_netlist(run);
  refuse_too_large(run, netlist.harness);
  return netlist;
}

void refuse_too_large(const Run& run, const Harness& harness) {
  const std::string why = too_large_to_search(harness);
  if (!why.empty()) throw bad_input("U322", "too large a harness: " + why, run.line.harness);
}

Meter load_meter(Run& run, const std::string& file) {
  Diagnostics problems(file);
  std::optional<Meter> meter = read_meter(load_text(run, file), problems);
  take(run, problems);
  return std::move(*meter);
}

Sheet load_sheet(Run& run, const Netlist& netlist) {
  std::vector<Heard> heard = heard_of(run, netlist.harness);
  const std::string& file = run.line.readings;
  if (file.empty()) {
    Sheet sheet;
    sheet.heard = std::move(heard);
    return sheet;
  }
  const std::optional<Meter> meter = named_meter(run);
  Diagnostics problems(file);
  std::optional<Sheet> sheet = read_sheet(load_text(run, file), netlist, problems, meter ? &*meter : nullptr);
  take(run, problems);
  sheet->heard.insert(sheet->heard.end(), heard.begin(), heard.end());
  return std::move(*sheet);
}

Lot load_pickups(Run& run) {
  const std::string& file = run.line.pickups;
  const std::optional<Meter> meter = named_meter(run);
  Diagnostics problems(file);
  std::optional<Lot> lot =
      read_pickups(load_text(run, file), problems, meter ? &*meter : nullptr, run.line.temperature);
  take(run, problems);
  return std::move(*lot);
}

Conditions load_conditions(Run& run, const Netlist& netlist, const Sheet* readings) {
  const Workshop workshop = load_workshop(run);
  Conditions conditions =
      conditions_for(netlist, readings, {named_meter(run), run.line.temperature, workshop});
  run.heading.meter = conditions.meter;
  run.heading.temperature = conditions.temperature;
  return conditions;
}

Job take_up_sheet(Run& run, const Netlist& netlist, Sheet sheet, const Conditions& conditions) {
  compare_harness_files(run, sheet);
  Diagnostics problems(run.line.readings);
  std::optional<Job> job = take_up(netlist, std::move(sheet), conditions, problems);
  take(run, problems);
  return std::move(*job);
}

Job load_job(Run& run, const Netlist& netlist) {
  Sheet sheet = load_sheet(run, netlist);
  const Conditions conditions = load_conditions(run, netlist, &sheet);
  Job job = take_up_sheet(run, netlist, std::move(sheet), conditions);
  run.heading.meter = job.meter;
  return job;
}

}  // namespace lugwise::app
