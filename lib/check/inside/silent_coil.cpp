// Which coils no setting brings to the jack, and which position of a switch brings none there.
//
// A coil is heard where it lies on a way from tip to sleeve: where, with a resistor drawn from tip to sleeve, coil and
// resistor are in one block of the network. Pots stand in mid-travel, where half a track lies on either side of the
// wiper: a coil heard with a knob anywhere is heard there. First all switch contacts are drawn as resistors at once: a coil in no block with the
// jack then is in none ever. What is left falls apart into blocks that don't depend on each other's switches, so that
// the settings to try stay few however large the harness is.

#include <algorithm>
#include <map>
#include <set>

#include <fmt/format.h>

#include "check/inside/rules.h"
#include "network/network.h"

namespace lugwise::check::inside {

namespace {

constexpr std::uint32_t kMostTries = 4096;        // settings of one block
constexpr std::uint32_t kMostForPositions = 256;  // and no more to tell which positions are silent
constexpr std::size_t kWorkEach = 64;             // resistors looked at in all, for each in the harness,
constexpr std::size_t kWorkAtLeast = 2'000'000;

constexpr std::uint32_t kNone = 0xFFFFFFFF;

struct Link {
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  std::optional<ElementId> contact;  // a switch's
  bool coil = false;
  bool jack = false;  // from tip to sleeve
  ElementId element;  // of a coil
};

using Block = std::vector<Link>;

// The nets with the plugs in, and what lies between them.
std::vector<Link> links_of(const Drawing& drawing) {
  const Harness& harness = drawing.harness();
  Clusters nets = drawing.nets();
  for (ElementId id : drawing.plug_contacts()) nets.join(harness[id].a, harness[id].b);

  std::vector<Link> links;
  const auto link = [&](PointId a, PointId b) -> Link& {
    Link made;
    made.a = nets.of(a);
    made.b = nets.of(b);
    return links.emplace_back(made);
  };
  for (ElementId id : drawing.coils()) {
    Link& coil = link(harness[id].a, harness[id].b);
    coil.coil = true;
    coil.element = id;
  }
  for (ElementId id : drawing.resistors()) link(harness[id].a, harness[id].b);
  for (ElementId id : drawing.switch_contacts()) link(harness[id].a, harness[id].b).contact = id;
  for (PartId id : drawing.parts(PartKind::Pot)) {
    const Pot& pot = *harness[id].pot;
    link(pot.lug1, pot.lug2);
    link(pot.lug2, pot.lug3);
  }
  for (PartId id : drawing.parts(PartKind::Module)) {
    // What we don't model may join its points in any way: as spokes of a wheel whose hub is a net of its own.
    const auto hub = static_cast<std::uint32_t>(harness.points().size() + id.index);
    for (PointId point : harness[id].points) link(point, point).b = hub;
  }
  for (const JackEnds& jack : drawing.jacks()) link(jack.plug_tip, jack.plug_sleeve).jack = true;
  for (const auto& [ring, sleeve] : drawing.rings()) link(ring, sleeve).jack = true;
  return links;
}

std::vector<Resistor> resistors_of(const std::vector<Link>& links) {
  std::vector<Resistor> resistors;
  resistors.reserve(links.size());
  for (const Link& link : links) resistors.push_back({link.a, link.b, 1});
  return resistors;
}

// Numbers the nets of a block, or of all links, from zero in the order they come; returns how many there are. `number` has
// a place for every net, none of them numbered before or after.
std::uint32_t renumber(std::vector<Link>& block, std::vector<std::uint32_t>& number) {
  std::vector<std::uint32_t> nets;
  for (Link& link : block) {
    for (std::uint32_t* net : {&link.a, &link.b}) {
      if (number[*net] == kNone) {
        number[*net] = static_cast<std::uint32_t>(nets.size());
        nets.push_back(*net);
      }
      *net = number[*net];
    }
  }
  for (std::uint32_t net : nets) number[net] = kNone;
  return static_cast<std::uint32_t>(nets.size());
}

// The blocks that hold a jack and a coil.
std::vector<Block> blocks_to_try(std::vector<Link> links, std::vector<std::uint32_t>& number) {
  const std::uint32_t nets = renumber(links, number);
  const Network network(nets, resistors_of(links));
  std::vector<std::uint32_t> place(links.size(), kNone);  // of a network's block among those kept
  std::vector<Block> blocks;
  for (std::uint32_t i = 0; i < links.size(); ++i) {
    const auto block = network.block(i);
    if (!links[i].jack || !block || place[*block] != kNone) continue;
    place[*block] = static_cast<std::uint32_t>(blocks.size());
    blocks.emplace_back();
  }
  for (std::uint32_t i = 0; i < links.size(); ++i) {
    const auto block = network.block(i);
    if (block && place[*block] != kNone) blocks[place[*block]].push_back(links[i]);
  }
  const auto coilless = [](const Block& block) {
    return std::none_of(block.begin(), block.end(), [](const Link& link) { return link.coil; });
  };
  blocks.erase(std::remove_if(blocks.begin(), blocks.end(), coilless), blocks.end());
  return blocks;
}

// The settings of a block's switches, likeliest to settle most first: all switches in their first position, in their
// second and so on; then every combination, or a scattering of them where they are too many.
class Settings {
 public:
  Settings(const Harness& harness, const Block& block) {
    for (const Link& link : block) {
      if (link.contact) places_.emplace(*harness[*link.contact].part, 0);
    }
    for (const auto& [part, place] : places_) {
      const auto count = static_cast<std::uint32_t>(harness[part].positions.size());
      counts_.push_back(count);
      most_ = std::max(most_, count);
      all_ = std::min(all_ * count, kMostTries + 1);
    }
  }

