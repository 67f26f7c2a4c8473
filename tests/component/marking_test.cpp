// Colour bands and letter codes. LEC: Lessons in Electric Circuits, volume V chapter 2, read.
#include <cmath>
#include <string>
#include <vector>

#include "component/colour.h"
#include "component/letter.h"
#include "component/preferred.h"
#include "support/catch.h"

using namespace lugwise;
using enum Colour;
using Catch::Matchers::WithinRel;

namespace {

using Bands = std::vector<Colour>;

const Colour kColours[] = {Black,  Brown, Red,   Orange, Yellow, Green, Blue,
                           Violet, Grey,  White, Gold,   Silver, Pink};

Marking read(const Bands& bands) {
  const auto result = read_bands(bands);
  REQUIRE(std::holds_alternative<Marking>(result));
  return std::get<Marking>(result);
}

Marking read(const char* code) {
  INFO(code);
  const auto result = read_letters(code);
  REQUIRE(std::holds_alternative<Marking>(result));
  return std::get<Marking>(result);
}

std::size_t wrong_at(const std::variant<Marking, MarkingError>& result) {
  REQUIRE(std::holds_alternative<MarkingError>(result));
  CHECK_FALSE(std::get<MarkingError>(result).expected.empty());
  return std::get<MarkingError>(result).at;
}

}  // namespace

TEST_CASE("published colour codes are read and written", "[component]") {
  // LEC, read.
  const std::pair<Bands, Marking> rows[] = {
      {{Yellow, Violet, Orange, Gold}, {47e3, 0.05, {}}},
      {{Green, Red, Gold, Silver}, {5.2, 0.1, {}}},
      {{White, Violet, Black}, {97, 0.2, {}}},
      {{Orange, Orange, Black, Brown, Violet}, {3300, 0.001, {}}},
      {{Brown, Green, Grey, Silver, Red}, {1.58, 0.02, {}}},
      {{Blue, Brown, Green, Silver, Blue}, {6.15, 0.0025, {}}},
  };
  for (const auto& [bands, marking] : rows) {
    CHECK(read(bands) == marking);
    CHECK(write_bands(marking, static_cast<int>(bands.size())) == bands);
  }
}

TEST_CASE("each colour has its digit, multiplier, tolerance and temperature coefficient", "[component]") {
  // IEC 60062, second hand; pink as a thousandth is of its edition of 2016, second hand.
  const double multipliers[] = {1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 0.1, 0.01, 0.001};
  for (std::size_t i = 0; i < std::size(kColours); ++i) {
    CHECK_THAT(read({Brown, Black, kColours[i]}).ohms, WithinRel(10 * multipliers[i], 1e-15));
  }
  for (int digit = 0; digit < 10; ++digit) CHECK(read({Brown, kColours[digit], Black}).ohms == 10 + digit);

  const std::pair<Colour, double> tolerances[] = {{Brown, 0.01},  {Red, 0.02},     {Green, 0.005},
                                                  {Blue, 0.0025}, {Violet, 0.001}, {Gold, 0.05},
                                                  {Silver, 0.1}};
  for (const auto& [colour, share] : tolerances) CHECK(read({Brown, Black, Red, colour}).tolerance == share);
  CHECK(read({Brown, Black, Red}).tolerance == 0.2);

  const std::pair<Colour, double> drifts[] = {{Black, 250}, {Brown, 100}, {Red, 50},
                                              {Orange, 15}, {Yellow, 25}, {Green, 20},
                                              {Blue, 10},   {Violet, 5},  {Grey, 1}};
  for (const auto& [colour, millionths] : drifts) {
    CHECK(read({Brown, Black, Black, Red, Brown, colour}) == Marking{10e3, 0.01, millionths});
  }
}

TEST_CASE("a tolerance that sources disagree on is read without one", "[component]") {
  for (Colour colour : {Orange, Yellow, Grey}) {
    CHECK(read({Brown, Black, Red, colour}) == Marking{1000, {}, {}, true});
    CHECK(read({Brown, Black, Black, Brown, colour}).tolerance == std::nullopt);
  }
  CHECK_FALSE(write_bands({1000, 0.03, {}}, 4));
  CHECK_FALSE(write_bands({1000, {}, {}}, 4));
}

