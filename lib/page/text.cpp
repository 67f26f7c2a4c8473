#include "page/text.h"

#include <algorithm>

#include "page/inside/wording.h"
#include "text/character.h"

namespace lugwise::page {

using namespace inside;
namespace {

// Where a word that is too long for a line is best broken: after one of these.
constexpr std::string_view kJoints = "/>.-_:,";

// A column of words that needs more room than this and has less is set below the numbers that belong to it.
constexpr std::size_t kNarrow = 20;

// The bytes of the first `columns` characters at most, ending behind a joint where there is one in the second half.
std::size_t piece_of(std::string_view word, std::size_t columns) {
  std::size_t used = 0, bytes = 0, joint = 0;
  while (bytes < word.size()) {
    const std::size_t next = bytes + lugwise::text::character_length(word.substr(bytes));
    if (used == columns) break;
    ++used;
    bytes = next;
    if (kJoints.find(word[next - 1]) != std::string_view::npos && used * 2 > columns) joint = bytes;
  }
  return bytes < word.size() && joint > 0 ? joint : bytes;
}

class Lines {
 public:
  explicit Lines(std::size_t columns) : columns_(columns) {}

  void blank() { text_ += '\n'; }

  // As it is, but for spaces at its end.
  void line(std::string_view text) {
    while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
    text_.append(text);
    text_ += '\n';
  }

  void paragraph(std::string_view lead, std::string_view text, std::size_t indent) {
    const std::string words = one_line(text);
    std::string_view rest(words);
    std::string current = one_line(lead);
    std::size_t used = width(current);
    bool fresh = true;
    const auto next_line = [&] {
      line(current);
      current.assign(indent, ' ');
      used = indent;
      fresh = true;
    };
    // A lead that leaves no room has the line to itself.
    if (used + kLeast > columns_ && used > indent) next_line();
    while (!rest.empty()) {
      const std::size_t end = std::min(rest.find(' '), rest.size());
      std::string_view word = rest.substr(0, end);
      rest.remove_prefix(std::min(end + 1, rest.size()));
      while (!word.empty()) {
        const std::size_t space = fresh ? 0 : 1;
        const std::size_t wide = width(word);
        const bool fits = used + space + wide <= columns_;
        if (!fits && !fresh) {
          next_line();
          continue;
        }
        const std::size_t taken = fits ? word.size() : piece_of(word, columns_ - used);
        if (!fresh) current += ' ';
        current.append(word.substr(0, taken));
        used += space + width(word.substr(0, taken));
        fresh = false;
        word.remove_prefix(taken);
      }
    }
    line(current);
  }

  void paragraph(std::string_view lead, std::string_view text) { paragraph(lead, text, width(lead)); }

  std::size_t columns() const { return columns_; }
  std::string take() { return std::move(text_); }

 private:
  static constexpr std::size_t kLeast = 8;
  std::size_t columns_;
  std::string text_;
};

class Setter {
 public:
  explicit Setter(Lines& lines) : lines_(lines) {}

  void operator()(const Paragraph& paragraph) {
    const std::string lead = paragraph.label.empty() ? "" : paragraph.label + ": ";
    lines_.paragraph(std::string(paragraph.indent, ' ') + lead, paragraph.text);
  }

  void operator()(const Facts& facts) {
    std::size_t longest = 0;
    for (const Labelled& row : facts.rows) longest = std::max(longest, width(row.label));
    for (const Labelled& row : facts.rows) {
      const std::string label =
          facts.to_the_right ? padded_left(row.label, longest) : padded(row.label, longest);
      lines_.paragraph("  " + label + "  ", row.text);
    }
  }

  void operator()(const List& list) {
    for (const List::Item& item : list.items) {
      lines_.paragraph("  - ", item.text);
      for (const Labelled& more : item.more) lines_.paragraph("    " + more.label + ": ", more.text);
    }
  }

  void operator()(const Step& step) {
    if (!step.before.empty()) lines_.paragraph("  ", step.before);
    const bool numbered = !step.number.empty();
    const std::size_t indent = numbered ? kIndent : 2;
    const std::string margin(indent, ' ');
    std::string lead = numbered ? padded_left(step.number, 4) + "  " : margin;
    for (const std::string& text : step.to_do) {
      lines_.paragraph(lead, text);
      lead = margin;
    }
    if (!step.shows.empty()) lines_.paragraph(margin, "Range " + step.range + ": " + step.shows);
    for (const std::string& note : step.notes) lines_.paragraph(margin, note);
    const std::string before = numbered ? margin : margin + "  ";
    for (const Labelled& sign : step.signs) {
      lines_.paragraph(before + sign.label + ": ", sign.text, before.size() + 2);
    }
  }

  void operator()(const Map& map) {
    for (const Labelled& place : map.places) lines_.paragraph("  " + place.label + "  ", place.text);
  }

  void operator()(const Checklist& checklist) {
    for (const Checklist::Row& row : checklist.rows) {
      if (!row.heading.empty()) lines_.paragraph("", row.heading);
      Step step = row.step;
      if (!row.between.empty()) step.shows += " (" + row.between + ")";
      if (!row.places.empty()) step.to_do.insert(step.to_do.begin(), in_words(row.places));
      (*this)(step);
    }
  }

