// What a repair may have changed, and which readings it takes to know.

#include <algorithm>
#include <tuple>
#include <utility>

#include "intake/place.h"
#include "session/inside/reply.h"
#include "session/inside/showing.h"
#include "session/inside/typed.h"
#include "session/session.h"
#include "sheet/step_reading.h"

namespace lugwise {

using namespace session::inside;

std::size_t Session::repairs() const {
  return static_cast<std::size_t>(
      std::count_if(record_.deeds.begin(), record_.deeds.end(),
                    [](const Deed& deed) { return deed.kind == EntryKind::Repaired; }));
}

// One past the last repair on record; 0: there was none.
std::size_t Session::last_repair() const {
  for (std::size_t i = record_.deeds.size(); i-- > 0;) {
    if (record_.deeds[i].kind == EntryKind::Repaired) return i + 1;
  }
  return 0;
}

// The plan for what the last repair may have disturbed, made once for each; null before any repair.
const Plan* Session::plan_after_repair() {
  const std::size_t after = last_repair();
  if (after == 0) return nullptr;
  const std::vector<PointId>& where = record_.deeds[after - 1].repaired;
  if (!recheck_ || recheck_->options.after != where) {
    PlanOptions options = options_;
    options.after = where;
    recheck_ = plan_for(*harness_, harness_id_, options);
  }
  return &*recheck_;
}

// What was wrong before the last repair, and the steps that prove what the iron and the moved wires may have touched.
std::vector<Session::Recheck> Session::to_recheck() {
  std::vector<Recheck> steps;
  const Plan* const plan = plan_after_repair();
  if (!plan) return steps;
  std::vector<Observation> places;
  const auto add = [&](Step step, bool after_repair) {
    const Observation place = as_observation(*harness_, step);
    for (const Observation& known : places) {
      if (at_one_place(known, place)) return;
    }
    places.push_back(place);
    steps.push_back({std::move(step), after_repair});
  };
  const std::size_t after = last_repair();
  const Aside mended = mended_by(repairs());
  for (std::size_t i = 0; i < after; ++i) {
    const Deed& deed = record_.deeds[i];
    if (deed.kind != EntryKind::Reading || deed.aside != mended) continue;
    if (!is_sound(*harness_, deed.seen, judging_)) add(step_of(deed.seen), false);
  }
  for (Step step : plan->steps) {
    if (!takes_reading(step)) continue;
    // The record counts by the whole plan.
    step.number = step_of(as_observation(*harness_, step)).number;
    add(std::move(step), true);
  }
  // A short check first: what was wrong. Then the rest. It is open as far as the repair needed it: first what lies as deep,
  // then what lies less deep, and closed up last. Of those that lie alike, first what shows whether the repair helped.
  const std::vector<PointId>& where = record_.deeds[after - 1].repaired;
  int depth = 0;
  for (PointId point : where) {
    const auto access = access_to(*harness_, point, options_.stage);
    if (access) depth = std::max(depth, access->depth);
  }
  const auto is_mended = [&](const Fault& fault) {
    return std::is_permutation(fault.points.begin(), fault.points.end(), where.begin(), where.end());
  };
  const auto turn = [&](const Recheck& each) {
    const int here = each.step.access.depth;
    const int opened = depth == 0 || here >= depth ? 0 : here > 0 ? 1 : 2;
    const std::vector<std::size_t>& proves = each.step.proves;
    const std::vector<Fault>& faults = each.after_repair ? plan->faults : plan_.faults;
    const bool helped =
        std::any_of(proves.begin(), proves.end(), [&](std::size_t f) { return is_mended(faults[f]); });
    return std::tuple(each.after_repair, opened, !helped);
  };
  std::stable_sort(steps.begin(), steps.end(),
                   [&](const Recheck& x, const Recheck& y) { return turn(x) < turn(y); });
  return steps;
}

// While all is well after a repair, what agreed before it still speaks. Once something is wrong, the repair may have done
// that, and what was read before through the places it may have disturbed says nothing of them any more.
void Session::doubt_what_came_before() {
  const Plan* const plan = plan_after_repair();
  if (!plan) return;
  const std::size_t after = last_repair();
  const Aside mark = before_repair(repairs());
  const bool wrong =
      std::any_of(record_.deeds.begin() + static_cast<std::ptrdiff_t>(after), record_.deeds.end(),
                  [&](const Deed& deed) { return deed.weighed() && !compared(deed).agrees; });
  bool changed = false;
  for (std::size_t i = 0; i < after; ++i) {
    Deed& deed = record_.deeds[i];
    if (wrong ? !deed.weighed() || !may_show(*harness_, deed.seen, plan->faults, judging_)
              : deed.aside != mark)
      continue;
    deed.aside = wrong ? mark : Aside{};
    changed = true;
  }
  if (changed) weigh();
}

bool Session::choose_recheck() {
  const std::vector<Recheck> steps = to_recheck();
  const std::size_t after = last_repair();
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (last_at(as_observation(*harness_, steps[i].step), after)) continue;
    ask_step(steps[i].step, Ask::Kind::Recheck);
    ask_.after_repair = steps[i].after_repair;
    ask_.place = static_cast<int>(i) + 1;
    ask_.of = static_cast<int>(steps.size());
    return true;
  }
  return false;
}

