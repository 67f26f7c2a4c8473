#include <fmt/format.h>

#include "fault/fault.h"

namespace lugwise {
namespace {

// "front.hot", "the wire to jack.tip"
std::string lead_name(const Harness& harness, PointId id) {
  const Point& point = harness[id];
  if (point.role != PointRole::WireEnd) return point.name;
  const std::string to = point.name.substr(point.name.find('>') + 1);
  const std::size_t colon = point.name.find(':');
  const std::string called = colon == std::string::npos ? "" : " (" + point.name.substr(0, colon) + ")";
  if (to == "free") return "the braid";
  return fmt::format("the {} to {}{}", harness[*point.wire].braid ? "braid" : "wire", to, called);
}

// "front.ground, volume.1 and the wire to jack.tip"
std::string lead_names(const Harness& harness, const std::vector<PointId>& points, std::size_t from) {
  std::string text;
  for (std::size_t i = from; i < points.size(); ++i) {
    if (i > from) text += i + 1 == points.size() ? " and " : ", ";
    text += lead_name(harness, points[i]);
  }
  return text;
}

// The thing itself, without what is wrong with it.
std::string place(const Harness& harness, const Fault& fault) {
  const auto name = [&](std::size_t i) { return harness[fault.points[i]].name; };
  switch (fault.site) {
    case Site::Joint:
      return fmt::format("the joint of {} at {}", lead_name(harness, fault.points[1]), name(0));
    case Site::Blob:
      return fmt::format("the blob on {} that holds {}", name(0), lead_names(harness, fault.points, 1));
    case Site::Wire: {
      std::string called;
      if (fault.element) {
        const auto& wire = harness[*fault.element].wire;
        if (wire && !harness[*wire].name.empty()) called = " (" + harness[*wire].name + ")";
        if (wire && harness[*wire].braid) called += called.empty() ? " (braid)" : ", braid";
      }
      return fmt::format("the wire from {} to {}{}", name(0), name(1), called);
    }
    case Site::Contact:
      // A trapped wire's end is at the point it is trapped against.
      if (harness[fault.points[1]].role == PointRole::WireEnd)
        return fmt::format("the contact of {} at {}", lead_name(harness, fault.points[1]), name(0));
      return fmt::format("the contact between {} and {}", name(0), name(1));
    case Site::Coil:
      return fmt::format("the coil between {} and {}", name(0), name(1));
    case Site::Track:
      return fmt::format("the track of {}", harness[*harness[fault.points[0]].part].name);
    case Site::Wiper:
      return fmt::format("the wiper of {}", harness[*harness[fault.points[0]].part].name);
    case Site::Resistor:
    case Site::Capacitor:
      return fmt::format("the {} {}", site_name(fault.site), harness[*harness[fault.points[0]].part].name);
    default:
      return fmt::format("{} and {}", name(0), name(1));
  }
}

std::string part_name(const Harness& harness, PointId point) { return harness[*harness[point].part].name; }

std::string misplaced_in_words(const Harness& harness, const Fault& fault) {
  const std::vector<PointId>& one = fault.points;
  const std::vector<PointId>& other = fault.also;
  const std::string is = harness[one[1]].name;
  const std::string belongs = harness[one[2]].name;
  switch (fault.site) {
    case Site::Coil:
      return fmt::format("the pickups {} and {} are exchanged", part_name(harness, one[0]),
                         part_name(harness, other[0]));
    case Site::Track:
    case Site::Lugs: {
      const bool mirrored = fault.site == Site::Track && !other.empty();
      return fmt::format("{}all that belongs on {} is on {}{}",
                         mirrored ? part_name(harness, one[1]) + " is mirrored: " : "", belongs, is,
                         other.empty() ? "" : ", and the other way about");
    }
    case Site::Contact:
      return fmt::format("{} is turned around: what belongs on {} is on {}, and so on",
                         part_name(harness, one[1]), belongs, is);
    default:
      break;
  }
  const std::string lead = lead_name(harness, one[0]);
  if (other.empty()) return fmt::format("{} is on {} instead of {}", lead, is, belongs);
  return fmt::format("the leads at {} and {} are exchanged: {} is on {}, {} on {}", belongs, is, lead, is,
                     lead_name(harness, other[0]), harness[other[1]].name);
}

}  // namespace

std::string in_words(const Harness& harness, const Fault& fault) {
  if (fault.mode == Mode::Misplaced) return misplaced_in_words(harness, fault);
  const std::string what = place(harness, fault);
  switch (fault.mode) {
    case Mode::Open:
      if (fault.in) {
        const Part& control = harness[fault.in->control];
        return fmt::format("{} is open with {} {}", what, control.name,
                           control.positions[fault.in->position].name);
      }
      return what + " is open";
    case Mode::High:
      if (fault.site == Site::Track) return what + " is worn";
      if (fault.site == Site::Wiper) return what + " is dirty";
      return what + (fault.site == Site::Contact ? " is dirty" : " is cold");
    case Mode::Value:
      return what + " has a wrong value";
    case Mode::Short:
      if (fault.site == Site::Contact) return what + " stays closed";
      if (fault.site == Site::Coil || fault.site == Site::Capacitor) return what + " is shorted";
      return what + " touch each other";
    case Mode::Misplaced:
      break;
  }
  return what;
}

std::string point_in_words(const Harness& harness, PointId id) {
  const Point& point = harness[id];
  const std::size_t dot = point.name.find('.');
  const std::string own = dot == std::string::npos ? point.name : point.name.substr(dot + 1);
  switch (point.role) {
    case PointRole::WireEnd: {
      const std::size_t arrow = point.name.find('>');
      const std::size_t colon = point.name.find(':');
      const std::size_t start = colon == std::string::npos ? 0 : colon + 1;
      const std::string at = point.name.substr(start, arrow - start);
      const std::string to = point.name.substr(arrow + 1);
      const bool braid = harness[*point.wire].braid;
      if (at == "free") return fmt::format("the free end of the braid from {} ({})", to, point.name);
      const std::string which = colon == std::string::npos ? "" : " (" + point.name.substr(0, colon) + ")";
      return fmt::format("the bare {} at {} that goes to {}{}", braid ? "braid" : "wire", at, to, which);
    }
    case PointRole::Plug:
      return fmt::format("the {} of the cable's far plug ({})", own.substr(own.find('-') + 1), point.name);
    case PointRole::Lug:
      return fmt::format("{} {} ({})", harness[*point.part].kind == PartKind::Jack ? "contact" : "lug", own,
                         point.name);
    case PointRole::Lead:
      return fmt::format("lead {} ({})", own, point.name);
    case PointRole::Surface:
      return fmt::format("bare metal of {}", point.name);
    default:
      return point.name;
  }
}

}  // namespace lugwise
