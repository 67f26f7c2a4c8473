#include "load.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <utility>

#include "check/check.h"
#include "fault/naming.h"
#include "file.h"
#include "handling/capacity.h"
#include "intake/instrument.h"
#include "intake/pickups.h"
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
  return load_meter(run, run.line.meter);
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
  const std::string& file = run.line.readings;
  const std::optional<Meter> meter = named_meter(run);
  Diagnostics problems(file);
  std::optional<Sheet> sheet = read_sheet(load_text(run, file), netlist, problems, meter ? &*meter : nullptr);
  take(run, problems);
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

namespace {

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

Setting read_setting(const Run& run, const Harness& harness) {
  std::vector<Diagnostic> errors;
  Setting setting(harness);
  set_controls(run, harness, setting, errors);
  if (!errors.empty()) throw BadInput{std::move(errors)};
  return setting;
}

std::vector<PointId> read_place(const Run& run, const Harness& harness) {
  const std::string& name = run.line.at;
  if (name.empty()) return {};
  std::vector<PointId> place;
  const PointFound point = find_point(harness, name);
  if (point.point) {
    place.push_back(*point.point);
  } else {
    // Without a dot it can only be a part.
    const PartFound part = find_part(harness, name);
    const bool dotted = name.find('.') != std::string::npos;
    if (!part.part) throw BadInput{{refused(run, dotted ? point.refusal : part.refusal)}};
    place = harness[*part.part].points;
  }
  for (std::uint32_t i = 0; i < harness.points().size(); ++i) {
    const auto& on = harness.points()[i].on;
    if (on && std::find(place.begin(), place.end(), *on) != place.end()) place.push_back(PointId{i});
  }
  return place;
}

std::vector<PointId> find_repair(const Harness& harness, const std::string& text, const std::string& file,
                                 Span at) {
  std::vector<std::string> words;
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find(' ', from), text.size());
    if (to > from) words.push_back(text.substr(from, to - from));
    from = to + 1;
  }
  static constexpr std::string_view kBetween[] = {"the",     "a",      "joint", "blob", "lead", "wire",
                                                  "contact", "solder", "lug",   "of",   "at",   "on",
                                                  "in",      "from",   "to",    "and",  "that", "between"};
  std::vector<PointId> points;
  for (std::size_t i = 0; i < words.size();) {
    // The longest name that begins here: a wire's name may be of several words.
    std::size_t taken = 0;
    for (std::size_t n = std::min<std::size_t>(words.size() - i, 12); n > 0 && taken == 0; --n) {
      const std::string name =
          fmt::format("{}", fmt::join(words.begin() + static_cast<std::ptrdiff_t>(i),
                                      words.begin() + static_cast<std::ptrdiff_t>(i + n), " "));
      if (const auto point = harness.find_point(name)) {
        points.push_back(*point);
        taken = n;
      } else if (const auto part = harness.find_part(name)) {
        points.insert(points.end(), harness[*part].points.begin(), harness[*part].points.end());
        taken = n;
      }
    }
    if (taken == 0 && std::find(std::begin(kBetween), std::end(kBetween), words[i]) != std::end(kBetween))
      taken = 1;
    if (taken == 0) {
      std::vector<std::string> names = harness.point_names();
      for (const Part& part : harness.parts()) names.push_back(part.name);
      Diagnostic problem{
          Severity::Error, "U314", fmt::format("no such place: '{}'", words[i].substr(0, 100)), file, at, {}};
      if (const auto nearest = nearest_name(words[i], names)) {
        problem.note(fmt::format("nearest name is '{}'", *nearest));
      } else {
        problem.note("name a point or a part, as 'joint at volume.case'");
      }
      throw BadInput{{problem}};
    }
    i += taken;
  }
  if (points.empty() && !text.empty()) {
    Diagnostic problem{
        Severity::Error, "U314", fmt::format("no place in '{}'", text.substr(0, 100)), file, at, {}};
    problem.note("name a point or a part, as 'joint at volume.case'");
    throw BadInput{{problem}};
  }
  return points;
}

std::size_t find_fault_of(const Harness& harness, const std::vector<Fault>& faults, const std::string& typed,
                          const std::string& file, Span at) {
  const FaultFound found = find_fault(harness, faults, typed);
  if (found.fault) return *found.fault;
  Diagnostic problem{Severity::Error, "U315", found.refusal.problem, file, at, {}};
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
