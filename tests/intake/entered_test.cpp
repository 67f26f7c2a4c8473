// Three hundred ways to enter what a meter shows, and what it could not have shown.
//
// A letter for the point: IEC 60062, from memory. "OL" and a lone 1 above a range: published sheets and a teaching page,
// read. U+2126 and U+03A9: the Unicode standard has them as ohm sign and Greek capital omega, the same to read. The rest:
// common practice, no source.

#include <algorithm>
#include <cstdlib>
#include <functional>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "intake/display.h"
#include "intake/instrument.h"
#include "intake/reading_problem.h"
#include "intake/readings.h"
#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

struct Entered {
  const char* text;
  double value;
  double last;  // one of the last digit
};

const std::vector<Entered>& values() {
  static const std::vector<Entered> rows{
      // one value, written as people do
      {"7.41k", 7410, 10},
      {"7.41K", 7410, 10},
      {"7.41 k", 7410, 10},
      {"7.41 K", 7410, 10},
      {" 7.41k ", 7410, 10},
      {"7.41\tk", 7410, 10},
      {"7k41", 7410, 10},
      {"7K41", 7410, 10},
      {"7,41k", 7410, 10},
      {"7,41 k", 7410, 10},
      {"7,41 K", 7410, 10},
      {"7.41k\xCE\xA9", 7410, 10},       // U+03A9
      {"7.41 k\xCE\xA9", 7410, 10},      // U+03A9
      {"7.41k\xE2\x84\xA6", 7410, 10},   // U+2126
      {"7.41 k\xE2\x84\xA6", 7410, 10},  // U+2126
      {"7.41 k Ω", 7410, 10},
      {"7.41 KΩ", 7410, 10},
      {"7,41 kΩ", 7410, 10},
      {"7k41Ω", 7410, 10},
      {"7k41 Ω", 7410, 10},
      {"7.41kohm", 7410, 10},
      {"7.41 kohm", 7410, 10},
      {"7.41 kohms", 7410, 10},
      {"7.41 k ohm", 7410, 10},
      {"7.41 k ohms", 7410, 10},
      {"7.41 kOhm", 7410, 10},
      {"7.41 KOHM", 7410, 10},
      {"7.41 KOHMS", 7410, 10},
      {"7,41 kohm", 7410, 10},
      {"7.41\xC2\xA0k\xCE\xA9", 7410, 10},  // a space that does not break
      {"7.41\xE2\x80\xAFk", 7410, 10},      // a narrow one
      {"07.41k", 7410, 10},
      {"7410", 7410, 1},
      {"7410 ", 7410, 1},
      {"7410Ω", 7410, 1},
      {"7410 Ω", 7410, 1},
      {"7410 ohm", 7410, 1},
      {"7410 ohms", 7410, 1},
      {"7410 Ohms", 7410, 1},
      {"7410 OHMS", 7410, 1},
      {"7410R", 7410, 1},
      {"7410.0", 7410, 0.1},
      {"7.410k", 7410, 1},
      {"7.4k", 7400, 100},
      {"7k4", 7400, 100},
      {"7k", 7000, 1000},
      {"0.00741M", 7410, 10},
      // below an ohm and a few
      {".3", 0.3, 0.1},
      {",3 R", -1, 0},  // a comma needs a digit before it
      {"0.3", 0.3, 0.1},
      {"00.3", 0.3, 0.1},
      {"000.3", 0.3, 0.1},
      {"0,3", 0.3, 0.1},
      {"0.3Ω", 0.3, 0.1},
      {"0.3 Ω", 0.3, 0.1},
      {"0.3 ohm", 0.3, 0.1},
      {".3 ohms", 0.3, 0.1},
      {"0R3", 0.3, 0.1},
      {"R3", 0.3, 0.1},
      {"R30", 0.3, 0.01},
      {"0.3R", 0.3, 0.1},
      {"0.30", 0.3, 0.01},
      {"0", 0, 1},
      {"0.0", 0, 0.1},
      {"00.0", 0, 0.1},
      {"0.00k", 0, 10},
      {"0.000M", 0, 1000},
      {"1.0", 1, 0.1},
      {"1,0", 1, 0.1},
      {"1R0", 1, 0.1},
      {"12", 12, 1},
      {"12.5", 12.5, 0.1},
      {"12R5", 12.5, 0.1},
      {"47R", 47, 1},
      {"199.9", 199.9, 0.1},
      {"220 ohm", 220, 1},
      // kilohms
      {"0.220k", 220, 1},
      {"k22", 220, 10},
      {"1.999k", 1999, 1},
      {"1k999", 1999, 1},
      {"5.005k", 5005, 1},
      {"7,4120k", 7412, 0.1},
      {"0,412k", 412, 1},
      {"19.99k", 19990, 10},
      {"59.99 k", 59990, 10},
      {"251k", 251e3, 1e3},
      {"251K", 251e3, 1e3},
      {"251 k", 251e3, 1e3},
      {"251 kΩ", 251e3, 1e3},
      {"251.0k", 251e3, 100},
      {"251,0 kΩ", 251e3, 100},
      {"251000", 251e3, 1},
      // megohms
      {"0.251M", 251e3, 1e3},
      {".251M", 251e3, 1e3},
      {"0,251 M", 251e3, 1e3},
      {"0.251MΩ", 251e3, 1e3},
      {"0.251 MΩ", 251e3, 1e3},
      {"0.251 Mohm", 251e3, 1e3},
      {"0.251 MOHM", 251e3, 1e3},
      {"0M251", 251e3, 1e3},
      {"M251", 251e3, 1e3},
      {"1.00M", 1e6, 1e4},
      {"1M", 1e6, 1e6},
      {"1M5", 1.5e6, 1e5},
      {"2.2M", 2.2e6, 1e5},
      {"19.99M", 19.99e6, 1e4},
  };
  return rows;
}

