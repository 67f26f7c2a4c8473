#include "report/conversion.h"

#include <cmath>
#include <cstdlib>
#include <utility>

#include <fmt/format.h>

#include "page/document.h"
#include "page/markdown.h"
#include "report/inside/diameters.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

// In ordinary notation to so many figures: 7604.9 to three is "7600".
std::string in_figures(double value, int figures) {
  const double rounded = std::strtod(fmt::format("{:.{}g}", value, figures).c_str(), nullptr);
  return fmt::format("{:.15g}", rounded);
}

// Values are typed and printed on parts to any number of figures, so these are not rounded as readings are.
std::string ohms_in_words(Ohms ohms, int figures) {
  double unit = 1;
  std::string letter;
  for (const auto& [size, name] : {std::pair{1e3, "k"}, std::pair{1e6, "M"}, std::pair{1e9, "G"}}) {
    if (ohms >= size) {
      unit = size;
      letter = name;
    }
  }
  return fmt::format("{} {}Ω", in_figures(ohms / unit, figures), letter);
}

constexpr int kAsGiven = 9;
constexpr int kWorkedOut = 4;
constexpr int kEstimated = 3;

std::string share_in_words(double share) { return fmt::format("{:.6g} %", share * 100); }

// "+1.3 %", "-0.02 %"; "exact" for what differs by the bits of a double only.
std::string off_in_words(double off) {
  if (std::abs(off) < 1e-9) return "exact";
  if (std::abs(off) >= 0.001) return fmt::format("{:+.1f} %", off * 100);
  return fmt::format("{:+.1g} %", off * 100);
}

std::string names_of(const std::vector<Colour>& bands) {
  std::string names;
  for (Colour colour : bands) {
    if (!names.empty()) names += ' ';
    names += colour_name(colour);
  }
  return names;
}

std::string tolerance_in_words(const Marking& marking) {
  if (marking.tolerance) return share_in_words(*marking.tolerance);
  return marking.disputed ? "a tolerance that sources disagree on" : "no tolerance given";
}

std::string marking_in_words(const Marking& marking) {
  std::string text = ohms_in_words(marking.ohms, kAsGiven) + ", " + tolerance_in_words(marking);
  if (marking.drift) text += fmt::format(", {:g} millionths per °C", *marking.drift);
  return text;
}

std::string bands_in_words(const std::optional<std::vector<Colour>>& bands, std::size_t count,
                           bool tolerance) {
  if (!bands) {
    return fmt::format("none: it takes more than {} digits, or a colour there isn't",
                       count == 4 ? "two" : "three");
  }
  if (bands->size() == count) return names_of(*bands);
  return names_of(*bands) + (tolerance ? ", and no fourth" : ", then the tolerance's");
}

void add(page::Document& document, const MarkedResistor& resistor) {
  if (resistor.marking.ohms == 0) return;  // a link: nothing is a share of it
  page::Facts facts;
  if (resistor.allowed) {
    facts.rows.push_back({"allowed", fmt::format("{} to {}", ohms_in_words(resistor.allowed->low, kAsGiven),
                                                 ohms_in_words(resistor.allowed->high, kAsGiven))});
  }
  facts.rows.push_back(
      {"letter code",
       resistor.letters.value_or("none: it takes more than four figures, or a letter there isn't")});
  const bool tolerance = resistor.marking.tolerance.has_value();
  facts.rows.push_back({"four bands", bands_in_words(resistor.four_bands, 4, tolerance)});
  facts.rows.push_back({"five bands", bands_in_words(resistor.five_bands, 5, tolerance)});
  document.sections.push_back({"Markings", true, false, {std::move(facts)}});
  if (resistor.preferred.empty()) return;
  page::Table table{{{"", 4}, {"", 8, true}, {"", 8, true}, {"", 0}}, {}};
  for (const Preferred& near : resistor.preferred) {
    const auto usual = usual_tolerance(near.series);
    const std::string fits =
        usual ? fmt::format("{} {}", near.fits() ? "within" : "outside", share_in_words(*usual)) : "";
    table.rows.push_back({std::string(series_name(near.series)), ohms_in_words(near.ohms, kAsGiven),
                          off_in_words(near.off), fits});
  }
  page::Paragraph what{
      "Nearest preferred value of each series, how far from it this one is, and whether the tolerance the "
      "series is usually made in holds it:"};
  document.sections.push_back({"Preferred values", true, false, {std::move(what), std::move(table)}});
}

