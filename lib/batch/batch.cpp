#include "batch/batch.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "intake/date.h"
#include "intake/place.h"
#include "sheet/step_reading.h"
#include "text/order.h"

namespace lugwise {
namespace {

// A suspect this likely is what was wrong with a unit.
constexpr double kWorthNaming = 0.5;

// Whatever their leads: those are measured anew for each unit.
bool of_one_kind(const Meter& one, const Meter& other) {
  return one.counts == other.counts && one.automatic == other.automatic &&
         std::equal(one.ranges.begin(), one.ranges.end(), other.ranges.begin(), other.ranges.end(),
                    [](const Range& x, const Range& y) {
                      return x.top == y.top && x.share == y.share && x.digits == y.digits;
                    });
}

const Observation* taken_at(const Harness& harness, const Step& step, const UnitRecord& unit) {
  const Observation spot = as_observation(harness, step);
  for (std::size_t i = unit.observations.size(); i-- > 0;) {
    if (at_one_place(unit.observations[i], spot)) return &unit.observations[i];
  }
  return nullptr;
}

// What each unit shows there, as displayed and as at 20 degrees C where that is known.
StepSeries collected(const Harness& harness, const Plan& plan, std::size_t index,
                     std::optional<std::size_t> end, const std::vector<UnitRecord>& units) {
  StepSeries series;
  series.step = index;
  series.end = end;
  series.at_20 = true;
  for (std::size_t u = 0; u < units.size(); ++u) {
    const UnitRecord& unit = units[u];
    const Observation* const seen = unit.counts ? taken_at(harness, plan.steps[index], unit) : nullptr;
    if (!seen || (end && *end >= seen->ends.size())) continue;
    const Display shown =
        end ? seen->ends[*end] : Display{seen->shows, seen->value, seen->resolution, seen->text, seen->range};
    if (shown.shows != Shows::Value && shown.shows != Shows::OverRange) continue;
    const bool open = shown.shows == Shows::OverRange;
    const Comparison& whole =
        unit.diagnosis.readings[static_cast<std::size_t>(seen - unit.observations.data())];
    const Comparison& judged = end ? whole.ends[*end] : whole;
    const double value = open ? 0 : shown.value;
    series.points.push_back({u, open, value, judged.at_20.value_or(value), judged.agrees, 0});
    if (open) continue;
    series.at_20 = series.at_20 && judged.at_20.has_value();
    series.digit = std::max(series.digit, shown.resolution);
  }
  return series;
}

const Window& shown_sound(const Step& step, std::optional<std::size_t> end) {
  if (step.capacitance) return step.capacitance->shows;
  return end == 1 ? step.end_shows : step.shows;
}

// `warmths`: at how many temperatures the units were measured.
StepSeries series_of(const Harness& harness, const Plan& plan, std::size_t index,
                     std::optional<std::size_t> end, const std::vector<UnitRecord>& units,
                     std::size_t warmths) {
  StepSeries series = collected(harness, plan, index, end, units);
  series.at_20 = series.at_20 && warmths > 1;
  std::vector<double> values, compared;
  std::vector<std::size_t> passed;  // the places of those
  for (std::size_t i = 0; i < series.points.size(); ++i) {
    StepSeries::Point& point = series.points[i];
    if (!series.at_20) point.compared = point.value;
    if (point.open || units[point.unit].decision != Decision::Pass) continue;
    passed.push_back(i);
    values.push_back(point.value);
  }
  if (values.empty()) return series;
  series.middle = median(values);
  series.logarithm = is_skewed(shown_sound(plan.steps[index], end)) && series.digit > 0;
  if (series.logarithm) {
    // What shows as nothing is less than a digit.
    for (StepSeries::Point& point : series.points)
      point.compared = point.open ? 0 : std::log(std::max(point.compared, series.digit));
    series.digit /= std::max(*series.middle, series.digit);
  }
  for (const std::size_t at : passed) compared.push_back(series.points[at].compared);
  series.cutoff = far_off(compared.size());
  if (!series.cutoff) return series;
  const std::vector<double> z = modified_z(compared, series.digit);
  for (std::size_t i = 0; i < z.size(); ++i) series.points[passed[i]].z = z[i];
  series.drift = drift(compared, series.digit);
  for (std::size_t& each : series.drift->outside) each = passed[each];
  for (std::size_t& each : series.drift->jump) each = passed[each];
  return series;
}

void add_looks(const std::vector<StepSeries>& all, std::size_t at_series, std::vector<SecondLook>& looks) {
  const StepSeries& series = all[at_series];
  for (const StepSeries::Point& point : series.points) {
    if (series.cutoff && point.z > *series.cutoff)
      looks.push_back({point.unit, at_series, SecondLook::Why::FarOff, point.z});
  }
  if (!series.drift) return;
  for (const std::size_t at : series.drift->outside)
    looks.push_back({series.points[at].unit, at_series, SecondLook::Why::Outside, 0});
  for (const std::size_t at : series.drift->jump)
    looks.push_back({series.points[at].unit, at_series, SecondLook::Why::Jump, 0});
}

// What is wrong at the units that failed. A claim is of one unit: one of these faults, which its readings can't tell apart, each as
// likely as is said there.
class Claims {
 public:
  explicit Claims(const std::vector<UnitRecord>& units) {
    for (std::size_t u = 0; u < units.size(); ++u) {
      if (!units[u].counts) continue;
      for (const Diagnosis& before : units[u].before) {
        if (before.verdict == Verdict::Fault) add(u, before.suspects);
      }
      if (units[u].decision == Decision::Fail) add(u, units[u].diagnosis.suspects);
    }
  }

