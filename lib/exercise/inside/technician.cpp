#include "exercise/inside/technician.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <tuple>
#include <utility>

#include "exercise/inside/answer.h"
#include "exercise/inside/information.h"
#include "handling/handling.h"

namespace lugwise::exercise::inside {
namespace {

// What so few bits could still tell apart is not asked for.
constexpr double kLittle = 0.1;

// Presses that are taken to find what moves: of a case with hundreds of leads not each is tried.
constexpr std::size_t kMostPresses = 60;

// So often the same reading is taken before it is known to tell nothing more.
constexpr std::ptrdiff_t kOften = 3;

// What to read next: what tells most; where that is little, or only proves a repair, what parts the first suspects, with a
// lead off if need be.
const NextProbe* parting(const Diagnosis& diagnosis) {
  const bool tells = diagnosis.next && diagnosis.next->why != NextProbe::Why::Proof;
  if (tells && diagnosis.next->bits >= kLittle) return &*diagnosis.next;
  if (!diagnosis.separate.empty()) return &diagnosis.separate.front();
  if (diagnosis.lift) return &*diagnosis.lift;
  return tells && diagnosis.verdict != Verdict::Fault ? &*diagnosis.next : nullptr;
}

// What to read next by what it tells alone, as who follows `next` does.
const NextProbe* telling(const Diagnosis& diagnosis) { return diagnosis.next ? &*diagnosis.next : nullptr; }

NextProbe asked(const Observation& seen) {
  NextProbe probe;
  probe.a = seen.a;
  probe.b = seen.b;
  probe.setting = seen.setting;
  probe.access = seen.access;
  if (!seen.lifted.empty()) probe.lifted = seen.lifted.front();
  if (seen.range) probe.range = *seen.range;
  return probe;
}

std::size_t places_of(const Diagnosis& diagnosis) {
  std::vector<const Fault*> places;
  for (const Suspect& each : diagnosis.suspects) {
    if (std::none_of(places.begin(), places.end(),
                     [&](const Fault* place) { return same_place(*place, each.fault); }))
      places.push_back(&each.fault);
  }
  return places.size();
}

template <class Each>
std::vector<Each> without(const std::vector<Each>& all, const std::vector<char>& left_out) {
  std::vector<Each> rest;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!left_out[i]) rest.push_back(all[i]);
  }
  return rest;
}

// Readings by their numbers: those first that a sound harness would give too, as most ways do without them.
std::vector<std::size_t> least_telling_first(const Diagnosis& diagnosis) {
  std::vector<std::size_t> order;
  for (const bool agrees : {true, false}) {
    for (const Comparison& reading : diagnosis.readings) {
      if (reading.agrees == agrees) order.push_back(reading.observation);
    }
  }
  return order;
}

// Where the other tip goes to have one joint or contact of a point between both: its other side, through the solder of a blob.
std::vector<PointId> soldered_to(const Harness& harness, std::optional<std::size_t> stage, PointId point) {
  std::vector<PointId> others;
  if (!access_to(harness, point, stage)) return others;
  const auto look = [&](const auto& again, PointId from, bool through) -> void {
    for (const Element& element : harness.elements()) {
      const bool joins = element.kind == ElementKind::Joint || element.kind == ElementKind::Blob ||
                         element.kind == ElementKind::Contact;
      if (!joins || (element.a != from && element.b != from)) continue;
      const PointId far = element.a == from ? element.b : element.a;
      if (far == point || std::find(others.begin(), others.end(), far) != others.end()) continue;
      if (access_to(harness, far, stage)) {
        others.push_back(far);
      } else if (through) {
        again(again, far, false);
      }
    }
  };
  look(look, point, true);
  return others;
}

}  // namespace

Technician::Technician(const Harness& harness, const std::vector<Fault>& faults,
                       const DiagnosisOptions& options)
    : harness_(harness), faults_(faults), options_(options), diagnoser_(harness, options) {}

Diagnosis Technician::diagnose(const Exercise& exercise, const std::vector<Observation>& seen) {
  return diagnoser_.diagnose(seen, exercise.heard);
}

Diagnosis Technician::judge(const Exercise& exercise, const std::vector<Observation>& seen) {
  return diagnoser_.judge(seen, exercise.heard);
}

void Technician::follow(const Exercise& exercise, Simulation& simulation, std::vector<Observation>& seen,
                        std::size_t most) {
  while (seen.size() < most) {
    const Diagnosis diagnosis = diagnose(exercise, seen);
    const auto group = settle(faults_, exercise, diagnosis);
    const bool one =
        group && std::all_of(group->begin(), group->end(), [](const auto& each) { return each.size() == 1; });
    const NextProbe* wanted = parting(diagnosis);
    // What comes and goes is settled by taking its readings again.
    if (!wanted && exercise.ailments.front().comes_and_goes && diagnosis.next &&
        diagnosis.next->why != NextProbe::Why::Proof)
      wanted = &*diagnosis.next;
    if (one || !wanted) return;
    const bool asked_often = std::count_if(seen.begin(), seen.end(), [&](const Observation& other) {
                               return other.a == wanted->a && other.b == wanted->b &&
                                      other.setting == wanted->setting && other.wiggled == wanted->wiggled;
                             }) >= kOften;
    if (asked_often) return;
    seen.push_back(take(simulation, *wanted, seen));
  }
}

