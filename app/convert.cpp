#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <ostream>
#include <utility>
#include <variant>

#include "command.h"
#include "component/letter.h"
#include "intake/display.h"
#include "intake/value.h"
#include "report/conversion.h"
#include "source/nearest.h"
#include "text/character.h"

namespace lugwise::app {
namespace {

template <class Conversion>
ExitCode answer(Run& run, const Conversion& conversion) {
  if (run.line.json) {
    give(run, as_json(run.heading, conversion));
  } else {
    give(run, run.line.markdown ? as_markdown(conversion) : as_text(conversion, run.width()));
  }
  return ExitCode::Well;
}

// As much of what was typed as an error has room for.
std::string quoted(const std::string& typed) {
  constexpr std::size_t kShown = 40;
  if (typed.size() <= kShown) return "'" + typed + "'";
  return "'" + std::string(text::first_bytes(typed, kShown)) + "...'";
}

constexpr Ohms kLeast = 1e-3;
constexpr Ohms kMost = 1e12;

Ohms within_limits(const std::string& typed, Ohms ohms) {
  if (ohms >= kLeast && ohms <= kMost) return ohms;
  throw WrongUsage{fmt::format("write a resistance from 0.001 to 1000G, not {}", quoted(typed))};
}

Ohms read_resistance(const std::string& typed) {
  const Parsed<Ohms> parsed = parse_ohms(typed);
  if (!parsed.value) throw WrongUsage{parsed.why()};
  return within_limits(typed, *parsed.value);
}

// A value, or a letter code that says its tolerance too.
Marking read_marking(const std::string& typed) {
  const Parsed<Ohms> parsed = parse_ohms(typed);
  if (parsed.value) return {within_limits(typed, *parsed.value), {}, {}};
  const auto read = read_letters(typed);
  if (const auto* marking = std::get_if<Marking>(&read)) {
    within_limits(typed, marking->ohms);
    return *marking;
  }
  const MarkingError& error = std::get<MarkingError>(read);
  std::string why = parsed.why();
  // Further than a number alone goes, a code may have been meant.
  if (error.at > 2)
    why += fmt::format("; as a letter code, character {} should be {}", error.at, error.expected);
  throw WrongUsage{why};
}

std::vector<Colour> read_colours(const std::vector<std::string>& typed) {
  std::vector<std::string> names;
  for (Colour colour : kAllColours) names.emplace_back(colour_name(colour));
  std::vector<Colour> colours;
  std::vector<std::string> unknown;
  bool far = false;  // from any name
  for (const std::string& word : typed) {
    std::string name = word;
    for (char& c : name) {
      if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    }
    if (const auto colour = find_colour(name)) {
      colours.push_back(*colour);
      continue;
    }
    const auto nearest = nearest_name(name, names);
    unknown.push_back(fmt::format("no such colour: {}{}", quoted(word),
                                  nearest ? fmt::format("; nearest name is '{}'", *nearest) : ""));
    far = far || !nearest;
    constexpr std::size_t kTold = 6;  // no resistor has more bands
    if (unknown.size() == kTold) break;
  }
  if (far) unknown.push_back(fmt::format("there are {}", fmt::join(names, ", ")));
  if (!unknown.empty()) throw WrongUsage{fmt::format("{}", fmt::join(unknown, "\n  "))};
  return colours;
}

}  // namespace

ExitCode convert_bands_command(Run& run) {
  BandConversion conversion;
  conversion.bands = read_colours(run.line.colours);
  std::vector<Colour> backwards(conversion.bands.rbegin(), conversion.bands.rend());
  const auto other = read_bands(backwards);
  if (const auto* marking = std::get_if<Marking>(&other); marking && backwards != conversion.bands)
    conversion.other_end = *marking;

  const auto read = read_bands(conversion.bands);
  if (const auto* error = std::get_if<MarkingError>(&read)) {
    if (error->at == 0)
      throw WrongUsage{fmt::format("a resistor has {}, not {}", error->expected, conversion.bands.size())};
    std::string why = fmt::format("band {} is {}, which is not {}", error->at,
                                  colour_name(conversion.bands[error->at - 1]), error->expected);
    if (conversion.other_end) why += "; from the other end they can be read";
    throw WrongUsage{why};
  }
  conversion.resistor = marked_resistor(std::get<Marking>(read));
  return answer(run, conversion);
}

ExitCode convert_value_command(Run& run) {
  Marking marking = read_marking(run.line.value);
  if (run.line.tolerance) {
    const Parsed<double> share = parse_share(*run.line.tolerance);
    if (!share.value) throw WrongUsage{"--tolerance: " + share.why()};
    if (!(*share.value > 0 && *share.value < 1))
      throw WrongUsage{fmt::format("--tolerance: write more than 0% and less than 100%, not {}",
                                   quoted(*run.line.tolerance))};
    if (marking.tolerance && std::abs(*marking.tolerance - *share.value) > 1e-9)
      throw WrongUsage{
          fmt::format("--tolerance: {} says {:g}% itself", quoted(run.line.value), *marking.tolerance * 100)};
    marking.tolerance = *share.value;
    marking.disputed = false;
  }
  return answer(run, ValueConversion{run.line.value, marked_resistor(marking)});
}

ExitCode convert_coil_command(Run& run) {
  CoilConversion conversion;
  conversion.ohms = read_resistance(run.line.value);
  conversion.celsius = run.line.temperature.value_or(kStandardCopper.reference);

  const Parsed<double> gauge = parse_number(run.line.gauge);
  if (!gauge.value) throw WrongUsage{"--gauge: " + gauge.why() + "; write the AWG number, as '42'"};
  constexpr double kThinnest = 56;
  if (!(*gauge.value >= 0 && *gauge.value <= kThinnest && *gauge.value == std::floor(*gauge.value)))
    throw WrongUsage{fmt::format("--gauge: write a whole AWG number from 0 to {:g}, not {}", kThinnest,
                                 quoted(run.line.gauge))};
  conversion.gauge = static_cast<int>(*gauge.value);

  const Parsed<double> turn = parse_length(run.line.turn);
  if (!turn.value) throw WrongUsage{"--turn: " + turn.why()};
  if (!(*turn.value >= 0.001 && *turn.value <= 1))
    throw WrongUsage{fmt::format("--turn: write a length from 1 mm to 1 m, not {}", quoted(run.line.turn))};
  conversion.turn = *turn.value * 1000;

  conversion.family = run.line.diameters == "formula" ? Diameters::Formula : Diameters::Nominal;
  const auto by = [&](Diameters family) {
    return *winding_of(conversion.ohms, conversion.celsius, conversion.gauge, family, conversion.turn);
  };
  conversion.winding = by(conversion.family);
  conversion.other = by(conversion.family == Diameters::Formula ? Diameters::Nominal : Diameters::Formula);
  return answer(run, conversion);
}

ExitCode convert_temperature_command(Run& run) {
  TemperatureConversion conversion;
  conversion.ohms = read_resistance(run.line.value);
  conversion.from = run.line.from;
  conversion.to = run.line.to;
  conversion.found = at_temperature(conversion.ohms, conversion.from, conversion.to);
  return answer(run, conversion);
}

}  // namespace lugwise::app
