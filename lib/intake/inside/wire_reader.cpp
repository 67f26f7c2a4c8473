#include "intake/inside/wire_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>
#include <unordered_set>
#include <utility>

#include "intake/inside/fields.h"

namespace lugwise::intake::inside {
namespace {

constexpr std::size_t kMostOnRun = 10'000;
constexpr Limits kGauge{4, 50, "from 4 to 50"};
constexpr Limits kLength{1e-4, 100, "more than 0 and at most 100 m"};

// `22`, `22 AWG`, `AWG 22`.
Parsed<double> parse_gauge(std::string_view text) {
  std::string_view number = text;
  if (number.ends_with("AWG")) number.remove_suffix(3);
  if (number.starts_with("AWG")) number.remove_prefix(3);
  Parsed<double> parsed = parse_number(number);
  if (!parsed.value) {
    parsed.problem = fmt::format("not a wire gauge: '{}'", text.substr(0, 60));
    parsed.hint = "write the AWG number, as '22'";
  }
  return parsed;
}

bool good_wire_name(const std::string& text) {
  constexpr std::size_t kLongest = 100;
  return !text.empty() && text.size() <= kLongest && text.find_first_of(":>\n") == std::string::npos;
}

}  // namespace

void WireReader::read(const Node* node) {
  if (!node || !as_list(*node, "'wires'", diagnostics_)) return;
  std::vector<WireSpec> specs;
  for (const Node& entry : node->items) {
    WireSpec spec;
    spec.at = entry.at;
    const bool fine = entry.kind == Node::Kind::Map ? read_long_wire(entry, spec) : read_run(entry, spec);
    if (fine) {
      specs.push_back(std::move(spec));
    } else {
      lose(entry);
    }
  }
  keep_places_free(*node);
  warn_of_doubles(specs);
  if (diagnostics_.failed()) {
    // Wires are missing and names may clash, but the ends' names are needed to check the rest of the file.
    std::unordered_set<std::string> taken;
    for (WireSpec& spec : specs) {
      if (spec.name.starts_with("wire-") || !taken.insert(spec.name).second) spec.name.clear();
    }
  }
  builder_.add_wires(specs);
  for (const Element& element : builder_.so_far().elements()) {
    if (element.kind == ElementKind::Contact && element.pressed) pressed_.insert(element.b);
  }
}

// Two wires between the same two points are meant where one of them has a name of its own; else one was probably written twice.
void WireReader::warn_of_doubles(const std::vector<WireSpec>& specs) {
  std::map<std::pair<PointId, PointId>, Span> legs;
  for (const WireSpec& spec : specs) {
    if (!spec.name.empty() && !spec.braid) continue;
    for (std::size_t i = 0; i + 1 < spec.run.size(); ++i) {
      const auto [before, fresh] = legs.emplace(std::minmax(spec.run[i], spec.run[i + 1]), spec.at);
      if (fresh || before->second == spec.at) continue;
      const Harness& harness = builder_.so_far();
      diagnostics_
          .warning("N210", spec.at,
                   fmt::format("a second wire between '{}' and '{}'", harness[spec.run[i]].name,
                               harness[spec.run[i + 1]].name))
          .note("if there are two, give one a 'name'; the first is given", before->second);
    }
  }
}

// Remembers the legs of a wire that can't be built, so that its ends are not called unknown later.
void WireReader::lose(const Node& entry) {
  const auto remember = [&](const Node& run) {
    for (std::size_t i = 0; i + 1 < run.items.size(); ++i)
      points_.lost_leg(run.items[i].text, run.items[i + 1].text);
  };
  if (entry.kind == Node::Kind::List) remember(entry);
  if (entry.kind != Node::Kind::Map) return;
  for (std::size_t i = 0; i < entry.pairs(); ++i) {
    if (entry.key(i).text == "run" || entry.key(i).text == "braid") remember(entry.value(i));
  }
}

// A wire without a name is called by its place in the list; no other may be called so.
void WireReader::keep_places_free(const Node& wires) {
  for (const auto& [name, at] : names_.first()) {
    if (!name.starts_with("wire-") || name.size() > 12) continue;
    std::size_t place = 0;
    const auto parsed = std::from_chars(name.data() + 5, name.data() + name.size(), place);
    if (parsed.ptr != name.data() + name.size() || place == 0 || place > wires.items.size()) continue;
    const Node& other = wires.items[place - 1];
    const bool named =
        other.kind == Node::Kind::Map && std::any_of(other.items.begin(), other.items.end(),
                                                     [](const Node& key) { return key.text == "name"; });
    if (named) continue;
    diagnostics_.error("N205", at, fmt::format("a wire named '{}' is there already", name))
        .note("a wire without a name is called by its place in the list, as the one", other.at);
  }
}

bool WireReader::read_long_wire(const Node& entry, WireSpec& spec) {
  Fields fields(entry, "a wire", entry.at,
                {"run", "name", "colour", "color", "gauge", "length", "pressed", "uncut", "braid"},
                diagnostics_);
  if (const Node* node = fields.find("name")) {
    read_name(*node, spec);
  }
  for (const char* key : {"color", "colour"}) {
    const Node* node = fields.find(key);
    if (!node) continue;
    if (const std::string* text = as_text(*node, "'colour'", diagnostics_)) spec.colour = *text;
  }
  if (const Node* node = fields.find("gauge")) {
    spec.gauge = as_value(*node, "'gauge'", "N305", parse_gauge, kGauge, diagnostics_);
  }
  if (const Node* node = fields.find("length")) {
    spec.length = as_value(*node, "'length'", "N304", parse_length, kLength, diagnostics_);
  }
  if (const Node* node = fields.find("uncut"))
    spec.uncut = as_flag(*node, "'uncut'", diagnostics_).value_or(false);
  const Node* run = fields.need("run");
  if (!run) return false;
  bool fine = read_run(*run, spec);
  if (fields.given("braid")) {
    const Node* braid = fields.find("braid");
    if (!braid || !read_braid(*braid, run->items.size(), fine, spec)) fine = false;
  }
  if (const Node* node = fields.find("pressed")) return read_pressed(*node, *run, fine, spec);
  return fine;
}

void WireReader::read_name(const Node& node, WireSpec& spec) {
  const std::string* text = as_text(node, "a wire's name", diagnostics_);
  if (!text) return;
  if (!good_wire_name(*text)) {
    diagnostics_.error("N201", node.at, fmt::format("not a wire's name: '{}'", text->substr(0, 100)))
        .note("it is at most 100 characters, without ':' and '>'");
    return;
  }
  const auto twice = [&] { return fmt::format("a wire named '{}' is there already", *text); };
  if (names_.take(*text, node.at, "N205", twice)) spec.name = *text;
}

// `fine`: the run has been read without an error, so that it is known where the wire goes.
bool WireReader::read_pressed(const Node& node, const Node& run, bool fine, WireSpec& spec) {
  const auto pressed = as_texts(node, "'pressed'", diagnostics_);
  if (!pressed) return false;
  for (const Node* item : *pressed) {
    const auto point = points_.point(*item);
    if (!point) {
      fine = false;
      continue;
    }
    const auto on = [&](std::optional<PointId> other) { return other == point; };
    const bool known = std::any_of(spec.run.begin(), spec.run.end(), on) ||
                       (spec.braid && (on(spec.braid->first) || on(spec.braid->second)));
    if (!known) {
      if (fine) {
        diagnostics_
            .error("N407", item->at,
                   fmt::format("'{}' is pressed, but the wire does not go there", item->text))
            .note("its run is given", run.at);
      }
      fine = false;
      continue;
    }
    if (std::find(spec.pressed.begin(), spec.pressed.end(), *point) != spec.pressed.end()) {
      diagnostics_.error("N402", item->at, fmt::format("'{}' is in this list twice", item->text));
      fine = false;
      continue;
    }
    spec.pressed.push_back(*point);
  }
  return fine;
}

bool WireReader::read_run(const Node& node, WireSpec& spec) {
  if (!as_list(node, "a wire", diagnostics_)) return false;
  if (node.items.size() < 2 || node.items.size() > kMostOnRun) {
    Diagnostic& error =
        diagnostics_.error("N404", node.at,
                           node.items.size() < 2 ? "a wire joins at least two points"
                                                 : fmt::format("a wire joins at most {} points", kMostOnRun));
    const std::string list = node.items.size() == 1 ? meant_list(node.items.front()) : "";
    if (!list.empty()) error.note(fmt::format("a comma goes between: '{}'", list));
    return false;
  }
  bool fine = true;
  std::vector<std::optional<PointId>> run;
  for (const Node& item : node.items) {
    run.push_back(points_.for_wire(item));
    if (run.back()) {
      spec.run.push_back(*run.back());
    } else {
      fine = false;
    }
  }
  std::map<std::pair<PointId, PointId>, Span> legs;
  for (std::size_t i = 0; i + 1 < run.size(); ++i) {
    if (!run[i] || !run[i + 1]) continue;
    const Node& to = node.items[i + 1];
    if (run[i] == run[i + 1]) {
      diagnostics_.error("N405", to.at, fmt::format("a wire from '{}' to itself", to.text));
      fine = false;
      continue;
    }
    const auto [before, fresh] = legs.emplace(std::minmax(*run[i], *run[i + 1]), to.at);
    if (fresh) continue;
    diagnostics_
        .error("N406", to.at,
               fmt::format("this wire runs between '{}' and '{}' twice", node.items[i].text, to.text))
        .note("it got there before", before->second);
    fine = false;
  }
  return fine;
}

bool WireReader::read_braid(const Node& node, std::size_t run_points, bool run_fine, WireSpec& spec) {
  if (!as_list(node, "'braid'", diagnostics_)) return false;
  if (run_points != 2) {
    diagnostics_.error("N409", node.at, "a braid needs a run of two points");
    return false;
  }
  if (node.items.size() != 2) {
    diagnostics_.error("N409", node.at, fmt::format("a braid has two ends, not {}", node.items.size()))
        .note("an end that is joined to nothing is 'free'");
    return false;
  }
  bool fine = true;
  std::optional<PointId> ends[2];
  for (std::size_t i = 0; i < 2; ++i) {
    if (node.items[i].kind == Node::Kind::Text && node.items[i].text == "free") continue;
    ends[i] = points_.for_wire(node.items[i]);
    if (!ends[i]) fine = false;
  }
  if (!fine) return false;
  if (!ends[0] && !ends[1]) {
    diagnostics_.error("N409", node.at, "a braid with both ends free does nothing").note("leave it out");
    return false;
  }
  if (ends[0] == ends[1]) {
    diagnostics_.error("N405", node.items[1].at,
                       fmt::format("a wire from '{}' to itself", node.items[1].text));
    return false;
  }
  if (run_fine && ends[0] && ends[1] &&
      std::minmax(*ends[0], *ends[1]) == std::minmax(spec.run[0], spec.run[1])) {
    diagnostics_.error("N409", node.at, "the braid joins the same two points as its core");
    return false;
  }
  spec.braid.emplace(ends[0], ends[1]);
  return true;
}

}  // namespace lugwise::intake::inside
