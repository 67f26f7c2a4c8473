"""The work that is told beforehand against the work that was measured: measured.txt, made by tests/limits/measure --table."""

import os
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
BUILD = Path(os.environ.get("LUGWISE_BUILD", ROOT / ".build/dev"))
sys.path.insert(0, str(ROOT / "tests/limits"))
import inputs  # noqa: E402

# Below these nothing needs to be told, and a factor says nothing.
LEAST_SECONDS, LEAST_MEGABYTES = 0.35, 40


def measured():
    """The name of a netlist, the command, its seconds and megabytes."""
    for line in (ROOT / "tests/limits/measured.txt").read_text().splitlines():
        if line and not line.startswith("#"):
            name, command, seconds, megabytes = line.split("\t")
            yield name, command, float(seconds), float(megabytes)


class Workload(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        rows = [(name, command) for name, command, *_ in measured()]
        with tempfile.TemporaryDirectory() as folder:
            for name, text in inputs.measured().items():
                Path(folder, f"{name}.yaml").write_text(text)
            made = {name: Path(folder, f"{name}.yaml") for name in inputs.measured()}
            questions = [f"{made.get(name, ROOT / f'harnesses/{name}.yaml')}\t{command}\n" for name, command in rows]
            answers = subprocess.run([BUILD / "tests/lugwise_workload_peer"], input="".join(questions),
                                     capture_output=True, text=True, timeout=60, check=True).stdout.splitlines()
        cls.told = {row: tuple(map(float, answer.split("\t"))) for row, answer in zip(rows, answers, strict=True)}

    def test_it_lies_within_a_factor_of_three_of_what_was_measured(self):
        compared = 0
        for name, command, seconds, megabytes in measured():
            told_seconds, told_megabytes = self.told[name, command]
            with self.subTest(f"{command} {name}"):
                for told, was, least in ((told_seconds, seconds, LEAST_SECONDS),
                                         (told_megabytes, megabytes, LEAST_MEGABYTES)):
                    ratio = max(told, least) / max(was, least)
                    self.assertLessEqual(ratio, 3, (told, was))
                    self.assertGreaterEqual(ratio, 1 / 3, (told, was))
                compared += 1
        self.assertGreaterEqual(compared, 4 * 24 + 100)

    def test_every_worked_harness_is_measured(self):
        names = {name for name, *_ in measured()}
        for file in (ROOT / "harnesses").glob("fernhollow-*.yaml"):
            self.assertIn(file.stem, names)


if __name__ == "__main__":
    unittest.main()
