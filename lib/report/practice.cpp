#include "report/practice.h"

#include <fmt/format.h>

#include "exercise/exercise.h"
#include "fault/naming.h"
#include "report/exercise.h"
#include "report/inside/finding.h"
#include "report/inside/json.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

using report::Json;

// Of a long list so many are shown.
constexpr std::size_t kFaults = 40;

std::string range_in_words(const Observation& seen) {
  if (!seen.range) return "";
  return seen.capacitor ? capacitance_range_name(seen.range->top) : range_name(seen.range->top);
}

// A range of ohms ends above one, a range of farads far below.
std::string range_in_words(const Range& range) {
  return range.top < 1 ? capacitance_range_name(range.top) : range_name(range.top);
}

std::string reading_in_words(const Harness& harness, const Observation& seen, std::size_t columns) {
  const std::string range = range_in_words(seen);
  return page::wrapped("  ", probe_in_words(harness, seen), 2, columns) +
         fmt::format("  display  {}{}\n", display_in_words(seen),
                     range.empty() ? "" : fmt::format("   ({})", range));
}

std::string log_in_words(const Harness& harness, const std::vector<Fault>& faults, const PracticeLog& log,
                         std::size_t columns) {
  std::string text;
  for (std::size_t i = 0; i < log.probes.size(); ++i)
    text += page::wrapped(
        fmt::format("{:3}  ", i + 1),
        fmt::format("{}: {}", probe_in_words(harness, log.probes[i]), display_in_words(log.probes[i])), 5,
        columns);
  for (std::size_t claim : log.claims)
    text += page::wrapped("named  ", in_words(harness, faults[claim]), 7, columns);
  return text.empty() ? "Nothing yet.\n" : text;
}

std::string_view reply_name(PracticeReply::Kind kind) {
  switch (kind) {
    case PracticeReply::Kind::Nothing:
      return "nothing";
    case PracticeReply::Kind::Read:
      return "read";
    case PracticeReply::Kind::Set:
      return "set";
    case PracticeReply::Kind::Ranged:
      return "range";
    case PracticeReply::Kind::Lifted:
      return "lifted";
    case PracticeReply::Kind::Claimed:
      return "named";
    case PracticeReply::Kind::Refused:
      return "refused";
    case PracticeReply::Kind::Help:
      return "help";
    case PracticeReply::Kind::List:
      return "list";
    case PracticeReply::Kind::Faults:
      return "faults";
    case PracticeReply::Kind::Stopped:
      return "stopped";
  }
  return "";
}

Json named_json(const PracticeSheet& sheet, const std::vector<std::size_t>& faults) {
  Json json = Json::array();
  for (const std::size_t f : faults)
    json.push_back({{"fault", report::json_of(sheet.harness, sheet.faults[f])},
                    {"say", in_words(sheet.harness, sheet.faults[f])}});
  return json;
}

Json readings_json(const Harness& harness, const std::vector<Observation>& readings) {
  Json json = Json::array();
  for (const Observation& seen : readings) json.push_back(report::json_of(harness, seen));
  return json;
}

}  // namespace

std::string practice_opening(const PracticeSheet& sheet, std::size_t columns) {
  std::string text = fmt::format("Exercise {} on {}: {}\n", sheet.exercise.number, sheet.harness.name,
                                 level_in_words(sheet.exercise.level));
  for (const Heard& heard : sheet.heard)
    text += page::wrapped("The player says: ", report::in_words(sheet.harness, heard), 2, columns);
  if (!sheet.given.empty()) text += "On the sheet:\n";
  for (const Observation& seen : sheet.given) text += reading_in_words(sheet.harness, seen, columns);
  if (!sheet.given.empty())
    text += page::wrapped("", "With these the answer alone is marked; readings of your own are marked too.",
                          0, columns);
  text += page::wrapped(
      "", "Type two points to read between them, 'is' and the fault when you know it, 'help' for the rest.",
      0, columns);
  return text;
}

