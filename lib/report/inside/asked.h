// What a guided session asks for now, on the screen: a step, what to do with a verdict, or that it is done.
#pragma once

#include "report/inside/screen.h"

namespace lugwise::report {
inline namespace inside {

void add_ask(Screen& screen, const Session& session);

}  // namespace inside
}  // namespace lugwise::report
