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

constexpr double kOpen = std::numeric_limits<double>::infinity();

// Below this a branch's current can't be told from the drop across it.
constexpr Ohms kLeastOhms = 1e-3;

// What every pair of probes reads in one setting, sound and with one fault after another: by formulas from the sound
// circuit where they hold, else solved anew.
class Readings {
 public:
  // The table begins with the probes, in their order.
  Readings(const Circuit& circuit, const std::vector<PointId>& probes, const std::vector<Standing>& standing)
      : circuit_(circuit), probes_(probes.size()), seat_(circuit.points, kNone) {
    for (PointId probe : probes) ask(probe);
    for (const Standing& each : standing) {
      if (!each.fault) continue;
      if (each.fault->mode == Mode::Short) {
        ask(each.fault->a);
        ask(each.fault->b);
      }
      for (std::uint32_t b : branches_of(*each.fault)) {
        ask(circuit.branches[b].a);
        ask(circuit.branches[b].b);
      }
    }
    network_.emplace(network_at(circuit, resistors_at(circuit, Corner::Nominal)));
    for (const std::optional<double>& each : network_->all_pairs(asked_))
      sound_.push_back(each.value_or(kOpen));
  }

  // Probe by probe, row by row; open is infinity.
  std::vector<double> under(const Standing& standing) const {
    if (!standing.fault) return each_pair([&](std::size_t i, std::size_t j) { return sound(i, j); });
    const Fault& fault = *standing.fault;
    if (fault.mode == Mode::Short) return shorted(fault);
    const std::vector<std::uint32_t> hit = branches_of(fault);
    if (hit.empty()) return each_pair([&](std::size_t i, std::size_t j) { return sound(i, j); });
    const Branch& branch = circuit_.branches[hit.front()];
    if (hit.size() > 1 || branch.travel || branch.ohms.nominal < kLeastOhms) return solved(standing);
    return changed(standing, hit.front());
  }

 private:
  static constexpr std::uint32_t kNone = ~0U;

  void ask(PointId point) {
    if (seat_[point.index] != kNone) return;
    seat_[point.index] = static_cast<std::uint32_t>(asked_.size());
    asked_.push_back(point.index);
  }

  std::vector<std::uint32_t> branches_of(const Fault& fault) const {
    std::vector<std::uint32_t> found;
    for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) {
      if (circuit_.branches[b].element == fault.element) found.push_back(b);
    }
    return found;
  }

  double sound(std::size_t i, std::size_t j) const { return sound_[i * asked_.size() + j]; }

  template <class Reads>
  std::vector<double> each_pair(const Reads& reads) const {
    std::vector<double> table(probes_ * probes_, 0);
    for (std::size_t i = 0; i < probes_; ++i) {
      for (std::size_t j = i + 1; j < probes_; ++j) table[i * probes_ + j] = reads(i, j);
    }
    return table;
  }

  // The drop from x to y for one ampere from i to j; nothing where they are apart.
  double drop(std::size_t i, std::size_t j, std::size_t x, std::size_t y) const {
    const double twice = sound(i, y) - sound(i, x) + sound(j, x) - sound(j, y);
    return std::isfinite(twice) ? twice / 2 : 0;
  }

  std::vector<double> shorted(const Fault& fault) const {
    const std::size_t x = seat_[fault.a.index];
    const std::size_t y = seat_[fault.b.index];
    const bool closed = fault.site == Site::Contact && !branches_of(fault).empty();
    const bool there = circuit_.has(fault.a) && circuit_.has(fault.b) && !closed;
    return each_pair([&](std::size_t i, std::size_t j) {
      if (!there) return sound(i, j);
      if (std::isinf(sound(i, j))) {
        return std::min(sound(i, x) + sound(y, j), sound(i, y) + sound(x, j)) + kShort.nominal;
      }
      const double v = drop(i, j, x, y);
      return v == 0 ? sound(i, j) : sound(i, j) - v * v / (kShort.nominal + sound(x, y));
    });
  }

  // One branch of another resistance, or gone.
  std::vector<double> changed(const Standing& standing, std::uint32_t number) const {
    const Branch& branch = circuit_.branches[number];
    const double r = branch.ohms.nominal;
    const Mode mode = standing.fault->mode;
    const double more = mode == Mode::Open   ? kOpen
                        : mode == Mode::High ? standing.size
                                             : r * (standing.size - 1);
    const double loop = r + network_->detour(number).value_or(kOpen);
    // All of the current in a cut, or a part of it that the way round takes over.
    const double by_current = std::isinf(loop) ? more : std::isinf(more) ? loop : more / (1 + more / loop);
    const std::size_t x = seat_[branch.a.index];
    const std::size_t y = seat_[branch.b.index];
    return each_pair([&](std::size_t i, std::size_t j) {
      double amperes = drop(i, j, x, y) / r;
      if (std::isinf(loop)) amperes = std::abs(amperes) > 0.5 ? 1 : 0;
      return amperes == 0 ? sound(i, j) : sound(i, j) + amperes * amperes * by_current;
    });
  }

  std::vector<double> solved(const Standing& standing) const {
    const Circuit faulty = with_fault(circuit_, *standing.fault, standing.size);
    const auto table = network_at(faulty, resistors_at(faulty, Corner::Nominal)).all_pairs(asked_);
    return each_pair(
        [&](std::size_t i, std::size_t j) { return table[i * asked_.size() + j].value_or(kOpen); });
  }

  const Circuit& circuit_;
  std::size_t probes_;
  std::vector<std::uint32_t> seat_;  // of each point, or kNone
  std::vector<std::uint32_t> asked_;
  std::optional<Network> network_;
  std::vector<double> sound_;
};

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
    depths_ = accesses(harness, options.stage);
    bench_.depth = std::max(bench_.depth, depths_.front().depth);
    for (PointId point : reachable(harness, options.stage, depths_.back().depth)) {
      points_.push_back(point);
      depth_of_.push_back(access_to(harness, point, options.stage)->depth);
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
    const Readings readings(circuit, points_, standing_);
    std::vector<std::vector<double>> reads;
    for (const Standing& each : standing_) reads.push_back(readings.under(each));
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
          outcomes[h] = {reads[h][i * points_.size() + j], standing_[h].probability, place_[h], 0};
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
  Bench bench_;
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
