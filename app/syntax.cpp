#include "syntax.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "command.h"
#include "completion.h"
#include "study/study.h"

namespace lugwise::app {
namespace {

// Columns that a text may be set in.
constexpr std::size_t kNarrowest = 40;
constexpr std::size_t kWidest = 1000;

using Options = std::vector<Option>;

Options operator+(Options a, Options b) {
  a.insert(a.end(), std::make_move_iterator(b.begin()), std::make_move_iterator(b.end()));
  return a;
}

Option help() { return {.name = "-h,--help", .what = "show this page", .group = Group::Output}; }

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

// What every command has, and its own.
Command command(std::string name, std::string purpose, ExitCode (*answer)(Run&), Options options,
                std::vector<std::string> examples, std::vector<std::string> like = {}) {
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

// A command of several kinds.
Command commands(std::string name, std::string purpose, std::vector<Command> within,
                 std::vector<std::string> examples, std::vector<std::string> like = {}) {
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

Option depth(std::string what) {
  return {.name = "--depth",
          .value = "DEPTH",
          .what = std::move(what),
          .into = &CommandLine::depth,
          .choices = {"outside", "full"}};
}

// Both may be said elsewhere too: the first that says it is believed.
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

Option html_in_two_forms(std::string other, std::string what) {
  Option option = html();
  option.what = std::move(what);
  option.choices = {std::move(other)};
  option.form = &CommandLine::html_form;
  return option;
}

Option sheet() { return html_in_two_forms("long", "answer as a sheet; --html=long with a picture a step"); }
Option report() { return html_in_two_forms("page", "answer as a report; --html=page on one sheet, to sign"); }

// How the answer is set, and where it goes.
Options form() { return {markdown(), width(), output("write the answer there")}; }
Options form_or(Option page) {
  return {markdown(), std::move(page), width(), output("write the answer there")};
}
Options form_or_page() { return form_or(html()); }

Command check() {
  return command("check", "What a technician notices on the drawing, before any probe.", check_command,
                 {harness(),
                  {.name = "--strict",
                   .what = "a warning exits with 1",
                   .into = &CommandLine::strict,
                   .like = {"warnings", "werror"}}},
                 {"lugwise check fernhollow-2.yaml", "lugwise check --strict --json fernhollow-2.yaml"},
                 {"lint", "validate", "verify"});
}

Command expect() {
  return command("expect", "What a meter should show between two points, and why.", expect_command,
                 Options{harness(),
                         {.name = "POINT",
                          .what = "where one probe goes, such as jack.tip",
                          .into = &CommandLine::a,
                          .required = true,
                          .offer = Offer::Points},
                         {.name = "OTHER",
                          .what = "where the other probe goes",
                          .into = &CommandLine::b,
                          .required = true,
                          .offer = Offer::Points},
                         stage(),
                         setting("a knob, switch or plug; may be given again"),
                         {.name = "--lifted",
                          .value = "POINT",
                          .what = "a lead or wire end that is off; may be given again",
                          .group = Group::How,
                          .into = &CommandLine::lifted,
                          .repeats = true,
                          .offer = Offer::Points,
                          .like = {"off", "without", "disconnected", "removed"}}} +
                     conditions("the netlist's") +
                     Options{{.name = "--reads",
                              .value = "VALUE",
                              .what = "what the meter showed there: does it agree?",
                              .group = Group::How,
                              .into = &CommandLine::reads,
                              .like = {"shows", "measured"}},
                             {.name = "--range",
                              .value = "RANGE",
                              .what = "the range it is on; else the one that fits",
                              .group = Group::How,
                              .into = &CommandLine::range,
                              .offer = Offer::Ranges}} +
                     form(),
                 {"lugwise expect fernhollow-2.yaml jack.plug-tip jack.plug-sleeve --set tone=0",
                  "lugwise expect fernhollow-2.yaml volume.1 volume.3 --lifted 'volume.3>tone.1'",
                  "lugwise expect fernhollow-2.yaml front.hot front.ground --reads 6.05k"},
                 {"measure", "reading", "resistance", "ohms"});
}

Command faults() {
  return command("faults", "All that can be wrong, what it reads and what the player hears.", faults_command,
                 Options{harness(),
                         stage(),
                         {.name = "--at",
                          .value = "PLACE",
                          .what = "only faults at this point or part",
                          .into = &CommandLine::at,
                          .offer = Offer::Places},
                         setting("read and listen there only; may be given again")} +
                     conditions("the netlist's") + Options{workshop()} + form(),
                 {"lugwise faults fernhollow-2.yaml --at volume.case",
                  "lugwise faults fernhollow-2.yaml --stage bench --json"},
                 {"failures", "symptoms", "defects"});
}

Command plan() {
  return command("plan", "Which probes prove the harness, in which order: the checklist.", plan_command,
                 Options{harness(),
                         stage(),
                         depth("how far to open it: outside or full"),
                         thorough(),
                         quick(),
                         {.name = "--allow-lift",
                          .what = "take a lead off for what else stays unseen",
                          .into = &CommandLine::lift,
                          .like = {"lift", "desolder", "unsolder"}},
                         {.name = "--walk",
                          .value = "ground",
                          .what = "the ground walk too, one probe parked",
                          .into = &CommandLine::walk,
                          .choices = {"ground"}},
                         {.name = "--after",
                          .value = "PLACE",
                          .what = "a repair: what it may have disturbed",
                          .into = &CommandLine::after,
                          .offer = Offer::Places,
                          .like = {"repair", "repaired"}}} +
                     conditions("the netlist's") + Options{workshop()} + form_or(sheet()),
                 {"lugwise plan fernhollow-2.yaml --depth outside",
                  "lugwise plan fernhollow-4.yaml --stage bench --meter meters/manual-2000.yaml",
                  "lugwise plan fernhollow-2.yaml --html -o sheet.html"},
                 {"checklist", "steps", "probes"});
}

Command diagnose() {
  return command("diagnose", "What readings taken from a harness say is wrong with it.", diagnose_command,
                 Options{harness(),
                         {.name = "READINGS",
                          .what = "readings file; without one, nothing is measured yet",
                          .into = &CommandLine::readings,
                          .offer = Offer::Files,
                          .use = Use::Read},
                         {.name = "--heard",
                          .value = "COMPLAINT",
                          .what = "'front silent with selector front'; may be given again",
                          .into = &CommandLine::heard,
                          .repeats = true,
                          .like = {"complaint", "symptom", "sounds", "hear"}}} +
                     conditions("the readings', else the netlist's") + Options{workshop()} +
                     form_or(report()),
                 {"lugwise diagnose fernhollow-2.yaml jobs/fernhollow-2-silent-front.yaml",
                  "lugwise diagnose fernhollow-2.yaml --heard 'front silent with selector front'",
                  "lugwise diagnose fernhollow-7.yaml jobs/fernhollow-7-worn-volume.yaml --html"},
                 {"find", "solve", "suspects"});
}

Command guide() {
  Option netlist = harness();
  netlist.what = "netlist file; with --resume the record names it";
  netlist.required = false;
  Option how_far = depth("how far to open it: outside or full");
  Option record = output("the record; else HARNESS.readings.yaml");
  record.use = Use::None;  // it is begun with care of its own
  return command("guide", "One probe at a time, typed as it is read: a session at the bench.", guide_command,
                 Options{netlist,
                         stage(),
                         how_far,
                         record,
                         {.name = "--resume",
                          .value = "FILE",
                          .what = "go on with this record",
                          .into = &CommandLine::resume,
                          .offer = Offer::Files,
                          .like = {"continue"}},
                         workshop()} +
                     conditions("the record's, else the netlist's"),
                 {"lugwise guide fernhollow-2.yaml --depth outside",
                  "lugwise guide --resume fernhollow-2.readings.yaml"},
                 {"session", "start", "resume"});
}

Command study() {
  std::vector<std::string> kinds;
  for (const Ills ills : kAllIlls) kinds.emplace_back(ills_name(ills));
  return command(
      "study", "How often the plan and the diagnosis are right, on simulated harnesses.", study_command,
      Options{harness(),
              stage(),
              {.name = "--cases",
               .value = "COUNT",
               .what = "how many are simulated",
               .into = &CommandLine::cases,
               .from = 1,
               .to = 10'000'000,
               .like = {"count", "number"}},
              {.name = "--faults",
               .value = "KIND",
               .what = fmt::format("{}", fmt::join(kinds, ", ")),
               .into = &CommandLine::faults,
               .choices = kinds},
              {.name = "--pairs", .what = "two faults at once", .into = &CommandLine::pairs},
              {.name = "--slips",
               .value = "SHARE",
               .what = "of readings that are wrong, such as 2%",
               .into = &CommandLine::slips},
              {.name = "--sheet", .what = "read the whole plan, diagnose once", .into = &CommandLine::sheet},
              {.name = "--seed",
               .value = "NUMBER",
               .what = "another one draws other harnesses",
               .group = Group::How,
               .into = &CommandLine::seed,
               .like = {"random"}},
              {.name = "--case",
               .value = "NUMBER",
               .what = "show this one in full",
               .group = Group::How,
               .into = &CommandLine::shown},
              {.name = "--jobs",
               .value = "COUNT",
               .what = "how many run at once; else as the machine has room",
               .group = Group::How,
               .into = &CommandLine::jobs,
               .from = 1,
               .to = 64,
               .like = {"threads"}},
              meter("the netlist's"),
              workshop()} +
          form() +
          Options{{.name = "--plot",
                   .value = "FILE",
                   .what = "write a plot as SVG",
                   .group = Group::Output,
                   .into = &CommandLine::plot,
                   .offer = Offer::Files,
                   .use = Use::Written}},
      {"lugwise study fernhollow-1.yaml --cases 1000 --faults high",
       "lugwise study fernhollow-1.yaml --slips 2% --plot study.svg",
       "lugwise study fernhollow-1.yaml --faults high --case 17"},
      {"statistics"});
}

Option seed() {
  return {.name = "--seed",
          .value = "NUMBER",
          .what = "another one draws other instruments",
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

Command simulate() {
  return command("simulate", "What the meter would show on one instrument: a readings file.",
                 simulate_command,
                 Options{harness(),
                         stage(),
                         fault("what is wrong, as `faults` says it, or its id; may be given again"),
                         {.name = "--size",
                          .value = "VALUE",
                          .what = "of the fault before it: ohms, or times its right value",
                          .into = &CommandLine::size,
                          .repeats = true},
                         {.name = "--plan",
                          .value = "AIM",
                          .what = "whose readings are taken: quick, usual or thorough",
                          .into = &CommandLine::plan,
                          .choices = {"quick", "usual", "thorough"},
                          .one_of = "readings"},
                         {.name = "--at",
                          .value = "POINT OTHER",
                          .what = "one reading, between these two points",
                          .into = &CommandLine::probes,
                          .least = 2,
                          .most = 2,
                          .offer = Offer::Points,
                          .one_of = "readings"},
                         setting("of that reading: a knob, switch or plug"),
                         {.name = "--lifted",
                          .value = "POINT",
                          .what = "of that reading: a lead or wire end that is off",
                          .group = Group::How,
                          .into = &CommandLine::lifted,
                          .repeats = true,
                          .offer = Offer::Points},
                         {.name = "--slips",
                          .value = "SHARE",
                          .what = "of readings that are wrong, such as 2%",
                          .group = Group::How,
                          .into = &CommandLine::slips},
                         seed()} +
                     conditions("the netlist's") + Options{workshop(), output("write the readings there")},
                 {"lugwise simulate fernhollow-2.yaml --seed 7 -o readings.yaml",
                  "lugwise simulate fernhollow-2.yaml --fault 'the track of volume is worn'",
                  "lugwise simulate fernhollow-2.yaml --at jack.plug-tip jack.plug-sleeve"},
                 {"fake", "generate", "random"});
}

Command match_pickups() {
  return command("match", "Which measured pickups go together, and how sure that is.", match_command,
                 Options{{.name = "FILE",
                          .what = "file of measured pickups",
                          .into = &CommandLine::pickups,
                          .required = true,
                          .offer = Offer::Files,
                          .use = Use::Read},
                         meter("the file's"),
                         temperature("of the coils; else the file's, else not known")} +
                     form_or_page(),
                 {"lugwise match pickups/lot.yaml", "lugwise match pickups/lot.yaml --html -o lot.html"},
                 {"pair", "sets", "select"});
}

Command exercise() {
  Option folder = output("folder of the exercises; the keys go beside it");
  folder.value = "FOLDER";
  folder.required = true;
  folder.offer = Offer::Folders;
  folder.use = Use::None;
  Command make = command(
      "make", "Simulated instruments with one right answer each, sheets and keys.", exercise_make_command,
      Options{harness(),
              stage(),
              {.name = "--level",
               .value = "LEVEL",
               .what = "1 an open or short, 2 any, 3 a complaint alone, 4 two",
               .into = &CommandLine::level,
               .from = 1,
               .to = 4},
              {.name = "--count",
               .value = "NUMBER",
               .what = "how many",
               .into = &CommandLine::count,
               .from = 1,
               .to = 999},
              fault("what all are about, as `faults` says it, or its id"),
              seed()} +
          conditions("the netlist's") + Options{workshop(), folder},
      {"lugwise exercise make fernhollow-2.yaml --level 1 --count 10 --seed 40117 -o week-1"});
  Option log = output("the log, gone on with if it is there; else beside the exercise");
  log.use = Use::Continued;
  Command work = command("work", "One exercise at the terminal: any probe, then the fault's name.",
                         exercise_work_command,
                         Options{{.name = "FILE",
                                  .what = "an exercise, such as week-1/03.yaml",
                                  .into = &CommandLine::exercise,
                                  .required = true,
                                  .offer = Offer::Files,
                                  .use = Use::Read},
                                 {.name = "--by",
                                  .value = "NAME",
                                  .what = "who works on it; goes into the log",
                                  .into = &CommandLine::by},
                                 std::move(log)},
                         {"lugwise exercise work week-1/03.yaml --by Ada"});
  Command mark = command("mark", "What answers are worth, probe by probe, and the class beside them.",
                         exercise_mark_command,
                         Options{{.name = "FILE",
                                  .what = "logs and answers from paper",
                                  .into = &CommandLine::answers,
                                  .required = true,
                                  .most = kMany,
                                  .offer = Offer::Files,
                                  .use = Use::Read},
                                 {.name = "--key",
                                  .value = "FOLDER",
                                  .what = "the keys, such as week-1-keys",
                                  .into = &CommandLine::keys,
                                  .required = true,
                                  .offer = Offer::Folders},
                                 {.name = "--rule",
                                  .value = "FILE",
                                  .what = "points for place, probes, hands and wrong claims",
                                  .into = &CommandLine::rule,
                                  .offer = Offer::Files,
                                  .use = Use::Read},
                                 {.name = "--csv",
                                  .what = "answer as a table for a spreadsheet",
                                  .group = Group::Output,
                                  .into = &CommandLine::csv,
                                  .one_of = "form"}} +
                             form_or_page(),
                         {"lugwise exercise mark week-1/*-Ada.yaml --key week-1-keys",
                          "lugwise exercise mark answers/*.yaml --key week-1-keys --csv -o class.csv"});
  return commands("exercise", "Exercises for a class: make them, work on them, mark them.",
                  {std::move(make), std::move(work), std::move(mark)},
                  {"lugwise exercise make fernhollow-2.yaml --level 2 --seed 40117 -o week-2",
                   "lugwise exercise work week-2/01.yaml --by Ada",
                   "lugwise exercise mark week-2/01-Ada.yaml --key week-2-keys"},
                  {"teach", "quiz", "test", "train"});
}

Option by() { return {.name = "--by", .value = "NAME", .what = "who measures", .into = &CommandLine::by}; }

Command batch() {
  const Option folder{.name = "FOLDER",
                      .what = "the batch",
                      .into = &CommandLine::folder,
                      .required = true,
                      .offer = Offer::Folders};
  Command begin = command("new", "Begins a batch: one harness made many times.", batch_new_command,
                          Options{harness(),
                                  stage(),
                                  depth("how far to open it: outside or full"),
                                  thorough(),
                                  quick(),
                                  {.name = "-o,--output",
                                   .value = "FOLDER",
                                   .what = "where its records are kept",
                                   .group = Group::Output,
                                   .into = &CommandLine::output,
                                   .required = true,
                                   .offer = Offer::Folders,
                                   .like = {"out", "folder"}},
                                  by(),
                                  {.name = "--instrument",
                                   .value = "TEXT",
                                   .what = "the meter at hand and its number",
                                   .into = &CommandLine::instrument},
                                  {.name = "--due",
                                   .value = "DAY",
                                   .what = "when its calibration is due",
                                   .into = &CommandLine::due}} +
                              conditions("the netlist's"),
                          {"lugwise batch new fernhollow-2.yaml -o batch-7 --meter meters/manual-2000.yaml"},
                          {"begin", "create"});
  Command take = command(
      "take", "Takes one unit of a batch: a session, or readings that are there.", batch_take_command,
      Options{folder,
              {.name = "SERIAL", .what = "which unit", .into = &CommandLine::serial, .required = true},
              {.name = "--readings",
               .value = "FILE",
               .what = "its readings file, to be copied",
               .into = &CommandLine::readings,
               .offer = Offer::Files,
               .use = Use::Read},
              by()},
      {"lugwise batch take batch-7 FH-0031", "lugwise batch take batch-7 FH-0032 --readings fh-0032.yaml"},
      {"add", "unit"});
  Command tell =
      command("report", "What a batch came to: yield, units, and which to look at again.",
              batch_report_command, Options{folder} + form_or_page(),
              {"lugwise batch report batch-7", "lugwise batch report batch-7 --html -o batch-7.html"},
              {"show", "summary"});
  return commands("batch", "Many of one harness: a record each, and which of them pass.",
                  {std::move(begin), std::move(take), std::move(tell)},
                  {"lugwise batch new fernhollow-2.yaml -o batch-7", "lugwise batch take batch-7 FH-0031",
                   "lugwise batch report batch-7"},
                  {"lot", "series"});
}

Option ohms(std::string what) {
  return {.name = "OHMS", .what = std::move(what), .into = &CommandLine::value, .required = true};
}

Command convert() {
  Command bands = command("bands", "What a resistor's colour bands say.", convert_bands_command,
                          Options{{.name = "COLOUR",
                                   .what = "the bands, 3 to 6, from the end they are nearest to",
                                   .into = &CommandLine::colours,
                                   .required = true,
                                   .most = kMany,
                                   .offer = Offer::Colours}} +
                              form(),
                          {"lugwise convert bands yellow violet orange gold",
                           "lugwise convert bands brown black black red brown --json"},
                          {"colours", "colors"});
  Command value = command(
      "value", "A resistor's value as bands, letters and nearest preferred values.", convert_value_command,
      Options{
          ohms("a value or letter code: 220, 4.7k, 4K7J"),
          {.name = "--tolerance", .value = "SHARE", .what = "such as 5%", .into = &CommandLine::tolerance}} +
          form(),
      {"lugwise convert value 47k --tolerance 5%", "lugwise convert value 4K7J"}, {"resistor", "letters"});
  Command coil =
      command("coil", "A coil's resistance as length of wire and turns: an estimate.", convert_coil_command,
              Options{ohms("what the meter shows, less its leads"),
                      {.name = "--gauge",
                       .value = "AWG",
                       .what = "of the wire, 0 to 56",
                       .into = &CommandLine::gauge,
                       .required = true},
                      {.name = "--turn",
                       .value = "LENGTH",
                       .what = "of the mean turn, such as '150 mm'",
                       .into = &CommandLine::turn,
                       .required = true},
                      {.name = "--diameters",
                       .value = "FAMILY",
                       .what = "of wire tables: nominal or formula",
                       .into = &CommandLine::diameters,
                       .choices = {"nominal", "formula"}},
                      temperature("of the coil (default 20)")} +
                  form(),
              {"lugwise convert coil 6.2k --gauge 42 --turn '150 mm'",
               "lugwise convert coil 6.43k --gauge 42 --turn 15cm --temperature 29"},
              {"turns", "winding"});
  Command warmth = command(
      "temperature", "A coil's resistance at one temperature as that at another.",
      convert_temperature_command,
      Options{ohms("what the meter shows, less its leads"),
              {.name = "--from",
               .value = "CELSIUS",
               .what = "where it has those ohms",
               .into = &CommandLine::from,
               .required = true},
              {.name = "--to",
               .value = "CELSIUS",
               .what = "where they are asked for",
               .into = &CommandLine::to}} +
          form(),
      {"lugwise convert temperature 6.43k --from 29", "lugwise convert temperature 6.2k --from 20 --to 35"},
      {"warmth", "celsius"});
  return commands(
      "convert", "One workshop number into another: bands, values, coils, warmth.",
      {std::move(bands), std::move(value), std::move(coil), std::move(warmth)},
      {"lugwise convert bands yellow violet orange gold", "lugwise convert temperature 6.43k --from 29"});
}

Command draw() {
  return command(
      "draw", "The harness as a picture, to look at or to print.", draw_command,
      Options{harness(),
              {.name = "NEW",
               .what = "the same after a change: what was added, moved, taken off",
               .into = &CommandLine::later,
               .offer = Offer::Files,
               .use = Use::Read},
              stage(),
              {.name = "--probes",
               .value = "POINT OTHER",
               .what = "two points: the probes, and the current's way",
               .into = &CommandLine::probes,
               .least = 2,
               .most = 2,
               .offer = Offer::Points},
              {.name = "--readings",
               .value = "FILE",
               .what = "a readings file: its suspects are marked",
               .into = &CommandLine::readings,
               .offer = Offer::Files,
               .use = Use::Read},
              {.name = "--small", .what = "only what lies around the probes", .into = &CommandLine::small},
              setting("a knob, switch or plug; may be given again"),
              {.name = "--ground",
               .value = "HOW",
               .what = "long ways to ground as wires, or by their symbol",
               .group = Group::How,
               .into = &CommandLine::ground,
               .choices = {"wire", "symbol"},
               .like = {"earth"}},
              {.name = "--format",
               .value = "KIND",
               .what = "svg, png or pdf; else by the ending of -o's file",
               .group = Group::Output,
               .into = &CommandLine::format,
               .choices = {"svg", "png", "pdf"},
               .like = {"type"}},
              output("where the picture goes; else to stdout")},
      {"lugwise draw fernhollow-2.yaml -o fernhollow-2.svg",
       "lugwise draw fernhollow-2.yaml -o tip.pdf --probes jack.plug-tip volume.3",
       "lugwise draw fernhollow-2.yaml changed.yaml -o change.svg",
       "lugwise draw fernhollow-2.yaml --readings jobs/fernhollow-2-silent-front.yaml"},
      {"picture", "svg", "diagram"});
}

Command completion() {
  return {.name = "completion",
          .purpose = "What a shell offers at the tab key: a script for it to read.",
          .sections = {{"examples", {"lugwise completion bash", "lugwise completion fish"}},
                       {"to use it in this shell",
                        {"source <(lugwise completion bash)", "source <(lugwise completion zsh)",
                         "lugwise completion fish | source"}}},
          .options = {help(),
                      {.name = "SHELL",
                       .what = fmt::format("one of {}", fmt::join(shells(), ", ")),
                       .into = &CommandLine::shell,
                       .required = true,
                       .choices = shells()}},
          .answer = completion_command};
}

// What is installed as lugwise(1); nobody needs it by hand.
Command manual() {
  return {.name = "manual",
          .purpose = "This program's page of the manual.",
          .options = {help()},
          .answer = manual_command,
          .hidden = true};
}

Command whole() {
  return {
      .name = "lugwise",
      .purpose = "What an ohmmeter should show in a guitar's wiring, and which joint is bad.",
      .sections = {{"examples",
                    {"lugwise plan fernhollow-2.yaml", "lugwise plan fernhollow-2.yaml --html -o sheet.html",
                     "lugwise diagnose fernhollow-2.yaml jobs/fernhollow-2-silent-front.yaml"}},
                   {"exit codes",
                    {"0 all well, 1 a fault was found or the answer is unsure, 2 wrong usage,",
                     "3 bad input, 4 a failure of lugwise itself"}}},
      .options = {help(), {.name = "--version", .what = "show the version", .group = Group::Output}},
      .within = {check(), expect(), faults(), plan(), diagnose(), guide(), batch(), study(), simulate(),
                 match_pickups(), exercise(), convert(), draw(), completion(), manual()}};
}

}  // namespace

const Command& program() {
  static const Command command = whole();
  return command;
}

std::string_view heading(Group group) {
  switch (group) {
    case Group::What:
      return "what to look at";
    case Group::How:
      return "how it is measured";
    case Group::Output:
      return "output";
  }
  return {};
}

std::vector<std::string> Option::names() const {
  std::vector<std::string> names;
  for (std::size_t begin = 0; begin < name.size();) {
    const std::size_t end = std::min(name.find(',', begin), name.size());
    names.push_back(name.substr(begin, end - begin));
    begin = end + 1;
  }
  return names;
}

std::string Option::longest_name() const { return names().back(); }

std::vector<std::string> Command::examples() const {
  for (const Section& section : sections) {
    if (section.heading == "examples") return section.lines;
  }
  return {};
}

std::vector<const Command*> Command::shown() const {
  std::vector<const Command*> shown;
  for (const Command& one : within) {
    if (!one.hidden) shown.push_back(&one);
  }
  return shown;
}

const Command* Command::find(std::string_view wanted) const {
  const auto found =
      std::find_if(within.begin(), within.end(), [&](const Command& one) { return one.name == wanted; });
  return found != within.end() ? &*found : nullptr;
}

const Option* Command::find_option(std::string_view wanted) const {
  for (const Option& option : options) {
    if (option.by_place()) continue;
    const std::vector<std::string> names = option.names();
    if (std::find(names.begin(), names.end(), wanted) != names.end()) return &option;
  }
  return nullptr;
}

std::vector<const Option*> Command::by_place() const {
  std::vector<const Option*> found;
  for (const Option& option : options) {
    if (option.by_place()) found.push_back(&option);
  }
  return found;
}

std::string default_of(const Option& option) {
  static const CommandLine untouched;
  if (option.required) return {};
  if (const auto* text = std::get_if<std::string CommandLine::*>(&option.into)) return untouched.*(*text);
  if (const auto* count = std::get_if<std::size_t CommandLine::*>(&option.into))
    return fmt::format("{}", untouched.*(*count));
  if (const auto* celsius = std::get_if<double CommandLine::*>(&option.into))
    return fmt::format("{:g}", untouched.*(*celsius));
  return {};
}

}  // namespace lugwise::app
