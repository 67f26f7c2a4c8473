#include <fmt/format.h>

#include <algorithm>

#include "report/inside/finding.h"
#include "report/inside/instrument_page.h"
#include "report/inside/judged.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {

page::Section InstrumentPage::done_section() {
  page::Section section{"What was done", false, false, {}};
  page::List list;
  std::size_t left_out = 0;
  const auto tell = [&](std::string text) {
    text = cut(first_letter_up(std::move(text)), kLong);
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
      if (before.repair == i) tell(found_before(harness_, before));
    }
    if (entry.kind == EntryKind::Repaired) {
      repaired = true;
      tell("repaired " + names(harness_, entry.repaired) + (entry.note.empty() ? "" : ": ") + entry.note);
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

const Comparison* InstrumentPage::taken_since(const Observation& before) const {
  const Comparison* found = nullptr;
  for (const Comparison& comparison : diagnosis_.readings) {
    Observation was = before;
    was.access = observations_[comparison.observation].access;  // the lid may be off since
    if (at_one_place(was, observations_[comparison.observation])) found = &comparison;
  }
  return found;
}

std::size_t InstrumentPage::add_before_and_after(page::Section& section, Open& open) {
  const Meter& meter = *heading_.meter;
  page::Table table;
  table.columns = {
      {"Probes", 0, false}, {"Before", 0, false}, {"After", 0, false}, {"Sound", 0, false}, {"", 0, false}};
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
      std::string where = cut(where_probed(harness_, seen) + "; " + setting_of(seen), kLong);
      if (!repairs_.takes(kRow + std::max(2.0, lines_of(where, 40)))) continue;
      ++told;
      const Observation& after = observations_[now->observation];
      table.rows.push_back({std::move(where), seen.text, after.text, should_show(meter, after, *now),
                            judged(meter, after, *now)});
    }
  }
  if (!table.rows.empty()) section.blocks.emplace_back(std::move(table));
  if (all > told) section.blocks.push_back(page::Paragraph{fmt::format("And {} more.", all - told)});
  return told;
}

void InstrumentPage::add_still_open(page::Section& section, const Open& open) {
  std::size_t steps = 0;
  for (const auto& [seen, comparison] : open) {
    page::Step step = to_be_read(*seen, *comparison);
    if (!repairs_.takes(0.4 + lines_of(step.to_do.front(), 85) + lines_of(step.shows, 70))) break;
    if (steps++ == 0 && !section.blocks.empty())
      section.blocks.push_back(page::Paragraph{"Still to be probed again:"});
    section.blocks.emplace_back(std::move(step));
  }
  if (open.size() > steps)
    section.blocks.push_back(page::Paragraph{fmt::format(
        "{} to be probed again.", counted(open.size() - steps, steps > 0 ? "other reading" : "reading"))});
}

page::Section InstrumentPage::again_section() {
  page::Section section{"Re-check", false, false, {}};
  Open open;
  const std::size_t told = add_before_and_after(section, open);
  add_still_open(section, open);
  if (told > 0) paper_.uses(kTableHead);
  if (!section.blocks.empty()) paper_.uses(kHeading + 2 * paragraph(""));
  paper_.uses(kForRepairs - repairs_.left());
  return section;
}

page::Step InstrumentPage::to_be_read(const Observation& seen, const Comparison& comparison) const {
  page::Step step;
  step.to_do.push_back(cut(where_probed(harness_, seen) + "; " + setting_of(seen), kLong));
  ask_for(step, *heading_.meter, seen, comparison, {});
  return step;
}

}  // namespace inside
}  // namespace lugwise::report
