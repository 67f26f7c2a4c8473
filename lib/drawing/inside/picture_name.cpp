#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "drawing/inside/lettering.h"
#include "drawing/inside/picture.h"

namespace lugwise::drawing::inside {
namespace {

constexpr double kLabelSize = 10;

}  // namespace

void Picture::write(const Lettering& lettering, const std::string& attributes) {
  words_.push_back(box_of(lettering));
  pen_.text(lettering, attributes);
}

void Picture::gather_obstacles() {
  for (const PlacedPart& part : layout_.parts) {
    for (const Box& box : part.outline) {
      placer_.avoid(box);
    }
    for (const Lettering& lettering : part.lettering) placer_.avoid(box_of(lettering));
    for (const Terminal& terminal : part.terminals) {
      for (const Foot& foot : terminal.sites) {
        const Spot at = at_cell(foot.at);
        placer_.avoid({at.x - 4, at.y - 4, 8, 8});
      }
    }
  }
  for (const Lettering& lettering : placed_texts_) placer_.avoid(box_of(lettering));
  for (std::size_t i = 0; i < ways_.size(); ++i) {
    if (ways_[i].empty()) {
      for (const Foot& foot : {layout_.strands[i].start, layout_.strands[i].end}) {
        const Spot out = outward(foot, 1.3);
        placer_.avoid({out.x - 7, out.y - 7, 14, 14});
      }
    }
    placer_.avoid(i, ways_[i]);
  }
}

std::string Picture::label_of(const Wire& wire) const {
  if (wire.braid) {
    const Wire& core = harness_[*wire.core];
    return core.name.empty() ? "braid" : "braid of " + core.name;
  }
  std::string label = wire.name;
  if (!wire.colour.empty()) label += (label.empty() ? "" : ", ") + wire.colour;
  return label;
}

std::vector<Picture::WireLabel> Picture::wire_labels() {
  std::map<std::uint32_t, std::vector<std::size_t>> of_wire;
  for (std::size_t i = 0; i < layout_.strands.size(); ++i) {
    if (layout_.strands[i].wire) of_wire[layout_.strands[i].wire->index].push_back(i);
  }
  std::vector<WireLabel> labels;
  for (const auto& [index, strands] : of_wire) {
    std::string text = label_of(harness_[WireId{index}]);
    if (text.empty()) continue;
    const bool seen =
        std::any_of(strands.begin(), strands.end(), [&](std::size_t i) { return !grounded_[i]; });
    if (seen) {
      labels.push_back({std::move(text), strands});
    } else {
      unseen_.push_back(std::move(text));
    }
  }
  std::stable_sort(labels.begin(), labels.end(),
                   [](const WireLabel& a, const WireLabel& b) { return a.text.size() > b.text.size(); });
  return labels;
}

void Picture::write_labels() {
  gather_obstacles();
  for (const Fault& fault : look_.marked) {
    if (const auto at = spot_of(fault)) placer_.avoid(Box{at->x - 13, at->y - 13, 26, 26});
  }
  std::vector<WireLabel> tagged;
  for (const WireLabel& label : wire_labels()) {
    Lettering made;
    const std::string text = shortened(label.text, kLabelSize, 170);
    if (!placer_.place(label.strands, text, kLabelSize, made)) {
      tagged.push_back(label);
      continue;
    }
    if (text != label.text) made.full = label.text;
    write_label(made);
  }
  for (const WireLabel& label : tagged) write_number(label);
  if (!live_.empty()) write_live();
}

void Picture::write_number(const WireLabel& label) {
  Spot at;
  if (!placer_.place_tag(label.strands, 6.5, at)) {
    Spot on;
    if (!placer_.place_beside(label.strands, 6.5, at, on)) {
      keyed_.push_back({"–", label.text});
      return;
    }
    pen_.line(on, at, stroke(kWhite, 2.6));
    pen_.line(on, at, stroke(kInk, 0.9));
  }
  const std::string number_text = std::to_string(keyed_.size() + 1);
  keyed_.push_back({number_text, label.text});
  pen_.circle(at, 6.2, outlined(kWhite, kInk, 1));
  Lettering tag;
  tag.text = number_text;
  tag.at = {at.x, at.y + 2.9};
  tag.size = 8.5;
  write(tag, "class=\"tag\"");
}

void Picture::write_live() {
  for (std::size_t i = 0; i < layout_.strands.size(); ++i) {
    if (is_missing(layout_.strands[i])) continue;
    const Live live = live_of(layout_.strands[i]);
    const char* word = live == Live::Hot      ? "hot"
                       : live == Live::Ground ? "ground"
                       : live == Live::Both   ? "hot = ground"
                                              : nullptr;
    Lettering made;
    if (word && placer_.place({i}, word, 8.5, made)) write_label(made);
  }
}

void Picture::write_label(const Lettering& label) {
  Box box = box_of(label);
  if (label.upright) {
    box.y -= 2;
    box.height += 4;
  } else {
    box.x -= 2;
    box.width += 4;
  }
  pen_.box(box, 0, filled(kWhite));
  write(label, "class=\"label\"");
}

}  // namespace lugwise::drawing::inside
