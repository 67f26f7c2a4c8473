// Which picture of a harness goes with what is known of it; and what `draw` says of the one it made, as JSON.
#pragma once

#include <string>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "drawing/drawing.h"
#include "report/heading.h"
#include "session/session.h"
#include "sheet/sheet.h"

namespace lugwise {

// The suspects that a picture marks, likeliest first: no more than three, and none that is hardly likely. None where all is as
// it should be and nothing was heard.
std::vector<Fault> faults_to_mark(const Diagnosis& diagnosis, const std::vector<Heard>& heard);

// What a session's picture shows: the probes as they are asked for; at a verdict the first suspects.
Look look_of(const Session& session);

// How large the picture is (units of its own), how often wires cross, and how many found no way. `file` is where it was written;
// where that is empty the picture itself is in the answer.
std::string as_json(const Heading& heading, const Layout& layout, const Extent& extent,
                    const std::string& file, const std::string& svg);

}  // namespace lugwise
