// A readings file taken up: of which plan, under which conditions, and what was done and seen.
//
//   Diagnostics problems("job.yaml");
//   const auto sheet = read_sheet(text, *netlist, problems);
//   const auto job = take_up(*netlist, *sheet, conditions_for(*netlist, &*sheet), problems);
//   const Diagnosis diagnosis = diagnose(netlist->harness, job->weighed(), job->diagnosis_options(), sheet->heard);
//   Session session(netlist->harness, netlist->id, job->plan_options(), record_of(netlist->harness, *job));
#pragma once

#include <optional>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "intake/netlist.h"
#include "plan/plan.h"
#include "record/conditions.h"
#include "record/record.h"
#include "sheet/observation.h"
#include "sheet/sheet.h"
#include "source/diagnostic.h"

namespace lugwise {

struct Job {
  Sheet sheet;
  Conditions conditions;
  std::optional<std::size_t> stage;
  std::optional<Plan> plan;  // whose steps the sheet names; none where it names no step
  Meter meter;               // that of the conditions, with its leads as the tips together showed them
  // One for each entry that is a reading, or one that could not be taken; nothing for the others.
  std::vector<std::optional<Observation>> observed;

  // What is weighed, each with its place in the sheet, and with what it took the place of since the last repair.
  std::vector<Observation> weighed() const;

  // What was wrong before a repair and was not taken since.
  std::vector<Observation> unproven() const;

  DiagnosisOptions diagnosis_options() const;
  PlanOptions plan_options() const;  // at the sheet's stage, as deep and with the aim it says
};

// Nothing where the netlist is read with other values than the sheet says, a step, its plan or a point is not there, or a
// reading is none of its step's; all reasons are then in the diagnostics, with their places in the sheet. The job's sheet has
// the values that the netlist is read with.
std::optional<Job> take_up(const Netlist& netlist, Sheet sheet, const Conditions& conditions,
                           Diagnostics& diagnostics);

// The plan that the readings are held against: the one whose steps the sheet names, else that which it says it was taken
// by, else the usual one. Throws NetworkTooDense; whether the harness is too large, too_large_to_search() says first.
Plan held_against(const Netlist& netlist, const Job& job);

// What was found before a repair, from all that was read until then, what was put aside for it too.
struct FoundBefore {
  std::size_t repair = 0;  // index of its entry
  std::vector<Observation> observations;
  Diagnosis diagnosis;  // of those
};
// Throws NetworkTooDense.
std::vector<FoundBefore> found_before_repairs(const Harness& harness, const Job& job);

// What was done, as a session goes on with it; the meter and temperature are those that were named, by whom ever.
Record record_of(const Harness& harness, const Job& job);

}  // namespace lugwise
