// Plain text for a bench: lines of at most 80 columns, wrapped at spaces.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "handling/handling.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "report/heading.h"

namespace lugwise::report {

class Page {
 public:
  void blank() { text_ += '\n'; }

  // A line as it is.
  void line(std::string_view text);

  // A paragraph: `lead` begins its first line, the others are indented as far, or by `indent` columns where that is
  // given. A word longer than a line stays whole.
  void paragraph(std::string_view lead, std::string_view text,
                 std::optional<std::size_t> indent = std::nullopt);

  std::string take() { return std::move(text_); }

 private:
  std::string text_;
};

// Columns a text takes: characters, not bytes.
std::size_t width(std::string_view text);

// Filled with spaces on the right, or on the left, to so many columns.
std::string padded(std::string_view text, std::size_t columns);
std::string padded_left(std::string_view text, std::size_t columns);

// "a, b and c".
std::string listed(const std::vector<std::string>& items);

// "1 joint", "3 joints".
std::string counted(std::size_t count, std::string_view noun);

std::string first_letter_up(std::string text);

// "about 12 minutes"; "less than a minute".
std::string minutes(double seconds);

// "12 %", "0.4 %", "over 99.9 %": never all or nothing of what is not certain.
std::string percent(double share);

// "selector front, volume 10, jack in": every control.
std::string in_words(const Harness& harness, const Setting& setting);

// "set selector front, volume 10; ", or nothing where there is nothing to set.
std::string set_in_words(const Harness& harness, const Setting& setting);

// "with nothing opened", "with the cavity open", "with the cavity and springs open", "on the bench".
std::string in_words(const Access& access);

// "2000 counts, 200 to 20M, leads 0.3".
std::string in_words(const Meter& meter);

// The lines that name harness, meter and temperature.
void write_heading(Page& page, const Heading& heading, std::string_view title);

}  // namespace lugwise::report