  // The fault that most units may have in common, the likeliest of such, with all that are told from it by none of them; these
  // claims are then settled. None: no two have one in common.
  std::optional<SameFault> take_commonest() {
    std::optional<std::size_t> common;
    std::size_t most = 1;
    double likely = 0;
    for (std::size_t f = 0; f < faults_.size(); ++f) {
      std::size_t count = 0;  // of units
      double sum = 0;
      const Claim* last = nullptr;
      for (const Claim& claim : claims_) {
        if (share(claim, f) <= 0) continue;
        count += last && last->unit == claim.unit ? 0 : 1;
        sum += share(claim, f);
        last = &claim;
      }
      // Between equals that differ in the last bits of their sums the first stands.
      if (count > most || (common && count == most && sum > likely + 1e-6)) {
        common = f;
        most = count;
        likely = sum;
      }
    }
    if (!common) return std::nullopt;
    std::vector<Claim> of_it, rest;
    for (Claim& claim : claims_) (share(claim, *common) > 0 ? of_it : rest).push_back(std::move(claim));
    claims_ = std::move(rest);
    SameFault same{faults_[*common], {}, {}};
    for (const Claim& claim : of_it) {
      if (same.units.empty() || same.units.back() != claim.unit) same.units.push_back(claim.unit);
    }
    for (std::size_t f = 0; f < faults_.size(); ++f) {
      const bool everywhere =
          std::all_of(of_it.begin(), of_it.end(), [&](const Claim& claim) { return share(claim, f) > 0; });
      if (everywhere && f != *common) same.others.push_back(faults_[f]);
    }
    return same;
  }

 private:
  struct Claim {
    std::size_t unit = 0;
    std::vector<double> shares;  // by fault; what is missing at the end is none
  };

  static double share(const Claim& claim, std::size_t fault) {
    return fault < claim.shares.size() ? claim.shares[fault] : 0;
  }

  void add(std::size_t unit, const std::vector<Suspect>& suspects) {
    if (suspects.empty()) return;
    const Suspect& first = suspects.front();
    claims_.push_back({unit, {}});
    for (const Suspect& suspect : suspects) {
      const bool alike = suspect.group == first.group && !suspect.also && !first.also;
      if (alike || &suspect == &first) add(suspect.fault, suspect.probability);
    }
    if (!first.also || first.probability < kWorthNaming) return;
    claims_.push_back({unit, {}});
    add(*first.also, first.probability);
  }

