// What one run may take of the machine, and what it says before it takes much.
#pragma once

#include <condition_variable>
#include <iosfwd>
#include <mutex>
#include <string>
#include <thread>

namespace lugwise::app {

// From here on the program gets no more than 1 GB: what asks for more fails with std::bad_alloc. Not where its memory is
// watched by a sanitizer, which needs more.
void limit_memory();

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
  std::thread watcher_;
};

}  // namespace lugwise::app
