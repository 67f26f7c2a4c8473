"""Runs the program from end to end: one *.case file, one command, everything that comes out of it.

A case file is a sentence saying what it proves, then sections:

    >>> run lugwise expect wire.yaml a.1 a.2     the command, run in an empty folder that holds the files below
    >>> file wire.yaml                           any number of these; `harnesses/` is there too
    >>> stdout                                   what is expected; a section left out means nothing comes
    >>> stderr
    >>> exit 3                                   0 if left out

A line `...` stands for any lines. LUGWISE_APPROVE=1 rewrites stdout, stderr and exit of the cases that fail.
"""

import os
import re
import shlex
import subprocess
import tempfile
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
HERE = Path(__file__).resolve().parent

# What lies in this folder and is no case: another test's samples.
OTHERS = {"bad"}


class Case:
    def __init__(self, text):
        parts = re.split(r"^>>> *(.*)\n", text, flags=re.M)
        self.says, self.files, self.output = parts[0], {}, {"stdout": "", "stderr": ""}
        self.command, self.code = None, 0
        for head, body in zip(parts[1::2], parts[2::2]):
            word, _, rest = head.strip().partition(" ")
            if word == "run":
                self.command = rest
            elif word == "file":
                self.files[rest] = body
            elif word in self.output:
                self.output[word] = body
            elif word == "exit":
                self.code = int(rest)
            else:
                raise ValueError(f"cannot read the section '{head}'")
        if self.command is None or not self.says.strip():
            raise ValueError("a case says what it proves and which command it runs")

    def written(self):
        text = self.says + f">>> run {self.command}\n"
        for name, body in self.files.items():
            text += f">>> file {name}\n{body}"
        for name, body in self.output.items():
            if body:
                text += f">>> {name}\n{body}"
        return text + f">>> exit {self.code}\n"

    def run(self):
        with tempfile.TemporaryDirectory() as folder:
            for name, body in self.files.items():
                (Path(folder) / name).write_text(body)
            (Path(folder) / "harnesses").symlink_to(ROOT / "harnesses")
            words = shlex.split(self.command)
            if words[0] != "lugwise":
                raise ValueError(f"a case runs lugwise, not {words[0]}")
            done = subprocess.run([PROGRAM, *words[1:]], cwd=folder, capture_output=True, timeout=120)
        return done.stdout.decode(), done.stderr.decode(), done.returncode


def same(expected, got):
    """Whether a text is as expected, `...` standing for any lines."""
    pattern = "".join(r"(?:.*\n)*" if line == "...\n" else re.escape(line) for line in expected.splitlines(True))
    return re.fullmatch(pattern, got) is not None


def problems(folder):
    """Files in the folder that no test would run."""
    found = []
    for path in sorted(folder.rglob("*")):
        parts = path.relative_to(folder).parts
        if path.is_dir() or parts[0] in OTHERS or "__pycache__" in parts or path.name.endswith("_test.py"):
            continue
        if len(parts) > 1 or path.suffix != ".case":
            found.append("/".join(parts))
    return found


class Cases(unittest.TestCase):
    maxDiff = None

    def test_no_file_lies_here_that_is_not_run(self):
        self.assertEqual(problems(HERE), [])

    def test_a_stray_file_is_found(self):
        with tempfile.TemporaryDirectory() as folder:
            for name in ("a.case", "b.txt", "deep/c.case", "bad/d.yaml"):
                path = Path(folder) / name
                path.parent.mkdir(exist_ok=True)
                path.write_text("")
            self.assertEqual(problems(Path(folder)), ["b.txt", "deep/c.case"])

    def test_dots_stand_for_any_lines_and_nothing_else_does(self):
        self.assertTrue(same("a\n...\nd\n", "a\nb\nc\nd\n"))
        self.assertTrue(same("a\n...\nd\n", "a\nd\n"))
        self.assertFalse(same("a\n...\nd\n", "a\nb\n"))
        self.assertFalse(same("a.c\n", "abc\n"))
        self.assertFalse(same("", "a\n"))


def add(path):
    def run(self):
        case = Case(path.read_text())
        out, err, code = case.run()
        good = same(case.output["stdout"], out) and same(case.output["stderr"], err) and case.code == code
        if not good and os.environ.get("LUGWISE_APPROVE"):
            case.output, case.code = {"stdout": out, "stderr": err}, code
            path.write_text(case.written())
            return
        if not same(case.output["stderr"], err):
            self.assertEqual(err, case.output["stderr"], "stderr")
        if not same(case.output["stdout"], out):
            self.assertEqual(out, case.output["stdout"], "stdout")
        self.assertEqual(code, case.code, "exit code")
    setattr(Cases, "test_" + path.stem.replace("-", "_"), run)


for found in sorted(HERE.glob("*.case")):
    add(found)

class AnotherProcessor(unittest.TestCase):
    def test_every_case_says_the_same_where_the_mathematics_library_rounds_otherwise(self):
        # glibc takes other routines for log, exp and pow where the processor has no fused arithmetic (its manual, "Hardware
        # Capability Tunables"), and their last bits differ.
        before = os.environ.get("GLIBC_TUNABLES")
        os.environ["GLIBC_TUNABLES"] = "glibc.cpu.hwcaps=-AVX2,-AVX2_Usable,-FMA,-FMA_Usable,-FMA4,-FMA4_Usable"
        try:
            for path in sorted(HERE.glob("*.case")):
                with self.subTest(case=path.stem):
                    case = Case(path.read_text())
                    out, err, code = case.run()
                    self.assertTrue(same(case.output["stdout"], out), f"stdout:\n{out}")
                    self.assertTrue(same(case.output["stderr"], err), f"stderr:\n{err}")
                    self.assertEqual(code, case.code)
        finally:
            if before is None:
                del os.environ["GLIBC_TUNABLES"]
            else:
                os.environ["GLIBC_TUNABLES"] = before


if __name__ == "__main__":
    unittest.main()