  void add(const Fault& fault, double probability) {
    const auto at =
        static_cast<std::size_t>(std::find(faults_.begin(), faults_.end(), fault) - faults_.begin());
    if (at == faults_.size()) faults_.push_back(fault);
    std::vector<double>& shares = claims_.back().shares;
    shares.resize(std::max(shares.size(), at + 1));
    shares[at] = probability;
  }

  std::vector<Fault> faults_;
  std::vector<Claim> claims_;
};

std::vector<SameFault> same_faults(const std::vector<UnitRecord>& units) {
  std::vector<SameFault> found;
  Claims claims(units);
  while (auto same = claims.take_commonest()) found.push_back(std::move(*same));
  return found;
}

}  // namespace

std::string_view decision_name(Decision decision) {
  switch (decision) {
    case Decision::Pass:
      return "pass";
    case Decision::Fail:
      return "fail";
    case Decision::Undecided:
      return "undecided";
  }
  return "";
}

std::string_view decision_rule() {
  return "a unit passes when the verdict on its readings is sound and they show all that the plan shows; it "
         "fails "
         "when the verdict is a fault; all else is undecided";
}

Netlist with_head(Netlist netlist, const BatchHead& head) {
  if (head.meter) netlist.meter = head.meter;
  if (head.temperature) netlist.temperature = head.temperature;
  return netlist;
}

namespace {

PlanOptions plan_options(const Netlist& netlist, const BatchHead& head) {
  PlanOptions options = conditions_for(with_head(netlist, head)).plan_options();
  options.stage = find_stage(netlist.harness, head.plan.stage);
  options.depth = head.plan.depth;
  options.aim = head.plan.aim;
  return options;
}

}  // namespace

Plan plan_of(const Netlist& netlist, const BatchHead& head) {
  return plan_for(netlist.harness, netlist.id, plan_options(netlist, head));
}

Unit unit_of(const BatchHead& head, const std::string& serial, const Unit& named, Unit unit) {
  const auto first_of = [](const std::string& one, const std::string& other) {
    return one.empty() ? other : one;
  };
  unit.serial = serial;
  unit.by = first_of(unit.by, first_of(named.by, head.unit.by));
  unit.meter = first_of(unit.meter, first_of(named.meter, head.unit.meter));
  unit.calibration_due = first_of(unit.calibration_due, named.calibration_due);
  // Another meter has a calibration of its own.
  if (unit.meter == head.unit.meter)
    unit.calibration_due = first_of(unit.calibration_due, head.unit.calibration_due);
  return unit;
}

UnitRecord assess(const Netlist& netlist, const Plan& plan, const Job& job, std::string serial,
                  std::string file) {
  UnitRecord unit;
  unit.serial = std::move(serial);
  unit.file = std::move(file);
  unit.unit = job.sheet.unit;
  if (job.sheet.plan && job.sheet.plan->id != kNoPlan && job.sheet.plan->id != plan.id)
    unit.plan = job.sheet.plan->id;
  unit.conditions = job.conditions;
  unit.conditions.meter = job.meter;
  unit.observations = job.weighed();
  for (const Entry& entry : job.sheet.entries) {
    if (entry.kind == EntryKind::Repaired && !entry.aside)
      unit.repaired.insert(unit.repaired.end(), entry.repaired.begin(), entry.repaired.end());
  }
  for (FoundBefore& found : found_before_repairs(netlist.harness, job))
    unit.before.push_back(std::move(found.diagnosis));
  DiagnosisOptions options = job.diagnosis_options();
  options.suggest = false;
  options.separate = false;
  options.scope = scope_of(plan);
  unit.diagnosis = diagnose(netlist.harness, unit.observations, options, job.sheet.heard, job.unproven());
  unit.shown = unit.diagnosis.shown.seen;
  unit.unproven = unit.diagnosis.shown.open;
  if (unit.diagnosis.verdict == Verdict::Fault) unit.decision = Decision::Fail;
  if (unit.diagnosis.verdict == Verdict::Sound && unit.unproven.empty()) unit.decision = Decision::Pass;
  return unit;
}

bool is_skewed(const Window& sound) {
  constexpr double kTimes = 10;
  return sound.high - sound.nominal > kTimes * (sound.nominal - sound.low);
}

bool overdue(const Unit& unit) {
  // Both begin with a day as ISO 8601 writes it, which stand in the order of their letters.
  return !unit.calibration_due.empty() && !unit.date.empty() &&
         unit.calibration_due < unit.date.substr(0, 10);
}

std::optional<std::size_t> step_at(const Harness& harness, const Plan& plan, const Observation& reading) {
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    if (takes_reading(plan.steps[i]) && at_one_place(reading, as_observation(harness, plan.steps[i])))
      return i;
  }
  return std::nullopt;
}

