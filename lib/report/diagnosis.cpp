#include "report/diagnosis.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "page/document.h"
#include "page/html.h"
#include "page/markdown.h"
#include "report/inside/coverage.h"
#include "report/inside/finding.h"
#include "report/inside/json.h"
#include "report/inside/judged.h"
#include "report/inside/place.h"
#include "report/inside/shown.h"
#include "report/inside/sketch.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

using report::Json;

// A reading that weighs less than this (log of the likelihood ratio) says nothing worth a mention.
constexpr double kSpeaks = 0.5;

// Groups below this are not worth a picture, and of one no more suspects than these are marked on it.
constexpr double kWorthAPicture = 0.05;
constexpr std::size_t kMarked = 9;

// Of one group so many lines.
constexpr std::size_t kMostLines = 10;

// Groups below this are summed up in one line.
constexpr double kWorthALine = 0.001;

// Ways to mend what stands in one group.
constexpr std::size_t kMostWays = 4;

// What no suspect has is told from so much on.
constexpr double kWorthTelling = 0.1;

std::string_view action_name(Action action) {
  switch (action) {
    case Action::Read:
      return "read";
    case Action::Sweep:
      return "sweep";
    case Action::Wiggle:
      return "wiggle";
  }
  return "read";
}

// What the file holds beside the readings that were weighed.
page::Readings::Reading recorded(const Harness& harness, const Entry& entry, std::size_t place) {
  page::Readings::Reading line;
  line.number = std::to_string(place);
  const std::string step = entry.step ? fmt::format("step {}", *entry.step) : "";
  const auto called = [&](const std::string& what) { return step.empty() ? what : step + ": " + what; };
  const auto told = [&](std::string text, const std::string& more) {
    line.where = more.empty() ? std::move(text) : text + ": " + more;
  };
  switch (entry.kind) {
    case EntryKind::Skipped:
      if (entry.placed) {
        told(called(harness[entry.a].name + " and " + harness[entry.b].name + " not taken"), entry.note);
      } else {
        told(called("not taken"), entry.note);
      }
      break;
    case EntryKind::Done:
      told(called("done"), entry.note);
      break;
    case EntryKind::Note:
      told(called("note"), entry.note);
      break;
    case EntryKind::Repaired:
      told("repaired " + report::names(harness, entry.repaired), entry.note);
      break;
    case EntryKind::Tips:
    case EntryKind::Reading:
      if (!entry.aside) {
        line.where = called("the tips together");
      } else {
        std::string probes = entry.placed ? harness[entry.a].name + " and " + harness[entry.b].name : step;
        told(entry.kind == EntryKind::Tips ? called("the tips together") : std::move(probes),
             "put aside, " + in_words(entry.aside));
      }
      line.rows.push_back({"", entry.text, "", "", true});
      break;
  }
  return line;
}

page::Section readings_of(const Meter& meter, const Harness& harness,
                          const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                          const Filed& filed) {
  const std::vector<Entry>& record = filed.entries;
  page::Readings readings;
  const Setting* set = nullptr;
  std::size_t next = 1;  // place of the first entry that has not been told
  const auto tell_others_before = [&](std::size_t place) {
    for (; next < place; ++next) {
      if (next > record.size()) continue;
      for (const FoundBefore& before : filed.before) {
        if (before.repair + 1 == next)
          readings.readings.push_back({{}, {}, report::found_before(harness, before), {}});
      }
      readings.readings.push_back(recorded(harness, record[next - 1], next));
    }
    next = place + 1;
  };
  for (const Comparison& comparison : diagnosis.readings) {
    const Observation& observation = observations[comparison.observation];
    tell_others_before(report::number_of(observations, comparison.observation));
    page::Readings::Reading reading;
    if (!set || !(*set == observation.setting))
      reading.setting = report::in_words(harness, observation.setting);
    set = &observation.setting;
    reading.number = std::to_string(report::number_of(observations, comparison.observation));
    reading.where = report::where_probed(harness, observation);
    reading.rows = report::rows_of(meter, harness, observation, comparison);
    readings.readings.push_back(std::move(reading));
  }
  tell_others_before(record.size() + 1);
  return {"Readings", false, false, {std::move(readings)}};
}

