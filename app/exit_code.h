// What lugwise leaves to its caller. No two outcomes share a number, so that scripts can tell them apart.
#pragma once

namespace lugwise::app {

enum class ExitCode {
  Well = 0,        // all well, warnings too
  Found = 1,       // a fault was found, or the answer is unsure
  WrongUsage = 2,  // the command line makes no sense
  BadInput = 3,    // a file, or a name from one, makes no sense
  OurFailure = 4,  // not the caller's fault
};

}  // namespace lugwise::app