std::string practice_help(std::size_t) {
  return "  jack.plug-tip jack.plug-sleeve selector=front   a reading; the controls stay so\n"
         "  set volume=10 tone=0      turn controls\n"
         "  range 20k                 another range; 'range auto' takes the one that fits\n"
         "  lift volume.3>tone.1      unsolder a lead or a wire's end; 'refit' puts all back\n"
         "  sweep volume A B          turn a knob from end to end, watching\n"
         "  wiggle volume.case A B    press and move what comes first, watching\n"
         "  faults volume             what can be wrong, of those that name it\n"
         "  is the track of volume is worn      name the fault; its id will do; a wrong one costs\n"
         "  list, help, stop\n";
}

std::string as_text(const Harness& harness, const std::vector<Fault>& faults, const Practice& practice,
                    const PracticeReply& reply, std::size_t columns) {
  switch (reply.kind) {
    case PracticeReply::Kind::Nothing:
    case PracticeReply::Kind::Stopped:
      return "";
    case PracticeReply::Kind::Read:
      return reading_in_words(harness, reply.seen, columns);
    case PracticeReply::Kind::Set:
      return page::wrapped("  now  ", report::in_words(harness, practice.setting()), 7, columns);
    case PracticeReply::Kind::Ranged:
      return practice.range() ? fmt::format("  on {} from here on\n", range_in_words(*practice.range()))
                              : "  on the range that fits, from here on\n";
    case PracticeReply::Kind::Lifted: {
      std::vector<std::string> names;
      for (PointId point : practice.lifted()) names.push_back(harness[point].name);
      return page::wrapped("  off  ", names.empty() ? "nothing" : report::listed(names), 7, columns);
    }
    case PracticeReply::Kind::Claimed:
      return page::wrapped("  named  ", in_words(harness, faults[reply.fault]), 9, columns);
    case PracticeReply::Kind::Refused: {
      std::string text = page::wrapped("  ", reply.problem, 2, columns);
      for (const std::string& hint : reply.hints) {
        if (!hint.empty()) text += page::wrapped("    ", hint, 4, columns);
      }
      return text;
    }
    case PracticeReply::Kind::Help:
      return practice_help(columns);
    case PracticeReply::Kind::List:
      return log_in_words(harness, faults, practice.log(), columns);
    case PracticeReply::Kind::Faults: {
      std::string text;
      for (std::size_t i = 0; i < reply.faults.size() && i < kFaults; ++i)
        text += page::wrapped("  ", in_words(harness, faults[reply.faults[i]]), 4, columns);
      if (reply.faults.size() > kFaults)
        text += fmt::format("  and {} more; name a part or a point to see fewer\n",
                            reply.faults.size() - kFaults);
      return text.empty() ? "  none names that\n" : text;
    }
  }
  return "";
}

std::string as_json(const Heading& heading, const PracticeSheet& sheet, const Practice& practice,
                    const PracticeReply* reply, const std::string& log) {
  using Kind = PracticeReply::Kind;
  const Harness& harness = sheet.harness;
  const auto is = [&](Kind kind) { return reply && reply->kind == kind; };
  Json json = report::json_of(heading);
  json["exercise"] = {{"number", sheet.exercise.number}, {"level", sheet.exercise.level}};
  json["log"] = log;
  json["reply"] = reply ? reply_name(reply->kind) : "opened";
  json["problem"] = is(Kind::Refused) ? Json(reply->problem) : Json(nullptr);
  json["hints"] = is(Kind::Refused) ? Json(reply->hints) : Json::array();
  json["reading"] = is(Kind::Read) ? report::json_of(harness, reply->seen) : Json(nullptr);
  json["set"] = report::json_of(harness, practice.setting());
  json["lifted"] = report::json_of(harness, practice.lifted());
  json["range"] = practice.range() ? Json(range_in_words(*practice.range())) : Json(nullptr);
  if (is(Kind::Claimed)) json["named"] = named_json(sheet, {reply->fault});
  if (is(Kind::Faults)) json["faults"] = named_json(sheet, reply->faults);
  if (is(Kind::Help)) json["help"] = practice_help();
  if (!reply || is(Kind::List)) {
    json["heard"] = Json::array();
    for (const Heard& heard : sheet.heard) json["heard"].push_back(report::in_words(harness, heard));
    json["given"] = readings_json(harness, sheet.given);
    json["readings"] = readings_json(harness, practice.log().probes);
    json["named"] = named_json(sheet, practice.log().claims);
  }
  return report::written_in_one_line(json);
}

}  // namespace lugwise
