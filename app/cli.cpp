#include "cli.h"

#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <ostream>
#include <sstream>

#include "allowance.h"
#include "command.h"
#include "completion.h"
#include "exit_code.h"
#include "failure.h"
#include "file.h"
#include "help.h"
#include "manual.h"
#include "misuse.h"
#include "output.h"
#include "page/text.h"
#include "parser.h"
#include "syntax.h"
#include "text/safe.h"

namespace lugwise::app {
namespace {

constexpr const char* kProgram = "lugwise " LUGWISE_VERSION;

ExitCode fail(ExitCode code, const Heading& heading, std::size_t noticed, const Texts& texts,
              const std::vector<Diagnostic>& errors, bool json, std::ostream& out, std::ostream& err) {
  if (json) {
    out << errors_as_json(heading, errors);
    return code;
  }
  // What is odd about the drawing is no part of what is wrong.
  std::vector<Diagnostic> all = errors;
  all.insert(all.end(), heading.warnings.begin(),
             heading.warnings.end() - static_cast<std::ptrdiff_t>(noticed));
  err << problems_as_text(all, texts);
  return code;
}

void tell_misuse(const std::string& message, const std::vector<const Command*>& chain, std::ostream& err) {
  std::istringstream lines(text::in_lines(message));
  std::string said = "lugwise: ";
  for (std::string line; std::getline(lines, line); said.clear()) {
    const std::size_t indent = said.empty() ? line.find_first_not_of(' ') : std::string::npos;
    const std::string lead = indent == std::string::npos ? said : line.substr(0, indent);
    err << page::wrapped(lead, line.substr(indent == std::string::npos ? 0 : indent), 2);
  }
  err << page::wrapped("usage: ", usage_of(chain), 7) << fmt::format("help: {} --help\n", full_name(chain));
}

ExitCode answer(const std::vector<std::string>& typed, std::ostream& out, std::ostream& err,
                std::size_t columns, bool watched, Allowance* allowance) {
  // Scripts ask this at every tab, about command lines that are not finished.
  if (typed.size() >= 2 && typed[0] == "completion" && (typed[1] == "words" || typed[1] == "line")) {
    out << offered(program(), {typed.begin() + 2, typed.end()}, typed[1] == "line");
    return ExitCode::Well;
  }
  std::vector<std::string> args = typed;
  // Asked as a command, help is that of the command named after it.
  if (!args.empty() && args[0] == "help") {
    args.erase(args.begin());
    args.emplace_back("--help");
  }
  const Parse parsed = parse(program(), args);
  Heading heading;
  heading.program = kProgram;
  if (parsed.chain.size() > 1) heading.output = parsed.chain[1]->name;
  const bool json = std::find(args.begin(), args.end(), "--json") != args.end();
  Run run{parsed.line, heading, {},
          0,           out,     err,
          columns,     watched, what_to_leave_out(parsed.command(), parsed.line),
          allowance};
  const auto failed = [&](ExitCode code, const std::vector<Diagnostic>& errors) {
    return fail(code, run.heading, run.noticed, run.texts, errors, json, out, err);
  };
  const auto misused = [&](const std::string& message) {
    if (json) return failed(ExitCode::WrongUsage, bad_input("U200", message).errors);
    tell_misuse(message, parsed.chain, err);
    return ExitCode::WrongUsage;
  };
  try {
    switch (parsed.end) {
      case Parse::End::Help:
        out << help_page(parsed.chain);
        return ExitCode::Well;
      case Parse::End::Version:
        out << kProgram << '\n';
        return ExitCode::Well;
      case Parse::End::Misused:
        return misused(explain(parsed, args));
      case Parse::End::Ready:
        break;
    }
    guard_outputs(parsed.command(), parsed.line);
    const ExitCode code = parsed.command().answer(run);
    tell_warnings(run);
    return code;
  } catch (const WrongUsage& usage) {
    return misused(usage.message);
  } catch (...) {
    const Failure failure = failure_of(std::current_exception(), run.heading, run.leave_out);
    return failed(failure.code, failure.errors);
  }
}

}  // namespace

BadInput bad_input(std::string code, std::string message, std::string file) {
  return {{{Severity::Error, std::move(code), std::move(message), std::move(file), {}, {}}}};
}

ExitCode manual_command(Run& run) {
  run.out << manual_page(program(), kProgram);
  return ExitCode::Well;
}

void tell_warnings(Run& run) {
  if (run.line.json || run.heading.output == "check") return;
  std::vector<Diagnostic> about_file = std::move(run.heading.warnings);
  run.heading.warnings.clear();
  about_file.resize(about_file.size() - run.noticed);
  run.err << problems_as_text(about_file, run.texts);
  if (run.noticed > 0) {
    run.err << fmt::format("lugwise: {} on the drawing; see: lugwise check {}\n",
                           run.noticed == 1 ? "1 warning" : fmt::format("{} warnings", run.noticed),
                           text::in_shell(run.heading.harness_file));
  }
  run.noticed = 0;
}

void give(Run& run, const std::string& answer) {
  const std::string& file = run.line.output;
  if (file.empty()) {
    run.out << answer;
    return;
  }
  write_output(run, "--output", file, answer);
}

int run(const std::vector<std::string>& args, std::ostream& out, std::ostream& err, std::size_t columns,
        bool watched, Allowance* allowance) {
  try {
    return static_cast<int>(answer(args, out, err, columns, watched, allowance));
  } catch (...) {
    err << "lugwise: failed while telling of a failure\n";
    return static_cast<int>(ExitCode::OurFailure);
  }
}

}  // namespace lugwise::app
