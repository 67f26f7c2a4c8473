#include "diagnosis/inside/next_probe.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "diagnosis/inside/candidate.h"
#include "handling/dial.h"
#include "handling/handling.h"

namespace lugwise::diagnosis::inside {

namespace {

// How long the exact search for the order may take.
constexpr std::size_t kBudget = 2500;

// What has this share of an outcome remains.
constexpr double kRemains = 0.005;

// Of an outcome that is this much rarer under one explanation than under another it is a slip.
constexpr double kBySlip = 0.02;

// What is put in order is told in steps: the last bits of a sum differ from one processor to the next.
double in_steps(double share) { return std::round(share / 1e-9); }

// The share of what the best says for its seconds that is enough, of first probes from a complaint, for what is usual.
constexpr double kUsual = 0.6;

// Named at most to split the first group.
constexpr std::size_t kMostSeparate = 3;

// What is asked of the room `sequence`.
Inquiry inquiry_of(const Harness& harness, const Costs& costs, const CandidateSearch& search,
                   const std::vector<Candidate>& found, const std::vector<Standing>& standing) {
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
    for (std::size_t t = 0; t < found.size(); ++t) inquiry.tests[t].outcomes.push_back(found[t].outcomes[h]);
  }
  for (std::size_t t = 0; t < found.size(); ++t) {
    // What shows itself only now and then takes so much longer to say as much.
    inquiry.tests[t].cost = found[t].seconds * found[t].repeats;
    for (const Candidate& next : found)
      inquiry.after.push_back(
          next.repeats *
          (seconds_to_read(harness, costs, search.hands_at(found[t]), search.hands_at(next)) + next.extra));
  }
  return inquiry;
}

// The outcomes of a probe on its range, or on what the meter picks, in words and with what each would leave.
std::vector<NextProbe::Outcome> outcomes_of(const Meter& meter, const Range& range, Ohms leads,
                                            const Candidate& here, const std::vector<Standing>& standing) {
  std::vector<NextProbe::Outcome> outcomes;
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
    const auto shown = [&](Ohms ohms) {
      return display(meter, meter.automatic ? range_for(meter, ohms) : range, ohms);
    };
    const std::string low = shown(least + leads);
    const std::string high = shown(most + leads);
    const bool near = low == high || most - least < 0.1 * least + 1;
    outcome.reads = low == "OL" ? "OL" : near ? "about " + low : "from " + low + " to " + high;
    outcomes.push_back(std::move(outcome));
  }
  return outcomes;
}

// The two outcomes of what is moved and watched, or taken again behind it.
std::vector<NextProbe::Outcome> outcomes_of_moving(const Candidate& here,
                                                   const std::vector<Standing>& standing) {
  std::vector<NextProbe::Outcome> outcomes(2);
  const bool sweep = here.deed == Candidate::Deed::Sweep;
  const bool wiggle = here.deed == Candidate::Deed::Wiggle;
  outcomes[0].reads = sweep ? "smooth" : wiggle ? "steady" : "as before";
  outcomes[1].reads = sweep ? "jumps" : wiggle ? "unstable" : "as it should be";
  for (std::size_t outcome : {0U, 1U}) {
    NextProbe::Outcome& one = outcomes[outcome];
    const auto chance = [&](std::size_t h) { return outcome == 1 ? here.chances[h] : 1 - here.chances[h]; };
    std::map<std::size_t, double> left;  // of each suspect
    double most = 0;
    for (std::size_t h = 0; h < standing.size(); ++h) {
      one.probability += standing[h].probability * chance(h);
      most = std::max(most, chance(h));
    }
    for (std::size_t h = 0; h < standing.size(); ++h) {
      const double share = standing[h].probability * chance(h);
      // What would show it only by a slip of the probe is none of those that it speaks for.
      if (share < kRemains * one.probability || chance(h) < kBySlip * most) continue;
      if (standing[h].suspect) {
        left[standing[h].number] += share;
      } else {
        one.sound = true;
      }
    }
    for (const auto& [number, share] : left) one.suspects.push_back(number);
    std::stable_sort(one.suspects.begin(), one.suspects.end(),
                     [&](std::size_t x, std::size_t y) { return in_steps(left[x]) > in_steps(left[y]); });
  }
  return outcomes;
}

