#include "report/heading.h"

#include <fmt/format.h>

#include "report/inside/json.h"
#include "report/inside/words.h"
#include "source/source_text.h"

namespace lugwise {

std::string problems_as_text(const std::vector<Diagnostic>& problems, const Texts& texts) {
  std::map<std::string, SourceText> sources;
  for (const auto& [file, source] : texts) sources.emplace(file, SourceText(source));
  const SourceText nothing{std::string_view()};
  std::string text;
  for (const Diagnostic& problem : problems) {
    if (!text.empty()) text += '\n';
    const auto found = sources.find(problem.file);
    text += render(problem, found == sources.end() ? nothing : found->second);
  }
  return text;
}

std::string errors_as_json(const Heading& heading, const std::vector<Diagnostic>& errors) {
  report::Json json = report::json_of(heading);
  json["errors"] = report::json_of(errors);
  return report::written(json);
}

std::string check_as_text(const Heading& heading, const Texts& texts) {
  if (heading.warnings.empty()) return heading.harness_file + ": nothing noticed\n";
  return problems_as_text(heading.warnings, texts) +
         fmt::format("\n{}: {}\n", heading.harness_file, report::counted(heading.warnings.size(), "warning"));
}

std::string check_as_json(const Heading& heading) { return report::written(report::json_of(heading)); }

}  // namespace lugwise
