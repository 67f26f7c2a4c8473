#include "study/study.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <exception>
#include <map>
#include <mutex>
#include <ostream>
#include <system_error>
#include <thread>

#include "allowance.h"
#include "command.h"
#include "form.h"
#include "handling/workload.h"
#include "load.h"
#include "output.h"
#include "progress.h"
#include "report/diagnosis.h"
#include "report/study.h"
#include "simulate.h"
#include "typed.h"

namespace lugwise::app {
namespace {

constexpr std::size_t kAtATime = 8;  // cases that a thread takes on at once
constexpr std::size_t kMostJobs = 64;
constexpr double kBytes = 800e6;  // for all of them, and the plan
constexpr auto kLook = std::chrono::milliseconds(100);
constexpr auto kSilence = std::chrono::seconds(10);  // from one line of progress to the next

// How many cases may run at once: one always.
std::size_t threads_that_fit(const SearchSize& size, std::size_t cases) {
  const double left = kBytes - work_of_plan(size, Aim::Usual).bytes;
  const double each = bytes_of_study(size, cases);
  return left > each ? static_cast<std::size_t>(left / each) : 1;
}

Ills read_ills(const std::string& typed) {
  for (const Ills ills : kAllIlls) {
    if (ills_name(ills) == typed) return ills;
  }
  return Ills::Mixed;
}

// Cases on several threads, each with a study of its own but for the plan; their order is that of their numbers, whoever ran
// them.
class Crew {
 public:
  Crew(const Study& study, std::size_t cases) : study_(study), cases_(cases) {}

  Findings run(unsigned jobs, const Run& run) {
    std::vector<std::thread> threads;
    try {
      while (threads.size() < jobs) threads.emplace_back([this] { work(); });
    } catch (const std::system_error&) {
      // Those that there are do it all; where there is none, as in a page, we do it ourselves.
    }
    if (threads.empty()) work();
    watch(std::max<std::size_t>(1, threads.size()), run);
    for (std::thread& thread : threads) thread.join();
    if (failure_) std::rethrow_exception(failure_);
    return findings_;
  }

 private:
  void work() {
    try {
      Study study(study_);
      while (true) {
        const std::size_t first = next_.fetch_add(kAtATime);
        if (first >= cases_) break;
        std::vector<Case> run;
        for (std::size_t n = first; n < std::min(first + kAtATime, cases_); ++n) {
          run.push_back(study.run(n));
          done_.fetch_add(1);
        }
        take(first, std::move(run));
      }
    } catch (...) {
      next_ = cases_;
      const std::lock_guard lock(mutex_);
      failure_ = std::current_exception();
    }
    const std::lock_guard lock(mutex_);
    ++finished_;
    changed_.notify_all();
  }

  // Adds cases to the findings in the order of their numbers; those that come before their turn wait, all others are
  // forgotten, so that ten million need no more memory than ten.
  void take(std::size_t first, std::vector<Case> run) {
    const std::lock_guard lock(mutex_);
    waiting_.emplace(first, std::move(run));
    while (!waiting_.empty() && waiting_.begin()->first == added_) {
      for (const Case& one : waiting_.begin()->second) findings_.add(one);
      added_ += waiting_.begin()->second.size();
      waiting_.erase(waiting_.begin());
    }
  }

  // Says how far it is where that takes long.
  void watch(std::size_t jobs, const Run& run) {
    Progress progress(run, "cases simulated");
    std::unique_lock lock(mutex_);
    auto told = std::chrono::steady_clock::now();
    while (!changed_.wait_for(lock, kLook, [&] { return finished_ == jobs; })) {
      progress.reach(done_.load(), cases_);
      if (run.watched || std::chrono::steady_clock::now() - told < kSilence) continue;
      told = std::chrono::steady_clock::now();
      run.err << fmt::format("lugwise: {} of {} cases\n", done_.load(), cases_) << std::flush;
    }
  }

  const Study& study_;
  const std::size_t cases_;
  std::atomic<std::size_t> next_{0};
  std::atomic<std::size_t> done_{0};
  std::mutex mutex_;
  std::condition_variable changed_;
  std::map<std::size_t, std::vector<Case>> waiting_;  // by the number of their first
  std::size_t added_ = 0;
  Findings findings_;
  unsigned finished_ = 0;
  std::exception_ptr failure_;
};

}  // namespace

ExitCode study_command(Run& run) {
  StudyOptions options;
  options.ills = read_ills(run.line.faults);
  options.slips = read_slips(run.line.slips);
  options.pairs = run.line.pairs;
  options.whole_sheet = run.line.sheet;
  options.seed = run.line.seed;
  if (options.pairs && options.ills == Ills::None)
    throw WrongUsage{"--pairs: there are none with --faults none"};

  const Netlist netlist = load_searchable(run);
  const Conditions conditions = load_conditions(run, netlist);
  static_cast<Circumstances&>(options) = conditions.circumstances();
  options.stage = find_stage(netlist.harness, run.line.stage, run.line.harness, {});
  run.heading.temperature.reset();  // nobody tells the diagnosis

  const SearchSize size = search_size(netlist.harness, options.stage);
  const std::size_t wished =
      std::min(kMostJobs, run.line.jobs.value_or(std::max(1U, std::thread::hardware_concurrency())));
  const std::size_t jobs = run.line.shown ? 1 : std::min(wished, threads_that_fit(size, run.line.cases));
  announce(run, work_of_study(size, run.line.shown ? 1 : run.line.cases, jobs));
  if (jobs < run.line.jobs.value_or(1))
    run.err << fmt::format("lugwise: {} at once, as each may take {:.0f} MB\n",
                           jobs == 1 ? "one case" : fmt::format("{} cases", jobs),
                           bytes_of_study(size, run.line.cases) / 1e6);
  Study study = shown_while(run, "choosing the probes", [&](const Reached& reached) {
    return Study(netlist.harness, netlist.id, options, reached);
  });
  if (run.line.shown) {
    const Study::Followed followed = study.follow(*run.line.shown);
    const Harness& harness = netlist.harness;
    if (run.line.json) {
      give(run, as_json(run.heading, harness, followed.observations, followed.diagnosis));
    } else if (run.line.markdown) {
      give(run, as_markdown(run.heading, harness, followed.end) + '\n' +
                    as_markdown(run.heading, harness, followed.observations, followed.diagnosis));
    } else {
      give(run,
           as_text(run.heading, harness, followed.end, run.width()) + '\n' +
               as_text(run.heading, harness, followed.observations, followed.diagnosis, {}, run.width()));
    }
    return ExitCode::Well;
  }

  Crew crew(study, run.line.cases);
  const Findings findings = crew.run(static_cast<unsigned>(jobs), run);
  if (!run.line.plot.empty()) write_output(run, "--plot", run.line.plot, as_svg(run.heading, findings));
  answer(run, netlist.harness, options, findings);
  return ExitCode::Well;
}

}  // namespace lugwise::app
