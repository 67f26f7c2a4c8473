// A harness on the bench with a hidden fault, and the meter that is held to it, for the tests of the guide.
//
//   lugwise_guide_bench NETLIST
//
// Commands, a line each, answered by the lines shown:
//   words                        every point's words and its name, a tab between; then "end"
//   faults                       every listed fault: number, mode, site, words, tab between; then "end"
//   break NUMBER OHMS            hides that fault (ohms of a High, factor of a Value); "ok"
//   mend                         takes it away; "ok"
//   read A B RANGE OPEN [CONTROL=PLACE]...   what the display shows; OPEN is 1 where the cavity is
//   sweep POT A B RANGE OPEN [CONTROL=PLACE]...   "smooth X Y" or "jumps"
#include <fmt/format.h>

#include <fstream>
#include <iostream>
#include <iterator>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "circuit/circuit.h"
#include "expectation/corner.h"
#include "fault/fault.h"
#include "intake/netlist.h"
#include "intake/place.h"
#include "intake/value.h"
#include "meter/meter.h"

namespace {

using namespace lugwise;

constexpr Ohms kLeads = 0.3;

class Bench {
 public:
  explicit Bench(const Netlist& netlist)
      : harness_(netlist.harness),
        faults_(faults_of(harness_)),
        meter_(netlist.meter.value_or(assumed_meter())) {}

  void words() const {
    for (const std::string& name : harness_.point_names()) {
      const PointId point = *harness_.find_point(name);
      fmt::print("{}\t{}\n", point_in_words(harness_, point), harness_[point].name);
    }
    fmt::print("end\n");
  }

  void faults() const {
    for (std::size_t i = 0; i < faults_.size(); ++i) {
      const Fault& fault = faults_[i];
      fmt::print("{}\t{}\t{}\t{}\n", i, mode_name(fault.mode), site_name(fault.site),
                 in_words(harness_, fault));
    }
    fmt::print("end\n");
  }

  void hide(std::size_t number, double size) {
    fault_ = faults_.at(number);
    size_ = size;
  }
  void mend() { fault_.reset(); }

  std::string display_at(PointId a, PointId b, const Range& range, const State& state) const {
    Circuit circuit = circuit_of(harness_, state);
    if (fault_) circuit = with_fault(circuit, *fault_, size_);
    const auto ohms =
        network_at(circuit, resistors_at(circuit, Corner::Nominal)).resistance(a.index, b.index);
    return ohms ? display(meter_, range, *ohms + kLeads) : "OL";
  }

  std::string answer(std::istringstream& words, bool sweep) const {
    std::string pot, first, second, range, open;
    if (sweep) words >> pot;
    words >> first >> second >> range >> open;
    State state;
    state.setting = Setting(harness_);
    state.cavity_open = open == "1";
    for (std::string set; words >> set;) {
      const std::size_t equals = set.find('=');
      if (apply_setting(harness_, set.substr(0, equals), set.substr(equals + 1), state.setting))
        return "no such setting: " + set;
    }
    const auto a = harness_.find_point(first);
    const auto b = harness_.find_point(second);
    const Range* const on = meter_.find_range(parse_ohms(range).value.value_or(0));
    if (!a || !b || !on) return "no such reading: " + words.str();
    const std::string start = display_at(*a, *b, *on, state);
    if (!sweep) return start;
    const PartId part = *harness_.find_part(pot);
    if (fault_ && is_worn_track(*fault_) && harness_[*fault_->element].part == part) return "jumps";
    State end = state;
    end.setting.turn(part, 10 - state.setting.knob(part));
    return fmt::format("smooth {} {}", start, display_at(*a, *b, *on, end));
  }

 private:
  const Harness& harness_;
  std::vector<Fault> faults_;
  Meter meter_;
  std::optional<Fault> fault_;
  double size_ = 0;
};

}  // namespace

int main(int count, char** arguments) {
  if (count != 2) return 2;
  std::ifstream file(arguments[1]);
  const std::string text((std::istreambuf_iterator<char>(file)), {});
  Diagnostics problems(arguments[1]);
  const auto netlist = read_netlist(text, problems);
  if (!netlist) return 3;
  Bench bench(*netlist);
  for (std::string line; std::getline(std::cin, line);) {
    std::istringstream words(line);
    std::string command;
    words >> command;
    if (command == "words") {
      bench.words();
    } else if (command == "faults") {
      bench.faults();
    } else if (command == "break") {
      std::size_t number = 0;
      double size = 0;
      words >> number >> size;
      bench.hide(number, size);
      fmt::print("ok\n");
    } else if (command == "mend") {
      bench.mend();
      fmt::print("ok\n");
    } else {
      fmt::print("{}\n", bench.answer(words, command == "sweep"));
    }
    std::fflush(stdout);
  }
  return 0;
}
