#include "report/session.h"

#include <fmt/format.h>

#include <string>
#include <string_view>

#include "report/inside/asked.h"
#include "report/inside/replied.h"
#include "report/inside/words.h"
#include "text/safe.h"

namespace lugwise {
namespace {

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

}  // namespace

std::string opening_as_text(const Session& session, const std::string& file, const Appearance& appearance) {
  report::Screen screen(appearance);
  const Plan& plan = session.plan();
  std::size_t taken = session.observations().size();
  const std::string& serial = session.record().unit.serial;
  const std::string name = session.harness().name.empty() ? "A harness" : session.harness().name;
  screen.headed(
      serial.empty() ? name : fmt::format("{}, unit {}", name, text::in_one_line(serial)),
      report::Shade::Strong,
      fmt::format(": {}, {}", report::counted(plan.steps.size(), "step"), report::minutes(plan.seconds)));
  if (taken > 0) screen.line(fmt::format("Taken up again after {}.", report::counted(taken, "reading")));
  screen.blank();
  for (const std::string& caution : plan.cautions) screen.line(caution);
  screen.blank();
  screen.line("Type what the meter shows, then Enter: 6.71k, OL, beep. 'help' lists more words.");
  // Of a unit that was just made nobody complained.
  if (taken == 0 && serial.empty()) {
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
  report::Screen screen(appearance);
  report::add_reply(screen, session, reply);
  if (asks_anew(reply)) report::add_ask(screen, session);
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

}  // namespace lugwise
