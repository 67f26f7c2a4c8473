#include "allowance.h"

#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <ctime>
#include <fstream>
#include <ostream>
#include <system_error>

namespace lugwise::app {
namespace {

#if defined(__SANITIZE_ADDRESS__)
constexpr bool kSanitized = true;
#elif defined(__has_feature)
constexpr bool kSanitized = __has_feature(address_sanitizer);
#else
constexpr bool kSanitized = false;
#endif

// With the program itself this stays below 1 GB.
constexpr rlim_t kMostBytes = 980'000'000;

constexpr auto kPace = std::chrono::milliseconds(50);

double seconds_taken() {
  timespec taken{};
  return ::clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &taken) == 0
             ? static_cast<double>(taken.tv_sec) + static_cast<double>(taken.tv_nsec) / 1e9
             : 0;
}

// The most so far. Not getrusage's figure, which begins with what the process had that started us.
long kilobytes_taken() {
  std::ifstream status("/proc/self/status");
  for (std::string word; status >> word;) {
    long kilobytes = 0;
    if (word == "VmHWM:") return status >> kilobytes ? kilobytes : 0;
  }
  return 0;
}

}  // namespace

void limit_memory() {
  rlimit limit{};
  if (kSanitized || ::getrlimit(RLIMIT_DATA, &limit) != 0) return;
  limit.rlim_cur = std::min(limit.rlim_cur, kMostBytes);
  ::setrlimit(RLIMIT_DATA, &limit);
}

Allowance::Words Allowance::usual_words() { return kSanitized ? Words{60, 4'000'000} : Words{}; }

Allowance::Allowance(std::ostream& err, bool watched, bool waits, Words words)
    : err_(err), watched_(watched), words_(words) {
  try {
    watcher_ = std::thread([this, waits] { watch(waits); });
  } catch (const std::system_error&) {
    // A machine that gives no thread gets no word.
  }
}

Allowance::~Allowance() {
  if (!watcher_.joinable()) return;
  {
    const std::lock_guard lock(mutex_);
    ended_ = true;
  }
  changed_.notify_all();
  watcher_.join();
}

void Allowance::watch(bool waits) {
  bool told_time = waits;
  bool told_memory = false;
  std::unique_lock lock(mutex_);
  while (!(told_time && told_memory) && !changed_.wait_for(lock, kPace, [&] { return ended_; })) {
    if (!told_time && seconds_taken() > words_.seconds) {
      say("this may take more than ten seconds; Ctrl-C ends it");
      told_time = true;
    }
    if (!told_memory && kilobytes_taken() > words_.kilobytes) {
      say("this may take more than 300 MB of memory, and at most 1 GB");
      told_memory = true;
    }
  }
}

// In one piece, as others write there too.
void Allowance::say(const std::string& what) {
  err_ << (watched_ ? "\nlugwise: " : "lugwise: ") + what + "\n" << std::flush;
}

}  // namespace lugwise::app
