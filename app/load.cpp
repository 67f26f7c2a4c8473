#include "load.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <utility>

#include "check/check.h"
#include "file.h"
#include "intake/instrument.h"
#include "intake/place.h"
#include "intake/readings.h"
#include "intake/workshop.h"
#include "source/nearest.h"

namespace lugwise::app {
namespace {

Diagnostic refused(const Run& run, const Refusal& refusal) {
  Diagnostic problem{Severity::Error, "U310", refusal.problem, run.line.harness, {}, {}};
  if (!refusal.hint.empty()) problem.note(refusal.hint, refusal.declared);
  return problem;
}

// Errors end the run; warnings go to the heading, before those about the netlist.
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

// Read once, as it may be a pipe.
const std::string& load_text(Run& run, const std::string& file) {
  const auto known = run.texts.find(file);
  return known != run.texts.end() ? known->second : run.texts[file] = read_file(file);
}

// The meter that the command line names, if any.
std::optional<Meter> named_meter(Run& run) {
  if (run.line.meter.empty()) return std::nullopt;
  Diagnostics problems(run.line.meter);
  std::optional<Meter> meter = read_meter(load_text(run, run.line.meter), problems);
  take(run, problems);
  return meter;
}

// Whatever is a lead in some joint: it can come off.
bool can_be_lifted(const Harness& harness, PointId point) {
  return std::any_of(harness.blobs().begin(), harness.blobs().end(), [&](const Blob& blob) {
    return std::find(blob.leads.begin(), blob.leads.end(), point) != blob.leads.end();
  });
}

Workshop load_workshop(Run& run) {
  if (run.line.workshop.empty()) return {};
  Diagnostics problems(run.line.workshop);
  std::optional<Workshop> workshop = read_workshop(load_text(run, run.line.workshop), problems);
  take(run, problems);
  return std::move(*workshop);
}

}  // namespace

Netlist load_netlist(Run& run) {
  const std::string& file = run.line.harness;
  run.heading.harness_file = file;
  const std::string& text = load_text(run, file);
  Diagnostics problems(file);
  std::optional<Netlist> netlist = read_netlist(text, problems);
  take(run, problems);
  run.heading.harness_id = netlist->id;
  run.heading.harness_name = netlist->harness.name;
  const std::vector<Diagnostic> noticed = check(netlist->harness, file);
  run.heading.warnings.insert(run.heading.warnings.end(), noticed.begin(), noticed.end());
  run.noticed = noticed.size();
  return std::move(*netlist);
}

Sheet load_sheet(Run& run, const Netlist& netlist) {
  const std::string& file = run.line.readings;
  const std::optional<Meter> meter = named_meter(run);
  Diagnostics problems(file);
  std::optional<Sheet> sheet = read_sheet(load_text(run, file), netlist, problems, meter ? &*meter : nullptr);
  take(run, problems);
  return std::move(*sheet);
}

Conditions load_conditions(Run& run, const Netlist& netlist, const Sheet* readings) {
  Conditions conditions{assumed_meter(), std::nullopt, load_workshop(run)};
  if (const std::optional<Meter> meter = named_meter(run)) {
    conditions.meter = *meter;
  } else if (readings && readings->meter) {
    conditions.meter = *readings->meter;
  } else if (netlist.meter) {
    conditions.meter = *netlist.meter;
  }
  conditions.temperature = run.line.temperature;
  if (!conditions.temperature && readings) conditions.temperature = readings->temperature;
  if (!conditions.temperature) conditions.temperature = netlist.temperature;
  run.heading.meter = conditions.meter;
  run.heading.temperature = conditions.temperature;
  return conditions;
}

std::optional<std::size_t> find_stage(const Harness& harness, const std::string& name,
                                      const std::string& file, Span at) {
  if (name.empty()) return std::nullopt;
  std::vector<std::string> names;
  for (std::size_t i = 0; i < harness.stages().size(); ++i) {
    if (harness.stages()[i].name == name) return i;
    names.push_back(harness.stages()[i].name);
  }
  Diagnostic problem{Severity::Error, "U311", fmt::format("no such stage: '{}'", name), file, at, {}};
  if (const auto nearest = nearest_name(name, names)) {
    problem.note(fmt::format("nearest name is '{}', declared", *nearest), harness.find_stage(*nearest)->at);
  } else {
    problem.note(names.empty() ? "the netlist has no stages"
                               : fmt::format("its stages are {}", fmt::join(names, ", ")));
  }
  throw BadInput{{problem}};
}

Probes read_probes(const Run& run, const Harness& harness) {
  std::vector<Diagnostic> errors;
  const auto point = [&](const std::string& name) {
    const PointFound found = find_point(harness, name);
    if (!found.point) errors.push_back(refused(run, found.refusal));
    return found.point;
  };
  // A picture may do without.
  const bool named = !run.line.a.empty() || !run.line.b.empty();
  const std::optional<PointId> a = named ? point(run.line.a) : PointId{};
  const std::optional<PointId> b = named ? point(run.line.b) : PointId{};

  Probes probes;
  probes.setting = Setting(harness);
  for (const std::string& text : run.line.set) {
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos)
      throw WrongUsage{fmt::format("--set: write CONTROL=PLACE, not '{}'", text)};
    const auto refusal =
        apply_setting(harness, text.substr(0, equals), text.substr(equals + 1), probes.setting);
    if (refusal) errors.push_back(refused(run, refusal->refusal));
  }
  for (const std::string& name : run.line.lifted) {
    const std::optional<PointId> lifted = point(name);
    if (!lifted) continue;
    if (can_be_lifted(harness, *lifted)) {
      probes.lifted.push_back(*lifted);
      continue;
    }
    Diagnostic problem{Severity::Error,
                       "U312",
                       fmt::format("'{}' is no lead or wire end in a joint, so it can't be lifted", name),
                       run.line.harness,
                       {},
                       {}};
    std::vector<std::string> there;
    for (const Blob& blob : harness.blobs()) {
      if (blob.surface != *lifted) continue;
      for (PointId lead : blob.leads) {
        there.push_back(harness[lead].name);
      }
    }
    if (!there.empty()) problem.note(fmt::format("soldered there are {}", fmt::join(there, ", ")));
    errors.push_back(std::move(problem));
  }
  if (!errors.empty()) throw BadInput{std::move(errors)};
  probes.a = *a;
  probes.b = *b;
  return probes;
}

