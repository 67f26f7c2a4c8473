#include "check/warning.h"

namespace lugwise {

const std::vector<WarningKind>& warning_kinds() {
  static const std::vector<WarningKind> kinds{
      {"W101", "a pickup or coil reaches the jack in no setting"},
      {"W102", "metal without a path to the jack's sleeve"},
      {"W103", "hot on ground with the volume up"},
      {"W104", "a lug or lead left over"},
      {"W105", "a coil's end with no lead and no joint"},
      {"W106", "a capacitor or resistor with both ends on one net"},
      {"W107", "two switch positions alike"},
      {"W108", "a volume that turns backwards"},
      {"W109", "a tone that turns backwards"},
      {"W110", "a case or frame that is not first in its entry"},
      {"W111", "a name that looks like a misspelling of another"},
      {"W112", "no jack"},
      {"W113", "tip and sleeve exchanged at the jack"},
      {"W114", "a pickup the wrong way round"},
      {"W115", "a lead on a switch lug that no position uses"},
      {"W116", "a stage that leaves nothing"},
      {"W117", "a value out of the usual"},
      {"W118", "a pot with both ends of its track on one net"},
      {"W119", "a battery that is never switched off"},
      {"W120", "a switch position that is silent"},
  };
  return kinds;
}

}  // namespace lugwise
