#include "plan/inside/outlook.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "fault/kind.h"
#include "handling/handling.h"
#include "plan/inside/disturbed.h"
#include "plan/inside/openings.h"
#include "plan/inside/sweeps.h"

namespace lugwise::plan::inside {
namespace {

// Opens, shorts and worn tracks of what is there at this stage, and with a thorough plan all else. After a repair what it
// may have disturbed, of any kind.
std::vector<Fault> faults_asked(const Harness& harness, const PlanOptions& options) {
  std::vector<Fault> faults = faults_at(harness, options.stage);
  weigh(faults, options.common);
  const std::vector<char> may =
      options.after.empty() ? std::vector<char>(faults.size(), 1) : disturbed(harness, faults, options.after);
  const bool all = options.aim == Aim::Thorough || !options.after.empty();
  std::vector<Fault> asked;
  for (std::size_t f = 0; f < faults.size(); ++f) {
    const Fault& fault = faults[f];
    const bool usual = fault.mode == Mode::Open || fault.mode == Mode::Short || is_worn_track(fault);
    if ((usual || all) && may[f]) asked.push_back(fault);
  }
  return asked;
}

// From how many added ohms on a High is asked for, and by which factor a Value is off.
std::vector<double> sizes_asked(const Harness& harness, const PlanOptions& options,
                                const std::vector<Fault>& faults, const std::vector<Setting>& settings) {
  std::vector<double> sizes(faults.size(), 0);
  const auto sized = [](const Fault& fault) { return fault.mode == Mode::High && !is_worn_track(fault); };
  std::vector<Ohms> least(faults.size(), HUGE_VAL);
  if (std::any_of(faults.begin(), faults.end(), sized)) {
    for (const Access& access : openings(harness, options))
      find_least_sizes(harness, faults, options, settings, access, least);
  }
  for (std::size_t f = 0; f < faults.size(); ++f) {
    if (sized(faults[f])) sizes[f] = std::max(least[f], kModest);
    if (faults[f].mode == Mode::Value) sizes[f] = 2;
  }
  return sizes;
}

}  // namespace

Outlook look_out(const Harness& harness, const PlanOptions& options, const Reached& reached) {
  Outlook outlook;
  outlook.faults = faults_asked(harness, options);
  const std::vector<Setting> settings = settings_to_try(harness, options.stage);
  outlook.sizes = sizes_asked(harness, options, outlook.faults, settings);
  outlook.shown = FaultSet(outlook.faults.size());
  for (const Access& access : openings(harness, options)) {
    outlook.surveys.push_back(
        survey(harness, outlook.faults, outlook.sizes, options, settings, access, {}, reached));
    Survey& here = outlook.surveys.back();
    add_sweeps(harness, outlook.faults, options, here);
    here.close();
    here.show_all(outlook.shown);
  }
  return outlook;
}

Outlook usual_part(const Harness& harness, const PlanOptions& options, const Outlook& all) {
  Outlook outlook;
  outlook.faults = faults_asked(harness, options);
  std::vector<std::size_t> number(all.faults.size(), all.faults.size());
  for (std::size_t f = 0; f < all.faults.size(); ++f) {
    const std::size_t next = outlook.sizes.size();
    if (next == outlook.faults.size() || !(outlook.faults[next] == all.faults[f])) continue;
    number[f] = next;
    outlook.sizes.push_back(all.sizes[f]);
  }
  outlook.shown = FaultSet(outlook.faults.size());
  for (const Survey& whole : all.surveys) {
    outlook.surveys.push_back(narrowed(whole, number, outlook.faults.size()));
    outlook.surveys.back().close();
    const Survey& here = outlook.surveys.back();
    here.show_all(outlook.shown);
  }
  return outlook;
}

}  // namespace lugwise::plan::inside
