"""What a diagnosis says in words: who has the rest, what agrees and what is cleared, what is done about a group."""

import os
import re
import subprocess
import tempfile
import unittest
from pathlib import Path

PROGRAM = os.environ["LUGWISE_PROGRAM"]
HARNESSES = Path(os.environ["LUGWISE_ROOT"]) / "harnesses"


class Words(unittest.TestCase):
    def diagnosed(self, number, readings="", *more):
        with tempfile.TemporaryDirectory() as folder:
            netlist = f"fernhollow-{number}.yaml"
            Path(folder, netlist).write_text((HARNESSES / netlist).read_text())
            words = [PROGRAM, "diagnose", netlist]
            if readings:
                Path(folder, "job.yaml").write_text(f"lugwise-readings: 1\nharness: {netlist}\nreadings:\n{readings}")
                words.append("job.yaml")
            done = subprocess.run(words + list(more), cwd=folder, capture_output=True, text=True, check=False)
        self.assertEqual(done.stderr, "")
        return " ".join(done.stdout.split())

    def test_after_a_complaint_the_shares_add_up(self):
        for number, heard in ((2, "front silent"), (4, "buzzes"), (6, "crackles")):
            with self.subTest(number, heard=heard):
                text = self.diagnosed(number, "", "--heard", heard)
                groups = re.findall(r"group \d+ ([\d.]+) %", text)
                rest = re.findall(r"The other ([\d.]+) % is left to", text)
                told = sum(map(float, groups)) + sum(map(float, rest))
                self.assertEqual(len(rest), 1, text)
                self.assertAlmostEqual(told, 100, delta=2)

    def test_what_agrees_is_told_from_what_is_cleared(self):
        text = self.diagnosed(2, "  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front}, reads: OL, range: 20k}\n")
        self.assertRegex(text, r"No reading that agrees rules out any of the \d+ faults that the plan shows yet\.")
        self.assertIn("Cleared: none of these alone explains the readings", text)
        self.assertNotIn("0 of the", text)

    def test_a_group_says_how_to_mend_each_kind_in_it(self):
        text = self.diagnosed(2, "  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front}, reads: OL, range: 20k}\n" * 2)
        group = text[text.index("group 1"):text.index("Cleared")]
        mends = group[group.index("to mend, as it turns out: "):]
        for way in ("reflow", "work and clean it, else replace it", "replace the wire"):
            self.assertIn(way, mends)


if __name__ == "__main__":
    unittest.main()
