#include <algorithm>
#include <cmath>

#include "diagnosis/inside/comparison.h"
#include "diagnosis/inside/reasoning.h"
#include "diagnosis/inside/slip.h"

namespace lugwise::diagnosis::inside {

namespace {

// The listed faults together must keep so much without any one of the wrong readings.
constexpr double kSureWithout = 0.5;

// Answers less likely than the first by more than this (a log) count for nothing without a reading.
constexpr double kWorthLeavingOut = 15;

// A reading rules a fault out when it speaks a hundred times as loudly against it.
const double kRuledOut = std::log(100.0);

}  // namespace

// What the plan looks for and readings that agree rule out: nothing behind a fault is known.
void Reasoning::cover() {
  if (!coverage_) return;
  coverage_->begin();
  for (std::size_t row = 0; row < usable_.size(); ++row) {
    const Act& act = acts_[act_of_[row]];
    if (!act.wrong) coverage_->take(usable_[row], answer_.readings[act.observation]);
  }
  for (const Limited& each : limited_) {
    if (!acts_[each.act].wrong) coverage_->take(each.seen, each.comparison);
  }
  const bool all_agree =
      std::none_of(places_.begin(), places_.end(), [&](const auto& p) { return wrong(p); });
  const std::vector<Fault>& faults = coverage_->scope().faults;
  for (std::size_t f = 0; f < faults.size(); ++f) {
    if (!coverage_->ruled_out(f) && ruled_out_by_motion_or_farads(faults[f])) coverage_->rule_out(f);
  }
  // All readings together may say more than each alone.
  for (std::size_t h = 0; all_agree && h < hypotheses_.size(); ++h) {
    if (has_size(hypotheses_[h].fault) || weights_[h].log > sound_.log - kRuledOut) continue;
    const auto asked = std::find(faults.begin(), faults.end(), hypotheses_[h].fault);
    if (asked != faults.end()) coverage_->rule_out(static_cast<std::size_t>(asked - faults.begin()));
  }
  answer_.shown = coverage_->shown();
}

// A smooth sweep that sees a pot's wiper move clears its track; farads in their band clear a capacitor.
bool Reasoning::ruled_out_by_motion_or_farads(const Fault& fault) const {
  for (std::size_t row = 0; row < usable_.size(); ++row) {
    if (usable_[row].shows == Shows::Smooth && judge_.would_jump(row, fault)) return true;
  }
  for (std::size_t i = 0; i < all_.size(); ++i) {
    const Comparison& reading = answer_.readings[i];
    if (all_[i].capacitor && weighed(i) && reading.agrees && farads_for(fault, i) < -kRuledOut) return true;
  }
  return false;
}

// What one fault, or two, has left of its likelihood without one act.
double Reasoning::log_without(const Answer& answer, std::size_t act) {
  double log = answer.log;
  for (std::size_t row = 0; row < usable_.size(); ++row) {
    if (answer.second && act_of_[row] == act) log -= answer.likelihood.each[row];
  }
  if (!answer.second) {
    const Weight& weight = weights_[answer.first];
    if (!weight.full.empty()) {
      const Numbered best = hypotheses_[answer.first].in_size(weight.best.front());
      log += judge_.without(best, rows_of(act), weight.followed) - weight.full.front().log;
    }
  }
  for (const Limited& each : limited_) {
    if (each.act != act) continue;
    double more = each.more[answer.first];
    if (answer.second) more = std::max(more, each.more[*answer.second]);
    log -= each.sound + more;
  }
  const std::size_t i = acts_[act].observation;
  if (all_[i].capacitor) {
    log -= log_of_farads_if_sound(i) + farads_for(hypotheses_[answer.first].fault, i);
  }
  return log;
}

std::vector<std::size_t> Reasoning::rows_of(std::size_t act) const {
  std::vector<std::size_t> rows;
  for (std::size_t row = 0; row < usable_.size(); ++row) {
    if (act_of_[row] == act) rows.push_back(row);
  }
  return rows;
}

// How likely it is that something listed is wrong, one act left out.
double Reasoning::faulty_without(std::size_t act) {
  double sound = sound_.log + judge_.without({{}, 0}, rows_of(act), true) - judge_.follow({{}, 0}).log;
  for (const Limited& each : limited_) sound -= each.act == act ? each.sound : 0;
  const std::size_t i = acts_[act].observation;
  if (all_[i].capacitor) sound -= log_of_farads_if_sound(i);
  const double nothing = sound + std::log(1 - kSomeFault - kTwoFaults - kUnlisted);
  const double best = answers_.empty() ? 0 : answers_[likeliest()].posterior();
  std::vector<double> listed;
  for (const Answer& each : answers_) {
    if (each.posterior() > best - kWorthLeavingOut) listed.push_back(log_without(each, act) + each.log_prior);
  }
  if (listed.empty()) return 0;
  const double faulty = log_sum(listed);
  return 1 / (1 + std::exp(nothing - faulty));
}

// A reading that is wrong, and without which nothing would be sure: one slip of the hand, and all else stands.
std::optional<std::size_t> Reasoning::rests_on() {
  std::vector<const std::vector<std::size_t>*> wrongs;
  for (const std::vector<std::size_t>& place : places_) {
    if (wrong(place)) wrongs.push_back(&place);
  }
  if (wrongs.size() == 1) {
    if (confirmed(*wrongs.front())) return std::nullopt;
    return acts_[wrongs.front()->back()].observation;
  }
  std::optional<std::size_t> worst;
  double least = kSureWithout;
  for (const std::vector<std::size_t>* place : wrongs) {
    if (confirmed(*place)) continue;
    const double left = faulty_without(place->back());
    if (left >= least) continue;
    least = left;
    worst = acts_[place->back()].observation;
  }
  return worst;
}

bool Reasoning::complained() const {
  return std::any_of(heard_.begin(), heard_.end(), [](const Heard& each) { return !each.aside; });
}

bool Reasoning::shocks() const {
  return std::any_of(heard_.begin(), heard_.end(),
                     [](const Heard& each) { return !each.aside && each.sound == Sound::Shock; });
}

void Reasoning::decide() {
  answer_.verdict = Verdict::Unsure;
  const bool all_agree =
      std::none_of(places_.begin(), places_.end(), [&](const auto& p) { return wrong(p); });
  if (all_agree) {
    decide_right();
  } else {
    decide_wrong();
  }
  if (again_) answer_.readings[*again_].doubtful = true;
  // Whatever the readings say, nobody is to go on.
  if (shocks()) answer_.verdict = Verdict::Unsure;
}

// Readings that agree and say next to nothing: OL on a range too low for a sound one.
std::vector<std::size_t> Reasoning::too_low() const {
  std::vector<std::size_t> low;
  for (const Comparison& each : answer_.readings) {
    if (weighed(each.observation) && says_too_little(harness_, options_.meter, all_[each.observation], each))
      low.push_back(each.observation);
  }
  return low;
}

// Whether a higher range was asked for and not taken: such a reading stands there twice.
bool Reasoning::asked_for_higher(std::size_t i) const {
  const auto place = std::find_if(places_.begin(), places_.end(), [&](const std::vector<std::size_t>& each) {
    return std::any_of(each.begin(), each.end(), [&](std::size_t n) { return acts_[n].observation == i; });
  });
  return std::count_if(place->begin(), place->end(), [&](std::size_t n) {
           return says_too_little(harness_, options_.meter, acts_[n].seen, acts_[n].comparison);
         }) > 1;
}

// Every reading is as it should be: what may still stand between that and "sound".
void Reasoning::decide_right() {
  if (all_.empty()) {
    reason_ = Reason::NothingMeasured;
    answer_.verdict = Verdict::Unfinished;
    return;
  }
  const auto loose =
      std::find_if(places_.begin(), places_.end(), [&](const auto& place) { return came_and_went(place); });
  const std::vector<std::size_t> low = too_low();
  const auto fresh =
      std::find_if(low.begin(), low.end(), [&](std::size_t i) { return !asked_for_higher(i); });
  const auto doubted = std::find_if(answer_.readings.begin(), answer_.readings.end(),
                                    [](const Comparison& each) { return each.doubtful && !each.again; });
  for (std::size_t i : low) answer_.readings[i].doubtful = true;
  const bool suspected = !answer_.suspects.empty() && answer_.suspects.front().probability > answer_.sound;
  if (loose != places_.end()) {
    reason_ = Reason::CameAndWent;
    again_ = acts_[loose->back()].observation;
    answer_.readings[acts_[(*loose)[loose->size() - 2]].observation].doubtful = true;
  } else if (fresh != low.end()) {
    reason_ = Reason::TooLow;
    again_ = *fresh;
  } else if (!unproven_.empty()) {
    reason_ = Reason::Unproven;
    answer_.verdict = Verdict::Unfinished;
  } else if (!coverage_ || !answer_.shown.open.empty()) {
    reason_ = low.empty() ? Reason::RightSoFar : Reason::StillTooLow;
    answer_.verdict = Verdict::Unfinished;
  } else if (!low.empty()) {
    reason_ = Reason::TooLow;
    again_ = low.front();
  } else if (doubted != answer_.readings.end()) {
    reason_ = Reason::Doubted;
    again_ = doubted->observation;
  } else if (suspected) {
    reason_ = complained() ? Reason::Complaint : Reason::Suspected;
  } else if (complained()) {
    reason_ = Reason::Complaint;
  } else {
    reason_ = Reason::Sound;
    answer_.verdict = Verdict::Sound;
  }
}

// Something is wrong: whether that rests on more than one reading, and on what.
void Reasoning::decide_wrong() {
  const auto doubted = std::find_if(answer_.readings.begin(), answer_.readings.end(),
                                    [](const Comparison& each) { return each.doubtful && !each.again; });
  const double faulty = 1 - answer_.sound - answer_.unmodelled;
  const double sure = doubted != answer_.readings.end() ? kSure : kSureUncontradicted;
  const std::optional<std::size_t> alone = rests_on();
  if (alone) {
    reason_ = Reason::Alone;
    again_ = alone;
  } else if (faulty >= sure) {
    reason_ = Reason::Fault;
    answer_.verdict = Verdict::Fault;
  } else if (doubted != answer_.readings.end()) {
    reason_ = Reason::Doubted;
    again_ = doubted->observation;
  } else {
    reason_ = Reason::Open;
  }
}

}  // namespace lugwise::diagnosis::inside
