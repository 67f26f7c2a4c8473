#include "diagnosis/inside/next_probe.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <unordered_map>

#include "diagnosis/inside/reading_table.h"

namespace lugwise {
namespace {

constexpr double kOpen = std::numeric_limits<double>::infinity();

// Two resistances may be the same reading if they are nearer than this many deviations. A judgement.
constexpr double kToldApart = 3;

// Settings that are tried, those with the fewest turns first.
constexpr std::size_t kMostSettings = 16;
constexpr std::size_t kMostSettingsOfPairs = 12;  // each is solved anew with the one before the other

// Suspects weighed, none below so much of the probability.
constexpr std::size_t kMostSuspects = 14;
constexpr double kLeastShare = 0.005;

// So much in one place is sure enough: no more probes.
constexpr double kSureEnough = 0.97;

// Probes among which the order is searched, and how long the exact search may take.
constexpr std::size_t kMostProbes = 24;
constexpr std::size_t kBudget = 2500;

// Less information than this is not worth a probe.
constexpr double kLeastBits = 1e-3;

// A size known less well than this is three explanations, from its least to its most.
constexpr double kWideSize = 2;

// An explanation still standing: sound where `suspect` is null.
struct Standing {
  const Suspect* suspect = nullptr;
  std::size_t number = 0;  // of the suspect
  double size = 0;
  double probability = 0;
  std::uint32_t place = 0;
};

bool same_place(const Suspect& x, const Suspect& y) {
  if (x.also.has_value() != y.also.has_value()) return false;
  if (!x.also) return same_place(x.fault, y.fault);
  return (same_place(x.fault, y.fault) && same_place(*x.also, *y.also)) ||
         (same_place(x.fault, *y.also) && same_place(*x.also, y.fault));
}

struct Candidate {
  double score = 0, bits = 0, seconds = 0;
  std::size_t setting = 0;
  bool open = true;
  std::uint32_t i = 0, j = 0;  // seats in the table
  int depth = 0;
  std::vector<double> ohms, deviation;  // by standing
  const Range* range = nullptr;
  std::vector<std::uint8_t> outcomes;  // by standing, on that range
};

}  // namespace

class ProbeFinder::Tables {
 public:
  Tables(const Harness& harness, const DiagnosisOptions& options) : harness_(harness), options_(options) {
    settings_ = settings_to_try(harness, options.stage);
    depths_ = accesses(harness, options.stage);
    for (PointId point : reachable(harness, options.stage, depths_.back().depth)) {
      points_.push_back(point);
      depth_of_.push_back(access_to(harness, point, options.stage)->depth);
    }
    for (const Element& element : harness.elements()) lid_ = lid_ || element.when == Conducts::CavityClosed;
  }

  void suggest(const std::vector<Observation>& taken, Diagnosis& answer) {
    take_stand(taken);
    std::vector<Standing> standing = standing_of(answer, false);
    if (standing.size() > 1 && !sure_enough(standing)) {
      const std::vector<Candidate> found = candidates(standing);
      if (const auto first = best_of(found, standing)) answer.next = word(found[*first], standing);
    }
    if (!options_.separate) return;
    standing = standing_of(answer, true);
    if (standing.size() < 2) return;
    std::vector<Candidate> found = candidates(standing);
    const auto first = best_of(found, standing);
    if (first) std::swap(found[0], found[*first]);
    for (const Candidate& candidate : found) {
      if (answer.separate.size() >= 3) break;
      // The same two points in another setting seldom say more.
      const auto pair = std::minmax(points_[candidate.i], points_[candidate.j]);
      if (std::none_of(answer.separate.begin(), answer.separate.end(),
                       [&](const NextProbe& probe) { return std::minmax(probe.a, probe.b) == pair; }))
        answer.separate.push_back(word(candidate, standing));
    }
    if (answer.separate.empty()) answer.lift = with_a_lead_off(standing);
  }

  Inquiry inquiry(const std::vector<Observation>& taken, const Diagnosis& answer) {
    take_stand(taken);
    const std::vector<Standing> standing = standing_of(answer, false);
    return inquiry_of(candidates(standing), standing);
  }