page::Document document_of(const BandConversion& conversion) {
  page::Document document;
  document.title = names_of(conversion.bands) + ": " + marking_in_words(conversion.resistor.marking);
  if (conversion.other_end) {
    document.opening.push_back(
        page::Paragraph{"read from the other end: " + marking_in_words(*conversion.other_end), 2});
  }
  add(document, conversion.resistor);
  return document;
}

page::Document document_of(const ValueConversion& conversion) {
  page::Document document;
  document.title = conversion.typed + ": " + marking_in_words(conversion.resistor.marking);
  add(document, conversion.resistor);
  return document;
}

page::Document document_of(const CoilConversion& conversion) {
  page::Document document;
  document.title = fmt::format("A coil of {} at {:g} °C, gauge {}, mean turn {:g} mm",
                               ohms_in_words(conversion.ohms, kAsGiven), conversion.celsius, conversion.gauge,
                               conversion.turn);
  page::Facts facts;
  facts.rows = {{"at 20 °C", ohms_in_words(conversion.winding.ohms, kWorkedOut)},
                {"wire", in_figures(conversion.winding.length, kEstimated) + " m"},
                {"turns", in_figures(conversion.winding.turns, kEstimated)}};
  document.sections.push_back({"", false, false, {std::move(facts)}});
  const bool formula = conversion.family == Diameters::Formula;
  const double more = conversion.other.length / conversion.winding.length - 1;
  const std::string by = fmt::format(
      "By wire tables of {} diameters: {:.4g} mm of bare copper{}. Those of {} diameters give {}.",
      report::family_name(conversion.family), conversion.winding.diameter,
      formula ? "" : ", rounded as wire is ordered",
      report::family_name(report::other_than(conversion.family)),
      std::abs(more) < 0.0005
          ? "the same"
          : fmt::format("{:.1f} % {} of both", std::abs(more) * 100, more > 0 ? "more" : "less"));
  document.sections.push_back(
      {"",
       false,
       false,
       {page::Paragraph{by},
        page::Paragraph{"An estimate: tension thins the wire as it is wound, and how thick its insulation is "
                        "and how tightly the layers lie moves the mean turn."}}});
  return document;
}

page::Document document_of(const TemperatureConversion& conversion) {
  page::Document document;
  document.title = fmt::format("{} at {:g} °C is {} at {:g} °C.", ohms_in_words(conversion.ohms, kAsGiven),
                               conversion.from, ohms_in_words(conversion.found, kWorkedOut), conversion.to);
  document.opening.push_back(
      page::Paragraph{fmt::format("Copper: {:g} per degree of what it is at {:g} °C, IEC 60028.",
                                  kStandardCopper.rise, kStandardCopper.reference)});
  return document;
}

}  // namespace

std::string as_text(const BandConversion& conversion, std::size_t columns) {
  return page::as_text(document_of(conversion), columns);
}

std::string as_text(const ValueConversion& conversion, std::size_t columns) {
  return page::as_text(document_of(conversion), columns);
}

std::string as_text(const CoilConversion& conversion, std::size_t columns) {
  return page::as_text(document_of(conversion), columns);
}

std::string as_text(const TemperatureConversion& conversion, std::size_t columns) {
  return page::as_text(document_of(conversion), columns);
}

std::string as_markdown(const BandConversion& conversion) {
  return page::as_markdown(document_of(conversion));
}

std::string as_markdown(const ValueConversion& conversion) {
  return page::as_markdown(document_of(conversion));
}

std::string as_markdown(const CoilConversion& conversion) {
  return page::as_markdown(document_of(conversion));
}

std::string as_markdown(const TemperatureConversion& conversion) {
  return page::as_markdown(document_of(conversion));
}

}  // namespace lugwise
