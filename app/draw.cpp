#include "drawing/drawing.h"

#include <fmt/format.h>

#include <ostream>

#include "allowance.h"
#include "command.h"
#include "diagnosis/diagnosis.h"
#include "load.h"
#include "picture_file.h"
#include "progress.h"
#include "report/drawing.h"
#include "typed.h"

namespace lugwise::app {
namespace {

// The likeliest suspects of the readings named on the command line.
std::vector<Fault> suspects(Run& run, const Netlist& netlist) {
  refuse_too_large(run, netlist.harness);
  const Job job = load_job(run, netlist);
  const std::vector<Observation> observations = job.weighed();
  announce(run, work_of_diagnosis(search_size(netlist.harness, job.stage), observations.size()));
  const Diagnosis diagnosis =
      diagnose(netlist.harness, observations, job.diagnosis_options(), job.sheet.heard);
  return faults_to_mark(diagnosis, job.sheet.heard);
}

}  // namespace

ExitCode draw_command(Run& run) {
  const PictureFormat format = picture_format(run.line.format, run.line.output);
  if (format != PictureFormat::Svg && run.line.json && run.line.output.empty())
    throw WrongUsage{"--json holds the picture as SVG; for another kind name its file with -o"};
  std::optional<Netlist> before;
  Netlist netlist = load_netlist(run);
  if (!run.line.later.empty()) {
    before = std::move(netlist);
    netlist = load_later(run);
  }
  const Harness& harness = netlist.harness;
  if (const std::string why = too_large_to_draw(harness); !why.empty())
    throw bad_input("U321", "too large to be drawn: " + why, run.line.harness);

  Look look;
  look.small = run.line.small;
  look.stage = find_stage(harness, run.line.stage, run.line.harness, {});
  if (!run.line.probes.empty()) {
    const Observation seen = read_reading(run, harness, look.stage);
    look.setting = seen.setting;
    look.probes = {seen.a, seen.b};
  } else if (!run.line.set.empty()) {
    look.setting = read_setting(run, harness);
  }
  if (look.small && !look.probes) throw WrongUsage{"--small: it is of two probes; name them with --probes"};
  if (!run.line.readings.empty()) look.marked = suspects(run, netlist);

  look.ground_symbols = run.line.ground == "symbol";
  const Layout layout = shown_while(run, "laying it out", [&] { return lay_out(harness, netlist.places); });
  if (before) {
    look.changes =
        changes_between(before->harness, lay_out(before->harness, before->places), harness, layout);
  }
  const std::string svg = picture(harness, layout, look);
  if (!run.line.output.empty() || !run.line.json) give(run, rendered(svg, format));
  if (run.line.json)
    run.out << as_json(run.heading, layout, extent_of(harness, layout, look), run.line.output, svg);
  return ExitCode::Well;
}

}  // namespace lugwise::app