 private:
  // What was read already, and where the hands are now.
  void take_stand(const std::vector<Observation>& taken) {
    taken_ = &taken;
    hands_ = {};
    hands_.setting = Setting(harness_);
    if (!taken.empty()) {
      const Observation& last = taken.back();
      hands_.setting = last.setting;
      if (last.action == Action::Sweep && last.swept) hands_.setting = other_end(last.setting, *last.swept);
      hands_.a = last.a;
      hands_.b = last.b;
      if (last.range) hands_.range = last.range->top;
    }
    hands_.depth = depths_.front().depth;
    for (const Observation& each : taken) hands_.depth = std::max(hands_.depth, each.access.depth);
  }

  std::vector<Standing> standing_of(const Diagnosis& answer, bool first_group) const {
    std::vector<Standing> standing;
    double total = 0;
    if (!first_group && answer.sound > kLeastShare) {
      standing.push_back({nullptr, 0, 0, answer.sound, 0});
      total += answer.sound;
    }
    std::vector<const Suspect*> places;
    std::size_t suspects = 0;
    for (std::size_t k = 0; k < answer.suspects.size() && suspects < kMostSuspects; ++k) {
      const Suspect& suspect = answer.suspects[k];
      if (first_group ? suspect.group != 1 : suspect.probability < kLeastShare && !suspect.also) continue;
      // Of many pairs those that bring in a fault not named yet.
      if (suspect.also && standing.size() > 1 && stands(standing, suspect.fault) &&
          stands(standing, *suspect.also))
        continue;
      ++suspects;
      std::uint32_t place = 0;
      while (place < places.size() && !same_place(*places[place], suspect)) ++place;
      if (place == places.size()) places.push_back(&suspect);
      const auto add = [&](double size, double share) {
        standing.push_back({&suspect, k, size, suspect.probability * share, place + 1});
      };
      total += suspect.probability;
      if (!suspect.size) {
        add(0, 1);
      } else if (suspect.size->high > kWideSize * suspect.size->low) {
        add(suspect.size->low, 0.25);
        add(suspect.size->nominal, 0.5);
        add(suspect.size->high, 0.25);
      } else {
        add(suspect.size->nominal, 1);
      }
    }
    for (Standing& each : standing) each.probability /= total;
    return standing;
  }

  static bool stands(const std::vector<Standing>& standing, const Fault& fault) {
    return std::any_of(standing.begin(), standing.end(), [&](const Standing& each) {
      return each.suspect && each.suspect->also &&
             (each.suspect->fault == fault || *each.suspect->also == fault);
    });
  }

  static bool sure_enough(const std::vector<Standing>& standing) {
    std::map<std::uint32_t, double> shares;
    for (const Standing& each : standing) shares[each.place] += each.probability;
    return std::any_of(shares.begin(), shares.end(),
                       [](const auto& share) { return share.second >= kSureEnough; });
  }

  const ReadingTable& table(const Setting& setting, bool open) {
    const bool as_open = open || !lid_;
    const auto key = std::make_pair(setting, as_open);
    const auto known = known_.find(key);
    if (known != known_.end()) return known->second;
    const State state{setting, options_.stage, as_open, {}, options_.temperature};
    return known_.emplace(key, ReadingTable(harness_, circuit_of(harness_, state), points_)).first->second;
  }

  // Whether a suspect lies at a part.
  bool at_part(const std::vector<Standing>& standing, PointId point) const {
    const std::optional<PartId> part = harness_[point].part;
    const auto there = [&](const Fault& fault) {
      return std::any_of(fault.points.begin(), fault.points.end(), [&](PointId each) {
        return each == point || (part && harness_[each].part == part);
      });
    };
    return std::any_of(standing.begin(), standing.end(), [&](const Standing& each) {
      return each.suspect &&
             (there(each.suspect->fault) || (each.suspect->also && there(*each.suspect->also)));
    });
  }

  // The lead at a suspect's part that says most for its iron when it is off, as the controls are now.
  std::optional<NextProbe> with_a_lead_off(const std::vector<Standing>& standing) {
    searched_ = {hands_.setting};
    std::optional<NextProbe> best;
    double most = 0;
    for (const Blob& blob : harness_.blobs()) {
      for (PointId lead : blob.leads) {
        const bool near = at_part(standing, lead) || at_part(standing, blob.surface);
        if (blob.inside || !near || !within_reach(lead) || !within_reach(blob.surface)) continue;
        found_.clear();
        floor_ = 0;
        off_ = lead;
        const State state{hands_.setting, options_.stage, true, {lead}, options_.temperature};
        search(ReadingTable(harness_, circuit_of(harness_, state), points_), 0, true, 0, standing);
        for (auto& [signature, candidate] : found_) {
          if (!choose_range(candidate, standing)) continue;
          candidate.seconds += options_.costs.lift + options_.costs.refit;
          const double score = candidate.bits / candidate.seconds;
          if (score <= most) continue;
          most = score;
          best = word(candidate, standing);
        }
      }
    }
    off_.reset();
    return best;
  }

