// How a guided session begins, or goes on from a record: the same at a terminal and in a page.
#pragma once

#include <memory>
#include <string>

#include "command.h"
#include "intake/netlist.h"
#include "session/beginning.h"
#include "session/session.h"

namespace lugwise::app {

struct PreparedSession {
  std::unique_ptr<Netlist> netlist;  // which the session refers to
  Beginning beginning;
  std::string meter_file;  // that a record goes on with; empty: its own
};

// Whether the run's readings are a record with something in it, to go on from.
enum class From { Nothing, Record };

// Reads what `line`, which is the run's, names. Throws BadInput where that can't be read, or is too large to search.
PreparedSession prepare_session(Run& run, CommandLine& line, From from);

// Empties the beginning's record into it. What was prepared must outlive the session. Throws BadInput where the meter's file
// can't be read.
Session begin_session(Run& run, PreparedSession& prepared);

// Another meter from here on, as its file says; refused where that can't be read.
Reply change_meter(Run& run, Session& session, const std::string& file);

// The answer to a line that the program itself can't obey.
Reply refused_reply(std::string problem, std::string hint);

}  // namespace lugwise::app
