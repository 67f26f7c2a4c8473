#include "opening.h"

#include <fmt/format.h>

#include <optional>
#include <utility>

#include "load.h"
#include "typed.h"

namespace lugwise::app {

PreparedSession prepare_session(Run& run, CommandLine& line, From from) {
  PreparedSession prepared;
  prepared.netlist = std::make_unique<Netlist>(load_searchable(run));
  const Netlist& netlist = *prepared.netlist;
  const std::string meter_file = std::exchange(line.meter, from == From::Record ? "" : line.meter);
  std::optional<Sheet> sheet;
  if (from == From::Record) {
    prepared.meter_file = meter_file;
    sheet = load_sheet(run, netlist);
  }
  const Conditions conditions = load_conditions(run, netlist, sheet ? &*sheet : nullptr);
  Wanted wanted;
  wanted.stage = find_stage(netlist.harness, line.stage, line.harness, {});
  if (line.has("--depth")) wanted.depth = depth_of(line);
  std::optional<Job> job;
  if (sheet) job = take_up_sheet(run, netlist, std::move(*sheet), conditions);
  prepared.beginning = beginning_of(netlist, conditions, wanted, job ? &*job : nullptr);
  return prepared;
}

Session begin_session(Run& run, PreparedSession& prepared) {
  Session session(prepared.netlist->harness, prepared.netlist->id, prepared.beginning.options,
                  std::move(prepared.beginning.record));
  if (!prepared.meter_file.empty()) {
    session.use_meter(load_meter(run, prepared.meter_file));
    run.heading.meter = session.options().meter;
  }
  return session;
}

Reply change_meter(Run& run, Session& session, const std::string& file) {
  try {
    run.texts.erase(file);  // it may have been mended since
    Reply reply = session.use_meter(load_meter(run, file));
    run.heading.meter = session.options().meter;
    tell_warnings(run);
    return reply;
  } catch (const BadInput& input) {
    const Diagnostic& first = input.errors.front();
    return refused_reply(
        fmt::format("{}{}: {}", file, first.at.known() ? fmt::format(":{}", first.at.line) : "",
                    first.message),
        first.notes.empty() ? "" : first.notes.front().message);
  }
}

Reply refused_reply(std::string problem, std::string hint) {
  Reply reply;
  reply.kind = Reply::Kind::Refused;
  reply.problem = std::move(problem);
  reply.hint = std::move(hint);
  return reply;
}

}  // namespace lugwise::app
