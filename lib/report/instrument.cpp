#include "report/instrument.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <string_view>
#include <utility>

#include "component/copper.h"
#include "page/document.h"
#include "page/html.h"
#include "report/inside/coverage.h"
#include "report/inside/finding.h"
#include "report/inside/judged.h"
#include "report/inside/shown.h"
#include "report/inside/sketch.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"
#include "text/character.h"

namespace lugwise {
namespace {

// A line is one of the tables' as they are printed, 3.45 mm; so many are on a Letter page inside its margins. What each
// thing takes was measured on paper, with characters to a line as few as a usual text has.
constexpr double kSheet = 78;
constexpr double kTitle = 2, kJob = 3.2, kFoot = 2, kSignature = 3.5;
constexpr double kHeading = 2.3, kField = 2.9, kVerdict = 2.8, kTableHead = 1.6, kRow = 0.3;
constexpr double kPicture = 17;     // 55 mm and its caption
constexpr double kForRepairs = 18;  // the most that what was done and the re-check may take

constexpr std::size_t kTitleLength = 110;  // characters
constexpr std::size_t kShort = 90;         // of a fact
constexpr std::size_t kLong = 220;         // of a sentence
constexpr std::size_t kWhole = 520;        // of advice: what it says of a shock is never cut
constexpr std::size_t kSuspects = 3;
constexpr std::size_t kMarked = 6;

// A reading that weighs less than this (log of the likelihood ratio) says nothing worth a mention.
constexpr double kSpeaks = 0.5;

std::string cut(std::string_view text, std::size_t most) {
  if (text::length(text) <= most) return std::string(text);
  return std::string(text::first_characters(text, most - 1)) + "…";
}

// How many lines a text takes where so many characters go into one.
double lines_of(std::string_view text, double characters) {
  return std::max(1.0, std::ceil(static_cast<double>(text::length(text)) / characters));
}

double paragraph(std::string_view text) { return 1.1 * lines_of(text, 120); }
double item(std::string_view text) { return 1.25 * lines_of(text, 92); }

// The lines of one sheet that are still free.
class Paper {
 public:
  explicit Paper(double lines) : left_(lines) {}

  void uses(double lines) { left_ -= lines; }

  // Takes so many lines if they are there.
  bool takes(double lines) {
    if (lines > left_) return false;
    left_ -= lines;
    return true;
  }

  double left() const { return left_; }

 private:
  double left_;
};

// What the boxes at the top of a sheet were filled with, as its saved readings keep it.
std::optional<std::pair<std::string, std::string>> job_note(const Entry& entry) {
  if (entry.kind != EntryKind::Note) return std::nullopt;
  for (const std::string& detail : report::job_details()) {
    if (entry.note.starts_with(detail + ": ")) return std::pair(detail, entry.note.substr(detail.size() + 2));
  }
  return std::nullopt;
}

class InstrumentPage {
 public:
  InstrumentPage(const Heading& heading, const Harness& harness, const std::vector<Observation>& observations,
                 const Diagnosis& diagnosis, const Filed& filed, const Owned& owned)
      : heading_(heading),
        harness_(harness),
        observations_(observations),
        diagnosis_(diagnosis),
        filed_(filed),
        owned_(owned) {}

  page::Document document(const Places& places) {
    page::Document document;
    document.title = cut(heading_.harness_name, kTitleLength) + ": report";
    document.single = true;
    document.mark = fmt::format("{} · {} · check sum {}", cut(heading_.harness_name, kShort),
                                cut(heading_.harness_file, kShort), heading_.harness_id);
    open(document);
    // What is short comes first, then what was done; the readings get what these leave.
    page::Section verdict = verdict_section(), suspects = suspects_section();
    page::Section done = done_section(), again = again_section(), readings = readings_section();
    document.sections.push_back(std::move(verdict));
    if (!suspects.blocks.empty()) document.sections.push_back(std::move(suspects));
    if (page::Picture picture = picture_of(places); !picture.svg.empty()) {
      document.sections.push_back({"", false, false, {std::move(picture)}});
      document.sections.back().fills = true;
    }
    for (page::Section* section : {&readings, &done, &again}) {
      if (!section->blocks.empty()) document.sections.push_back(std::move(*section));
    }
    document.sections.push_back({"", false, false, {page::Blanks{{"Date", "Name", "Signature"}, {}}}});
    return document;
  }

 private:
  // ---- whose it is

