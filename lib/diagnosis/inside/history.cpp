#include "diagnosis/inside/reasoning.h"

#include <algorithm>

#include "diagnosis/inside/comparison.h"

namespace lugwise::diagnosis::inside {

// Of readings taken at one place the last one holds, and those before it that may be right beside it.
void Reasoning::follow_history() {
  for (std::size_t n = 0; n < acts_.size(); ++n) {
    auto place = std::find_if(places_.begin(), places_.end(), [&](const std::vector<std::size_t>& known) {
      return at_one_place(acts_[known.back()].seen, acts_[n].seen);
    });
    if (place == places_.end()) place = places_.insert(place, std::vector<std::size_t>{});
    place->push_back(n);
  }
  for (const std::vector<std::size_t>& place : places_) {
    const Act& last = acts_[place.back()];
    for (std::size_t n : place) {
      Act& act = acts_[n];
      act.weighed = n == place.back() || may_both_be(options_.meter, act.seen, last.seen);
      if (!act.weighed && !act.before) answer_.readings[act.observation].again = last.observation;
    }
  }
  std::size_t kept = 0;
  for (std::size_t row = 0; row < usable_.size(); ++row) {
    if (!acts_[act_of_[row]].weighed) continue;
    if (kept != row) {
      usable_[kept] = std::move(usable_[row]);
      used_[kept] = used_[row];
      act_of_[kept] = act_of_[row];
    }
    ++kept;
  }
  usable_.resize(kept);
  used_.resize(kept);
  act_of_.resize(kept);
  std::erase_if(limited_, [&](const Limited& each) { return !acts_[each.act].weighed; });
}

bool Reasoning::weighed(std::size_t i) const { return !answer_.readings[i].again; }

// A place whose last reading is wrong, and whether an earlier one there was too.
bool Reasoning::wrong(const std::vector<std::size_t>& place) const { return acts_[place.back()].wrong; }

bool Reasoning::confirmed(const std::vector<std::size_t>& place) const {
  return wrong(place) && place.size() > 1 && acts_[place[place.size() - 2]].wrong;
}

// Wrong, and right when it was taken again: one of the two was a slip, or a contact comes and goes. One right reading
// more than there were wrong ones settles it, or a wiggle there that is steady.
bool Reasoning::came_and_went(const std::vector<std::size_t>& place) const {
  const auto is_wrong = [&](std::size_t act) { return acts_[act].wrong; };
  const auto right = std::find_if(place.rbegin(), place.rend(), is_wrong) - place.rbegin();
  if (right == 0 || right > std::count_if(place.begin(), place.end(), is_wrong)) return false;
  const Act& last = acts_[place.back()];
  return std::none_of(acts_.begin(), acts_.end(), [&](const Act& act) {
    return act.seen.action == Action::Wiggle && act.seen.shows == Shows::Steady &&
           act.observation > last.observation &&
           std::minmax(act.seen.a, act.seen.b) == std::minmax(last.seen.a, last.seen.b);
  });
}

}  // namespace lugwise::diagnosis::inside