// What was heard was heard of the harness as it was, and what is to be read anew no longer speaks. How much that is.
std::size_t Session::put_aside_for(std::size_t repair) {
  for (Heard& heard : record_.heard) {
    if (!heard.aside) heard.aside = mended_by(repair);
  }
  const std::vector<Recheck> steps = to_recheck();
  for (const Recheck& each : steps) {
    const Observation place = as_observation(*harness_, each.step);
    for (Deed& old : record_.deeds) {
      if (old.weighed() && at_one_place(old.seen, place)) old.aside = mended_by(repair);
    }
  }
  return steps.size();
}

Reply Session::repaired(std::string_view text) {
  Deed deed;
  deed.kind = EntryKind::Repaired;
  for (;;) {
    const auto [word, rest] = first_word(text);
    const auto point = harness_->find_point(word);
    if (word.empty() || !point) break;
    if (std::find(deed.repaired.begin(), deed.repaired.end(), *point) == deed.repaired.end())
      deed.repaired.push_back(*point);
    text = rest;
  }
  if (deed.repaired.empty()) {
    const auto [word, rest] = first_word(text);
    // What looks like a point and is none is a slip, not a remark.
    if (word.find('.') != std::string_view::npos && word.back() != '.') {
      const PointFound found = find_point(*harness_, word);
      if (!found.point) return refused(found.refusal.problem, found.refusal.hint);
    }
    if (!diagnosis_.suspects.empty()) {
      const Suspect& first = diagnosis_.suspects.front();
      std::vector<PointId> points = first.fault.points;
      if (first.also) points.insert(points.end(), first.also->points.begin(), first.also->points.end());
      for (PointId point : points) {
        if (std::find(deed.repaired.begin(), deed.repaired.end(), point) == deed.repaired.end())
          deed.repaired.push_back(point);
      }
    }
  }
  if (deed.repaired.empty())
    return refused("what was repaired?", "say where: 'repaired volume.case', with a remark if you like");
  deed.note = text;
  const std::size_t number = repairs() + 1;
  for (std::size_t k = 0; k < deed_of_.size(); ++k) {
    if (!diagnosis_.readings[k].agrees) record_.deeds[deed_of_[k]].aside = mended_by(number);
  }
  record_.deeds.push_back(std::move(deed));
  const std::size_t again = put_aside_for(number);
  begun_ = true;
  goal_.reset();
  doubted_.reset();
  weigh();
  choose();
  Reply reply = answered(Reply::Kind::Repaired, true);
  for (PointId point : record_.deeds.back().repaired)
    reply.word += (reply.word.empty() ? "" : ", ") + (*harness_)[point].name;
  reply.count = again;
  return reply;
}

}  // namespace lugwise
