"""Simulated readings against ngspice, a general-purpose circuit simulator that shares nothing with lib/network.

For every fault looked at, ngspice solves the circuit with all its resistances at their least and at their most; what the
simulated meter shows must lie between the two, widened by the leads and by the accuracy of the range. What a sound harness is
expected to show at its nominal values must be ngspice's answer within 0.1 %.

A sample of the faults here; LUGWISE_EVERY=1 takes all of them (docs/study.md has that run's numbers).
"""

import os
import re
import subprocess
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
BUILD = Path(os.environ.get("LUGWISE_BUILD", ROOT / ".build/dev"))
EVERY = os.environ.get("LUGWISE_EVERY") == "1"
STRIDE = 1 if EVERY else 61

# From each point to ground, so that nothing floats; far above any reading, and what is near it is open.
SHUNT = 1e13
OPEN = 1e10


def solve(lines):
    """Ohms of each copy by ngspice; None where open."""
    deck, wanted = ["* resistances between two probes"], []
    ends = {int(c): (a, b) for _, c, a, b in (line.split() for line in lines if line.startswith("P"))}
    count = 0
    for line in lines:
        if not line.startswith("R"):
            continue
        _, copy, a, b, ohms = line.split()
        if a == b:
            continue
        count += 1
        name = lambda point: "0" if point == ends[int(copy)][1] else f"n{copy}_{point}"  # noqa: E731
        deck.append(f"R{count} {name(a)} {name(b)} {max(float(ohms), 1e-9):.17g}")
    for copy, (a, b) in ends.items():
        # What nothing conducts to stands in no resistor.
        deck += [f"I{copy} 0 n{copy}_{a} 1", f"Rq{copy} n{copy}_{a} 0 {SHUNT:g}"]
        wanted.append(f"n{copy}_{a}")
    deck += [f".options rshunt={SHUNT:g} numdgt=12 reltol=1e-9", ".control", "set numdgt=12", "op"]
    deck += [f"print v({node})" for node in wanted]
    deck += [".endc", ".end", ""]
    done = subprocess.run(["ngspice", "-b", "/dev/stdin"], input="\n".join(deck), text=True, capture_output=True,
                          timeout=600)
    found = dict(re.findall(r"v\((n\d+_\d+)\) = ([-+0-9.eE]+)", done.stdout))
    answers = {}
    for copy, (a, _) in ends.items():
        ohms = float(found[f"n{copy}_{a}"])
        answers[copy] = None if ohms > OPEN else ohms
    return answers


class Ngspice(unittest.TestCase):
    def test_every_simulated_reading_lies_within_what_its_fault_allows(self):
        readings = expected = 0
        for number, netlist in enumerate(sorted((ROOT / "harnesses").glob("*.yaml"))):
            told = subprocess.run([BUILD / "tests/lugwise_spice", f"harnesses/{netlist.name}", str(STRIDE),
                                   str(number * 7 % STRIDE)], cwd=ROOT, capture_output=True, text=True, check=True,
                                  timeout=600).stdout.splitlines()
            piece = []
            for line in told:
                piece.append(line)
                if len(piece) > 40_000 and line.startswith("S"):
                    seen = self.judge(netlist.name, piece)
                    readings, expected, piece = readings + seen[0], expected + seen[1], []
            seen = self.judge(netlist.name, piece)
            readings, expected = readings + seen[0], expected + seen[1]
        print(f"ngspice: {readings} readings within their limits, {expected} expected ones within 0.1 %")
        self.assertGreater(readings, 300)
        self.assertGreater(expected, 50)

    def judge(self, netlist, lines):
        ohms = solve(lines)
        readings = expected = 0
        for line in lines:
            if not line.startswith("S"):
                continue
            (_, low, high, nominal, said, share, digits, step, top, leads_low, leads_high, shows,
             what) = line.split(" ", 12)
            low, high = ohms[int(low)], ohms[int(high)]
            share, step, top = float(share), float(step), float(top)
            error = (float(digits) + 0.5001) * step
            least = None if low is None else (low + float(leads_low)) * (1 - share) - error
            most = None if high is None else (high + float(leads_high)) * (1 + share) + error
            with self.subTest(netlist=netlist, fault=what, reading=line[:60]):
                if float(shows) < 0:  # OL
                    self.assertTrue(most is None or most >= top - 1.01 * step, (least, most, top))
                else:
                    self.assertIsNotNone(least)
                    self.assertGreaterEqual(float(shows), least - 1e-6)
                    self.assertTrue(most is None or float(shows) <= most + 1e-6, (shows, most))
                readings += 1
                if int(nominal) >= 0 and float(said) >= 0:
                    self.assertAlmostEqual(float(said), ohms[int(nominal)], delta=1e-3 * float(said) + 1e-6)
                    expected += 1
        return readings, expected


if __name__ == "__main__":
    unittest.main()
