#include "report/session.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>
#include <vector>

#include "report/inside/json.h"
#include "report/inside/judged.h"
#include "report/inside/place.h"
#include "report/inside/shown.h"
#include "report/inside/step.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"
#include "text/character.h"

namespace lugwise {
namespace {

using report::Json;

// Columns of a label, so that what it labels stands in one line of text below the other.
constexpr std::size_t kLabel = 10;
constexpr std::size_t kShare = 15;

// Suspects named after each entry, steps shown at once, suspects shown when asked for: a screen has 24 lines.
constexpr std::size_t kNamed = 4;
constexpr std::size_t kListed = 18;
constexpr std::size_t kAsked = 8;

enum class Shade { Good, Bad, Strong };

class Screen {
 public:
  explicit Screen(const Appearance& appearance) : appearance_(appearance) {}

  void blank() { text_ += '\n'; }
  void line(std::string_view text) { text_ += page::wrapped("", text, 0, appearance_.columns); }
  // A line that is short enough as it is, its blanks too.
  void row(std::string_view text) {
    text_ += text;
    text_ += '\n';
  }
  void labelled(std::string_view label, std::string_view text) {
    text_ += page::wrapped(fmt::format("  {:<8}", label), text, kLabel, appearance_.columns);
  }
  // A suspect with its share.
  void shared(double share, std::string_view text) {
    text_ +=
        page::wrapped(fmt::format("  {:>11}  ", report::percent(share)), text, kShare, appearance_.columns);
  }
  // A line that begins with a word in colour, which costs no columns.
  void headed(std::string_view head, Shade shade, std::string_view text) {
    std::string lines = page::wrapped(head, text, kLabel, appearance_.columns);
    if (appearance_.colour) {
      const char* const code = shade == Shade::Good ? "32" : shade == Shade::Bad ? "1;31" : "1";
      lines = fmt::format("\x1b[{}m{}\x1b[0m{}", code, head, lines.substr(head.size()));
    }
    text_ += lines;
  }
  std::size_t columns() const { return appearance_.columns; }
  std::string take() { return std::move(text_); }

