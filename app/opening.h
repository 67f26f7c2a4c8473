// How a guided session begins, or goes on from a record: the same at a terminal and in a page.
#pragma once

#include <memory>
#include <string>

#include "command.h"
#include "intake/netlist.h"
#include "plan/plan.h"
#include "record/record.h"
#include "session/session.h"

namespace lugwise::app {

struct Opening {
  std::unique_ptr<Netlist> netlist;  // which the session refers to
  PlanOptions options;
  Record record;
  std::string plan;        // that the record was begun with; empty: it is new
  std::string meter_file;  // that a record goes on with; empty: its own
};

// Reads what `line`, which is the run's, names; `begun`: its readings are a record with something in it. Throws BadInput.
Opening prepare_session(Run& run, CommandLine& line, bool begun);

// Empties the opening's record into it. The opening's netlist must outlive the session.
Session begin_session(Run& run, Opening& opening);

// Another meter from here on, as its file says; refused where that can't be read.
Reply change_meter(Run& run, Session& session, const std::string& file);

// A harness's file as seen from the folder of a record: what the record calls it.
std::string seen_from(const std::string& record, const std::string& harness);

Reply refused_reply(std::string problem, std::string hint);

}  // namespace lugwise::app
