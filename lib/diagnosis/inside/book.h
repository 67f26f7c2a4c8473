// What each fault of a list makes a reading be, at the least, usually and at most. Private to this room.
//
// Asked of the dictionary when it is first needed, and kept from one set of readings to the next.
#pragma once

#include <map>
#include <memory>
#include <utility>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "dictionary/dictionary.h"

namespace lugwise::diagnosis::inside {

class Book {
 public:
  // Both must outlive it.
  Book(const Harness& harness, const DiagnosisOptions& options, std::vector<Fault> faults);

  // Two points in a setting, with what was open and lifted.
  struct Place {
    const Chapter* chapter = nullptr;
    PointId a, b;
    Found sound;
    std::vector<std::uint32_t> moved;  // faults, by number, that may change what is read there
    std::map<std::pair<std::uint32_t, double>, Found> with;
  };
  Place& at(const Observation& observation);

  // `fault` by its number; `size` as with_fault takes it.
  const Found& found(Place& place, std::uint32_t fault, double size);

  const std::vector<Fault>& faults() const { return faults_; }

 private:
  struct Situation {
    Setting setting;
    bool cavity_open = true;
    std::vector<PointId> lifted;
    std::unique_ptr<Chapter> chapter;
    Chapter::Index index;
    std::map<std::pair<PointId, PointId>, Place> places;
  };
  Situation& situation_of(const Observation& observation);

  const Harness& harness_;
  const DiagnosisOptions& options_;
  std::vector<Fault> faults_;
  std::vector<std::unique_ptr<Situation>> situations_;
};

}  // namespace lugwise::diagnosis::inside
