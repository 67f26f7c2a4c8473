// The folder of a batch: a head file, and beside it one record for each time a unit was taken. Nothing else is kept.
//
// A record is called by the unit's serial, and from the second time on by a number behind it: "FH-0031.yaml",
// "FH-0031.2.yaml". What can't stand in a name is written as %20.
#pragma once

#include <string>
#include <vector>

namespace lugwise::app {

inline constexpr const char* kHeadFile = "batch.yaml";

struct BatchRecord {
  std::string serial;
  std::size_t number = 1;  // the how-many-th time
  std::string file;        // its name in the folder
};

// "FH-0031.2.yaml"
std::string record_name(const std::string& serial, std::size_t number);

// By serial, then by number. Throws BadInput where the folder can't be read.
std::vector<BatchRecord> records_in(const std::string& folder);

}  // namespace lugwise::app
