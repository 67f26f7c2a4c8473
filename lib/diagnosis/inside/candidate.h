// Which probes are worth weighing: of those that tell the same explanations apart the cheapest, and of these the ones that
// say most for their seconds. Private to this room.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "diagnosis/inside/outcome.h"
#include "diagnosis/inside/reading_table.h"
#include "diagnosis/inside/standing.h"

namespace lugwise::diagnosis::inside {

struct Candidate {
  double score = 0, bits = 0, seconds = 0;
  std::size_t setting = 0;  // of CandidateSearch::setting()
  bool open = true;
  std::uint32_t i = 0, j = 0;  // of CandidateSearch::point()
  int depth = 0;
  std::vector<double> ohms, deviation;  // by standing
  const Range* range = nullptr;
  std::vector<std::uint8_t> outcomes;  // by standing, on that range
};

// What is solved for one harness is kept from call to call. What is given to it must outlive it.
class CandidateSearch {
 public:
  CandidateSearch(const Harness& harness, const DiagnosisOptions& options);

  // What was read already, and so where the hands are now. It must outlive the calls below.
  void begin(const std::vector<Observation>& taken);
  const Hands& hands() const { return hands_; }

  // The two dozen that say most for their seconds, the best first.
  std::vector<Candidate> candidates(const std::vector<Standing>& standing);

  // The lead at a suspect's part that says most for its iron when it is off, as the controls are now.
  struct LeadOff {
    PointId lead;
    Candidate probe;
  };
  std::optional<LeadOff> with_a_lead_off(const std::vector<Standing>& standing);

  // Of a candidate of the last call.
  const Setting& setting(const Candidate& of) const { return searched_[of.setting]; }
  PointId point(std::uint32_t seat) const { return points_[seat]; }
  Access access(const Candidate& of) const;
  State state(const Candidate& of) const;
  Hands hands_at(const Candidate& of) const;

 private:
  const ReadingTable& table(const Setting& setting, bool open);
  bool within_reach(PointId point) const;
  void raise_floor();
  void try_setting(std::size_t s, bool open, const std::vector<Standing>& standing);
  void search(const ReadingTable& reads, std::size_t s, bool open, double turning,
              const std::vector<Standing>& standing);
  double seconds_for(std::uint32_t i, std::uint32_t j, int depth, double turning) const;
  void consider(Candidate& here, std::uint32_t i, std::uint32_t j, int depth, double seconds,
                const std::vector<Standing>& standing);
  bool allowed(const Candidate& here, const Range& range) const;
  bool choose_range(Candidate& here, const std::vector<Standing>& standing);

  const Harness& harness_;
  const DiagnosisOptions& options_;
  std::vector<Setting> settings_;
  std::vector<Access> depths_;
  std::vector<PointId> points_;
  std::vector<int> depth_of_;
  bool lid_ = false;  // something conducts only while the cavity is closed
  std::map<std::pair<Setting, bool>, ReadingTable> known_;
  OutcomeReader reader_;

  // Of the call at hand.
  const std::vector<Observation>* taken_ = nullptr;
  Hands hands_;
  std::vector<Setting> searched_;
  std::unordered_map<std::string, Candidate> found_;  // the cheapest of those that tell the same apart
  std::optional<PointId> off_;                        // a lead that is lifted
  double most_bits_ = 0;                              // that any probe can say
  double floor_ = 0;                                  // the score of the last probe kept
  std::vector<std::uint8_t> outcomes_;
};

}  // namespace lugwise::diagnosis::inside
