#include "diagnosis/inside/next_probe.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "expectation/corner.h"

namespace lugwise {
namespace {

// Two resistances this near could be the same reading: part tolerances and the meter together. A judgement.
constexpr double kNearShare = 0.25;
constexpr Ohms kNearOhms = 1.5;

// How many settings are tried: those the plan would use first, and where the controls stand now.
constexpr std::size_t kMostSettings = 12;

// Less information than this is not worth a probe.
constexpr double kLeastBits = 1e-3;

struct Scored {
  double score = 0;
  double bits = 0;
  double seconds = 0;
  std::size_t setting = 0;
  PointId a, b;
  int depth = 0;
};

// What one explanation would make a probe read.
struct Outcome {
  double ohms = 0;
  double probability = 0;
  std::size_t place = 0;
  std::size_t lump = 0;
};

class Search {
 public:
  Search(const Harness& harness, const std::vector<Standing>& standing, const Bench& bench,
         const DiagnosisOptions& options)
      : harness_(harness), standing_(standing), bench_(bench), options_(options) {
    settings_.push_back(bench.setting);
    for (const Setting& setting : settings_to_try(harness, options.stage)) {
      if (settings_.size() >= kMostSettings) break;
      if (setting != bench.setting) settings_.push_back(setting);
    }
    for (std::size_t h = 0; h < standing.size(); ++h) {
      place_.push_back(places_);
      for (std::size_t before = 0; before < h; ++before) {
        if (same_place(standing[h], standing[before])) place_.back() = place_[before];
      }
      if (place_.back() == places_) ++places_;
    }
    depths_ = accesses(harness);
    for (PointId point : reachable(harness, options.stage, depths_.back().depth)) {
      points_.push_back(point);
      depth_of_.push_back(access_to(harness, point)->depth);
    }
  }

  std::vector<NextProbe> run(std::size_t most) {
    for (std::size_t s = 0; s < settings_.size(); ++s) try_setting(s);
    std::stable_sort(found_.begin(), found_.end(),
                     [](const Scored& x, const Scored& y) { return x.score > y.score; });
    std::vector<NextProbe> probes;
    for (const Scored& scored : found_) {
      if (probes.size() >= most) break;
      // The same two points in another setting seldom say more.
      const bool again = std::any_of(probes.begin(), probes.end(), [&](const NextProbe& probe) {
        return std::minmax(probe.a, probe.b) == std::minmax(scored.a, scored.b);
      });
      if (!again) probes.push_back(word(scored));
    }
    return probes;
  }

 private:
  State state(std::size_t setting, int depth) const {
    return {settings_[setting], options_.stage, depth > 0 || bench_.depth > 0, {}, options_.temperature};
  }

  void try_setting(std::size_t s) {
    const Circuit circuit = circuit_of(harness_, state(s, depths_.back().depth));
    std::vector<std::uint32_t> seats;
    for (PointId point : points_) seats.push_back(point.index);
    std::vector<std::vector<std::optional<double>>> reads;
    for (const Standing& each : standing_) {
      const Circuit faulty = each.fault ? with_fault(circuit, *each.fault, each.size) : circuit;
      reads.push_back(network_at(faulty, resistors_at(faulty, Corner::Nominal)).all_pairs(seats));
    }
    const double turning =
        options_.costs.turn_control * turns_between(harness_, bench_.setting, settings_[s]);
    std::vector<Outcome> outcomes(standing_.size());
    Scored best_here;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      if (!circuit.has(points_[i])) continue;
      for (std::size_t j = i + 1; j < points_.size(); ++j) {
        if (!circuit.has(points_[j])) continue;
        bool alike = true;
        for (std::size_t h = 0; h < standing_.size(); ++h) {
          const auto& read = reads[h][i * points_.size() + j];
          outcomes[h] = {read.value_or(std::numeric_limits<double>::infinity()), standing_[h].probability,
                         place_[h], 0};
          alike = alike && near(outcomes[h].ohms, outcomes[0].ohms);
        }
        if (alike) continue;
        const double bits = information(outcomes);
        if (bits < kLeastBits) continue;
        const int depth = std::max(depth_of_[i], depth_of_[j]);
        const double seconds = handling(i, j, depth) + turning;
        const double score = bits / seconds;
        if (score > best_here.score * (1 + 1e-9)) {
          best_here = {score, bits, seconds, s, points_[i], points_[j], depth};
        }
      }
    }
    if (best_here.score > 0) found_.push_back(best_here);
  }

  static bool same_place(const Standing& x, const Standing& y) {
    return x.fault && y.fault && x.fault->element && x.fault->element == y.fault->element;
  }

  static bool near(double x, double y) {
    if (std::isinf(x) || std::isinf(y)) return x == y;
    return std::abs(x - y) <= kNearOhms + kNearShare * std::min(x, y);
  }