Access access_for(const Harness& harness, const std::vector<PointId>& points,
                  const std::vector<PointId>& lifted, std::optional<std::size_t> stage) {
  Access deepest = accesses(harness, stage).front();
  const auto need = [&](PointId point) {
    const Access access = access_to(harness, point, stage).value_or(Access{1, "cavity"});
    if (access.depth > deepest.depth) deepest = access;
  };
  for (PointId point : points) need(point);
  for (PointId point : lifted) need(point);
  return deepest;
}

int plugs_among(const Harness& harness, PointId a, PointId b) {
  const auto plug = [&](PointId point) { return harness[point].role == PointRole::Plug ? 1 : 0; };
  return plug(a) + plug(b);
}

std::string why_absent(const Harness& harness, const Circuit& circuit, std::optional<std::size_t> stage,
                       PointId point) {
  if (circuit.has(point)) return {};
  const Point& at = harness[point];
  if (at.role == PointRole::Plug) {
    const bool there = !stage || !at.part ||
                       std::count(harness.stages()[*stage].without.begin(),
                                  harness.stages()[*stage].without.end(), *at.part) == 0;
    if (there) return fmt::format("'{}' can't be probed with the plug out", at.name);
  }
  return fmt::format("'{}' isn't there at stage '{}'", at.name, stage ? harness.stages()[*stage].name : "");
}

}  // namespace lugwise::app
