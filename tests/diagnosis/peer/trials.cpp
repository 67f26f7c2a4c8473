// Trials of the diagnosis in numbers: lugwise_trials COUNT NETLIST ... [--sound|--one|--two|--spoilt] [--show]. With --slip-once
// one reading of each sheet is a slip; --thorough takes that plan.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <fstream>
#include <iterator>
#include <map>

#include "intake/netlist.h"
#include "support/trial.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

struct Count {
  int cases = 0, visible = 0, alarms = 0, unsure = 0, missed = 0, first = 0, named = 0, ranged = 0, held = 0,
      sized = 0, near = 0;
  int given[11] = {}, right[11] = {};
  double seconds = 0;
};

// Whether some reading that is not as it should be is a number: an OL leaves the size open.
bool shows_a_number(const Trial& trial, const Diagnosis& found) {
  return std::any_of(found.readings.begin(), found.readings.end(), [&](const Comparison& each) {
    return !each.agrees && trial.readings[each.observation].shows == Shows::Value;
  });
}

bool size_is_near(const Size& size, const Hidden& hidden) {
  return std::abs(size.nominal / hidden.size - 1) < 0.2;
}

bool size_is_held(const Size& size, const Hidden& hidden) {
  return size.low <= hidden.size && hidden.size <= size.high;
}

// Two faults that each show beside the other: both named in the first three groups, or what leads reads the same.
void try_two(const std::string& path, const Trials& bench, Diagnoser& diagnoser, const Harness& harness,
             int cases, bool showing, void (*show)(const Harness&, const Trial&, const Diagnosis&)) {
  std::mt19937 random(21);
  int shown = 0;
  int named = 0;
  int alike = 0;
  double seconds = 0;
  for (int c = 0; c < cases; ++c) {
    const TwoFaults two = TwoFaults::draw(bench, random);
    if (!two.each_shows) continue;
    ++shown;
    const std::clock_t start = std::clock();
    const Diagnosis found = diagnoser.diagnose(two.both.readings);
    seconds += static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
    const bool there = two.named_in(found);
    const bool same = !there && two.reads_as(bench, found);
    named += there;
    alike += same;
    if (showing && !there) {
      fmt::print("{}\n", same ? "ALIKE" : "MISSED");
      show(harness, two.both, found);
    }
  }
  fmt::print("{:<28} {:>6} shown {:>5} named {:>5} alike {:>9.3f} ms\n", path.substr(path.rfind('/') + 1),
             shown, named, alike, 1000 * seconds / std::max(shown, 1));
}

void show(const Harness& harness, const Trial& trial, const Diagnosis& found) {
  for (const Hidden& each : trial.hidden)
    fmt::print("hidden: {} size {:.3g}\n", in_words(harness, each.fault), each.size);
  for (const Comparison& each : found.readings) {
    const Observation& seen = trial.readings[each.observation];
    if (!each.agrees || std::getenv("ALL"))
      fmt::print("   {} {}-{} shows {} ({:.4g}..{:.4g}{}) range {} {}\n", each.observation + 1,
                 harness[seen.a].name, harness[seen.b].name, seen.text, each.shows.low, each.shows.high,
                 each.expected.open ? " open" : "", each.range.top, each.doubtful ? "doubtful" : "");
  }
  fmt::print("  verdict {} sound {:.4f} unmodelled {:.4f}: {}\n", static_cast<int>(found.verdict),
             found.sound, found.unmodelled, found.advice);
  for (std::size_t k = 0; k < found.suspects.size() && k < 8; ++k) {
    const Suspect& each = found.suspects[k];
    fmt::print("   {:.4f} g{} {}", each.probability, each.group, in_words(harness, each.fault));
    if (each.also) fmt::print(" AND {}", in_words(harness, *each.also));
    if (each.size)
      fmt::print(" size {:.4g} ({:.4g}..{:.4g})", each.size->nominal, each.size->low, each.size->high);
    fmt::print("\n");
  }
}

}  // namespace

