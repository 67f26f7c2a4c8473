#include "option.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <utility>

namespace lugwise::app::syntax {

namespace {

// Columns that a text may be set in.
constexpr std::size_t kNarrowest = 40;
constexpr std::size_t kWidest = 1000;

// A value that the netlist names, for this one run.
Option named_value() {
  return {.name = "--value",
          .value = "NAME=VALUE",
          .what = "another value for a name under 'values'; may be given again",
          .group = Group::How,
          .into = &CommandLine::values,
          .repeats = true,
          .like = {"values", "variant"}};
}

Option width() {
  return {.name = "--width",
          .value = "COLUMNS",
          .what = "of the text; else the terminal's, else 80",
          .group = Group::Output,
          .into = &CommandLine::width,
          .from = kNarrowest,
          .to = kWidest,
          .one_of = "form",
          .like = {"columns"}};
}

Option markdown() {
  return {.name = "--markdown",
          .what = "answer in Markdown",
          .group = Group::Output,
          .into = &CommandLine::markdown,
          .one_of = "form"};
}

Option html() {
  return {.name = "--html",
          .what = "answer as one page, to print or to fill in",
          .group = Group::Output,
          .into = &CommandLine::html,
          .one_of = "form",
          .like = {"page", "web", "print"}};
}

}  // namespace

Options operator+(Options a, Options b) {
  a.insert(a.end(), std::make_move_iterator(b.begin()), std::make_move_iterator(b.end()));
  return a;
}

Option help() { return {.name = "-h,--help", .what = "show this page", .group = Group::Output}; }

Command command(std::string name, std::string purpose, ExitCode (*answer)(Run&), Options options,
                std::vector<std::string> examples, std::vector<std::string> like) {
  Options all{help(),
              {.name = "--json",
               .what = "answer in JSON, errors too",
               .group = Group::Output,
               .into = &CommandLine::json,
               .one_of = "form"}};
  const bool netlist = std::any_of(options.begin(), options.end(),
                                   [](const Option& option) { return option.name == "HARNESS"; });
  if (netlist) options.push_back(named_value());
  return {.name = std::move(name),
          .purpose = std::move(purpose),
          .sections = {{"examples", std::move(examples)}},
          .options = std::move(all) + std::move(options),
          .answer = answer,
          .like = std::move(like)};
}

Command commands(std::string name, std::string purpose, std::vector<Command> within,
                 std::vector<std::string> examples, std::vector<std::string> like) {
  Command several =
      command(std::move(name), std::move(purpose), nullptr, {}, std::move(examples), std::move(like));
  several.within = std::move(within);
  return several;
}

Option harness() {
  return {.name = "HARNESS",
          .what = "netlist file",
          .into = &CommandLine::harness,
          .required = true,
          .offer = Offer::Files,
          .use = Use::Read};
}

Option stage() {
  return {.name = "--stage",
          .value = "STAGE",
          .what = "a stage of the netlist: parts not there yet",
          .into = &CommandLine::stage,
          .offer = Offer::Stages};
}

Option thorough() {
  return {.name = "--thorough",
          .what = "cold joints, wrong values, misplaced leads too",
          .into = &CommandLine::thorough,
          .one_of = "aim",
          .like = {"deep", "all", "complete", "careful", "slow", "long"}};
}

Option quick() {
  return {.name = "--quick",
          .what = "most of it, in much less time",
          .into = &CommandLine::quick,
          .one_of = "aim",
          .like = {"fast", "short", "brief", "rapid"}};
}

Option depth() {
  return {.name = "--depth",
          .value = "DEPTH",
          .what = "how far to open it: outside or full",
          .into = &CommandLine::depth,
          .choices = {"outside", "full"}};
}

Option meter(std::string_view elsewhere) {
  return {.name = "--meter",
          .value = "FILE",
          .what = fmt::format("a meter's file; else {}, else assumed", elsewhere),
          .group = Group::How,
          .into = &CommandLine::meter,
          .offer = Offer::Files,
          .use = Use::Read};
}

Option temperature(std::string what) {
  return {.name = "--temperature",
          .value = "CELSIUS",
          .what = std::move(what),
          .group = Group::How,
          .into = &CommandLine::temperature,
          .like = {"celsius", "warmth", "degrees"}};
}

Options conditions(std::string_view elsewhere) {
  return {meter(elsewhere), temperature(fmt::format("of the coils; else {}, else not known", elsewhere))};
}

Option workshop() {
  return {.name = "--workshop",
          .value = "FILE",
          .what = "a workshop's seconds and weights; else the usual",
          .group = Group::How,
          .into = &CommandLine::workshop,
          .offer = Offer::Files,
          .use = Use::Read};
}

Option setting(std::string what) {
  return {.name = "--set",
          .value = "CONTROL=PLACE",
          .what = std::move(what),
          .group = Group::How,
          .into = &CommandLine::set,
          .repeats = true,
          .offer = Offer::Settings,
          .like = {"setting", "control", "position"}};
}

Option seed(std::string what) {
  return {.name = "--seed",
          .value = "NUMBER",
          .what = std::move(what),
          .group = Group::How,
          .into = &CommandLine::seed,
          .like = {"random"}};
}

Option fault(std::string what) {
  return {.name = "--fault",
          .value = "WORDS",
          .what = std::move(what),
          .into = &CommandLine::fault,
          .repeats = true,
          .offer = Offer::Faults,
          .like = {"broken", "defect"}};
}

Option lifted(std::string what) {
  return {.name = "--lifted",
          .value = "POINT",
          .what = std::move(what),
          .group = Group::How,
          .into = &CommandLine::lifted,
          .repeats = true,
          .offer = Offer::Points,
          .like = {"off", "without", "disconnected", "removed"}};
}

Option by(std::string what) {
  return {.name = "--by", .value = "NAME", .what = std::move(what), .into = &CommandLine::by};
}

Option output(std::string what) {
  return {.name = "-o,--output",
          .value = "FILE",
          .what = std::move(what),
          .group = Group::Output,
          .into = &CommandLine::output,
          .offer = Offer::Files,
          .use = Use::Written,
          .like = {"out", "save", "file"}};
}

Option html_in_two_forms(std::string other, std::string what) {
  Option option = html();
  option.what = std::move(what);
  option.choices = {std::move(other)};
  option.form = &CommandLine::html_form;
  return option;
}

Options form() { return {markdown(), width(), output("write the answer there")}; }

Options form_or(Option page) {
  return {markdown(), std::move(page), width(), output("write the answer there")};
}

Options form_or_page() { return form_or(html()); }

}  // namespace lugwise::app::syntax
