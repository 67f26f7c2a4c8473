#include "opening.h"

#include <fmt/format.h>

#include <filesystem>
#include <optional>
#include <system_error>
#include <utility>

#include "load.h"

namespace lugwise::app {

Opening prepare_session(Run& run, CommandLine& line, bool begun) {
  Opening opening;
  opening.netlist = std::make_unique<Netlist>(load_searchable(run));
  const Netlist& netlist = *opening.netlist;
  const std::string meter_file = std::exchange(line.meter, begun ? "" : line.meter);
  if (begun) opening.meter_file = meter_file;
  const std::optional<Sheet> sheet = begun ? std::optional(load_sheet(run, netlist)) : std::nullopt;
  const Conditions conditions = load_conditions(run, netlist, sheet ? &*sheet : nullptr);

  opening.options = conditions.plan_options();
  opening.options.stage = find_stage(netlist.harness, line.stage, line.harness, {});
  std::string depth = line.depth;
  if (!conditions.meter.assumed) opening.record.meter = conditions.meter;
  opening.record.temperature = conditions.temperature;
  opening.record.values = netlist.values;
  if (sheet) {
    const Job job = take_up_sheet(run, netlist, *sheet, conditions);
    opening.options.stage = job.stage;
    opening.options.aim = job.plan_options().aim;
    if (sheet->plan && !line.has("--depth")) depth = sheet->plan->depth;
    if (sheet->plan) opening.plan = sheet->plan->id;
    opening.record = record_of(netlist.harness, job);
  }
  opening.options.depth = depth == "outside" ? Depth::Outside : Depth::Full;
  return opening;
}

Session begin_session(Run& run, Opening& opening) {
  Session session(opening.netlist->harness, opening.netlist->id, opening.options, std::move(opening.record));
  if (!opening.meter_file.empty()) {
    session.use_meter(load_meter(run, opening.meter_file));
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

std::string seen_from(const std::string& record, const std::string& harness) {
  std::error_code error;
  const std::filesystem::path folder = std::filesystem::absolute(record, error).parent_path();
  const std::filesystem::path there = std::filesystem::absolute(harness, error);
  return there.lexically_normal().lexically_proximate(folder.lexically_normal()).string();
}

Reply refused_reply(std::string problem, std::string hint) {
  Reply reply;
  reply.kind = Reply::Kind::Refused;
  reply.problem = std::move(problem);
  reply.hint = std::move(hint);
  return reply;
}

}  // namespace lugwise::app