  bool within_reach(PointId point) const {
    return std::find(points_.begin(), points_.end(), point) != points_.end();
  }

  std::vector<Candidate> candidates(const std::vector<Standing>& standing) {
    std::vector<Setting> settings{hands_.setting};
    for (const Setting& setting : settings_) {
      if (setting != hands_.setting) settings.push_back(setting);
    }
    std::stable_sort(settings.begin() + 1, settings.end(), [&](const Setting& x, const Setting& y) {
      return turns_between(harness_, hands_.setting, x) < turns_between(harness_, hands_.setting, y);
    });
    const bool pairs = std::any_of(standing.begin(), standing.end(),
                                   [](const Standing& each) { return each.suspect && each.suspect->also; });
    settings.resize(std::min(settings.size(), pairs ? kMostSettingsOfPairs : kMostSettings));
    searched_ = settings;
    found_.clear();
    of_place_.clear();
    for (const Standing& each : standing) {
      of_place_.resize(std::max<std::size_t>(of_place_.size(), each.place + 1U), 0);
      of_place_[each.place] += each.probability;
    }
    most_bits_ = entropy(of_place_);
    floor_ = 0;
    for (std::size_t s = 0; s < settings.size(); ++s) {
      if (hands_.depth == 0 && lid_) try_setting(s, false, standing);
      try_setting(s, true, standing);
      raise_floor();
    }
    std::vector<Candidate> all;
    for (auto& [signature, candidate] : found_) all.push_back(std::move(candidate));
    const auto before = [](const Candidate& x, const Candidate& y) {
      return std::tie(y.score, x.setting, x.i, x.j) < std::tie(x.score, y.setting, y.i, y.j);
    };
    std::sort(all.begin(), all.end(), before);
    std::vector<Candidate> best;
    for (Candidate& candidate : all) {
      if (best.size() >= kMostProbes) break;
      if (choose_range(candidate, standing)) best.push_back(std::move(candidate));
    }
    std::sort(best.begin(), best.end(), before);
    return best;
  }

  // The score that the last probe of those kept has: what cannot reach it need not be looked at.
  void raise_floor() {
    if (found_.size() < kMostProbes) return;
    std::vector<double> scores;
    for (const auto& [signature, candidate] : found_) scores.push_back(candidate.score);
    std::nth_element(scores.begin(), scores.begin() + (kMostProbes - 1), scores.end(), std::greater<>());
    floor_ = scores[kMostProbes - 1];
  }

  // Pairs outside are read with the lid on where nothing has been opened, all others with it off.
  void try_setting(std::size_t s, bool open, const std::vector<Standing>& standing) {
    const double turning =
        options_.costs.turn_control * turns_between(harness_, hands_.setting, searched_[s]);
    if (most_bits_ < floor_ * (options_.costs.read + turning)) return;
    search(table(searched_[s], open), s, open, turning, standing);
  }