 private:
  Appearance appearance_;
  std::string text_;
};

// Which controls to turn, and that the others stay.
std::string turning(const Session& session, const Setting& setting) {
  const Harness& harness = session.harness();
  const std::optional<Setting> stands = session.standing();
  std::vector<std::string> turn, leave;
  for (PartId control : harness.controls()) {
    const bool stays = stands && stands->alike(setting, control);
    (stays ? leave : turn).push_back(harness[control].name + " " + setting.place_name(harness, control));
  }
  if (turn.empty()) return "";
  std::string text = fmt::format("{}", fmt::join(turn, ", "));
  if (!leave.empty()) text += fmt::format("; leave {}", fmt::join(leave, ", "));
  return text;
}

void add_probes(Screen& screen, const Session& session, const Step& step) {
  const Harness& harness = session.harness();
  const Observation* const before = session.last_taken();
  const auto held = [&](PointId point) { return before && (before->a == point || before->b == point); };
  PointId first = step.a;
  PointId second = step.b;
  if (held(second) && !held(first)) std::swap(first, second);
  if (held(first) && held(second)) {
    screen.labelled("Leave", fmt::format("both probes: {} and {}", point_in_words(harness, first),
                                         point_in_words(harness, second)));
    return;
  }
  screen.labelled(held(first) ? "Leave" : "Put", "one probe on " + point_in_words(harness, first));
  screen.labelled("Put", "the other on " + point_in_words(harness, second));
}

std::string title_of(const Ask& ask) {
  switch (ask.kind) {
    case Ask::Kind::Prepare:
      return "FIRST";
    case Ask::Kind::Step:
      return fmt::format("STEP {} of {}", ask.place, ask.of);
    case Ask::Kind::Probe:
      return "NEXT PROBE";
    case Ask::Kind::Again:
      return "ONCE MORE";
    case Ask::Kind::Recheck:
      return fmt::format("AFTER THE REPAIR, {} of {}", ask.place, ask.of);
    default:
      return "";
  }
}

void add_step(Screen& screen, const Session& session) {
  const Harness& harness = session.harness();
  const Ask& ask = session.ask();
  const Step& step = ask.step;
  const std::string title = title_of(ask);
  if (ask.kind == Ask::Kind::Prepare) {
    screen.headed(title, Shade::Strong, "");
    screen.labelled("", step.instruction);
    return;
  }
  screen.headed(title, Shade::Strong, ", " + report::in_words(step.access));
  if (ask.kind == Ask::Kind::Again && ask.probe.another_cable) {
    screen.labelled("First", "put in another test cable");
  } else if (ask.kind == Ask::Kind::Again && ask.probe.worked) {
    screen.labelled("First",
                    fmt::format("work {} a dozen times, from end to end", harness[*ask.probe.worked].name));
  } else if (ask.above) {
    screen.labelled("Why", fmt::format("OL on {} says only that it is above {}: a higher range now",
                                       range_name(ask.above->top), range_name(ask.above->top)));
  } else if (ask.kind == Ask::Kind::Again) {
    screen.labelled("Why", ask.probe.again ? "all rests on this reading: press the tips on bare metal"
                                           : "this reading fits nothing that the others allow");
  }
  if (step.kind == StepKind::Wiggle) screen.labelled("Why", "for a fault that comes and goes");
  const std::optional<Access> open = session.open_to();
  const int depth = open ? open->depth : 0;
  if (step.access.depth > depth && step.access.name != "bench") {
    const std::string name = step.access.depth == 1 ? "the cavity" : step.access.name;
    screen.labelled("Open", fmt::format("{}{}; tips on bare metal beside the solder, never on it",
                                        depth == 0 && step.access.depth > 1 ? "the cavity and " : "", name));
  } else if (step.access.depth < depth) {
    // What lies less deep stays open.
    screen.labelled("Close", step.access.depth == 0 ? "what was opened" : open->name);
  }
  for (PointId lead : step.lifted) screen.labelled("Lift", harness[lead].name);
  const std::string turn = turning(session, step.setting);
  if (!turn.empty()) screen.labelled("Set", turn);
  add_probes(screen, session, step);
  const std::string motion = report::motion_in_words(harness, step);
  if (!motion.empty()) screen.labelled("Then", motion);
  if (!session.options().meter.automatic) screen.labelled("Range", report::range_of(step));
  for (const std::string& note : step.notes) screen.labelled("Mind", note);
}

// Each suspect with its share, and what is left over.
void add_suspects(Screen& screen, const Session& session, std::size_t most, bool of_first_group) {
  const Diagnosis& diagnosis = session.diagnosis();
  std::size_t shown = 0;
  for (const Suspect& suspect : diagnosis.suspects) {
    if (of_first_group && suspect.group != 1) break;
    if (shown++ == most) break;
    screen.shared(suspect.probability, report::with_sizes(session.harness(), suspect));
  }
  shown = std::min(shown, most);
  if (shown < diagnosis.suspects.size()) {
    screen.labelled("", fmt::format("and {} more; 'suspects' shows them", diagnosis.suspects.size() - shown));
  }
  if (!diagnosis.suspects.empty() || session.trouble()) screen.shared(diagnosis.sound, "nothing is wrong");
}

void add_verdict(Screen& screen, const Session& session) {
  const Diagnosis& diagnosis = session.diagnosis();
  const bool found = diagnosis.verdict == Verdict::Fault;
  const bool several = diagnosis.suspects.size() > 1 && diagnosis.suspects[1].group == 1;
  const bool narrowed = several && diagnosis.suspects.front().probability < 0.5;
  screen.headed(found ? "FOUND" : "UNSURE", Shade::Strong,
                !found     ? ", and no probe within reach tells more"
                : narrowed ? ", as far as probes tell: one of these"
                           : "");
  add_suspects(screen, session, kNamed, found);
  screen.labelled("Do", diagnosis.advice);
  if (found && !diagnosis.suspects.empty()) {
    const std::string& mend = diagnosis.suspects.front().mend;
    if (!mend.empty() && diagnosis.advice.find(mend) == std::string::npos) screen.labelled("Mend", mend);
  }
  // What would have to be otherwise than the netlist has it.
  for (std::size_t i = 0; i < std::min<std::size_t>(2, diagnosis.differs.size()); ++i)
    screen.labelled("Or", diagnosis.differs[i]);
  screen.labelled(
      "Then",
      fmt::format("type 'repaired' once {}: what it may have touched is probed again. 'more' takes "
                  "one more probe, 'go' the plan's next step, 'stop' ends.",
                  several ? "the first is mended, 'repaired POINT' if it was elsewhere" : "it is mended"));
}

void add_end(Screen& screen, const Session& session) {
  const Diagnosis& diagnosis = session.diagnosis();
  const bool sound = diagnosis.verdict == Verdict::Sound;
  std::size_t skipped = 0;
  for (const Step& step : session.plan().steps)
    skipped += session.state_of(step) == StepState::Skipped ? 1 : 0;
  screen.headed(sound ? "SOUND" : "UNSURE", sound ? Shade::Good : Shade::Strong,
                sound ? fmt::format(": all {} agree", report::counted(diagnosis.readings.size(), "reading"))
                      : ", all that could be probed was probed");
  if (!sound) add_suspects(screen, session, kNamed, false);
  if (skipped > 0)
    screen.labelled("Skipped", report::counted(skipped, "step") + "; 'list' shows which, 'go' takes one up");
  if (const std::size_t unseen = session.plan().unseen.size(); unseen > 0)
    screen.labelled("Unseen",
                    report::counted(unseen, "fault") + " no step shows; 'lugwise plan' says which and why");
  screen.labelled("Last", "touch the tips together once more: they should show what they did at first");
  screen.labelled("Then", "'stop' ends the session");
}

void add_ask(Screen& screen, const Session& session) {
  screen.blank();
  switch (session.ask().kind) {
    case Ask::Kind::Begin:
      return;
    case Ask::Kind::Verdict:
      return add_verdict(screen, session);
    case Ask::Kind::Finished:
      return add_end(screen, session);
    default:
      return add_step(screen, session);
  }
}

// What a sound harness shows at the end of a sweep that stands in one comparison.
void add_judged(Screen& screen, const Session& session, const Reply& reply) {
  const Meter& meter = session.meter();
  const Deed& deed = session.record().deeds[reply.deed];
  const Comparison comparison = session.compared(deed);
  const std::string judged = report::judged(meter, deed.seen, comparison);
  const bool agrees = comparison.agrees;
  const std::string head = agrees ? "AGREES" : "WRONG";
  // What stands after the word: how far off, and the value at another temperature.
  const std::size_t said = agrees                     ? std::string_view("agrees").size()
                           : judged.starts_with(head) ? head.size()
                                                      : 0;
  const std::string told =
      said == 0 ? fmt::format(": {}, as it should be, but an end is not", deed.seen.text)
                : fmt::format("{}: {}; a sound harness shows {}", judged.substr(said), deed.seen.text,
                              report::should_show(meter, deed.seen, comparison));
  screen.headed(head, agrees ? Shade::Good : Shade::Bad, told);
  for (std::size_t i = 0; i < comparison.ends.size(); ++i) {
    const Observation end = report::end_of(deed.seen, i);
    screen.labelled(
        "", fmt::format("at {} {}: {}; sound {}", end.setting.place_name(session.harness(), *deed.seen.swept),
                        end.text, report::judged(meter, end, comparison.ends[i]),
                        report::should_show(meter, end, comparison.ends[i])));
  }
  const Ask::Kind next = session.ask().kind;
  if (next == Ask::Kind::Verdict || next == Ask::Kind::Finished) return;
  if (!session.trouble()) {
    screen.labelled("", "Nothing is suspected.");
    return;
  }
  if (session.diagnosis().suspects.empty()) screen.labelled("", "No single fault explains it.");
  add_suspects(screen, session, kNamed, false);
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
                                    seen.text, report::should_show(session.meter(), seen, comparison)));
      }
      if (!session.trouble()) screen.line("Every reading is as a sound harness would show it.");
      if (session.trouble()) screen.labelled("", "'list' shows the steps, 'suspects' all that is suspected");
      return;
    default:
      break;
  }
  screen.labelled("Sound", report::display_in_words(session.meter(), step));
  std::vector<std::string> parts;
  for (const Contribution& each : step.expected.through) {
    if (parts.size() == 3) break;
    parts.push_back(fmt::format("{} {}", report::place_in_words(harness, harness[each.element]),
                                report::percent(each.share)));
  }
  if (!parts.empty()) screen.labelled("Through", report::listed(parts) + " of the reading");
  if (ask.kind == Ask::Kind::Probe) {
    screen.labelled("Why",
                    fmt::format("of all probes it tells most for its {:.0f} seconds:", ask.probe.seconds));
    for (const NextProbe::Outcome& outcome : ask.probe.outcomes) {
      screen.labelled("", fmt::format("{} ({}): {}", outcome.reads, report::percent(outcome.probability),
                                      report::what_remains(harness, session.diagnosis(), outcome)));
    }
    return;
  }
  for (const page::Labelled& sign : report::signs_in_words(harness, session.plan_asked(), step))
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
    screen.shared(suspect.probability, report::with_sizes(session.harness(), suspect));
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
  const std::string set = last.set_given ? report::in_words(session.harness(), last.setting) : "";
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
      screen.line(fmt::format("The meter is now one of {}.", report::in_words(session.options().meter)));
      if (reply.count > 0)
        screen.line(fmt::format("{} could not have been its own, and {} put aside.",
                                report::counted(reply.count, "reading"), reply.count == 1 ? "is" : "are"));
      return;
    case Reply::Kind::Repaired:
      screen.line(fmt::format("Repaired: {}. {}", reply.word,
                              reply.count == 0 ? "No step of the plan shows that place."
                                               : fmt::format("Let it cool, then probe {} again.",
                                                             report::counted(reply.count, "place"))));
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

