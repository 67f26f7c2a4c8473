"""Every file that a command writes: never over what it reads, never twice, whole or not at all."""

import os
import signal
import stat
import subprocess
import tempfile
import time
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
HARNESS = ROOT / "harnesses/fernhollow-1.yaml"
READINGS = ROOT / "harnesses/jobs/fernhollow-2-silent-front.yaml"

# Every command that writes files: words, how the path of each output is given, and what it reads.
WRITERS = [
    (["expect", "H", "jack.tip", "jack.sleeve"], ["-o", "--output"], []),
    (["faults", "H"], ["-o"], ["--meter", "--workshop"]),
    (["plan", "H"], ["-o"], ["--meter", "--workshop"]),
    (["diagnose", "H", "R"], ["-o"], ["--meter"]),
    (["draw", "H"], ["-o"], []),
    (["draw", "H", "--readings", "R"], ["-o"], []),
    (["study", "H", "--cases", "3"], ["-o", "--plot"], ["--meter"]),
]


def run(*words, **more):
    done = subprocess.run([PROGRAM, *map(str, words)], capture_output=True, timeout=60, stdin=subprocess.DEVNULL, **more)
    return done.stdout.decode(), " ".join(done.stderr.decode().split()), done.returncode


class Outputs(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)
        self.harness = self.folder / "h.yaml"
        self.harness.write_bytes((ROOT / "harnesses/fernhollow-2.yaml").read_bytes())
        self.readings = self.folder / "r.yaml"
        self.readings.write_bytes(READINGS.read_bytes().replace(b"../fernhollow-2.yaml", b"h.yaml"))
        self.meter = self.folder / "m.yaml"
        self.meter.write_bytes((ROOT / "harnesses/meters/manual-2000.yaml").read_bytes())

    def words(self, words):
        return [{"H": self.harness, "R": self.readings}.get(word, word) for word in words]

    def spellings(self, path):
        """One file under several names."""
        link = self.folder / ("link-" + path.name)
        if not link.is_symlink():
            link.symlink_to(path.name)
        yield path
        yield link
        yield f"{self.folder}/./{path.name}"
        yield f"{self.folder}/../{self.folder.name}//{path.name}"

    def test_no_output_is_a_file_that_is_read_however_it_is_named(self):
        tried = 0
        for words, outputs, more in WRITERS:
            read = [self.harness] + ([self.readings] if "R" in words else [])
            extra = []
            if "--meter" in more:
                extra, read = ["--meter", self.meter], read + [self.meter]
            for output in outputs:
                for path in read:
                    before = path.read_bytes()
                    for spelling in self.spellings(path):
                        out, err, code = run(*self.words(words), *extra, output, spelling)
                        self.assertEqual((out, code), ("", 2), (words, output, spelling, err))
                        self.assertIn("would overwrite it", err)
                        self.assertEqual(path.read_bytes(), before)
                        tried += 1
        self.assertGreater(tried, 60)

    def test_no_file_is_written_twice(self):
        for spelling in (self.folder / "x", f"{self.folder}/./x", f"{self.folder}/../{self.folder.name}/x"):
            out, err, code = run("study", HARNESS, "--cases", 2, "--plot", self.folder / "x", "-o", spelling)
            self.assertEqual((out, code), ("", 2), err)
            self.assertIn("both name", err)
        self.assertFalse((self.folder / "x").exists())
        self.assertEqual(run("study", HARNESS, "--cases", 2, "--plot", "/dev/null", "-o", "/dev/null")[2], 0)

    def test_no_file_that_lugwise_reads_is_written_over(self):
        for name, text in (("a.yaml", "lugwise-readings: 1\nreadings: []\n"), ("b.yaml", "# mine\nlugwise-readings: 1\n"),
                           ("c.yaml", "lugwise: 1\nparts: {}\n"), ("d.yaml", "\ufefflugwise: 1\n"),
                           ("e.yaml", "lugwise-workshop: 1\n"), ("f.yaml", "lugwise-key: 1\n"),
                           ("g.yaml", "lugwise-pickups: 1\n"), ("p.yaml", "lugwise-marks: 1\n"),
                           ("i.yaml", "# mine\ncounts: 2000\n")):
            path = self.folder / name
            path.write_text(text)
            for words, outputs, _ in WRITERS:
                for output in outputs:
                    out, err, code = run(*self.words(words), output, path)
                    self.assertEqual((out, code), ("", 2), (words, err))
                    self.assertIn("would be lost", err)
            self.assertEqual(path.read_text(), text)

    def test_exercises_and_their_keys_are_not_written_over_by_others(self):
        make = ["exercise", "make", self.harness, "--level", "1", "--count", "1", "-o", self.folder / "week"]
        self.assertEqual(run(*make, "--seed", "7")[2], 0)
        files = {path: path.read_bytes() for path in self.folder.rglob("*") if path.is_file()}
        self.assertEqual(run(*make, "--seed", "7")[2], 0)  # the same again harms nothing
        out, err, code = run(*make, "--seed", "8")
        self.assertEqual((out, code), ("", 3))
        self.assertRegex(err, r"week/01.yaml: error: there is a file of that name already, and it is not overwritten \(U330\)")
        out, err, code = run(*make[:-1], self.folder / "week-keys", "--seed", "7")
        self.assertEqual((out, code), ("", 3))
        self.assertEqual({path: path.read_bytes() for path in files}, files)

    def test_what_cannot_be_written_is_told_before_the_work_starts(self):
        for path in (self.folder, "/no/such/folder/x", "/dev/full/x"):
            begun = time.monotonic()
            out, err, code = run("study", HARNESS, "--cases", 100000, "--plot", path)
            self.assertEqual((out, code), ("", 3), err)
            self.assertIn("(U320)", err)
            self.assertLess(time.monotonic() - begun, 30)

    def test_a_file_keeps_its_mode_and_leaves_nothing_beside_it(self):
        path = self.folder / "page.txt"
        path.write_text("old")
        path.chmod(0o640)
        self.assertEqual(run("plan", HARNESS, "-o", path)[2], 0)
        self.assertEqual(stat.S_IMODE(path.stat().st_mode), 0o640)
        self.assertTrue(path.read_text().startswith("Fernhollow"))
        self.assertEqual(sorted(p.name for p in self.folder.iterdir()), ["h.yaml", "m.yaml", "page.txt", "r.yaml"])

    def test_a_file_with_two_names_is_told_and_left(self):
        path = self.folder / "page.txt"
        path.write_text("old")
        os.link(path, self.folder / "other.txt")
        out, err, code = run("plan", HARNESS, "-o", path)
        self.assertEqual((out, code), ("", 3))
        self.assertIn("2 names (hard links)", err)
        self.assertEqual(path.read_text(), "old")

    def test_a_pipe_that_nobody_is_at_the_other_end_of_is_refused(self):
        pipe = self.folder / "pipe"
        os.mkfifo(pipe)
        self.assertIn("a pipe that nobody writes to", run("check", pipe)[1])
        self.assertIn("a pipe that nobody reads from", run("plan", HARNESS, "-o", pipe)[1])

    def test_a_pipe_with_somebody_at_the_other_end_is_read_and_written(self):
        pipe = self.folder / "pipe"
        os.mkfifo(pipe)
        with subprocess.Popen(["sh", "-c", f"sleep 1; cat {HARNESS} > {pipe}"]):
            self.assertEqual(run("check", pipe)[2], 0)
        with subprocess.Popen(["cat", pipe], stdout=subprocess.PIPE) as reader:
            self.assertEqual(run("plan", HARNESS, "-o", pipe)[2], 0)
            self.assertTrue(reader.communicate()[0].startswith(b"Fernhollow"))

    def test_a_run_that_is_interrupted_leaves_files_whole_and_nothing_beside_them(self):
        page = self.folder / "page.txt"
        page.write_text("old")
        before = sorted(p.name for p in self.folder.iterdir())
        for sign in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            with subprocess.Popen([PROGRAM, "study", HARNESS, "--cases", "100000", "-o", page], stdout=subprocess.PIPE,
                                  stderr=subprocess.PIPE, stdin=subprocess.DEVNULL) as process:
                time.sleep(0.5)
                process.send_signal(sign)
                begun = time.monotonic()
                process.communicate(timeout=20)
                self.assertLess(time.monotonic() - begun, 10)
                self.assertEqual(process.returncode, -sign)
            self.assertEqual(page.read_text(), "old")
            self.assertEqual(sorted(p.name for p in self.folder.iterdir()), before)


if __name__ == "__main__":
    unittest.main()
