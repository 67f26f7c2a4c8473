#include "report/practice.h"

#include <fmt/format.h>

#include "exercise/exercise.h"
#include "report/exercise.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

// Of a long list so many are shown.
constexpr std::size_t kFaults = 40;

std::string range_in_words(const Observation& seen) {
  if (!seen.range) return "";
  return seen.capacitor ? capacitance_range_name(seen.range->top) : range_name(seen.range->top);
}

std::string reading_in_words(const Harness& harness, const Observation& seen, std::size_t columns) {
  const std::string range = range_in_words(seen);
  return page::wrapped("  ", probe_in_words(harness, seen), 2, columns) +
         fmt::format("  display  {}{}\n", seen.text, range.empty() ? "" : fmt::format("   ({})", range));
}

std::string log_in_words(const Harness& harness, const std::vector<Fault>& faults, const PracticeLog& log,
                         std::size_t columns) {
  std::string text;
  for (std::size_t i = 0; i < log.probes.size(); ++i)
    text += page::wrapped(fmt::format("{:3}  ", i + 1),
                          fmt::format("{}: {}", probe_in_words(harness, log.probes[i]), log.probes[i].text),
                          5, columns);
  for (std::size_t claim : log.claims)
    text += page::wrapped("named  ", in_words(harness, faults[claim]), 7, columns);
  return text.empty() ? "Nothing yet.\n" : text;
}

}  // namespace

std::string practice_opening(const Harness& harness, const ExerciseNote& exercise,
                             const std::vector<std::string>& complaints,
                             const std::vector<Observation>& given, std::size_t columns) {
  std::string text =
      fmt::format("Exercise {} on {}: {}\n", exercise.number, harness.name, level_in_words(exercise.level));
  for (const std::string& complaint : complaints)
    text += page::wrapped("The player says: ", complaint, 2, columns);
  if (!given.empty()) text += "On the sheet:\n";
  for (const Observation& seen : given) text += reading_in_words(harness, seen, columns);
  text += page::wrapped(
      "", "Type two points to read between them, 'is' and the fault when you know it, 'help' for the rest.",
      0, columns);
  return text;
}

std::string practice_help(std::size_t) {
  return "  jack.plug-tip jack.plug-sleeve selector=front   a reading; the controls stay so\n"
         "  set volume=10 tone=0      turn controls\n"
         "  range 20k                 another range; 'range auto' takes the one that fits\n"
         "  lift volume.3>tone.1      unsolder a lead or a wire's end; 'refit' puts it back\n"
         "  sweep volume A B          turn a knob from end to end, watching\n"
         "  wiggle volume.case A B    press and move what comes first, watching\n"
         "  faults volume             what can be wrong, of those that name it\n"
         "  is the track of volume is worn      name the fault; its id will do\n"
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
      return practice.range() ? "  on that range from here on\n" : "  on the range that fits, from here on\n";
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

}  // namespace lugwise