page::Section heard_of(const Harness& harness, const std::vector<Heard>& heard) {
  page::Section section{"Heard", false, false, {}};
  page::Table table;
  table.columns = {{"", 4, true}, {"", 0, false}};
  for (std::size_t i = 0; i < heard.size(); ++i) {
    table.rows.push_back({std::to_string(i + 1), report::in_words(harness, heard[i])});
  }
  section.blocks.emplace_back(std::move(table));
  return section;
}

std::string numbers(std::vector<std::size_t> places) {
  std::sort(places.begin(), places.end());
  std::vector<std::string> texts;
  for (std::size_t place : places) texts.push_back(std::to_string(place));
  return (texts.size() == 1 ? "reading " : "readings ") + report::listed(texts);
}

// What is to be done about a group, by its likeliest first; as many ways as are worth a line.
std::string mends_in_words(const Suspect* first, const Suspect* last) {
  std::vector<std::string> ways;
  const auto add = [&](const std::string& way) {
    if (!way.empty() && ways.size() < kMostWays && std::find(ways.begin(), ways.end(), way) == ways.end())
      ways.push_back(way);
  };
  for (const Suspect* suspect = first; suspect != last; ++suspect) {
    if (suspect != first && suspect->probability < kWorthALine) continue;
    add(suspect->mend);
    add(suspect->also_mend);
  }
  if (ways.empty()) return "";
  if (last - first == 1) return "to mend: " + report::mend_in_words(*first);
  return fmt::format("to mend{}: {}", ways.size() > 1 ? ", as it turns out" : "", fmt::join(ways, "; "));
}

// "for: readings 1 and 2; against: reading 3", of the first of a group; and what is done about them all.
std::string evidence_in_words(const std::vector<Observation>& observations, const Suspect* first,
                              const Suspect* last) {
  const Suspect& suspect = *first;
  std::vector<std::size_t> for_it, against;
  for (const Evidence& evidence : suspect.evidence) {
    if (evidence.weight > kSpeaks) for_it.push_back(report::number_of(observations, evidence.observation));
    if (evidence.weight < -kSpeaks) against.push_back(report::number_of(observations, evidence.observation));
  }
  std::string text;
  if (!for_it.empty()) text = "for: " + numbers(for_it);
  if (!against.empty()) text += (text.empty() ? "against: " : "; against: ") + numbers(against);
  std::vector<std::string> heard;
  for (const Evidence& evidence : suspect.heard) {
    if (evidence.weight > kSpeaks) heard.push_back(std::to_string(evidence.observation + 1));
  }
  if (!heard.empty()) text += (text.empty() ? "for: heard " : "; heard ") + report::listed(heard);
  if (const std::string mends = mends_in_words(first, last); !mends.empty())
    text += (text.empty() ? "" : "; ") + mends;
  return text;
}

// Where the shares of the suspects leave much unsaid: who has the rest.
std::string rest_in_words(const Diagnosis& diagnosis) {
  double rest = 1;
  for (const Suspect& suspect : diagnosis.suspects) rest -= suspect.probability;
  if (rest < kWorthTelling) return "";
  return fmt::format(
      "The other {} is left to nothing being wrong, and to what is less likely than each of these.",
      report::percent(rest));
}