TEST_CASE("a band that can't stand where it is is named", "[component]") {
  CHECK(wrong_at(read_bands({})) == 0);
  CHECK(wrong_at(read_bands({Brown, Black})) == 0);
  CHECK(wrong_at(read_bands(Bands(7, Brown))) == 0);
  CHECK(wrong_at(read_bands({Gold, Orange, Violet, Yellow})) == 1);  // held the wrong way round
  CHECK(wrong_at(read_bands({Brown, Silver, Red})) == 2);
  CHECK(wrong_at(read_bands({Brown, Black, Gold, Brown, Brown})) == 3);
  CHECK(wrong_at(read_bands({Brown, Black, Red, Black})) == 4);
  CHECK(wrong_at(read_bands({Brown, Black, Red, Pink})) == 4);
  CHECK(wrong_at(read_bands({Brown, Black, Black, Red, White})) == 5);
  CHECK(wrong_at(read_bands({Brown, Black, Black, Red, Brown, Gold})) == 6);
  CHECK(wrong_at(read_bands({Brown, Black, Black, Red, Brown, White})) == 6);
}

TEST_CASE("what bands can't say isn't written", "[component]") {
  CHECK_FALSE(write_bands({4750, 0.05, {}}, 4));  // three figures in two
  CHECK(write_bands({4750, 0.01, {}}, 5) == Bands{Yellow, Violet, Green, Brown, Brown});
  CHECK_FALSE(write_bands({47512, 0.01, {}}, 5));
  CHECK_FALSE(write_bands({4700, 0.05, {}}, 3));  // no band is 20 %
  CHECK_FALSE(write_bands({4700, 0.07, {}}, 4));
  CHECK_FALSE(write_bands({4700, 0.01, 100}, 5));  // nowhere to say the drift
  CHECK_FALSE(write_bands({4700, 0.01, {}}, 6));
  CHECK(write_bands({4700, 0.01, 100}, 6) == Bands{Yellow, Violet, Black, Brown, Brown, Brown});
  CHECK_FALSE(write_bands({0, 0.05, {}}, 4));
  CHECK_FALSE(write_bands({-10, 0.05, {}}, 4));
  CHECK_FALSE(write_bands({INFINITY, 0.05, {}}, 4));
  CHECK_FALSE(write_bands({NAN, 0.05, {}}, 4));
  CHECK_FALSE(write_bands({1e300, 0.05, {}}, 4));
  CHECK_FALSE(write_bands({1e-310, 0.05, {}}, 4));
  CHECK_FALSE(write_bands({4700, 0.05, {}}, 2));
}

TEST_CASE("all sequences of three to five bands that say something say it again", "[component]") {
  // Every one of 13^3 + 13^4 + 13^5: read, written, read. A first band other than black comes back as it was.
  for (std::size_t count : {3, 4, 5}) {
    std::size_t total = 1;
    for (std::size_t i = 0; i < count; ++i) total *= std::size(kColours);
    std::size_t written = 0;
    for (std::size_t code = 0; code < total; ++code) {
      Bands bands;
      for (std::size_t i = 0, rest = code; i < count; ++i, rest /= std::size(kColours)) {
        bands.push_back(kColours[rest % std::size(kColours)]);
      }
      const auto result = read_bands(bands);
      const Marking* marking = std::get_if<Marking>(&result);
      if (!marking || !marking->tolerance || bands[0] == Black) continue;
      if (write_bands(*marking, static_cast<int>(count)) == bands) {
        ++written;
      } else {
        FAIL_CHECK("bands " << code << " of " << count << " come back otherwise");
      }
    }
    // digits x multipliers x tolerances
    CHECK(written == (count == 3 ? 9u * 10 * 13 : count == 4 ? 9u * 10 * 13 * 7 : 9u * 10 * 10 * 13 * 7));
  }
}

TEST_CASE("colours go by their names, in either spelling", "[component]") {
  for (Colour colour : kColours) CHECK(find_colour(colour_name(colour)) == colour);
  CHECK(find_colour("gray") == Grey);
  CHECK(find_colour("purple") == Violet);
  CHECK_FALSE(find_colour("turquoise"));
  CHECK_FALSE(find_colour(""));
}

TEST_CASE("published letter codes are read and written", "[component]") {
  // IEC 60062's examples, second hand.
  const std::pair<const char*, Ohms> rows[] = {
      {"R47", 0.47},   {"4R7", 4.7},   {"470R", 470}, {"4K7", 4700}, {"47K", 47e3}, {"47K3", 47.3e3},
      {"470K", 470e3}, {"4M7", 4.7e6}, {"R10", 0.1},  {"1K0", 1000}, {"2M2", 2.2e6}};
  for (const auto& [code, ohms] : rows) {
    CHECK(read(code) == Marking{ohms, {}, {}});
    CHECK(write_letters(ohms) == code);
  }
  CHECK(read("R300").ohms == 0.3);  // the form of fixed length in the edition of 2016, second hand
}