int main(int argc, char** argv) {
  const int cases = std::atoi(argv[1]);
  std::string kind = "--one";
  bool showing = false;
  bool next = false;
  bool slip_once = false;
  PlanOptions planned;
  std::vector<std::string> paths;
  for (int i = 2; i < argc; ++i) {
    if (std::strcmp(argv[i], "--show") == 0)
      showing = true;
    else if (std::strcmp(argv[i], "--next") == 0)
      next = true;
    else if (std::strcmp(argv[i], "--slip-once") == 0)
      slip_once = true;
    else if (std::strcmp(argv[i], "--thorough") == 0)
      planned.aim = Aim::Thorough;
    else if (argv[i][0] == '-')
      kind = argv[i];
    else
      paths.push_back(argv[i]);
  }
  fmt::print("{:<28} {:>6} {:>7} {:>6} {:>6} {:>6} {:>6} {:>6} {:>6} {:>6} {:>9}\n", "harness", "cases",
             "visible", "alarm", "unsure", "missed", "first", "named", "held", "size", "ms/case");
  Count all;
  for (const std::string& path : paths) {
    std::ifstream file(path);
    const std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    Diagnostics diagnostics(path);
    const Netlist netlist = read_netlist(text, diagnostics).value();
    const Harness& harness = netlist.harness;
    const Trials bench(harness, planned);
    std::mt19937 random(7);
    Count count;
    DiagnosisOptions options;
    options.suggest = next;
    options.scope = scope_of(bench.plan());
    Diagnoser diagnoser(harness, options);
    if (kind == "--two") {
      try_two(path, bench, diagnoser, harness, cases, showing, show);
      continue;
    }
    for (int c = 0; c < cases; ++c) {
      std::vector<Hidden> hidden;
      if (kind != "--sound" && kind != "--spoilt-sound") hidden.push_back(bench.draw_fault(random));
      Trial trial = bench.take(hidden, random);
      if (kind.starts_with("--spoilt")) bench.spoil(trial, 0.02, random);
      if (slip_once && !bench.slip_once(trial, random)) continue;
      const std::clock_t start = std::clock();
      const Diagnosis found = diagnoser.diagnose(trial.readings);
      count.seconds += static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
      ++count.cases;
      bool bad = false;
      if (hidden.empty()) {
        bad = found.verdict != Verdict::Sound;
        count.alarms += found.verdict == Verdict::Fault;
        count.unsure += found.verdict == Verdict::Unsure || found.verdict == Verdict::Unfinished;
      } else if (trial.visible) {
        ++count.visible;
        count.missed += found.verdict == Verdict::Sound;
        count.unsure += found.verdict == Verdict::Unsure;
        const int before = count.sized - count.near + count.ranged - count.held;
        std::size_t right = 0;
        std::size_t first = 0;
        for (const Suspect& each : found.suspects) {
          const bool is_it = each.fault == hidden[0].fault;
          right += is_it;
          first += is_it && each.group == 1;
          const auto bin = static_cast<std::size_t>(each.probability * 10);
          ++count.given[bin];
          count.right[bin] += is_it;
          if (is_it && each.group == 1 && hidden[0].size > 0 && each.size) {
            ++count.ranged;
            count.held += size_is_held(*each.size, hidden[0]);
            if (!shows_a_number(trial, found)) continue;
            ++count.sized;
            count.near += size_is_near(*each.size, hidden[0]);
          }
        }
        count.first += first > 0;
        count.named += right > 0;
        bad = first == 0 || found.verdict != Verdict::Fault ||
              (std::getenv("SIZE") && count.sized - count.near + count.ranged - count.held > before);
      }
      if (showing && bad) show(harness, trial, found);
    }
    const auto share = [&](int n, int of) { return of ? 100.0 * n / of : 0; };
    const int of = count.visible ? count.visible : count.cases;
    fmt::print("{:<28} {:>6} {:>7} {:>6.2f} {:>6.2f} {:>6.2f} {:>6.2f} {:>6.2f} {:>6.2f} {:>6.2f} {:>9.3f}\n",
               path.substr(path.rfind('/') + 1), count.cases, count.visible, share(count.alarms, of),
               share(count.unsure, of), share(count.missed, of), share(count.first, of),
               share(count.named, of), share(count.held, count.ranged), share(count.near, count.sized),
               1000 * count.seconds / count.cases);
    for (int b = 0; b <= 10; ++b) {
      all.given[b] += count.given[b];
      all.right[b] += count.right[b];
    }
  }
  for (int b = 0; b <= 10; ++b)
    if (all.given[b])
      fmt::print("  {:>3} %: {:>6} given, {:.1f} % right\n", b * 10, all.given[b],
                 100.0 * all.right[b] / all.given[b]);
}