page::Section suspects_of(const Harness& harness, const std::vector<Observation>& observations,
                          const Diagnosis& diagnosis, report::Sketchbook& pictures) {
  page::Section section{"Suspects; those in one group no reading so far can tell apart", false, false, {}};
  // The likelier of a lesser group may stand before the last of a greater one.
  std::vector<Suspect> suspects = diagnosis.suspects;
  std::stable_sort(suspects.begin(), suspects.end(),
                   [](const Suspect& x, const Suspect& y) { return x.group < y.group; });
  std::size_t first = 0;
  while (first < suspects.size()) {
    std::size_t last = first;
    double together = 0;
    const int group = suspects[first].group;
    while (last < suspects.size() && suspects[last].group == group) {
      together += suspects[last++].probability;
    }
    if (together < kWorthALine && group > 1) {
      const std::string others = report::counted(suspects.size() - first, "other");
      section.blocks.push_back(page::Paragraph{others + " less likely still; --json lists them", 6});
      break;
    }
    page::Group said{fmt::format("group {}", group), report::percent(together), {}, {}, {}};
    const std::vector<report::Line> lines =
        report::folded(harness, suspects.data() + first, suspects.data() + last);
    double left = 0;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (i < kMostLines && (i == 0 || lines[i].probability >= kWorthALine)) {
        said.suspects.push_back({report::percent(lines[i].probability), lines[i].words});
      } else {
        left += lines[i].probability;
      }
    }
    if (said.suspects.size() < lines.size())
      said.suspects.push_back({report::percent(left), fmt::format("{} more; --json lists them",
                                                                  lines.size() - said.suspects.size())});
    if (together >= kWorthAPicture) {
      std::vector<Fault> faults;
      const auto mark = [&](const Fault& fault) {
        if (faults.size() < kMarked && std::find(faults.begin(), faults.end(), fault) == faults.end())
          faults.push_back(fault);
      };
      for (std::size_t i = first; i < last; ++i) {
        mark(suspects[i].fault);
        if (suspects[i].also) mark(*suspects[i].also);
      }
      said.picture = pictures.suspects(faults);
    }
    said.evidence = evidence_in_words(observations, suspects.data() + first, suspects.data() + last);
    section.blocks.push_back(std::move(said));
    first = last;
  }
  if (const std::string rest = rest_in_words(diagnosis); !rest.empty())
    section.blocks.push_back(page::Paragraph{rest, 2});
  return section;
}

// "Once more: ", "Step 7 of the plan: ", and nothing of a probe that was searched for.
std::string why_in_words(const NextProbe& probe) {
  switch (probe.why) {
    case NextProbe::Why::Again:
      return "Once more, tip on bare metal: ";
    case NextProbe::Why::Step:
      return probe.step ? fmt::format("Step {} of the plan: ", *probe.step) : "The plan's next: ";
    case NextProbe::Why::Proof:
      return "Once it is mended, first: ";
    default:
      return "";
  }
}

// What is done before a reading is taken once more.
std::string before_in_words(const Harness& harness, const NextProbe& probe) {
  if (probe.another_cable) return "Another test cable, then once more: ";
  if (!probe.worked) return "";
  const Part& control = harness[*probe.worked];
  const char* const how = control.kind == PartKind::Jack     ? "Push the plug in and out a dozen times at"
                          : control.kind == PartKind::Switch ? "Work a dozen times"
                                                             : "Turn from stop to stop a dozen times";
  return fmt::format("{} {}, then once more: ", how, control.name);
}

std::string shown_in_words(const Meter& meter, const NextProbe& probe) {
  if (probe.farads) {
    return fmt::format("Range {}, if sound: {} to {}.", capacitance_range_name(probe.range.top),
                       capacitance_display(meter, probe.range, probe.shows.low),
                       capacitance_display(meter, probe.range, probe.shows.high));
  }
  const report::Shown shown = report::shown(meter, probe.range, probe.expected, probe.shows);
  const char* const steady = probe.swept ? "smooth, from " : !probe.wiggled.empty() ? "steady at " : "";
  return fmt::format("Range {}, if sound: {}{}.", shown.range, steady, report::in_words(shown));
}