  void search(const ReadingTable& reads, std::size_t s, bool open, double turning,
              const std::vector<Standing>& standing) {
    std::vector<std::vector<double>> under;
    std::vector<std::pair<const Fault*, ReadingTable>> with;
    for (const Standing& each : standing) {
      if (!each.suspect) {
        under.push_back(reads.sound());
      } else if (!each.suspect->also) {
        under.push_back(reads.under(each.suspect->fault, each.size));
      } else {
        // Of two the second is solved for once, and the first, whose size may be any of three, put on top.
        const std::optional<Size>& size = each.suspect->also_size;
        const Fault& second = *each.suspect->also;
        auto known =
            std::find_if(with.begin(), with.end(), [&](const auto& one) { return *one.first == second; });
        if (known == with.end())
          known = with.insert(known, {&second, reads.with(second, size ? size->nominal : 0)});
        under.push_back(known->second.under(each.suspect->fault, each.size));
      }
    }
    const std::size_t n = points_.size();
    Candidate here;
    here.setting = s;
    here.open = open;
    here.ohms.resize(standing.size());
    here.deviation.resize(standing.size());
    for (std::uint32_t i = 0; i < n; ++i) {
      if (!reads.has(i)) continue;
      for (std::uint32_t j = i + 1; j < n; ++j) {
        if (!reads.has(j)) continue;
        const int depth = std::max(depth_of_[i], depth_of_[j]);
        if (hands_.depth == 0 && lid_ && open != (depth > 0)) continue;
        const double seconds = seconds_for(i, j, depth, turning);
        if (most_bits_ < floor_ * seconds) continue;
        const std::size_t at = i * n + j;
        double least = under[0][at];
        double most = least;
        for (std::size_t h = 1; h < standing.size(); ++h) {
          least = std::min(least, under[h][at]);
          most = std::max(most, under[h][at]);
        }
        if (!(most - least > 0.05 + 0.01 * least)) continue;
        for (std::size_t h = 0; h < standing.size(); ++h) {
          here.ohms[h] = under[h][at];
          here.deviation[h] = reads.deviation(i, j, under[h][at]);
        }
        consider(here, i, j, depth, seconds, standing);
      }
    }
  }

  double seconds_for(std::uint32_t i, std::uint32_t j, int depth, double turning) const {
    const Costs& cost = options_.costs;
    double seconds = cost.read + turning;
    if (depth >= 1 && hands_.depth < 1) seconds += cost.open_cavity;
    if (depth >= 2 && hands_.depth < depth) seconds += cost.open_cover;
    for (std::uint32_t seat : {i, j}) seconds += hands_.hold(points_[seat]) ? 0 : cost.move_probe;
    return seconds;
  }

  void consider(Candidate& here, std::uint32_t i, std::uint32_t j, int depth, double seconds,
                const std::vector<Standing>& standing) {
    split(here, nullptr, outcomes_);
    const double bits = information(outcomes_, standing);
    if (bits < kLeastBits) return;
    const double score = bits / seconds;
    std::string signature(outcomes_.begin(), outcomes_.end());
    signature += static_cast<char>(depth);
    const auto known = found_.find(signature);
    if (known != found_.end() && known->second.score >= score * (1 - 1e-9)) return;
    if (found_.size() >= 4000 && known == found_.end()) return;
    here.score = score;
    here.bits = bits;
    here.seconds = seconds;
    here.i = i;
    here.j = j;
    here.depth = depth;
    if (!some_range_left(here)) return;
    found_[signature] = here;
  }

  // Outcomes told apart on one range, or, without one, on whichever holds each: numbered by rising ohms.
  void split(const Candidate& here, const Range* on, std::vector<std::uint8_t>& outcomes) const {
    const std::size_t n = here.ohms.size();
    order_.resize(n);
    shown_.resize(n);
    outcomes.resize(n);
    for (std::size_t h = 0; h < n; ++h) {
      order_[h] = h;
      shown_[h] = look(here.ohms[h], here.deviation[h], on);
    }
    std::stable_sort(order_.begin(), order_.end(),
                     [&](std::size_t x, std::size_t y) { return shown_[x].first < shown_[y].first; });
    std::uint8_t lump = 0;
    for (std::size_t k = 0; k < n; ++k) {
      if (k > 0) {
        const auto& [ohms, spread] = shown_[order_[k]];
        const auto& [less, other] = shown_[order_[k - 1]];
        const bool apart =
            std::isinf(ohms) ? !std::isinf(less) : ohms - less > kToldApart * std::hypot(spread, other);
        if (apart && lump < 250) ++lump;
      }
      outcomes[order_[k]] = lump;
    }
  }

  // What a display makes of it: the ohms, and their deviation with the meter's; above the range, open.
  std::pair<double, double> look(double ohms, double deviation, const Range* on) const {
    const Meter& meter = options_.meter;
    if (!on) {
      on = &meter.ranges.back();
      for (const Range& range : meter.ranges) {
        if (ohms < 0.95 * range.top) {
          on = &range;
          break;
        }
      }
    }
    if (std::isinf(ohms) || ohms + kToldApart * deviation > 0.97 * on->top) return {kOpen, 0};
    const double step = meter.step(*on);
    const double error = error_bound(meter, *on, ohms);
    return {ohms, std::sqrt(deviation * deviation + error * error / 3 + step * step / 12)};
  }

