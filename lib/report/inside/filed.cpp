#include "report/inside/filed.h"

#include <fmt/format.h>

#include <utility>

#include "report/inside/finding.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {

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
      told("repaired " + names(harness, entry.repaired), entry.note);
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
          readings.readings.push_back({{}, {}, found_before(harness, before), {}});
      }
      readings.readings.push_back(recorded(harness, record[next - 1], next));
    }
    next = place + 1;
  };
  for (const Comparison& comparison : diagnosis.readings) {
    const Observation& observation = observations[comparison.observation];
    tell_others_before(number_of(observations, comparison.observation));
    page::Readings::Reading reading;
    if (!set || !(*set == observation.setting)) reading.setting = in_words(harness, observation.setting);
    set = &observation.setting;
    reading.number = std::to_string(number_of(observations, comparison.observation));
    reading.where = where_probed(harness, observation);
    reading.rows = rows_of(meter, harness, observation, comparison);
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
    table.rows.push_back({std::to_string(i + 1), in_words(harness, heard[i])});
  }
  section.blocks.emplace_back(std::move(table));
  return section;
}

std::optional<page::Section> recheck_of(const Meter& meter, const Harness& harness,
                                        const std::vector<Observation>& observations,
                                        const Diagnosis& diagnosis, Sketchbook& pictures) {
  page::Section section{"After the repair, probe again", false, true, {}};
  for (const Comparison& comparison : diagnosis.readings) {
    if (comparison.agrees) continue;
    const Observation& observation = observations[comparison.observation];
    page::Step again;
    again.number = std::to_string(number_of(observations, comparison.observation));
    again.to_do.push_back(first_letter_up(set_in_words(harness, observation.setting)) +
                          fmt::format("probes on {} and {}.", point_in_words(harness, observation.a),
                                      point_in_words(harness, observation.b)));
    if (!observation.lifted.empty())
      again.to_do.push_back("Off: " + names(harness, observation.lifted) + ".");
    again.picture = pictures.probes(observation.setting, observation.a, observation.b);
    ask_for(again, meter, observation, comparison, {"right", "wrong"});
    section.blocks.push_back(std::move(again));
  }
  if (section.blocks.empty()) return std::nullopt;
  return section;
}

}  // namespace inside
}  // namespace lugwise::report
