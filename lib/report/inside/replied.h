// What a guided session makes of a typed line, on the screen: a reading judged, why it is asked, the list, or what was done.
#pragma once

#include "report/inside/screen.h"

namespace lugwise::report {
inline namespace inside {

void add_reply(Screen& screen, const Session& session, const Reply& reply);

}  // namespace inside
}  // namespace lugwise::report