void Technician::press_alone(Simulation& simulation, std::vector<Observation>& seen) const {
  std::vector<PointId> loose;
  const std::size_t most = seen.size() + kMostPresses;
  const auto press = [&](NextProbe& probe, std::vector<PointId> points) {
    if (seen.size() >= most) return false;
    probe.wiggled = std::move(points);
    seen.push_back(take(simulation, probe, seen));
    return seen.back().shows == Shows::Unstable;
  };
  const std::vector<Observation> pressed = seen;
  for (const Observation& each : pressed) {
    if (each.action != Action::Wiggle || each.shows != Shows::Unstable) continue;
    NextProbe probe = asked(each);
    for (const PointId point : each.wiggled) {
      if (std::find(loose.begin(), loose.end(), point) == loose.end() && press(probe, {point}))
        loose.push_back(point);
    }
    press(probe, each.wiggled);
  }
  // With the tips on both sides of each joint at a point that moved: twice, as one unsteady reading may be the tips'.
  for (const PointId point : loose) {
    for (const PointId other : soldered_to(harness_, options_.stage, point)) {
      const Access one = *access_to(harness_, point, options_.stage);
      const Access two = *access_to(harness_, other, options_.stage);
      NextProbe probe;
      probe.a = point;
      probe.b = other;
      probe.setting = Setting(harness_);
      probe.access = one.depth > two.depth ? one : two;
      probe.range = options_.meter.ranges.front();
      if (press(probe, {point})) press(probe, {point});
    }
  }
}

Observation Technician::take(Simulation& simulation, const NextProbe& probe,
                             const std::vector<Observation>& before) const {
  Observation seen = as_observation(harness_, probe);
  const auto again =
      static_cast<std::size_t>(std::count_if(before.begin(), before.end(), [&](const auto& other) {
        return other.a == seen.a && other.b == seen.b && other.setting == seen.setting &&
               other.lifted == seen.lifted && other.action == seen.action;
      }));
  simulation.take(seen, probe.range, again);
  return seen;
}

bool Technician::leads_there(const Exercise& exercise, const std::vector<Observation>& seen) {
  return confirms(faults_, exercise, judge(exercise, seen));
}

bool Technician::find_path(Exercise& exercise, Simulation& simulation, const std::vector<Observation>& all) {
  std::vector<Way> ways;
  if (exercise.ailments.size() == 1 && !exercise.ailments.front().comes_and_goes)
    walk(exercise, simulation, {parting, telling}, {}, ways);
  // The readings on the sheet are a way too; and where the next probe doesn't get there by itself (two faults, wear, what
  // comes and goes) those on offer are the only one.
  if ((ways.empty() || !exercise.given.empty()) && leads_there(exercise, all)) {
    Way way{all, {}};
    for (const Observation& each : all) way.probes.push_back(asked(each));
    ways.push_back(std::move(way));
  }
  if (ways.empty()) return false;
  for (Way& way : ways) thin_out(exercise, way);
  Way& shortest = *std::min_element(ways.begin(), ways.end(), [&](const Way& x, const Way& y) {
    return std::pair(whole_seconds(x), x.seen.size()) < std::pair(whole_seconds(y), y.seen.size());
  });
  // What comes and goes was looked for in the order of its telling.
  if (!exercise.ailments.front().comes_and_goes) put_in_order(exercise, shortest);
  tell(exercise, shortest);
  return true;
}

// What is asked for, and that again, until the answer stands. The ways of asking go together until they ask for different
// things; each that gets there is put down.
void Technician::walk(const Exercise& exercise, Simulation& simulation, std::vector<Asks> asks, Way way,
                      std::vector<Way>& ways) {
  const auto went = [&](const NextProbe* wanted, Way& along) {
    if (!wanted || along.seen.size() == kMostReadings) return false;
    along.probes.push_back(*wanted);
    along.seen.push_back(take(simulation, *wanted, along.seen));
    return true;
  };
  for (;;) {
    const Diagnosis diagnosis = diagnose(exercise, way.seen);
    if (confirms(faults_, exercise, diagnosis)) {
      ways.push_back(std::move(way));
      return;
    }
    const NextProbe* const wanted = asks.front()(diagnosis);
    if (asks.size() == 2 && asks.back()(diagnosis) != wanted) {
      Way other = way;
      if (went(asks.back()(diagnosis), other))
        walk(exercise, simulation, {asks.back()}, std::move(other), ways);
      asks.pop_back();
    }
    if (!went(wanted, way)) return;
  }
}

