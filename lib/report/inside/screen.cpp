#include "report/inside/screen.h"

#include <fmt/format.h>

#include <algorithm>

#include "report/inside/suspect.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

// Columns of a label, so that what it labels stands in one line of text below the other.
constexpr std::size_t kLabel = 10;
constexpr std::size_t kShare = 15;

}  // namespace

void Screen::line(std::string_view text) { text_ += page::wrapped("", text, 0, appearance_.columns); }

void Screen::row(std::string_view text) {
  text_ += text;
  text_ += '\n';
}

void Screen::labelled(std::string_view label, std::string_view text) {
  text_ += page::wrapped(fmt::format("  {:<8}", label), text, kLabel, appearance_.columns);
}

void Screen::shared(double share, std::string_view text) {
  text_ += page::wrapped(fmt::format("  {:>11}  ", percent(share)), text, kShare, appearance_.columns);
}

void Screen::headed(std::string_view head, Shade shade, std::string_view text) {
  std::string lines = page::wrapped(head, text, kLabel, appearance_.columns);
  if (appearance_.colour) {
    const char* const code = shade == Shade::Good ? "32" : shade == Shade::Bad ? "1;31" : "1";
    lines = fmt::format("\x1b[{}m{}\x1b[0m{}", code, head, lines.substr(head.size()));
  }
  text_ += lines;
}

void add_suspects(Screen& screen, const Session& session, std::size_t most, Suspected which) {
  const Diagnosis& diagnosis = session.diagnosis();
  std::size_t shown = 0;
  for (const Suspect& suspect : diagnosis.suspects) {
    if (which == Suspected::FirstGroup && suspect.group != 1) break;
    if (shown++ == most) break;
    screen.shared(suspect.probability, with_sizes(session.harness(), suspect));
  }
  shown = std::min(shown, most);
  if (shown < diagnosis.suspects.size()) {
    screen.labelled("", fmt::format("and {} more; 'suspects' shows them", diagnosis.suspects.size() - shown));
  }
  if (!diagnosis.suspects.empty() || session.trouble()) screen.shared(diagnosis.sound, "nothing is wrong");
}

}  // namespace inside
}  // namespace lugwise::report
