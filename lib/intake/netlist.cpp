#include "intake/netlist.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>
#include <set>
#include <unordered_map>
#include <unordered_set>
#include <utility>
#include <vector>

#include "harness/builder.h"
#include "intake/inside/fields.h"
#include "intake/inside/meter_map.h"
#include "intake/inside/part_reader.h"
#include "intake/inside/point_reader.h"
#include "intake/inside/tree.h"
#include "intake/value.h"
#include "source/fingerprint.h"
#include "source/nearest.h"

namespace lugwise {
namespace {

using namespace inside;

constexpr Limits kSmallOhms{0, 1000, "from 0 to 1000 ohms"};
constexpr Limits kEndShare{0, 0.5, "from 0% to 50%"};
constexpr Limits kTolerance{0, 0.9999, "at least 0% and less than 100%"};
constexpr std::size_t kMostOnRun = 10'000;
constexpr std::size_t kMostStages = 1000;
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

class NetlistReader {
 public:
  explicit NetlistReader(Diagnostics& diagnostics) : diagnostics_(diagnostics) {}

  std::optional<Netlist> read(const Node& root) {
    if (!right_kind(root)) return std::nullopt;
    Fields fields(root, "a netlist", root.at,
                  {"lugwise", "name", "about", "parts", "joints", "wires", "touches", "defaults", "stages",
                   "reach", "meter", "temperature"},
                  diagnostics_);
    const Defaults defaults = read_defaults(fields.find("defaults"));
    HarnessBuilder builder(defaults);
    builder_ = &builder;
    read_title(fields);

    PartReader parts(builder, defaults.tolerance, diagnostics_);
    parts_ = &parts;
    PointReader points(builder.so_far(), &parts, diagnostics_);
    points_ = &points;
    if (const Node* node = fields.need("parts")) {
      parts.read(*node);
    } else {
      return std::nullopt;  // without parts no point has a meaning
    }
    read_wires(fields.find("wires"));
    read_joints(fields.find("joints"));
    read_touches(fields.find("touches"));
    read_stages(fields.find("stages"));
    read_reach(fields.find("reach"));

    Netlist netlist;
    if (const Node* node = fields.find("meter"))
      netlist.meter = read_meter_map(*node, fields.key_span("meter"), diagnostics_);
    if (const Node* node = fields.find("temperature"))
      netlist.temperature = read_temperature(*node, diagnostics_);
    if (diagnostics_.failed()) return std::nullopt;
    netlist.places = parts.places();
    netlist.harness = builder.build();
    return netlist;
  }

 private:
  const Harness& harness() const { return builder_->so_far(); }
  const std::string& name(PointId id) const { return harness()[id].name; }

  bool right_kind(const Node& root) {
    if (root.kind != Node::Kind::Map) {
      diagnostics_.error("N116", root.at, "not a netlist: it must be a map of 'key: value'")
          .note("a netlist begins with 'lugwise: 1'");
      return false;
    }
    const Node* readings = nullptr;
    bool parts = false;
    for (std::size_t i = 0; i < root.pairs(); ++i) {
      if (root.key(i).text == "lugwise-readings") readings = &root.key(i);
      if (root.key(i).text == "parts") parts = true;
      if (root.key(i).text != "lugwise") continue;
      const Node& version = root.value(i);
      if (version.kind == Node::Kind::Nothing) return true;  // reported among the keys
      const std::string* text = as_text(version, "'lugwise'", diagnostics_);
      if (!text) return false;
      if (*text == "1") return true;
      diagnostics_
          .error(
              "N117", version.at,
              fmt::format("version '{}' of the netlist is not one this program reads", text->substr(0, 60)))
          .note("it reads version 1");
      return false;
    }
    if (readings) {
      diagnostics_.error("N116", readings->at, "this is a readings file, not a netlist");
    } else {
      diagnostics_.error("N116", {}, "not a netlist: 'lugwise: 1' is missing")
          .note("it says which version of the format the file is in");
    }
    return parts && !readings;  // what else is wrong with it is told too
  }

