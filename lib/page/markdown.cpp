#include "page/markdown.h"

#include <algorithm>
#include <cctype>
#include <string_view>

#include "page/inside/wording.h"
#include "text/safe.h"

namespace lugwise::page {

using namespace inside;
namespace {

std::string escaped(std::string_view text) { return lugwise::text::in_markdown(text); }

std::string bold(std::string_view text) {
  const std::string words = escaped(text);
  return words.empty() ? "" : "**" + words + "**";
}

class Setter {
 public:
  void operator()(const Paragraph& paragraph) {
    begin(false);
    if (!paragraph.label.empty()) text_ += bold(paragraph.label) + ": ";
    line(escaped(paragraph.text));
  }

  void operator()(const Facts& facts) {
    begin(true);
    for (const Labelled& row : facts.rows) line("- " + escaped(row.label) + ": " + bold(row.text));
  }

  void operator()(const List& list) {
    begin(true);
    for (const List::Item& item : list.items) {
      line("- " + escaped(item.text));
      for (const Labelled& more : item.more) line("  - *" + escaped(more.label) + "*: " + escaped(more.text));
    }
  }

  void operator()(const Blanks& blanks) {
    begin(true);
    for (const std::string& field : blanks.fields) line("- " + escaped(field) + ": " + kBlank);
    for (const std::string& box : blanks.boxes) line("- [ ] " + escaped(box));
  }

  void operator()(const Step& step) {
    if (!step.before.empty()) {
      begin(false);
      line(escaped(step.before));
    }
    begin(true);
    std::string lead = step.number.empty() ? "- " : "- [ ] " + bold(step.number) + " ";
    for (const std::string& text : step.to_do) {
      line(lead + escaped(text));
      lead = "  - ";
    }
    if (!step.shows.empty()) {
      line("  - range " + escaped(step.range) + ": " + bold(step.shows));
    }
    for (const std::string& field : step.blanks.fields) line("  - " + escaped(field) + ": " + kBlank);
    for (const std::string& note : step.notes) line("  - " + escaped(note));
    for (const Labelled& sign : step.signs) {
      line("  - *" + escaped(sign.label) + "*: " + escaped(sign.text));
    }
  }

  void operator()(const Map& map) {
    begin(true);
    for (const Labelled& place : map.places) line("- " + bold(place.label) + " " + escaped(place.text));
  }

  void operator()(const Checklist& checklist) {
    for (const Checklist::Row& row : checklist.rows) {
      if (!row.heading.empty()) heading("###", row.heading);
      Step step = row.step;
      if (!row.between.empty()) step.shows += " (" + row.between + ")";
      if (!row.places.empty()) step.to_do.insert(step.to_do.begin(), in_words(row.places));
      (*this)(step);
    }
  }

  void operator()(const Readings& readings) {
    begin(false);
    line("| | between | reads | sound | |");
    line("| ---: | --- | --- | --- | --- |");
    for (const Readings::Reading& reading : readings.readings) {
      if (!reading.setting.empty()) line("| | *" + escaped(reading.setting) + "* | | | |");
      std::string number = escaped(reading.number);
      std::string where = escaped(reading.where);
      if (reading.rows.empty()) line("| " + number + " | " + where + " | | | |");
      for (const Readings::Row& row : reading.rows) {
        if (!row.at.empty()) where = "at " + escaped(row.at);
        line("| " + number + " | " + where + " | " + escaped(row.reads) + " | " + escaped(row.sound) + " | " +
             (row.agrees ? escaped(row.judged) : bold(row.judged)) + " |");
        number.clear();
        where.clear();
      }
    }
  }

  void operator()(const Verdict& verdict) {
    begin(false);
    line(bold(verdict.text));
    if (verdict.advice.empty()) return;
    begin(false);
    line(escaped(verdict.advice));
  }

  void operator()(const Group& group) {
    begin(true);
    line("- " + bold(group.name) + ", " + escaped(group.share));
    for (const Labelled& suspect : group.suspects) {
      line("  - " + escaped(suspect.label) + ": " + escaped(suspect.text));
    }
    if (!group.evidence.empty()) line("  - *" + escaped(group.evidence) + "*");
  }

  void operator()(const Table& table) {
    begin(false);
    std::string titles = "|", rule = "|";
    for (const Table::Column& column : table.columns) {
      titles += " " + escaped(column.title) + " |";
      rule += column.to_the_right ? " ---: |" : " --- |";
    }
    line(titles);
    line(rule);
    for (const auto& row : table.rows) {
      std::string cells = "|";
      for (const std::string& cell : row) cells += " " + escaped(cell) + " |";
      line(cells);
    }
  }

  void operator()(const Verbatim& verbatim) {
    begin(false);
    // A fence longer than any in the text.
    std::size_t longest = 2, run = 0;
    for (const char c : verbatim.text) longest = std::max(longest, run = c == '`' ? run + 1 : 0);
    const std::string fence(longest + 1, '`');
    line(fence + "text");
    text_ += verbatim.text;
    if (!verbatim.text.ends_with('\n')) text_ += '\n';
    line(fence);
  }

  void operator()(const Picture&) {}

  void heading(std::string_view level, std::string_view title) {
    begin(false);
    line(std::string(level) + " " + escaped(without_colon(title)));
  }

  std::string take() { return std::move(text_); }

 private:
  static constexpr const char* kBlank = "\\_\\_\\_\\_\\_\\_\\_\\_";

  // An empty line before what comes, but not between items of lists.
  void begin(bool item) {
    if (!text_.empty() && !(item && in_list_)) text_ += '\n';
    in_list_ = item;
  }

  void line(std::string_view text) {
    while (text.ends_with(' ')) text.remove_suffix(1);
    text_.append(text);
    text_ += '\n';
  }

  std::string text_;
  bool in_list_ = false;
};

}  // namespace

std::string as_markdown(const Document& document) {
  Setter set;
  set.heading("#", document.title);
  if (!document.job.empty()) set(Blanks{document.job, {}, false});
  for (const Block& block : document.opening) std::visit(set, block);
  for (const Section& section : document.sections) {
    if (!section.title.empty()) set.heading("##", section.title);
    for (const Block& block : section.blocks) std::visit(set, block);
  }
  if (!document.mark.empty()) set(Paragraph{document.mark, 0, ""});
  return set.take();
}

}  // namespace lugwise::page
