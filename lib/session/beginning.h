// How a guided session begins, or goes on from a readings file.
//
//   Beginning beginning = beginning_of(netlist, conditions, {}, job ? &*job : nullptr);
//   Session session(netlist.harness, netlist.id, beginning.options, std::move(beginning.record));
#pragma once

#include <optional>
#include <string>

#include "intake/netlist.h"
#include "plan/plan.h"
#include "record/conditions.h"
#include "record/job.h"
#include "record/record.h"

namespace lugwise {

// What somebody says of the session now.
struct Wanted {
  std::optional<std::size_t> stage = {};  // of a new one; none: all parts are there
  std::optional<Depth> depth = {};        // none: as its record says, else as deep as anything needs
};

struct Beginning {
  PlanOptions options;
  Record record;     // without its harness_file
  std::string plan;  // the id that the readings say; empty: they say none, or there are none
};

// `job` is what was done so far; null: nothing. The stage and the aim of a session that goes on are those of its readings.
Beginning beginning_of(const Netlist& netlist, const Conditions& conditions, const Wanted& wanted,
                       const Job* job = nullptr);

}  // namespace lugwise
