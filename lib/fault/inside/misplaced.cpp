#include "fault/inside/misplaced.h"

#include <algorithm>
#include <functional>
#include <map>
#include <set>

#include "circuit/clusters.h"

namespace lugwise::fault::inside {
namespace {

// A judgement like all weights: docs/faults.md.
constexpr double kOnTheNextLug = 0.05;
constexpr double kExchanged = 0.1;

// Larger grounds are those of looms; whether a lead moved along one parts anything is not looked into.
constexpr std::size_t kMostInNet = 2000;

// Switches with more lugs are not tried for a way to turn them around.
constexpr std::size_t kMostLugs = 24;

// Where more pairs of leads could be exchanged between two lugs, only all of them are.
constexpr std::size_t kMostPairs = 16;

// More pickups than any instrument has are only exchanged with the next.
constexpr std::size_t kMostPickups = 4;

class Misplacer {
 public:
  Misplacer(const Harness& harness, const std::vector<char>& present) : harness_(harness), present_(present) {
    find_nets();
    for (std::uint32_t i = 0; i < harness.blobs().size(); ++i) {
      const Blob& blob = harness.blobs()[i];
      if (blob.inside || !there(blob.surface)) continue;
      for (ElementId joint : blob.joints) {
        const Lead lead{joint, harness_[joint].points[1], blob.surface, harness_[joint].a};
        if (!there(lead.point)) continue;
        lead_of_[lead.point].push_back(lead);
        leads_on_[lead.surface].push_back(lead);
      }
      blobs_on_[blob.surface].push_back(&blob);
    }
    for (const Element& element : harness.elements()) {
      if (element.kind == ElementKind::Wire) {
        legs_.insert(std::minmax(element.a, element.b));
        for (const auto& [end, far] : {std::pair(element.a, element.b), std::pair(element.b, element.a)}) {
          if (harness[far].on) far_[end].push_back(*harness[far].on);
        }
      }
      const bool source = element.kind == ElementKind::Coil || element.kind == ElementKind::Capacitor;
      if (source && harness[*element.part].kind == PartKind::Pickup)
        coils_of_[*element.part].push_back(&element);
    }
  }

  std::vector<Fault> list() {
    for (std::uint32_t i = 0; i < harness_.parts().size(); ++i) {
      const Part& part = harness_.parts()[i];
      if (part.points.empty() || !there(part.points.front())) continue;
      switch (part.kind) {
        case PartKind::Pot:
          lugs_of_pot(part);
          break;
        case PartKind::Switch:
          lugs_in_a_row(part);
          turn_around(part);
          break;
        case PartKind::Jack:
          lugs_in_a_row(part);
          break;
        case PartKind::Pickup:
          leads_of_pickup(PartId{i});
          pickups_.push_back(PartId{i});
          break;
        default:
          break;
      }
    }
    for (std::size_t i = 0; i < pickups_.size(); ++i) {
      const std::size_t last = pickups_.size() > kMostPickups ? i + 2 : pickups_.size();
      for (std::size_t j = i + 1; j < std::min(last, pickups_.size()); ++j)
        exchange_pickups(pickups_[i], pickups_[j]);
    }
    return std::move(faults_);
  }

 private:
  struct Lead {
    ElementId joint;
    PointId point;
    PointId surface;
    PointId seat;  // the surface, or the solder of its blob
  };

  bool there(PointId point) const { return present_[point.index] != 0; }

  // What is one net whatever the settings: all that small resistances join for good.
  static bool lasting(const Element& element) {
    const bool small = element.kind == ElementKind::Joint || element.kind == ElementKind::Blob ||
                       element.kind == ElementKind::Wire || element.kind == ElementKind::Contact;
    return small && element.when == Conducts::Always;
  }

  void find_nets() {
    Clusters clusters(harness_.points().size());
    const auto counts = [&](const Element& element) {
      return lasting(element) && there(element.a) && there(element.b);
    };
    for (const Element& element : harness_.elements()) {
      if (counts(element)) clusters.join(element.a.index, element.b.index);
    }
    net_ = clusters.of_each();
    elements_in_.resize(net_.size());
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      if (counts(element)) elements_in_[net_[element.a.index]].push_back(ElementId{i});
    }
  }