std::string say(const Meter& meter, const Harness& harness, const NextProbe& probe) {
  const std::string off =
      probe.lifted ? fmt::format("unsolder {} and hold it clear; ", point_in_words(harness, *probe.lifted))
                   : "";
  std::string move;
  if (probe.swept)
    move = fmt::format("; turn {} slowly to its other stop and watch", harness[*probe.swept].name);
  if (!probe.wiggled.empty())
    move = fmt::format("; press and move {} and watch", report::names(harness, probe.wiggled));
  const std::string opened = report::in_words(probe.access);
  const std::string why = before_in_words(harness, probe) + why_in_words(probe);
  return fmt::format("{}{}; {}{}probes on {} and {}{}. {}", why,
                     why.empty() ? report::first_letter_up(opened) : opened, off,
                     report::set_in_words(harness, probe.setting), point_in_words(harness, probe.a),
                     point_in_words(harness, probe.b), move, shown_in_words(meter, probe));
}

// What holds a battery or a circuit that one feeds.
bool is_active(const Harness& harness) {
  return std::any_of(harness.parts().begin(), harness.parts().end(), [](const Part& part) {
    return part.kind == PartKind::Battery || part.kind == PartKind::Module;
  });
}

// What has to be so before anybody probes, in short; a plan's cautions say it in full.
std::vector<std::string> cautions_of(const Harness& harness) {
  std::vector<std::string> cautions;
  const bool instrument = std::any_of(harness.parts().begin(), harness.parts().end(), [](const Part& part) {
    return part.kind == PartKind::Jack || part.kind == PartKind::Metal;
  });
  if (instrument) {
    cautions.push_back(
        "Unplugged from the amplifier and everything else, at both ends of the cable; strings slack before "
        "bridge, claw or springs are touched.");
  }
  if (is_active(harness))
    cautions.push_back("Battery out first, its clip covered: a plug in the jack switches it on.");
  return cautions;
}

// `before`: what is said before the probe itself.
page::Step said_of(const Meter& meter, const Harness& harness, const Diagnosis& diagnosis,
                   const NextProbe& probe, report::Sketchbook& pictures,
                   std::vector<std::string> before = {}) {
  page::Step said;
  said.to_do = std::move(before);
  said.picture = pictures.probes(probe.setting, probe.a, probe.b);
  said.to_do.push_back(say(meter, harness, probe));
  for (const NextProbe::Outcome& outcome : probe.outcomes) {
    said.signs.push_back({fmt::format("{} ({})", outcome.reads, report::percent(outcome.probability)),
                          report::what_remains(harness, diagnosis, outcome)});
  }
  return said;
}

std::string_view why_name(NextProbe::Why why) {
  switch (why) {
    case NextProbe::Why::Again:
      return "again";
    case NextProbe::Why::Wiggle:
      return "wiggle";
    case NextProbe::Why::Step:
      return "step";
    case NextProbe::Why::Proof:
      return "proof";
    case NextProbe::Why::Tells:
      break;
  }
  return "tells";
}

bool same_probe(const NextProbe& x, const NextProbe& y) {
  return x.a == y.a && x.b == y.b && x.setting == y.setting && x.wiggled == y.wiggled && x.swept == y.swept &&
         x.worked == y.worked && x.another_cable == y.another_cable;
}

// What a repair has to put right: the readings that were wrong, to be taken again.
std::optional<page::Section> recheck_of(const Meter& meter, const Harness& harness,
                                        const std::vector<Observation>& observations,
                                        const Diagnosis& diagnosis, report::Sketchbook& pictures) {
  page::Section section{"After the repair, probe again", false, true, {}};
  for (const Comparison& comparison : diagnosis.readings) {
    if (comparison.agrees) continue;
    const Observation& observation = observations[comparison.observation];
    page::Step again;
    again.number = std::to_string(report::number_of(observations, comparison.observation));
    again.to_do.push_back(report::first_letter_up(report::set_in_words(harness, observation.setting)) +
                          fmt::format("probes on {} and {}.", point_in_words(harness, observation.a),
                                      point_in_words(harness, observation.b)));
    if (!observation.lifted.empty())
      again.to_do.push_back("Off: " + report::names(harness, observation.lifted) + ".");
    const report::Shown shown = report::of_sound(meter, comparison);
    again.range = shown.range;
    again.shows = report::in_words(shown);
    again.picture = pictures.probes(observation.setting, observation.a, observation.b);
    again.blanks = {{"reads"}, {"right", "wrong"}};
    if (observation.action == Action::Sweep) again.blanks.boxes = {"smooth", "jumps"};
    if (observation.action == Action::Wiggle) again.blanks.boxes = {"steady", "unstable"};
    section.blocks.push_back(std::move(again));
  }
  if (section.blocks.empty()) return std::nullopt;
  return section;
}