  void open(page::Document& document) {
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
    fact("harness", fmt::format("{} ({}){}", heading_.harness_file, heading_.harness_id,
                                report::values_in_words(heading_)));
    if (owned_.stage) fact("stage", harness_.stages()[*owned_.stage].name);
    fact("measured", owned_.unit.date);
    fact("by", owned_.unit.by);
    const Meter& meter = *heading_.meter;
    const std::string instrument = owned_.unit.meter.empty() ? "" : owned_.unit.meter + "; ";
    fact("meter", instrument + report::in_words(meter) + (meter.assumed ? "; assumed" : ""));
    fact("calibration due", owned_.unit.calibration_due);
    fact("coils", heading_.temperature ? fmt::format("at {:g} °C", *heading_.temperature)
                                       : fmt::format("at {:g} to {:g} °C", kColdest, kWarmest));
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

  // ---- what was found

  page::Section verdict_section() {
    page::Verdict verdict = report::verdict_of(diagnosis_);
    verdict.advice = cut(verdict.advice, kWhole);
    paper_.uses(kHeading + kVerdict + 1.25 * lines_of(verdict.advice, 105));
    page::Section section{"Verdict", true, false, {std::move(verdict)}};
    const auto tell = [&](std::string text) {
      paper_.uses(paragraph(text));
      section.blocks.push_back(page::Paragraph{std::move(text)});
    };
    for (const std::string& line : report::coverage_in_words(harness_, diagnosis_, filed_.scope))
      tell(cut(line, 2 * kLong));
    std::vector<std::string> heard;
    for (const Heard& one : filed_.heard) heard.push_back(report::in_words(harness_, one));
    if (!heard.empty()) tell(cut(fmt::format("Heard: {}.", fmt::join(heard, "; ")), kLong));
    std::size_t left = 2;
    for (const Diagnostic& warning : heading_.warnings) {
      if (warning.code != "W101" || diagnosis_.verdict != Verdict::Sound || left == 0) continue;
      --left;
      tell(cut("As drawn, and so no fault of the wiring: " + warning.message, kLong));
    }
    return section;
  }

  bool wrong() const { return diagnosis_.verdict == Verdict::Fault || diagnosis_.verdict == Verdict::Unsure; }

  // The likeliest, by group, in a line each.
  page::Section suspects_section() {
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
      std::string text = cut(fmt::format("{}: {}", report::percent(share), words), kLong);
      paper_.uses(item(text));
      list.items.push_back({std::move(text), {}});
    };
    if (!first.empty()) {
      const auto lines = report::folded(harness_, first.data(), first.data() + first.size());
      for (const report::Line& line : lines) {
        if (list.items.size() == kSuspects) break;
        tell(line.probability, line.words);
      }
      told = lines.size() <= kSuspects ? first.size() : list.items.size();
    }
    for (const Suspect& suspect : diagnosis_.suspects) {
      if (suspect.group == 1 || list.items.size() == kSuspects || suspect.probability < 0.01) continue;
      tell(suspect.probability, report::with_sizes(harness_, suspect));
      ++told;
    }
    section.blocks.emplace_back(std::move(list));
    if (!first.empty() && !first.front().mend.empty()) {
      std::string mend = cut("To mend it: " + first.front().mend + ".", kLong);
      paper_.uses(paragraph(mend));
      section.blocks.push_back(page::Paragraph{std::move(mend)});
    }
    if (all > told) section.blocks.push_back(page::Paragraph{fmt::format("And {} less likely.", all - told)});
    return section;
  }