  // Does it join or part anything? Between two nets always; within one only if it falls apart.
  bool matters(const std::vector<Moved>& moved) const {
    std::set<std::uint32_t> nets;
    for (const Moved& each : moved) {
      if (net_[each.from.index] != net_[each.to.index]) return true;
      nets.insert(net_[each.from.index]);
    }
    for (std::uint32_t net : nets) {
      if (elements_in_[net].size() <= kMostInNet && falls_apart(net, moved)) return true;
    }
    return false;
  }

  bool falls_apart(std::uint32_t net, const std::vector<Moved>& moved) const {
    std::map<std::uint32_t, std::uint32_t> number;
    Clusters clusters(4 * elements_in_[net].size());  // its two ends, and where they were moved to
    const auto at = [&](PointId point) {
      return number.emplace(point.index, static_cast<std::uint32_t>(number.size())).first->second;
    };
    for (ElementId id : elements_in_[net]) {
      PointId a = harness_[id].a;
      PointId b = harness_[id].b;
      at(a);
      at(b);
      for (const Moved& each : moved) {
        if (each.element == id) (a == each.from ? a : b) = each.to;
      }
      clusters.join(at(a), at(b));
    }
    // Solder that holds nothing any more is no point of anybody's.
    std::optional<std::uint32_t> first;
    for (const auto& [point, place] : number) {
      if (harness_.points()[point].role == PointRole::Solder) continue;
      const std::uint32_t here = clusters.of(place);
      if (first && *first != here) return true;
      first = here;
    }
    return false;
  }

  void add(Site site, double weight, Span at, std::vector<PointId> points, std::vector<PointId> also,
           std::vector<Moved> moved) {
    if (moved.empty() || !matters(moved)) return;
    std::vector<Moved> key = moved;
    std::sort(key.begin(), key.end());
    if (!known_.insert(std::move(key)).second) return;
    Fault fault;
    fault.mode = Mode::Misplaced;
    fault.site = site;
    fault.element = moved.front().element;
    fault.a = points[1];
    fault.b = points[2];
    fault.points = std::move(points);
    fault.weight = weight;
    fault.at = at;
    fault.also = std::move(also);
    fault.moved = std::move(moved);
    faults_.push_back(std::move(fault));
  }

  const std::vector<Lead>& leads_on(PointId surface) const {
    static const std::vector<Lead> kNone;
    const auto found = leads_on_.find(surface);
    return found == leads_on_.end() ? kNone : found->second;
  }

  // A lug that is itself bent into other solder is no loose lead.
  bool loose(const Lead& lead) const {
    const PointRole role = harness_[lead.point].role;
    return role == PointRole::Lead || role == PointRole::WireEnd;
  }

  // Nobody solders both ends of a wire to one lug.
  bool ends_on(const Lead& lead, PointId surface) const {
    const auto found = far_.find(lead.point);
    return found != far_.end() &&
           std::find(found->second.begin(), found->second.end(), surface) != found->second.end();
  }

  // Where one more lead goes: into the blob that is there.
  PointId seat_on(PointId surface) const {
    const auto found = blobs_on_.find(surface);
    const bool body = harness_[surface].role == PointRole::Surface;
    if (found == blobs_on_.end() || body) return surface;
    return found->second.front()->solder.value_or(surface);
  }

  void move_leads(PointId from, PointId to) {
    for (const Lead& lead : leads_on(from)) {
      if (!loose(lead) || ends_on(lead, to)) continue;
      add(Site::Joint, kOnTheNextLug, harness_[lead.joint].at, {lead.point, to, from}, {},
          {{lead.joint, lead.seat, seat_on(to)}});
    }
  }

