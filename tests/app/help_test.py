"""Help and the page of the manual: every command shows examples that run, and both say what there is."""

import os
import re
import shlex
import shutil
import subprocess
import tempfile
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
# A command that asks and waits for answers is not run to its end here.
ASKS = {("guide",), ("exercise", "work")}  # what they are asked to do needs a person


def run(*words, cwd=ROOT):
    done = subprocess.run([PROGRAM, *words], cwd=cwd, capture_output=True, timeout=300, stdin=subprocess.DEVNULL)
    return done.stdout.decode(), done.stderr.decode(), done.returncode


def pages(*command):
    """(command, its page of help), of every command there is."""
    page = run(*command, "--help")[0]
    yield command, page
    within = re.search(r"^commands\n((?:  .*\n)+)", page, re.M)
    for name in re.findall(r"^  (\S+)", within.group(1), re.M) if within else []:
        yield from pages(*command, name)


def examples(page):
    found = re.search(r"^examples\n((?:  .*\n)+)", page, re.M)
    return [line.strip() for line in found.group(1).splitlines()] if found else []


class Help(unittest.TestCase):
    @staticmethod
    def spread(place, word):
        """A pattern as the shell spreads it."""
        return sorted(str(path.relative_to(place)) for path in place.glob(word)) if "*" in word else [word]

    @staticmethod
    def prepare(place, command):
        """What the examples of a command take for granted: another netlist, a batch, exercises and answers to them."""
        shutil.copy(place / "fernhollow-2.yaml", place / "changed.yaml")
        run("simulate", "fernhollow-2.yaml", "-o", "fh-0032.yaml", cwd=place)
        if command[:1] == ("batch",) and command[1:] in (("take",), ("report",)):
            run("batch", "new", "fernhollow-2.yaml", "-o", "batch-7", cwd=place)
        if command[:1] != ("exercise",):
            return
        weeks = {(): ["week-2"], ("mark",): ["week-1"]}.get(command[1:], [])
        if command[1:] == ("mark",):
            run("exercise", "make", "fernhollow-2.yaml", "--level", "1", "--count", "3", "--seed", "40117", "-o", "week-1",
                cwd=place)
        answer = ("lugwise-readings: 1\nharness: fernhollow-2.yaml\nexercise: {number: 01, by: Ada}\n"
                  "claims: [the track of volume is open]\n")
        (place / "answers").mkdir()
        (place / "answers/Ada.yaml").write_text(answer)
        for week in weeks:
            (place / week).mkdir(exist_ok=True)
            (place / week / "01-Ada.yaml").write_text(answer)

    def test_every_command_has_examples_at_the_end_of_its_help_and_they_run(self):
        seen = 0
        with tempfile.TemporaryDirectory() as folder:
            for command, page in pages():
                self.assertTrue(examples(page), command)
                place = Path(folder) / "-".join(("at", *command))
                shutil.copytree(ROOT / "harnesses", place)
                self.prepare(place, command)
                for example in examples(page):
                    with self.subTest(example):
                        words = shlex.split(example)
                        self.assertEqual(words[0], "lugwise")
                        self.assertEqual(tuple(words[1:1 + len(command)]), command)
                        if any(tuple(words[1:1 + len(asks)]) == asks for asks in ASKS):
                            continue
                        words = [name for word in words for name in self.spread(place, word)]
                        _, err, code = run(*words[1:], cwd=place)
                        self.assertIn(code, (0, 1), err)
                    seen += 1
        self.assertGreater(seen, 15)

    def test_where_the_meter_comes_from_is_told(self):
        for command, said in (("plan", "else the netlist's"), ("diagnose", "else the readings', else the netlist's")):
            page = " ".join(run(command, "--help")[0].split())
            self.assertIn(said, page)

    def test_the_manual_names_every_command_and_option(self):
        manual = run("manual")[0]
        plain = manual.replace("\\-", "-").replace("\\(aq", "'")
        for command, page in pages():
            if command:
                self.assertIn(".SS " + " ".join(command) + " ", plain)
            for option in re.findall(r"^  (?:-\w, )?(--[\w-]+)", page, re.M):
                self.assertIn(option, plain)
            for example in examples(page):
                self.assertIn(example, plain)

    @unittest.skipUnless(shutil.which("groff"), "groff, of the Debian package of that name, is not installed")
    def test_groff_has_nothing_to_say_of_the_manual(self):
        done = subprocess.run(["groff", "-man", "-Tutf8", "-Kutf8", "-ww", "-rF0", "-z"], input=run("manual")[0].encode(),
                              capture_output=True)
        self.assertEqual((done.stderr.decode(), done.returncode), ("", 0))


if __name__ == "__main__":
    unittest.main()
