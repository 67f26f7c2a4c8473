#include "report/inside/shown.h"

namespace lugwise::report {
inline namespace inside {

Shown shown(const Meter& meter, const Range& range, const Expected& expected, const Window& window) {
  Shown shown;
  shown.range = range_name(range.top);
  shown.above = meter.over == "OL" ? meter.over : "'" + meter.over + "'";
  shown.over = expected.open || over_range(meter, range, window.low);
  if (shown.over) return shown;
  shown.low = display(meter, range, window.low);
  if (expected.known) shown.nominal = display(meter, range, window.nominal);
  shown.high = expected.unlimited ? "OL" : display(meter, range, window.high);
  return shown;
}

std::string value_on(const Meter& meter, const Range& range, Ohms ohms) {
  if (!over_range(meter, range, ohms)) return display(meter, range, ohms);
  return display(meter, range_for(meter, ohms), ohms);
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
  const auto as_seen = [&](const std::string& text) { return text == "OL" ? shown.above : text; };
  if (shown.over) return shown.above;
  if (!shown.nominal) {
    return shown.high == "OL" ? shown.low + " or more" : shown.low + " to " + shown.high;
  }
  return as_seen(*shown.nominal) + " (" + shown.low + " to " + as_seen(shown.high) + ")";
}

}  // namespace inside
}  // namespace lugwise::report