  void exchange(const Lead& x, const Lead& y) {
    if (ends_on(x, y.surface) || ends_on(y, x.surface)) return;
    if (x.seat == y.seat || legs_.count(std::minmax(x.point, y.point))) return;
    const auto& of_x = harness_[x.point].part;
    if (of_x && of_x == harness_[y.point].part) {
      const PartKind kind = harness_[*of_x].kind;
      if (kind == PartKind::Resistor || kind == PartKind::Capacitor || kind == PartKind::Inductor)
        return;  // they have no direction
    }
    add(Site::Joint, kExchanged, harness_[x.joint].at, {x.point, y.surface, x.surface},
        {y.point, x.surface, y.surface}, {{x.joint, x.seat, y.seat}, {y.joint, y.seat, x.seat}});
  }

  void exchange_leads(PointId x, PointId y) {
    if (leads_on(x).size() * leads_on(y).size() > kMostPairs) return;
    for (const Lead& one : leads_on(x)) {
      for (const Lead& other : leads_on(y)) {
        if (loose(one) && loose(other)) exchange(one, other);
      }
    }
  }

  // All that is on a lug, to another one: its blobs, and where it is bent into other solder.
  void take(PointId from, PointId to, std::vector<Moved>& moved) const {
    if (const auto on = blobs_on_.find(from); on != blobs_on_.end()) {
      for (const Blob* blob : on->second)
        moved.push_back({blob->grip ? *blob->grip : blob->joints.front(), from, to});
    }
    if (const auto bent = lead_of_.find(from); bent != lead_of_.end()) {
      for (const Lead& lead : bent->second) moved.push_back({lead.joint, from, to});
    }
  }

  bool bare(PointId lug) const { return !blobs_on_.count(lug) && !lead_of_.count(lug); }

  void exchange_lugs(Site site, PointId x, PointId y) {
    if (bare(x) && bare(y)) return;
    // Nobody bends the wiper's lug to the case.
    if (site == Site::Lugs && (lead_of_.count(x) || lead_of_.count(y))) return;
    const auto only = [&](PointId lug) { return leads_on(lug).size() == 1 && !lead_of_.count(lug); };
    if (only(x) && only(y)) return exchange_leads(x, y);
    if (bare(x) && only(y)) return move_leads(y, x);
    if (bare(y) && only(x)) return move_leads(x, y);
    std::vector<Moved> moved;
    take(x, y, moved);
    take(y, x, moved);
    if (bare(y)) {
      add(site, kOnTheNextLug, harness_[x].at, {x, y, x}, {}, std::move(moved));
    } else if (bare(x)) {
      add(site, kOnTheNextLug, harness_[y].at, {y, x, y}, {}, std::move(moved));
    } else {
      add(site, kExchanged, harness_[x].at, {x, y, x}, {y, x, y}, std::move(moved));
    }
  }

  void lugs_of_pot(const Part& part) {
    const Pot& pot = *part.pot;
    std::optional<PointId> body;
    for (PointId point : harness_[pot.gang.value_or(*harness_[pot.lug1].part)].points) {
      if (harness_[point].role == PointRole::Surface && there(point)) body = point;
    }
    const PointId lugs[] = {pot.lug1, pot.lug2, pot.lug3};
    for (int i = 0; i < 2; ++i) {
      // As a variable resistor between two lugs it works either way round.
      const PointId third = lugs[i == 0 ? 2 : 0];
      if (!bare(third)) {
        exchange_leads(lugs[i], lugs[i + 1]);
        exchange_lugs(Site::Lugs, lugs[i], lugs[i + 1]);
      }
      move_leads(lugs[i], lugs[i + 1]);
      move_leads(lugs[i + 1], lugs[i]);
    }
    exchange_lugs(Site::Track, pot.lug1, pot.lug3);
    if (!body) return;
    for (PointId lug : lugs) move_leads(lug, *body);
  }

