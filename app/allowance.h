// What one run may take of the machine, and what it says before it takes much.
#pragma once

#include <condition_variable>
#include <iosfwd>
#include <mutex>
#include <string>
#include <thread>

#include "handling/workload.h"
#include "plan/plan.h"
#include "syntax.h"

namespace lugwise::app {

// What to leave out of a command line so that it takes less, in words: only what it has and what its command knows.
std::string what_to_leave_out(const Command& command, const CommandLine& line);

// From here on the program gets no more than 1 GB: what asks for more fails with std::bad_alloc. Not where its memory is
// watched by a sanitizer, which needs more.
void limit_memory();

struct Run;

// Before a search: says what it takes where that may be over 10 seconds or 300 MB. Throws BadInput where it surely needs more
// than a run may have, with what to leave out.
void announce(Run& run, const Workload& work);

// The harness as a search sees it, at a stage.
SearchSize search_size(const Harness& harness, std::optional<std::size_t> stage);

// The same for a plan with these options, or what else takes as much. What a repair may have disturbed takes little.
void announce_plan(Run& run, const Harness& harness, const PlanOptions& options);

// While it lives a line on `err` says that the run takes long before it has taken 10 seconds of the processor, and that it takes
// much memory before it has 300 MB. Of time it says nothing where the run `waits` for a person, who has all the time there is.
// `watched`: `err` is a terminal, where a line of progress may stand.
class Allowance {
 public:
  // Where a word is due: before what it is about.
  struct Words {
    double seconds = 6;
    long kilobytes = 220'000;
  };
  static Words usual_words();  // later where a sanitizer makes the run slower and larger than it is

  Allowance(std::ostream& err, bool watched, bool waits) : Allowance(err, watched, waits, usual_words()) {}
  Allowance(std::ostream& err, bool watched, bool waits, Words words);
  ~Allowance();
  void told();  // what it would say has been said
  Allowance(const Allowance&) = delete;
  Allowance& operator=(const Allowance&) = delete;

 private:
  void watch(bool waits);
  void say(const std::string& what);

  std::ostream& err_;
  const bool watched_;
  const Words words_;
  std::mutex mutex_;
  std::condition_variable changed_;
  bool ended_ = false;
  bool told_ = false;
  std::thread watcher_;
};

}  // namespace lugwise::app
