#include "report/inside/replied.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <utility>
#include <vector>

#include "report/inside/judged.h"
#include "report/inside/place.h"
#include "report/inside/shown.h"
#include "report/inside/step.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"
#include "text/character.h"

namespace lugwise::report {
inline namespace inside {
namespace {

// Steps shown at once, suspects shown when asked for: a screen has 24 lines.
constexpr std::size_t kListed = 18;
constexpr std::size_t kAsked = 8;

// How a reading and the ends of its sweep compare with those of a sound harness, and what is suspected now.
void add_judged(Screen& screen, const Session& session, const Reply& reply) {
  const Meter& meter = session.meter();
  const Deed& deed = session.record().deeds[reply.deed];
  const Comparison comparison = session.compared(deed);
  const std::string found = judged(meter, deed.seen, comparison);
  const bool agrees = comparison.agrees;
  const std::string head = agrees ? "AGREES" : "WRONG";
  // What stands after the word: how far off, and the value at another temperature.
  const std::size_t said = agrees                    ? std::string_view("agrees").size()
                           : found.starts_with(head) ? head.size()
                                                     : 0;
  const std::string told = said == 0 ? fmt::format(": {}, as it should be, but an end is not", deed.seen.text)
                                     : fmt::format("{}: {}; a sound harness shows {}", found.substr(said),
                                                   deed.seen.text, should_show(meter, deed.seen, comparison));
  screen.headed(head, agrees ? Shade::Good : Shade::Bad, told);
  for (std::size_t i = 0; i < comparison.ends.size(); ++i) {
    const Observation end = end_of(deed.seen, i);
    screen.labelled(
        "", fmt::format("at {} {}: {}; sound {}", end.setting.place_name(session.harness(), *deed.seen.swept),
                        end.text, judged(meter, end, comparison.ends[i]),
                        should_show(meter, end, comparison.ends[i])));
  }
  const Ask::Kind next = session.ask().kind;
  if (next == Ask::Kind::Verdict || next == Ask::Kind::Finished) return;
  if (!session.trouble()) {
    screen.labelled("", "Nothing is suspected.");
    return;
  }
  if (session.diagnosis().suspects.empty()) screen.labelled("", "No single fault explains it.");
  add_suspects(screen, session, kNamedOnScreen, Suspected::All);
}

void add_why(Screen& screen, const Session& session) {
  const Harness& harness = session.harness();
  const Ask& ask = session.ask();
  const Step& step = ask.step;
  switch (ask.kind) {
    case Ask::Kind::Begin:
      screen.line("Read the cautions, then press Enter.");
      return;
    case Ask::Kind::Prepare:
      screen.line(
          step.tips_together
              ? "What the tips show together is the leads: the limits of every low reading depend on it."
              : "Until this is done no reading means anything, or it is not safe.");
      return;
    case Ask::Kind::Verdict:
    case Ask::Kind::Finished:
      for (const Comparison& comparison : session.diagnosis().readings) {
        if (comparison.agrees && !comparison.doubtful) continue;
        const Observation& seen = session.observations()[comparison.observation];
        screen.labelled("Because",
                        fmt::format("{} and {} read {}; sound {}", harness[seen.a].name, harness[seen.b].name,
                                    seen.text, should_show(session.meter(), seen, comparison)));
      }
      if (!session.trouble()) screen.line("Every reading is as a sound harness would show it.");
      if (session.trouble()) screen.labelled("", "'list' shows the steps, 'suspects' all that is suspected");
      return;
    default:
      break;
  }
  screen.labelled("Sound", display_in_words(session.meter(), step));
  std::vector<std::string> parts;
  for (const Contribution& each : step.expected.through) {
    if (parts.size() == 3) break;
    parts.push_back(
        fmt::format("{} {}", place_in_words(harness, harness[each.element]), percent(each.share)));
  }
  if (!parts.empty()) screen.labelled("Through", listed(parts) + " of the reading");
  if (ask.kind == Ask::Kind::Probe) {
    screen.labelled("Why",
                    fmt::format("of all probes it tells most for its {:.0f} seconds:", ask.probe.seconds));
    for (const NextProbe::Outcome& outcome : ask.probe.outcomes) {
      screen.labelled("", fmt::format("{} ({}): {}", outcome.reads, percent(outcome.probability),
                                      what_remains(harness, session.diagnosis(), outcome)));
    }
    return;
  }
  for (const page::Labelled& sign : signs_in_words(harness, session.plan_asked(), step))
    screen.labelled("", sign.label + ": " + sign.text);
}

std::string_view state_word(StepState state) {
  switch (state) {
    case StepState::Open:
      return "to do";
    case StepState::Agrees:
      return "agrees";
    case StepState::Wrong:
      return "WRONG";
    case StepState::Skipped:
      return "skipped";
    case StepState::Done:
      return "done";
  }
  return "";
}

// One line a step: its number, how it stands, where the probes go.
std::string line_of(const Harness& harness, const Step& step, StepState state, std::size_t columns) {
  std::string what;
  if (step.kind == StepKind::Prepare) {
    what = step.tips_together ? "tips together" : step.instruction;
  } else {
    what = fmt::format("{} and {}", harness[step.a].name, harness[step.b].name);
    if (step.swept) what += ", sweep " + harness[*step.swept].name;
    if (step.kind == StepKind::Wiggle) what += ", wiggle";
  }
  std::string line = fmt::format("{:>4}  {:<8}{}", step.number, state_word(state), what);
  const std::size_t most = columns - 2;
  if (text::length(line) > most) line = std::string(text::first_characters(line, most - 3)) + "...";
  return line;
}

void add_list(Screen& screen, const Session& session) {
  const std::vector<Step>& steps = session.plan().steps;
  const auto here = std::find_if(steps.begin(), steps.end(),
                                 [&](const Step& step) { return session.ask().step.number == step.number; });
  const std::size_t at = here == steps.end() ? 0 : static_cast<std::size_t>(here - steps.begin());
  const std::size_t first =
      steps.size() <= kListed ? 0 : std::min(at > kListed / 2 ? at - kListed / 2 : 0, steps.size() - kListed);
  const std::size_t last = std::min(steps.size(), first + kListed);
  if (first > 0) screen.row(fmt::format("      steps 1 to {} are above", first));
  for (std::size_t i = first; i < last; ++i)
    screen.row(line_of(session.harness(), steps[i], session.state_of(steps[i]), screen.columns()));
  if (last < steps.size()) screen.row(fmt::format("      steps {} to {} are below", last + 1, steps.size()));
}

void add_all_suspects(Screen& screen, const Session& session) {
  const Diagnosis& diagnosis = session.diagnosis();
  if (diagnosis.suspects.empty()) {
    screen.line(session.trouble() ? "No single fault explains the readings."
                                  : "Nothing is suspected so far.");
    return;
  }
  int group = 0;
  for (std::size_t k = 0; k < diagnosis.suspects.size() && k < kAsked; ++k) {
    const Suspect& suspect = diagnosis.suspects[k];
    if (suspect.group != group) screen.line(fmt::format("Group {}", suspect.group));
    group = suspect.group;
    screen.shared(suspect.probability, with_sizes(session.harness(), suspect));
  }
  if (diagnosis.suspects.size() > kAsked)
    screen.labelled("", fmt::format("and {} less likely", diagnosis.suspects.size() - kAsked));
  screen.shared(diagnosis.sound, "nothing is wrong");
}

void add_help(Screen& screen) {
  constexpr std::array<std::pair<const char*, const char*>, 17> kLines{{
      {"6.71k  OL  beep", "what the meter shows; 'no beep', 'unstable' too"},
      {"0.25M on 2M", "the same, on another range than the one asked for"},
      {"smooth 6.1k 0.3k", "a sweep: smooth or jumps, and its two ends if you like"},
      {"steady, unstable", "a wiggle"},
      {"why (w)", "what is expected, and what each outcome would mean"},
      {"skip (s) [WHY]", "can't reach it"},
      {"undo (u)", "take back the last entry"},
      {"again (a)", "take the last reading once more"},
      {"range (r) 2M", "another range for this step"},
      {"meter (m) FILE", "another meter"},
      {"go (g) [7]", "to step 7; the plan's next open step"},
      {"list (l)", "the steps, and how each stands"},
      {"suspects (x)", "all that is suspected;  more (+): one more probe"},
      {"picture (p) [FILE]", "where the probes go, as a picture"},
      {"note (n) TEXT", "a remark, kept in the record"},
      {"heard (e) front weak", "what the ear said"},
      {"repaired (f) [POINT]", "it is mended;  stop (q): put it down, resumable"},
  }};
  for (const auto& [typed, means] : kLines) screen.row(fmt::format("  {:<22}{}", typed, means));
}

// ", with selector front"; nothing where it is so wherever it should sound.
std::string where_heard(const Session& session) {
  const Heard& last = session.record().heard.back();
  const std::string set = last.set_given ? in_words(session.harness(), last.setting) : "";
  return set.empty() ? "" : ", with " + set;
}

// What is said of a line that was no reading.
void add_said(Screen& screen, const Session& session, const Reply& reply) {
  switch (reply.kind) {
    case Reply::Kind::Refused:
      screen.headed("NOT TAKEN", Shade::Bad, ": " + reply.problem);
      if (!reply.hint.empty()) screen.labelled("", reply.hint);
      return;
    case Reply::Kind::Done:
      return;
    case Reply::Kind::Picture:
      screen.line("Drawn: " + reply.word);
      return;
    case Reply::Kind::Skipped:
      screen.line("Skipped.");
      return;
    case Reply::Kind::Undone:
      screen.line(fmt::format("Undone: {}", reply.word));
      return;
    case Reply::Kind::Noted:
      screen.line("Noted.");
      return;
    case Reply::Kind::Heard:
      screen.line(fmt::format("Noted: {}. 'undo' if it was otherwise.", reply.word + where_heard(session)));
      return;
    case Reply::Kind::Ranged:
      return;
    case Reply::Kind::Metered:
      screen.line(fmt::format("The meter is now one of {}.", in_words(session.options().meter)));
      if (reply.count > 0)
        screen.line(fmt::format("{} could not have been its own, and {} put aside.",
                                counted(reply.count, "reading"), reply.count == 1 ? "is" : "are"));
      return;
    case Reply::Kind::Repaired:
      screen.line(fmt::format("Repaired: {}. {}", reply.word,
                              reply.count == 0 ? "No step of the plan shows that place."
                                               : fmt::format("Let it cool, then probe {} again.",
                                                             counted(reply.count, "place"))));
      return;
    case Reply::Kind::Stopped:
      if (!reply.word.empty()) screen.line(reply.word);
      return;
    case Reply::Kind::Nothing:
      screen.line(session.ask().kind == Ask::Kind::Prepare
                      ? "Type what the meter shows with the tips together."
                      : "Type what the meter shows; 'help' lists the words.");
      return;
    default:
      return;
  }
}

}  // namespace

void add_reply(Screen& screen, const Session& session, const Reply& reply) {
  switch (reply.kind) {
    case Reply::Kind::Judged:
      add_judged(screen, session, reply);
      break;
    case Reply::Kind::Explain:
      add_why(screen, session);
      break;
    case Reply::Kind::Help:
      add_help(screen);
      break;
    case Reply::Kind::List:
      add_list(screen, session);
      break;
    case Reply::Kind::Suspects:
      add_all_suspects(screen, session);
      break;
    default:
      add_said(screen, session, reply);
      break;
  }
}

}  // namespace inside
}  // namespace lugwise::report