const std::vector<std::pair<const char*, Shows>>& words() {
  static const std::vector<std::pair<const char*, Shows>> rows{
      {"OL", Shows::OverRange},      {"ol", Shows::OverRange},       {"Ol", Shows::OverRange},
      {"oL", Shows::OverRange},      {" OL ", Shows::OverRange},     {"O.L", Shows::OverRange},
      {"o.l", Shows::OverRange},     {"O.L.", Shows::OverRange},     {"OL.", Shows::OverRange},
      {".OL", Shows::OverRange},     {".0L", Shows::OverRange},      {"0L", Shows::OverRange},
      {"0l", Shows::OverRange},      {"0.L", Shows::OverRange},      {"0.l", Shows::OverRange},
      {"OL MΩ", Shows::OverRange},   {"0.L MΩ", Shows::OverRange},   {"OL kΩ", Shows::OverRange},
      {"OLΩ", Shows::OverRange},     {".OL Mohm", Shows::OverRange}, {"O.L M", Shows::OverRange},
      {"beep", Shows::Beep},         {"Beep", Shows::Beep},          {"BEEP", Shows::Beep},
      {" beep", Shows::Beep},        {"no beep", Shows::NoBeep},     {"No beep", Shows::NoBeep},
      {"NO BEEP", Shows::NoBeep},    {"no  beep", Shows::NoBeep},    {"no\tbeep", Shows::NoBeep},
      {"unstable", Shows::Unstable}, {"Unstable", Shows::Unstable},  {"UNSTABLE", Shows::Unstable},
      {"steady", Shows::Steady},     {"Steady", Shows::Steady},      {"smooth", Shows::Smooth},
      {"SMOOTH", Shows::Smooth},     {"jumps", Shows::Jumps},        {"Jumps", Shows::Jumps},
  };
  return rows;
}

