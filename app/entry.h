// The commands, an entry each; those of several kinds are in kinds.cpp.
#pragma once

#include "syntax.h"

namespace lugwise::app::syntax {

Command check();
Command expect();
Command faults();
Command plan();
Command diagnose();
Command guide();
Command study();
Command simulate();
Command match_pickups();
Command draw();
Command completion();
Command manual();

Command batch();
Command convert();
Command exercise();

}  // namespace lugwise::app::syntax
