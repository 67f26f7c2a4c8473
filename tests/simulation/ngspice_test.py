"""Simulated readings against ngspice, a general-purpose circuit simulator that shares nothing with lib/network.

For every fault looked at, ngspice solves the circuit with all its resistances at their least and at their most; what the
simulated meter shows must lie between the two, widened by the leads and by the accuracy of the range. What a sound harness is
expected to show at its nominal values must be ngspice's answer within 0.1 %.

A sample of the faults here; LUGWISE_EVERY=1 takes all of them.
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

# Joints may have no resistance at all. Less than this beside hundreds of kilohms and the simulator's matrix has no digits left.
LEAST = 1e-5


def reached(resistors, start):
    """The points that resistors join to one."""
    beside = {}
    for a, b, _ in resistors:
        beside.setdefault(a, []).append(b)
        beside.setdefault(b, []).append(a)
    found, left = {start}, [start]
    while left:
        for point in beside.get(left.pop(), []):
            if point not in found:
                found.add(point)
                left.append(point)
    return found


def solve(lines):
    """Ohms of each copy by ngspice; None where nothing joins the two probes."""
    ends, copies = {}, {}
    for line in lines:
        words = line.split()
        if words[0] == "P":
            ends[int(words[1])] = (words[2], words[3])
        elif words[0] == "R" and words[2] != words[3]:
            copies.setdefault(int(words[1]), []).append((words[2], words[3], max(float(words[4]), LEAST)))
    deck, answers, count = ["* resistances between two probes"], {}, 0
    for copy, (a, b) in ends.items():
        resistors = copies.get(copy, [])
        found = reached(resistors, b)
        answers[copy] = None
        if a not in found:
            continue
        answers[copy] = f"n{copy}_{a}"
        for x, y, ohms in resistors:
            if x not in found:
                continue
            count += 1
            nodes = ["0" if point == b else f"n{copy}_{point}" for point in (x, y)]
            deck.append(f"R{count} {nodes[0]} {nodes[1]} {ohms:.17g}")
        deck.append(f"I{copy} 0 n{copy}_{a} 1")
    nodes = [node for node in answers.values() if node]
    deck += [".options numdgt=12 reltol=1e-9", ".control", "set numdgt=12", "op"]
    deck += [f"print v({node})" for node in nodes]
    deck += [".endc", ".end", ""]
    done = subprocess.run(["ngspice", "-b", "/dev/stdin"], input="\n".join(deck), text=True, capture_output=True,
                          timeout=600)
    read = dict(re.findall(r"v\((n\d+_\d+)\) = ([-+0-9.eE]+)", done.stdout))
    return {copy: node and float(read[node]) for copy, node in answers.items()}


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
