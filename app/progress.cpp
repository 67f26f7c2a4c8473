#include "progress.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>
#include <utility>

namespace lugwise::app {
namespace {

constexpr auto kFirstWord = std::chrono::milliseconds(500);  // before the first word
constexpr auto kEvery = std::chrono::milliseconds(200);      // from one to the next

// "3 s", "2 min 10 s", "1 h 5 min".
std::string spelled(double seconds) {
  const auto whole = static_cast<long>(seconds + 0.5);
  if (whole < 60) return fmt::format("{} s", std::max(1L, whole));
  if (whole < 3600) return fmt::format("{} min {} s", whole / 60, whole % 60);
  return fmt::format("{} h {} min", whole / 3600, whole % 3600 / 60);
}

}  // namespace

Progress::Progress(const Run& run, std::string doing)
    : err_(run.err), doing_(std::move(doing)), columns_(run.columns) {
  if (run.watched) watcher_ = std::thread([this] { watch(); });
}

Progress::~Progress() {
  if (!watcher_.joinable()) return;
  {
    const std::lock_guard lock(mutex_);
    ended_ = true;
  }
  changed_.notify_all();
  watcher_.join();
}

void Progress::reach(std::size_t done, std::size_t of) {
  const std::lock_guard lock(mutex_);
  if (of != of_ || done < done_) part_begun_ = Clock::now();
  done_ = done;
  of_ = of;
}

std::string Progress::line(Clock::duration gone) const {
  const double seconds = std::chrono::duration<double>(gone).count();
  std::string text = "lugwise: " + doing_;
  if (of_ > 0) text += fmt::format(", {} of {}", done_, of_);
  // A guess from the first few would jump about.
  const double part = std::chrono::duration<double>(Clock::now() - part_begun_).count();
  const bool enough = of_ > 0 && done_ > 0 && (done_ * 20 >= of_ || done_ >= 50);
  text += enough && done_ < of_
              ? fmt::format(", {} left",
                            spelled(part * static_cast<double>(of_ - done_) / static_cast<double>(done_)))
              : fmt::format(", {} so far", spelled(seconds));
  return text.substr(0, columns_ - 1);
}

void Progress::watch() {
  std::unique_lock lock(mutex_);
  if (changed_.wait_for(lock, kFirstWord, [&] { return ended_; })) return;
  std::size_t shown = 0;
  do {
    const std::string text = line(Clock::now() - begun_);
    // The line is written over, as no sign that moves a cursor is needed for that.
    err_ << '\r' << text << std::string(shown > text.size() ? shown - text.size() : 0, ' ') << std::flush;
    shown = text.size();
  } while (!changed_.wait_for(lock, kEvery, [&] { return ended_; }));
  err_ << '\r' << std::string(shown, ' ') << '\r' << std::flush;
}

}  // namespace lugwise::app
