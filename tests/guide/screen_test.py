"""The screen itself, in tmux at 80 by 24: what is asked stays on it whole, with the prompt below, with colour and without."""

import os
import shutil
import subprocess
import sys
import tempfile
import time
import unittest
from pathlib import Path

from bench import COLUMNS, LINES, PROGRAM, ROOT

TMUX = shutil.which("tmux")
PATIENCE = 60


class Screens(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)
        for netlist in (ROOT / "harnesses").glob("*.yaml"):
            shutil.copy(netlist, self.folder)
        self.socket = f"guide-{os.getpid()}"
        self.addCleanup(self.tmux, "kill-server")
        tried = subprocess.run([TMUX, "-L", self.socket, "-f", "/dev/null", "new-session", "-d", "sleep 600"],
                               capture_output=True, text=True, check=False)
        if tried.returncode != 0:
            self.skipTest(f"tmux does not run here: {tried.stderr.strip()}")

    def tmux(self, *words):
        return subprocess.run([TMUX, "-L", self.socket, "-f", "/dev/null", *words], capture_output=True, text=True,
                              check=False).stdout

    def begin(self, number, *, colour):
        environment = [] if colour else ["-e", "NO_COLOR=1"]
        self.tmux("new-session", "-d", "-s", "guide", "-x", str(COLUMNS), "-y", str(LINES), *environment, "-c", str(self.folder),
                  f"{PROGRAM} guide fernhollow-{number}.yaml -o record-{number}-{int(colour)}.yaml; cat")
        return self.wait("Enter to begin:")

    def wait(self, ending, more=()):
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            screen = self.tmux("capture-pane", "-p", "-t", "guide", *more)
            if screen.rstrip().endswith(ending):
                return screen
            time.sleep(0.02)
        raise AssertionError(f"never '{ending}' at the end of:\n{screen}")

    def type(self, line, ending):
        self.tmux("send-keys", "-t", "guide", "-l", line)
        self.tmux("send-keys", "-t", "guide", "Enter")
        return self.wait(ending)

    def test_what_is_asked_stays_whole_on_the_screen(self):
        for number, colour in ((2, False), (2, True), (16, False)):
            with self.subTest(harness=number, colour=colour):
                screen = self.begin(number, colour=colour)
                self.assertTrue(screen.startswith("Fernhollow"), screen)
                if number == 2:
                    self.assertIn("Unplug", screen)
                while screen.rstrip().endswith(("begin:", "done:")):
                    self.tmux("send-keys", "-t", "guide", "Enter")
                    time.sleep(0.5)
                    screen = self.wait(("?", "done:"))
                screen = self.type("0.3", ("reads?", "done:"))
                while screen.rstrip().endswith("done:"):  # what is done to the cable
                    self.tmux("send-keys", "-t", "guide", "Enter")
                    time.sleep(0.5)
                    screen = self.wait(("reads?", "done:"))
                for typed in ("OL", "OL", "OL"):
                    title = [line for line in screen.splitlines() if line.startswith(("STEP", "NEXT PROBE", "ONCE MORE"))]
                    self.assertTrue(title, screen)
                    self.assertRegex(screen, "the other on|both probes")
                    self.assertLess(len(screen.rstrip().splitlines()), LINES + 1)
                    self.tmux("clear-history", "-t", "guide")
                    screen = self.type(typed, "?")
                shown = self.tmux("capture-pane", "-p", "-e", "-t", "guide")
                self.assertEqual("\x1b[" in shown, colour)
                self.tmux("kill-session", "-t", "guide")


if __name__ == "__main__":
    if not TMUX:
        sys.exit("screen_test: install the Debian package tmux")
    unittest.main()
