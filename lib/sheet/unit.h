// Whose readings these are, in a batch: what a record says of the instrument at hand and of how it was measured.
#pragma once

#include <string>

namespace lugwise {

// All as written; empty where not given.
struct Unit {
  std::string serial;           // "FH-0031"
  std::string date;             // "2026-11-28T14:05+01:00", or a day alone
  std::string by;               // who measured
  std::string meter;            // which instrument, by name and number
  std::string calibration_due;  // a day

  friend bool operator==(const Unit&, const Unit&) = default;
};

}  // namespace lugwise
