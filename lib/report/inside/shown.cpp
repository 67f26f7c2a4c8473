#include "report/inside/shown.h"

namespace lugwise::report {

Shown shown(const Meter& meter, const Range& range, const Expected& expected, const Window& window) {
  Shown shown;
  shown.range = range_name(range.top);
  shown.over = expected.open || over_range(meter, range, window.low);
  if (shown.over) return shown;
  shown.low = display(meter, range, window.low);
  if (expected.known) shown.nominal = display(meter, range, window.nominal);
  shown.high = expected.unlimited ? "OL" : display(meter, range, window.high);
  return shown;
}

Shown shown(const Meter& meter, const CapacitanceReading& reading) {
  Shown shown;
  shown.range = capacitance_range_name(reading.range.top);
  shown.over = over_range(meter, reading.range, reading.shows.low);
  if (shown.over) return shown;
  shown.low = capacitance_display(meter, reading.range, reading.shows.low);
  shown.nominal = capacitance_display(meter, reading.range, reading.shows.nominal);
  shown.high = capacitance_display(meter, reading.range, reading.shows.high);
  return shown;
}

std::string in_words(const Shown& shown) {
  if (shown.over) return "OL";
  if (!shown.nominal) {
    return shown.high == "OL" ? shown.low + " or more" : shown.low + " to " + shown.high;
  }
  return *shown.nominal + " (" + shown.low + " to " + shown.high + ")";
}

}  // namespace lugwise::report
