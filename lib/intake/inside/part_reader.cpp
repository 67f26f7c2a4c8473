#include "intake/inside/part_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <unordered_set>

#include "source/nearest.h"

namespace lugwise::inside {
namespace {

constexpr std::array<std::pair<std::string_view, PartKind>, 9> kKinds{{
    {"pickup", PartKind::Pickup},
    {"pot", PartKind::Pot},
    {"switch", PartKind::Switch},
    {"jack", PartKind::Jack},
    {"resistor", PartKind::Resistor},
    {"capacitor", PartKind::Capacitor},
    {"metal", PartKind::Metal},
    {"battery", PartKind::Battery},
    {"module", PartKind::Module},
}};

constexpr Limits kResistance{1e-3, 1e9, "more than 0 and at most 1G"};
constexpr Limits kCapacitance{1e-13, 1e-2, "more than 0 and at most 10000u"};
constexpr Limits kVoltage{0.1, 100, "from 0.1 to 100 volts"};
constexpr Limits kTolerance{0, 0.9999, "at least 0% and less than 100%"};
constexpr Limits kShare{0, 1, "from 0% to 100%"};
constexpr double kLastPlace = 99;
constexpr Limits kKnob{0, 10, "from 0 to 10"};
constexpr std::size_t kMostPositions = 1000;
constexpr std::size_t kMostCoils = 100;
constexpr std::size_t kMostLeads = 200;

std::vector<std::string> kind_names() {
  std::vector<std::string> names;
  for (const auto& [name, kind] : kKinds) names.emplace_back(name);
  return names;
}

bool contains(const std::vector<std::string>& names, std::string_view name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

}  // namespace

bool PartReader::broken(std::string_view part) const {
  if (all_broken_) return true;
  const auto found = by_name_.find(std::string(part));
  return found != by_name_.end() && parts_[found->second].broken;
}

void PartReader::read(const Node& parts) {
  all_broken_ = true;
  if (!as_map(parts, "'parts'", diagnostics_)) return;
  if (parts.pairs() == 0) {
    diagnostics_.error("N417", parts.at, "a harness has at least one part");
    return;
  }
  all_broken_ = false;
  for (std::size_t i = 0; i < parts.pairs(); ++i) declare(parts.key(i), parts.value(i));
  for (Declared& part : parts_) part.broken = !add(part);
}

void PartReader::declare(const Node& key, const Node& body) {
  const std::string* name = as_name(key, "a part's name", diagnostics_);
  if (!name) return;
  const auto [before, fresh] = by_name_.emplace(*name, parts_.size());
  if (!fresh) {
    diagnostics_.error("N113", key.at, fmt::format("part '{}' is given twice", *name))
        .note("first given", parts_[before->second].at);
    return;
  }
  Declared part;
  part.name = *name;
  part.at = key.at;
  part.id = PartId{static_cast<std::uint32_t>(parts_.size())};
  if (body.kind == Node::Kind::Nothing) {
    diagnostics_.error("N115", key.at, fmt::format("nothing is given for '{}'", *name));
  } else if (as_map(body, "a part", diagnostics_)) {
    part.body = &body;
    const Node* kind = nullptr;
    for (std::size_t i = 0; i < body.pairs() && !kind; ++i) {
      if (body.key(i).kind == Node::Kind::Text && body.key(i).text == "kind") kind = &body.value(i);
    }
    if (!kind) {
      Diagnostic& error = diagnostics_.error("N114", key.at, fmt::format("part '{}' needs 'kind'", *name));
      for (std::size_t i = 0; i < body.pairs(); ++i) {
        const std::string& text = body.key(i).text;
        if (text.starts_with("kind:")) {
          error.note(fmt::format("a space is needed after the colon: 'kind: {}'", text.substr(5)));
        } else if (nearest_name(text, {"kind"})) {
          error.note(fmt::format("'{}' is given", text), body.key(i).at);
        }
      }
    } else if (kind->kind == Node::Kind::Nothing) {
      diagnostics_.error("N115", kind->at, "nothing is given for 'kind'");
    } else if (const std::string* text = as_text(*kind, "'kind'", diagnostics_)) {
      for (const auto& [word, value] : kKinds) {
        if (word == *text) part.kind = value;
      }
      if (!part.kind) {
        suggestions_.note(
            diagnostics_.error("N202", kind->at, fmt::format("no such kind: '{}'", text->substr(0, 100))),
            *text, kind_names(), "the kinds are");
      }
    }
  }
  parts_.push_back(std::move(part));
}

std::optional<PartId> PartReader::add(const Declared& part) {
  if (!part.body || !part.kind) return std::nullopt;
  switch (*part.kind) {
    case PartKind::Pickup:
      return add_pickup(part);
    case PartKind::Pot:
      return add_pot(part);
    case PartKind::Switch:
      return add_switch(part);
    case PartKind::Jack:
      return add_jack(part);
    case PartKind::Resistor:
      return add_resistor(part);
    case PartKind::Capacitor:
      return add_capacitor(part);
    case PartKind::Metal:
      return add_metal(part);
    case PartKind::Battery:
      return add_battery(part);
    default:
      return add_module(part);
  }
}

double PartReader::tolerance(const Fields& fields, double unless_given) {
  const Node* node = fields.find("tolerance");
  if (!node) return unless_given;
  return as_value(*node, "the tolerance", "N303", parse_share, kTolerance, diagnostics_)
      .value_or(unless_given);
}

// A part with a bad value still has its points, so the rest of the file can be checked; 1 stands in.
double PartReader::ohms(Fields& fields, std::string_view key, std::string_view what) {
  const Node* node = fields.need(key);
  if (!node) return 1;
  return as_value(*node, what, "N301", parse_ohms, kResistance, diagnostics_).value_or(1);
}

// A list of different names, at least one.
std::optional<std::vector<std::string>> PartReader::names(Fields& fields, std::string_view key,
                                                          std::string_view what) {
  const Node* node = fields.need(key);
  if (!node || !as_list(*node, fmt::format("'{}'", key), diagnostics_)) return std::nullopt;
  if (node->items.empty()) {
    diagnostics_.error("N417", node->at, fmt::format("'{}' must name at least one {}", key, what));
    return std::nullopt;
  }
  std::vector<std::string> found;
  std::unordered_map<std::string, Span> seen;
  bool fine = true;
  for (const Node& item : node->items) {
    const std::string* name = as_name(item, fmt::format("a {}'s name", what), diagnostics_);
    if (!name) {
      fine = false;
      continue;
    }
    const auto [before, fresh] = seen.emplace(*name, item.at);
    if (!fresh) {
      diagnostics_.error("N205", item.at, fmt::format("{} '{}' is given twice", what, *name))
          .note("first given", before->second);
      continue;
    }
    found.push_back(*name);
  }
  if (!fine) return std::nullopt;
  return found;
}

void PartReader::keep_where(const Fields& fields, std::optional<PartId> part) {
  const Node* node = fields.find("reach");
  if (node && part) own_reach_.push_back({*part, node});
  const Node* place = fields.find("place");
  if (!place) return;
  std::vector<double> numbers;
  if (place->kind == Node::Kind::List && place->items.size() == 2) {
    for (const Node& item : place->items) {
      const auto number = item.kind == Node::Kind::Text ? parse_number(item.text).value : std::nullopt;
      if (number && *number == std::floor(*number) && *number >= 0 && *number <= kLastPlace)
        numbers.push_back(*number);
    }
  }
  if (numbers.size() < 2) {
    diagnostics_.error("N310", place->at, "not a place on the picture")
        .note(fmt::format("write its order in the row and its row, whole numbers from 0 to {:g}, as '[0, 2]'",
                          kLastPlace));
  } else if (part) {
    if (places_.size() <= part->index) places_.resize(part->index + 1u);
    places_[part->index] = {static_cast<std::uint16_t>(numbers[0]), static_cast<std::uint16_t>(numbers[1])};
  }
}

std::optional<PartId> PartReader::add_pickup(const Declared& part) {
  Fields fields(*part.body, "a pickup", part.at,
                {"kind", "dcr", "tolerance", "shield", "coils", "leads", "inside", "reach", "place"},
                diagnostics_);
  PickupSpec spec;
  const double share = tolerance(fields, tolerances_.pickup);
  bool fine = read_coils(fields, part, share, spec);
  if (const Node* shield = fields.find("shield")) {
    const auto flag = as_flag(*shield, "'shield'", diagnostics_);
    fine = fine && flag;
    spec.shield = flag.value_or(false);
  }
  if (!fine) return std::nullopt;
  std::vector<std::string> ends;
  for (const CoilSpec& coil : spec.coils) {
    ends.push_back(coil.start);
    ends.push_back(coil.finish);
  }
  if (spec.shield) ends.emplace_back("shield");
  if (!read_leads(fields, ends, spec) || !read_inside(fields, ends, spec)) return std::nullopt;
  const PartId id = builder_.add_pickup(part.name, spec, part.at);
  keep_where(fields, id);
  return id;
}

bool PartReader::read_coils(Fields& fields, const Declared& part, double share, PickupSpec& spec) {
  const bool one = fields.given("dcr");
  const bool several = fields.given("coils");
  if (one && several) {
    diagnostics_.error("N411", fields.key_span("coils"), "a pickup has 'dcr' or 'coils', not both")
        .note("'dcr' is given", fields.key_span("dcr"));
  } else if (!one && !several) {
    diagnostics_.error("N114", part.at, "a pickup needs 'dcr'").note("or 'coils' where it has several");
  }
  if (!several) {
    const double dcr = one ? ohms(fields, "dcr", "'dcr'") : 1;
    spec.coils.push_back({"hot", "ground", dcr, share});
    return true;
  }
  const Node* coils = fields.find("coils");
  if (!coils || !as_map(*coils, "'coils'", diagnostics_)) return false;
  if (coils->pairs() == 0 || coils->pairs() > kMostCoils) {
    diagnostics_.error("N417", coils->at, fmt::format("a pickup has from 1 to {} coils", kMostCoils));
    return false;
  }
  bool fine = true;
  std::unordered_map<std::string, Span> seen;
  for (std::size_t i = 0; i < coils->pairs(); ++i) {
    const std::string* name = as_name(coils->key(i), "a coil's name", diagnostics_);
    if (!name) {
      fine = false;
      continue;
    }
    const auto [before, fresh] = seen.emplace(*name, coils->key(i).at);
    if (!fresh) {
      diagnostics_.error("N113", coils->key(i).at, fmt::format("coil '{}' is given twice", *name))
          .note("first given", before->second);
      continue;
    }
    const double dcr =
        as_value(coils->value(i), "a coil", "N301", parse_ohms, kResistance, diagnostics_).value_or(1);
    spec.coils.push_back({*name + "-start", *name + "-finish", dcr, share});
  }
  return fine;
}

bool PartReader::read_leads(const Fields& fields, const std::vector<std::string>& ends, PickupSpec& spec) {
  const Node* leads = fields.find("leads");
  if (!leads) return !fields.given("leads");
  if (!as_map(*leads, "'leads'", diagnostics_)) return false;
  if (leads->pairs() > kMostLeads) {
    diagnostics_.error("N417", leads->at, fmt::format("a pickup has at most {} leads", kMostLeads));
    return false;
  }
  bool fine = true;
  std::unordered_map<std::string, Span> seen;
  for (std::size_t i = 0; i < leads->pairs(); ++i) {
    const std::string* lead = as_name(leads->key(i), "a lead's name", diagnostics_);
    const std::string* end = lead ? as_text(leads->value(i), "a lead's end", diagnostics_) : nullptr;
    if (!lead || !end) {
      fine = false;
      continue;
    }
    const auto [before, fresh] = seen.emplace(*lead, leads->key(i).at);
    if (!fresh) {
      diagnostics_.error("N113", leads->key(i).at, fmt::format("lead '{}' is given twice", *lead))
          .note("first given", before->second);
      continue;
    }
    if (!contains(ends, *end)) {
      Diagnostic& error = diagnostics_.error("N206", leads->value(i).at,
                                             fmt::format("the pickup has no end '{}'", end->substr(0, 100)));
      if (*end == "shield") {
        error.note("a pickup with a shield says 'shield: true'");
      } else {
        suggestions_.note(error, *end, ends, "its ends are");
      }
      fine = false;
      continue;
    }
    spec.leads.emplace_back(*lead, *end);
  }
  // An end without a lead keeps its own name, which no lead may have.
  for (const auto& [lead, end] : spec.leads) {
    if (!contains(ends, lead) || lead == end) continue;
    const bool has_lead = std::any_of(spec.leads.begin(), spec.leads.end(),
                                      [&lead = lead](const Pair& other) { return other.second == lead; });
    if (has_lead) continue;
    diagnostics_.error("N205", seen.at(lead),
                       fmt::format("lead '{}' has the name of an end that has no lead", lead));
    fine = false;
  }
  return fine;
}

bool PartReader::read_inside(const Fields& fields, const std::vector<std::string>& ends, PickupSpec& spec) {
  const Node* inside = fields.find("inside");
  if (!inside) return !fields.given("inside");
  if (!as_list(*inside, "'inside'", diagnostics_)) return false;
  std::vector<std::string> known = ends;
  for (const auto& [lead, end] : spec.leads) {
    if (!contains(known, lead)) known.push_back(lead);
  }
  const auto end_of = [&](const std::string& name) {
    if (contains(ends, name)) return name;
    for (const auto& [lead, end] : spec.leads) {
      if (lead == name) return end;
    }
    return name;
  };
  bool fine = true;
  std::set<Pair> joined;
  for (const Node& entry : inside->items) {
    if (entry.kind != Node::Kind::List) {
      diagnostics_
          .error("N111", entry.at,
                 fmt::format("a joint inside a pickup must be a list, not {}", described(entry)))
          .note("each joint has brackets of its own: '[[slug-finish, screw-finish]]'");
      fine = false;
      continue;
    }
    if (entry.items.size() < 2) {
      diagnostics_.error("N401", entry.at, "a joint needs at least two points");
      fine = false;
      continue;
    }
    std::vector<std::string> points;
    std::unordered_map<std::string, Span> seen;
    for (const Node& item : entry.items) {
      const std::string* name = as_text(item, "a point in a joint", diagnostics_);
      if (!name) {
        fine = false;
        continue;
      }
      if (!contains(known, *name)) {
        Diagnostic& error = diagnostics_.error(
            "N206", item.at, fmt::format("the pickup has no end '{}'", name->substr(0, 100)));
        if (*name == "shield") {
          error.note("a pickup with a shield says 'shield: true'");
        } else {
          suggestions_.note(error, *name, known, "its ends are");
        }
        fine = false;
        continue;
      }
      const auto [before, fresh] = seen.emplace(end_of(*name), item.at);
      if (!fresh) {
        diagnostics_.error("N402", item.at, fmt::format("'{}' is in this joint twice", *name))
            .note("first given", before->second);
        fine = false;
        continue;
      }
      points.push_back(*name);
    }
    for (std::size_t i = 1; i < points.size(); ++i) {
      Pair ends_joined{end_of(points[0]), end_of(points[i])};
      if (ends_joined.second < ends_joined.first) std::swap(ends_joined.first, ends_joined.second);
      if (joined.insert(std::move(ends_joined)).second) continue;
      diagnostics_.error("N403", entry.at,
                         fmt::format("'{}' and '{}' are joined already", points[0], points[i]));
      fine = false;
    }
    spec.inside.emplace_back(std::move(points), entry.at);
  }
  return fine;
}

std::optional<PartId> PartReader::add_pot(const Declared& part) {
  Fields fields(*part.body, "a pot", part.at,
                {"kind", "track", "tolerance", "taper", "no-load", "normal", "gang", "reach", "place"},
                diagnostics_);
  PotSpec spec;
  spec.track = ohms(fields, "track", "'track'");
  spec.tolerance = tolerance(fields, tolerances_.pot);
  read_taper(fields, spec);
  if (const Node* node = fields.find("no-load"))
    spec.no_load = as_flag(*node, "'no-load'", diagnostics_).value_or(false);
  if (const Node* node = fields.find("normal")) {
    spec.normal = as_value(*node, "'normal'", "N308", parse_number, kKnob, diagnostics_).value_or(10);
  }
  read_gang(fields, part, spec);
  const PartId id = builder_.add_pot(part.name, spec, part.at);
  keep_where(fields, id);
  return id;
}

void PartReader::read_taper(const Fields& fields, PotSpec& spec) {
  const Node* taper = fields.find("taper");
  if (!taper) return;
  if (taper->kind == Node::Kind::List) {
    if (taper->items.size() < 2 || taper->items.size() > 1000) {
      diagnostics_.error(
          "N417", taper->at,
          "a list of shares has from 2 to 1000 entries, the first for the knob at 0, the last for 10");
      return;
    }
    spec.taper = Taper::Listed;
    for (const Node& item : taper->items) {
      spec.shares.push_back(
          as_value(item, "a share of the track", "N303", parse_share, kShare, diagnostics_).value_or(0));
    }
    return;
  }
  const std::string* text = as_text(*taper, "'taper'", diagnostics_);
  if (!text) return;
  if (*text == "linear") {
    spec.taper = Taper::Linear;
  } else if (*text == "audio") {
    spec.taper = Taper::Audio;
  } else if (*text == "reverse-audio") {
    spec.taper = Taper::ReverseAudio;
  } else {
    Diagnostic& error =
        diagnostics_.error("N207", taper->at, fmt::format("no such taper: '{}'", text->substr(0, 100)));
    if (*text == "log" || *text == "logarithmic") {
      error.note("did you mean 'audio'?");
    } else if (*text == "lin" || *text == "line") {
      error.note("did you mean 'linear'?");
    } else {
      suggestions_.note(error, *text, {"linear", "audio", "reverse-audio"},
                        "the tapers are, besides a list of shares,");
    }
  }
}

void PartReader::read_gang(const Fields& fields, const Declared& part, PotSpec& spec) {
  const Node* node = fields.find("gang");
  if (!node) return;
  const std::string* text = as_text(*node, "'gang'", diagnostics_);
  if (!text) return;
  spec.gang = part.id;  // whatever it is, this pot has no case of its own
  if (fields.given("normal")) {
    diagnostics_.error("N411", fields.key_span("normal"), "a pot with 'gang' has no 'normal' of its own")
        .note(fmt::format("it stands where '{}' stands", *text));
  }
  const auto found = by_name_.find(*text);
  if (found == by_name_.end()) {
    Diagnostic& error =
        diagnostics_.error("N203", node->at, fmt::format("no such part: '{}'", text->substr(0, 100)));
    if (!suggestions_.afford(parts_.size())) return;
    std::vector<std::string> pots;
    for (const Declared& other : parts_) {
      if (other.kind == PartKind::Pot && other.name != part.name) pots.push_back(other.name);
    }
    if (const auto nearest = nearest_name(*text, pots)) {
      error.note(fmt::format("nearest name is '{}', declared", *nearest), parts_[by_name_.at(*nearest)].at);
    }
    return;
  }
  const Declared& partner = parts_[found->second];
  spec.gang = partner.id;
  if (!partner.kind) return;  // reported there
  if (&partner == &part) {
    diagnostics_.error("N410", node->at, "a pot can't be on its own shaft");
  } else if (*partner.kind != PartKind::Pot) {
    diagnostics_.error("N410", node->at, fmt::format("'{}' is not a pot", *text))
        .note("declared", partner.at);
  } else {
    for (std::size_t i = 0; i < partner.body->pairs(); ++i) {
      if (partner.body->key(i).text != "gang") continue;
      diagnostics_.error("N410", node->at, fmt::format("'{}' is itself on another pot's shaft", *text))
          .note("name the pot that has the case; its gang is given", partner.body->key(i).at);
      return;
    }
  }
}

std::optional<PartId> PartReader::add_switch(const Declared& part) {
  Fields fields(*part.body, "a switch", part.at, {"kind", "lugs", "positions", "reach", "place"},
                diagnostics_);
  SwitchSpec spec;
  auto lugs = names(fields, "lugs", "lug");
  if (!lugs) {
    fields.need("positions");
    return std::nullopt;
  }
  spec.lugs = std::move(*lugs);
  // Bad positions leave the lugs as they are.
  if (!read_positions(fields, spec)) spec.positions.clear();
  const PartId id = builder_.add_switch(part.name, spec, part.at);
  keep_where(fields, id);
  return id;
}

bool PartReader::read_positions(Fields& fields, SwitchSpec& spec) {
  const Node* positions = fields.need("positions");
  if (!positions || !as_map(*positions, "'positions'", diagnostics_)) return false;
  if (positions->pairs() == 0 || positions->pairs() > kMostPositions) {
    diagnostics_.error("N417", positions->at,
                       fmt::format("a switch has from 1 to {} positions", kMostPositions));
    return false;
  }
  const std::unordered_set<std::string> lugs(spec.lugs.begin(), spec.lugs.end());
  std::unordered_map<std::string, Span> seen;
  bool fine = true;
  for (std::size_t i = 0; i < positions->pairs(); ++i) {
    const Node& key = positions->key(i);
    const Node& groups = positions->value(i);
    const std::string* name = as_name(key, "a position's name", diagnostics_);
    if (name) {
      const auto [before, fresh] = seen.emplace(*name, key.at);
      if (!fresh)
        diagnostics_.error("N113", key.at, fmt::format("position '{}' is given twice", *name))
            .note("first given", before->second);
    }
    if (groups.kind == Node::Kind::Nothing) {
      diagnostics_.error("N115", key.at, fmt::format("nothing is given for '{}'", key.text))
          .note("where no lugs touch, write '[]'");
      fine = false;
      continue;
    }
    if (!name || !as_list(groups, "a position", diagnostics_)) {
      fine = false;
      continue;
    }
    SwitchSpec::Place place{*name, {}, key.at};
    for (const Node& group : groups.items) {
      if (group.kind != Node::Kind::List) {
        diagnostics_
            .error("N111", group.at, fmt::format("a group of lugs must be a list, not {}", described(group)))
            .note("each group of lugs that touch has brackets of its own: '[[a, b]]'");
        fine = false;
        break;
      }
      if (group.items.size() < 2) {
        diagnostics_.error("N412", group.at, "a group needs at least two lugs that touch");
        fine = false;
        continue;
      }
      std::vector<std::string> touching;
      std::unordered_map<std::string, Span> in_group;
      for (const Node& item : group.items) {
        const std::string* lug = as_text(item, "a lug", diagnostics_);
        if (!lug) {
          fine = false;
          continue;
        }
        if (!lugs.count(*lug)) {
          suggestions_.note(
              diagnostics_.error("N206", item.at,
                                 fmt::format("the switch has no lug '{}'", lug->substr(0, 100))),
              *lug, spec.lugs, "its lugs are");
          fine = false;
          continue;
        }
        const auto [before, fresh] = in_group.emplace(*lug, item.at);
        if (!fresh) {
          diagnostics_.error("N402", item.at, fmt::format("lug '{}' is in this group twice", *lug))
              .note("first given", before->second);
          fine = false;
          continue;
        }
        touching.push_back(*lug);
      }
      place.groups.push_back(std::move(touching));
    }
    spec.positions.push_back(std::move(place));
  }
  return fine;
}

std::optional<PartId> PartReader::add_jack(const Declared& part) {
  Fields fields(*part.body, "a jack", part.at, {"kind", "contacts", "rests", "reach", "place"}, diagnostics_);
  JackSpec spec;
  if (fields.given("contacts")) {
    auto contacts = names(fields, "contacts", "contact");
    if (!contacts) return std::nullopt;
    const bool known = std::all_of(contacts->begin(), contacts->end(), [](const std::string& c) {
      return c == "tip" || c == "ring" || c == "sleeve";
    });
    if (!known || !contains(*contacts, "tip") || !contains(*contacts, "sleeve")) {
      diagnostics_.error("N413", fields.find("contacts")->at,
                         "a jack's contacts must be [tip, sleeve] or [tip, ring, sleeve]");
      return std::nullopt;
    }
    spec.contacts = std::move(*contacts);
  }
  if (!read_rests(fields, spec)) return std::nullopt;
  const PartId id = builder_.add_jack(part.name, spec, part.at);
  keep_where(fields, id);
  return id;
}

bool PartReader::read_rests(const Fields& fields, JackSpec& spec) {
  const Node* rests = fields.find("rests");
  if (!rests) return !fields.given("rests");
  if (!as_map(*rests, "'rests'", diagnostics_)) return false;
  bool fine = true;
  std::unordered_map<std::string, Span> seen;
  for (std::size_t i = 0; i < rests->pairs(); ++i) {
    const Node& key = rests->key(i);
    const std::string* contact = as_text(key, "a contact", diagnostics_);
    const std::string* rest = contact ? as_name(rests->value(i), "a rest's name", diagnostics_) : nullptr;
    if (!contact || !rest) {
      fine = false;
      continue;
    }
    if (!contains(spec.contacts, *contact)) {
      suggestions_.note(
          diagnostics_.error("N206", key.at,
                             fmt::format("the jack has no contact '{}'", contact->substr(0, 100))),
          *contact, spec.contacts, "its contacts are");
      fine = false;
      continue;
    }
    const auto [before, fresh] = seen.emplace(*contact, key.at);
    if (!fresh) {
      diagnostics_.error("N113", key.at, fmt::format("key '{}' is given twice", *contact))
          .note("first given", before->second);
      fine = false;
      continue;
    }
    const bool taken = contains(spec.contacts, *rest) || *rest == "plug-tip" || *rest == "plug-sleeve" ||
                       std::any_of(spec.rests.begin(), spec.rests.end(),
                                   [&](const Pair& other) { return other.second == *rest; });
    if (taken) {
      diagnostics_.error("N205", rests->value(i).at, fmt::format("the jack has a point '{}' already", *rest));
      fine = false;
      continue;
    }
    spec.rests.emplace_back(*contact, *rest);
  }
  return fine;
}

std::optional<PartId> PartReader::add_resistor(const Declared& part) {
  Fields fields(*part.body, "a resistor", part.at, {"kind", "value", "tolerance", "reach", "place"},
                diagnostics_);
  const double value = ohms(fields, "value", "'value'");
  const PartId id = builder_.add_resistor(part.name, value, tolerance(fields, tolerances_.resistor), part.at);
  keep_where(fields, id);
  return id;
}

std::optional<PartId> PartReader::add_capacitor(const Declared& part) {
  Fields fields(*part.body, "a capacitor", part.at, {"kind", "value", "tolerance", "reach", "place"},
                diagnostics_);
  double value = 1e-9;
  if (const Node* node = fields.need("value")) {
    value = as_value(*node, "'value'", "N302", parse_farads, kCapacitance, diagnostics_).value_or(1e-9);
  }
  const PartId id =
      builder_.add_capacitor(part.name, value, tolerance(fields, tolerances_.capacitor), part.at);
  keep_where(fields, id);
  return id;
}

std::optional<PartId> PartReader::add_metal(const Declared& part) {
  Fields fields(*part.body, "a metal part", part.at, {"kind", "points", "reach", "place"}, diagnostics_);
  const auto points = names(fields, "points", "point");
  if (!points) return std::nullopt;
  const PartId id = builder_.add_metal(part.name, *points, part.at);
  keep_where(fields, id);
  return id;
}

std::optional<PartId> PartReader::add_battery(const Declared& part) {
  Fields fields(*part.body, "a battery", part.at, {"kind", "voltage", "reach", "place"}, diagnostics_);
  double volts = 9;
  if (const Node* node = fields.need("voltage")) {
    volts = as_value(*node, "'voltage'", "N306", parse_volts, kVoltage, diagnostics_).value_or(9);
  }
  const PartId id = builder_.add_battery(part.name, volts, part.at);
  keep_where(fields, id);
  return id;
}

std::optional<PartId> PartReader::add_module(const Declared& part) {
  Fields fields(*part.body, "a module", part.at, {"kind", "points", "reach", "place"}, diagnostics_);
  const auto points = names(fields, "points", "point");
  if (!points) return std::nullopt;
  const PartId id = builder_.add_module(part.name, *points, part.at);
  keep_where(fields, id);
  return id;
}

}  // namespace lugwise::inside
