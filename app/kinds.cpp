// The commands of several kinds: of each kind an entry.
#include <fmt/format.h>

#include <utility>

#include "command.h"
#include "entry.h"
#include "handling/workload.h"
#include "option.h"

namespace lugwise::app::syntax {

namespace {

// Who knows it can make the keys: one that all know is no usual one.
Option secret_seed() {
  Option option = seed("makes the same again, keys too; else drawn, and in the keys");
  option.into = &CommandLine::secret_seed;
  return option;
}

Command exercise_make() {
  Option folder = output("folder of the exercises; the keys go beside it");
  folder.value = "FOLDER";
  folder.required = true;
  folder.offer = Offer::Folders;
  folder.use = Use::None;
  return command("make", "Simulated instruments with one right answer each, sheets and keys.",
                 exercise_make_command,
                 Options{harness(),
                         stage(),
                         {.name = "--level",
                          .value = "LEVEL",
                          .what = "1 an open or short, 2 any, 3 a complaint alone, 4 two",
                          .into = &CommandLine::level,
                          .from = 1,
                          .to = kLevels},
                         {.name = "--count",
                          .value = "NUMBER",
                          .what = "how many",
                          .into = &CommandLine::count,
                          .from = 1,
                          .to = 999},
                         fault("what all are about, as `faults` says it, or its id"),
                         secret_seed()} +
                     conditions("the netlist's") + Options{workshop(), folder},
                 {"lugwise exercise make fernhollow-2.yaml --level 1 --count 10 --seed 40117 -o week-1"});
}

Command exercise_work() {
  Option log = output("the log, gone on with if it is there; else beside the exercise");
  log.use = Use::Continued;
  return command("work", "One exercise at the terminal: any probe, then the fault's name.",
                 exercise_work_command,
                 Options{{.name = "FILE",
                          .what = "an exercise, such as week-1/03.yaml",
                          .into = &CommandLine::exercise,
                          .required = true,
                          .offer = Offer::Files,
                          .use = Use::Read},
                         by("who works on it; goes into the log"),
                         std::move(log)},
                 {"lugwise exercise work week-1/03.yaml --by Ada"});
}

Command exercise_mark() {
  return command("mark", "What answers are worth, probe by probe, and the class beside them.",
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
}

Option folder() {
  return {.name = "FOLDER",
          .what = "the batch",
          .into = &CommandLine::folder,
          .required = true,
          .offer = Offer::Folders};
}

Options instrument() {
  return {
      {.name = "--instrument",
       .value = "TEXT",
       .what = "the meter at hand and its number",
       .into = &CommandLine::instrument},
      {.name = "--due", .value = "DAY", .what = "when its calibration is due", .into = &CommandLine::due}};
}

Command batch_new() {
  return command("new", "Begins a batch: one harness made many times.", batch_new_command,
                 Options{harness(),
                         stage(),
                         depth(),
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
                         by("who measures")} +
                     instrument() + conditions("the netlist's"),
                 {"lugwise batch new fernhollow-2.yaml -o batch-7 --meter meters/manual-2000.yaml"},
                 {"begin", "create"});
}

Command batch_take() {
  return command(
      "take", "Takes one unit of a batch: a session, or readings that are there.", batch_take_command,
      Options{folder(),
              {.name = "SERIAL", .what = "which unit", .into = &CommandLine::serial, .required = true},
              {.name = "--readings",
               .value = "FILE",
               .what = "its readings file, to be copied",
               .into = &CommandLine::readings,
               .offer = Offer::Files,
               .use = Use::Read},
              by("who measures; else the batch's")} +
          instrument() + conditions("the readings', else the batch's"),
      {"lugwise batch take batch-7 FH-0031", "lugwise batch take batch-7 FH-0032 --readings fh-0032.yaml"},
      {"add", "unit"});
}

Command batch_report() {
  return command("report", "What a batch came to: yield, units, and which to look at again.",
                 batch_report_command, Options{folder()} + form_or_page(),
                 {"lugwise batch report batch-7", "lugwise batch report batch-7 --html -o batch-7.html"},
                 {"show", "summary"});
}

Option ohms(std::string what) {
  return {.name = "OHMS", .what = std::move(what), .into = &CommandLine::value, .required = true};
}

Command convert_bands() {
  return command("bands", "What a resistor's colour bands say.", convert_bands_command,
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
}

Command convert_value() {
  return command(
      "value", "A resistor's value as bands, letters and nearest preferred values.", convert_value_command,
      Options{
          ohms("a value or letter code: 220, 4.7k, 4K7J"),
          {.name = "--tolerance", .value = "SHARE", .what = "such as 5%", .into = &CommandLine::tolerance}} +
          form(),
      {"lugwise convert value 47k --tolerance 5%", "lugwise convert value 4K7J"}, {"resistor", "letters"});
}

Command convert_coil() {
  return command("coil", "A coil's resistance as length of wire and turns: an estimate.",
                 convert_coil_command,
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
}

Command convert_temperature() {
  return command(
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
}

}  // namespace

Command exercise() {
  return commands("exercise", "Exercises for a class: make them, work on them, mark them.",
                  {exercise_make(), exercise_work(), exercise_mark()},
                  {"lugwise exercise make fernhollow-2.yaml --level 2 --seed 40117 -o week-2",
                   "lugwise exercise work week-2/01.yaml --by Ada",
                   "lugwise exercise mark week-2/01-Ada.yaml --key week-2-keys"},
                  {"teach", "quiz", "test", "train"});
}

Command batch() {
  return commands("batch", "Many of one harness: a record each, and which of them pass.",
                  {batch_new(), batch_take(), batch_report()},
                  {"lugwise batch new fernhollow-2.yaml -o batch-7", "lugwise batch take batch-7 FH-0031",
                   "lugwise batch report batch-7"},
                  {"lot", "series"});
}

Command convert() {
  return commands(
      "convert", "One workshop number into another: bands, values, coils, warmth.",
      {convert_bands(), convert_value(), convert_coil(), convert_temperature()},
      {"lugwise convert bands yellow violet orange gold", "lugwise convert temperature 6.43k --from 29"});
}

}  // namespace lugwise::app::syntax
