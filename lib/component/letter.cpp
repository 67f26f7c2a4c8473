#include "component/letter.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "component/inside/scaled.h"

namespace lugwise {

using namespace component::inside;
namespace {

constexpr std::size_t kLongest = 16;  // characters of a value; a printed code has five or so

bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::optional<int> power_of(char letter) {
  switch (letter) {
    case 'L':
      return -3;
    case 'R':
      return 0;
    case 'K':
    case 'k':
      return 3;
    case 'M':
      return 6;
    case 'G':
      return 9;
    default:
      return std::nullopt;
  }
}

// F and K are second hand; B, C, D, G, J, M and N are from memory, as are those that claim nothing.
struct Tolerance {
  char letter;
  std::optional<double> share;
};
constexpr Tolerance kTolerances[] = {
    {'B', 0.001}, {'C', 0.0025}, {'D', 0.005}, {'F', 0.01}, {'G', 0.02}, {'J', 0.05}, {'K', 0.1},
    {'M', 0.2},   {'N', 0.3},    {'E', {}},    {'H', {}},   {'L', {}},   {'P', {}},   {'W', {}},
};

}  // namespace

std::variant<Marking, MarkingError> read_letters(std::string_view code) {
  if (code.size() > kLongest) return MarkingError{kLongest + 1, "the end of the code"};
  std::size_t at = 0;
  double number = 0;
  const auto digits = [&] {
    const std::size_t from = at;
    for (; at < code.size() && is_digit(code[at]); ++at) number = 10 * number + (code[at] - '0');
    return static_cast<int>(at - from);
  };
  const int before = digits();
  const auto power = at < code.size() ? power_of(code[at]) : std::nullopt;
  if (!power)
    return MarkingError{at + 1,
                        before ? "a digit or one of L R K M G" : "a digit or one of L R K M G, as in 4K7"};
  ++at;
  const int after = digits();
  if (before + after == 0) return MarkingError{at + 1, "a digit"};
  Marking marking{scaled(number, *power - after), {}, {}};
  if (at < code.size()) {
    const auto* tolerance = std::find_if(std::begin(kTolerances), std::end(kTolerances),
                                         [&](const Tolerance& t) { return t.letter == code[at]; });
    if (tolerance == std::end(kTolerances))
      return MarkingError{at + 1, "a digit or a tolerance letter, as F, J or K"};
    marking.tolerance = tolerance->share;
    marking.disputed = !tolerance->share;
    if (++at < code.size()) return MarkingError{at + 1, "the end of the code"};
  }
  return marking;
}

std::optional<std::string> write_letters(Ohms ohms) {
  if (!(ohms > 0) || !std::isfinite(ohms)) return std::nullopt;
  const int first = static_cast<int>(std::floor(std::log10(ohms) + 1e-9));

  // R47 rather than 470L: tenths of an ohm are written in ohms.
  const int unit = first == -1 ? 0 : 3 * static_cast<int>(std::floor(first / 3.0));
  static constexpr std::string_view kLetters = "LRKMG";
  if (unit < -3 || unit > 9) return std::nullopt;
  const char letter = kLetters[static_cast<std::size_t>(unit / 3 + 1)];

  const double number = std::round(scaled(ohms, 3 - first));  // four figures
  if (std::abs(scaled(number, first - 3) - ohms) > 1e-9 * ohms) return std::nullopt;
  std::string figures = fmt::format("{:.0f}", number);
  const std::size_t before = static_cast<std::size_t>(std::max(0, first - unit + 1));
  while (figures.size() > std::max<std::size_t>(2, before) && figures.back() == '0') figures.pop_back();
  return figures.insert(before, 1, letter);
}

std::optional<std::string> write_letters(const Marking& marking) {
  const auto code = write_letters(marking.ohms);
  if (!code || !marking.tolerance) return code;
  const auto* tolerance =
      std::find_if(std::begin(kTolerances), std::end(kTolerances), [&](const Tolerance& t) {
        return t.share && std::abs(*t.share - *marking.tolerance) <= 1e-9 * *t.share;
      });
  if (tolerance == std::end(kTolerances)) return std::nullopt;
  return *code + tolerance->letter;
}

}  // namespace lugwise
