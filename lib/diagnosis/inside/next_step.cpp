// What to take next where no probe is searched for: a reading once more, a step of the plan, the proof of a repair.
#include <algorithm>

#include "diagnosis/inside/comparison.h"
#include "diagnosis/inside/ear.h"
#include "diagnosis/inside/next_probe.h"
#include "diagnosis/inside/reasoning.h"
#include "diagnosis/inside/unsteadiness.h"
#include "hearing/hearing.h"

namespace lugwise::diagnosis::inside {

namespace {

// So many places are pressed and moved at once.
constexpr std::size_t kMostWiggled = 4;

// Whether a reading was taken where a step of the plan asks for it.
bool is_at(const Observation& seen, const Scope::Reading& step) {
  return std::minmax(seen.a, seen.b) == std::minmax(step.a, step.b) && seen.setting == step.setting &&
         seen.lifted == step.lifted && seen.swept == step.swept &&
         (seen.action == Action::Wiggle) == !step.wiggled.empty() &&
         seen.capacitor.has_value() == step.farads;
}

}  // namespace

// Where the hands are after the last reading.
Hands Reasoning::hands() const {
  Hands hands;
  hands.setting = Setting(harness_);
  if (all_.empty()) return hands;
  const Observation& last = all_.back();
  hands.setting =
      last.action == Action::Sweep && last.swept ? other_end(last.setting, *last.swept) : last.setting;
  hands.a = last.a;
  hands.b = last.b;
  if (last.range) hands.range = last.range->top;
  for (const Observation& each : all_) hands.depth = std::max(hands.depth, each.access.depth);
  return hands;
}

NextProbe Reasoning::once_more(const Observation& seen, const Comparison& reading) const {
  NextProbe probe;
  probe.a = seen.a;
  probe.b = seen.b;
  probe.setting = seen.setting;
  probe.access = seen.access;
  if (!seen.lifted.empty()) probe.lifted = seen.lifted.front();
  if (seen.action == Action::Sweep) {
    probe.swept = seen.swept;
    probe.watched = pots_swept(harness_, seen, options_);
  }
  probe.wiggled = seen.wiggled;
  probe.farads = seen.capacitor.has_value();
  probe.step = seen.step;
  probe.expected = reading.expected;
  probe.range = reading.capacitance ? reading.capacitance->range : reading.range;
  probe.shows = reading.capacitance ? reading.capacitance->shows : reading.shows;
  probe.seconds = seconds_to_read(harness_, options_.costs, hands(),
                                  {probe.setting, probe.a, probe.b, probe.access.depth, probe.range.top});
  return probe;
}

void Reasoning::suggest_again(std::size_t i) {
  const Observation& seen = all_[i];
  NextProbe probe = once_more(seen, answer_.readings[i]);
  probe.why = NextProbe::Why::Again;
  probe.again = i;
  if (reason_ == Reason::TooLow) {
    const int plugs = plugs_among(harness_, seen);
    probe.range = range_for(options_.meter, probe.expected.ohms.high, plugs);
    probe.shows = window(options_.meter, probe.range, probe.expected.ohms, plugs);
  }
  if (reason_ == Reason::CameAndWent && seen.action == Action::Read && was_open(i)) {
    probe.wiggled = loose_on_the_way(i);
    if (!probe.wiggled.empty()) probe.why = NextProbe::Why::Wiggle;
  }
  answer_.next = std::move(probe);
}

// Whether the reading was OL before it was a number.
bool Reasoning::was_open(std::size_t i) const {
  for (const std::vector<std::size_t>& place : places_) {
    if (acts_[place.back()].observation != i || place.size() < 2) continue;
    return acts_[place[place.size() - 2]].seen.shows == Shows::OverRange &&
           acts_[place.back()].seen.shows == Shows::Value;
  }
  return false;
}

// What may come and go there: the joints and contacts that carry the current, the likeliest to be loose first.
std::vector<PointId> Reasoning::loose_on_the_way(std::size_t i) const {
  const std::vector<PointId> within = reachable(harness_, options_.stage, all_[i].access.depth);
  std::vector<PointId> loose;
  for (const Contribution& each : answer_.readings[i].expected.through) {
    const Element& element = harness_[each.element];
    const bool may_be = element.kind == ElementKind::Contact || element.kind == ElementKind::Joint ||
                        element.kind == ElementKind::Blob;
    if (!may_be || loose.size() >= kMostWiggled) continue;
    for (PointId point : {element.b, element.a}) {
      if (std::find(within.begin(), within.end(), point) == within.end()) continue;
      if (std::find(loose.begin(), loose.end(), point) == loose.end()) loose.push_back(point);
      break;
    }
  }
  return loose;
}

// The plan's first reading that was not taken and would rule something out; else any that would, once more; else any that
// was not taken. False: there is none.
bool Reasoning::suggest_step() {
  if (!coverage_) return false;
  const Scope& scope = coverage_->scope();
  const auto tells = [&](const Scope::Reading& step) {
    return std::any_of(step.proves.begin(), step.proves.end(),
                       [&](std::size_t f) { return !coverage_->ruled_out(f); });
  };
  const auto taken = [&](const Scope::Reading& step) {
    return std::any_of(all_.begin(), all_.end(), [&](const Observation& seen) { return is_at(seen, step); });
  };
  auto step = std::find_if(scope.readings.begin(), scope.readings.end(),
                           [&](const Scope::Reading& each) { return tells(each) && !taken(each); });
  if (step == scope.readings.end()) step = std::find_if(scope.readings.begin(), scope.readings.end(), tells);
  if (step == scope.readings.end())
    step = std::find_if(scope.readings.begin(), scope.readings.end(),
                        [&](const Scope::Reading& each) { return !taken(each); });
  if (step == scope.readings.end()) return false;
  answer_.next = probe_of(*step);
  return true;
}

NextProbe Reasoning::probe_of(const Scope::Reading& step) const {
  NextProbe probe;
  probe.why = NextProbe::Why::Step;
  probe.step = step.step;
  probe.a = step.a;
  probe.b = step.b;
  probe.setting = step.setting;
  probe.access = step.access;
  if (!step.lifted.empty()) probe.lifted = step.lifted.front();
  probe.swept = step.swept;
  probe.wiggled = step.wiggled;
  probe.farads = step.farads;
  probe.expected = step.expected;
  probe.range = step.range;
  probe.shows = step.shows;
  if (step.swept) probe.watched = pots_swept(harness_, as_observation(harness_, probe), options_);
  probe.seconds = seconds_to_read(harness_, options_.costs, hands(),
                                  {probe.setting, probe.a, probe.b, probe.access.depth, probe.range.top});
  return probe;
}

// With nothing read and a complaint: three probes. Where what is suspected asks for fewer, what needs nothing opened is put
// before all that does: of a hum the string ground, the plan's first readings, and the plug in every place of the switches.
void Reasoning::fill_first() {
  if (!all_.empty() || !complained() || !coverage_) return;
  std::vector<NextProbe>& first = answer_.first;
  const auto is_outside = [](const NextProbe& probe) {
    return probe.access.depth == 0 || probe.access.name == "bench";
  };
  auto inside = std::stable_partition(first.begin(), first.end(), is_outside) - first.begin();
  const auto add = [&](const NextProbe& probe) {
    const bool there = std::any_of(first.begin(), first.end(), [&](const NextProbe& each) {
      return std::minmax(each.a, each.b) == std::minmax(probe.a, probe.b) && each.setting == probe.setting &&
             each.swept == probe.swept && each.wiggled == probe.wiggled;
    });
    if (there || first.size() >= kMostFirst) return;
    first.insert(is_outside(probe) ? first.begin() + inside++ : first.end(), probe);
  };
  const auto read = [&](PointId a, PointId b, const Setting& setting) {
    Observation seen;
    seen.a = a;
    seen.b = b;
    seen.setting = setting;
    seen.access = accesses(harness_, options_.stage).front();
    add(once_more(seen, compare(harness_, seen, options_)));
  };
  std::vector<PointId> plug;
  std::vector<PointId> metal;
  for (PointId point : reachable(harness_, options_.stage, 0)) {
    if (harness_[point].role == PointRole::Plug) plug.push_back(point);
    const std::optional<PartId> part = harness_[point].part;
    if (part && harness_[*part].kind == PartKind::Metal)
      metal.insert(harness_[point].name.ends_with("strings") ? metal.begin() : metal.end(), point);
  }
  if (std::any_of(heard_.begin(), heard_.end(),
                  [](const Heard& each) { return !each.aside && is_hum(each.sound); })) {
    for (PointId point : plug) {
      if (harness_[point].name.ends_with("sleeve") && !metal.empty())
        read(point, metal.front(), hands().setting);
    }
  }
  const std::vector<Scope::Reading>& readings = coverage_->scope().readings;
  for (const Scope::Reading& step : readings) {
    if (step.access.depth == 0) add(probe_of(step));
  }
  for (const Setting& setting : settings_to_hear(harness_, options_.stage)) {
    if (plug.size() >= 2) read(plug[0], plug[1], setting);
  }
  for (const Scope::Reading& step : readings) add(probe_of(step));
  if (!first.empty()) answer_.next = first.front();
}

// Once it is mended: the first reading that was wrong.
void Reasoning::suggest_proof() {
  for (const std::vector<std::size_t>& place : places_) {
    if (!wrong(place)) continue;
    const std::size_t i = acts_[place.back()].observation;
    answer_.next = once_more(all_[i], answer_.readings[i]);
    answer_.next->why = NextProbe::Why::Proof;
    answer_.next->again = i;
    return;
  }
}

void Reasoning::suggest_probe() {
  if (shocks()) return;
  const bool wrongs =
      std::any_of(places_.begin(), places_.end(), [&](const auto& place) { return wrong(place); });
  const bool hinted = complained() || answer_.sound < 0.5;
  if (wrongs || hinted) finder_.suggest(all_, answer_, heard_);
  fill_first();
  if (again_) return suggest_again(*again_);
  if (reason_ == Reason::Unproven) {
    answer_.next = once_more(unproven_.front(), compare(harness_, unproven_.front(), options_));
    answer_.next->why = NextProbe::Why::Proof;
    return;
  }
  if (answer_.next) return;
  if (reason_ != Reason::Fault && suggest_step()) return;
  suggest_proof();
}

}  // namespace lugwise::diagnosis::inside
