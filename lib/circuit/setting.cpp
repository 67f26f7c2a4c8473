#include "circuit/setting.h"

#include <fmt/format.h>

namespace lugwise {

Setting::Setting(const Harness& harness) : place_(harness.parts().size(), 0) {
  for (PartId control : harness.controls()) {
    const Part& part = harness[control];
    if (part.kind == PartKind::Pot) turn(control, part.pot->normal);
    if (part.kind == PartKind::Jack) plug_in(control);
  }
}

std::string Setting::place_name(const Harness& harness, PartId control) const {
  switch (harness[control].kind) {
    case PartKind::Pot:
      return fmt::format("{:g}", knob(control));
    case PartKind::Switch:
      return harness[control].positions[position(control)].name;
    default:
      return plugged(control) ? "in" : "out";
  }
}

}  // namespace lugwise