TEST_CASE("letter codes we have no published example of", "[component]") {
  // From the rule: the letter is the point.
  CHECK(read("4k7").ohms == 4700);
  CHECK(read("47L").ohms == 0.047);
  CHECK(read("5L0").ohms == 0.005);
  CHECK(read("1G2").ohms == 1.2e9);
  CHECK(read("0R").ohms == 0);
  CHECK(read("K47").ohms == 470);
  CHECK(write_letters(0.047) == "47L");
  CHECK(write_letters(0.005) == "5L0");
  CHECK(write_letters(1.2e9) == "1G2");
  CHECK(write_letters(47) == "47R");
  CHECK(write_letters(4.75) == "4R75");
  CHECK(write_letters(100e3) == "100K");
  CHECK(write_letters(12340) == "12K34");
  CHECK_FALSE(write_letters(12345));  // five figures
  CHECK_FALSE(write_letters(0));
  CHECK_FALSE(write_letters(-4.7));
  CHECK_FALSE(write_letters(0.0001));
  CHECK_FALSE(write_letters(1e12));
  CHECK_FALSE(write_letters(INFINITY));
  CHECK_FALSE(write_letters(NAN));
}

TEST_CASE("a last letter is the tolerance", "[component]") {
  // F and K second hand; the others from memory.
  const std::pair<const char*, double> rows[] = {
      {"4K7F", 0.01},  {"4K7K", 0.1},  {"47KK", 0.1},  {"4K7B", 0.001}, {"4K7C", 0.0025},
      {"4K7D", 0.005}, {"4K7G", 0.02}, {"R47J", 0.05}, {"1MM", 0.2},    {"4K7N", 0.3}};
  for (const auto& [code, share] : rows) CHECK(read(code).tolerance == share);
  for (const char* code : {"4K7E", "4K7H", "4K7L", "4K7P", "4K7W"})
    CHECK(read(code) == Marking{4700, {}, {}, true});
  CHECK_FALSE(read("47L").disputed);  // L is the unit there
}

TEST_CASE("a code is written with its tolerance, or not at all", "[component]") {
  // F and K second hand; the others from memory.
  const std::pair<double, const char*> rows[] = {{0.01, "4K7F"},   {0.1, "4K7K"},   {0.001, "4K7B"},
                                                 {0.0025, "4K7C"}, {0.005, "4K7D"}, {0.02, "4K7G"},
                                                 {0.05, "4K7J"},   {0.2, "4K7M"},   {0.3, "4K7N"}};
  for (const auto& [share, code] : rows) {
    CHECK(write_letters(Marking{4700, share, {}}) == code);
    CHECK(read(code) == Marking{4700, share, {}});
  }
  CHECK(write_letters(Marking{4700, {}, {}}) == "4K7");
  CHECK(write_letters(Marking{4700, {}, {}, true}) == "4K7");
  CHECK_FALSE(write_letters(Marking{4700, 0.07, {}}));
  CHECK_FALSE(write_letters(Marking{12345, 0.05, {}}));
}

TEST_CASE("a code that says nothing is refused where it goes wrong", "[component]") {
  CHECK(wrong_at(read_letters("")) == 1);
  CHECK(wrong_at(read_letters("47")) == 3);  // no unit
  CHECK(wrong_at(read_letters("K")) == 2);   // no digit
  CHECK(wrong_at(read_letters("4Q7")) == 2);
  CHECK(wrong_at(read_letters("4m7")) == 2);  // thousandths are L
  CHECK(wrong_at(read_letters("4K7Q")) == 4);
  CHECK(wrong_at(read_letters("4K7FF")) == 5);
  CHECK(wrong_at(read_letters("4K7K3")) == 5);
  CHECK(wrong_at(read_letters("-4K7")) == 1);
  CHECK(wrong_at(read_letters("4.7K")) == 2);
  CHECK(wrong_at(read_letters(std::string(100000, '9') + "K")) == 17);
}

TEST_CASE("every preferred value from a tenth of an ohm to 99M has bands and a code that say it",
          "[component]") {
  for (Series series : {Series::E24, Series::E192}) {
    const int count = series == Series::E24 ? 4 : 5;
    for (int power = 0; power < 8; ++power) {
      for (int hundreds : decade_of(series)) {
        const Ohms ohms = hundreds * std::pow(10, power) / 1000;
        const auto bands = write_bands({ohms, 0.01, {}}, count);
        REQUIRE(bands);
        CHECK_THAT(read(*bands).ohms, WithinRel(ohms, 1e-15));
        const auto code = write_letters(ohms);
        REQUIRE(code);
        CHECK_THAT(read(code->c_str()).ohms, WithinRel(ohms, 1e-15));
      }
    }
  }
}
