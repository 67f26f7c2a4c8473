#include "report/inside/asked.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "report/inside/place.h"
#include "report/inside/step.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

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
  screen.headed(title, Shade::Strong, ", " + in_words(step.access));
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
  const std::string motion = motion_in_words(harness, step);
  if (!motion.empty()) screen.labelled("Then", motion);
  if (!session.options().meter.automatic) screen.labelled("Range", range_of(step));
  for (const std::string& note : step.notes) screen.labelled("Mind", note);
}

// The advice; but where it is a probe that this session doesn't ask for, why not, and what else there is.
std::string to_do(const Session& session) {
  const Diagnosis& diagnosis = session.diagnosis();
  const std::optional<NextProbe>& next = diagnosis.next;
  if (diagnosis.verdict != Verdict::Fault || !next || next->why != NextProbe::Why::Tells)
    return diagnosis.advice;
  if (session.options().depth == Depth::Outside && next->access.depth > 0)
    return fmt::format(
        "What would tell these apart is {}, and this session stays outside: go on with --resume and "
        "--depth full, or mend the first of these.",
        in_words(next->access));
  return diagnosis.advice;
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
  add_suspects(screen, session, kNamedOnScreen, found ? Suspected::FirstGroup : Suspected::All);
  screen.labelled("Do", to_do(session));
  if (found && !diagnosis.suspects.empty()) {
    const std::string mend = mend_in_words(diagnosis.suspects.front());
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
                sound ? fmt::format(": all {} agree", counted(diagnosis.readings.size(), "reading"))
                      : ", all that could be probed was probed");
  if (!sound) add_suspects(screen, session, kNamedOnScreen, Suspected::All);
  if (skipped > 0)
    screen.labelled("Skipped", counted(skipped, "step") + "; 'list' shows which, 'go' takes one up");
  if (const std::size_t unseen = session.plan().unseen.size(); unseen > 0)
    screen.labelled("Unseen", counted(unseen, "fault") + " no step shows; 'lugwise plan' says which and why");
  screen.labelled("Last", "touch the tips together once more: they should show what they did at first");
  screen.labelled("Then", "'stop' ends the session");
}

}  // namespace

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

}  // namespace inside
}  // namespace lugwise::report
