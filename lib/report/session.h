// What a guided session says: its opening, what became of a line, what is asked for now.
#pragma once

#include <string>

#include "page/text.h"
#include "report/heading.h"
#include "session/session.h"

namespace lugwise {

// How a session is shown in a terminal. Colour only repeats what a word says.
struct Appearance {
  bool colour = false;
  std::size_t columns = page::kColumns;
};

// Of a session none throws: a session always has its meter.

// The first page: the job, the cautions, how to type, and the file that keeps the record.
std::string opening_as_text(const Session& session, const std::string& file, const Appearance& appearance);

// What became of a line, and what is asked for now where that is another thing. Short enough, with the prompt, for a
// terminal of 24 lines.
std::string as_text(const Session& session, const Reply& reply, const Appearance& appearance);

// What stands before the place to type: "reads? ".
std::string prompt(const Session& session);

// Where a session stands when it is put down: the verdict so far, in one line.
std::string standing_as_text(const Session& session, const Appearance& appearance);

// The same as one object on one line; `reply` of kind Nothing for the first. `heading` says which harness.
std::string as_json(const Heading& heading, const Session& session, const Reply& reply,
                    const std::string& file);

}  // namespace lugwise
