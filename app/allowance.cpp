#include "allowance.h"

#include <fmt/format.h>
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <ctime>
#include <fstream>
#include <ostream>
#include <system_error>
#include <vector>

#include "command.h"

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

// An estimate of seconds may be three times too low or too high, so of half of what has to be told a word is due. Of memory it is
// closer: of all that was measured it was a fifth too high at most, so what is refused unseen would not have fitted.
constexpr Workload kWorthAWord{5, 150e6};
constexpr double kSurelyTooMuch = 1.5e9;

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

std::string what_to_leave_out(const Command& command, const CommandLine& line) {
  std::vector<std::string> less;
  for (const char* option : {"--thorough", "--quick", "--allow-lift"}) {
    if (line.has(option)) less.push_back(fmt::format("no {}", option));
  }
  if (line.plan == "thorough" && command.find_option("--plan")) less.push_back("--plan usual");
  if (command.find_option("--depth") && line.depth != "outside") less.push_back("--depth outside");
  const Option* const at = command.find_option("--at");
  if (at && at->offer == Offer::Places && line.at.empty()) less.push_back("--at one place");
  if (command.find_option("--jobs") && line.jobs != 1) less.push_back("--jobs 1");
  if (command.find_option("--stage") && line.stage.empty()) less.push_back("a --stage with fewer parts");
  const auto by_place = command.by_place();
  const bool netlist = std::any_of(by_place.begin(), by_place.end(), [](const Option* option) {
    return option->name == "HARNESS" || option->name == "FOLDER";
  });
  less.push_back(netlist ? "a netlist with fewer switches, positions and parts" : "a smaller file");
  return fmt::format("ask for less: {}", fmt::join(less, "; or "));
}

void announce(Run& run, const Workload& work) {
  if (work.bytes > kSurelyTooMuch) {
    BadInput refused = bad_input(
        "U324",
        fmt::format("this would take about {}; a run may have 1 GB of memory at most", in_words(work)),
        run.heading.harness_file);
    refused.errors.front().note(run.leave_out);
    throw refused;
  }
  if (work.seconds < kWorthAWord.seconds && work.bytes < kWorthAWord.bytes) return;
  run.err << fmt::format("lugwise: this takes about {}{}; Ctrl-C ends it\n", in_words(work),
                         work.bytes > kMostBytes ? ", and gets no more than 1 GB" : "")
          << std::flush;
  if (run.allowance) run.allowance->told();
}

SearchSize search_size(const Harness& harness, std::optional<std::size_t> stage) {
  return size_of_search(harness, stage, faults_at(harness, stage));
}

void announce_plan(Run& run, const Harness& harness, const PlanOptions& options) {
  if (!options.after.empty()) return;
  const SearchSize size =
      size_of_search(harness, options.stage, faults_at(harness, options.stage), options.depth);
  announce(run, work_of_plan(size, options.aim));
}

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
  while (!(told_time && told_memory) && !changed_.wait_for(lock, kPace, [&] { return ended_ || told_; })) {
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

void Allowance::told() {
  {
    const std::lock_guard lock(mutex_);
    told_ = true;
  }
  changed_.notify_all();
}

// In one piece, as others write there too.
void Allowance::say(const std::string& what) {
  err_ << (watched_ ? "\nlugwise: " : "lugwise: ") + what + "\n" << std::flush;
}

}  // namespace lugwise::app