// Whether what is asked stands on the screen already, just above.
bool asks_anew(const Reply& reply) {
  switch (reply.kind) {
    case Reply::Kind::Nothing:
    case Reply::Kind::Refused:
    case Reply::Kind::Noted:
    case Reply::Kind::Explain:
    case Reply::Kind::Help:
    case Reply::Kind::List:
    case Reply::Kind::Suspects:
    case Reply::Kind::Meter:
    case Reply::Kind::Picture:
    case Reply::Kind::Stopped:
      return false;
    default:
      return true;
  }
}

std::string_view ask_name(Ask::Kind kind) {
  switch (kind) {
    case Ask::Kind::Begin:
      return "begin";
    case Ask::Kind::Prepare:
      return "prepare";
    case Ask::Kind::Step:
      return "step";
    case Ask::Kind::Probe:
      return "probe";
    case Ask::Kind::Again:
      return "again";
    case Ask::Kind::Recheck:
      return "recheck";
    case Ask::Kind::Verdict:
      return "verdict";
    case Ask::Kind::Finished:
      return "finished";
  }
  return "";
}

std::string_view reply_name(Reply::Kind kind) {
  switch (kind) {
    case Reply::Kind::Nothing:
      return "nothing";
    case Reply::Kind::Begun:
      return "begun";
    case Reply::Kind::Judged:
      return "judged";
    case Reply::Kind::Refused:
      return "refused";
    case Reply::Kind::Done:
      return "done";
    case Reply::Kind::Skipped:
      return "skipped";
    case Reply::Kind::Undone:
      return "undone";
    case Reply::Kind::Noted:
      return "noted";
    case Reply::Kind::Heard:
      return "heard";
    case Reply::Kind::Explain:
      return "explained";
    case Reply::Kind::Help:
      return "help";
    case Reply::Kind::List:
      return "list";
    case Reply::Kind::Suspects:
      return "suspects";
    case Reply::Kind::Moved:
      return "moved";
    case Reply::Kind::Ranged:
      return "range";
    case Reply::Kind::Metered:
      return "meter";
    case Reply::Kind::Repaired:
      return "repaired";
    case Reply::Kind::Meter:
      return "meter";
    case Reply::Kind::Picture:
      return "picture";
    case Reply::Kind::Stopped:
      return "stopped";
  }
  return "";
}