// What a player says who means that it comes and goes.
bool comes_and_goes(const std::vector<Heard>& heard) {
  return std::any_of(heard.begin(), heard.end(), [](const Heard& each) {
    return !each.aside && (each.sound == Sound::Crackles || each.sound == Sound::CutsOut ||
                           each.sound == Sound::Scratchy || each.sound == Sound::Pops);
  });
}

std::vector<std::size_t> wrong_of(const Diagnosis& answer) {
  std::vector<std::size_t> wrong;
  for (const Comparison& each : answer.readings) {
    if (!each.agrees || each.doubtful) wrong.push_back(each.observation);
  }
  return wrong;
}

}  // namespace

class ProbeFinder::Tables {
 public:
  Tables(const Harness& harness, const DiagnosisOptions& options)
      : harness_(harness), options_(options), search_(harness, options) {}

  void suggest(const std::vector<Observation>& taken, Diagnosis& answer, const std::vector<Heard>& heard) {
    taken_ = &taken;
    heard_ = &heard;
    search_.begin(taken, heard);
    const bool rests = comes_and_goes(heard);
    const std::vector<std::size_t> wrong = wrong_of(answer);
    std::vector<Standing> standing = standing_of(answer, Among::All, rests);
    if (standing.size() > 1 && !sure_enough(standing)) {
      const std::vector<Candidate> found = search_.candidates(standing, wrong);
      if (const auto first = best_of(found, standing)) answer.next = probe_of(found[*first], standing);
    }
    if (taken.empty()) {
      if (standing.size() > 1) add_first(standing, rests, answer);
      return;
    }
    if (!options_.separate) return;
    standing = standing_of(answer, Among::FirstGroup, rests);
    if (standing.size() < 2) return;
    separate(standing, wrong, answer);
    if (!answer.separate.empty()) return;
    if (const auto off = search_.with_a_lead_off(standing)) {
      answer.lift = probe_of(off->probe, standing);
      answer.lift->lifted = off->lead;
    }
  }

  Inquiry inquiry(const std::vector<Observation>& taken, const Diagnosis& answer) {
    search_.begin(taken);
    const std::vector<Standing> standing = standing_of(answer, Among::All);
    return inquiry_of(harness_, options_.costs, search_, search_.candidates(standing, wrong_of(answer)),
                      standing);
  }

 private:
  // One after another, each that says most for its seconds beside what those before it will have told. Of those that say
  // nearly as much the plug itself comes first, then what has the clip on its sleeve, and what is read before what is swept.
  void add_first(const std::vector<Standing>& standing, bool rests, Diagnosis& answer) {
    std::vector<Candidate> chosen;
    while (answer.first.size() < kMostFirst) {
      if (!chosen.empty()) search_.suppose(chosen);
      const std::vector<Candidate> found = search_.candidates(standing, {});
      const auto best = chosen.empty() ? best_of(found, standing) : std::optional<std::size_t>(0);
      if (found.empty() || !best) break;
      // What comes and goes shows when it is moved, so only the first reading is the usual one.
      const double enough = (rests && !chosen.empty() ? 1 : kUsual) * found[*best].score;
      const auto read_at = [&](auto there) {
        return std::find_if(found.begin(), found.end(), [&](const Candidate& each) {
          return each.deed == Candidate::Deed::Read && each.score >= enough && (search_.*there)(each);
        });
      };
      auto usual = read_at(&CandidateSearch::at_plug);
      if (usual == found.end()) usual = read_at(&CandidateSearch::on_sleeve);
      chosen.push_back(usual == found.end() ? found[*best] : *usual);
      answer.first.push_back(probe_of(chosen.back(), standing));
    }
    if (!answer.first.empty()) answer.next = answer.first.front();
    search_.begin(*taken_, *heard_);
  }

