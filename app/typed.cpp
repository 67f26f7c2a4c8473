#include "typed.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "fault/naming.h"
#include "intake/complaint.h"
#include "intake/place.h"
#include "load.h"
#include "record/presence.h"
#include "record/repair.h"
#include "source/nearest.h"

namespace lugwise::app {
namespace {

Diagnostic refused(const Run& run, const Refusal& refusal, const char* code = "U310") {
  Diagnostic problem{Severity::Error, code, refusal.problem, run.line.harness, {}, {}};
  if (!refusal.hint.empty()) problem.note(refusal.hint, refusal.declared);
  return problem;
}

void set_controls(const Run& run, const Harness& harness, Setting& setting, std::vector<Diagnostic>& errors) {
  for (const std::string& text : run.line.set) {
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos)
      throw WrongUsage{fmt::format("--set: write CONTROL=PLACE, not '{}'", text)};
    const auto refusal = apply_setting(harness, text.substr(0, equals), text.substr(equals + 1), setting);
    if (refusal) errors.push_back(refused(run, refusal->refusal));
  }
}

}  // namespace

std::vector<Heard> heard_of(const Run& run, const Harness& harness) {
  std::vector<Heard> heard;
  std::vector<Diagnostic> errors;
  for (const std::string& sentence : run.line.heard) {
    ComplaintFound one = read_complaint(sentence, harness);
    if (one.heard) {
      heard.push_back(*one.heard);
    } else {
      errors.push_back(refused(run, one.refusal, "U315"));
    }
  }
  if (!errors.empty()) throw BadInput{std::move(errors)};
  return heard;
}

std::optional<std::size_t> find_stage(const Harness& harness, const std::string& name,
                                      const std::string& file, Span at) {
  if (name.empty()) return std::nullopt;
  if (const auto stage = lugwise::find_stage(harness, name)) return stage;
  std::vector<std::string> names;
  for (const Stage& stage : harness.stages()) names.push_back(stage.name);
  Diagnostic problem{Severity::Error, "U311", fmt::format("no such stage: '{}'", name), file, at, {}};
  if (const auto nearest = nearest_name(name, names)) {
    problem.note(fmt::format("nearest name is '{}', declared", *nearest), harness.find_stage(*nearest)->at);
  } else {
    problem.note(names.empty() ? "the netlist has no stages"
                               : fmt::format("its stages are {}", fmt::join(names, ", ")));
  }
  throw BadInput{{problem}};
}

Setting read_setting(const Run& run, const Harness& harness) {
  std::vector<Diagnostic> errors;
  Setting setting(harness);
  set_controls(run, harness, setting, errors);
  if (!errors.empty()) throw BadInput{std::move(errors)};
  return setting;
}

std::vector<PointId> read_place(const Run& run, const Harness& harness) {
  if (run.line.at.empty()) return {};
  PlaceFound found = find_place(harness, run.line.at);
  if (found.points.empty()) throw BadInput{{refused(run, found.refusal)}};
  return std::move(found.points);
}

Depth depth_of(const CommandLine& line) { return find_depth(line.depth).value_or(Depth::Full); }

Aim aim_of(const CommandLine& line) {
  if (line.thorough) return Aim::Thorough;
  return line.quick ? Aim::Quick : Aim::Usual;
}

std::vector<PointId> read_repair(Run& run, const Harness& harness) {
  Diagnostics problems(run.line.harness);
  const auto points = find_repair(harness, run.line.after, problems);
  take(run, problems);
  return *points;
}

std::size_t find_fault_of(const Harness& harness, const std::vector<Fault>& faults, const std::string& typed,
                          const std::string& file, Span at) {
  const FaultFound found = find_fault(harness, faults, typed);
  if (found.fault) return *found.fault;
  Diagnostic problem{Severity::Error, "U316", found.refusal.problem, file, at, {}};
  for (const std::string& near : found.refusal.nearest) problem.note(fmt::format("near it is '{}'", near));
  if (found.refusal.nearest.empty()) problem.note("write it as `lugwise faults` does, or by its id there");
  throw BadInput{{problem}};
}

Probes read_probes(const Run& run, const Harness& harness) {
  std::vector<Diagnostic> errors;
  const auto point = [&](const std::string& name) {
    const PointFound found = find_point(harness, name);
    if (!found.point) errors.push_back(refused(run, found.refusal));
    return found.point;
  };
  // A picture may do without, or has them of an option.
  const std::vector<std::string> typed =
      run.line.a.empty() && run.line.b.empty() ? run.line.probes : std::vector{run.line.a, run.line.b};
  const std::optional<PointId> a = typed.empty() ? PointId{} : point(typed[0]);
  const std::optional<PointId> b = typed.empty() ? PointId{} : point(typed[1]);

  Probes probes;
  probes.setting = Setting(harness);
  set_controls(run, harness, probes.setting, errors);
  for (const std::string& name : run.line.lifted) {
    const std::optional<PointId> lifted = point(name);
    if (!lifted) continue;
    if (const auto refusal = why_not_lifted(harness, *lifted, name)) {
      errors.push_back(refused(run, *refusal, "U312"));
    } else if (std::find(probes.lifted.begin(), probes.lifted.end(), *lifted) == probes.lifted.end()) {
      probes.lifted.push_back(*lifted);
    }
  }
  if (!errors.empty()) throw BadInput{std::move(errors)};
  probes.a = *a;
  probes.b = *b;
  return probes;
}

Observation read_reading(const Run& run, const Harness& harness, std::optional<std::size_t> stage) {
  const Probes probes = read_probes(run, harness);
  if (probes.a == probes.b) {
    throw WrongUsage{
        fmt::format("both probes are at '{}': a reading is between two points", harness[probes.a].name)};
  }
  Observation seen = observation_between(harness, probes.a, probes.b, probes.setting, probes.lifted, stage);
  const std::string why = why_absent(harness, seen, stage);
  if (!why.empty()) throw bad_input("U313", why, run.line.harness);
  return seen;
}

}  // namespace lugwise::app