  // Whether a pair was read in this setting: a number says it all, OL leaves the higher ranges.
  bool allowed(const Candidate& here, const Range& range) const {
    if (off_) return true;
    for (const Observation& each : *taken_) {
      if (each.action != Action::Read || each.setting != searched_[here.setting] || !each.lifted.empty())
        continue;
      if (std::minmax(each.a, each.b) != std::minmax(points_[here.i], points_[here.j])) continue;
      if (lid_ && (each.access.depth > 0) != here.open) continue;
      if (each.shows != Shows::OverRange || !each.range || each.range->top >= range.top) return false;
    }
    return true;
  }

  bool some_range_left(const Candidate& here) const { return allowed(here, options_.meter.ranges.back()); }

  // The range on which the display says most; false: on none that was not tried.
  bool choose_range(Candidate& here, const std::vector<Standing>& standing) const {
    double best = kLeastBits;
    std::vector<std::uint8_t> outcomes;
    for (const Range& range : options_.meter.ranges) {
      if (options_.meter.automatic && &range != &options_.meter.ranges.back()) continue;
      if (!allowed(here, range)) continue;
      split(here, options_.meter.automatic ? nullptr : &range, outcomes);
      const double bits = information(outcomes, standing);
      if (bits <= best * (1 + 1e-9)) continue;
      best = bits;
      here.range = &range;
      here.outcomes = outcomes;
    }
    if (!here.range) return false;
    here.bits = best;
    if (hands_.range != 0 && here.range->top != hands_.range) here.seconds += options_.costs.change_range;
    here.score = best / here.seconds;
    return true;
  }

  // How much the outcome says about the place of the fault: its entropy, less what it keeps when the place is known.
  // Open or high, a joint is one place.
  double information(const std::vector<std::uint8_t>& outcomes, const std::vector<Standing>& standing) const {
    std::size_t lumps = 0;
    std::size_t places = 0;
    for (std::size_t h = 0; h < standing.size(); ++h) {
      lumps = std::max<std::size_t>(lumps, outcomes[h] + 1U);
      places = std::max<std::size_t>(places, standing[h].place + 1U);
    }
    if (lumps < 2) return 0;
    of_lump_.assign(lumps, 0);
    of_place_.assign(places, 0);
    of_both_.assign(lumps * places, 0);
    for (std::size_t h = 0; h < standing.size(); ++h) {
      of_lump_[outcomes[h]] += standing[h].probability;
      of_place_[standing[h].place] += standing[h].probability;
      of_both_[outcomes[h] * places + standing[h].place] += standing[h].probability;
    }
    return entropy(of_lump_) + entropy(of_place_) - entropy(of_both_);
  }

  static double entropy(const std::vector<double>& shares) {
    double bits = 0;
    for (double share : shares) bits -= share > 0 ? share * std::log2(share) : 0;
    return bits;
  }

  Hands hands_at(const Candidate& here) const {
    return {searched_[here.setting], points_[here.i], points_[here.j], std::max(here.depth, hands_.depth),
            here.range->top};
  }

  std::optional<std::size_t> best_of(const std::vector<Candidate>& found,
                                     const std::vector<Standing>& standing) const {
    if (found.empty()) return std::nullopt;
    const std::optional<Choice> choice = best_next(inquiry_of(found, standing), kBudget);
    if (!choice) return std::nullopt;
    return choice->test;
  }

  Inquiry inquiry_of(const std::vector<Candidate>& found, const std::vector<Standing>& standing) const {
    Inquiry inquiry;
    inquiry.tests.resize(found.size());
    // Those of one place that every probe shows alike are one.
    std::map<std::vector<std::uint32_t>, std::size_t> seats;
    for (std::size_t h = 0; h < standing.size(); ++h) {
      std::vector<std::uint32_t> looks{standing[h].place};
      for (const Candidate& each : found) looks.push_back(each.outcomes[h]);
      const auto [seat, fresh] = seats.emplace(std::move(looks), inquiry.shares.size());
      if (!fresh) {
        inquiry.shares[seat->second] += standing[h].probability;
        continue;
      }
      inquiry.shares.push_back(standing[h].probability);
      inquiry.groups.push_back(standing[h].place);
      for (std::size_t t = 0; t < found.size(); ++t)
        inquiry.tests[t].outcomes.push_back(found[t].outcomes[h]);
    }
    for (std::size_t t = 0; t < found.size(); ++t) {
      const Candidate& each = found[t];
      inquiry.tests[t].cost = each.seconds;
      for (const Candidate& next : found)
        inquiry.after.push_back(seconds_to_read(harness_, options_.costs, hands_at(each), hands_at(next)));
    }
    return inquiry;
  }

