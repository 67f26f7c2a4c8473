#include "entry.h"

#include <fmt/format.h>

#include "command.h"
#include "completion.h"
#include "option.h"
#include "study/study.h"

namespace lugwise::app::syntax {

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
                         lifted("a lead or wire end that is off; may be given again")} +
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
  return command(
      "plan", "Which probes prove the harness, in which order: the checklist.", plan_command,
      Options{harness(),
              stage(),
              depth(),
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
          conditions("the netlist's") + Options{workshop()} +
          form_or(html_in_two_forms("long", "answer as a sheet; --html=long with a picture a step")),
      {"lugwise plan fernhollow-2.yaml --depth outside",
       "lugwise plan fernhollow-4.yaml --stage bench --meter meters/manual-2000.yaml",
       "lugwise plan fernhollow-2.yaml --html -o sheet.html"},
      {"checklist", "steps", "probes"});
}

Command diagnose() {
  return command(
      "diagnose", "What readings taken from a harness say is wrong with it.", diagnose_command,
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
          form_or(html_in_two_forms("page", "answer as a report; --html=page on one sheet, to sign")),
      {"lugwise diagnose fernhollow-2.yaml jobs/fernhollow-2-silent-front.yaml",
       "lugwise diagnose fernhollow-2.yaml --heard 'front silent with selector front'",
       "lugwise diagnose fernhollow-7.yaml jobs/fernhollow-7-worn-volume.yaml --html"},
      {"find", "solve", "suspects"});
}

Command guide() {
  Option netlist = harness();
  netlist.what = "netlist file; with --resume the record names it";
  netlist.required = false;
  Option record = output("the record; else HARNESS.readings.yaml");
  record.use = Use::None;  // it is begun with care of its own
  return command("guide", "One probe at a time, typed as it is read: a session at the bench.", guide_command,
                 Options{netlist,
                         stage(),
                         depth(),
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
              seed("another one draws other harnesses"),
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
                         lifted("of that reading: a lead or wire end that is off"),
                         {.name = "--slips",
                          .value = "SHARE",
                          .what = "of readings that are wrong, such as 2%",
                          .group = Group::How,
                          .into = &CommandLine::slips},
                         seed("another one draws other instruments")} +
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

}  // namespace lugwise::app::syntax
