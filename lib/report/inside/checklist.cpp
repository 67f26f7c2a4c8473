#include "report/inside/checklist.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "report/inside/place.h"
#include "report/inside/shown.h"
#include "report/inside/step.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

// What to turn to come from one setting to the next, and what stays.
std::string turning(const Harness& harness, const Setting* before, const Setting& setting) {
  std::vector<std::string> turn, leave;
  for (PartId control : harness.controls()) {
    const bool stays = before && before->alike(setting, control);
    (stays ? leave : turn).push_back(harness[control].name + " " + setting.place_name(harness, control));
  }
  if (turn.empty()) return "Leave " + fmt::format("{}", fmt::join(leave, ", ")) + ".";
  std::string text = fmt::format("Set {}", fmt::join(turn, ", "));
  if (!leave.empty()) text += fmt::format("; leave {}", fmt::join(leave, ", "));
  return text + ".";
}

// Whether it begins outside and is opened after.
bool opens_later(const Plan& plan) {
  const auto probes = [](const Step& step) { return step.kind != StepKind::Prepare; };
  const auto first = std::find_if(plan.steps.begin(), plan.steps.end(), probes);
  return first != plan.steps.end() && first->access.depth == 0 && plan.opening_seconds > 0;
}

}  // namespace

page::Document opening_of(const Heading& heading, const Harness& harness, const Plan& plan) {
  require_meter(heading);
  page::Document document = titled(heading, "checklist " + plan.id,
                                   {{"stage", stage_in_words(harness, plan.options.stage)},
                                    {"depth", plan.options.depth == Depth::Outside ? "outside only" : "full"},
                                    {"aim", aim_of(harness, plan.options)}});
  document.job = job_details();
  if (!plan.cautions.empty()) {
    page::List cautions;
    for (const std::string& caution : plan.cautions) cautions.items.push_back({caution, {}});
    document.sections.push_back({"Before the first probe:", false, false, {std::move(cautions)}, true});
  }
  return document;
}

std::string setting_first(const Harness& harness, const Step& step, const Step* before) {
  const bool first = !before || before->kind == StepKind::Prepare;
  const std::optional<Setting> stands = first ? std::nullopt : std::optional(left_at(*before));
  if (!harness.controls().empty() && (!stands || !(*stands == step.setting)))
    return turning(harness, stands ? &*stands : nullptr, step.setting);
  if (first || !before->swept) return "";
  return fmt::format("Leave {} at {}.", harness[*before->swept].name,
                     step.setting.place_name(harness, *before->swept));
}

page::Section coverage_of(const Harness& harness, const Plan& plan) {
  page::Section section{"Coverage", true, false, {}};
  const auto say = [&](std::string text) { section.blocks.push_back(page::Paragraph{std::move(text)}); };
  const auto opening = std::llround(plan.opening_seconds / 60);
  say(fmt::format("These steps would show {} of {} faults, in {}{}{}.", plan.seen, plan.faults.size(),
                  minutes(plan.seconds), opening > 0 ? fmt::format(", {} of them opening", opening) : "",
                  plan.wiggle_seconds > 0
                      ? fmt::format("; the wiggles take {} more", minutes(plan.wiggle_seconds))
                      : ""));
  say(fmt::format(
      "No plan that {} has fewer than {}, or takes less than {:.0f} of these "
      "{:.0f} seconds; both for the faults and tolerances modelled.",
      opens_later(plan) ? "shows outside what shows there, and as much in all," : "shows as much",
      counted(static_cast<std::size_t>(plan.least_steps), "reading"), plan.least_seconds, plan.seconds));
  if (plan.lift_seconds > 0)
    say(fmt::format("With the leads off and on again it takes {} more.", minutes(plan.lift_seconds)));
  if (!plan.smallest.empty()) {
    const auto by_ohms = [](const Smallest& x, const Smallest& y) { return x.ohms < y.ohms; };
    const auto [least, most] = std::minmax_element(plan.smallest.begin(), plan.smallest.end(), by_ohms);
    const auto at = [&](const Smallest& one) {
      return fmt::format("({}, step {})", place_in_words(harness, harness[one.element]), one.step);
    };
    say(fmt::format("A cold joint or dirty contact shows from {} at best {}, from {} at worst {}.",
                    lugwise::in_words(least->ohms), at(*least), lugwise::in_words(most->ohms), at(*most)));
  }
  return section;
}

page::Section walk_of(const Harness& harness, const Plan& plan) {
  page::Section section{"Ground walk", false, false, {}};
  const Walk& walk = *plan.walk;
  section.blocks.push_back(page::Paragraph{
      fmt::format("{}; {}one probe stays on {}. A right reading proves the way there; the first wrong one "
                  "brackets the fault, and halving what is left finds it.",
                  first_letter_up(in_words(walk.access)), set_in_words(harness, walk.setting),
                  point_in_words(harness, walk.anchor))});
  page::List list;
  for (const WalkStep& step : walk.steps) {
    page::List::Item item;
    item.text = fmt::format("{}: range {}, {}", point_in_words(harness, step.to), range_name(step.range.top),
                            in_words(shown(plan.options.meter, step.range, step.expected, step.shows)));
    std::vector<std::string> between;
    for (std::size_t i = 0; i + 1 < step.stretch.size(); ++i)
      between.push_back(harness[step.stretch[i]].name);
    const std::string good = harness[step.from].name;
    if (step.most == 0) {
      item.more.push_back({"wrong", fmt::format("between {} and {}", good, harness[step.to].name)});
    } else {
      item.more.push_back({"on the way", fmt::format("from {}: {}", good, fmt::join(between, ", "))});
      item.more.push_back(
          {"wrong", fmt::format("{} next, then the middle of the half that is wrong: {} at most",
                                harness[step.stretch[step.first_half]].name,
                                counted(static_cast<std::size_t>(step.most), "reading"))});
    }
    list.items.push_back(std::move(item));
  }
  section.blocks.push_back(std::move(list));
  if (!walk.in_loops.empty())
    section.blocks.push_back(page::Paragraph{fmt::format(
        "Joints, wires and contacts that a second path doubles: {}. No reading from there shows one "
        "of them open.",
        walk.in_loops.size())});
  return section;
}

page::Section unseen_of(const Harness& harness, const Plan& plan) {
  // One entry a reason, with all it holds for.
  std::vector<std::pair<std::pair<std::string, std::string>, std::vector<std::string>>> reasons;
  for (const Unseen& unseen : plan.unseen) {
    const std::pair<std::string, std::string> reason(unseen.why, unseen.would);
    auto known = std::find_if(reasons.begin(), reasons.end(),
                              [&](const auto& entry) { return entry.first == reason; });
    if (known == reasons.end()) known = reasons.insert(reasons.end(), {reason, {}});
    known->second.push_back(in_words(harness, plan.faults[unseen.fault]));
  }
  page::List list;
  for (const auto& [reason, faults] : reasons) {
    page::List::Item item{fmt::format("{}", fmt::join(faults, "; ")), {{"why", reason.first}}};
    if (!reason.second.empty()) item.more.push_back({"to see it", reason.second});
    list.items.push_back(std::move(item));
  }
  return {"Not shown by any step:", false, false, {std::move(list)}};
}

std::string aim_of(const Harness& harness, const PlanOptions& options) {
  std::string text(aim_name(options.aim));
  if (options.lift) text += ", with leads lifted";
  if (options.after.empty()) return text;
  std::vector<std::string> names;
  for (PointId point : options.after) names.push_back(harness[point].name);
  return text + ", after a repair at " + listed(names);
}

}  // namespace inside
}  // namespace lugwise::report