// What is filed goes from the verdict to what it rests on; at the bench the verdict stands near the end, where the eye is.
enum class Order { Bench, File };

page::Document document_of(const Heading& heading, const Harness& harness,
                           const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                           const Filed& filed, Order order, report::Sketchbook pictures = {}) {
  require_meter(heading);
  page::Document document = report::titled(heading, report::counted(observations.size(), "reading"));
  document.job = report::job_details();
  std::vector<page::Section>& sections = document.sections;
  const page::Section readings = readings_of(*heading.meter, harness, observations, diagnosis, filed);
  const auto add_readings = [&] {
    if (!observations.empty() || !filed.entries.empty()) sections.push_back(readings);
    if (!filed.heard.empty()) sections.push_back(heard_of(harness, filed.heard));
  };
  if (order == Order::Bench) add_readings();
  sections.push_back({"Verdict", true, false, {report::verdict_of(diagnosis)}});
  for (const std::string& line : report::coverage_in_words(harness, diagnosis, filed.scope))
    sections.back().blocks.push_back(page::Paragraph{line});
  // A coil that the drawing leaves silent is as drawn, and dead all the same.
  for (const Diagnostic& warning : heading.warnings) {
    if (warning.code == "W101" && diagnosis.verdict == Verdict::Sound)
      sections.back().blocks.push_back(
          page::Paragraph{fmt::format("As drawn, and so no fault of the wiring: {}.", warning.message)});
  }
  if (!diagnosis.suspects.empty())
    sections.push_back(suspects_of(harness, observations, diagnosis, pictures));
  if (order == Order::File) add_readings();
  if (!diagnosis.cleared.empty()) {
    const std::string cleared = report::proof_in_words(harness, diagnosis.cleared);
    sections.push_back(
        {"Cleared",
         true,
         false,
         {page::Paragraph{"none of these alone explains the readings: " + cleared, 0, "Cleared"}}});
  }
  if (!diagnosis.first.empty()) {
    page::Section first{"The first probes, whatever each shows", false, false, {}};
    for (const NextProbe& probe : diagnosis.first) {
      first.blocks.push_back(
          said_of(*heading.meter, harness, diagnosis, probe, pictures,
                  first.blocks.empty() ? cautions_of(harness) : std::vector<std::string>()));
    }
    sections.push_back(std::move(first));
  } else if (diagnosis.next) {
    page::Section next{"Next", false, false, {}};
    next.blocks.push_back(
        said_of(*heading.meter, harness, diagnosis, *diagnosis.next, pictures, cautions_of(harness)));
    sections.push_back(std::move(next));
  }
  page::Section apart{"To tell group 1 apart", false, false, {}};
  for (const NextProbe& probe : diagnosis.separate) {
    if (diagnosis.next && same_probe(probe, *diagnosis.next)) continue;
    apart.blocks.push_back(said_of(*heading.meter, harness, diagnosis, probe, pictures));
  }
  const auto in_first = std::count_if(diagnosis.suspects.begin(), diagnosis.suspects.end(),
                                      [](const Suspect& suspect) { return suspect.group == 1; });
  if (apart.blocks.empty() && diagnosis.lift) {
    apart.blocks.push_back(page::Paragraph{"No probe within reach does, but with a lead off one does.", 2});
    apart.blocks.push_back(said_of(*heading.meter, harness, diagnosis, *diagnosis.lift, pictures));
  }
  if (apart.blocks.empty() && !diagnosis.next && diagnosis.verdict != Verdict::Sound && in_first > 1) {
    apart.blocks.push_back(page::Paragraph{
        "No probe within reach does: press and wiggle each while watching, or lift a lead.", 2});
  }
  if (!apart.blocks.empty()) sections.push_back(std::move(apart));
  sections.push_back({"What was done", false, true, {page::Blanks{{"Work", "Parts"}, {}, true}}});
  if (auto again = recheck_of(*heading.meter, harness, observations, diagnosis, pictures))
    sections.push_back(std::move(*again));
  if (!diagnosis.differs.empty()) {
    page::Section differs{"What would have to differ from the netlist", false, false, {}};
    for (const std::string& each : diagnosis.differs)
      differs.blocks.push_back(page::Paragraph{report::first_letter_up(each), 2});
    sections.push_back(std::move(differs));
  }
  return document;
}

