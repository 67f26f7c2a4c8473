#include "fault/kind.h"

namespace lugwise {

std::span<const FaultKind> fault_kinds() {
  static constexpr FaultKind kKinds[] = {
      {Mode::Open, Site::Joint},      {Mode::Open, Site::Blob},         {Mode::Open, Site::Wire},
      {Mode::Open, Site::Contact},    {Mode::Open, Site::Coil},         {Mode::Open, Site::Track},
      {Mode::Open, Site::Wiper},      {Mode::Open, Site::Resistor},     {Mode::Open, Site::Capacitor},
      {Mode::High, Site::Joint},      {Mode::High, Site::Blob},         {Mode::High, Site::Contact},
      {Mode::High, Site::Track},      {Mode::High, Site::Wiper},        {Mode::Short, Site::Contact},
      {Mode::Short, Site::Coil},      {Mode::Short, Site::Capacitor},   {Mode::Short, Site::Lugs},
      {Mode::Short, Site::Braid},     {Mode::Short, Site::Nearby},      {Mode::Value, Site::Coil},
      {Mode::Value, Site::Track},     {Mode::Value, Site::Resistor},    {Mode::Value, Site::Capacitor},
      {Mode::Misplaced, Site::Joint}, {Mode::Misplaced, Site::Contact}, {Mode::Misplaced, Site::Coil},
      {Mode::Misplaced, Site::Track}, {Mode::Misplaced, Site::Lugs},
  };
  return kKinds;
}

void weigh(std::vector<Fault>& faults, const std::vector<KindWeight>& weights) {
  for (const KindWeight& each : weights) {
    for (Fault& fault : faults) {
      if (fault.mode == each.kind.mode && fault.site == each.kind.site)
        fault.weight = each.weight * (fault.in ? kOneLeaf : 1);
    }
  }
}

}  // namespace lugwise