  void read_title(const Fields& fields) {
    const auto text = [&](std::string_view key) {
      const Node* node = fields.find(key);
      const std::string* found = node ? as_text(*node, fmt::format("'{}'", key), diagnostics_) : nullptr;
      return found ? *found : std::string();
    };
    std::string title = text("name");
    builder_->title(std::move(title), text("about"));
  }

  Defaults read_defaults(const Node* node) {
    Defaults defaults;
    if (!node || !as_map(*node, "'defaults'", diagnostics_)) return defaults;
    Fields fields(*node, "'defaults'", node->at, {"joint", "wire", "contact", "end", "tolerance"},
                  diagnostics_);
    const auto ohms = [&](std::string_view key, Ohms& into) {
      if (const Node* value = fields.find(key)) {
        into = as_value(*value, fmt::format("'{}'", key), "N301", parse_ohms, kSmallOhms, diagnostics_)
                   .value_or(into);
      }
    };
    ohms("joint", defaults.joint);
    ohms("wire", defaults.wire);
    ohms("contact", defaults.contact);
    if (const Node* end = fields.find("end")) {
      defaults.end =
          as_value(*end, "'end'", "N303", parse_share, kEndShare, diagnostics_).value_or(defaults.end);
    }
    const Node* tolerance = fields.find("tolerance");
    if (!tolerance || !as_map(*tolerance, "'tolerance'", diagnostics_)) return defaults;
    Fields kinds(*tolerance, "'tolerance'", tolerance->at, {"pickup", "pot", "resistor", "capacitor"},
                 diagnostics_);
    const auto share = [&](std::string_view key, double& into) {
      if (const Node* value = kinds.find(key)) {
        into =
            as_value(*value, "the tolerance", "N303", parse_share, kTolerance, diagnostics_).value_or(into);
      }
    };
    share("pickup", defaults.tolerance.pickup);
    share("pot", defaults.tolerance.pot);
    share("resistor", defaults.tolerance.resistor);
    share("capacitor", defaults.tolerance.capacitor);
    return defaults;
  }

  // ---- wires

  using Names = std::unordered_map<std::string, Span>;

  void read_wires(const Node* node) {
    if (!node || !as_list(*node, "'wires'", diagnostics_)) return;
    std::vector<WireSpec> specs;
    Names names;
    for (const Node& entry : node->items) {
      WireSpec spec;
      spec.at = entry.at;
      const bool fine =
          entry.kind == Node::Kind::Map ? read_long_wire(entry, names, spec) : read_run(entry, spec);
      if (fine) {
        specs.push_back(std::move(spec));
      } else {
        lose(entry);
      }
    }
    keep_places_free(*node, names);
    if (diagnostics_.failed()) {
      // Wires are missing and names may clash, but the ends' names are needed to check the rest of the file.
      std::unordered_set<std::string> taken;
      for (WireSpec& spec : specs) {
        if (spec.name.starts_with("wire-") || !taken.insert(spec.name).second) spec.name.clear();
      }
    }
    builder_->add_wires(specs);
    for (const Element& element : harness().elements()) {
      if (element.kind == ElementKind::Contact && element.pressed) pressed_.insert(element.b);
    }
  }

  // Remembers the legs of a wire that can't be built, so that its ends are not called unknown later.
  void lose(const Node& entry) {
    const auto remember = [&](const Node& run) {
      for (std::size_t i = 0; i + 1 < run.items.size(); ++i)
        points_->lost_leg(run.items[i].text, run.items[i + 1].text);
    };
    if (entry.kind == Node::Kind::List) remember(entry);
    if (entry.kind != Node::Kind::Map) return;
    for (std::size_t i = 0; i < entry.pairs(); ++i) {
      if (entry.key(i).text == "run" || entry.key(i).text == "braid") remember(entry.value(i));
    }
  }

