// What a typed line does.

#include <fmt/format.h>

#include <utility>

#include "intake/display.h"
#include "intake/value.h"
#include "session/inside/reply.h"
#include "session/inside/typed.h"
#include "session/inside/word.h"
#include "session/session.h"

namespace lugwise {

using namespace session::inside;

namespace {

// A line longer than this was not typed by a person at a bench.
constexpr std::size_t kLongest = 1000;

}  // namespace

Reply Session::take(std::string_view typed) {
  if (typed.size() > kLongest)
    return refused(fmt::format("a line of {} characters is too long", typed.size()),
                   fmt::format("at most {} are kept", kLongest));
  const std::string line = cleaned(typed);
  if (!is_utf8(line)) return refused("this is not text", "the terminal must send UTF-8");
  const bool waits = ask_.kind == Ask::Kind::Begin || ask_.kind == Ask::Kind::Prepare;
  if (line.empty()) {
    if (!waits || (ask_.kind == Ask::Kind::Prepare && ask_.step.tips_together))
      return answered(Reply::Kind::Nothing);
    return finish_preparation();
  }
  return say(line);
}

Reply Session::finish_preparation() {
  if (ask_.kind == Ask::Kind::Begin) {
    begun_ = true;
    choose();
    return answered(Reply::Kind::Begun);
  }
  if (ask_.kind != Ask::Kind::Prepare) return refused("there is nothing to be done first here");
  if (ask_.step.tips_together)
    return refused("type what the meter shows with the tips together", "'skip' passes it over");
  Deed deed;
  deed.kind = EntryKind::Done;
  deed.note = ask_.step.instruction;
  record_.deeds.push_back(std::move(deed));
  goal_.reset();
  choose();
  return answered(Reply::Kind::Done, true);
}

// A line that is no reading and begins with no word of the session.
Reply Session::not_understood(std::string_view line) const {
  const Parsed<Shown> shown = parse_display(line, options_.meter);
  const bool digits = line.find_first_of("0123456789") != std::string_view::npos;
  // A number that is refused says why by itself; of anything else the nearest word is the better guess.
  if (!digits) {
    if (const auto nearest = nearest_word(std::string(first_word(line).first)))
      return refused(fmt::format("'{}' is no reading and no word of this session", line),
                     fmt::format("nearest is '{}'", *nearest));
  }
  const bool asks = ask_.kind != Ask::Kind::Begin && ask_.kind != Ask::Kind::Prepare &&
                    ask_.kind != Ask::Kind::Verdict && ask_.kind != Ask::Kind::Finished;
  std::string hint = shown.hint;
  if (asks && ask_.step.kind == StepKind::Sweep) hint = "this is a sweep: it reads 'smooth' or 'jumps'";
  if (asks && ask_.step.kind == StepKind::Wiggle) hint = "this is a wiggle: it reads 'steady' or 'unstable'";
  return refused(shown.problem.empty() ? fmt::format("'{}' is no reading", line) : shown.problem, hint);
}

Reply Session::say(std::string_view line) {
  // A display comes first: whatever a meter says is a reading.
  std::string_view display = line;
  std::string_view range;
  const std::size_t on = line.rfind(" on ");
  if (on != std::string_view::npos) {
    display = line.substr(0, on);
    range = line.substr(on + 4);
  }
  const auto [first, rest] = first_word(line);
  const bool one = parse_display(display, options_.meter).value.has_value();
  const std::optional<Word> word = find_word(first);
  if (one || (!word && parse_display(first, options_.meter).value)) {
    const Step asked = ask_.step;
    Reply reply = read(display, range);
    if (reply.kind == Reply::Kind::Refused) ask_.step = asked;
    return reply;
  }
  if (!word) return not_understood(line);
  return obey(*word, first, rest);
}

Reply Session::obey(PromptWord word, std::string_view first, std::string_view rest) {
  const bool takes_more = word == Word::Skip || word == Word::Note || word == Word::Range ||
                          word == Word::Meter || word == Word::Go || word == Word::Picture ||
                          word == Word::Heard || word == Word::Repaired || word == Word::Help;
  if (!takes_more && !rest.empty())
    return refused(fmt::format("'{}' stands alone; what is '{}'?", first, rest));
  Reply reply;
  switch (word) {
    case Word::Why:
      return answered(Reply::Kind::Explain);
    case Word::Undo:
      return undo();
    case Word::Skip:
      return skip(rest);
    case Word::Again:
      return again();
    case Word::Note:
      return note(rest);
    case Word::Range:
      return set_range(rest);
    case Word::Meter:
      if (rest.empty()) return refused("which meter?", "name its file: 'meter auto-4000.yaml'");
      reply.kind = Reply::Kind::Meter;
      reply.word = rest;
      return reply;
    case Word::Go:
      return go(rest);
    case Word::More:
      more_ = true;
      begun_ = true;
      choose();
      more_ = false;
      return answered(Reply::Kind::Moved);
    case Word::List:
      return answered(Reply::Kind::List);
    case Word::Picture:
      reply.kind = Reply::Kind::Picture;
      reply.word = rest;
      return reply;
    case Word::Suspects:
      return answered(Reply::Kind::Suspects);
    case Word::Heard:
      return hear(rest);
    case Word::Repaired:
      return repaired(rest);
    case Word::Help:
      return answered(Reply::Kind::Help);
    case Word::Stop:
      return answered(Reply::Kind::Stopped);
    case Word::Done:
      return finish_preparation();
  }
  return reply;
}

Reply Session::again() {
  for (std::size_t i = record_.deeds.size(); i-- > 0;) {
    if (!record_.deeds[i].weighed()) continue;
    doubted_ = i;
    goal_.reset();
    begun_ = true;
    choose();
    return answered(Reply::Kind::Moved);
  }
  return refused("there is no reading yet to take again");
}

Reply Session::go(std::string_view typed) {
  const int last = plan_.steps.empty() ? 0 : plan_.steps.back().number;
  begun_ = true;
  if (typed.empty()) {
    const Step* const next = next_open();
    if (!next)
      return refused("every step of the plan was taken or skipped", fmt::format("'go 1' to 'go {}'", last));
    goal_ = next->number;
  } else {
    const Parsed<double> number = parse_number(typed);
    const int step =
        number.value && *number.value >= 1 && *number.value <= last ? static_cast<int>(*number.value) : 0;
    if (step == 0 || step != *number.value)
      return refused(fmt::format("the plan has no step '{}'", typed),
                     fmt::format("its steps are 1 to {}", last));
    goal_ = step;
  }
  doubted_.reset();
  choose();
  return answered(Reply::Kind::Moved);
}

}  // namespace lugwise