// What no meter shows, or what may mean two things, and what is offered instead.
const std::vector<std::pair<const char*, const char*>>& refused() {
  static const std::vector<std::pair<const char*, const char*>> rows{
      // a comma with three digits behind it
      {"1,000", "'1.000k' or '1.000'"},
      {"1,000 Ω", "'1000 Ω' or '1.000 Ω'"},
      {"1,000Ω", "'1000Ω' or '1.000Ω'"},
      {"1,000R", "'1000R' or '1.000R'"},
      {"1,000k", "'1000k' or '1.000k'"},
      {"1,000 k", "'1000 k' or '1.000 k'"},
      {"1,000 kΩ", "'1000 kΩ' or '1.000 kΩ'"},
      {"1,000M", "'1000M' or '1.000M'"},
      {"1,000 ohm", "'1000 ohm' or '1.000 ohm'"},
      {"1,000 Ohms", "'1000 Ohms' or '1.000 Ohms'"},
      {"1,000n", "'1000n' or '1.000n'"},
      {"1,000 nF", "'1000 nF' or '1.000 nF'"},
      {"12,345R", "'12345R' or '12.345R'"},
      {"12,345", "'12.345k' or '12.345'"},
      {"250,000 ohm", "'250000 ohm' or '250.000 ohm'"},
      {"250,000 Ω", "'250000 Ω' or '250.000 Ω'"},
      {"250,000", "'250.000k' or '250.000'"},
      {"7,412k", "'7412k' or '7.412k'"},
      {"7,410 k", "'7410 k' or '7.410 k'"},
      {"100,000k", "'100000k' or '100.000k'"},
      {" 6,710 kohm ", "'6710 kohm' or '6.710 kohm'"},
      // thousands, and a point too
      {"1.000,5", "'1000.5'"},
      {"1.000,5k", "'1000.5k'"},
      {"1.000,50 Ω", "'1000.50 Ω'"},
      {"1,000.5", "'1000.5'"},
      {"1,000.5 Ω", "'1000.5 Ω'"},
      {"250,000.0", "'250000.0'"},
      {"1,000,000", "'1000000'"},
      {"1,000,000 Ω", "'1000000 Ω'"},
      {"1.000.000", "'1000000'"},
      {"1.234.567,8", "'1234567.8'"},
      {"1 000", "'1000'"},
      {"1 000 Ω", "'1000 Ω'"},
      {"250 000", "'250000'"},
      {"250 000 ohm", "'250000 ohm'"},
      {"1 000,5", "'1000.5'"},
      {"1\xC2\xA0"
       "000",
       "'1000'"},
      {"1\xE2\x80\xAF"
       "000",
       "'1000'"},
      {"1'000", "'1000'"},
      {"1'000.5", "'1000.5'"},
      {"1\xE2\x80\x99"
       "000 Ω",
       "'1000 Ω'"},
      {"250_000", "'250000'"},
      {"7\xC2\xB7"
       "41k",
       "'7.41k'"},
      {"7\xC2\xB7"
       "41",
       "'7.41'"},
      // above the range, mistyped
      {"OL,", "'OL'"},
      {"O,L", "'OL'"},
      {"0,L", "'OL'"},
      {"0 L", "'OL'"},
      {"O L", "'OL'"},
      {"0 l", "'OL'"},
      {"O.L,", "'OL'"},
      {"O:L", "'OL'"},
      {"O-L", "'OL'"},
      {"0-L", "'OL'"},
      {"O/L", "'OL'"},
      {"-OL", "'OL'"},
      {"-OL-", "'OL'"},
      {"+OL", "'OL'"},
      {"OL!", "'OL'"},
      {"OL?", "'OL'"},
      {"'OL'", "'OL'"},
      {"\"OL\"", "'OL'"},
      {"OLL", "'OL'"},
      {"LO", "'OL'"},
      {"lo", "'OL'"},
      {"O1", "'OL'"},
      {"0I", "'OL'"},
      {"OI", "'OL'"},
      {"QL", "'OL'"},
      {"\xD0\x9E"
       "L",
       "'OL'"},  // a Cyrillic O
      {"\xCE\x9F"
       "L",
       "'OL'"},  // a Greek one
      {"over", "'OL'"},
      {"overload", "'OL'"},
      {"over load", "'OL'"},
      {"over range", "'OL'"},
      {"open", "'OL'"},
      {"OPEN", "'OL'"},
      {"open circuit", "'OL'"},
      {"inf", "'OL'"},
      {"infinity", "'OL'"},
      {"infinite", "'OL'"},
      {".inf", "'OL'"},
      {"\xE2\x88\x9E", "'OL'"},
      {">20M", "'OL'"},
      {"> 2k", "'OL'"},
      {"1", "'OL'"},
      {"1.", "'OL'"},
      {"1 .", "'OL'"},
      {"1,", "'OL'"},
      {"1 ,", "'OL'"},
      {"1_", "'OL'"},
      {"1 -", "'OL'"},
      {"1---", "'OL'"},
      // signs
      {"+5", "'5'"},
      {"+5k", "'5k'"},
      {"+ 5.2k", "'5.2k'"},
      {"-5", "below zero"},
      {"-0.3", "below zero"},
      {"\xE2\x88\x92"
       "5",
       "below zero"},
      {"\xE2\x88\x92"
       "0.3",
       "below zero"},
      {"\xE2\x80\x93"
       "0.3",
       "below zero"},
      // ends
      {"5.", "'5'"},
      {"5,", "'5'"},
      {"5k.", "'5k'"},
      {"5.2k,", "'5.2k'"},
      {"5.2k?", "'5.2k'"},
      {"(5.2k)", "'5.2k'"},
      {"~5.2k", "'5.2k'"},
      {"=5.2k", "'5.2k'"},
      {"5.2k;", "'5.2k'"},
      // letters
      {"251m", "'251M'"},
      {"0.251mΩ", "'0.251M'"},
      {"2meg", "'2M'"},
      {"2.2 Meg", "'2.2M'"},
      {"4.7r", "'4.7'"},
      {"5kO", "'5k'"},
      {"5kk", "'5k'"},
      {"5e", "'5'"},
      {"5\xD0\xBA", "'5k'"},        // a Cyrillic k
      {"5\xD0\x9A", "'5K'"},        // and its capital
      {"5\xCE\x9A", "'5K'"},        // a Greek one
      {"5\xE2\x84\xAA", "'5K'"},    // kelvins
      {"5\xD0\x9C", "'5M'"},        // a Cyrillic M
      {"5.2k\xCF\x89", "'5.2kΩ'"},  // a small omega
      {"5.2\xE3\x8F\x80", "'5.2kΩ'"},
      {"\xEF\xBC\x95"
       "k",
       "'5k'"},  // full-width
      {"\xEF\xBC\x95\xEF\xBC\x8E\xEF\xBC\x92"
       "k",
       "'5.2k'"},
      {"47mF", "capacitor"},
      // words
      {"beeps", "'beep'"},
      {"beeped", "'beep'"},
      {"peep", "'beep'"},
      {"beep!", "'beep'"},
      {"nobeep", "'no beep'"},
      {"no-beep", "'no beep'"},
      {"no beeps", "'no beep'"},
      {"silent", "'no beep'"},
      {"silence", "'no beep'"},
      {"jumpy", "'jumps'"},
      {"jump", "'jumps'"},
      {"about 5k", "write what"},
      {"5k or 6k", "write"},
      {"5k 6k", "write"},
      {"5 6", "write"},
      {"5..2k", "write"},
      {"1,2,3", "write"},
      {"1e3", "write"},
      {"0x10", "write"},
      {"5k2k", "'5.2k'"},
      {"5,2,k", "write"},
      {"2k,", "'2k'"},
      {"6.71 k.", "'6.71 k'"},
      {"12'345'678", "'12345678'"},
      {"999,999 ohms", "'999999 ohms' or '999.999 ohms'"},
      {"10,000R", "'10000R' or '10.000R'"},
      {"", "write"},
      {"~", "write"},
      {"null", "write"},
  };
  return rows;
}