Json asked(const Session& session) {
  const Harness& harness = session.harness();
  const Ask& ask = session.ask();
  const Step& step = ask.step;
  Json json = {{"kind", ask_name(ask.kind)}};
  if (ask.kind == Ask::Kind::Prepare) {
    json["step"] = step.number;
    json["do"] = "prepare";
    json["tips"] = step.tips_together;
    json["say"] = step.instruction;
  }
  const bool reads = ask.kind == Ask::Kind::Step || ask.kind == Ask::Kind::Probe ||
                     ask.kind == Ask::Kind::Again || ask.kind == Ask::Kind::Recheck;
  if (!reads) return json;
  std::vector<Fault> proves;
  proves = report::faults_among(session.plan_asked(), step.proves);
  json.update(report::json_of(harness, session.meter(),
                              {step.number > 0 ? std::optional(step.number) : std::nullopt, step.setting,
                               step.access, step.a, step.b, step.expected, step.range, step.shows},
                              proves, report::step_in_words(session.meter(), harness, step)));
  json["notes"] = step.notes;
  if (step.kind == StepKind::Sweep) {
    json["do"] = "sweep";
    json["sweep"] = harness[*step.swept].name;
    json["from"] = report::shows_json(session.meter(), step.range, step.expected, step.shows);
    json["to"] = report::shows_json(session.meter(), step.range, step.end, step.end_shows);
  }
  if (step.kind == StepKind::Wiggle) {
    json["do"] = "wiggle";
    json["wiggle"] = report::json_of(harness, step.wiggled);
  }
  if (step.capacitance) {
    json["farads"] = report::farads_json(session.meter(), *step.capacitance);
    json["shows"] = json["farads"]["shows"];
    json["range"] = report::range_of(step);
  }
  return json;
}

}  // namespace

