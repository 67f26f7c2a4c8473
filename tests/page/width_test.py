"""Text fits the terminal it is set for, and says the same at every width."""

import os
import re
import subprocess
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
WIDTHS = (40, 57, 100)


def run(*words):
    done = subprocess.run([PROGRAM, *map(str, words)], cwd=ROOT, capture_output=True, timeout=120)
    return done.stdout.decode(), done.stderr.decode(), done.returncode


def commands():
    for harness in sorted((ROOT / "harnesses").glob("fernhollow-*.yaml")):
        yield "plan", harness.relative_to(ROOT)
    for job in sorted((ROOT / "harnesses/jobs").glob("*.yaml")):
        number = re.match(r"fernhollow-\d+", job.name).group()
        yield "diagnose", f"harnesses/{number}.yaml", job.relative_to(ROOT)
    yield "expect", "harnesses/fernhollow-2.yaml", "jack.plug-tip", "jack.plug-sleeve"
    yield "faults", "harnesses/fernhollow-1.yaml"
    yield "study", "harnesses/fernhollow-1.yaml", "--cases", "30"
    yield "convert", "value", "8.01k"
    yield "convert", "coil", "6.43k", "--gauge", "42", "--turn", "150mm"


def letters(text):
    """What is said, without how it is set."""
    return re.sub(r"\s", "", text)


class Width(unittest.TestCase):
    def test_no_line_is_wider_than_asked_and_nothing_is_lost(self):
        for command in commands():
            usual = run(*command)[0]
            for width in WIDTHS:
                with self.subTest(command=command, width=width):
                    text = run(*command, "--width", width)[0]
                    self.assertLessEqual(max(map(len, text.splitlines())), width)
                    if command[0] in ("plan", "diagnose"):
                        self.assertEqual(letters(text), letters(usual))

    def test_a_table_of_short_columns_stays_one_where_it_fits(self):
        text = run("study", "harnesses/fernhollow-1.yaml", "--cases", "30")[0]
        self.assertRegex(text, r"\n  kind +cases +visible +missed +group 1 +its place +first suspect\n  high +\d+ ")
        narrow = run("study", "harnesses/fernhollow-1.yaml", "--cases", "30", "--width", 50)[0]
        self.assertRegex(narrow, r"\n  high\n    cases \d+; visible \d+; ")

    def test_text_for_no_terminal_is_80_columns_wide(self):
        for command in list(commands())[::7]:
            self.assertEqual(run(*command, "--width", 80), run(*command))

    def test_a_width_that_is_none_is_refused(self):
        for width in ("39", "1001", "0", "-1", "wide", "79.5", "nan", ""):
            with self.subTest(width):
                out, err, code = run("plan", "harnesses/fernhollow-1.yaml", "--width", width)
                self.assertEqual((out, code), ("", 2))
                self.assertIn("--width", err)

    def test_one_form_is_chosen_at_a_time(self):
        forms = ("--json", "--markdown", "--html", ("--width", "60"))
        for i, one in enumerate(forms):
            for other in forms[i + 1:]:
                words = [word for form in (one, other) for word in ((form,) if isinstance(form, str) else form)]
                with self.subTest(words):
                    out, err, code = run("plan", "harnesses/fernhollow-1.yaml", *words)
                    self.assertEqual(code, 2)
                    self.assertIn("choose one", out + err)


if __name__ == "__main__":
    unittest.main()
