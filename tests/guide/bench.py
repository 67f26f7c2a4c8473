"""A session in a terminal of 80 by 24, and a technician who does what the screen says and nothing else.

The technician knows only what was shown: where each control was said to be set, where each probe was said to be put. What
the meter then shows comes from lugwise_guide_bench, which holds the harness with its hidden fault. So a screen that left
out a turn or a probe would be read wrongly here too.
"""

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import termios
import time
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
BUILD = Path(os.environ.get("LUGWISE_BUILD", ROOT / ".build/dev"))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", BUILD / "lugwise"))
PEER = BUILD / "tests/lugwise_guide_bench"
LINES, COLUMNS = 24, 80
PATIENCE = 120  # seconds; only a hang takes so long

PROMPT = re.compile(r"(Enter to begin: |Enter when done: |shows\? |reads\? |smooth or jumps\? |steady or unstable\? "
                    r"|what now\? |try again\? )\Z")
COLOUR = re.compile(r"\x1b\[[\d;]*m")


class Session:
    """The program in a pseudo-terminal."""

    def __init__(self, *words, cwd=None, colour=False, limit=None):
        environment = {**os.environ, "TERM": "xterm"}
        environment.pop("NO_COLOR", None)
        if not colour:
            environment["NO_COLOR"] = "1"
        control, terminal = pty.openpty()
        fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", LINES, COLUMNS, 0, 0))
        self.process = subprocess.Popen([PROGRAM, *map(str, words)], stdin=terminal, stdout=terminal,
                                        stderr=terminal, cwd=cwd, env=environment, start_new_session=True,
                                        preexec_fn=limit)
        os.close(terminal)
        self.control = control
        self.shown = ""  # all that was ever shown
        self.code = None

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        os.close(self.control)

    def read(self):
        """What is shown up to the next prompt, or to the end of the program; line ends as LF."""
        text = ""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            ready, _, _ = select.select([self.control], [], [], 1)
            if not ready:
                continue
            try:
                piece = os.read(self.control, 65536)
            except OSError:  # the program has gone
                piece = b""
            if not piece:
                self.code = self.process.wait()
                break
            text += piece.decode()
            text = text.replace("\r\n", "\n")
            # A line of progress is written over, and gone when the session begins: a terminal shows what came last.
            text = re.sub(r"[^\n]*\r(?!\n|\Z)", "", text)
            if PROMPT.search(COLOUR.sub("", text)) and not select.select([self.control], [], [], 0.02)[0]:
                break
        else:
            raise AssertionError(f"nothing more was shown after: {text!r}")
        self.shown += text
        return text

    def type(self, line):
        """Types a line; what is shown then, without the echo."""
        os.write(self.control, (line + "\n").encode())
        text = self.read()
        echo, _, rest = text.partition("\n")
        assert echo.strip() == line.strip(), (echo, line)
        return rest

    def end_of_input(self):
        os.write(self.control, b"\x04")
        return self.read()

    def kill(self):
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()


class Meter:
    """The harness with its hidden fault, and the meter at it."""

    def __init__(self, netlist):
        self.process = subprocess.Popen([PEER, netlist], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
                                        bufsize=1)
        self.words = dict(line.split("\t") for line in self.lines("words"))
        self.faults = [line.split("\t") for line in self.lines("faults")]

    def ask(self, line):
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()
        return self.process.stdout.readline().rstrip("\n")

    def lines(self, command):
        found = [self.ask(command)]
        while found[-1] != "end":
            found.append(self.process.stdout.readline().rstrip("\n"))
        return found[:-1]

    def hide(self, number, size=0):
        assert self.ask(f"break {number} {size}") == "ok"

    def mend(self):
        assert self.ask("mend") == "ok"

    def close(self):
        self.process.stdin.close()
        self.process.stdout.close()
        self.process.wait()


def labelled(screen):
    """The labelled lines of what is asked, wrapped ones joined: [("Set", "selector rear, ..."), ...]."""
    found = []
    for line in COLOUR.sub("", screen).splitlines():
        if re.match(r"  [A-Z]\w* +\S", line):
            found.append([line[2:10].strip(), line[10:].strip()])
        elif line.startswith(" " * 10) and found:
            found[-1][1] += " " + line.strip()
        elif not line.startswith(" "):
            found.append(["", line])
    return [(label, text) for label, text in found]


class Technician:
    def __init__(self, meter):
        self.meter = meter
        self.set = {}
        self.probes = [None, None]
        self.open = False

    def point(self, words):
        return self.meter.words[words]

    def follow(self, screen):
        """Does what the last thing asked says; what the display then shows, as it is typed."""
        title = re.findall(r"^(FIRST|STEP \d+ of \d+|NEXT PROBE|ONCE MORE|AFTER THE REPAIR, \d+ of \d+)(.*)$",
                           COLOUR.sub("", screen), re.M)[-1]
        asked = screen[screen.rindex(title[0]):]
        if title[0] == "FIRST":
            return "0.3" if asked.endswith("shows? ") else ""
        range_, turned = None, None
        for label, text in labelled(asked):
            if label == "Open":
                self.open = True
            elif label == "Close":
                self.open = False
            elif label == "Set":
                for one in re.split(r"[,;] (?:leave )?", text):
                    control, place = one.split(" ", 1)
                    self.set[control] = place
            elif label in ("Leave", "Put"):
                self.place(label, text)
            elif label == "Then" and text.startswith("Turn "):
                turned = re.match(r"Turn (\S+) slowly from (\S+) to (\S+) and watch", text)
            elif label == "Range":
                range_ = text
        where = f"{self.probes[0]} {self.probes[1]} {range_} {int(self.open)} " + " ".join(
            f"{control}={place}" for control, place in self.set.items())
        if turned:
            assert self.set[turned[1]] == turned[2], (turned[0], self.set)
            shows = self.meter.ask(f"sweep {turned[1]} {where}")
            self.set[turned[1]] = turned[3]
            return shows
        if asked.endswith("steady or unstable? "):
            return "steady"
        shows = self.meter.ask("read " + where)
        assert not shows.startswith("no such"), shows
        return shows

    def place(self, label, text):
        if text.startswith("both probes: "):
            there = {self.point(words) for words in text[len("both probes: "):].split(" and ")}
            assert there == set(self.probes), (there, self.probes)
        elif text.startswith("one probe on "):
            point = self.point(text[len("one probe on "):])
            if label == "Leave":
                assert point in self.probes, (point, self.probes)
            self.probes = [point, None]
        else:
            assert text.startswith("the other on "), text
            self.probes[1] = self.point(text[len("the other on "):])