  NextProbe word(const Candidate& here, const std::vector<Standing>& standing) const {
    NextProbe probe;
    probe.a = points_[here.i];
    probe.b = points_[here.j];
    if (hands_.hold(probe.b) && !hands_.hold(probe.a)) std::swap(probe.a, probe.b);
    probe.setting = searched_[here.setting];
    for (const Access& access : depths_) {
      if (access.depth == std::max(here.depth, hands_.depth)) probe.access = access;
    }
    probe.lifted = off_;
    probe.seconds = here.seconds;
    probe.bits = here.bits;
    const bool open = here.open || !lid_;
    State state{probe.setting, options_.stage, open, {}, options_.temperature};
    if (off_) state.lifted.push_back(*off_);
    probe.expected = expect(circuit_of(harness_, state), probe.a, probe.b);
    const Meter& meter = options_.meter;
    const int plugs =
        (harness_[probe.a].role == PointRole::Plug) + (harness_[probe.b].role == PointRole::Plug);
    probe.range = *here.range;
    probe.shows = window(meter, probe.range, probe.expected.ohms, plugs);

    const Ohms leads = (meter.leads_low + meter.leads_high) / 2 + plugs * meter.cable / 2;
    const std::size_t lumps = *std::max_element(here.outcomes.begin(), here.outcomes.end()) + 1U;
    for (std::size_t lump = 0; lump < lumps; ++lump) {
      NextProbe::Outcome outcome;
      double least = kOpen;
      double most = 0;
      for (std::size_t h = 0; h < standing.size(); ++h) {
        if (here.outcomes[h] != lump) continue;
        least = std::min(least, here.ohms[h]);
        most = std::max(most, here.ohms[h]);
        outcome.probability += standing[h].probability;
        if (!standing[h].suspect) {
          outcome.sound = true;
        } else if (outcome.suspects.empty() || outcome.suspects.back() != standing[h].number) {
          outcome.suspects.push_back(standing[h].number);
        }
      }
      const std::string low = display(meter, probe.range, least + leads);
      const std::string high = display(meter, probe.range, most + leads);
      const bool near = low == high || most - least < 0.1 * least + 1;
      outcome.reads = low == "OL" ? "OL" : near ? "about " + low : "from " + low + " to " + high;
      probe.outcomes.push_back(std::move(outcome));
    }
    return probe;
  }

  const Harness& harness_;
  const DiagnosisOptions& options_;
  std::vector<Setting> settings_;
  std::vector<Access> depths_;
  std::vector<PointId> points_;
  std::vector<int> depth_of_;
  bool lid_ = false;  // something conducts only while the cavity is closed
  std::map<std::pair<Setting, bool>, ReadingTable> known_;

  // Of the call at hand.
  const std::vector<Observation>* taken_ = nullptr;
  Hands hands_;
  std::vector<Setting> searched_;
  std::unordered_map<std::string, Candidate> found_;  // the cheapest of those that tell the same apart
  std::optional<PointId> off_;                        // a lead that is lifted
  double most_bits_ = 0;                              // that any probe can say
  double floor_ = 0;                                  // the score of the last probe kept
  std::vector<std::uint8_t> outcomes_;
  mutable std::vector<std::size_t> order_;
  mutable std::vector<std::pair<double, double>> shown_;
  mutable std::vector<double> of_lump_, of_place_, of_both_;
};

ProbeFinder::ProbeFinder(const Harness& harness, const DiagnosisOptions& options)
    : tables_(std::make_unique<Tables>(harness, options)) {}
ProbeFinder::~ProbeFinder() = default;

void ProbeFinder::suggest(const std::vector<Observation>& taken, Diagnosis& answer) {
  tables_->suggest(taken, answer);
}

Inquiry ProbeFinder::inquiry(const std::vector<Observation>& taken, const Diagnosis& answer) {
  return tables_->inquiry(taken, answer);
}

}  // namespace lugwise
