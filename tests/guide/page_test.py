"""The sessions shown in README and docs/ are what the program does, and --json tells the same, one object a line.

A ```session block begins with its command line; a line `…` stands for any lines. What stands after a prompt was typed there,
and what comes before the part that is shown is the shortest way to it.
"""

import json
import os
import re
import shutil
import subprocess
import tempfile
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
PAGES = [ROOT / "README.md", ROOT / "docs/guide.md"]
WAY = ["", "0.3", "", "", "", "6.71k"]  # to the steps that the pages show


def run(folder, *words, typed=()):
    done = subprocess.run([PROGRAM, "guide", *words], cwd=folder, input="".join(line + "\n" for line in typed),
                          capture_output=True, text=True, timeout=120, check=False)
    return done.stdout, done.stderr, done.returncode


class Pages(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)
        shutil.copy(ROOT / "harnesses/fernhollow-2.yaml", self.folder)

    def test_every_session_on_a_page_goes_as_shown(self):
        seen = 0
        for page in PAGES:
            for body in re.findall(r"^```session\n(.*?)^```$", page.read_text(), re.S | re.M):
                first, rest = body.split("\n", 1)
                words = first.removeprefix("$ lugwise guide ").split()
                typed = re.findall(r"^(?:reads|shows|smooth or jumps|what now)\? (.*)$", rest, re.M)
                out, err, _ = run(self.folder, *words, typed=[*WAY, *typed])
                self.assertEqual(err, "")
                pattern = "".join(r"(?:.*\n)*" if line == "…\n" else re.escape(line) for line in rest.splitlines(True))
                self.assertRegex(out, re.compile(rf"\A{pattern}\Z"), page.name)
                (self.folder / "fernhollow-2.readings.yaml").unlink()
                seen += 1
        self.assertGreater(seen, 1)

    def test_json_is_one_object_a_line(self):
        typed = [*WAY, "foo", "OL", "stop"]
        out, err, code = run(self.folder, "fernhollow-2.yaml", "--json", typed=typed)
        self.assertEqual((err, code), ("", 1))
        answers = [json.loads(line) for line in out.splitlines()]
        self.assertEqual(len(answers), 1 + len(typed))
        for answer in answers:
            self.assertEqual((answer["lugwise"], answer["output"], answer["record"]),
                             (1, "guide", "fernhollow-2.readings.yaml"))
        self.assertEqual([answer["reply"] for answer in answers],
                         ["nothing", "begun", "done", "done", "done", "done", "judged", "refused", "judged", "stopped"])
        self.assertEqual([answer["ask"]["kind"] for answer in answers],
                         ["begin", *["prepare"] * 4, "step", "step", "step", "again", "again"])
        self.assertTrue(answers[0]["before"])
        self.assertEqual(answers[5]["ask"]["between"], ["jack.plug-sleeve", "jack.plug-tip"])
        self.assertEqual(answers[5]["ask"]["range"], "20k")
        self.assertTrue(answers[6]["reading"]["agrees"])
        self.assertIn("foo", answers[7]["problem"])
        self.assertFalse(answers[8]["reading"]["agrees"])
        self.assertTrue(answers[8]["suspects"])

    def test_what_can_not_begin_says_so_in_json_too(self):
        out, err, code = run(self.folder, "nowhere.yaml", "--json")
        self.assertEqual((err, code), ("", 3))
        self.assertEqual(json.loads(out)["errors"][0]["code"], "U300")
        _, err, code = run(self.folder)
        self.assertEqual(code, 2)
        self.assertIn("HARNESS is missing", err)

    def test_every_word_of_the_page_is_a_word_of_the_program(self):
        words = []
        for line in (ROOT / "docs/guide.md").read_text().splitlines():
            cells = [cell.strip() for cell in line.split("|")]
            if len(cells) == 5 and cells[2].startswith("`"):
                words += [re.match(r"\S+", text)[0] for text in re.findall(r"`([^`]+)`", cells[1] + cells[2])]
        self.assertGreater(len(words), 20)
        for word in words:
            out, _, _ = run(self.folder, "fernhollow-2.yaml", typed=["", word])
            self.assertNotIn("no reading and no word", out, word)
            self.assertNotIn("not a reading", out, word)
            (self.folder / "fernhollow-2.readings.yaml").unlink(missing_ok=True)


if __name__ == "__main__":
    unittest.main()
