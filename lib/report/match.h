// What `match` says: measured pickups at 20 degrees C, coil beside coil, and the sets that go together.
#pragma once

#include <string>

#include "match/match.h"
#include "page/text.h"
#include "report/heading.h"

namespace lugwise {

std::string as_text(const Heading& heading, const Lot& lot, const Matching& matching,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Lot& lot, const Matching& matching);
std::string as_html(const Heading& heading, const Lot& lot, const Matching& matching);
std::string as_json(const Heading& heading, const Lot& lot, const Matching& matching);

}  // namespace lugwise
