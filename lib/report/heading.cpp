#include "report/heading.h"

#include <algorithm>
#include <stdexcept>
#include <string_view>

#include <fmt/format.h>

#include "page/text.h"
#include "report/inside/json.h"
#include "report/inside/words.h"
#include "source/headline.h"
#include "source/source_text.h"

namespace lugwise {

namespace {

// The first line and what is quoted from the file stay as they are, for programs that read them; notes are gone on with
// below each other.
std::string told(const Diagnostic& problem, const SourceText& source) {
  std::string text = headline(problem) + '\n' + excerpt(problem, source);
  for (const Note& note : problem.notes) text += page::wrapped("  ", in_words(note), 2);
  return text;
}

}  // namespace

void require_meter(const Heading& heading) {
  if (!heading.meter) throw std::logic_error("a report of readings without the meter they are judged for");
}

std::string problems_as_text(const std::vector<Diagnostic>& problems, const Texts& texts) {
  std::map<std::string, SourceText> sources;
  for (const auto& [file, source] : texts) sources.emplace(file, SourceText(source));
  const SourceText nothing{std::string_view()};
  std::string text;
  for (std::size_t i = 0; i < problems.size() && i < report::kMostSaid; ++i) {
    const Diagnostic& problem = problems[i];
    if (!text.empty()) text += '\n';
    const auto found = sources.find(problem.file);
    text += told(problem, found == sources.end() ? nothing : found->second);
  }
  if (problems.size() > report::kMostSaid)
    text += fmt::format("\nand {} more\n", problems.size() - report::kMostSaid);
  return text;
}

std::string errors_as_json(const Heading& heading, const std::vector<Diagnostic>& errors) {
  report::Json json = report::json_of(heading);
  const std::size_t told = std::min(errors.size(), report::kMostSaid);
  json["errors"] =
      report::json_of(std::vector(errors.begin(), errors.begin() + static_cast<std::ptrdiff_t>(told)));
  if (errors.size() > told) json["more"] = errors.size() - told;
  return report::written(json);
}

std::string check_as_text(const Heading& heading, const Texts& texts) {
  if (heading.warnings.empty()) return heading.harness_file + ": nothing noticed\n";
  return problems_as_text(heading.warnings, texts) +
         fmt::format("\n{}: {}\n", heading.harness_file, report::counted(heading.warnings.size(), "warning"));
}

std::string check_as_json(const Heading& heading) { return report::written(report::json_of(heading)); }

}  // namespace lugwise
