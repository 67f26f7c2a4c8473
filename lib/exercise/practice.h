// A student at an exercise's instrument: any probe in any setting, a lead lifted, a knob turned, and the fault named.
//
//   Practice practice(netlist.harness, faults, *opened(seal), options, {});
//   PracticeReply reply = practice.take("jack.plug-tip jack.plug-sleeve selector=front");
//
// It says what the display shows and never what is wrong. It words nothing but what was typed wrongly (lib/report does).
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "circuit/setting.h"
#include "exercise/seal.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "simulation/simulation.h"

namespace lugwise {

struct PracticeReply {
  enum class Kind {
    Nothing,  // an empty line
    Read,     // `seen` was read
    Set,      // the controls stand otherwise
    Ranged,   // the meter is on another range, or on the one that fits
    Lifted,   // what is off is another
    Claimed,  // `fault` was named
    Refused,  // the line means nothing here: `problem` and `hints`
    Help,
    List,    // asked: what was read and named so far
    Faults,  // asked: what can be wrong; `faults` are indices
    Stopped,
  };
  Kind kind = Kind::Nothing;
  Observation seen;
  std::size_t fault = 0;
  std::vector<std::size_t> faults;
  std::string problem;
  std::vector<std::string> hints;
  bool changed = false;  // what was done is another now: keep it before anything else is asked
};

// What was done so far, as a log keeps it.
struct PracticeLog {
  std::size_t given =
      0;  // readings that were on the sheet: with these no more are taken than can be weighed together
  std::vector<Observation> probes;
  std::vector<std::size_t> claims;  // faults
};

class Practice {
 public:
  // The harness and the faults must outlive it. Throws std::invalid_argument where the seal is of another harness.
  Practice(const Harness& harness, const std::vector<Fault>& faults, const Sealed& content,
           const SimulationOptions& options, PracticeLog log);
  ~Practice();

  // Takes one line as typed. Nothing that is typed throws but NetworkTooDense, of a harness too interwoven to be read.
  PracticeReply take(std::string_view typed);

  const PracticeLog& log() const { return log_; }
  const Setting& setting() const { return setting_; }
  const std::vector<PointId>& lifted() const { return lifted_; }
  const std::optional<Range>& range() const { return range_; }

 private:
  PracticeReply read(std::vector<std::string> words, Action action);
  PracticeReply set(const std::vector<std::string>& words);
  PracticeReply choose_range(const std::vector<std::string>& words);
  PracticeReply lift(const std::vector<std::string>& words, bool off);
  PracticeReply claim(std::string_view words);
  PracticeReply list_faults(std::string_view words) const;
  std::optional<PracticeReply> apply(const std::vector<std::string>& places, Setting& setting) const;
  std::optional<PracticeReply> find_points(const std::vector<std::string>& words,
                                           std::vector<PointId>& points) const;
  std::optional<PracticeReply> open_for(Observation& seen) const;
  std::optional<PracticeReply> turn_to_farads(Observation& seen) const;
  std::optional<Range> range_of(const Observation& seen) const;

  const Harness& harness_;
  const std::vector<Fault>& faults_;
  SimulationOptions options_;
  std::unique_ptr<Simulation> simulation_;
  PracticeLog log_;
  Setting setting_;
  std::vector<PointId> lifted_;
  std::optional<Range> range_;  // none: the one that fits a sound harness
};

}  // namespace lugwise
