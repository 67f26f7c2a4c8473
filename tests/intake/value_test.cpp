// How people write values, and what it means. Spellings with a letter for the point are those of IEC 60062 (from memory:
// R47 is 0.47 ohm, 4R7 4.7 ohm, 4K7 4.7 kilohm, 1M5 1.5 megohm, p33 0.33 pF, 4n7 4.7 nF, 2u2 2.2 uF); the rest is
// common practice, no source.

#include "intake/value.h"
#include "intake/display.h"
#include "intake/reading_problem.h"

#include <string>

#include "support/catch.h"

namespace lugwise {
namespace {

struct Good {
  const char* text;
  double value;
};
struct Bad {
  const char* text;
  const char* hint;  // part of what is said about it
};

template <class Parser>
void check_good(Parser parser, const std::vector<Good>& table) {
  for (const Good& row : table) {
    CAPTURE(row.text);
    const auto parsed = parser(row.text);
    CHECK(parsed.problem.empty());
    REQUIRE(parsed.value);
    // The nearest double to what was typed, not one beside it.
    CHECK(*parsed.value == row.value);
  }
}

template <class Parser>
void check_bad(Parser parser, const std::string& begin, const std::vector<Bad>& table) {
  for (const Bad& row : table) {
    CAPTURE(row.text);
    const auto parsed = parser(row.text);
    CHECK_FALSE(parsed.value);
    CHECK_THAT(parsed.problem, Catch::Matchers::StartsWith(begin));
    CHECK_THAT(parsed.hint, Catch::Matchers::ContainsSubstring(row.hint));
    CHECK_THAT(parsed.why(), Catch::Matchers::StartsWith(begin));
  }
}

TEST_CASE("resistances are read as they are written on parts and drawings", "[intake]") {
  check_good(parse_ohms,
             {
                 {"220", 220},   {"0", 0},         {"4.7", 4.7},     {".5", 0.5},       {"0.05", 0.05},
                 {"010", 10},    {"500k", 500e3},  {"500K", 500e3},  {"4.7k", 4700},    {"4k7", 4700},
                 {"4K7", 4700},  {"0.5M", 500e3},  {"1M", 1e6},      {"1M5", 1.5e6},    {"2M2", 2.2e6},
                 {"R47", 0.47},  {"4R7", 4.7},     {"47R", 47},      {"k22", 220},      {"M5", 500e3},
                 {"1G", 1e9},    {"8.2 k", 8200},  {"8.2 kΩ", 8200}, {"8.2 kΩ", 8200},  {"8.2kΩ", 8200},
                 {"220 Ω", 220}, {"220Ω", 220},    {"220 ohm", 220}, {"220 ohms", 220}, {"1 Mohm", 1e6},
                 {"4k7Ω", 4700}, {" 6.2k ", 6200}, {"6.2k", 6200},   {"6200", 6200},    {"0.1k", 100},
                 {"100.0", 100}, {"3.65k", 3650},  {"15k", 15e3},    {"1k", 1e3},
             });
}

TEST_CASE("what is no resistance is refused with what was probably meant", "[intake]") {
  check_bad(parse_ohms, "not a resistance: '",
            {
                {"500m", "'500M'"},
                {"4.7m", "'4.7M'"},
                {"4m7", "'4.7M'"},
                {"250mΩ", "'250M'"},
                {"4.7r", "'4.7'"},
                {"2meg", "'2M'"},
                {"2Meg", "'2M'"},
                {"5kO", "'5k'"},
                {"5kk", "'5k'"},
                {"4,7k", "'4.7k'"},
                {"6,2", "'6.2'"},
                {"1,000", "'1000' or '1.000'"},
                {"12,345R", "'12345R' or '12.345R'"},
                {"1,000,000", "'1000000'"},
                {"1.000,5k", "'1000.5k'"},
                {"−5k", "'5k'"},
                {"-5k", "'5k'"},
                {"+5k", "'5k'"},
                {"5.", "'5'"},
                {"47n", "capacitor"},
                {"0.022u", "capacitor"},
                {"22nF", "capacitor"},
                {"", "write"},
                {"k", "write"},
                {"big", "write"},
                {".inf", "write"},
                {".nan", "write"},
                {"inf", "write"},
                {"1e3", "write"},
                {"0x10", "write"},
                {"5k 6k", "write"},
                {"4.7k7", "write"},
                {"4k7k", "'4.7k'"},
                {"1.2.3", "write"},
                {"5%", "write"},
                {"9V", "write"},
                {"..", "write"},
                {"12345678901234567890123456", "write"},
                {"~", "write"},
                {"5 k k", "write"},
                {"k k", "write"},
            });
}

TEST_CASE("capacitors need a unit letter", "[intake]") {
  check_good(parse_farads, {
                               {"22n", 22e-9},
                               {"0.022u", 0.022e-6},
                               {"0.022µ", 0.022e-6},
                               {"0.022μ", 0.022e-6},
                               {"47 nF", 47e-9},
                               {"47nF", 47e-9},
                               {"680p", 680e-12},
                               {"680pF", 680e-12},
                               {"4n7", 4.7e-9},
                               {"4n7F", 4.7e-9},
                               {"n47", 0.47e-9},
                               {"p33", 0.33e-12},
                               {"2u2", 2.2e-6},
                               {"µ47", 0.47e-6},
                               {"1m", 1e-3},
                               {"0.1uF", 0.1e-6},
                               {"100n", 100e-9},
                           });
  check_bad(
      parse_farads, "not a capacitor's value: '",
      {
          {".047", "'47n'"},        {"0.022", "'22n'"},        {"0.1", "'100n'"},     {"473", "'47n'"},
          {"104", "'100n'"},        {"223", "'22n'"},          {"681", "'680p'"},     {"22", "'22n'"},
          {"47", "'47n'"},          {"22N", "'22n'"},          {"22NF", "'22n'"},     {"0.1UF", "'0.1u'"},
          {"0.047mfd", "'0.047u'"}, {"0.047 MFD", "'0.047u'"}, {"22k", "resistance"}, {"22kΩ", "resistance"},
          {"0,022u", "'0.022u'"},   {"small", "write"},        {"", "write"},         {"0", "write"},
          {"-22n", "write"},        {"nF", "write"},
      });
}

TEST_CASE("shares carry their sign", "[intake]") {
  check_good(parse_share, {{"10%", 0.1},
                           {"10 %", 0.1},
                           {"0.02%", 0.0002},
                           {"0%", 0},
                           {"100%", 1},
                           {"7.5%", 0.075},
                           {"8%", 0.08}});
  check_bad(parse_share, "not a percentage: '",
            {
                {"10", "'10%'"},
                {"0.1", "'10%' or '0.1%'"},
                {"0.05", "'5%' or '0.05%'"},
                {"-5%", "sign"},
                {"5,5%", "'5.5%'"},
                {"ten", "write"},
                {"%", "write"},
                {"10k%", "write"},
                {"", "write"},
            });
}

TEST_CASE("lengths carry their unit", "[intake]") {
  check_good(
      parse_length,
      {{"300 mm", 0.3}, {"300mm", 0.3}, {"30 cm", 0.3}, {"0.3 m", 0.3}, {"9.5 in", 0.2413}, {"55cm", 0.55}});
  check_bad(parse_length, "not a length: '",
            {
                {"300", "'300 mm'"},
                {"9.5\"", "'9.5 in'"},
                {"2 inches", "'2 in'"},
                {"30 CM", "'30 cm'"},
                {"1 ft", "write"},
                {"long", "write"},
                {"-3 mm", "write"},
                {"3,5 cm", "'3.5 cm'"},
            });
}

TEST_CASE("volts and degrees are read with and without their unit", "[intake]") {
  check_good(parse_volts, {{"9", 9}, {"9V", 9}, {"1.5 V", 1.5}});
  check_bad(parse_volts, "not a voltage: '", {{"nine", "write"}, {"9k", "write"}, {"", "write"}});
  check_good(parse_celsius, {{"24", 24},
                             {"24 °C", 24},
                             {"24°C", 24},
                             {"24C", 24},
                             {"24 C", 24},
                             {"-5 °C", -5},
                             {"−5", -5},
                             {"21.5", 21.5},
                             {"24℃", 24}});
  check_bad(parse_celsius, "not a temperature: '",
            {{"75 F", "'24 °C'"}, {"75°F", "'24 °C'"}, {"warm", "write"}, {"", "write"}});
  check_good(parse_number, {{"10", 10}, {"7.5", 7.5}, {".5", 0.5}, {"010", 10}});
  check_bad(parse_number, "not a number: '",
            {{"10k", ""}, {"ten", ""}, {".inf", ""}, {"-1", ""}, {"5R", ""}});
}

TEST_CASE("a display's value is read with what one of its last digit is worth", "[intake]") {
  struct Row {
    const char* text;
    double value;
    double resolution;
  };
  const std::vector<Row> rows{
      {"7.41k", 7410, 10},      {"7k41", 7410, 10},     {"7,41 k", 7410, 10},
      {"7,41k", 7410, 10},      {"7410", 7410, 1},      {".3", 0.3, 0.1},
      {"0.3", 0.3, 0.1},        {"00.3", 0.3, 0.1},     {"0,3", 0.3, 0.1},
      {"5.005k", 5005, 1},      {"0.238M", 238e3, 1e3}, {"251k", 251e3, 1e3},
      {"251 kΩ", 251e3, 1e3},   {"251 kΩ", 251e3, 1e3}, {"1.0", 1, 0.1},
      {"1k", 1e3, 1e3},         {"2.20k", 2200, 10},    {"0", 0, 1},
      {"0.0", 0, 0.1},          {"12", 12, 1},          {"1R2", 1.2, 0.1},
      {"19.99M", 19.99e6, 1e4}, {"1,0", 1, 0.1},        {"6.712 k", 6712, 1},
  };
  for (const Row& row : rows) {
    CAPTURE(row.text);
    const auto parsed = parse_reading(row.text);
    REQUIRE(parsed.value);
    CHECK(parsed.value->shows == Shows::Value);
    CHECK(parsed.value->value == row.value);
    CHECK_THAT(parsed.value->resolution, Catch::Matchers::WithinRel(row.resolution, 1e-12));
  }
}

TEST_CASE("a reading in farads has the letter of its range", "[intake]") {
  struct Row {
    const char* text;
    double value;
    double resolution;
  };
  const std::vector<Row> rows{{"47n", 47e-9, 1e-9},         {"47.2n", 47.2e-9, 0.1e-9},
                              {"47,2 nF", 47.2e-9, 0.1e-9}, {"0.047u", 0.047e-6, 1e-9},
                              {"4.70 µF", 4.7e-6, 10e-9},   {"680p", 680e-12, 1e-12}};
  for (const Row& row : rows) {
    CAPTURE(row.text);
    const auto parsed = parse_reading(row.text);
    REQUIRE(parsed.value);
    CHECK(parsed.value->farads);
    CHECK(parsed.value->value == row.value);
    CHECK_THAT(parsed.value->resolution, Catch::Matchers::WithinRel(row.resolution, 1e-12));
  }
  CHECK_FALSE(parse_reading("47k").value->farads);
}

TEST_CASE("the words of a display and of the ear are read in any case", "[intake]") {
  const std::vector<std::pair<const char*, Shows>> rows{
      {"OL", Shows::OverRange},      {"ol", Shows::OverRange},   {"O.L", Shows::OverRange},
      {"o.l", Shows::OverRange},     {"0L", Shows::OverRange},   {"0l", Shows::OverRange},
      {"0.L", Shows::OverRange},     {"0.l", Shows::OverRange},  {".OL", Shows::OverRange},
      {"O.L.", Shows::OverRange},    {" OL ", Shows::OverRange}, {"beep", Shows::Beep},
      {"Beep", Shows::Beep},         {"no beep", Shows::NoBeep}, {"No beep", Shows::NoBeep},
      {"unstable", Shows::Unstable}, {"steady", Shows::Steady},  {"smooth", Shows::Smooth},
      {"jumps", Shows::Jumps},
  };
  for (const auto& [text, shows] : rows) {
    CAPTURE(text);
    const auto parsed = parse_reading(text);
    REQUIRE(parsed.value);
    CHECK(parsed.value->shows == shows);
  }
}

TEST_CASE("what no meter shows is refused with what was probably meant", "[intake]") {
  check_bad(parse_reading, "not a reading: '",
            {
                {"1", "'OL'"},
                {"1.", "'OL'"},
                {"1 .", "'OL'"},
                {"open", "'OL'"},
                {"inf", "'OL'"},
                {"∞", "'OL'"},
                {"LO", "'OL'"},
                {"O L", "'OL'"},
                {"overload", "'OL'"},
                {"251m", "'251M'"},
                {"-0.3", "below zero"},
                {"5.", "'5'"},
                {"beeps", "'beep'"},
                {"no-beep", "'no beep'"},
                {"silent", "'no beep'"},
                {"jumpy", "'jumps'"},
                {"1,234", "'1.234k' or '1.234'"},
                {"6,710", "'6.710k' or '6.710'"},
                {"about 5k", "write what"},
                {"", "write what"},
                {"1,234R", "'1234R' or '1.234R'"},
                {"1,000 Ω", "'1000 Ω' or '1.000 Ω'"},
                {"1.000,5", "'1000.5'"},
                {"OL,", "'OL'"},
                {"O,L", "'OL'"},
                {"0 L", "'OL'"},
                {"+5", "'5'"},
                {"−0.3", "below zero"},
                {"1,2,3", ""},
                {"1.2,3", ""},
                {"47mF", "capacitor"},
                {"null", "write what"},
                {"~", "write what"},
            });
}

Meter by_hand() { return assumed_meter(); }  // 200, 2k, ... 20M in 2000 counts

Meter by_itself() {
  Meter meter;
  meter.counts = 6000;
  meter.automatic = true;
  meter.ranges = usual_ranges(6000, 0.005, 2);
  return meter;
}

std::string said(const Meter& meter, const char* text, std::optional<Ohms> range) {
  const auto shown = parse_reading(text);
  REQUIRE(shown.value);
  const auto problem = reading_problem(meter, range, *shown.value, text);
  return problem ? problem->problem + "; " + problem->hint : "";
}

TEST_CASE("a reading has no more digits than its range", "[intake]") {
  CHECK(said(by_hand(), "6.71k", 20e3).empty());
  CHECK(said(by_hand(), "6710", 20e3).empty());  // plain ohms: its last zero says nothing
  CHECK(said(by_hand(), "0.01k", 20e3).empty());
  CHECK(said(by_hand(), "0", 20e3).empty());
  CHECK(said(by_hand(), "0.00", 200).empty());
  CHECK(said(by_hand(), "6.71", 20e3) == "'6.71' is finer than the 20k range shows; did you mean '6.71k'?");
  CHECK(said(by_hand(), "6.712k", 20e3) == "'6.712k' is finer than the 20k range shows; ");
  CHECK(said(by_hand(), "6711", 20e3) == "'6711' is finer than the 20k range shows; ");
  CHECK(said(by_hand(), "0.257", 2e6) == "'0.257' is finer than the 2M range shows; did you mean '0.257M'?");
  CHECK(said(by_hand(), "0.30", 200) == "'0.30' is finer than the 200 range shows; ");
  CHECK(said(by_hand(), "251", 2e6) == "'251' is finer than the 2M range shows; did you mean '251k'?");
}

TEST_CASE("a reading is below the top of its range, and the range is one the meter has", "[intake]") {
  CHECK(said(by_hand(), "19.99k", 20e3).empty());
  CHECK(said(by_hand(), "20.00k", 20e3) == "'20.00k' is above the 20k range; the display says OL there");
  CHECK(said(by_hand(), "OL", 20e3).empty());
  CHECK(said(by_hand(), "OL", 30e3) ==
        "the meter has no range of 30k; its ranges are 200, 2k, 20k, 200k, 2M, 20M");
  CHECK(said(by_hand(), "25M", std::nullopt) ==
        "'25M' is above the meter's highest range; the display says OL there");
}

TEST_CASE("without a range a reading fits any range by hand, and the lowest of an automatic meter",
          "[intake]") {
  CHECK(said(by_hand(), "0.3", std::nullopt).empty());
  CHECK(said(by_hand(), "251k", std::nullopt).empty());
  CHECK(said(by_hand(), "6.71", std::nullopt) ==
        "'6.71' is finer than any range of the meter shows; did you mean '6.71k'?");
  CHECK(said(by_itself(), "5.005k", std::nullopt).empty());
  CHECK(said(by_itself(), "580.0", std::nullopt).empty());
  CHECK(said(by_itself(), "0.58k", std::nullopt).empty());  // coarser than it could be: the range above
  CHECK(said(by_itself(), "6.71", std::nullopt) ==
        "'6.71' is finer than the 600 range shows; did you mean '6.71k'?");
}

}  // namespace
}  // namespace lugwise