  // A wire without a name is called by its place in the list; no other may be called so.
  void keep_places_free(const Node& wires, const Names& names) {
    for (const auto& [name, at] : names) {
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

  bool read_long_wire(const Node& entry, Names& names, WireSpec& spec) {
    Fields fields(entry, "a wire", entry.at,
                  {"run", "name", "colour", "gauge", "length", "pressed", "uncut", "braid"}, diagnostics_);
    if (const Node* node = fields.find("name")) {
      const std::string* text = as_text(*node, "a wire's name", diagnostics_);
      if (text && good_wire_name(*text)) {
        const auto [before, fresh] = names.emplace(*text, node->at);
        if (fresh) {
          spec.name = *text;
        } else {
          diagnostics_.error("N205", node->at, fmt::format("a wire named '{}' is there already", *text))
              .note("first given", before->second);
        }
      } else if (text) {
        diagnostics_.error("N201", node->at, fmt::format("not a wire's name: '{}'", text->substr(0, 100)))
            .note("it is at most 100 characters, without ':' and '>'");
      }
    }
    if (const Node* node = fields.find("colour")) {
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
    if (const Node* node = fields.find("pressed")) {
      const auto pressed = as_texts(*node, "'pressed'", diagnostics_);
      if (!pressed) return false;
      for (const Node* item : *pressed) {
        const auto point = points_->point(*item);
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
                .note("its run is given", run->at);
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
    }
    return fine;
  }

  static bool good_wire_name(const std::string& text) {
    constexpr std::size_t kLongest = 100;
    return !text.empty() && text.size() <= kLongest && text.find_first_of(":>\n") == std::string::npos;
  }

  // A point a wire can be joined to.
  std::optional<PointId> wire_point(const Node& node) {
    const auto point = points_->point(node);
    if (!point || !can_be_joined(*point, node)) return std::nullopt;
    if (harness()[*point].role == PointRole::WireEnd) {
      diagnostics_.error("N414", node.at,
                         fmt::format("'{}' is a wire's end; a wire runs from point to point", node.text));
      return std::nullopt;
    }
    return point;
  }

  bool read_run(const Node& node, WireSpec& spec) {
    if (!as_list(node, "a wire", diagnostics_)) return false;
    if (node.items.size() < 2 || node.items.size() > kMostOnRun) {
      diagnostics_.error("N404", node.at,
                         node.items.size() < 2 ? "a wire joins at least two points"
                                               : fmt::format("a wire joins at most {} points", kMostOnRun));
      return false;
    }
    bool fine = true;
    std::vector<std::optional<PointId>> run;
    for (const Node& item : node.items) {
      run.push_back(wire_point(item));
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

  bool read_braid(const Node& node, std::size_t run_points, bool run_fine, WireSpec& spec) {
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
      ends[i] = wire_point(node.items[i]);
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

  // ---- joints and touches

  // Not the far end of the test cable, and not a coil's end inside its pickup.
  bool can_be_joined(PointId point, const Node& node) {
    const PointRole role = harness()[point].role;
    if (role == PointRole::Plug) {
      diagnostics_.error(
          "N414", node.at,
          fmt::format("'{}' is the far end of the test cable: nothing is joined to it", node.text));
      return false;
    }
    if (role == PointRole::Inside) {
      diagnostics_
          .error("N414", node.at,
                 fmt::format("'{}' is inside the pickup: nothing outside is joined to it", node.text))
          .note("a lead that comes out is given under 'leads'");
      return false;
    }
    return true;
  }

  // The points of a joint or touch; none where one of them is in doubt.
  std::optional<std::vector<PointId>> entry_points(const Node& node, std::string_view what) {
    if (!as_list(node, fmt::format("a {}", what), diagnostics_)) return std::nullopt;
    if (node.items.size() < 2) {
      diagnostics_.error("N401", node.at, fmt::format("a {} needs at least two points", what));
      return std::nullopt;
    }
    std::vector<PointId> points;
    std::unordered_map<PointId, const Node*> seen;
    bool fine = true;
    for (const Node& item : node.items) {
      const auto point = points_->point(item);
      if (!point || !can_be_joined(*point, item)) {
        fine = false;
        continue;
      }
      const auto [before, fresh] = seen.emplace(*point, &item);
      if (!fresh) {
        const std::string& first = before->second->text;
        Diagnostic& error =
            diagnostics_.error("N402", item.at, fmt::format("'{}' is in this {} twice", item.text, what));
        error.note(first == item.text ? "first given"
                                      : fmt::format("as '{}', another name of the same point,", first),
                   before->second->at);
        fine = false;
        continue;
      }
      points.push_back(*point);
    }
    if (!fine) return std::nullopt;
    return points;
  }

  using Pairs = std::map<std::pair<PointId, PointId>, Span>;

  bool pairs_are_new(const std::vector<PointId>& points, const Node& node, std::string_view how,
                     Pairs& pairs) {
    bool fine = true;
    for (std::size_t i = 1; i < points.size(); ++i) {
      const auto [before, fresh] = pairs.emplace(std::minmax(points[0], points[i]), node.items[i].at);
      if (fresh) continue;
      diagnostics_
          .error("N403", node.items[i].at,
                 fmt::format("'{}' {} '{}' already", node.items[i].text, how, node.items[0].text))
          .note("first given", before->second);
      fine = false;
    }
    return fine;
  }

  void read_joints(const Node* node) {
    if (!node || !as_list(*node, "'joints'", diagnostics_)) return;
    Pairs pairs;
    for (const Node& entry : node->items) {
      const auto points = entry_points(entry, "joint");
      if (!points || !ends_are_here(*points, entry) ||
          !pairs_are_new(*points, entry, "is soldered to", pairs))
        continue;
      builder_->add_joint(points->front(), {points->begin() + 1, points->end()}, entry.at);
    }
  }

  // Wire ends can only be in a joint at their own point, and not where they are pressed.
  bool ends_are_here(const std::vector<PointId>& points, const Node& entry) {
    bool fine = true;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const Point& point = harness()[points[i]];
      if (point.role != PointRole::WireEnd) continue;
      const Node& item = entry.items[i];
      if (i == 0) {
        diagnostics_
            .error("N414", item.at, fmt::format("a joint can't begin with a wire's end: '{}'", item.text))
            .note("first comes the lug, case or lead it is soldered to");
      } else if (!point.on) {
        diagnostics_.error("N415", item.at,
                           fmt::format("'{}' is left free, so it is in no joint", item.text));
      } else if (*point.on != points[0]) {
        diagnostics_.error(
            "N415", item.at,
            fmt::format("'{}' is at '{}', not at '{}'", item.text, name(*point.on), entry.items[0].text));
      } else if (pressed_.count(points[i])) {
        diagnostics_.error("N408", item.at, fmt::format("'{}' is pressed, so it is in no joint", item.text))
            .note("its wire is given", point.at);
      } else {
        continue;
      }
      fine = false;
    }
    return fine;
  }

  void read_touches(const Node* node) {
    if (!node || !as_list(*node, "'touches'", diagnostics_)) return;
    Pairs pairs;
    for (const Node& entry : node->items) {
      const Node* list = &entry;
      bool closed = false;
      if (entry.kind == Node::Kind::Map) {
        Fields fields(entry, "a touch", entry.at, {"points", "closed"}, diagnostics_);
        if (const Node* flag = fields.find("closed"))
          closed = as_flag(*flag, "'closed'", diagnostics_).value_or(false);
        list = fields.need("points");
        if (!list) continue;
      }
      const auto points = entry_points(*list, "touch");
      if (!points || !pairs_are_new(*points, *list, "touches", pairs)) continue;
      builder_->add_touch(*points, closed, entry.at);
    }
  }

  // ---- stages and reach

  void read_stages(const Node* node) {
    if (!node || !as_map(*node, "'stages'", diagnostics_)) return;
    if (node->pairs() > kMostStages) {
      diagnostics_.error("N417", node->at, fmt::format("a netlist has at most {} stages", kMostStages));
      return;
    }
    std::unordered_map<std::string, Span> seen;
    for (std::size_t i = 0; i < node->pairs(); ++i) {
      const Node& key = node->key(i);
      const Node& body = node->value(i);
      const std::string* name = as_name(key, "a stage's name", diagnostics_);
      if (!name) continue;
      const auto [before, fresh] = seen.emplace(*name, key.at);
      if (!fresh) {
        diagnostics_.error("N113", key.at, fmt::format("stage '{}' is given twice", *name))
            .note("first given", before->second);
        continue;
      }
      if (body.kind == Node::Kind::Nothing) {
        diagnostics_.error("N115", key.at, fmt::format("nothing is given for '{}'", *name));
        continue;
      }
      if (!as_map(body, "a stage", diagnostics_)) continue;
      Fields fields(body, "a stage", key.at, {"without"}, diagnostics_);
      const Node* without = fields.need("without");
      const auto parts = without ? as_texts(*without, "'without'", diagnostics_) : std::nullopt;
      if (!parts) continue;
      Stage stage{*name, {}, key.at};
      std::unordered_map<PartId, Span> missing;
      for (const Node* item : *parts) {
        const auto part = points_->part(*item, "a part");
        if (!part) continue;
        const auto [first, once] = missing.emplace(*part, item->at);
        if (once) {
          stage.without.push_back(*part);
        } else {
          diagnostics_.error("N402", item->at, fmt::format("'{}' is in this list twice", item->text))
              .note("first given", first->second);
        }
      }
      builder_->add_stage(std::move(stage));
    }
  }

  std::optional<Reach> reach_of(const Node& node) {
    if (node.kind == Node::Kind::Nothing) {
      diagnostics_.error("N115", node.at, "nothing is given for this reach");
      return std::nullopt;
    }
    const std::string* text = as_name(node, "a reach", diagnostics_);
    if (!text) return std::nullopt;
    if (*text == "outside") return Reach{ReachKind::Outside, {}};
    if (*text == "cavity") return Reach{ReachKind::Cavity, {}};
    if (*text == "hidden") return Reach{ReachKind::Hidden, {}};
    for (const std::string_view word : {"outside", "cavity", "hidden"}) {
      if (edit_distance(*text, word, 3) > 2) continue;
      diagnostics_.warning("N209", node.at, fmt::format("'{}' is taken as the name of a cover", *text))
          .note(fmt::format("did you mean '{}'?", word));
      break;
    }
    return Reach{ReachKind::Cover, *text};
  }

  void read_reach(const Node* node) {
    std::unordered_map<PartId, Span> of_part;
    std::unordered_map<PointId, Span> of_point;
    for (const PartReader::OwnReach& own : parts_->own_reach()) {
      of_part.emplace(own.part, own.value->at);
      if (const auto reach = reach_of(*own.value)) builder_->set_reach(own.part, *reach);
    }
    if (!node || !as_map(*node, "'reach'", diagnostics_)) return;
    for (std::size_t i = 0; i < node->pairs(); ++i) {
      const Node& key = node->key(i);
      const std::string* text = as_text(key, "a part or point", diagnostics_);
      if (!text) continue;
      const auto reach = reach_of(node->value(i));
      const auto twice = [&](Span before) {
        diagnostics_.error("N416", key.at, fmt::format("the reach of '{}' is given twice", *text))
            .note("first given", before);
      };
      if (text->find_first_of(".>") == std::string::npos) {
        const auto part = points_->part(key, "a part");
        if (!part) continue;
        const auto [before, fresh] = of_part.emplace(*part, key.at);
        if (!fresh) {
          twice(before->second);
        } else if (reach) {
          builder_->set_reach(*part, *reach);
        }
      } else {
        const auto point = points_->point(key);
        if (!point) continue;
        if (harness()[*point].role == PointRole::Inside) {
          diagnostics_.error("N414", key.at,
                             fmt::format("'{}' is inside the pickup: no probe gets there", *text));
          continue;
        }
        const auto [before, fresh] = of_point.emplace(*point, key.at);
        if (!fresh) {
          twice(before->second);
        } else if (reach) {
          builder_->set_reach(*point, *reach);
        }
      }
    }
  }

  Diagnostics& diagnostics_;
  HarnessBuilder* builder_ = nullptr;
  PartReader* parts_ = nullptr;
  PointReader* points_ = nullptr;
  std::unordered_set<PointId> pressed_;
};

}  // namespace

std::optional<Netlist> read_netlist(std::string_view text, Diagnostics& diagnostics) {
  const SourceText source(text);
  const auto root = parse_tree(source, diagnostics);
  if (!root) return std::nullopt;
  auto netlist = NetlistReader(diagnostics).read(*root);
  if (netlist) netlist->id = fingerprint(text);
  return netlist;
}

}  // namespace lugwise
