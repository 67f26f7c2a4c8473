#include "exercise/practice.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "circuit/capacitance.h"
#include "fault/naming.h"
#include "handling/capacity.h"
#include "handling/dial.h"
#include "handling/handling.h"
#include "intake/place.h"
#include "intake/value.h"
#include "source/nearest.h"

namespace lugwise {
namespace {

constexpr std::size_t kMostTyped = 2000;

std::vector<std::string> words_of(std::string_view line) {
  std::vector<std::string> words;
  std::string word;
  for (const char letter : line) {
    if (letter == ' ' || letter == '\t' || letter == ',') {
      if (!word.empty()) words.push_back(std::move(word));
      word.clear();
    } else {
      word += letter;
    }
  }
  if (!word.empty()) words.push_back(std::move(word));
  return words;
}

PracticeReply refused(std::string problem, std::vector<std::string> hints = {}) {
  PracticeReply reply;
  reply.kind = PracticeReply::Kind::Refused;
  reply.problem = std::move(problem);
  reply.hints = std::move(hints);
  return reply;
}

// A student has the picture, not the file: where a name is declared there tells nothing here.
std::vector<std::string> hints_of(const Refusal& refusal) {
  std::string hint = refusal.hint;
  for (const std::string_view told : {"; it is declared", ", declared"}) {
    if (refusal.declared.known() && hint.ends_with(told)) hint.resize(hint.size() - told.size());
  }
  return hint.empty() ? std::vector<std::string>{} : std::vector<std::string>{hint};
}

PracticeReply done(PracticeReply::Kind kind, bool changed = false) {
  PracticeReply reply;
  reply.kind = kind;
  reply.changed = changed;
  return reply;
}

std::string joined(const std::vector<std::string>& words, std::size_t from, std::size_t count) {
  const auto first = words.begin() + static_cast<std::ptrdiff_t>(from);
  return fmt::format("{}", fmt::join(first, first + static_cast<std::ptrdiff_t>(count), " "));
}

std::vector<Ailment> ailments_of(const Harness& harness, const std::vector<Fault>& faults,
                                 const Sealed& content) {
  std::vector<Ailment> ailments;
  for (const Sealed::Ill& ill : content.ills) {
    const auto at = std::find_if(faults.begin(), faults.end(),
                                 [&](const Fault& fault) { return fault_id(harness, fault) == ill.fault; });
    if (at == faults.end()) throw std::invalid_argument("the seal is of another harness");
    ailments.push_back({static_cast<std::size_t>(at - faults.begin()), ill.size, ill.comes_and_goes});
  }
  return ailments;
}

}  // namespace

Practice::Practice(const Harness& harness, const std::vector<Fault>& faults, const Sealed& content,
                   const SimulationOptions& options, PracticeLog log)
    : harness_(harness), faults_(faults), options_(options), log_(std::move(log)), setting_(harness) {
  options_.seed = content.seed;
  simulation_ =
      std::make_unique<Simulation>(harness, faults, ailments_of(harness, faults, content), options_);
}

Practice::~Practice() = default;

PracticeReply Practice::take(std::string_view typed) {
  if (typed.size() > kMostTyped) return refused("that line is too long");
  std::vector<std::string> words = words_of(typed);
  if (words.empty()) return {};
  const std::string first = words.front();
  const auto rest = [&] { return std::vector<std::string>(words.begin() + 1, words.end()); };
  const std::size_t behind =
      std::min(typed.find_first_not_of(" \t", typed.find(first) + first.size()), typed.size());
  const std::string_view text = typed.substr(behind);
  if (first == "help" || first == "?") return done(PracticeReply::Kind::Help);
  if (first == "stop" || first == "q" || first == "quit") return done(PracticeReply::Kind::Stopped);
  if (first == "list") return done(PracticeReply::Kind::List);
  if (first == "set") return set(rest());
  if (first == "range") return choose_range(rest());
  if (first == "lift") return lift(rest(), true);
  if (first == "refit") return lift(rest(), false);
  if (first == "read") return read(rest(), Action::Read);
  if (first == "sweep") return read(rest(), Action::Sweep);
  if (first == "wiggle") return read(rest(), Action::Wiggle);
  if (first == "is") return claim(text);
  if (first == "faults") return list_faults(text);
  // Two points alone are a reading.
  if (first.find('.') != std::string::npos || first.find('>') != std::string::npos ||
      first.find(':') != std::string::npos)
    return read(std::move(words), Action::Read);
  const auto near = nearest_name(first, {"help", "stop", "list", "set", "range", "lift", "refit", "read",
                                         "sweep", "wiggle", "is", "faults"});
  return refused(fmt::format("'{}' is no word here", first.substr(0, 60)),
                 {near ? fmt::format("did you mean '{}'?", *near) : "'help' lists what can be typed"});
}

std::optional<PracticeReply> Practice::apply(const std::vector<std::string>& places, Setting& setting) const {
  for (const std::string& place : places) {
    const std::size_t equals = place.find('=');
    if (equals == std::string::npos)
      return refused(fmt::format("'{}' says no place", place.substr(0, 60)),
                     {"write CONTROL=PLACE, as volume=10"});
    const auto refusal = apply_setting(harness_, place.substr(0, equals), place.substr(equals + 1), setting);
    if (!refusal) continue;
    return refused(refusal->refusal.problem, hints_of(refusal->refusal));
  }
  return std::nullopt;
}

PracticeReply Practice::set(const std::vector<std::string>& words) {
  if (words.empty()) return refused("what is to be set?", {"write CONTROL=PLACE, as volume=10"});
  Setting setting = setting_;
  if (auto refusal = apply(words, setting)) return *refusal;
  setting_ = setting;
  return done(PracticeReply::Kind::Set);
}

PracticeReply Practice::choose_range(const std::vector<std::string>& words) {
  const Meter& meter = options_.meter;
  if (words.empty() || words.front() == "auto" || words.front() == "any") {
    range_.reset();
    return done(PracticeReply::Kind::Ranged);
  }
  const Parsed<Ohms> top = parse_ohms(words.front());
  if (const Range* range = top.value ? meter.find_range(*top.value) : nullptr) {
    range_ = *range;
    return done(PracticeReply::Kind::Ranged);
  }
  const Parsed<double> farads = parse_farads(words.front());
  if (const Range* range = farads.value ? meter.find_capacitance(*farads.value) : nullptr) {
    range_ = *range;
    return done(PracticeReply::Kind::Ranged);
  }
  std::vector<std::string> names;
  for (const Range& range : meter.ranges) names.push_back(range_name(range.top));
  for (const Range& range : meter.capacitance) names.push_back(capacitance_range_name(range.top));
  return refused(fmt::format("the meter has no range of {}", words.front().substr(0, 60)),
                 {fmt::format("it has {}; 'range auto' takes the one that fits", fmt::join(names, ", "))});
}

// The longest names that begin at each word: a wire's name may be of several.
std::optional<PracticeReply> Practice::find_points(const std::vector<std::string>& words,
                                                   std::vector<PointId>& points) const {
  for (std::size_t i = 0; i < words.size();) {
    std::size_t taken = 0;
    for (std::size_t n = std::min<std::size_t>(words.size() - i, 8); n > 0 && taken == 0; --n) {
      if (const auto point = harness_.find_point(joined(words, i, n))) {
        points.push_back(*point);
        taken = n;
      }
    }
    if (taken == 0) {
      const PointFound found = find_point(harness_, words[i]);
      return refused(found.refusal.problem, hints_of(found.refusal));
    }
    i += taken;
  }
  return std::nullopt;
}

PracticeReply Practice::lift(const std::vector<std::string>& words, bool off) {
  std::vector<PointId> points;
  if (words.empty() && !off && !lifted_.empty()) {
    lifted_.clear();
    return done(PracticeReply::Kind::Lifted);
  }
  if (words.empty()) return refused("which lead?", {"name a lead or a wire's end, as volume.3>tone.1"});
  if (auto refusal = find_points(words, points)) return *refusal;
  std::vector<PointId> lifted = lifted_;  // a line that is refused changes nothing
  for (PointId point : points) {
    const auto at = std::find(lifted.begin(), lifted.end(), point);
    if (!off && at == lifted.end()) return refused(fmt::format("'{}' is not off", harness_[point].name));
    if (off && at != lifted.end()) return refused(fmt::format("'{}' is off already", harness_[point].name));
    if (off) {
      if (const auto why = why_not_lifted(harness_, point, harness_[point].name, Suggest::Nothing))
        return refused(why->problem);
      lifted.push_back(point);
    } else {
      lifted.erase(at);
    }
  }
  lifted_ = std::move(lifted);
  return done(PracticeReply::Kind::Lifted);
}

// How far it has to be open, and why a probe can't go there.
std::optional<PracticeReply> Practice::open_for(Observation& seen) const {
  seen.access = accesses(harness_, options_.stage).front();
  std::vector<PointId> points{seen.a, seen.b};
  points.insert(points.end(), seen.lifted.begin(), seen.lifted.end());
  points.insert(points.end(), seen.wiggled.begin(), seen.wiggled.end());
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto access = access_to(harness_, points[i], options_.stage);
    if (!access && i < 2) return refused(fmt::format("no probe reaches '{}'", harness_[points[i]].name));
    const Access needed = access.value_or(Access{1, "cavity"});
    if (needed.depth > seen.access.depth) seen.access = needed;
  }
  const Circuit circuit = circuit_of(harness_, state_of(seen, options_.stage, {}));
  for (PointId point : {seen.a, seen.b}) {
    if (!circuit.has(point))
      return refused(
          fmt::format("'{}' isn't there: the plug is out, or its part is missing", harness_[point].name));
  }
  return std::nullopt;
}

