// The report of one instrument on one sheet of paper: what is short comes first, then what was done; the readings get the lines
// that these leave.
//
// Whose it is and what was found are in instrument_finding.cpp, the readings in instrument_reading.cpp, what was done about it
// in instrument_repair.cpp.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "page/document.h"
#include "report/inside/paper.h"
#include "report/instrument.h"

namespace lugwise::report {
inline namespace inside {

inline constexpr std::size_t kTitleLength = 110;  // characters
inline constexpr std::size_t kShort = 90;         // of a fact
inline constexpr std::size_t kLong = 220;         // of a sentence
inline constexpr std::size_t kWhole = 520;        // of advice: what it says of a shock is never cut

// What the boxes at the top of a sheet were filled with, as its saved readings keep it: the box and what stands in it.
std::optional<std::pair<std::string, std::string>> job_note(const Entry& entry);

class InstrumentPage {
 public:
  // All must outlive it, and the heading has a meter.
  InstrumentPage(const Heading& heading, const Harness& harness, const std::vector<Observation>& observations,
                 const Diagnosis& diagnosis, const Filed& filed, const Owned& owned);

  // Only once: it uses up the paper.
  page::Document document(const Places& places);

 private:
  // ---- whose it is
  void open(page::Document& document);

  // ---- what was found
  page::Section verdict_section();
  bool wrong() const;
  // The likeliest, by group, in a line each.
  page::Section suspects_section();
  // What is suspected; where nothing is, what was before the repairs.
  page::Picture picture_of(const Places& places) const;

  // ---- what it rests on
  // The readings by what they say: those that were wrong, then what weighs most for or against the first suspect, then what
  // the player hears, between the plug's ends; 0 is not worth a line.
  double worth(const Comparison& comparison) const;
  page::Section readings_section();
  std::string setting_of(const Observation& seen) const;
  page::Readings::Reading reading_of(const Comparison& comparison) const;

  // ---- what was done, and whether it helped
  page::Section done_section();
  const Comparison* taken_since(const Observation& before) const;
  // Readings that were wrong before a repair and were not taken since.
  using Open = std::vector<std::pair<const Observation*, const Comparison*>>;
  // What was wrong before a repair beside what it is now; how many lines of it were told.
  std::size_t add_before_and_after(page::Section& section, Open& open);
  void add_still_open(page::Section& section, const Open& open);
  page::Section again_section();
  page::Step to_be_read(const Observation& seen, const Comparison& comparison) const;

  const Heading& heading_;
  const Harness& harness_;
  const std::vector<Observation>& observations_;
  const Diagnosis& diagnosis_;
  const Filed& filed_;
  const Owned& owned_;
  Paper paper_{kSheet - kPicture - kSignature - kFoot};
  Paper repairs_{kForRepairs};
};

}  // namespace inside
}  // namespace lugwise::report