  void lugs_in_a_row(const Part& part) {
    std::vector<PointId> lugs;
    std::optional<PointId> body;
    for (PointId point : part.points) {
      if (harness_[point].role == PointRole::Lug) lugs.push_back(point);
      if (harness_[point].role == PointRole::Surface) body = point;
    }
    for (std::size_t i = 0; i + 1 < lugs.size(); ++i) {
      const bool both = !bare(lugs[i]) && !bare(lugs[i + 1]);
      const bool alike = part.kind == PartKind::Switch && lugs.size() <= kMostLugs &&
                         interchangeable(part, lugs[i], lugs[i + 1]);
      if (both && !alike) {
        exchange_leads(lugs[i], lugs[i + 1]);
        if (part.kind == PartKind::Jack) exchange_lugs(Site::Lugs, lugs[i], lugs[i + 1]);
      }
      move_leads(lugs[i], lugs[i + 1]);
      move_leads(lugs[i + 1], lugs[i]);
    }
    if (!body) return;
    for (PointId lug : lugs) move_leads(lug, *body);
  }

  static std::set<std::set<PointId>> groups_of(const Position& position,
                                               const std::function<PointId(PointId)>& as) {
    std::set<std::set<PointId>> groups;
    for (const std::vector<PointId>& group : position.groups) {
      std::set<PointId> lugs;
      for (PointId lug : group) lugs.insert(as(lug));
      if (lugs.size() > 1) groups.insert(std::move(lugs));
    }
    return groups;
  }

  // Two lugs that do the same in every position, such as both of a button.
  static bool interchangeable(const Part& part, PointId x, PointId y) {
    return std::all_of(part.positions.begin(), part.positions.end(), [&](const Position& position) {
      const auto as_is = [](PointId lug) { return lug; };
      const auto exchanged = [&](PointId lug) { return lug == x ? y : lug == y ? x : lug; };
      return groups_of(position, as_is) == groups_of(position, exchanged);
    });
  }