Meter shipped(const std::string& name) {
  Diagnostics diagnostics(name);
  const auto meter = read_meter(test::file_text("harnesses/meters/" + name), diagnostics);
  REQUIRE(meter);
  return *meter;
}

TEST_CASE("three hundred spellings of a display are read, or refused with what was meant", "[intake]") {
  std::set<std::string> spellings;
  for (const Entered& row : values()) {
    CAPTURE(row.text);
    const auto parsed = parse_reading(row.text);
    if (row.value < 0) {
      CHECK_FALSE(parsed.value);
      continue;
    }
    REQUIRE(parsed.value);
    CHECK(parsed.value->shows == Shows::Value);
    CHECK(parsed.value->value == row.value);  // the nearest double to what was typed
    CHECK_THAT(parsed.value->resolution, Catch::Matchers::WithinRel(row.last, 1e-12));
    spellings.insert(row.text);
  }
  for (const auto& [text, shows] : words()) {
    CAPTURE(text);
    const auto parsed = parse_reading(text);
    REQUIRE(parsed.value);
    CHECK(parsed.value->shows == shows);
    spellings.insert(text);
  }
  for (const auto& [text, hint] : refused()) {
    CAPTURE(text);
    const auto parsed = parse_reading(text);
    CHECK_FALSE(parsed.value);
    CHECK_THAT(parsed.hint, Catch::Matchers::ContainsSubstring(hint));
    spellings.insert(text);
  }
  CHECK(spellings.size() >= 300);
}

