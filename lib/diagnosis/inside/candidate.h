// Which probes are worth weighing: of those that tell the same explanations apart the cheapest, and of these the ones that
// say most for their seconds. Private to this room.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <tuple>
#include <unordered_map>
#include <utility>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "diagnosis/inside/outcome.h"
#include "diagnosis/inside/reading_table.h"
#include "diagnosis/inside/standing.h"
#include "diagnosis/inside/unsteadiness.h"

namespace lugwise::diagnosis::inside {

struct Candidate {
  enum class Deed {
    Read,
    Again,   // an observation once more
    Sweep,   // `control` from where the setting has it to the other stop
    Wiggle,  // `wiggled` pressed and moved
    Work,    // `control` worked, then an observation once more
    Cable,   // another test cable, then an observation once more
  };
  Deed deed = Deed::Read;
  std::optional<std::size_t> again;  // the observation
  std::optional<PartId> control;
  std::vector<PartId> watched;  // pots that a sweep shows
  std::vector<PointId> wiggled;
  std::vector<double>
      chances;         // of the second of two outcomes, by standing; empty: a reading, which shows `outcomes`
  double repeats = 1;  // how much more it would say if its outcomes were sure
  double score = 0, bits = 0;
  double seconds = 0;       // from where the hands are now
  double extra = 0;         // of these, beyond what a reading there takes
  std::size_t setting = 0;  // of CandidateSearch::setting()
  bool open = true;
  std::uint32_t i = 0, j = 0;  // of CandidateSearch::point()
  int depth = 0;
  std::vector<double> ohms, deviation;  // by standing
  const Range* range = nullptr;
  std::vector<std::uint8_t> outcomes;  // by standing, on that range
};

// Probes among which the order is searched.
inline constexpr std::size_t kMostProbes = 24;

// Less information than this is not worth a probe.
inline constexpr double kLeastBits = 1e-3;

// Whether two resistances are one reading.
bool same_display(double x, double y);

// The better of two first: the order of the candidates.
bool before(const Candidate& x, const Candidate& y);

// What is solved for one harness is kept from call to call. What is given to it must outlive it.
class CandidateSearch {
 public:
  CandidateSearch(const Harness& harness, const DiagnosisOptions& options);

  // What was read already, and so where the hands are now; with nothing read, where the player has the controls who complains.
  // `taken` must outlive the calls below.
  void begin(const std::vector<Observation>& taken, const std::vector<Heard>& heard = {});
  const Hands& hands() const { return hands_; }

  // As if these had been taken too, one more each time and the last of the last call, whatever each showed: what they tell
  // is known, and the hands are where the last had them.
  void suppose(const std::vector<Candidate>& taken);

  // The two dozen that say most for their seconds, the best first. One that needs more opened is among them only where the
  // best without it says next to nothing, and not half as much: opening is not free of harm. `wrong` are the observations
  // that are not as they should be.
  std::vector<Candidate> candidates(const std::vector<Standing>& standing,
                                    const std::vector<std::size_t>& wrong);

  // The lead at a suspect's part that says most for its iron when it is off, as the controls are now.
  struct LeadOff {
    PointId lead;
    Candidate probe;
  };
  std::optional<LeadOff> with_a_lead_off(const std::vector<Standing>& standing);

  // Of a candidate of the last call.
  const Setting& setting(const Candidate& of) const { return searched_[of.setting]; }
  PointId point(std::uint32_t seat) const { return points_[seat]; }
  // Whether both tips stand on the far plug; or one on its sleeve, where the clip usually goes first.
  bool at_plug(const Candidate& of) const;
  bool on_sleeve(const Candidate& of) const;
  Access access(const Candidate& of) const;
  State state(const Candidate& of) const;
  Hands hands_at(const Candidate& of) const;

 private:
  // Which points a table is of: those outside alone, which are few, or all.
  enum class Seats { Outside, All };
  Seats seats_to(int depth) const { return depth == 0 ? Seats::Outside : Seats::All; }
  const ReadingTable& table(const Setting& setting, bool open, Seats seats);
  double sound_at(const Candidate& of);
  const std::vector<std::vector<double>>& reads_under(std::size_t s, bool open, Seats seats,
                                                      const std::vector<Standing>& standing);
  bool within_reach(PointId point) const;
  std::vector<Candidate> readings_at(int depth, const std::vector<Standing>& standing);
  std::vector<Candidate> movements_at(int depth, const std::vector<Standing>& standing);
  void add_wiggles(int depth, const std::vector<Standing>& standing, std::vector<Candidate>& found);
  void add_sweeps(int depth, const std::vector<Standing>& standing, std::vector<Candidate>& found);
  std::vector<Candidate> once_more(const std::vector<Standing>& standing,
                                   const std::vector<std::size_t>& wrong);
  void add_worked(const Candidate& reading, double seconds, const std::vector<Standing>& standing,
                  std::vector<Candidate>& found);
  std::optional<PartId> worked_by(const Fault& fault) const;
  bool taken_again(std::size_t observation) const;
  bool tried(const Candidate& here) const;
  void set_chances(Candidate& here, const Movement& movement, double sound,
                   const std::vector<Standing>& standing);
  void weigh_chances(Candidate& here, const std::vector<Standing>& standing);
  std::optional<Candidate> moving_at(PointId a, PointId b, const Setting& setting,
                                     const std::vector<Standing>& standing);
  void raise_floor();
  void try_setting(std::size_t s, bool open, const std::vector<Standing>& standing);
  void search(const ReadingTable& reads, const std::vector<std::vector<double>>& under, std::size_t s,
              bool open, double turning, const std::vector<Standing>& standing);
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
  std::size_t outside_ = 0;  // of these, the first
  bool lid_ = false;         // something conducts only while the cavity is closed
  std::map<std::tuple<Setting, bool, Seats>, ReadingTable> known_;
  OutcomeReader reader_;

  // Of the call at hand.
  const std::vector<Observation>* taken_ = nullptr;
  Hands hands_;
  struct Supposed {
    Candidate probe;
    Setting setting;
  };
  std::vector<Supposed> supposed_;
  std::vector<Setting> searched_;
  std::size_t tried_settings_ = 0;  // of these; those behind them are only watched
  std::map<std::tuple<std::size_t, bool, Seats>, std::vector<std::vector<double>>> under_;
  int least_depth_ = 0, most_depth_ = 0;              // what a pair needs opened, to be looked at
  std::unordered_map<std::string, Candidate> found_;  // the cheapest of those that tell the same apart
  std::optional<PointId> off_;                        // a lead that is lifted
  int off_depth_ = 0;                                 // and how far it must be open for that
  double most_bits_ = 0;                              // that any probe can say
  double floor_ = 0;                                  // the score of the last probe kept
  std::vector<std::uint8_t> outcomes_;
};

}  // namespace lugwise::diagnosis::inside
