// What a long run is doing, on the terminal of the person who waits.
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <functional>
#include <mutex>
#include <string>
#include <thread>
#include <type_traits>
#include <utility>

#include "command.h"
#include "handling/reached.h"

namespace lugwise::app {

// While it lives, and once half a second has gone by, a line on stderr says what is being done, how far it is and how long
// it will still take, where that can be told; at the end the line is gone. Nothing where stderr is no terminal.
class Progress {
 public:
  Progress(const Run& run, std::string doing);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  // So much of so much is done; another `of` is of another part of the work. May be called by several threads, and often.
  void reach(std::size_t done, std::size_t of);

 private:
  using Clock = std::chrono::steady_clock;

  void watch();
  std::string line(Clock::duration gone) const;

  std::ostream& err_;
  const std::string doing_;
  const std::size_t columns_;
  const Clock::time_point begun_ = Clock::now();
  std::mutex mutex_;
  std::condition_variable changed_;
  bool ended_ = false;
  std::size_t done_ = 0, of_ = 0;
  Clock::time_point part_begun_ = begun_;  // the work that `of_` counts
  std::thread watcher_;
};

// The answer of long work, which a watched terminal is told of while it is done. Work that can tell how far it is takes what
// is to be told.
template <class Work>
auto shown_while(const Run& run, std::string doing, const Work& work) {
  Progress progress(run, std::move(doing));
  if constexpr (std::is_invocable_v<Work, const Reached&>) {
    return work(Reached([&](std::size_t done, std::size_t of) { progress.reach(done, of); }));
  } else {
    return work();
  }
}

}  // namespace lugwise::app
