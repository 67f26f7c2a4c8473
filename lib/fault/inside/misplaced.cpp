#include "fault/inside/misplaced.h"

#include <algorithm>
#include <set>
#include <utility>

#include "fault/inside/interchange.h"
#include "fault/inside/soldering.h"

namespace lugwise::fault::inside {
namespace {

// A judgement like all weights: docs/faults.md.
constexpr double kOnTheNextLug = 0.05;
constexpr double kExchanged = 0.1;

// Where more pairs of leads could be exchanged between two lugs, only all of them are.
constexpr std::size_t kMostPairs = 16;

// More pickups than any instrument has are only exchanged with the next.
constexpr std::size_t kMostPickups = 4;

class Misplacer {
 public:
  Misplacer(const Harness& harness, const std::vector<char>& present)
      : harness_(harness), soldering_(harness, present) {}

  std::vector<Fault> list() {
    for (std::uint32_t i = 0; i < harness_.parts().size(); ++i) {
      const Part& part = harness_.parts()[i];
      if (part.points.empty() || !soldering_.there(part.points.front())) continue;
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
  void add(Site site, double weight, Span at, std::vector<PointId> points, std::vector<PointId> also,
           std::vector<Moved> moved) {
    if (moved.empty() || !soldering_.matters(moved)) return;
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

  void move_leads(PointId from, PointId to) {
    for (const Lead& lead : soldering_.leads_on(from)) {
      if (!soldering_.loose(lead) || soldering_.ends_on(lead, to)) continue;
      add(Site::Joint, kOnTheNextLug, harness_[lead.joint].at, {lead.point, to, from}, {},
          {{lead.joint, lead.seat, soldering_.seat_on(to)}});
    }
  }

  void exchange(const Lead& x, const Lead& y) {
    if (soldering_.ends_on(x, y.surface) || soldering_.ends_on(y, x.surface)) return;
    if (x.seat == y.seat || soldering_.one_leg(x.point, y.point)) return;
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
    if (soldering_.leads_on(x).size() * soldering_.leads_on(y).size() > kMostPairs) return;
    for (const Lead& one : soldering_.leads_on(x)) {
      for (const Lead& other : soldering_.leads_on(y)) {
        if (soldering_.loose(one) && soldering_.loose(other)) exchange(one, other);
      }
    }
  }

  void exchange_lugs(Site site, PointId x, PointId y) {
    if (soldering_.bare(x) && soldering_.bare(y)) return;
    // Nobody bends the wiper's lug to the case.
    if (site == Site::Lugs && (soldering_.bent(x) || soldering_.bent(y))) return;
    const auto only = [&](PointId lug) {
      return soldering_.leads_on(lug).size() == 1 && !soldering_.bent(lug);
    };
    if (only(x) && only(y)) return exchange_leads(x, y);
    if (soldering_.bare(x) && only(y)) return move_leads(y, x);
    if (soldering_.bare(y) && only(x)) return move_leads(x, y);
    std::vector<Moved> moved;
    soldering_.take(x, y, moved);
    soldering_.take(y, x, moved);
    if (soldering_.bare(y)) {
      add(site, kOnTheNextLug, harness_[x].at, {x, y, x}, {}, std::move(moved));
    } else if (soldering_.bare(x)) {
      add(site, kOnTheNextLug, harness_[y].at, {y, x, y}, {}, std::move(moved));
    } else {
      add(site, kExchanged, harness_[x].at, {x, y, x}, {y, x, y}, std::move(moved));
    }
  }

  void lugs_of_pot(const Part& part) {
    const Pot& pot = *part.pot;
    std::optional<PointId> body;
    for (PointId point : harness_[pot.gang.value_or(*harness_[pot.lug1].part)].points) {
      if (harness_[point].role == PointRole::Surface && soldering_.there(point)) body = point;
    }
    const PointId lugs[] = {pot.lug1, pot.lug2, pot.lug3};
    for (int i = 0; i < 2; ++i) {
      // As a variable resistor between two lugs it works either way round.
      const PointId third = lugs[i == 0 ? 2 : 0];
      if (!soldering_.bare(third)) {
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
      const bool both = !soldering_.bare(lugs[i]) && !soldering_.bare(lugs[i + 1]);
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

  // What hangs on the lugs of a switch that was turned around.
  void turn_around(const Part& part) {
    std::vector<std::pair<PointId, PointId>> pairs = opposite_lugs(harness_, part);
    std::erase_if(
        pairs, [&](const auto& pair) { return soldering_.bare(pair.first) && soldering_.bare(pair.second); });
    if (pairs.empty()) return;
    if (pairs.size() == 1) return exchange_lugs(Site::Contact, pairs[0].first, pairs[0].second);
    std::vector<Moved> moved;
    for (const auto& [x, y] : pairs) {
      soldering_.take(x, y, moved);
      soldering_.take(y, x, moved);
    }
    const auto& [x, y] = pairs.front();
    add(Site::Contact, kExchanged, part.at, {x, y, x}, {y, x, y}, std::move(moved));
  }

  // Neighbours as declared, and the two ends of each coil.
  void leads_of_pickup(PartId pickup) {
    const std::vector<Lead> leads = soldering_.soldered(pickup);
    for (std::size_t i = 0; i + 1 < leads.size(); ++i) exchange(leads[i], leads[i + 1]);
    for (const Element* coil : soldering_.coils_of(pickup)) {
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
    std::vector<Lead> of_x = soldering_.soldered(x);
    std::vector<Lead> of_y = soldering_.soldered(y);
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
      if (soldering_.net(of_x[i].surface) != soldering_.net(of_y[i].surface)) apart.push_back(i);
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
  const Soldering soldering_;
  std::vector<PartId> pickups_;
  std::set<std::vector<Moved>> known_;
  std::vector<Fault> faults_;
};

}  // namespace

std::vector<Fault> misplaced_among(const Harness& harness, const std::vector<char>& present) {
  return Misplacer(harness, present).list();
}

}  // namespace lugwise::fault::inside