// All texts of a few signs, against a reading of our own: what stands for a value is read as that value, all else refused.
// LUGWISE_SPELLINGS sets how many signs long they get.
TEST_CASE("of all short texts only numbers with their letter are read, and none with two meanings",
          "[intake]") {
  const std::string alphabet = "012.,kMR OL-'";
  const std::regex number(R"(^ *(\d+|\d*\.\d+|\d+,\d+) *([kMR]?) *$)");
  const std::regex lettered(R"(^ *(\d*)([kMR])(\d+) *$)");
  const std::regex two_meanings(R"(^[12]\d{0,2},\d{3}$)");
  const std::regex lone(R"(^ *1[ .,-]*$)");
  const std::regex over(R"(^ *(OL\.?|\.OL|0\.?L|O\.L\.?|\.0L) *[kMR]? *$)");
  const char* longest = std::getenv("LUGWISE_SPELLINGS");
  const std::size_t most = longest ? std::strtoul(longest, nullptr, 10) : 4;
  std::size_t tried = 0, read = 0;
  std::string text;
  const auto check_one = [&] {
    const auto parsed = parse_reading(text);
    ++tried;
    std::smatch parts;
    std::optional<double> value;
    if (std::regex_match(text, lone)) {
    } else if (std::regex_match(text, parts, number)) {
      std::string digits = parts[1];
      if (!std::regex_match(digits, two_meanings)) {
        std::replace(digits.begin(), digits.end(), ',', '.');
        const std::string letter = parts[2];
        value = std::stod(digits + (letter == "k" ? "e3" : letter == "M" ? "e6" : ""));
      }
    } else if (std::regex_match(text, parts, lettered)) {
      const std::string letter = parts[2];
      value = std::stod("0" + parts[1].str() + "." + parts[3].str() +
                        (letter == "k"   ? "e3"
                         : letter == "M" ? "e6"
                                         : ""));
    }
    const bool ol = std::regex_match(text, over) && text.find('R') == std::string::npos;
    const bool agrees =
        value ? parsed.value && parsed.value->shows == Shows::Value && parsed.value->value == *value
        : ol  ? parsed.value && parsed.value->shows == Shows::OverRange
              : !parsed.value;
    if (!agrees) {
      CAPTURE(text);
      CHECK(agrees);
    }
    read += value ? 1 : 0;
  };
  const std::function<void()> extend = [&] {
    if (!text.empty()) check_one();
    if (text.size() == most) return;
    for (const char sign : alphabet) {
      text += sign;
      extend();
      text.pop_back();
    }
  };
  extend();
  CHECK(tried > 30000);
  CHECK(read > 1000);
}

TEST_CASE("every spelling means the same with a comma, and on every meter", "[intake]") {
  for (const char* name : {"manual-2000.yaml", "auto-4000.yaml", "auto-6000.yaml"}) {
    const Meter meter = shipped(name);
    for (const Entered& row : values()) {
      if (row.value < 0) continue;
      CAPTURE(row.text);
      const auto parsed = parse_display(row.text, meter);
      REQUIRE(parsed.value);
      CHECK(parsed.value->value == row.value);
      std::string comma = row.text;
      const std::size_t point = comma.find('.');
      if (point == std::string::npos || point == 0) continue;
      // Three digits behind a comma may mean thousands, unless a zero stands before it: that is asked back.
      const std::size_t digits = comma.find_first_not_of("0123456789", point + 1);
      if (std::min(digits, comma.size()) - point == 4 && comma[comma.find_first_not_of(' ')] != '0') continue;
      comma[point] = ',';
      if (comma.find(',') == 0 || comma[comma.find(',') - 1] == ' ') continue;
      const auto same = parse_display(comma, meter);
      CAPTURE(comma);
      REQUIRE(same.value);
      CHECK(same.value->value == row.value);
    }
  }
}

