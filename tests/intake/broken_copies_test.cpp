// Cut off anywhere, or with any one character lost, doubled or changed, the worked files still get an answer: a harness
// that holds together, or errors whose places are in the text.

#include <string>

#include "intake/instrument.h"
#include "intake/readings.h"
#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

// Whether every problem has a message, and a place in the text or none.
bool in_place(const Diagnostics& diagnostics, const std::string& text) {
  const SourceText source(text);
  for (const Diagnostic& one : diagnostics.list()) {
    if (one.message.empty() || one.code.size() != 4) return false;
    if (!one.at.known()) continue;
    if (one.at.line > source.lines() || one.at.column == 0 ||
        one.at.column > source.line(one.at.line).size() + 1)
      return false;
    if (render(one, source).empty()) return false;
  }
  return true;
}

void netlist_answers(const std::string& text) {
  Diagnostics diagnostics("broken.yaml");
  const auto netlist = read_netlist(text, diagnostics);
  const bool answered = netlist.has_value() != diagnostics.failed() && in_place(diagnostics, text);
  if (!answered) FAIL("no answer to:\n" << text);
  if (netlist) test::check_invariants(netlist->harness);
}

void sheet_answers(const std::string& text, const Netlist& netlist) {
  Diagnostics diagnostics("broken.yaml");
  const auto sheet = read_sheet(text, netlist, diagnostics);
  const bool answered = sheet.has_value() != diagnostics.failed() && in_place(diagnostics, text);
  if (!answered) FAIL("no answer to:\n" << text);
}

template <class Answers>
void break_everywhere(const std::string& text, std::size_t stride, Answers answers) {
  constexpr std::string_view kMarks = "[]{}:,-#&*!|>'\"%@` \n\t0.k\\\x80";
  for (std::size_t i = 0; i < text.size(); i += stride) {
    answers(text.substr(0, i));
    std::string lost = text;
    lost.erase(i, 1);
    answers(lost);
    std::string changed = text;
    changed[i] = kMarks[i / stride % kMarks.size()];
    answers(changed);
    std::string longer = text;
    longer.insert(i, 1, kMarks[(i / stride + 7) % kMarks.size()]);
    answers(longer);
  }
}

// Each line dropped, doubled, moved one up, and indented by two more.
template <class Answers>
void shuffle_lines(const std::string& text, Answers answers) {
  std::vector<std::string> lines;
  for (std::size_t start = 0; start < text.size();) {
    const std::size_t end = std::min(text.find('\n', start), text.size() - 1);
    lines.push_back(text.substr(start, end - start + 1));
    start = end + 1;
  }
  const auto joined = [](const std::vector<std::string>& some) {
    std::string all;
    for (const std::string& line : some) all += line;
    return all;
  };
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const auto at = static_cast<std::ptrdiff_t>(i);
    auto fewer = lines;
    fewer.erase(fewer.begin() + at);
    answers(joined(fewer));
    auto more = lines;
    more.insert(more.begin() + at, lines[i]);
    answers(joined(more));
    auto deeper = lines;
    deeper[i] = "  " + deeper[i];
    answers(joined(deeper));
    if (i == 0) continue;
    auto swapped = lines;
    std::swap(swapped[i], swapped[i - 1]);
    answers(joined(swapped));
  }
}

TEST_CASE("no injury to a netlist goes unanswered", "[intake]") {
  for (const char* file : {"harnesses/fernhollow-13.yaml", "harnesses/fernhollow-17.yaml"}) {
    const std::string text = test::file_text(file);
    break_everywhere(text, 3, netlist_answers);
    shuffle_lines(text, netlist_answers);
  }
}

TEST_CASE("lines in the wrong place of any worked harness are answered", "[intake]") {
  for (int i = 1; i <= 17; ++i)
    shuffle_lines(test::file_text("harnesses/fernhollow-" + std::to_string(i) + ".yaml"), netlist_answers);
}

TEST_CASE("no injury to a readings file goes unanswered", "[intake]") {
  const Netlist netlist = test::netlist_of("harnesses/fernhollow-3.yaml");
  const std::string text = test::file_text("harnesses/jobs/fernhollow-3-weak-rear.yaml");
  const auto answers = [&](const std::string& broken) { sheet_answers(broken, netlist); };
  break_everywhere(text, 2, answers);
  shuffle_lines(text, answers);
}

TEST_CASE("no injury to a meter file goes unanswered", "[intake]") {
  const std::string text = test::file_text("harnesses/meters/auto-4000.yaml");
  break_everywhere(text, 1, [](const std::string& broken) {
    Diagnostics diagnostics("broken.yaml");
    const auto meter = read_meter(broken, diagnostics);
    const bool answered = meter.has_value() != diagnostics.failed() && in_place(diagnostics, broken);
    if (!answered) FAIL("no answer to:\n" << broken);
    if (meter && meter->ranges.empty()) FAIL("no ranges in:\n" << broken);
  });
}

}  // namespace
}  // namespace lugwise
