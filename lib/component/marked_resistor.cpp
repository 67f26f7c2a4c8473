#include "component/marked_resistor.h"

#include "component/letter.h"

namespace lugwise {
namespace {

constexpr double kAnyBand = 0.01;  // stands in for a tolerance that isn't there

std::optional<std::vector<Colour>> bands_of(const Marking& marking, int count) {
  const Marking written{marking.ohms, marking.tolerance.value_or(kAnyBand), {}};
  auto bands = write_bands(written, count);
  if (bands && !marking.tolerance) bands->pop_back();
  return bands;
}

}  // namespace

MarkedResistor marked_resistor(const Marking& marking) {
  MarkedResistor resistor;
  resistor.marking = marking;
  if (marking.tolerance) resistor.allowed = around(marking.ohms, *marking.tolerance);
  resistor.letters = write_letters(marking);
  resistor.four_bands = bands_of(marking, 4);
  if (!resistor.four_bands) resistor.four_bands = write_bands({marking.ohms, marking.tolerance, {}}, 3);
  resistor.five_bands = bands_of(marking, 5);
  for (Series series : kAllSeries) {
    if (const auto near = nearest_preferred(series, marking.ohms)) resistor.preferred.push_back(*near);
  }
  return resistor;
}

}  // namespace lugwise