// The range that was chosen; else the one that holds what a sound harness shows.
std::optional<Range> Practice::range_of(const Observation& seen) const {
  if (range_) return range_;
  const Expected expected = expect(circuit_of(harness_, state_of(seen, options_.stage, {})), seen.a, seen.b);
  return range_to_take(options_.meter, expected, plugs_among(harness_, seen.a, seen.b));
}

// On a capacitance range: the capacitor that is read there; why none can be.
std::optional<PracticeReply> Practice::turn_to_farads(Observation& seen) const {
  const bool farads =
      range_ && options_.meter.find_capacitance(range_->top) && !options_.meter.find_range(range_->top);
  if (!farads) return std::nullopt;
  if (seen.action != Action::Read)
    return refused("on a capacitance range nothing is watched", {"range auto"});
  seen.capacitor = capacitor_between(harness_, seen.a, seen.b);
  const Circuit circuit = circuit_of(harness_, state_of(seen, options_.stage, {}));
  if (!seen.capacitor || !measured_alone(harness_, circuit, *seen.capacitor))
    return refused("a capacitance range reads one capacitor by itself",
                   {"lift one of its leads; or 'range auto'"});
  return std::nullopt;
}

PracticeReply Practice::read(std::vector<std::string> words, Action action) {
  // Places of controls stand behind the points, for this reading and what follows.
  std::vector<std::string> places;
  while (!words.empty() && words.back().find('=') != std::string::npos) {
    places.insert(places.begin(), words.back());
    words.pop_back();
  }
  Observation seen;
  seen.action = action;
  seen.setting = setting_;
  seen.lifted = lifted_;
  if (auto refusal = apply(places, seen.setting)) return *refusal;
  if (action == Action::Sweep) {
    if (words.empty())
      return refused("which knob?", {"write the knob, then two points: sweep volume volume.1 volume.2"});
    const PartFound knob = find_part(harness_, words.front());
    if (!knob.part || harness_[*knob.part].kind != PartKind::Pot)
      return refused(knob.part ? fmt::format("'{}' is no knob", words.front()) : knob.refusal.problem);
    seen.swept = harness_[*knob.part].pot->gang.value_or(*knob.part);
    const double start = seen.setting.knob(*seen.swept);
    if (start != 0 && start != 10) seen.setting.turn(*seen.swept, 10);
    words.erase(words.begin());
  }
  std::vector<PointId> points;
  if (auto refusal = find_points(words, points)) return *refusal;
  if (action == Action::Wiggle) {
    if (points.size() < 3)
      return refused("a wiggle needs what is pressed, then two points",
                     {"as: wiggle volume.case volume.case jack.sleeve"});
    seen.wiggled.assign(points.begin(), points.end() - 2);
    points.erase(points.begin(), points.end() - 2);
  }
  if (points.size() != 2)
    return refused(fmt::format("a reading lies between two points, not {}", points.size()),
                   {"as: jack.plug-tip jack.plug-sleeve"});
  seen.a = points[0];
  seen.b = points[1];
  if (seen.a == seen.b) return refused("both tips on one point show the leads alone");
  if (auto refusal = open_for(seen)) return *refusal;
  const std::string why = too_many_to_weigh(log_.given + log_.probes.size() + 1);
  if (!why.empty()) return refused("no more readings are taken: " + why);
  const std::optional<Range> range = range_of(seen);
  if (auto refusal = turn_to_farads(seen)) return *refusal;
  const auto again = static_cast<std::size_t>(
      std::count_if(log_.probes.begin(), log_.probes.end(), [&](const Observation& other) {
        return other.a == seen.a && other.b == seen.b && other.setting == seen.setting &&
               other.lifted == seen.lifted && other.action == seen.action;
      }));
  simulation_->take(seen, *range, again);
  setting_ = seen.setting;
  if (seen.swept) setting_ = other_end(setting_, *seen.swept);
  log_.probes.push_back(seen);
  PracticeReply reply = done(PracticeReply::Kind::Read, true);
  reply.seen = std::move(seen);
  return reply;
}

