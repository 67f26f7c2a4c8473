// Someone else's program, built against the installed headers only. All of a job: its netlist, readings and meter are read,
// it is diagnosed, taken up as a session, and the session's record written.
//   outside NETLIST READINGS METER RECORD LINE...
#include <lugwise/diagnosis/diagnosis.h>
#include <lugwise/intake/instrument.h>
#include <lugwise/intake/netlist.h>
#include <lugwise/intake/readings.h>
#include <lugwise/record/job.h>
#include <lugwise/session/session.h>

#include <cstdio>
#include <fstream>
#include <iterator>

static std::string text_of(const char* file) {
  std::ifstream in(file);
  return {std::istreambuf_iterator<char>(in), {}};
}

int main(int, char** words) {
  lugwise::Diagnostics problems(words[2]);
  const auto netlist = lugwise::read_netlist(text_of(words[1]), problems);
  const auto meter = lugwise::read_meter(text_of(words[3]), problems);
  if (!netlist || !meter) return 3;
  const lugwise::Harness& harness = netlist->harness;
  const auto sheet = lugwise::read_sheet(text_of(words[2]), *netlist, problems, &*meter);
  if (!sheet) return 3;
  const auto conditions = lugwise::conditions_for(*netlist, &*sheet, {meter, {}, {}});
  const auto job = lugwise::take_up(*netlist, *sheet, conditions, problems);
  if (!job) return 3;

  const auto diagnosis = lugwise::diagnose(harness, job->weighed(), job->diagnosis_options(), sheet->heard);
  for (const lugwise::Suspect& suspect : diagnosis.suspects)
    if (suspect.group == 1) std::printf("%s\n", lugwise::in_words(harness, suspect.fault).c_str());

  lugwise::Session session(harness, netlist->id, job->plan_options(), lugwise::record_of(harness, *job));
  for (char** line = words + 5; *line; ++line)
    if (session.take(*line).kind == lugwise::Reply::Kind::Refused) return 1;
  std::ofstream(words[4]) << lugwise::as_readings_file(harness, session.record());
}
