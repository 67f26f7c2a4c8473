#include "app/allowance.h"

#include <chrono>
#include <sstream>
#include <thread>
#include <vector>

#include "support/catch.h"

namespace {

using lugwise::app::Allowance;

// What is said meanwhile.
template <class Work>
std::string said(bool waits, Allowance::Words words, const Work& work) {
  std::ostringstream err;
  {
    const Allowance allowance(err, false, waits, words);
    work();
  }
  return err.str();
}

void work_for(std::chrono::milliseconds time) {
  const auto end = std::chrono::steady_clock::now() + time;
  while (std::chrono::steady_clock::now() < end) {
  }
}

constexpr long kNever = 1L << 40;

}  // namespace

TEST_CASE("a run that takes long says so once, one that is short or waits for a person does not") {
  const auto work = [] { work_for(std::chrono::milliseconds(300)); };
  const std::string told = said(false, {0, kNever}, work);
  CHECK(told == "lugwise: this may take more than ten seconds; Ctrl-C ends it\n");
  CHECK(said(false, {1e9, kNever}, work).empty());
  CHECK(said(true, {0, kNever}, work).empty());
}

TEST_CASE("a run that takes much memory says so once, whether it waits or not") {
  const auto work = [] { std::this_thread::sleep_for(std::chrono::milliseconds(300)); };
  for (const bool waits : {false, true})
    CHECK(said(waits, {1e9, 0}, work) ==
          "lugwise: this may take more than 300 MB of memory, and at most 1 GB\n");
  CHECK(said(false, {1e9, kNever}, work).empty());
}
