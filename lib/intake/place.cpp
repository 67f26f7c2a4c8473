#include "intake/place.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "intake/inside/synonym.h"
#include "intake/value.h"

namespace lugwise {

using namespace intake::inside;
namespace {

std::string own_name(const Point& point) { return point.name.substr(point.name.find('.') + 1); }

Refusal no_such(std::string_view what, std::string_view name) {
  return {fmt::format("no such {}: '{}'", what, name.substr(0, 200)), {}, {}};
}

std::string listed(const std::vector<std::string>& names) {
  constexpr std::size_t kMost = 12;
  std::string text;
  for (std::size_t i = 0; i < names.size() && i < kMost; ++i) text += (i ? ", " : "") + names[i];
  if (names.size() > kMost) text += ", ...";
  return text;
}

std::vector<std::string> part_names(const Harness& harness) {
  std::vector<std::string> names;
  names.reserve(harness.parts().size());
  for (const Part& part : harness.parts()) names.push_back(part.name);
  return names;
}

// Why a part has no such point, and which one it may be.
void explain_part_point(const Harness& harness, const Part& part, const std::string& wanted, Suggest suggest,
                        Refusal& refusal) {
  for (const auto& [lead, end] : part.leads) {
    if (end != wanted) continue;
    refusal.hint = fmt::format("that end's lead is '{}.{}', declared", part.name, lead);
    refusal.declared = part.at;
    return;
  }
  if (part.pot && part.pot->gang && wanted == "case") {
    const Part& partner = harness[*part.pot->gang];
    refusal.hint = fmt::format("it is in the case of '{}': '{}.case', declared", partner.name, partner.name);
    refusal.declared = partner.at;
    return;
  }
  if (suggest == Suggest::Nothing) return;
  std::vector<std::string> own;
  for (const PointId id : part.points) own.push_back(own_name(harness[id]));
  for (const auto& [lead, end] : part.leads) {
    if (std::find(own.begin(), own.end(), lead) == own.end()) own.push_back(lead);
  }
  refusal.declared = part.at;
  // Of names as short as a pot's lugs none is nearer than another.
  if (const auto nearest = wanted.size() > 2 ? meant_name(wanted, own) : std::nullopt) {
    refusal.hint = fmt::format("nearest name is '{}.{}', declared", part.name, *nearest);
  } else {
    refusal.hint = fmt::format("the points of '{}' are {}; it is declared", part.name, listed(own));
  }
}

Refusal refuse_part_point(const Harness& harness, std::string_view name, Suggest suggest) {
  Refusal refusal = no_such("point", name);
  const std::size_t dot = name.find('.');
  if (dot == std::string_view::npos) {
    if (const auto part = harness.find_part(name)) {
      std::vector<std::string> own;
      for (const PointId id : harness[*part].points) own.push_back(harness[id].name);
      refusal.hint = fmt::format("that is a part; its points are {}; it is declared", listed(own));
      refusal.declared = harness[*part].at;
      return refusal;
    }
  } else if (const auto part = harness.find_part(name.substr(0, dot))) {
    explain_part_point(harness, harness[*part], std::string(name.substr(dot + 1)), suggest, refusal);
    return refusal;
  }
  if (suggest == Suggest::Nothing) return refusal;
  const auto nearest = meant_name(name.substr(0, dot), part_names(harness));
  if (!nearest) {
    if (dot == std::string_view::npos) refusal.hint = "a point is written 'part.point'";
    return refusal;
  }
  const Part& part = harness[*harness.find_part(*nearest)];
  refusal.declared = part.at;
  if (dot == std::string_view::npos) {
    refusal.hint = fmt::format("a point is written 'part.point'; nearest part is '{}', declared", part.name);
    return refusal;
  }
  const std::string wanted(name.substr(dot + 1));
  std::vector<std::string> own;
  for (const PointId id : part.points) own.push_back(own_name(harness[id]));
  if (const auto point = meant_name(wanted, own)) {
    refusal.hint = fmt::format("nearest name is '{}.{}', declared", part.name, *point);
  } else {
    refusal.hint = fmt::format("nearest part is '{}', declared", part.name);
  }
  return refusal;
}

PointFound refuse_wire_end(const Harness& harness, std::string_view name, Suggest suggest) {
  PointFound answer{std::nullopt, no_such("wire end", name), false};
  Refusal& refusal = answer.refusal;
  const std::size_t colon = name.find(':');
  const std::string_view plain = colon == std::string_view::npos ? name : name.substr(colon + 1);
  const std::size_t arrow = plain.find('>');
  for (const std::string_view side : {plain.substr(0, arrow), plain.substr(arrow + 1)}) {
    if (side == "free" || harness.find_point(side)) continue;
    refusal = refuse_part_point(harness, side, suggest);
    return answer;
  }
  if (suggest == Suggest::Nothing) return answer;
  // The names of all ends between the two points, either way round.
  const std::string here(plain);
  const std::string turned = std::string(plain.substr(arrow + 1)) + ">" + std::string(plain.substr(0, arrow));
  std::vector<std::string> exact, other_way, same_point;
  std::vector<Span> at;
  for (const Point& point : harness.points()) {
    if (point.role != PointRole::WireEnd) continue;
    const std::size_t prefix = point.name.find(':');
    const std::string bare = prefix == std::string::npos ? point.name : point.name.substr(prefix + 1);
    if (bare == here) {
      exact.push_back(point.name);
      at.push_back(point.at);
    } else if (bare == turned) {
      other_way.push_back(point.name);
    } else if (bare.starts_with(std::string(plain.substr(0, arrow)) + ">")) {
      same_point.push_back(point.name);
    }
  }
  if (exact.size() > 1) {
    answer.several = true;
    std::string choice;
    for (const std::string& one : exact) choice += (choice.empty() ? "'" : " or '") + one + "'";
    refusal.problem = fmt::format("more than one wire joins these points: '{}'", name);
    refusal.hint = "write " + choice;
  } else if (exact.size() == 1) {
    refusal.hint = fmt::format("that wire end is '{}', declared", exact.front());
    refusal.declared = at.front();
  } else if (!same_point.empty()) {
    refusal.hint = fmt::format("the wire ends at '{}' are {}", plain.substr(0, arrow), listed(same_point));
  } else {
    refusal.hint =
        fmt::format("no wire joins '{}' and '{}' directly", plain.substr(0, arrow), plain.substr(arrow + 1));
  }
  return answer;
}

}  // namespace

std::string Refusal::why() const {
  if (hint.empty()) return problem;
  std::string text = problem + "; " + hint;
  if (declared.known()) text += fmt::format(" at {}:{}", declared.line, declared.column);
  return text;
}

std::unordered_set<PointId> leads_of(const Harness& harness) {
  std::unordered_set<PointId> leads;
  for (const Element& element : harness.elements()) {
    if (element.kind == ElementKind::Joint || element.pressed) leads.insert(element.b);
  }
  for (const Blob& blob : harness.blobs()) {
    if (harness[blob.surface].role == PointRole::Lead) leads.insert(blob.surface);
  }
  return leads;
}

std::optional<Refusal> why_not_lifted(const Harness& harness, PointId point, std::string_view name,
                                      Suggest suggest) {
  if (leads_of(harness).count(point)) return std::nullopt;
  Refusal refusal{fmt::format("'{}' is no lead or wire end in a joint, so it can't be lifted", name), {}, {}};
  if (suggest == Suggest::Nothing) return refusal;
  std::string there;
  for (const Blob& blob : harness.blobs()) {
    if (blob.surface != point) continue;
    for (PointId lead : blob.leads) there += (there.empty() ? "" : ", ") + harness[lead].name;
  }
  if (!there.empty()) refusal.hint = "soldered there are " + there;
  return refusal;
}

std::optional<std::size_t> find_stage(const Harness& harness, std::string_view name) {
  const Stage* const stage = harness.find_stage(name);
  if (!stage) return std::nullopt;
  return static_cast<std::size_t>(stage - harness.stages().data());
}

PlaceFound find_place(const Harness& harness, std::string_view name) {
  PlaceFound found;
  if (const PointFound point = find_point(harness, name); point.point) {
    found.points.push_back(*point.point);
  } else {
    // Without a dot it can only be a part.
    const PartFound part = find_part(harness, name);
    const bool dotted = name.find('.') != std::string_view::npos;
    if (!part.part) return {{}, dotted ? point.refusal : part.refusal};
    found.points = harness[*part.part].points;
  }
  for (std::uint32_t i = 0; i < harness.points().size(); ++i) {
    const auto& on = harness.points()[i].on;
    if (on && std::find(found.points.begin(), found.points.end(), *on) != found.points.end())
      found.points.push_back(PointId{i});
  }
  return found;
}

PointFound find_point(const Harness& harness, std::string_view name, Suggest suggest) {
  if (const auto found = harness.find_point(name)) return {found, {}, false};
  if (name.find('>') != std::string_view::npos) return refuse_wire_end(harness, name, suggest);
  return {std::nullopt, refuse_part_point(harness, name, suggest), false};
}

PartFound find_part(const Harness& harness, std::string_view name, Suggest suggest) {
  if (const auto found = harness.find_part(name)) return {found, {}};
  Refusal refusal = no_such("part", name);
  if (suggest == Suggest::Near) {
    if (const auto nearest = meant_name(name, part_names(harness))) {
      refusal.hint = fmt::format("nearest name is '{}', declared", *nearest);
      refusal.declared = harness[*harness.find_part(*nearest)].at;
    }
  }
  return {std::nullopt, refusal};
}

std::optional<SettingRefusal> apply_setting(const Harness& harness, std::string_view control,
                                            std::string_view place, Setting& setting, Suggest suggest) {
  const auto found = harness.find_part(control);
  const auto is_control = [&](const Part& part) {
    return part.kind == PartKind::Switch || part.kind == PartKind::Jack || (part.pot && !part.pot->gang);
  };
  if (!found || !is_control(harness[*found])) {
    Refusal refusal = no_such("control", control);
    if (found) {
      const Part& other = harness[*found];
      refusal.problem = fmt::format("'{}' is no control", control);
      refusal.declared = other.at;
      if (other.pot && other.pot->gang) {
        refusal.hint =
            fmt::format("it is on the shaft of '{}': set that, declared", harness[*other.pot->gang].name);
        refusal.declared = harness[*other.pot->gang].at;
      } else {
        refusal.hint = "controls are pots, switches and jacks; it is declared";
      }
    } else if (suggest == Suggest::Near) {
      std::vector<std::string> names;
      for (const PartId id : harness.controls()) names.push_back(harness[id].name);
      if (const auto nearest = meant_name(control, names)) {
        refusal.hint = fmt::format("nearest name is '{}', declared", *nearest);
        refusal.declared = harness[*harness.find_part(*nearest)].at;
      } else {
        refusal.hint = names.empty() ? "there is no control" : "the controls are " + listed(names);
      }
    }
    return SettingRefusal{refusal, false};
  }
  const Part& part = harness[*found];
  SettingRefusal refused;
  refused.about_place = true;
  if (part.kind == PartKind::Pot) {
    const Parsed<double> knob = parse_number(place);
    if (knob.value && *knob.value <= 10) {
      setting.turn(*found, *knob.value);
      return std::nullopt;
    }
    refused.refusal.problem = fmt::format("'{}' stands from 0 to 10, not at '{}'", control, place);
    return refused;
  }
  if (part.kind == PartKind::Jack) {
    if (place == "in") {
      setting.plug_in(*found);
      return std::nullopt;
    }
    if (place == "out") {
      setting.pull_plug(*found);
      return std::nullopt;
    }
    refused.refusal.problem = fmt::format("the plug in '{}' is 'in' or 'out', not '{}'", control, place);
    return refused;
  }
  std::vector<std::string> names;
  for (std::size_t i = 0; i < part.positions.size(); ++i) {
    if (part.positions[i].name == place) {
      setting.select(*found, static_cast<std::uint16_t>(i));
      return std::nullopt;
    }
    names.push_back(part.positions[i].name);
  }
  refused.refusal.problem = fmt::format("'{}' has no position '{}'", control, place);
  if (suggest == Suggest::Nothing) return refused;
  if (const auto nearest = meant_name(place, names)) {
    const auto at = std::find_if(part.positions.begin(), part.positions.end(),
                                 [&](const Position& p) { return p.name == *nearest; });
    refused.refusal.hint = fmt::format("nearest name is '{}', declared", *nearest);
    refused.refusal.declared = at->at;
  } else {
    refused.refusal.hint = "its positions are " + listed(names);
  }
  return refused;
}

}  // namespace lugwise