  // What is suspected; where nothing is, what was before the repairs.
  page::Picture picture_of(const Places& places) const {
    std::vector<Fault> faults;
    const auto mark = [&](const Fault& fault) {
      if (faults.size() < kMarked && std::find(faults.begin(), faults.end(), fault) == faults.end())
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
    return report::Sketchbook(harness_, owned_.stage, places).finding(faults, caption);
  }

  // ---- what it rests on

  // The readings by what they say: those that were wrong, then what weighs most for or against the first suspect, then what
  // the player hears, between the plug's ends; 0 is not worth a line.
  double worth(const Comparison& comparison) const {
    const Observation& seen = observations_[comparison.observation];
    if (!comparison.agrees || comparison.doubtful) return 100;
    double weight = 1;
    if (wrong() && !diagnosis_.suspects.empty()) {
      for (const Evidence& evidence : diagnosis_.suspects.front().evidence) {
        if (evidence.observation == comparison.observation && std::abs(evidence.weight) > kSpeaks)
          weight = std::max(weight, 10 + std::floor(std::abs(evidence.weight)));
      }
    }
    const auto at_the_plug = [&](PointId point) { return harness_[point].role == PointRole::Plug; };
    if (at_the_plug(seen.a) && at_the_plug(seen.b)) weight += 5;
    return weight;
  }

  // Its setting counts with each reading, though readings of one setting share the line.
  static double lines_of_reading(const page::Readings::Reading& reading) {
    double lines = kRow + 1.1 * lines_of(reading.setting, 100);
    for (const page::Readings::Row& row : reading.rows) {
      lines += kRow + std::max({row.at.empty() ? lines_of(reading.where, 34) : 1.0, lines_of(row.sound, 31),
                                lines_of(row.judged, 22)});
    }
    return lines;
  }

  page::Section readings_section() {
    page::Section section{"Readings that matter", false, false, {}};
    paper_.uses(kHeading + kTableHead + paragraph(""));
    std::vector<const Comparison*> order;
    for (const Comparison& comparison : diagnosis_.readings) order.push_back(&comparison);
    std::stable_sort(order.begin(), order.end(),
                     [&](const Comparison* a, const Comparison* b) { return worth(*a) > worth(*b); });
    std::size_t told = 0;
    while (told < order.size() && paper_.takes(lines_of_reading(reading_of(*order[told])))) ++told;
    std::vector<const Comparison*> chosen(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(told));
    std::sort(chosen.begin(), chosen.end(),
              [](const Comparison* a, const Comparison* b) { return a->observation < b->observation; });
    page::Readings readings;
    readings.again =
        std::any_of(chosen.begin(), chosen.end(), [](const Comparison* one) { return !one->agrees; });
    for (const Comparison* comparison : chosen) readings.readings.push_back(reading_of(*comparison));
    for (std::size_t i = readings.readings.size(); i-- > 1;) {
      if (readings.readings[i].setting == readings.readings[i - 1].setting)
        readings.readings[i].setting.clear();
    }
    if (told > 0) section.blocks.emplace_back(std::move(readings));
    if (order.size() > told) section.blocks.push_back(page::Paragraph{others_of(order, told)});
    return section;
  }

  static std::string others_of(const std::vector<const Comparison*>& order, std::size_t told) {
    const auto first = order.begin() + static_cast<std::ptrdiff_t>(told);
    const auto wrong = std::count_if(first, order.end(), [](const Comparison* one) { return !one->agrees; });
    const std::string others = report::counted(order.size() - told, told > 0 ? "other reading" : "reading");
    return wrong == 0 ? fmt::format("{}: {}.", others, order.size() - told == 1 ? "it agrees" : "all agree")
                      : fmt::format("{}, {} of them wrong.", others, wrong);
  }

  std::string setting_of(const Observation& seen) const {
    return cut(report::in_words(harness_, seen.setting), kLong);
  }

  page::Readings::Reading reading_of(const Comparison& comparison) const {
    const Observation& seen = observations_[comparison.observation];
    page::Readings::Reading reading;
    reading.setting = setting_of(seen);
    reading.number = std::to_string(report::number_of(observations_, comparison.observation));
    reading.where = cut(report::where_probed(harness_, seen), kLong);
    reading.rows = report::rows_of(*heading_.meter, harness_, seen, comparison);
    return reading;
  }

  // ---- what was done

  page::Section done_section() {
    page::Section section{"What was done", false, false, {}};
    page::List list;
    std::size_t left_out = 0;
    const auto tell = [&](std::string text) {
      text = cut(report::first_letter_up(std::move(text)), kLong);
      if (repairs_.takes(item(text))) {
        list.items.push_back({std::move(text), {}});
      } else {
        ++left_out;
      }
    };
    bool repaired = false;
    for (std::size_t i = 0; i < filed_.entries.size(); ++i) {
      const Entry& entry = filed_.entries[i];
      for (const FoundBefore& before : filed_.before) {
        if (before.repair == i) tell(report::found_before(harness_, before));
      }
      if (entry.kind == EntryKind::Repaired) {
        repaired = true;
        tell("repaired " + report::names(harness_, entry.repaired) + (entry.note.empty() ? "" : ": ") +
             entry.note);
      } else if (entry.kind == EntryKind::Note && !job_note(entry)) {
        tell("note: " + entry.note);
      }
    }
    if (left_out > 0) list.items.push_back({fmt::format("And {} more in the record.", left_out), {}});
    if (!list.items.empty()) section.blocks.emplace_back(std::move(list));
    paper_.uses(kHeading + (repaired ? 1 : 2) * kField + (left_out > 0 ? item("") : 0));
    section.blocks.push_back(page::Blanks{
        repaired ? std::vector<std::string>{"Parts"} : std::vector<std::string>{"Work", "Parts"}, {}, true});
    return section;
  }

  // ---- and whether it helped

  const Comparison* taken_since(const Observation& before) const {
    const Comparison* found = nullptr;
    for (const Comparison& comparison : diagnosis_.readings) {
      Observation was = before;
      was.access = observations_[comparison.observation].access;  // the lid may be off since
      if (at_one_place(was, observations_[comparison.observation])) found = &comparison;
    }
    return found;
  }

  // What was wrong before a repair beside what it is now; and what is to be read again.
  page::Section again_section() {
    const Meter& meter = *heading_.meter;
    page::Section section{"Re-check", false, false, {}};
    page::Table table;
    table.columns = {
        {"Probes", 0, false}, {"Before", 0, false}, {"After", 0, false}, {"Sound", 0, false}, {"", 0, false}};
    std::vector<std::pair<const Observation*, const Comparison*>> open;
    std::size_t told = 0, all = 0;
    for (const FoundBefore& before : filed_.before) {
      for (const Comparison& was : before.diagnosis.readings) {
        if (was.agrees) continue;
        const Observation& seen = before.observations[was.observation];
        const Comparison* const now = taken_since(seen);
        if (!now) {
          open.emplace_back(&seen, &was);
          continue;
        }
        ++all;
        std::string where = cut(report::where_probed(harness_, seen) + "; " + setting_of(seen), kLong);
        if (!repairs_.takes(kRow + std::max(2.0, lines_of(where, 40)))) continue;
        ++told;
        const Observation& after = observations_[now->observation];
        table.rows.push_back({std::move(where), seen.text, after.text,
                              report::should_show(meter, after, *now), report::judged(meter, after, *now)});
      }
    }
    if (!table.rows.empty()) section.blocks.emplace_back(std::move(table));
    if (all > told) section.blocks.push_back(page::Paragraph{fmt::format("And {} more.", all - told)});
    std::size_t steps = 0;
    for (const auto& [seen, comparison] : open) {
      page::Step step = to_be_read(*seen, *comparison);
      if (!repairs_.takes(0.4 + lines_of(step.to_do.front(), 85) + lines_of(step.shows, 70))) break;
      if (steps++ == 0 && !section.blocks.empty())
        section.blocks.push_back(page::Paragraph{"Still to be probed again:"});
      section.blocks.emplace_back(std::move(step));
    }
    if (open.size() > steps)
      section.blocks.push_back(page::Paragraph{
          fmt::format("{} to be probed again.",
                      report::counted(open.size() - steps, steps > 0 ? "other reading" : "reading"))});
    if (told > 0) paper_.uses(kTableHead);
    if (!section.blocks.empty()) paper_.uses(kHeading + 2 * paragraph(""));
    paper_.uses(kForRepairs - repairs_.left());
    return section;
  }

  page::Step to_be_read(const Observation& seen, const Comparison& comparison) const {
    page::Step step;
    step.to_do.push_back(cut(report::where_probed(harness_, seen) + "; " + setting_of(seen), kLong));
    const report::Shown shown = report::of_sound(*heading_.meter, comparison);
    step.range = shown.range;
    step.shows = report::in_words(shown);
    step.blanks = {{"reads"}, {}};
    if (seen.action == Action::Sweep) step.blanks.boxes = {"smooth", "jumps"};
    if (seen.action == Action::Wiggle) step.blanks.boxes = {"steady", "unstable"};
    return step;
  }

  const Heading& heading_;
  const Harness& harness_;
  const std::vector<Observation>& observations_;
  const Diagnosis& diagnosis_;
  const Filed& filed_;
  const Owned& owned_;
  Paper paper_{kSheet - kPicture - kSignature - kFoot};
  Paper repairs_{kForRepairs};
};

}  // namespace

std::string as_instrument_page(const Heading& heading, const Harness& harness,
                               const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                               const Filed& filed, const Owned& owned, const Places& places) {
  require_meter(heading);
  return page::as_html(
      InstrumentPage(heading, harness, observations, diagnosis, filed, owned).document(places),
      heading.program);
}

}  // namespace lugwise