std::size_t Batch::counted() const {
  return static_cast<std::size_t>(
      std::count_if(units.begin(), units.end(), [](const UnitRecord& unit) { return unit.counts; }));
}

std::size_t Batch::how_many(Decision decision) const {
  return static_cast<std::size_t>(std::count_if(units.begin(), units.end(), [&](const UnitRecord& unit) {
    return unit.counts && unit.decision == decision;
  }));
}

std::vector<std::optional<double>> Batch::temperatures() const {
  std::vector<std::optional<double>> found;
  for (const UnitRecord& unit : units) {
    const std::optional<double>& at = unit.conditions.temperature;
    if (unit.counts && std::find(found.begin(), found.end(), at) == found.end()) found.push_back(at);
  }
  return found;
}

std::size_t Batch::meters() const {
  std::vector<const UnitRecord*> found;
  for (const UnitRecord& unit : units) {
    const bool known = std::any_of(found.begin(), found.end(), [&](const UnitRecord* other) {
      return other->unit.meter == unit.unit.meter &&
             of_one_kind(other->conditions.meter, unit.conditions.meter);
    });
    if (unit.counts && !known) found.push_back(&unit);
  }
  return found.size();
}

Batch compare_units(const Harness& harness, BatchHead head, Plan plan, std::vector<UnitRecord> units) {
  // Whoever gave no date comes in the order of the names.
  std::stable_sort(units.begin(), units.end(), [](const UnitRecord& x, const UnitRecord& y) {
    const auto at = instant_of(x.unit.date), other = instant_of(y.unit.date);
    if (at != other) return at < other;
    // Of one unit the record that counts is the last.
    return x.serial == y.serial ? x.counts < y.counts : text::stands_before(x.serial, y.serial);
  });
  Batch batch{std::move(head), std::move(plan), std::move(units), {}, {}, {}};
  for (UnitRecord& unit : batch.units)
    unit.again = unit.counts && std::any_of(batch.units.begin(), batch.units.end(), [&](const auto& other) {
                   return !other.counts && other.serial == unit.serial;
                 });
  const std::size_t warmths = batch.temperatures().size();
  for (std::size_t i = 0; i < batch.plan.steps.size(); ++i) {
    const Step& step = batch.plan.steps[i];
    if (step.kind == StepKind::Read)
      batch.steps.push_back(series_of(harness, batch.plan, i, std::nullopt, batch.units, warmths));
    for (std::size_t end = 0; step.kind == StepKind::Sweep && end < 2; ++end)
      batch.steps.push_back(series_of(harness, batch.plan, i, end, batch.units, warmths));
  }
  for (std::size_t s = 0; s < batch.steps.size(); ++s) add_looks(batch.steps, s, batch.looks);
  batch.same = same_faults(batch.units);
  return batch;
}

}  // namespace lugwise