  void operator()(const Readings& readings) {
    for (const Readings::Reading& reading : readings.readings) {
      if (!reading.setting.empty()) lines_.paragraph("  ", reading.setting);
      lines_.paragraph(padded_left(reading.number, 4) + "  ", reading.where);
      for (const Readings::Row& row : reading.rows) {
        std::string text = row.at.empty() ? "" : "at " + row.at + " ";
        text += "reads " + row.reads;
        if (!row.sound.empty()) text += "; sound " + row.sound;
        if (!row.judged.empty()) text += ": " + row.judged;
        lines_.paragraph("        ", text);
      }
    }
  }

  void operator()(const Verdict& verdict) {
    lines_.paragraph("", verdict.text);
    if (!verdict.advice.empty()) lines_.paragraph("", verdict.advice);
  }

  void operator()(const Group& group) {
    lines_.line("  " + group.name + "  " + group.share);
    for (const Labelled& suspect : group.suspects) {
      lines_.paragraph("   " + padded_left(suspect.label, 12) + "  ", suspect.text);
    }
    if (!group.evidence.empty()) lines_.paragraph("          ", group.evidence);
  }

  void operator()(const Table& table) {
    std::vector<std::size_t> widths;
    std::size_t used = 0;
    for (std::size_t i = 0; i + 1 < table.columns.size(); ++i) {
      std::size_t widest = std::max(table.columns[i].least, width(table.columns[i].title));
      for (const auto& row : table.rows) widest = std::max(widest, width(row[i]));
      widths.push_back(widest);
      used += widest + 2;
    }
    std::size_t last = width(table.columns.back().title);
    for (const auto& row : table.rows) last = std::max(last, width(row.back()));
    const bool words = last > kNarrow;
    widths.push_back(table.columns.back().to_the_right ? last : 0);
    const bool narrow = used + 2 + std::min(last, kNarrow) > lines_.columns();
    std::vector<std::string> titles;
    for (const Table::Column& column : table.columns) titles.push_back(column.title);
    const bool titled =
        std::any_of(titles.begin(), titles.end(), [](const std::string& title) { return !title.empty(); });
    if (titled && !narrow) put(table, widths, titles);
    for (const auto& row : table.rows) {
      if (!narrow) {
        put(table, widths, row);
      } else if (words) {
        stack(table, row);
      } else {
        lines_.paragraph("  ", row.front());
        lines_.paragraph("    ", titled_cells(table, row, 1, row.size()));
      }
    }
  }

  void operator()(const Verbatim& verbatim) {
    std::string_view rest(verbatim.text);
    while (!rest.empty()) {
      const std::size_t end = std::min(rest.find('\n'), rest.size());
      lines_.line(rest.substr(0, end));
      rest.remove_prefix(std::min(end + 1, rest.size()));
    }
  }

  void operator()(const Blanks&) {}
  void operator()(const Picture&) {}

 private:
  static constexpr std::size_t kIndent = 6;  // columns before the text of a step

  void put(const Table& table, const std::vector<std::size_t>& widths, const std::vector<std::string>& row) {
    std::string lead = "  ";
    for (std::size_t i = 0; i + 1 < row.size(); ++i) {
      lead += table.columns[i].to_the_right ? padded_left(row[i], widths[i]) : padded(row[i], widths[i]);
      lead += "  ";
    }
    const std::size_t last = width(row.back());
    if (last < widths.back()) lead.append(widths.back() - last, ' ');
    lines_.paragraph(lead, row.back());
  }

  static std::string titled_cells(const Table& table, const std::vector<std::string>& row, std::size_t first,
                                  std::size_t end) {
    std::string cells;
    for (std::size_t i = first; i < end; ++i) {
      if (row[i].empty()) continue;
      const std::string& title = table.columns[i].title;
      if (!cells.empty()) cells += title.empty() ? ", " : "; ";
      cells += title.empty() ? row[i] : title + " " + row[i];
    }
    return cells;
  }

  // The words of a row, then its numbers with their titles.
  void stack(const Table& table, const std::vector<std::string>& row) {
    const std::string numbers = titled_cells(table, row, 0, row.size() - 1);
    if (row.back().empty()) {
      lines_.paragraph("  ", numbers);
      return;
    }
    lines_.paragraph("  ", row.back());
    lines_.paragraph("    ", numbers);
  }

  Lines& lines_;
};

}  // namespace

std::string as_text(const Document& document, std::size_t columns) {
  Lines lines(columns);
  Setter set(lines);
  if (!document.title.empty()) lines.paragraph("", document.title);
  for (const Block& block : document.opening) std::visit(set, block);
  for (const Section& section : document.sections) {
    if (section.paper) continue;
    lines.blank();
    if (!section.title.empty() && !section.quiet) lines.paragraph("", section.title);
    for (const Block& block : section.blocks) std::visit(set, block);
  }
  return lines.take();
}

std::string wrapped(std::string_view lead, std::string_view text, std::size_t indent, std::size_t columns) {
  Lines lines(columns);
  lines.paragraph(lead, text, indent);
  return lines.take();
}

}  // namespace lugwise::page