  // The best to tell the first group apart, then those that say most for their seconds.
  void separate(const std::vector<Standing>& standing, const std::vector<std::size_t>& wrong,
                Diagnosis& answer) {
    std::vector<Candidate> found = search_.candidates(standing, wrong);
    const auto first = best_of(found, standing);
    if (first) std::swap(found[0], found[*first]);
    for (const Candidate& candidate : found) {
      if (answer.separate.size() >= kMostSeparate) break;
      // The same two points in another setting seldom say more.
      const PointId a = search_.point(candidate.i);
      const PointId b = search_.point(candidate.j);
      if (std::none_of(answer.separate.begin(), answer.separate.end(), [&](const NextProbe& probe) {
            return std::minmax(probe.a, probe.b) == std::minmax(a, b) && probe.wiggled == candidate.wiggled;
          }))
        answer.separate.push_back(probe_of(candidate, standing));
    }
  }

  std::optional<std::size_t> best_of(const std::vector<Candidate>& found,
                                     const std::vector<Standing>& standing) const {
    if (found.empty()) return std::nullopt;
    const std::optional<Choice> choice =
        best_next(inquiry_of(harness_, options_.costs, search_, found, standing), kBudget);
    if (!choice) return std::nullopt;
    return choice->test;
  }

  NextProbe probe_of(const Candidate& here, const std::vector<Standing>& standing) const {
    NextProbe probe;
    describe(here, probe);
    probe.a = search_.point(here.i);
    probe.b = search_.point(here.j);
    if (search_.hands().hold(probe.b) && !search_.hands().hold(probe.a)) std::swap(probe.a, probe.b);
    probe.setting = search_.setting(here);
    probe.access = search_.access(here);
    probe.seconds = here.seconds;
    probe.bits = here.bits;
    probe.expected = expect(circuit_of(harness_, search_.state(here)), probe.a, probe.b);
    const Meter& meter = options_.meter;
    const int plugs = plugs_among(harness_, probe.a, probe.b);
    probe.range = meter.automatic ? range_to_take(meter, probe.expected, plugs) : *here.range;
    probe.shows = window(meter, probe.range, probe.expected.ohms, plugs);
    const Ohms leads = (meter.leads_low + meter.leads_high) / 2 + plugs * meter.cable / 2;
    probe.outcomes = here.chances.empty() ? outcomes_of(meter, probe.range, leads, here, standing)
                                          : outcomes_of_moving(here, standing);
    return probe;
  }

  // What is done for it.
  static void describe(const Candidate& here, NextProbe& probe) {
    probe.again = here.again;
    if (here.deed == Candidate::Deed::Again) probe.why = NextProbe::Why::Again;
    if (here.deed == Candidate::Deed::Sweep) probe.swept = here.control;
    if (here.deed == Candidate::Deed::Work) probe.worked = here.control;
    probe.another_cable = here.deed == Candidate::Deed::Cable;
    probe.wiggled = here.wiggled;
    probe.watched = here.watched;
  }

  const Harness& harness_;
  const DiagnosisOptions& options_;
  CandidateSearch search_;
  const std::vector<Observation>* taken_ = nullptr;  // of the call at hand
  const std::vector<Heard>* heard_ = nullptr;
};

ProbeFinder::ProbeFinder(const Harness& harness, const DiagnosisOptions& options)
    : tables_(std::make_unique<Tables>(harness, options)) {}
ProbeFinder::~ProbeFinder() = default;

void ProbeFinder::suggest(const std::vector<Observation>& taken, Diagnosis& answer,
                          const std::vector<Heard>& heard) {
  tables_->suggest(taken, answer, heard);
}

Inquiry ProbeFinder::inquiry(const std::vector<Observation>& taken, const Diagnosis& answer) {
  return tables_->inquiry(taken, answer);
}

}  // namespace lugwise::diagnosis::inside