  bool few_enough() const { return all_ <= kMostTries; }
  bool few_enough_for_each_position() const { return all_ <= kMostForPositions; }
  std::uint32_t count() const { return most_ + (few_enough() ? all_ : 2 * most_); }

  void choose(std::uint32_t number) {
    std::uint32_t rest = number < most_ ? 0 : number - most_;
    std::size_t i = 0;
    for (auto& [part, place] : places_) {
      if (number < most_) {
        place = static_cast<std::uint16_t>(number % counts_[i]);
      } else if (few_enough()) {
        place = static_cast<std::uint16_t>(rest % counts_[i]);
        rest /= counts_[i];
      } else {
        place =
            static_cast<std::uint16_t>((number * 2654435761U + part.index * 40503U) / 65536U % counts_[i]);
      }
      ++i;
    }
  }

  std::uint16_t place(PartId part) const { return places_.at(part); }
  const std::map<PartId, std::uint16_t>& places() const { return places_; }

 private:
  std::map<PartId, std::uint16_t> places_;
  std::vector<std::uint32_t> counts_;
  std::uint32_t most_ = 1;
  std::uint32_t all_ = 1;
};

// Positions of switches: a part, and the number of its position.
using Places = std::set<std::pair<PartId, std::uint16_t>>;

// Of one block.
struct Silent {
  std::vector<ElementId> coils;  // that no setting brings to the jack
  Places places;                 // in which none is brought there, nor the hot put on ground
};

Places all_places(const Harness& harness, const Settings& settings) {
  Places places;
  for (const auto& [part, first] : settings.places()) {
    for (std::uint16_t place = 0; place < harness[part].positions.size(); ++place)
      places.emplace(part, place);
  }
  return places;
}

// What is silent in a block; nothing while too many settings are left untried.
Silent silent_in(const Harness& harness, Block block, std::vector<std::uint32_t>& numbers,
                 std::size_t& work) {
  const std::uint32_t nets = renumber(block, numbers);
  Settings settings(harness, block);
  std::vector<std::uint32_t> coils;
  for (std::uint32_t i = 0; i < block.size(); ++i) {
    if (block[i].coil) coils.push_back(i);
  }
  Places places = settings.few_enough_for_each_position() ? all_places(harness, settings) : Places{};
  for (std::uint32_t number = 0; number < settings.count() && !(coils.empty() && places.empty()); ++number) {
    if (work < block.size()) return {};
    work -= block.size();
    settings.choose(number);
    std::vector<Resistor> resistors = resistors_of(block);
    for (std::uint32_t i = 0; i < block.size(); ++i) {
      if (!block[i].contact) continue;
      const Element& contact = harness[*block[i].contact];
      const bool closed = std::binary_search(contact.closed_in.begin(), contact.closed_in.end(),
                                             settings.place(*contact.part));
      if (closed) {
        resistors[i].ohms = 0;
      } else {
        resistors[i].b = resistors[i].a;
      }
    }
    const Network network(nets, std::move(resistors));
    std::vector<std::uint32_t> heard;
    bool any = false;  // coil heard, or the hot on ground: what is silent so is meant to be
    for (std::uint32_t i = 0; i < block.size(); ++i) {
      if (!block[i].jack) continue;
      if (const auto number_of = network.block(i)) heard.push_back(*number_of);
      any = any || network.merged(block[i].a) == network.merged(block[i].b);
    }
    std::sort(heard.begin(), heard.end());
    const auto is_heard = [&](std::uint32_t coil) {
      const auto in = network.block(coil);
      return in && std::binary_search(heard.begin(), heard.end(), *in);
    };
    for (std::uint32_t i = 0; i < block.size() && !places.empty(); ++i)
      any = any || (block[i].coil && is_heard(i));
    coils.erase(std::remove_if(coils.begin(), coils.end(), is_heard), coils.end());
    if (!any) continue;
    for (const auto& place : settings.places()) places.erase(place);
  }
  if (!settings.few_enough()) return {};
  Silent silent;
  for (std::uint32_t coil : coils) silent.coils.push_back(block[coil].element);
  silent.places = std::move(places);
  return silent;
}

// The nets at a capacitor or a module: what no ohmmeter sees through may still be heard.
std::set<std::uint32_t> unseen_nets(const Drawing& drawing) {
  const Harness& harness = drawing.harness();
  std::set<std::uint32_t> nets;
  for (ElementId id : drawing.capacitors()) {
    for (PointId end : {harness[id].a, harness[id].b}) nets.insert(drawing.net(end));
  }
  for (PartId id : drawing.parts(PartKind::Module)) {
    for (PointId point : harness[id].points) nets.insert(drawing.net(point));
  }
  return nets;
}

// A switch that chooses among pickups has two other positions at least that sound; one that mutes has not.
bool chooses(const Harness& harness, PartId part, const Places& silent) {
  std::size_t sounds = 0;
  for (std::uint16_t place = 0; place < harness[part].positions.size(); ++place)
    sounds += silent.count({part, place}) == 0 ? 1 : 0;
  return sounds >= 2;
}

// Whether a position touches nothing, or a lug that nothing is soldered to, and is silent on purpose; or goes on where no
// ohmmeter sees.
bool blank(const Drawing& drawing, const std::set<std::uint32_t>& unseen, PartId part, std::uint16_t place) {
  const Harness& harness = drawing.harness();
  bool touches = false;
  for (ElementId id : drawing.switch_contacts()) {
    const Element& contact = harness[id];
    if (contact.part != part) continue;
    if (!std::binary_search(contact.closed_in.begin(), contact.closed_in.end(), place)) continue;
    if (!drawing.joined(contact.a) || !drawing.joined(contact.b)) return true;
    if (unseen.count(drawing.net(contact.a)) || unseen.count(drawing.net(contact.b))) return true;
    touches = true;
  }
  return !touches;
}

// What is silent in a whole harness.
struct AllSilent {
  std::vector<bool> elements;  // by element: whether the coil is, in every setting
  Places places;
};

AllSilent all_silent(const Drawing& drawing) {
  const Harness& harness = drawing.harness();
  const std::vector<Link> links = links_of(drawing);
  AllSilent all;
  std::vector<bool>& silent = all.elements;
  silent.assign(harness.elements().size(), false);
  for (const Link& link : links) {
    if (link.coil) silent[link.element.index] = true;
  }
  std::size_t work = std::max(kWorkAtLeast, kWorkEach * links.size());
  std::vector<std::uint32_t> number(drawing.harness().points().size() + drawing.harness().parts().size(),
                                    kNone);
  std::vector<Block> blocks = blocks_to_try(links, number);
  for (Block& block : blocks) {
    for (const Link& link : block) {
      if (link.coil) silent[link.element.index] = false;
    }
    const Silent found = silent_in(harness, std::move(block), number, work);
    for (ElementId coil : found.coils) silent[coil.index] = true;
    // Where there are more jacks than one, each on its own, another may still be heard.
    if (blocks.size() == 1) all.places = found.places;
  }
  return all;
}

std::string ends_of(const Drawing& drawing, const Element& coil) {
  const Harness& harness = drawing.harness();
  return fmt::format("'{}' to '{}'", harness[coil.a].name, harness[coil.b].name);
}

std::string why(const Drawing& drawing, const std::vector<const Element*>& coils) {
  const Harness& harness = drawing.harness();
  for (const Element* coil : coils) {
    if (drawing.net(coil->a) == drawing.net(coil->b)) {
      return fmt::format("'{}' and '{}' are joined to each other", harness[coil->a].name,
                         harness[coil->b].name);
    }
    for (PointId end : {coil->a, coil->b}) {
      if (!drawing.joined_anywhere(end)) return fmt::format("'{}' is joined to nothing", harness[end].name);
    }
  }
  return "follow its leads from the tip to the sleeve";
}

}  // namespace

void silent_coils(const Drawing& drawing, Diagnostics& found) {
  if (drawing.jacks().empty()) return;
  const Harness& harness = drawing.harness();
  const AllSilent all = all_silent(drawing);
  const std::vector<bool>& silent = all.elements;
  const auto warn = [&](PartId part, const std::vector<ElementId>& coils) {
    std::vector<const Element*> mute;
    for (ElementId coil : coils) {
      if (silent[coil.index]) mute.push_back(&harness[coil]);
    }
    if (mute.size() == coils.size()) {
      found.warning(
          "W101", harness[part].at,
          fmt::format("'{}' reaches the jack in no setting: {}", harness[part].name, why(drawing, mute)));
      return;
    }
    for (const Element* coil : mute) {
      found.warning("W101", harness[part].at,
                    fmt::format("the coil from {} reaches the jack in no setting: {}",
                                ends_of(drawing, *coil), why(drawing, {coil})));
    }
  };
  // The coils of a pickup follow each other.
  std::vector<ElementId> coils;
  for (ElementId id : drawing.coils()) {
    if (!coils.empty() && harness[coils.back()].part != harness[id].part) {
      warn(*harness[coils.back()].part, coils);
      coils.clear();
    }
    coils.push_back(id);
  }
  if (!coils.empty()) warn(*harness[coils.back()].part, coils);
  // A coil that is never heard has been named; the position that it is silent in needs no word of its own.
  const bool all_heard = std::none_of(drawing.coils().begin(), drawing.coils().end(),
                                      [&](ElementId coil) { return silent[coil.index]; });
  const std::set<std::uint32_t> unseen = unseen_nets(drawing);
  for (const auto& [id, place] : all.places) {
    if (!all_heard || !chooses(harness, id, all.places) || blank(drawing, unseen, id, place)) continue;
    const Part& part = harness[id];
    const Position& position = part.positions[place];
    found.warning("W120", position.at.known() ? position.at : part.at,
                  fmt::format("'{}' is silent at '{}': what touches there leads from no pickup to the jack",
                              part.name, position.name));
  }
}

}  // namespace lugwise::check::inside