// By hand, from the counts: 1999 of 2000 is the last display; 5999 of 6000; a range of 20k in 2000 counts steps by 10.
TEST_CASE("what a meter could not have shown is told by kind, with its range and without", "[intake]") {
  using Kind = ReadingProblem::Kind;
  struct Row {
    const char* meter;
    const char* text;
    double range;  // 0: not given
    std::optional<Kind> kind;
  };
  const std::vector<Row> rows{
      // the range holds it and its digits
      {"manual-2000.yaml", "7.41k", 20e3, {}},
      {"manual-2000.yaml", "7410", 20e3, {}},
      {"manual-2000.yaml", "7k41", 20e3, {}},
      {"manual-2000.yaml", "7.4k", 200e3, {}},
      {"manual-2000.yaml", "19.99k", 20e3, {}},
      {"manual-2000.yaml", ".3", 200, {}},
      {"manual-2000.yaml", "199.9", 200, {}},
      {"manual-2000.yaml", "0.251M", 2e6, {}},
      {"manual-2000.yaml", "OL", 200, {}},
      {"manual-2000.yaml", "beep", 200, {}},
      {"manual-2000.yaml", "7.41k", 0, {}},
      {"manual-2000.yaml", "0.25M", 0, {}},
      {"auto-6000.yaml", "5.812k", 0, {}},
      {"auto-6000.yaml", "7.41k", 0, {}},
      {"auto-6000.yaml", "251.0k", 600e3, {}},
      {"auto-4000.yaml", "3.999k", 0, {}},
      // more digits than there are
      {"manual-2000.yaml", "7.412k", 20e3, Kind::TooManyDigits},
      {"manual-2000.yaml", "7411", 20e3, Kind::TooManyDigits},
      {"manual-2000.yaml", "7.41", 20e3, Kind::TooManyDigits},
      {"manual-2000.yaml", "7.41k", 200e3, Kind::TooManyDigits},
      {"manual-2000.yaml", "0.30", 200, Kind::TooManyDigits},
      {"manual-2000.yaml", "251.0k", 2e6, Kind::TooManyDigits},
      {"manual-2000.yaml", "5.812k", 0, Kind::TooManyDigits},
      {"auto-6000.yaml", "7.412k", 0, Kind::TooManyDigits},
      {"auto-4000.yaml", "5.812k", 0, Kind::TooManyDigits},
      // above the range
      {"manual-2000.yaml", "20.00k", 20e3, Kind::AboveRange},
      {"manual-2000.yaml", "200.0", 200, Kind::AboveRange},
      {"manual-2000.yaml", "20.00M", 0, Kind::AboveRange},
      {"auto-6000.yaml", "60.00M", 0, Kind::AboveRange},
      {"auto-6000.yaml", "6.000k", 6e3, Kind::AboveRange},
      {"auto-4000.yaml", "41.0M", 0, Kind::AboveRange},
      // a range it lacks
      {"manual-2000.yaml", "7.41k", 60e3, Kind::NoSuchRange},
      {"auto-6000.yaml", "7.41k", 20e3, Kind::NoSuchRange},
      {"auto-4000.yaml", "OL", 20e3, Kind::NoSuchRange},
  };
  for (const Row& row : rows) {
    const Meter meter = shipped(row.meter);
    INFO(row.meter << ", " << row.text << " on " << row.range);
    const auto shown = parse_display(row.text, meter);
    REQUIRE(shown.value);
    const auto range = row.range > 0 ? std::optional<Ohms>(row.range) : std::nullopt;
    const auto problem = reading_problem(meter, range, *shown.value, row.text);
    CHECK(problem.has_value() == row.kind.has_value());
    if (problem && row.kind) CHECK(problem->kind == *row.kind);
  }
}

TEST_CASE("a meter's own way to say above the range is read as OL, on that meter only", "[intake]") {
  Diagnostics diagnostics("meter.yaml");
  const auto old = read_meter("{counts: 2000, over: '1 .'}", diagnostics);
  REQUIRE(old);
  CHECK(old->over == "1 .");
  for (const char* text : {"1 .", "1.", "1  .", " 1 . ", "OL", "0L"}) {
    CAPTURE(text);
    const auto shown = parse_display(text, *old);
    REQUIRE(shown.value);
    CHECK(shown.value->shows == Shows::OverRange);
  }
  for (const char* text : {"1 .", "1.", "1"}) {
    CAPTURE(text);
    const auto refused = parse_display(text, assumed_meter());
    CHECK_FALSE(refused.value);
    CHECK_THAT(refused.hint, Catch::Matchers::ContainsSubstring("'OL'"));
  }
  CHECK(parse_display("1.0", *old).value->shows == Shows::Value);
  const auto problem = reading_problem(*old, 20e3, *parse_display("25.0k", *old).value, "25.0k");
  REQUIRE(problem);
  CHECK(problem->hint == "the display says 1 . there");
}

TEST_CASE("a sheet is judged by the meter that the command line names", "[intake]") {
  const Netlist netlist = test::netlist_of("harnesses/fernhollow-2.yaml");
  const std::string text =
      "lugwise-readings: 1\nmeter: {counts: 2000}\nreadings:\n"
      "  - {between: [front.hot, front.ground], reads: 5.812k}\n  - {between: [jack.tip, volume.1], reads: 1 "
      ".}\n";
  Diagnostics own("readings.yaml");
  CHECK_FALSE(read_sheet(text, netlist, own));
  CHECK(own.list().size() == 2);
  Meter better = shipped("auto-6000.yaml");
  better.over = "1 .";
  Diagnostics named("readings.yaml");
  const auto sheet = read_sheet(text, netlist, named, &better);
  REQUIRE(sheet);
  CHECK(sheet->meter->counts == 2000);
  CHECK(sheet->entries[1].shows == Shows::OverRange);
}

}  // namespace
}  // namespace lugwise
