"""A study from the command line: the same numbers whatever runs beside it, a plot that says what it shows."""

import json
import os
import subprocess
import tempfile
import unittest
import xml.etree.ElementTree as ElementTree
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
HARNESS = ROOT / "harnesses/fernhollow-1.yaml"
SVG = "{http://www.w3.org/2000/svg}"


def study(*words):
    done = subprocess.run([PROGRAM, "study", HARNESS, *map(str, words)], capture_output=True, text=True, timeout=300)
    return done.stdout, done.stderr, done.returncode


class Study(unittest.TestCase):
    def test_one_job_and_three_give_the_same_numbers(self):
        one = study("--cases", 20, "--json", "--jobs", 1)
        self.assertEqual(one[1:], ("", 0))
        self.assertEqual(one, study("--cases", 20, "--json", "--jobs", 3))
        self.assertNotEqual(one, study("--cases", 20, "--json", "--seed", 2))

    def test_the_counts_add_up(self):
        answer = json.loads(study("--cases", 24, "--json")[0])
        self.assertEqual(answer["sound"]["cases"] + answer["faulty"]["cases"], 24)
        self.assertEqual(sum(kind["cases"] for kind in answer["kinds"].values()), answer["faulty"]["cases"])
        self.assertEqual(sum(answer["located"]["counts"]), answer["located"]["cases"])

    def test_only_the_faults_asked_for_are_drawn(self):
        self.assertEqual(list(json.loads(study("--cases", 6, "--json", "--faults", "short")[0])["kinds"]), ["short"])
        none = json.loads(study("--cases", 6, "--json", "--faults", "none")[0])
        self.assertEqual((none["sound"]["cases"], none["kinds"]), (6, {}))

    def test_a_case_is_shown_in_full(self):
        out, err, code = study("--faults", "open", "--case", 3)
        self.assertEqual((err, code), ("", 0))
        self.assertIn("is open", out)
        self.assertIn("Verdict", out)

    def test_the_plot_is_svg_with_a_title_and_a_description(self):
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "study.svg"
            self.assertEqual(study("--cases", 8, "--plot", file)[2], 0)
            root = ElementTree.parse(file).getroot()
        self.assertEqual(root.tag, SVG + "svg")
        self.assertEqual(root.get("role"), "img")
        for part in ("title", "desc"):
            self.assertTrue(root.find(SVG + part).text)
            self.assertIn(root.find(SVG + part).get("id"), root.get("aria-labelledby").split())
        colours = {value for element in root.iter() for key, value in element.attrib.items()
                   if key in ("fill", "stroke")}
        self.assertLessEqual(colours, {"black", "white", "none", "url(#hatch)"})

    def test_what_makes_no_sense_is_refused(self):
        for words, said in ((("--faults", "opn"), "nearest name is 'open'"),
                            (("--cases", 0), "write a whole number from 1 to 10000000, not '0'"),
                            (("--jobs", 0), "from 1 to 64, not '0'"),
                            (("--slips", "90%"), "write 0% to 50%"),
                            (("--pairs", "--faults", "none"), "there are none")):
            with self.subTest(words):
                out, err, code = study(*words)
                self.assertEqual((out, code), ("", 2))
                self.assertIn(said, err)
        out, err, code = study("--cases", 1, "--plot", "/no/such/folder/x.svg")
        self.assertEqual(code, 3)
        self.assertIn("U320", err)


if __name__ == "__main__":
    unittest.main()