std::string opening_as_text(const Session& session, const std::string& file, const Appearance& appearance) {
  Screen screen(appearance);
  const Plan& plan = session.plan();
  std::size_t taken = session.observations().size();
  screen.headed(
      session.harness().name.empty() ? "A harness" : session.harness().name, Shade::Strong,
      fmt::format(": {}, {}", report::counted(plan.steps.size(), "step"), report::minutes(plan.seconds)));
  if (taken > 0) screen.line(fmt::format("Taken up again after {}.", report::counted(taken, "reading")));
  screen.blank();
  for (const std::string& caution : plan.cautions) screen.line(caution);
  screen.blank();
  screen.line("Type what the meter shows, then Enter: 6.71k, OL, beep. 'help' lists more words.");
  if (taken == 0) {
    std::string_view pickup;
    for (const Part& part : session.harness().parts()) {
      if (pickup.empty() && part.kind == PartKind::Pickup) pickup = part.name;
    }
    screen.line(
        fmt::format("What is complained of? 'heard {}silent' begins there; nothing but Enter, with the plan.",
                    pickup.empty() ? "" : std::string(pickup) + " "));
  }
  screen.line(fmt::format("Each entry is kept at once in {}", file));
  return screen.take();
}

std::string as_text(const Session& session, const Reply& reply, const Appearance& appearance) {
  Screen screen(appearance);
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
  if (asks_anew(reply)) add_ask(screen, session);
  return screen.take();
}

std::string prompt(const Session& session) {
  const Ask& ask = session.ask();
  switch (ask.kind) {
    case Ask::Kind::Begin:
      return "Enter to begin: ";
    case Ask::Kind::Prepare:
      return ask.step.tips_together ? "shows? " : "Enter when done: ";
    case Ask::Kind::Verdict:
    case Ask::Kind::Finished:
      return "what now? ";
    default:
      break;
  }
  if (ask.step.kind == StepKind::Sweep) return "smooth or jumps? ";
  if (ask.step.kind == StepKind::Wiggle) return "steady or unstable? ";
  return "reads? ";
}

std::string standing_as_text(const Session& session, const Appearance& appearance) {
  const Diagnosis& diagnosis = session.diagnosis();
  const std::size_t taken = session.observations().size();
  std::string text;
  if (taken == 0) {
    text = "No reading was taken.";
  } else if (!session.trouble()) {
    text = fmt::format("So far {} and all agree.", report::counted(taken, "reading"));
  } else if (diagnosis.suspects.empty()) {
    text = fmt::format("So far {}; no single fault explains them.", report::counted(taken, "reading"));
  } else {
    const Suspect& first = diagnosis.suspects.front();
    text = fmt::format("So far {}; first suspect, {}: {}.", report::counted(taken, "reading"),
                       report::percent(first.probability), in_words(session.harness(), first.fault));
  }
  return page::wrapped("", text, 0, appearance.columns);
}

std::string as_json(const Heading& heading, const Session& session, const Reply& reply,
                    const std::string& file) {
  const Diagnosis& diagnosis = session.diagnosis();
  Json json = report::json_of(heading);
  json["record"] = file;
  json["reply"] = reply_name(reply.kind);
  json["problem"] = reply.problem.empty() ? Json(nullptr) : Json(reply.problem);
  json["hint"] = reply.hint.empty() ? Json(nullptr) : Json(reply.hint);
  json["picture"] = reply.kind == Reply::Kind::Picture ? Json(reply.word) : Json(nullptr);
  json["reading"] = nullptr;
  if (reply.kind == Reply::Kind::Judged) {
    const Deed& deed = session.record().deeds[reply.deed];
    const Comparison comparison = session.compared(deed);
    json["reading"] = {{"reads", deed.seen.text},
                       {"between", report::json_of(session.harness(), {deed.seen.a, deed.seen.b})},
                       {"set", report::json_of(session.harness(), deed.seen.setting)},
                       {"agrees", comparison.agrees},
                       {"off", report::number(comparison.off)},
                       {"say", report::should_show(session.meter(), deed.seen, comparison)}};
  }
  json["verdict"] = report::verdict_name(diagnosis.verdict);
  json["sound"] = report::number(diagnosis.sound);
  json["suspects"] = Json::array();
  for (const Suspect& suspect : diagnosis.suspects)
    json["suspects"].push_back(report::json_of(session.harness(), session.observations(), suspect));
  json["advice"] = diagnosis.advice;
  json["before"] = session.ask().kind == Ask::Kind::Begin ? Json(session.plan().cautions) : Json::array();
  json["ask"] = asked(session);
  return report::written_in_one_line(json);
}

}  // namespace lugwise
