// The commands, and what they share: the words of one command line and the run that answers it.
#pragma once

#include <cstddef>
#include <iosfwd>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "exit_code.h"
#include "report/heading.h"
#include "sheet/chosen_value.h"
#include "source/diagnostic.h"

namespace lugwise::app {

// One option as it was typed.
struct Given {
  std::string option;  // by its longest name, "--output"
  std::string value;   // empty for a switch
};

// What was typed; a command looks at its own words only. What a field holds here is the default of its option.
struct CommandLine {
  std::vector<std::string> command;  // "convert", "bands"
  std::vector<Given> given;          // in their order
  bool has(std::string_view option) const;

  bool json = false, markdown = false, html = false;  // one of them at most; none: text
  std::string html_form;                              // "long", or empty
  std::optional<std::size_t> width;                   // of that text, in columns
  std::string output;                                 // file; empty: stdout
  std::string harness;                                // file
  std::string readings;                               // file
  std::vector<std::string> heard;                     // complaints, a sentence each
  std::string a, b;                                   // points
  std::vector<std::string> probes;                    // none, or two points
  bool small = false;
  std::string format;               // of a picture: "svg", "png", "pdf"; empty: by the file's name
  std::string ground = "wire";      // how a picture shows ground: "wire", "symbol"
  std::string later;                // file: the harness as it was changed; empty: none
  std::vector<std::string> set;     // "control=place"
  std::vector<std::string> values;  // "name=value"
  std::vector<ChosenValue> chosen;  // values that a file of the run has for its netlist, beside the readings
  bool strict = false;              // of check: a warning is as bad as a fault
  std::vector<std::string> lifted;  // points
  std::string at;                   // a point or part that faults are asked of; empty: all
  std::string stage;                // empty: all parts are there
  std::string depth = "full";
  std::string resume;  // file: the record to go on with; empty: a new one
  bool thorough = false, quick = false, lift = false;
  std::string walk;      // "ground", or empty
  std::string after;     // where a repair was; empty: none
  std::string reads;     // what a display showed; empty: nothing was read
  std::string range;     // a range of the meter; empty: the one that fits
  std::string meter;     // file; empty: not named
  std::string workshop;  // file; empty: the usual seconds and weights
  std::optional<double> temperature;

  std::string shell;  // to write a script for

  std::size_t cases = 300;  // of a study
  std::size_t seed = 1;
  std::optional<std::size_t> secret_seed;  // of exercises; none: one is drawn that nobody knows
  std::string faults = "mixed";
  std::string slips;                     // a share; empty: none
  std::vector<std::string> fault, size;  // of a simulated instrument: see `given` for which is whose
  std::string plan = "usual";            // the aim of the plan that is simulated
  std::string pickups;                   // file
  std::size_t level = 1, count = 10;     // of exercises
  std::string exercise;                  // file
  std::string by;                        // who works or measures; empty: nobody says
  std::vector<std::string> answers;      // files
  std::string keys;                      // folder
  std::string rule;                      // file: what marks are given for; empty: the usual
  bool csv = false;
  bool pairs = false;
  bool sheet = false;
  std::string plot;                  // file; empty: none is wanted
  std::optional<std::size_t> shown;  // the case to show
  std::optional<std::size_t> jobs;   // threads; none: as many as the machine runs at once

  std::string folder, serial;   // of a batch, and of a unit in it
  std::string instrument, due;  // what a unit's record says beside `by`; empty: nothing

  std::vector<std::string> colours;
  std::string value;  // ohms
  std::optional<std::string> tolerance;
  std::string gauge, turn;
  std::string diameters = "nominal";
  double from = 20, to = 20;  // degrees C
};

class Allowance;

// Where a run reads what it has learned so far, and where it answers.
struct Run {
  const CommandLine& line;
  Heading heading;
  Texts texts;
  // How many of the heading's warnings, its last, are about the drawing and not the file.
  std::size_t noticed = 0;
  std::ostream& out;
  std::ostream& err;
  std::size_t columns = 80;        // of the terminal the answer goes to
  bool watched = false;            // `err` is a terminal: somebody waits there
  std::string leave_out = {};      // of this command line, so that it takes less
  Allowance* allowance = nullptr;  // what watches this run, if anything does

  std::size_t width() const { return line.width.value_or(columns); }
};

// Thrown where a run can't go on; `run` in cli.h says why and picks the exit code.
struct BadInput {
  std::vector<Diagnostic> errors;
};
struct WrongUsage {
  std::string message;
};

// One problem without a place in a file, or with the file as its place.
BadInput bad_input(std::string code, std::string message, std::string file = {});

// What was noticed so far, on stderr, once; a command's answer comes first unless it calls this. `check` and JSON have the
// warnings in their answer.
void tell_warnings(Run& run);

// Hands over the answer: to stdout, or to the file the command line names, which is none of those that were read.
void give(Run& run, const std::string& answer);

ExitCode check_command(Run& run);
ExitCode expect_command(Run& run);
ExitCode faults_command(Run& run);
ExitCode plan_command(Run& run);
ExitCode diagnose_command(Run& run);
ExitCode study_command(Run& run);
ExitCode batch_new_command(Run& run);
ExitCode batch_take_command(Run& run);
ExitCode batch_report_command(Run& run);
ExitCode convert_bands_command(Run& run);
ExitCode convert_value_command(Run& run);
ExitCode convert_coil_command(Run& run);
ExitCode convert_temperature_command(Run& run);
ExitCode draw_command(Run& run);
ExitCode guide_command(Run& run);
ExitCode simulate_command(Run& run);
ExitCode match_command(Run& run);
ExitCode exercise_make_command(Run& run);
ExitCode exercise_work_command(Run& run);
ExitCode exercise_mark_command(Run& run);
ExitCode completion_command(Run& run);
ExitCode manual_command(Run& run);

}  // namespace lugwise::app
