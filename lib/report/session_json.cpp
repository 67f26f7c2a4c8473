#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "report/inside/json.h"
#include "report/inside/shown.h"
#include "report/inside/step.h"
#include "report/inside/suspect.h"
#include "report/session.h"

namespace lugwise {
namespace {

using report::Json;

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
