// What `match` says: measured pickups at 20 degrees C, coil beside coil, and the sets that go together.
#pragma once

#include <string>

#include "match/match.h"
#include "page/text.h"
#include "report/heading.h"

namespace lugwise {

// Of a lot of pickups that was read (intake/pickups.h) and what match() found in it (match/match.h): what each coil is at 20 degrees
// C with how far that may be off, which coils of one pickup differ, which sets are proposed and whether each is sure or could be
// otherwise within what the meter can tell. JSON in ohms, and shares of 1. `columns` is the width of the text, 24 at least. `matching`
// must be of this `lot`. The meter is the heading's; without one its page says "not known".
std::string as_text(const Heading& heading, const Lot& lot, const Matching& matching,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Lot& lot, const Matching& matching);
std::string as_html(const Heading& heading, const Lot& lot, const Matching& matching);
std::string as_json(const Heading& heading, const Lot& lot, const Matching& matching);

}  // namespace lugwise