  // A switch turned around does in each position what belongs to the one opposite. That is the same as what hangs on its
  // lugs exchanged in pairs, if there are such pairs.
  void turn_around(const Part& part) {
    std::vector<PointId> lugs;
    for (PointId point : part.points) {
      if (harness_[point].role == PointRole::Lug) lugs.push_back(point);
    }
    const std::size_t places = part.positions.size();
    const std::size_t n = lugs.size();
    if (n > kMostLugs || places < 2) return;
    // The group of each lug in each position, or none.
    std::vector<std::vector<int>> group(places, std::vector<int>(n, -1));
    for (std::size_t p = 0; p < places; ++p) {
      for (std::size_t g = 0; g < part.positions[p].groups.size(); ++g) {
        for (PointId lug : part.positions[p].groups[g]) {
          const auto seat = std::find(lugs.begin(), lugs.end(), lug);
          if (seat != lugs.end())
            group[p][static_cast<std::size_t>(seat - lugs.begin())] = static_cast<int>(g);
        }
      }
    }
    const auto together = [&](std::size_t p, std::size_t x, std::size_t y) {
      return group[p][x] >= 0 && group[p][x] == group[p][y];
    };
    std::vector<std::size_t> opposite(n, n);
    const auto fits = [&](std::size_t x) {
      for (std::size_t y = 0; y < n; ++y) {
        if (opposite[y] == n) continue;
        for (std::size_t p = 0; p < places; ++p) {
          if (x != y && together(p, x, y) != together(places - 1 - p, opposite[x], opposite[y])) return false;
        }
      }
      return true;
    };
    std::size_t tries = 0;
    const std::function<bool(std::size_t)> place = [&](std::size_t x) {
      while (x < n && opposite[x] != n) ++x;
      if (x == n) return true;
      for (std::size_t y = x; y < n; ++y) {
        if (opposite[y] != n || ++tries > 10'000) continue;
        opposite[x] = y;
        opposite[y] = x;
        if (fits(x) && fits(y) && place(x + 1)) return true;
        opposite[x] = opposite[y] = n;
      }
      return false;
    };
    if (!place(0)) return;
    std::vector<std::pair<PointId, PointId>> pairs;
    for (std::size_t x = 0; x < n; ++x) {
      if (opposite[x] > x) pairs.emplace_back(lugs[x], lugs[opposite[x]]);
    }
    std::erase_if(pairs, [&](const auto& pair) { return bare(pair.first) && bare(pair.second); });
    if (pairs.empty()) return;
    if (pairs.size() == 1) return exchange_lugs(Site::Contact, pairs[0].first, pairs[0].second);
    std::vector<Moved> moved;
    for (const auto& [x, y] : pairs) {
      take(x, y, moved);
      take(y, x, moved);
    }
    const auto& [x, y] = pairs.front();
    add(Site::Contact, kExchanged, part.at, {x, y, x}, {y, x, y}, std::move(moved));
  }

  // A pickup's leads that are soldered somewhere, once each.
  std::vector<Lead> soldered(PartId pickup) const {
    std::vector<Lead> leads;
    for (PointId point : harness_[pickup].points) {
      const auto found = lead_of_.find(point);
      if (harness_[point].role != PointRole::Lead || found == lead_of_.end()) continue;
      if (found->second.size() == 1) leads.push_back(found->second.front());
    }
    return leads;
  }

  // Neighbours as declared, and the two ends of each coil.
  void leads_of_pickup(PartId pickup) {
    const std::vector<Lead> leads = soldered(pickup);
    for (std::size_t i = 0; i + 1 < leads.size(); ++i) exchange(leads[i], leads[i + 1]);
    for (const Element* coil : coils_of_[pickup]) {
      const auto lead = [&](PointId end) {
        return std::find_if(leads.begin(), leads.end(), [&](const Lead& each) { return each.point == end; });
      };
      const auto start = lead(coil->a);
      const auto finish = lead(coil->b);
      if (start != leads.end() && finish != leads.end()) exchange(*start, *finish);
    }
  }

  // One in the other's place: every lead on the other's. Leads that share a net anyway are left where they are.
  void exchange_pickups(PartId x, PartId y) {
    std::vector<Lead> of_x = soldered(x);
    std::vector<Lead> of_y = soldered(y);
    const auto own = [&](const Lead& lead) {
      const std::string& name = harness_[lead.point].name;
      return name.substr(name.find('.'));
    };
    if (of_x.size() != of_y.size()) return;
    for (std::size_t i = 0; i < of_x.size(); ++i) {
      if (own(of_x[i]) != own(of_y[i])) return;
    }
    std::vector<std::size_t> apart;
    for (std::size_t i = 0; i < of_x.size(); ++i) {
      if (net_[of_x[i].surface.index] != net_[of_y[i].surface.index]) apart.push_back(i);
    }
    if (apart.empty()) return;
    const Lead& one = of_x[apart.front()];
    const Lead& other = of_y[apart.front()];
    if (apart.size() == 1) return exchange(one, other);
    std::vector<Moved> moved;
    for (std::size_t i : apart) {
      moved.push_back({of_x[i].joint, of_x[i].seat, of_y[i].seat});
      moved.push_back({of_y[i].joint, of_y[i].seat, of_x[i].seat});
    }
    add(Site::Coil, kExchanged, harness_[x].at, {one.point, other.surface, one.surface},
        {other.point, one.surface, other.surface}, std::move(moved));
  }

  const Harness& harness_;
  const std::vector<char>& present_;
  std::vector<std::uint32_t> net_;                   // of each point
  std::vector<std::vector<ElementId>> elements_in_;  // of each net, by its root
  std::map<PointId, std::vector<Lead>> lead_of_;     // by the lead
  std::map<PointId, std::vector<Lead>> leads_on_;    // by the surface
  std::map<PointId, std::vector<const Blob*>> blobs_on_;
  std::set<std::pair<PointId, PointId>> legs_;
  std::map<PointId, std::vector<PointId>> far_;  // of a wire's end: what its other end is soldered to
  std::map<PartId, std::vector<const Element*>> coils_of_;
  std::vector<PartId> pickups_;
  std::set<std::vector<Moved>> known_;
  std::vector<Fault> faults_;
};

}  // namespace

std::vector<Fault> misplaced_among(const Harness& harness, const std::vector<char>& present) {
  return Misplacer(harness, present).list();
}

}  // namespace lugwise::fault::inside
