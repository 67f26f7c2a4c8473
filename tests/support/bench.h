// A bench for tests: worked harnesses, and what a meter shows on one with a fault in it. The faulty circuit is solved
// from its resistors every time, by none of the formulas that plan and diagnosis use.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "fault/fault.h"
#include "intake/netlist.h"
#include "plan/plan.h"

namespace lugwise::test {

// Paths of all worked harnesses, smallest first.
std::vector<std::string> worked_harnesses();

// One of them; fails the test if it cannot be read.
Netlist worked_harness(const std::string& path);

// The resistance between two probes with a fault (none: sound), everything at its nominal value; none where open.
std::optional<Ohms> true_ohms(const Harness& harness, const State& state, PointId a, PointId b,
                              const Fault* fault, double size = 0);

// What the display shows of it on a range, and the same as a technician would enter it.
Observation observe(const Harness& harness, const Step& step, const PlanOptions& options, const Fault* fault,
                    double size = 0);

// All the reading and sweeping steps of a plan, taken on one faulty harness.
std::vector<Observation> take_readings(const Harness& harness, const Plan& plan, const Fault* fault,
                                       double size = 0);

// Options of a diagnosis that holds readings against a plan.
DiagnosisOptions held_against(const Plan& plan);

}  // namespace lugwise::test