PracticeReply Practice::claim(std::string_view words) {
  const FaultFound found = find_fault(harness_, faults_, words);
  if (!found.fault) {
    std::vector<std::string> hints;
    for (const std::string& near : found.refusal.nearest) hints.push_back("near it is: " + near);
    if (hints.empty()) hints.push_back("'faults volume' lists those at the volume");
    return refused(found.refusal.problem, std::move(hints));
  }
  if (std::find(log_.claims.begin(), log_.claims.end(), *found.fault) != log_.claims.end())
    return refused("that was named already");
  log_.claims.push_back(*found.fault);
  PracticeReply reply = done(PracticeReply::Kind::Claimed, true);
  reply.fault = *found.fault;
  return reply;
}

PracticeReply Practice::list_faults(std::string_view words) const {
  PracticeReply reply = done(PracticeReply::Kind::Faults);
  const std::vector<std::string> wanted = words_of(words);
  for (std::size_t f = 0; f < faults_.size(); ++f) {
    const std::string text = in_words(harness_, faults_[f]);
    const bool all = std::all_of(wanted.begin(), wanted.end(), [&](const std::string& word) {
      return text.find(word) != std::string::npos;
    });
    if (all) reply.faults.push_back(f);
  }
  return reply;
}

}  // namespace lugwise