Json json_of(const Meter& meter, const Harness& harness, const NextProbe& probe) {
  Json json = report::json_of(
      harness, meter,
      {probe.step, probe.setting, probe.access, probe.a, probe.b, probe.expected, probe.range, probe.shows},
      {}, say(meter, harness, probe));
  json["why"] = why_name(probe.why);
  if (probe.farads) json["range"] = capacitance_range_name(probe.range.top);
  if (probe.swept) {
    const double from = probe.setting.knob(*probe.swept);
    json["do"] = "sweep";
    json["sweep"] = harness[*probe.swept].name;
    json["from"] = json["shows"];
    json["turn"] = {{"from", report::number(from)}, {"to", report::number(10 - from)}};
  }
  if (!probe.wiggled.empty()) {
    json["do"] = "wiggle";
    json["wiggle"] = report::json_of(harness, probe.wiggled);
  }
  if (probe.worked || probe.another_cable) json["do"] = "prepare";
  if (probe.worked) json["work"] = harness[*probe.worked].name;
  if (probe.another_cable) json["cable"] = "another";
  if (probe.again) json["again"] = true;
  if (probe.lifted) json["lifted"] = report::json_of(harness, std::vector<PointId>{*probe.lifted});
  json["seconds"] = report::number(probe.seconds);
  json["bits"] = report::number(probe.bits);
  Json outcomes = Json::array();
  for (const NextProbe::Outcome& outcome : probe.outcomes) {
    outcomes.push_back({{"reads", outcome.reads},
                        {"probability", report::number(outcome.probability)},
                        {"suspects", outcome.suspects},
                        {"sound", outcome.sound}});
  }
  json["outcomes"] = outcomes;
  return json;
}

}  // namespace

std::string as_text(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                    const Filed& filed, std::size_t columns) {
  return page::as_text(document_of(heading, harness, observations, diagnosis, filed, Order::Bench), columns);
}

std::string as_markdown(const Heading& heading, const Harness& harness,
                        const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                        const Filed& filed) {
  return page::as_markdown(document_of(heading, harness, observations, diagnosis, filed, Order::File));
}

std::string as_html(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                    const Filed& filed, const Places& places) {
  return page::as_html(document_of(heading, harness, observations, diagnosis, filed, Order::File,
                                   report::Sketchbook(harness, std::nullopt, places)),
                       heading.program);
}