  // How much the outcome says about the place of the fault: its entropy, less what it keeps when the place is known.
  // Readings too near each other are one outcome; open or high, a joint is one place.
  double information(std::vector<Outcome> outcomes) const {
    std::sort(outcomes.begin(), outcomes.end(),
              [](const Outcome& x, const Outcome& y) { return x.ohms < y.ohms; });
    double total = 0;
    std::size_t lump = 0;
    for (std::size_t k = 0; k < outcomes.size(); ++k) {
      if (k > 0 && !near(outcomes[k - 1].ohms, outcomes[k].ohms)) ++lump;
      outcomes[k].lump = lump;
      total += outcomes[k].probability;
    }
    std::vector<double> of_lump(lump + 1, 0);
    std::vector<double> of_place(places_, 0);
    std::vector<double> of_both((lump + 1) * places_, 0);
    for (const Outcome& each : outcomes) {
      of_lump[each.lump] += each.probability / total;
      of_place[each.place] += each.probability / total;
      of_both[each.lump * places_ + each.place] += each.probability / total;
    }
    return entropy(of_lump) + entropy(of_place) - entropy(of_both);
  }

  static double entropy(const std::vector<double>& shares) {
    double bits = 0;
    for (double share : shares) bits -= share > 0 ? share * std::log2(share) : 0;
    return bits;
  }

  double handling(std::size_t i, std::size_t j, int depth) const {
    const Costs& cost = options_.costs;
    double seconds = cost.read;
    if (depth >= 1 && bench_.depth < 1) seconds += cost.open_cavity;
    if (depth >= 2 && bench_.depth < depth) seconds += cost.open_cover;
    const auto held = [&](PointId point) { return bench_.a == point || bench_.b == point; };
    return seconds + cost.move_probe * ((held(points_[i]) ? 0 : 1) + (held(points_[j]) ? 0 : 1));
  }

  NextProbe word(const Scored& scored) const {
    NextProbe probe;
    probe.a = scored.a;
    probe.b = scored.b;
    const auto held = [&](PointId point) { return bench_.a == point || bench_.b == point; };
    if (held(probe.b) && !held(probe.a)) std::swap(probe.a, probe.b);
    probe.setting = settings_[scored.setting];
    for (const Access& access : depths_) {
      if (access.depth == std::max(scored.depth, bench_.depth)) probe.access = access;
    }
    probe.seconds = scored.seconds;
    probe.bits = scored.bits;
    const Circuit circuit = circuit_of(harness_, state(scored.setting, scored.depth));
    probe.expected = expect(circuit, probe.a, probe.b);
    const Meter& meter = options_.meter;
    const int plugs =
        (harness_[probe.a].role == PointRole::Plug) + (harness_[probe.b].role == PointRole::Plug);
    struct Read {
      double ohms;
      const Standing* standing;
    };
    std::vector<Read> reads;
    double total = 0;
    for (const Standing& each : standing_) {
      const Circuit faulty = each.fault ? with_fault(circuit, *each.fault, each.size) : circuit;
      const auto ohms =
          network_at(faulty, resistors_at(faulty, Corner::Nominal)).resistance(probe.a.index, probe.b.index);
      reads.push_back({ohms.value_or(std::numeric_limits<double>::infinity()), &each});
      total += each.probability;
    }
    std::stable_sort(reads.begin(), reads.end(),
                     [](const Read& x, const Read& y) { return x.ohms < y.ohms; });
    // The lowest range whose display tells the most outcomes apart.
    const Ohms leads = (meter.leads_low + meter.leads_high) / 2 + plugs * meter.cable / 2;
    std::size_t told_apart = 0;
    for (const Range& range : meter.ranges) {
      std::set<std::string> displays;
      for (const Read& read : reads) displays.insert(display(meter, range, read.ohms + leads));
      if (displays.size() <= told_apart) continue;
      told_apart = displays.size();
      probe.range = range;
    }
    probe.shows = window(meter, probe.range, probe.expected.ohms, plugs);
    for (std::size_t k = 0; k < reads.size(); ++k) {
      if (k == 0 || !near(reads[k - 1].ohms, reads[k].ohms)) {
        probe.outcomes.emplace_back();
        const std::string shown = display(meter, probe.range, reads[k].ohms + leads);
        probe.outcomes.back().reads = shown == "OL" ? shown : "about " + shown;
      }
      NextProbe::Outcome& outcome = probe.outcomes.back();
      outcome.probability += reads[k].standing->probability / total;
      if (reads[k].standing->fault) {
        outcome.suspects.push_back(reads[k].standing->suspect);
      } else {
        outcome.sound = true;
      }
    }
    return probe;
  }

  const Harness& harness_;
  const std::vector<Standing>& standing_;
  const Bench& bench_;
  const DiagnosisOptions& options_;
  std::vector<std::size_t> place_;  // of each explanation
  std::size_t places_ = 0;
  std::vector<Setting> settings_;
  std::vector<Access> depths_;
  std::vector<PointId> points_;
  std::vector<int> depth_of_;
  std::vector<Scored> found_;
};

}  // namespace

std::vector<NextProbe> best_probes(const Harness& harness, const std::vector<Standing>& standing,
                                   const Bench& bench, const DiagnosisOptions& options, std::size_t most) {
  if (standing.size() < 2) return {};
  return Search(harness, standing, bench, options).run(most);
}

}  // namespace lugwise
