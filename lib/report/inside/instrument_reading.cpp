#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/inside/finding.h"
#include "report/inside/instrument_page.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

// Its setting counts with each reading, though readings of one setting share the line.
double lines_of_reading(const page::Readings::Reading& reading) {
  double lines = kRow + 1.1 * lines_of(reading.setting, 100);
  for (const page::Readings::Row& row : reading.rows) {
    lines += kRow + std::max({row.at.empty() ? lines_of(reading.where, 34) : 1.0, lines_of(row.sound, 31),
                              lines_of(row.judged, 22)});
  }
  return lines;
}

std::string others_of(const std::vector<const Comparison*>& order, std::size_t told) {
  const auto first = order.begin() + static_cast<std::ptrdiff_t>(told);
  const auto wrong = std::count_if(first, order.end(), [](const Comparison* one) { return !one->agrees; });
  const std::string others = counted(order.size() - told, told > 0 ? "other reading" : "reading");
  return wrong == 0 ? fmt::format("{}: {}.", others, order.size() - told == 1 ? "it agrees" : "all agree")
                    : fmt::format("{}, {} of them wrong.", others, wrong);
}

}  // namespace

double InstrumentPage::worth(const Comparison& comparison) const {
  const Observation& seen = observations_[comparison.observation];
  if (!comparison.agrees || comparison.doubtful) return 100;
  double weight = 1;
  if (wrong() && !diagnosis_.suspects.empty()) {
    for (const Evidence& evidence : diagnosis_.suspects.front().evidence) {
      if (evidence.observation == comparison.observation && std::abs(evidence.weight) > kSpeaks)
        weight = std::max(weight, 10 + std::floor(std::abs(evidence.weight)));
    }
  }
  const auto at_the_plug = [&](PointId point) { return harness_[point].role == PointRole::Plug; };
  if (at_the_plug(seen.a) && at_the_plug(seen.b)) weight += 5;
  return weight;
}

page::Section InstrumentPage::readings_section() {
  page::Section section{"Readings that matter", false, false, {}};
  paper_.uses(kHeading + kTableHead + paragraph(""));
  std::vector<const Comparison*> order;
  for (const Comparison& comparison : diagnosis_.readings) order.push_back(&comparison);
  std::stable_sort(order.begin(), order.end(),
                   [&](const Comparison* a, const Comparison* b) { return worth(*a) > worth(*b); });
  std::size_t told = 0;
  while (told < order.size() && paper_.takes(lines_of_reading(reading_of(*order[told])))) ++told;
  std::vector<const Comparison*> chosen(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(told));
  std::sort(chosen.begin(), chosen.end(),
            [](const Comparison* a, const Comparison* b) { return a->observation < b->observation; });
  page::Readings readings;
  readings.again =
      std::any_of(chosen.begin(), chosen.end(), [](const Comparison* one) { return !one->agrees; });
  for (const Comparison* comparison : chosen) readings.readings.push_back(reading_of(*comparison));
  for (std::size_t i = readings.readings.size(); i-- > 1;) {
    if (readings.readings[i].setting == readings.readings[i - 1].setting)
      readings.readings[i].setting.clear();
  }
  if (told > 0) section.blocks.emplace_back(std::move(readings));
  if (order.size() > told) section.blocks.push_back(page::Paragraph{others_of(order, told)});
  return section;
}

std::string InstrumentPage::setting_of(const Observation& seen) const {
  return cut(in_words(harness_, seen.setting), kLong);
}

page::Readings::Reading InstrumentPage::reading_of(const Comparison& comparison) const {
  const Observation& seen = observations_[comparison.observation];
  page::Readings::Reading reading;
  reading.setting = setting_of(seen);
  reading.number = std::to_string(number_of(observations_, comparison.observation));
  reading.where = cut(where_probed(harness_, seen), kLong);
  reading.rows = rows_of(*heading_.meter, harness_, seen, comparison);
  return reading;
}

}  // namespace inside
}  // namespace lugwise::report
