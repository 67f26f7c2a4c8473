"""Measured pickups, from their file to what is said of them: every number beside another computation of it."""

import itertools
import json
import math
import os
import subprocess
import tempfile
import unittest
from pathlib import Path

PROGRAM = os.environ["LUGWISE_PROGRAM"]
COPPER = 0.00393  # IEC 60028, per degree of the value at 20 degrees C
LOT = """lugwise-pickups: 1
meter: {counts: 2000, ranges: [200, 2k, 20k, 200k, 2M, 20M], accuracy: 0.8% + 2, leads: 0.3}
temperature: 24 °C
pickups:
  P1: 5.92k
  P2: 6.05k
  P3: 6.31k
  P4: {reads: 6.55k, temperature: 17 °C}
  P5: 6.84k
  P6: 7.40k
  P7: {reads: 6.6k}
  H1: {coils: {slug: 3.71k, screw: 3.80k}, group: twin}
  H2: {coils: {slug: 3.90k, screw: 4.31k}, group: twin}
"""


class Lot(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)

    def match(self, text, *words):
        (self.folder / "lot.yaml").write_text(text)
        done = subprocess.run([PROGRAM, "match", "lot.yaml", *words], cwd=self.folder, capture_output=True, text=True,
                              check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        return done.stdout

    def test_the_numbers_are_those_of_another_computation(self):
        found = json.loads(self.match(LOT, "--json"))
        self.assertEqual(found["file"], "lot.yaml")
        # All lie on the 20k range: two digits of 10 ohms and half of the last one written; 0.8 %; one degree.
        alone = {}
        for pickup in found["pickups"]:
            warmth = 1 + COPPER * (pickup["temperature"] - 20)
            digits = [20 + (50 if coil["reads"] == 6600 else 5) for coil in pickup["coils"]]
            for coil, digit in zip(pickup["coils"], digits):
                cold = (coil["reads"] - 0.3) / warmth
                self.assertAlmostEqual(coil["ohms"], cold, delta=1e-4)
                self.assertAlmostEqual(coil["off"], digit / warmth + cold * (0.008 + COPPER), delta=1e-4)
            raw = sum(coil["reads"] - 0.3 for coil in pickup["coils"])
            alone[pickup["pickup"]] = (raw, raw / warmth, sum(digits), pickup["temperature"])
        for proposal in found["sets"]:
            for one in proposal["sets"]:
                for neck, bridge, step in zip(one["pickups"], one["pickups"][1:], one["steps"]):
                    (raw, cold, digits, at), (raw2, cold2, digits2, at2) = alone[neck], alone[bridge]
                    # The gain of one range is the same for both; a room of its own each makes a degree each.
                    off = digits / raw + digits2 / raw2 + COPPER * (1 if at == at2 else 2)
                    self.assertAlmostEqual(step["ratio"], cold2 / cold, delta=1e-7)
                    self.assertAlmostEqual(step["off"], cold2 / cold * off, delta=1e-7)
            self.assertEqual(self.best([p for p in found["pickups"] if p["group"] == proposal["group"]],
                                       proposal["size"]),
                             (len(proposal["sets"]), round(sum(self.far(alone, s["pickups"]) for s in proposal["sets"]), 7)))

    @staticmethod
    def far(alone, names):
        return sum((math.log(alone[b][1] / alone[a][1]) - math.log(1.08)) ** 2 for a, b in zip(names, names[1:]))

    @staticmethod
    def best(pickups, size):
        """SLOW ON PURPOSE: all choices."""
        def far(ohms):
            steps = [b / a for a, b in zip(ohms, ohms[1:])]
            return sum((math.log(s) - math.log(1.08)) ** 2 for s in steps) if all(1 <= s <= 1.25 for s in steps) else None

        def go(left):
            if len(left) < size:
                return (0, 0.0)
            first, rest = left[0], left[1:]
            found = go(rest)
            for others in itertools.combinations(range(len(rest)), size - 1):
                more = far([first, *(rest[i] for i in others)])
                if more is None:
                    continue
                sets, total = go([ohms for i, ohms in enumerate(rest) if i not in others])
                found = max(found, (sets + 1, total + more), key=lambda each: (each[0], -each[1]))
            return found
        sets, total = go(sorted(p["ohms"] for p in pickups))
        return (sets, round(total, 7))

    def test_a_page_says_which_file_which_meter_and_what_give_or_take_is(self):
        said = self.match(LOT)
        self.assertIn("file   lot.yaml", said)
        self.assertIn("7.40 kΩ", said)  # as it was written
        self.assertIn("6.6 kΩ", said)
        self.assertNotIn("assumed", said)
        self.assertIn("Give or take is the most", said)
        self.assertIn("assumed, as none was named", self.match("lugwise-pickups: 1\npickups: {A: 6.20k}\n"))

    def test_too_few_pickups_for_a_set_are_told(self):
        self.assertIn("No pickup is in the file.", self.match("lugwise-pickups: 1\npickups: {}\n"))
        self.assertIn("None: too few pickups", self.match("lugwise-pickups: 1\npickups: {A: 6.20k}\n"))
        said = self.match("lugwise-pickups: 1\npickups: {A: 5.00k, B: 6.00k, C: 9.00k}\n")
        self.assertIn("neck A, +20.0 %", said)
        self.assertIn("None: no three go from one to the next by 25 % at most.", said)


if __name__ == "__main__":
    unittest.main()