// Of the hands. Whole ones: which way is the shorter doesn't hang on the last bits of a sum.
long Technician::whole_seconds(const Way& way) const {
  Hands hands;
  hands.setting = Setting(harness_);
  double seconds = 0;
  for (const Observation& each : way.seen) seconds += seconds_to_take(harness_, options_.costs, hands, each);
  return std::lround(seconds);
}

// Leaves out what the answer stands without: in large parts first, then one by one.
void Technician::thin_out(const Exercise& exercise, Way& way) {
  std::vector<std::size_t> order = least_telling_first(judge(exercise, way.seen));
  // Whoever looks for what comes and goes finds it by all that moved, from the widest press to the joint itself.
  if (exercise.ailments.front().comes_and_goes)
    std::erase_if(order, [&](std::size_t i) { return way.seen[i].shows == Shows::Unstable; });
  std::vector<char> left_out(way.seen.size(), 0);
  for (std::size_t chunk = order.size() / 2; chunk >= 1; chunk /= 2) {
    for (std::size_t at = 0; at + chunk <= order.size();) {
      const auto from = order.begin() + static_cast<std::ptrdiff_t>(at);
      const auto to = from + static_cast<std::ptrdiff_t>(chunk);
      std::vector<char> fewer = left_out;
      for (auto each = from; each != to; ++each) fewer[*each] = 1;
      if (leads_there(exercise, without(way.seen, fewer))) {
        left_out = std::move(fewer);
        order.erase(from, to);
      } else {
        at += chunk;
      }
    }
  }
  way.seen = without(way.seen, left_out);
  way.probes = without(way.probes, left_out);
}

// The reading that tells most first, as what is left out may have made another one tell; outside before the cavity. Not where the
// hands of who is asked for each reading would take longer.
void Technician::put_in_order(const Exercise& exercise, Way& way) {
  Way ordered;
  std::vector<std::size_t> rest(way.seen.size());
  std::iota(rest.begin(), rest.end(), std::size_t{0});
  while (!rest.empty()) {
    const Diagnosis known = judge(exercise, ordered.seen);
    std::vector<std::tuple<bool, int, long>>
        worths;  // whether it tells anything, how little it opens, how much it tells
    for (const std::size_t i : rest) {
      // In thousandths of a bit: what is taken first doesn't hang on the last bits of a sum.
      const long bits = std::lround(1000 * expected_bits(harness_, options_, known, way.seen[i]));
      worths.emplace_back(bits >= std::lround(1000 * kNothing), -way.seen[i].access.depth, bits);
    }
    const auto best = std::max_element(worths.begin(), worths.end()) - worths.begin();
    const std::size_t next = rest[static_cast<std::size_t>(best)];
    ordered.seen.push_back(way.seen[next]);
    ordered.probes.push_back(way.probes[next]);
    rest.erase(rest.begin() + best);
  }
  if (exercise.ailments.size() == 1 && whole_seconds(ordered) > whole_seconds(way)) return;
  if (leads_there(exercise, ordered.seen)) way = std::move(ordered);
}

// Each reading of the way beside what a sound one shows, and what it left standing.
void Technician::tell(Exercise& exercise, const Way& way) {
  Hands hands;
  hands.setting = Setting(harness_);
  std::vector<Observation> so_far;
  Diagnosis known = judge(exercise, so_far);
  std::size_t before = places_of(known);
  if (before == 0) before = places_in_all();
  for (std::size_t i = 0; i < way.seen.size(); ++i) {
    PathStep step;
    step.probe = way.probes[i];
    step.seen = way.seen[i];
    step.probe.bits = expected_bits(harness_, options_, known, step.seen);
    so_far.push_back(way.seen[i]);
    known = judge(exercise, so_far);
    const Comparison& compared = known.readings.back();
    step.probe.expected = compared.expected;
    if (step.probe.range.top == 0) step.probe.range = compared.range;
    step.sound = compared.shows;
    step.agrees = compared.agrees;
    step.before = before;
    before = std::max<std::size_t>(1, places_of(known));
    step.after = before;
    Observation taken = step.seen;
    if (!taken.range) taken.range = step.probe.range;
    exercise.path_seconds += seconds_to_take(harness_, options_.costs, hands, taken);
    exercise.path.push_back(std::move(step));
  }
}

std::size_t Technician::places_in_all() const {
  std::size_t places = 0;
  for (std::size_t f = 0; f < faults_.size(); ++f) {
    bool known = false;
    for (std::size_t g = 0; g < f && !known; ++g) known = same_place(faults_[g], faults_[f]);
    places += known ? 0 : 1;
  }
  return places;
}

}  // namespace lugwise::exercise::inside
