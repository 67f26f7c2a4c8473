// What is entered: readings, what was heard, remarks, and taking one of them back.

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "hearing/sound.h"
#include "intake/complaint.h"
#include "intake/display.h"
#include "intake/judge.h"
#include "intake/place.h"
#include "intake/value.h"
#include "session/inside/reply.h"
#include "session/inside/typed.h"
#include "session/session.h"
#include "sheet/step_reading.h"
#include "source/nearest.h"

namespace lugwise {

using namespace session::inside;

namespace {

// Why a skipped reading was, where nobody says.
constexpr const char* kCantReach = "can't reach";

// A sweep may come with what stood at its ends: "smooth 6.1k 0.3 on 200", "jumps from 6.1k to 0.3".
struct TypedSweep {
  std::string shows;
  std::vector<std::string> ends;
};

TypedSweep take_apart(std::string_view typed) {
  TypedSweep sweep;
  std::vector<std::string> words = words_of(typed);
  sweep.shows = words.front();
  for (std::size_t i = 1; i < words.size(); ++i) {
    std::string& word = words[i];
    if (word == "to" || word == "and" || word == "from") continue;
    while (!word.empty() && (word.back() == ',' || word.back() == ';')) word.pop_back();
    const bool on = word == "on" && !sweep.ends.empty();
    if (on) sweep.ends.back() += " on " + (i + 1 < words.size() ? words[++i] : "");
    if (!on) sweep.ends.push_back(std::move(word));
  }
  return sweep;
}

// Why a reading was not taken, as it is said to somebody at the bench.
Reply misread_reply(const Misread& wrong, std::string_view typed, const Asked& asked,
                    const JudgedReading& read, const Meter& meter) {
  const bool farads = asked.farads.value_or(false);
  switch (wrong.kind) {
    case Misread::Kind::NotOfSweep:
      return refused(fmt::format("this is a sweep: it reads 'smooth' or 'jumps', not '{}'", typed),
                     "with what stood at both ends, if you like: 'smooth 6.1k 0.3k'");
    case Misread::Kind::NotOfWiggle:
      return refused(fmt::format("press, move and watch: it reads 'steady' or 'unstable', not '{}'", typed));
    case Misread::Kind::SweepWord:
    case Misread::Kind::WiggleWord:
      return refused(fmt::format("this is one reading: {}", wrong.problem), "type what the display shows");
    case Misread::Kind::OtherUnit:
      return refused(fmt::format("'{}' is in {}, and this step reads {}", typed, farads ? "ohms" : "farads",
                                 farads ? "farads" : "ohms"),
                     wrong.hint);
    default:
      break;
  }
  const double fits = wrong.on_range ? wrong.on_range->fits.value_or(0) : 0;
  const bool above = wrong.kind == Misread::Kind::AboveRange && asked.range && !farads;
  std::string hint = wrong.hint;
  if (above || (fits > 0 && hint.empty())) {
    const auto name = farads ? capacitance_range_name : range_name;
    hint += fmt::format("{}if you turned the dial, say to where: '{} on {}'", hint.empty() ? "" : "; ", typed,
                        name(above ? range_for(meter, read.shown.value).top : fits));
  }
  return refused(wrong.problem, hint);
}

Reply refused_end(const Misread& wrong, const Display& end) {
  std::string hint = wrong.hint;
  if (wrong.kind == Misread::Kind::NoSuchRange && !wrong.on_range)
    hint = "an end on a range of its own: 'smooth 6.1k 0.3 on 200'";
  if (wrong.on_range && wrong.on_range->fits)
    hint = fmt::format("if you turned the dial for it, say to where: '{} on {}'", end.text,
                       range_name(*wrong.on_range->fits));
  return refused(wrong.problem, hint);
}

}  // namespace

Reply Session::read(std::string_view typed, std::string_view range) {
  const Step& step = ask_.step;
  switch (ask_.kind) {
    case Ask::Kind::Begin:
      return refused("nothing is asked yet", "press Enter to begin");
    case Ask::Kind::Verdict:
    case Ask::Kind::Finished:
      return refused("no reading is asked for now",
                     "'go 3' asks for step 3 again, 'more' for one more probe");
    case Ask::Kind::Prepare:
      if (step.tips_together) return read_tips(typed);
      return refused("first the above is to be done", "press Enter when it is");
    default:
      break;
  }
  const Meter& meter = options_.meter;
  Observation seen = as_observation(*harness_, step);
  // Behind the ends of a sweep it is the last end's.
  const bool of_end = step.kind == StepKind::Sweep && typed.find(' ') != std::string_view::npos;
  if (!range.empty() && !of_end) {
    Reply turned = set_range(range);
    if (turned.kind == Reply::Kind::Refused) return turned;
    seen.range = ask_.step.range;
  }
  Asked asked;
  asked.action = seen.action;
  asked.farads = seen.capacitor.has_value();
  if (meter.automatic && !seen.capacitor) seen.range.reset();
  if (seen.range) asked.range = seen.range->top;

  TypedSweep sweep{std::string(typed), {}};
  if (!parse_display(typed, meter).value)
    sweep = take_apart(of_end && !range.empty() ? fmt::format("{} on {}", typed, range) : std::string(typed));
  const JudgedReading read = judge(sweep.shows, asked, meter);
  const bool known = !read.wrong || read.wrong->kind != Misread::Kind::NoReading;
  if (known && !sweep.ends.empty() && step.kind != StepKind::Sweep)
    return refused(fmt::format("'{}' is more than one reading", typed), "this step has one");
  if (read.wrong) return misread_reply(*read.wrong, sweep.shows, asked, read, meter);
  seen.text = sweep.shows;
  seen.shows = read.shown.shows;
  seen.value = read.shown.value;
  seen.resolution = read.shown.resolution;
  if (!sweep.ends.empty() && sweep.ends.size() != 2)
    return refused(fmt::format("a sweep has two ends, not {}", sweep.ends.size()),
                   "write both or none: 'smooth 6.1k 0.3k'");
  for (const std::string& text : sweep.ends) {
    const JudgedEnd end = judge_end(text, asked, meter);
    if (end.wrong) return refused_end(*end.wrong, end.display);
    seen.ends.push_back(end.display);
  }
  return enter(std::move(seen));
}

Reply Session::read_tips(std::string_view typed) {
  const JudgedReading read = judge_tips(typed, options_.meter);
  if (read.wrong && read.wrong->kind == Misread::Kind::NotOfTips && read.shown.shows == Shows::OverRange)
    return refused("OL with the tips together: a lead is broken, or a tip does not touch",
                   "try other leads before anything else");
  if (read.wrong && read.wrong->kind == Misread::Kind::NotOfTips)
    return refused(fmt::format("with the tips together a meter shows ohms, not '{}'", typed));
  if (read.wrong) return refused(read.wrong->problem, read.wrong->hint);
  Deed deed;
  deed.kind = EntryKind::Tips;
  deed.seen.value = read.shown.value;
  deed.seen.resolution = read.shown.resolution;
  deed.seen.text = typed;
  for (Deed& old : record_.deeds) {
    if (old.kind == EntryKind::Tips && !old.aside) old.aside = {Aside::Kind::TakenAgain, 0, {}};
  }
  record_.deeds.push_back(std::move(deed));
  goal_.reset();
  weigh();
  choose();
  return answered(Reply::Kind::Done, true);
}

// A reading takes the place of what was read at the same place on the same range before.
Reply Session::enter(Observation seen) {
  for (std::size_t i = 0; i < record_.deeds.size(); ++i) {
    Deed& old = record_.deeds[i];
    if (old.weighed() && at_one_place(old.seen, seen) && (same_range(old.seen, seen) || doubted_ == i))
      old.aside = {Aside::Kind::TakenAgain, 0, {}};
  }
  Deed deed;
  deed.seen = std::move(seen);
  record_.deeds.push_back(std::move(deed));
  goal_.reset();
  doubted_.reset();
  weigh();
  doubt_what_came_before();
  choose();
  Reply reply = answered(Reply::Kind::Judged, true);
  reply.deed = record_.deeds.size() - 1;
  return reply;
}

Reply Session::skip(std::string_view why) {
  Deed deed;
  if (ask_.kind == Ask::Kind::Prepare) {
    deed.kind = EntryKind::Done;
    deed.note = ask_.step.instruction;
    deed.aside = {Aside::Kind::PassedOver, 0, std::string(why)};
  } else if (ask_.kind == Ask::Kind::Begin || ask_.kind == Ask::Kind::Verdict ||
             ask_.kind == Ask::Kind::Finished) {
    return refused("there is nothing to skip now");
  } else {
    deed.kind = EntryKind::Skipped;
    deed.seen = as_observation(*harness_, ask_.step);
    deed.note = why.empty() ? kCantReach : std::string(why);
  }
  record_.deeds.push_back(std::move(deed));
  goal_.reset();
  doubted_.reset();
  choose();
  return answered(Reply::Kind::Skipped, true);
}

// What was on record before the deed at `last` - 1 took its place holds again.
void Session::restore_before(std::size_t last) {
  const Deed& deed = record_.deeds[last - 1];
  for (std::size_t i = last - 1; i-- > 0;) {
    Deed& old = record_.deeds[i];
    const bool same =
        old.kind == deed.kind && (deed.kind == EntryKind::Tips ||
                                  (at_one_place(old.seen, deed.seen) && same_range(old.seen, deed.seen)));
    if (!same || old.aside.is(Aside::Kind::Undone)) continue;
    if (old.aside.is(Aside::Kind::TakenAgain)) old.aside = {};
    return;
  }
}

// What was put aside for the last repair is weighed again.
void Session::restore_before_repair() {
  const Aside mended = mended_by(repairs());
  for (Deed& old : record_.deeds) {
    if (old.aside == mended || old.aside == before_repair(repairs())) old.aside = {};
  }
  for (Heard& heard : record_.heard) {
    if (heard.aside == mended) heard.aside = {};
  }
}

Reply Session::undo() {
  Reply reply = answered(Reply::Kind::Undone, true);
  std::size_t last = record_.deeds.size();
  // A reading that is aside is history already.
  const auto over = [](const Deed& deed) {
    return (deed.kind == EntryKind::Reading || deed.kind == EntryKind::Tips) && deed.aside;
  };
  while (last > 0 && over(record_.deeds[last - 1])) --last;
  if (!record_.heard.empty() && heard_after_.back() >= last) {
    reply.word = "heard " + std::string(sound_word(record_.heard.back().sound));
    record_.heard.pop_back();
    heard_after_.pop_back();
    weigh();
    choose();
    return reply;
  }
  if (last == 0) return refused("there is nothing to undo");
  Deed& deed = record_.deeds[last - 1];
  if (deed.kind == EntryKind::Reading || deed.kind == EntryKind::Tips) {
    reply.word = deed.seen.text;
    deed.aside = {Aside::Kind::Undone, 0, {}};
    restore_before(last);
  } else {
    if (deed.kind == EntryKind::Repaired) restore_before_repair();
    reply.word = deed.kind == EntryKind::Skipped    ? "skip"
                 : deed.kind == EntryKind::Note     ? "note " + deed.note
                 : deed.kind == EntryKind::Repaired ? "repaired"
                                                    : deed.note;
    record_.deeds.erase(record_.deeds.begin() + static_cast<std::ptrdiff_t>(last) - 1);
  }
  goal_.reset();
  doubted_.reset();
  weigh();
  doubt_what_came_before();
  choose();
  return reply;
}

Reply Session::note(std::string_view text) {
  if (text.empty())
    return refused("what is to be noted?", "write it after the word: 'note the nut is loose'");
  Deed deed;
  deed.kind = EntryKind::Note;
  deed.note = text;
  record_.deeds.push_back(std::move(deed));
  return answered(Reply::Kind::Noted, true);
}

Reply Session::set_range(std::string_view typed) {
  const Meter& meter = options_.meter;
  const bool asked = ask_.kind == Ask::Kind::Step || ask_.kind == Ask::Kind::Probe ||
                     ask_.kind == Ask::Kind::Again || ask_.kind == Ask::Kind::Recheck;
  if (!asked) return refused("no reading is asked for now, so no range either");
  const bool farads = ask_.step.capacitance.has_value();
  if (meter.automatic && !farads) return refused("this meter picks its range itself");
  std::vector<std::string> names;
  for (const Range& range : farads ? meter.capacitance : meter.ranges)
    names.push_back(farads ? capacitance_range_name(range.top) : range_name(range.top));
  const std::string choice = fmt::format("its ranges are {}", fmt::join(names, ", "));
  if (typed.empty()) return refused("to which range?", choice);
  const Parsed<double> top = farads ? parse_farads(typed) : parse_ohms(typed);
  if (!top.value) return refused(top.problem, top.hint.empty() ? choice : top.hint);
  const Range* found = farads ? meter.find_capacitance(*top.value) : meter.find_range(*top.value);
  if (!found) return refused(fmt::format("the meter has no range '{}'", typed), choice);
  ask_.step.range = *found;
  const int plugs =
      ((*harness_)[ask_.step.a].role == PointRole::Plug) + ((*harness_)[ask_.step.b].role == PointRole::Plug);
  if (farads) {
    ask_.step.capacitance = capacitance_reading(meter, *found, ask_.step.capacitance->farads);
  } else {
    ask_.step.shows = window(judging_.meter, *found, ask_.step.expected.ohms, plugs);
    ask_.step.end_shows = window(judging_.meter, *found, ask_.step.end.ohms, plugs);
  }
  return answered(Reply::Kind::Ranged);
}

Reply Session::hear(std::string_view text) {
  ComplaintFound found = read_complaint(text, *harness_);
  if (!found.heard) return refused(found.refusal.problem, found.refusal.hint);
  const bool shock = found.heard->sound == Sound::Shock;
  Reply reply = answered(shock ? Reply::Kind::Stopped : Reply::Kind::Heard, true);
  if (found.heard->pickup) reply.word = (*harness_)[*found.heard->pickup].name + " ";
  if (found.heard->control) reply.word += (*harness_)[*found.heard->control].name + " ";
  reply.word += sound_word(found.heard->sound);
  if (shock) reply.word = kShockCaution;
  record_.heard.push_back(std::move(*found.heard));
  heard_after_.push_back(record_.deeds.size());
  weigh();
  choose();
  return reply;
}

}  // namespace lugwise
