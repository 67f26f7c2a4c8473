#include "record/job.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>

#include "intake/place.h"
#include "record/inside/named_plan.h"
#include "record/inside/observer.h"

namespace lugwise {

using namespace record::inside;
namespace {

// Readings of one value say nothing of a harness with another.
void compare_values(const Netlist& netlist, const Sheet& sheet, Diagnostics& diagnostics) {
  for (const ChosenValue& taken : sheet.values) {
    const auto read = std::find_if(netlist.values.begin(), netlist.values.end(),
                                   [&](const ChosenValue& value) { return value.name == taken.name; });
    if (read != netlist.values.end() && *read == taken) continue;
    const bool own = read == netlist.values.end();
    Diagnostic& error = diagnostics.error(
        "U306", taken.at,
        fmt::format(
            "taken with {}={}, and the netlist is read with {}", taken.name, taken.text,
            own ? fmt::format("its own {}", taken.name) : fmt::format("{}={}", read->name, read->text)));
    if (own) continue;
    if (read->file.empty()) {
      error.note("leave --value out: the readings say it");
    } else {
      error.notes.push_back({fmt::format("{} is said", read->text), read->at, read->file});
    }
  }
}

}  // namespace

std::vector<Observation> Job::weighed() const {
  std::vector<Observation> observations;
  std::vector<Observation> earlier;
  for (std::size_t i = 0; i < observed.size(); ++i) {
    const Entry& entry = sheet.entries[i];
    if (entry.kind == EntryKind::Repaired) earlier.clear();
    if (!observed[i]) continue;
    if (entry.kind == EntryKind::Reading && entry.aside.is(Aside::Kind::TakenAgain))
      earlier.push_back(*observed[i]);
    if (!entry.weighed()) continue;
    Observation seen = *observed[i];
    seen.place = i + 1;
    for (const Observation& each : earlier) {
      if (at_one_place(each, seen))
        seen.before.push_back({each.shows, each.value, each.resolution, each.text, each.range});
    }
    observations.push_back(std::move(seen));
  }
  return observations;
}

std::vector<Observation> Job::unproven() const {
  std::vector<Observation> left;
  for (std::size_t i = 0; i < observed.size(); ++i) {
    const Entry& entry = sheet.entries[i];
    if (!observed[i] || entry.kind != EntryKind::Reading) continue;
    if (entry.aside.is(Aside::Kind::Mended) || entry.aside.is(Aside::Kind::BeforeRepair))
      left.push_back(*observed[i]);
    if (entry.weighed())
      std::erase_if(left, [&](Observation each) {
        each.access = observed[i]->access;  // the lid may be off since
        return at_one_place(each, *observed[i]);
      });
  }
  return left;
}

namespace {

// The repairs before an entry.
std::vector<std::vector<PointId>> mended_before(const Sheet& sheet, std::size_t entry) {
  std::vector<std::vector<PointId>> mended;
  for (std::size_t i = 0; i < entry; ++i) {
    const Entry& each = sheet.entries[i];
    if (each.kind == EntryKind::Repaired && !each.aside) mended.push_back(each.repaired);
  }
  return mended;
}

}  // namespace

DiagnosisOptions Job::diagnosis_options() const {
  DiagnosisOptions options = conditions.diagnosis_options();
  options.meter = meter;
  options.stage = stage;
  // What is mended after the last reading says nothing of the readings.
  std::size_t last = 0;
  for (std::size_t i = 0; i < sheet.entries.size(); ++i) {
    if (sheet.entries[i].weighed()) last = i;
  }
  options.mended = mended_before(sheet, last);
  return options;
}

PlanOptions Job::plan_options() const {
  PlanOptions options = conditions.plan_options();
  options.stage = stage;
  if (sheet.plan) {
    options.depth = sheet.plan->depth;
    options.aim = sheet.plan->aim;
  }
  return options;
}

std::optional<Job> take_up(const Netlist& netlist, Sheet sheet, const Conditions& conditions,
                           Diagnostics& diagnostics) {
  const Harness& harness = netlist.harness;
  Job job;
  job.sheet = std::move(sheet);
  job.conditions = conditions;
  job.meter = conditions.meter;
  compare_values(netlist, job.sheet, diagnostics);
  if (diagnostics.failed()) return std::nullopt;
  job.sheet.values = netlist.values;
  if (job.sheet.plan) job.stage = find_stage(harness, job.sheet.plan->stage);
  job.plan = plan_named(netlist, job.sheet, conditions, job.stage, diagnostics);
  if (diagnostics.failed()) return std::nullopt;
  const Plan* const plan = job.plan ? &*job.plan : nullptr;
  take_leads(job.sheet, plan, job.meter);
  job.observed = observe(harness, job.meter, plan, job.sheet.entries, job.stage, diagnostics);
  if (diagnostics.failed()) return std::nullopt;
  return job;
}

Plan held_against(const Netlist& netlist, const Job& job) {
  if (job.plan) return *job.plan;
  return plan_for(netlist.harness, netlist.id, job.plan_options());
}

std::vector<FoundBefore> found_before_repairs(const Harness& harness, const Job& job) {
  std::vector<FoundBefore> found;
  std::size_t repairs = 0;
  for (std::size_t repair = 0; repair < job.sheet.entries.size(); ++repair) {
    if (job.sheet.entries[repair].kind != EntryKind::Repaired) continue;
    const Aside mended = mended_by(++repairs);
    std::vector<Observation> observations;
    for (std::size_t i = 0; i < repair; ++i) {
      const Entry& entry = job.sheet.entries[i];
      if (job.observed[i] && entry.kind == EntryKind::Reading && (!entry.aside || entry.aside == mended))
        observations.push_back(*job.observed[i]);
    }
    std::vector<Heard> heard;
    for (Heard one : job.sheet.heard) {
      if (one.aside != mended) continue;
      one.aside = {};
      heard.push_back(std::move(one));
    }
    if (observations.empty() && heard.empty()) continue;
    DiagnosisOptions options = job.diagnosis_options();
    options.mended = mended_before(job.sheet, repair);
    Diagnosis diagnosis = diagnose(harness, observations, options, heard);
    found.push_back({repair, std::move(observations), std::move(diagnosis)});
  }
  return found;
}

Record record_of(const Harness& harness, const Job& job) {
  Record record;
  record.harness_file = job.sheet.harness_file;
  record.values = job.sheet.values;
  record.unit = job.sheet.unit;
  if (!job.conditions.meter.assumed) record.meter = job.conditions.meter;
  record.temperature = job.conditions.temperature;
  record.heard = job.sheet.heard;
  if (job.stage) record.plan.stage = harness.stages()[*job.stage].name;
  for (std::size_t i = 0; i < job.observed.size(); ++i) {
    const Entry& entry = job.sheet.entries[i];
    Deed deed;
    deed.kind = entry.kind;
    deed.note = entry.note;
    deed.aside = entry.aside;
    deed.repaired = entry.repaired;
    if (job.observed[i]) {
      deed.seen = *job.observed[i];
    } else {
      // A reading that is no observation was of the tips together, by the number of its step.
      if (entry.kind == EntryKind::Reading) deed.kind = EntryKind::Tips;
      deed.seen.value = entry.value;
      deed.seen.resolution = entry.resolution;
      deed.seen.text = entry.text;
    }
    record.deeds.push_back(std::move(deed));
  }
  return record;
}

}  // namespace lugwise
