#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "report/inside/coverage.h"
#include "report/inside/finding.h"
#include "report/inside/instrument_page.h"
#include "report/inside/sketch.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

constexpr std::size_t kSuspects = 3;
constexpr std::size_t kMarkedOnAPage = 6;

}  // namespace

std::optional<std::pair<std::string, std::string>> job_note(const Entry& entry) {
  if (entry.kind != EntryKind::Note) return std::nullopt;
  for (const std::string& detail : job_details()) {
    if (entry.note.starts_with(detail + ": ")) return std::pair(detail, entry.note.substr(detail.size() + 2));
  }
  return std::nullopt;
}

void InstrumentPage::open(page::Document& document) {
  page::Facts facts;
  const auto fact = [&](const char* label, std::string text) {
    if (!text.empty()) facts.rows.push_back({label, cut(text, kShort)});
  };
  std::vector<std::string> blank{"Instrument", "Job number"};
  const auto known = [&](std::string_view label) {
    blank.erase(std::remove(blank.begin(), blank.end(), label), blank.end());
  };
  if (!owned_.unit.serial.empty()) known("Instrument");
  fact("instrument", owned_.unit.serial);
  for (const Entry& entry : filed_.entries) {
    const auto note = job_note(entry);
    if (!note) continue;
    known(note->first);
    std::string label = note->first;
    label[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(label[0])));
    facts.rows.push_back({std::move(label), cut(note->second, kShort)});
  }
  fact("harness",
       fmt::format("{} ({}){}", heading_.harness_file, heading_.harness_id, values_in_words(heading_)));
  if (owned_.stage) fact("stage", harness_.stages()[*owned_.stage].name);
  fact("measured", owned_.unit.date);
  fact("by", owned_.unit.by);
  const Meter& meter = *heading_.meter;
  const std::string instrument = owned_.unit.meter.empty() ? "" : owned_.unit.meter + "; ";
  fact("meter", instrument + in_words(meter) + (meter.assumed ? "; assumed" : ""));
  fact("calibration due", owned_.unit.calibration_due);
  fact("coils", heading_.temperature ? fmt::format("at {:g} °C", *heading_.temperature)
                                     : "at " + usual_temperatures());
  constexpr std::size_t kMostFacts = 12;
  if (facts.rows.size() > kMostFacts) facts.rows.resize(kMostFacts);
  double rows = 0;
  for (std::size_t i = 0; i < facts.rows.size(); i += 2)
    rows += std::max(lines_of(facts.rows[i].text, 44),
                     i + 1 < facts.rows.size() ? lines_of(facts.rows[i + 1].text, 44) : 1);
  paper_.uses(1.2 * rows + (blank.empty() ? 0 : kJob) + kTitle * lines_of(heading_.harness_name, 55));
  document.job = std::move(blank);
  document.opening.push_back(std::move(facts));
}

page::Section InstrumentPage::verdict_section() {
  page::Verdict verdict = verdict_of(diagnosis_);
  verdict.advice = cut(verdict.advice, kWhole);
  paper_.uses(kHeading + kVerdict + 1.25 * lines_of(verdict.advice, 105));
  page::Section section{"Verdict", true, false, {std::move(verdict)}};
  const auto tell = [&](std::string text) {
    paper_.uses(paragraph(text));
    section.blocks.push_back(page::Paragraph{std::move(text)});
  };
  for (const std::string& line : coverage_in_words(harness_, diagnosis_, filed_.scope))
    tell(cut(line, 2 * kLong));
  std::vector<std::string> heard;
  for (const Heard& one : filed_.heard) heard.push_back(in_words(harness_, one));
  if (!heard.empty()) tell(cut(fmt::format("Heard: {}.", fmt::join(heard, "; ")), kLong));
  std::size_t left = 2;
  for (const Diagnostic& warning : heading_.warnings) {
    if (warning.code != "W101" || diagnosis_.verdict != Verdict::Sound || left == 0) continue;
    --left;
    tell(cut("As drawn, and so no fault of the wiring: " + warning.message, kLong));
  }
  return section;
}

bool InstrumentPage::wrong() const {
  return diagnosis_.verdict == Verdict::Fault || diagnosis_.verdict == Verdict::Unsure;
}

page::Section InstrumentPage::suspects_section() {
  page::Section section{"Suspects", false, false, {}};
  if (!wrong() || diagnosis_.suspects.empty()) return section;
  std::vector<Suspect> first;
  for (const Suspect& suspect : diagnosis_.suspects) {
    if (suspect.group == 1) first.push_back(suspect);
  }
  paper_.uses(kHeading + paragraph(""));
  page::List list;
  std::size_t told = 0, all = diagnosis_.suspects.size();
  const auto tell = [&](double share, const std::string& words) {
    std::string text = cut(fmt::format("{}: {}", percent(share), words), kLong);
    paper_.uses(item(text));
    list.items.push_back({std::move(text), {}});
  };
  if (!first.empty()) {
    const auto lines = folded(harness_, first.data(), first.data() + first.size());
    for (const Line& line : lines) {
      if (list.items.size() == kSuspects) break;
      tell(line.probability, line.words);
    }
    told = lines.size() <= kSuspects ? first.size() : list.items.size();
  }
  for (const Suspect& suspect : diagnosis_.suspects) {
    if (suspect.group == 1 || list.items.size() == kSuspects || suspect.probability < 0.01) continue;
    tell(suspect.probability, with_sizes(harness_, suspect));
    ++told;
  }
  section.blocks.emplace_back(std::move(list));
  if (!first.empty() && !first.front().mend.empty()) {
    std::string mend = cut("To mend it: " + mend_in_words(first.front()) + ".", kLong);
    paper_.uses(paragraph(mend));
    section.blocks.push_back(page::Paragraph{std::move(mend)});
  }
  if (all > told) section.blocks.push_back(page::Paragraph{fmt::format("And {} less likely.", all - told)});
  return section;
}

page::Picture InstrumentPage::picture_of(const Places& places) const {
  std::vector<Fault> faults;
  const auto mark = [&](const Fault& fault) {
    if (faults.size() < kMarkedOnAPage && std::find(faults.begin(), faults.end(), fault) == faults.end())
      faults.push_back(fault);
  };
  const auto mark_first_group = [&](const Diagnosis& diagnosis) {
    for (const Suspect& suspect : diagnosis.suspects) {
      if (suspect.group != 1) continue;
      mark(suspect.fault);
      if (suspect.also) mark(*suspect.also);
    }
  };
  const char* caption = "";
  if (wrong()) {
    mark_first_group(diagnosis_);
    if (!faults.empty()) caption = "Marked: what is suspected first.";
  } else {
    for (const FoundBefore& before : filed_.before) {
      if (before.diagnosis.verdict == Verdict::Fault) mark_first_group(before.diagnosis);
    }
    if (!faults.empty()) caption = "Marked: what was found before the repair.";
  }
  return Sketchbook(harness_, owned_.stage, places).finding(faults, caption);
}

}  // namespace inside
}  // namespace lugwise::report
