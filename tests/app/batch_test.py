"""A batch of units: what passes, that a unit taken again keeps both records, and that nothing entered is lost."""

import json
import os
import resource
import shutil
import signal
import subprocess
import tempfile
import unittest
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

PROGRAM = os.environ["LUGWISE_PROGRAM"]
ROOT = Path(os.environ["LUGWISE_ROOT"])
JOBS = ROOT / "harnesses/jobs"


class Batches(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)
        shutil.copy(ROOT / "harnesses/fernhollow-2.yaml", self.folder)
        shutil.copy(JOBS / "fernhollow-2-silent-front.yaml", self.folder / "silent.yaml")
        self.run_batch("new", "fernhollow-2.yaml", "-o", "b", "--by", "R. Fern", "--due", "2027-05-01")

    def run_batch(self, *words, **how):
        done = subprocess.run([PROGRAM, "batch", *words], cwd=self.folder, capture_output=True, text=True, check=False,
                              **how)
        self.assertIn(done.returncode, (0, 1), done.stderr)
        return done

    def report(self):
        return json.loads(self.run_batch("report", "b", "--json").stdout)

    def test_a_unit_taken_again_keeps_both_records_and_the_last_counts(self):
        for _ in range(2):
            done = self.run_batch("take", "b", "FH-1", "--readings", "silent.yaml")
            self.assertEqual(done.returncode, 1)
        self.assertEqual(sorted(path.name for path in (self.folder / "b").iterdir()),
                         ["FH-1.2.yaml", "FH-1.yaml", "batch.yaml"])
        report = self.report()
        self.assertEqual([(unit["record"], unit["counts"]) for unit in report["units"]],
                         [("FH-1.2.yaml", True), ("FH-1.yaml", False)])
        self.assertEqual((report["yield"]["of"], report["yield"]["fail"]), (1, 1))
        self.assertIn("does not count", " ".join(self.run_batch("report", "b").stdout.split()))

    def test_the_same_fault_at_two_units_is_pointed_out(self):
        for serial in ("FH-1", "FH-2"):
            self.run_batch("take", "b", serial, "--readings", "silent.yaml")
        same = self.report()["same"]
        self.assertEqual([each["serials"] for each in same], [["FH-1", "FH-2"]])
        self.assertEqual(same[0]["fault"]["points"], ["selector.f", "selector.out"])

    def test_a_record_says_whose_it_is_and_diagnose_reads_it(self):
        self.run_batch("take", "b", "A/ 1", "--readings", "silent.yaml")
        record = self.folder / "b/A%2f%201.yaml"
        self.assertIn('unit: {serial: A/ 1, by: R. Fern, calibration-due: 2027-05-01}', record.read_text())
        done = subprocess.run([PROGRAM, "diagnose", "fernhollow-2.yaml", record], cwd=self.folder, capture_output=True,
                              text=True, check=False)
        self.assertEqual(done.returncode, 1, done.stderr)
        refused = subprocess.run([PROGRAM, "batch", "take", "b", "B", "--readings", record], cwd=self.folder,
                                 capture_output=True, text=True, check=False)
        self.assertEqual(refused.returncode, 3)
        self.assertIn("U352", refused.stderr)

    def test_a_session_that_is_killed_goes_on_with_all_that_was_entered(self):
        with subprocess.Popen([PROGRAM, "batch", "take", "b", "FH-7", "--json"], cwd=self.folder, stdin=subprocess.PIPE,
                              stdout=subprocess.PIPE, text=True) as session:
            session.stdout.readline()
            for line in ("", "", "", "0.3"):
                if json_ask(session, line)["ask"]["kind"] == "step":
                    break
            session.send_signal(signal.SIGKILL)
        record = self.folder / "b/FH-7.yaml"
        self.assertIn("reads: 0.3", record.read_text())
        self.run_batch("take", "b", "FH-7", "--json", input="note gone on\nstop\n")
        self.assertIn("reads: 0.3", record.read_text())
        self.assertIn("note: gone on", record.read_text())
        self.assertEqual(len(list((self.folder / "b").glob("FH-7*"))), 1)

    def test_a_full_disk_leaves_no_half_record(self):
        def small():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))
        done = subprocess.run([PROGRAM, "batch", "take", "b", "FH-9", "--readings", "silent.yaml"], cwd=self.folder,
                              capture_output=True, text=True, check=False, preexec_fn=small)
        self.assertEqual(done.returncode, 3)
        self.assertEqual(list((self.folder / "b").glob("*FH-9*")), [])
        self.assertEqual(self.report()["units"], [])

    def test_two_writers_at_once_lose_nothing(self):
        def take(_):
            return self.run_batch("take", "b", "FH-5", "--readings", "silent.yaml").returncode
        with ThreadPoolExecutor(4) as crew:
            self.assertEqual(list(crew.map(take, range(8))), [1] * 8)
        names = sorted(path.name for path in (self.folder / "b").glob("FH-5*"))
        self.assertEqual(names, sorted(["FH-5.yaml"] + [f"FH-5.{i}.yaml" for i in range(2, 9)]))
        units = self.report()["units"]
        self.assertEqual([unit["counts"] for unit in units].count(True), 1)


def json_ask(session, line):
    session.stdin.write(line + "\n")
    session.stdin.flush()
    return json.loads(session.stdout.readline())


if __name__ == "__main__":
    unittest.main()
