#include "report/inside/place.h"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

std::string part_of(const Harness& harness, PointId point) {
  const Point& at = harness[point];
  return at.part ? harness[*at.part].name : at.name;
}

// "wire to tone.1", with the wire's own name where the end is called by it
std::string wire_end(const Harness& harness, PointId point) {
  const Point& end = harness[point];
  const std::size_t arrow = end.name.find('>');
  const std::size_t colon = end.name.find(':');
  const std::string to = end.name.substr(arrow + 1);
  if (colon < arrow) return end.name.substr(0, colon) + " to " + to;
  const std::string kind = end.wire && harness[*end.wire].braid ? "braid" : "wire";
  return to == "free" ? kind : kind + " to " + to;
}

// Without the kind.
std::string name_of(const Harness& harness, Site site, const std::vector<PointId>& points) {
  const auto name = [&](std::size_t i) { return harness[points[i]].name; };
  switch (site) {
    case Site::Joint:
      return (harness[points[1]].role == PointRole::WireEnd ? wire_end(harness, points[1]) : name(1)) +
             " at " + name(0);
    case Site::Blob:
      return "on " + name(0);
    case Site::Wire:
      return name(0) + " to " + name(1);
    case Site::Coil:
      return harness[*harness[points[0]].part].points.size() <= 3 ? part_of(harness, points[0])
                                                                  : name(0) + " to " + name(1);
    case Site::Track:
    case Site::Wiper:
    case Site::Resistor:
    case Site::Capacitor:
      return part_of(harness, points[0]);
    default:
      break;
  }
  if (points.size() < 2) return name(0);
  if (harness[points[1]].role == PointRole::WireEnd) return wire_end(harness, points[1]) + " at " + name(0);
  return name(0) + " to " + name(1);
}

// Two points that must not touch have no name of their own but what is wrong there.
std::string noun_of(Mode mode, Site site) {
  const std::string name(site_name(site));
  if (site == Site::Lugs || site == Site::Braid || site == Site::Nearby) return "short";
  if (mode == Mode::High && site == Site::Track) return "worn track";
  if (mode != Mode::Short) return name;
  return site == Site::Contact ? "stuck contact" : "shorted " + name;
}

struct Place {
  std::string noun;
  std::string name;
  double weight = 0;
  friend bool operator==(const Place& x, const Place& y) { return x.noun == y.noun && x.name == y.name; }
};

// What is misplaced has no place of its own: it is named by what belongs elsewhere.
Place misplaced(const Harness& harness, const Fault& fault) {
  const auto lead = [&](PointId point) {
    return harness[point].role == PointRole::WireEnd ? wire_end(harness, point) : harness[point].name;
  };
  switch (fault.site) {
    case Site::Coil:
      return {"exchange", part_of(harness, fault.points[0]) + " and " + part_of(harness, fault.also[0]),
              fault.weight};
    case Site::Contact:
      return {"turned-around switch", part_of(harness, fault.points[1]), fault.weight};
    case Site::Track:
      return {"mirrored pot", part_of(harness, fault.points[1]), fault.weight};
    default:
      break;
  }
  if (fault.also.empty())
    return {"misplaced lead", lead(fault.points[0]) + " on " + harness[fault.points[1]].name, fault.weight};
  return {"exchange", lead(fault.points[0]) + " and " + lead(fault.also[0]), fault.weight};
}

std::vector<Place> places_of(const Harness& harness, const std::vector<Fault>& faults) {
  std::vector<Place> places;
  for (const Fault& fault : faults) {
    Place place = fault.mode == Mode::Misplaced
                      ? misplaced(harness, fault)
                      : Place{noun_of(fault.mode, fault.site), name_of(harness, fault.site, fault.points),
                              fault.weight};
    const auto known = std::find(places.begin(), places.end(), place);
    if (known == places.end()) {
      places.push_back(std::move(place));
    } else {
      known->weight += place.weight;
    }
  }
  // The commonest causes are named first, and so are the ones named at all.
  std::stable_sort(places.begin(), places.end(),
                   [](const Place& x, const Place& y) { return x.weight > y.weight; });
  return places;
}

// "joints a, b; wire c"
std::string names(std::vector<Place> places, std::size_t most) {
  const std::size_t all = places.size();
  if (all > most) places.resize(most);
  std::vector<std::pair<std::string, std::vector<std::string>>> kinds;
  for (const Place& place : places) {
    auto kind = std::find_if(kinds.begin(), kinds.end(),
                             [&](const auto& known) { return known.first == place.noun; });
    if (kind == kinds.end()) kind = kinds.insert(kinds.end(), {place.noun, {}});
    kind->second.push_back(place.name);
  }
  std::string text;
  for (const auto& [noun, members] : kinds) {
    if (!text.empty()) text += "; ";
    text += fmt::format("{} {}", members.size() == 1 ? noun : many(noun), fmt::join(members, ", "));
  }
  if (all > most) text += fmt::format("; and {} more", all - most);
  return text;
}

}  // namespace

Site site_of(ElementKind kind) {
  switch (kind) {
    case ElementKind::Joint:
      return Site::Joint;
    case ElementKind::Blob:
      return Site::Blob;
    case ElementKind::Wire:
      return Site::Wire;
    case ElementKind::Contact:
      return Site::Contact;
    case ElementKind::Coil:
      return Site::Coil;
    case ElementKind::Track:
      return Site::Track;
    case ElementKind::Wiper:
      return Site::Wiper;
    case ElementKind::Resistor:
      return Site::Resistor;
    case ElementKind::Capacitor:
      return Site::Capacitor;
  }
  return Site::Joint;
}

std::string place_in_words(const Harness& harness, const Element& element) {
  const Site site = site_of(element.kind);
  return std::string(site_name(site)) + " " + name_of(harness, site, element.points);
}

std::string proof_in_words(const Harness& harness, const std::vector<Fault>& faults) {
  std::vector<Fault> shorts, worn, capacitors, others;
  for (const Fault& fault : faults) {
    // Of a capacitor little is known by its not being open; its value is proved only by a reading in farads.
    const bool not_open = fault.site == Site::Capacitor && fault.mode == Mode::Open;
    (fault.mode == Mode::Short ? shorts
     : is_worn_track(fault)    ? worn
     : not_open                ? capacitors
                               : others)
        .push_back(fault);
  }
  std::vector<std::pair<std::string, std::size_t>> counts;
  for (const Place& place : places_of(harness, others)) {
    const auto known = std::find_if(counts.begin(), counts.end(),
                                    [&](const auto& count) { return count.first == place.noun; });
    if (known == counts.end()) {
      counts.emplace_back(place.noun, 1);
    } else {
      ++known->second;
    }
  }
  std::vector<std::string> parts;
  for (const auto& [noun, count] : counts) parts.push_back(counted(count, noun));
  std::string text = listed(parts);
  if (!capacitors.empty()) {
    if (!text.empty()) text += "; ";
    text += counted(places_of(harness, capacitors).size(), "capacitor") + " not open";
  }
  if (!shorts.empty()) {
    if (!text.empty()) text += "; ";
    text += "no short in " + counted(places_of(harness, shorts).size(), "place");
  }
  if (!worn.empty()) {
    if (!text.empty()) text += "; ";
    text += "no wear on " + counted(worn.size(), "track");
  }
  return text;
}

std::string names_of_places(const Harness& harness, const std::vector<Fault>& faults, std::size_t most) {
  return names(places_of(harness, faults), most);
}

}  // namespace inside
}  // namespace lugwise::report