std::string as_json(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                    const Filed& filed) {
  require_meter(heading);
  Json json = report::json_of(heading);
  json["verdict"] = report::verdict_name(diagnosis.verdict);
  json["sound"] = report::number(diagnosis.sound);
  json["shown"] = {{"seen", diagnosis.shown.seen}, {"of", diagnosis.shown.of}, {"open", Json::array()}};
  for (const Fault& fault : diagnosis.shown.open)
    json["shown"]["open"].push_back(report::json_of(harness, fault));
  json["unmodelled"] = report::number(diagnosis.unmodelled);
  json["advice"] = diagnosis.advice;
  if (!diagnosis.differs.empty()) json["differs"] = diagnosis.differs;
  json["suspects"] = Json::array();
  for (const Suspect& suspect : diagnosis.suspects)
    json["suspects"].push_back(report::json_of(harness, observations, suspect));
  json["readings"] = Json::array();
  for (const Comparison& comparison : diagnosis.readings) {
    const Observation& observation = observations[comparison.observation];
    Json one = {{"reading", report::number_of(observations, comparison.observation)},
                {"step", observation.step ? Json(*observation.step) : Json(nullptr)},
                {"do", action_name(observation.action)},
                {"set", report::json_of(harness, observation.setting)},
                {"lifted", report::json_of(harness, observation.lifted)},
                {"between", report::json_of(harness, {observation.a, observation.b})},
                {"reads", observation.text},
                {"expect", report::json_of(comparison.expected)},
                {"shows",
                 report::shows_json(*heading.meter, comparison.range, comparison.expected, comparison.shows)},
                {"range", range_name(comparison.range.top)},
                {"agrees", comparison.agrees},
                {"off", report::number(comparison.off)},
                {"at_20", comparison.at_20 ? report::number(*comparison.at_20) : Json(nullptr)},
                {"doubtful", comparison.doubtful},
                {"again", comparison.again ? Json(report::number_of(observations, *comparison.again))
                                           : Json(nullptr)}};
    if (observation.swept) one["sweep"] = harness[*observation.swept].name;
    if (!observation.wiggled.empty()) one["wiggle"] = report::json_of(harness, observation.wiggled);
    if (!comparison.ends.empty()) one["ends"] = Json::array();
    for (std::size_t i = 0; i < comparison.ends.size(); ++i) {
      const Comparison& end = comparison.ends[i];
      one["ends"].push_back(
          {{"reads", observation.ends[i].text},
           {"expect", report::json_of(end.expected)},
           {"shows", report::shows_json(*heading.meter, end.range, end.expected, end.shows)},
           {"range", range_name(end.range.top)},
           {"agrees", end.agrees},
           {"off", report::number(end.off)}});
    }
    if (comparison.capacitance) one["farads"] = report::farads_json(*heading.meter, *comparison.capacitance);
    json["readings"].push_back(std::move(one));
  }
  if (!filed.heard.empty()) {
    json["heard"] = Json::array();
    for (const Heard& one : filed.heard) {
      json["heard"].push_back({{"pickup", one.pickup ? Json(harness[*one.pickup].name) : Json(nullptr)},
                               {"control", one.control ? Json(harness[*one.control].name) : Json(nullptr)},
                               {"set", one.set_given ? report::json_of(harness, one.setting) : Json(nullptr)},
                               {"is", sound_word(one.sound)},
                               {"aside", one.aside ? Json(in_words(one.aside)) : Json(nullptr)}});
    }
  }
  Json others = Json::array();
  for (std::size_t i = 0; i < filed.entries.size(); ++i) {
    if (!filed.entries[i].weighed())
      others.push_back({{"reading", i + 1}, {"say", recorded(harness, filed.entries[i], i + 1).where}});
  }
  if (!others.empty()) json["record"] = others;
  json["cleared"] = Json::array();
  for (const Fault& fault : diagnosis.cleared) json["cleared"].push_back(report::json_of(harness, fault));
  json["separate"] = Json::array();
  for (const NextProbe& probe : diagnosis.separate) {
    json["separate"].push_back(json_of(*heading.meter, harness, probe));
  }
  json["lift"] = diagnosis.lift ? json_of(*heading.meter, harness, *diagnosis.lift) : Json(nullptr);
  if (!diagnosis.first.empty()) {
    json["first"] = Json::array();
    for (const NextProbe& probe : diagnosis.first)
      json["first"].push_back(json_of(*heading.meter, harness, probe));
  }
  json["next"] = diagnosis.next ? json_of(*heading.meter, harness, *diagnosis.next) : Json(nullptr);
  return report::written(json);
}

}  // namespace lugwise
