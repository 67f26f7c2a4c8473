#include "intake/netlist.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "harness/builder.h"
#include "intake/inside/defaults_reader.h"
#include "intake/inside/fields.h"
#include "intake/inside/joint_reader.h"
#include "intake/inside/meter_map.h"
#include "intake/inside/named_values.h"
#include "intake/inside/opening.h"
#include "intake/inside/part_reader.h"
#include "intake/inside/point_reader.h"
#include "intake/inside/reach_reader.h"
#include "intake/inside/stage_reader.h"
#include "intake/inside/tree.h"
#include "intake/inside/tree_text.h"
#include "intake/inside/variant.h"
#include "intake/inside/wire_reader.h"
#include "source/fingerprint.h"
#include "source/nearest.h"

namespace lugwise {
namespace {

using namespace intake::inside;

class NetlistReader {
 public:
  explicit NetlistReader(Diagnostics& diagnostics) : diagnostics_(diagnostics) {}

  std::optional<Netlist> read(const Node& root) {
    if (!right_kind(root)) return std::nullopt;
    Fields fields(root, "a netlist", root.at,
                  {"lugwise", "from", "without", "values", "name", "about", "parts", "joints", "wires",
                   "touches", "defaults", "stages", "reach", "meter", "temperature", "opening"},
                  diagnostics_);
    const Defaults defaults = read_defaults(fields.find("defaults"), diagnostics_);
    HarnessBuilder builder(defaults);
    read_title(fields, builder);

    PartReader parts(builder, defaults.tolerance, diagnostics_);
    PointReader points(builder.so_far(), &parts, diagnostics_);
    const Node* declared = fields.need("parts");
    if (!declared) return std::nullopt;  // without parts no point has a meaning
    parts.read(*declared);
    WireReader wires(builder, points, diagnostics_);
    if (fields.mistyped("wires")) points.lose_all_legs();
    wires.read(fields.find("wires"));
    JointReader joints(builder, points, wires, diagnostics_);
    joints.read_joints(fields.find("joints"));
    joints.read_touches(fields.find("touches"));
    read_stages(fields.find("stages"), builder, points, diagnostics_);
    read_reach(fields.find("reach"), parts.own_reach(), builder, points, diagnostics_);

    Netlist netlist;
    if (const Node* node = fields.find("meter"))
      netlist.meter = read_meter_map(*node, fields.key_span("meter"), diagnostics_);
    if (const Node* node = fields.find("temperature"))
      netlist.temperature = read_temperature(*node, diagnostics_);
    if (const Node* node = fields.find("opening")) netlist.opening = read_opening(*node, diagnostics_);
    if (diagnostics_.failed()) return std::nullopt;
    netlist.places = parts.places();
    if (const Node* node = fields.find("opening")) netlist.places.cavity = cavity_of_opening(*node);
    netlist.harness = builder.build();
    return netlist;
  }

 private:
  bool right_kind(const Node& root) {
    if (root.kind != Node::Kind::Map) {
      diagnostics_.error("N116", root.at, "not a netlist: it must be a map of 'key: value'")
          .note("a netlist begins with 'lugwise: 1'");
      return false;
    }
    const Node* readings = nullptr;
    bool parts = false;
    bool mistyped = false;  // which is reported among the keys
    for (std::size_t i = 0; i < root.pairs(); ++i) {
      if (root.key(i).text == "lugwise-readings") readings = &root.key(i);
      if (root.key(i).text == "parts") parts = true;
      if (root.key(i).text != "lugwise") {
        mistyped |= nearest_name(root.key(i).text, {"lugwise"}).has_value();
        continue;
      }
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
    if (mistyped && parts && !readings) return true;
    if (readings) {
      diagnostics_.error("N116", readings->at, "this is a readings file, not a netlist");
    } else {
      diagnostics_.error("N116", {}, "not a netlist: 'lugwise: 1' is missing")
          .note("it says which version of the format the file is in");
    }
    return parts && !readings;  // what else is wrong with it is told too
  }

  void read_title(const Fields& fields, HarnessBuilder& builder) {
    const auto text = [&](std::string_view key) {
      const Node* node = fields.find(key);
      const std::string* found = node ? as_text(*node, fmt::format("'{}'", key), diagnostics_) : nullptr;
      return found ? *found : std::string();
    };
    std::string title = text("name");
    builder.title(std::move(title), text("about"));
  }

  Diagnostics& diagnostics_;
};

// By name, the last of each.
std::vector<ChosenValue> each_once(std::vector<ChosenValue> values) {
  std::reverse(values.begin(), values.end());
  std::stable_sort(values.begin(), values.end(),
                   [](const ChosenValue& x, const ChosenValue& y) { return x.name < y.name; });
  const auto same = [](const ChosenValue& x, const ChosenValue& y) { return x.name == y.name; };
  values.erase(std::unique(values.begin(), values.end(), same), values.end());
  return values;
}

}  // namespace

std::optional<Netlist> read_netlist(std::string_view text, Diagnostics& diagnostics,
                                    const NetlistSources& sources) {
  std::string read;
  auto root = whole_tree(text, sources, diagnostics, read);
  if (!root) return std::nullopt;
  std::vector<ChosenValue> values = each_once(sources.values);
  put_in_values(*root, values, diagnostics);
  auto netlist = NetlistReader(diagnostics).read(*root);
  if (!netlist) return netlist;
  // All that the harness depends on: the files it starts from, and values given from outside.
  for (const ChosenValue& value : values) read += '\0' + value.name + '=' + value.text;
  netlist->id = fingerprint(read);
  netlist->values = std::move(values);
  netlist->harness.files = diagnostics.files();
  return netlist;
}

std::optional<std::string> in_one_text(std::string_view text, const std::string& file,
                                       const NetlistSources& sources) {
  std::string read;
  Diagnostics unheard(file);
  const auto root = whole_tree(text, sources, unheard, read);
  if (!root || unheard.failed()) return std::nullopt;
  // Nothing but the text itself was read where it starts from no other.
  return read.size() == text.size() ? std::string(text) : tree_text(*root);
}

}  // namespace lugwise
