#include "drawing/drawing.h"

#include <fmt/format.h>

#include <ostream>

#include "allowance.h"
#include "command.h"
#include "diagnosis/diagnosis.h"
#include "load.h"
#include "picture_file.h"
#include "progress.h"
#include "record/presence.h"
#include "report/drawing.h"

namespace lugwise::app {
namespace {

constexpr std::size_t kMostMarked = 3;
constexpr double kWorthMarking = 0.05;

// The likeliest suspects of the readings named on the command line.
std::vector<Fault> suspects(Run& run, const Netlist& netlist) {
  refuse_too_large(run, netlist.harness);
  const Job job = load_job(run, netlist);
  const std::vector<Observation> observations = job.weighed();
  announce(run, work_of_diagnosis(search_size(netlist.harness, job.stage), observations.size()));
  const Diagnosis diagnosis =
      diagnose(netlist.harness, observations, job.diagnosis_options(), job.sheet.heard);
  std::vector<Fault> marked;
  // With all as it should be and nothing heard there is nothing to mark.
  const bool right = diagnosis.verdict == Verdict::Sound || diagnosis.verdict == Verdict::Unfinished;
  if (right && job.sheet.heard.empty()) return marked;
  for (const Suspect& suspect : diagnosis.suspects) {
    if (marked.size() >= kMostMarked || suspect.probability < kWorthMarking) break;
    marked.push_back(suspect.fault);
    if (suspect.also) marked.push_back(*suspect.also);
  }
  return marked;
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
  const Probes typed = read_probes(run, harness);
  if (!run.line.set.empty()) look.setting = typed.setting;
  if (!run.line.probes.empty()) {
    if (typed.a == typed.b)
      throw WrongUsage{
          fmt::format("both probes are at '{}': a reading is between two points", harness[typed.a].name)};
    State state;
    state.setting = typed.setting;
    state.stage = look.stage;
    const Circuit circuit = circuit_of(harness, state);
    for (PointId point : {typed.a, typed.b}) {
      const std::string why = why_absent(harness, circuit, look.stage, point);
      if (!why.empty()) throw bad_input("U313", why, run.line.harness);
    }
    look.setting = typed.setting;
    look.probes = {typed.a, typed.b};
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
