#include "intake/judge.h"

#include <fmt/format.h>

#include <utility>

namespace lugwise {
namespace {

using Kind = Misread::Kind;

constexpr std::size_t kQuoted = 60;  // characters of what was typed that are told again

Misread misread(Kind kind, std::string problem, std::string hint = {}) {
  return {kind, std::move(problem), std::move(hint), std::nullopt};
}

std::optional<Misread> not_of_action(std::string_view typed, Shows shows,
                                     const std::optional<Action>& action) {
  if (!action) return std::nullopt;
  const std::string_view told = typed.substr(0, kQuoted);
  const bool of_sweep = shows == Shows::Smooth || shows == Shows::Jumps;
  switch (*action) {
    case Action::Sweep:
      if (of_sweep) return std::nullopt;
      return misread(Kind::NotOfSweep, fmt::format("a sweep reads smooth or jumps, not '{}'", told));
    case Action::Wiggle:
      if (shows == Shows::Steady || shows == Shows::Unstable) return std::nullopt;
      return misread(Kind::NotOfWiggle, fmt::format("a wiggle reads steady or unstable, not '{}'", told));
    case Action::Read:
      if (!of_sweep && shows != Shows::Steady) return std::nullopt;
      return misread(of_sweep ? Kind::SweepWord : Kind::WiggleWord,
                     fmt::format("'{}' is what a {} reads", told, of_sweep ? "sweep" : "wiggle"));
  }
  return std::nullopt;
}

std::optional<Misread> not_of_unit(std::string_view typed, const Shown& shown,
                                   const std::optional<bool>& asked) {
  const std::string_view told = typed.substr(0, kQuoted);
  const bool farads = asked.value_or(shown.farads);
  if (farads && shown.shows != Shows::Value && shown.shows != Shows::OverRange)
    return misread(Kind::NotOfCapacitance,
                   fmt::format("a capacitance range shows a value or OL, not '{}'", told));
  if (shown.shows == Shows::Value && shown.farads != farads)
    return misread(Kind::OtherUnit,
                   fmt::format("'{}' is in {}, not in {}", told, shown.farads ? "farads" : "ohms",
                               farads ? "farads" : "ohms"),
                   farads ? "with its letter: '47.2n'" : "");
  return std::nullopt;
}

std::optional<Misread> not_on_range(std::string_view typed, const Shown& shown,
                                    const std::optional<double>& range, const Meter& meter) {
  const auto problem = reading_problem(meter, range, shown, typed);
  if (!problem) return std::nullopt;
  const Kind kind = problem->kind == ReadingProblem::Kind::NoSuchRange  ? Kind::NoSuchRange
                    : problem->kind == ReadingProblem::Kind::AboveRange ? Kind::AboveRange
                                                                        : Kind::TooManyDigits;
  return Misread{kind, problem->problem, problem->hint, problem};
}

}  // namespace

std::string Misread::in_file(std::string_view typed, TypedAs as) const {
  return on_range ? on_range->in_file(typed, as) : hint;
}

JudgedReading judge(std::string_view typed, const Asked& asked, const Meter& meter) {
  const Parsed<Shown> parsed = parse_display(typed, meter);
  if (!parsed.value) return {{}, misread(Kind::NoReading, parsed.problem, parsed.hint)};
  JudgedReading judged{*parsed.value, not_of_action(typed, parsed.value->shows, asked.action)};
  if (!judged.wrong) judged.wrong = not_of_unit(typed, judged.shown, asked.farads);
  if (judged.wrong) return judged;
  judged.shown.farads = asked.farads.value_or(judged.shown.farads);
  if (asked.on_meter) judged.wrong = not_on_range(typed, judged.shown, asked.range, meter);
  return judged;
}

JudgedEnd judge_end(std::string_view typed, const Asked& asked, const Meter& meter) {
  const std::size_t on = std::min(typed.rfind(" on "), typed.size());
  const std::string_view text = typed.substr(0, on);
  JudgedEnd judged;
  judged.display.text = text;
  std::optional<double> top = asked.range;
  if (on < typed.size()) {
    const std::string_view named = typed.substr(on + 4);
    const Parsed<Ohms> ohms = parse_ohms(named);
    const Range* const range = ohms.value ? meter.find_range(*ohms.value) : nullptr;
    if (!ohms.value || (!range && asked.on_meter)) {
      judged.wrong =
          misread(Kind::NoSuchRange, fmt::format("the meter has no range of {}", named.substr(0, kQuoted)));
      return judged;
    }
    top = *ohms.value;
    // Of another meter only its name is known.
    judged.display.range = range ? *range : Range{*ohms.value, 0, 0};
  }
  const Parsed<Shown> parsed = parse_display(text, meter);
  if (!parsed.value) {
    judged.wrong = misread(Kind::NoReading, parsed.problem, parsed.hint);
    return judged;
  }
  judged.display.shows = parsed.value->shows;
  judged.display.value = parsed.value->value;
  judged.display.resolution = parsed.value->resolution;
  if (parsed.value->shows != Shows::Value && parsed.value->shows != Shows::OverRange) {
    judged.wrong = misread(Kind::NotOfEnd, fmt::format("the end of a sweep is a value or OL, not '{}'",
                                                       typed.substr(0, kQuoted)));
  } else if (parsed.value->farads) {
    judged.wrong = misread(Kind::NotOfEnd,
                           fmt::format("the end of a sweep is in ohms, not '{}'", text.substr(0, kQuoted)));
  } else if (asked.on_meter) {
    judged.wrong = not_on_range(text, *parsed.value, top, meter);
  }
  return judged;
}

JudgedReading judge_tips(std::string_view typed, const Meter& meter, TipsOn on) {
  Asked asked;
  asked.action.reset();
  asked.farads.reset();
  asked.on_meter = false;
  JudgedReading judged = judge(typed, asked, meter);
  if (judged.wrong) return judged;
  if (judged.shown.shows != Shows::Value || judged.shown.farads) {
    judged.wrong = misread(Kind::NotOfTips, fmt::format("with the tips together a meter reads ohms, not '{}'",
                                                        typed.substr(0, kQuoted)));
  } else if (on == TipsOn::Meter) {
    const auto lowest = meter.automatic ? std::nullopt : std::optional(meter.ranges.front().top);
    judged.wrong = not_on_range(typed, judged.shown, lowest, meter);
  }
  return judged;
}

}  // namespace lugwise
