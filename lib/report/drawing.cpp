#include "report/drawing.h"

#include "report/inside/json.h"

namespace lugwise {
namespace {

constexpr std::size_t kMostMarked = 3;
constexpr double kWorthMarking = 0.05;

}  // namespace

std::vector<Fault> faults_to_mark(const Diagnosis& diagnosis, const std::vector<Heard>& heard) {
  std::vector<Fault> marked;
  // With all as it should be and nothing heard there is nothing to mark.
  const bool right = diagnosis.verdict == Verdict::Sound || diagnosis.verdict == Verdict::Unfinished;
  if (right && heard.empty()) return marked;
  for (const Suspect& suspect : diagnosis.suspects) {
    if (marked.size() >= kMostMarked || suspect.probability < kWorthMarking) break;
    marked.push_back(suspect.fault);
    if (suspect.also) marked.push_back(*suspect.also);
  }
  return marked;
}

Look look_of(const Session& session) {
  const Ask& ask = session.ask();
  Look look;
  look.stage = session.options().stage;
  switch (ask.kind) {
    case Ask::Kind::Begin:
    case Ask::Kind::Prepare:
    case Ask::Kind::Finished:
      break;
    case Ask::Kind::Step:
    case Ask::Kind::Probe:
    case Ask::Kind::Again:
    case Ask::Kind::Recheck:
      look.setting = ask.step.setting;
      look.probes = {ask.step.a, ask.step.b};
      break;
    case Ask::Kind::Verdict:
      for (const Suspect& suspect : session.diagnosis().suspects) {
        if (suspect.group == 1) look.marked.push_back(suspect.fault);
      }
      break;
  }
  return look;
}

std::string as_json(const Heading& heading, const Layout& layout, const Extent& extent,
                    const std::string& file, const std::string& svg) {
  report::Json json = report::json_of(heading);
  json["file"] = file.empty() ? report::Json(nullptr) : report::Json(file);
  json["width"] = report::number(extent.width);
  json["height"] = report::number(extent.height);
  json["crossings"] = layout.crossings;
  json["stubs"] = layout.stubs;
  if (file.empty()) json["svg"] = svg;
  return report::written(json);
}

}  // namespace lugwise
