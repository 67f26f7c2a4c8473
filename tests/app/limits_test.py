"""What is too large is refused by name, at once and in little memory; what an instrument can be is not."""

import json
import os
import pty
import re
import resource
import signal
import subprocess
import sys
import tempfile
import time
import unittest
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "limits"))
import inputs  # noqa: E402

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
MEMORY = 1 << 30
SANITIZED = b"__asan_init" in PROGRAM.read_bytes()  # its address space has no such limit


def run(*words, memory=MEMORY, kind=resource.RLIMIT_AS):
    def limit():
        if not SANITIZED:
            resource.setrlimit(kind, (memory, memory))
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        code = subprocess.run([PROGRAM, *map(str, words)], cwd=ROOT, stdout=out, stderr=err, timeout=120,
                              stdin=subprocess.DEVNULL, preexec_fn=limit).returncode
        out.seek(0), err.seek(0)
        return out.read().decode(), " ".join(err.read().decode().split()), code


def chain(count):
    parts = "".join(f"  p{i}: {{kind: resistor, value: 1k}}\n" for i in range(count))
    wires = "".join(f"  - [p{i}.2, p{i + 1}.1]\n" for i in range(count - 1))
    return f"lugwise: 1\nparts:\n{parts}wires:\n{wires}"


def knobs(count):
    return "lugwise: 1\nparts:\n" + "".join(f"  p{i}: {{kind: pot, track: 250k}}\n" for i in range(count))


def contacts(lugs):
    """A switch each of whose lugs meets each other one somewhere, by the rounds of a tournament."""
    ring = list(range(1, lugs))
    places = ""
    for turn in range(lugs - 1):
        order = [0] + ring[turn:] + ring[:turn]
        pairs = [f"[l{order[i]}, l{order[lugs - 1 - i]}]" for i in range(lugs // 2)]
        places += f"      q{turn}: [{', '.join(pairs)}]\n"
    names = ", ".join(f"l{i}" for i in range(lugs))
    return f"lugwise: 1\nparts:\n  s:\n    kind: switch\n    lugs: [{names}]\n    positions:\n{places}"


def switches(count, places):
    text = "lugwise: 1\nparts:\n"
    for i in range(count):
        lugs = [f"a{j}" for j in range(places)] + ["c"]
        text += f"  s{i}:\n    kind: switch\n    lugs: [{', '.join(lugs)}]\n    positions:\n"
        text += "".join(f"      q{j}: [[a{j}, c]]\n" for j in range(places))
    return text + "wires:\n" + "".join(f"  - [s{i}.c, s{i + 1}.a0]\n" for i in range(count - 1))


class Limits(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)

    def file(self, name, text):
        path = self.folder / name
        path.write_text(text)
        return path

    def test_a_harness_too_large_for_a_search_is_refused_by_every_command_that_searches(self):
        harness = self.file("chain.yaml", chain(3000))
        readings = self.file("readings.yaml", "lugwise-readings: 1\nreadings: [{between: [p0.1, p0.2], reads: 1.00k}]\n")
        for words in (["plan", harness], ["plan", harness, "--thorough"], ["faults", harness], ["study", harness],
                      ["faults", harness, "--at", "p1"], ["diagnose", harness, readings], ["guide", harness]):
            out, err, code = run(*words)
            self.assertEqual((out, code), ("", 3), words)
            self.assertRegex(err, r"error: too large a harness: \d+ points; at most 500 can be looked through \(U322\)")
        self.assertEqual(json.loads(run("plan", harness, "--json")[0])["errors"][0]["code"], "U322")

    def test_each_thing_that_can_be_too_much_is_named(self):
        for text, what in ((knobs(120), "settings of its controls|faults in"), (chain(600), "points"),
                           (contacts(64), "joints, wires, contacts and parts"), (switches(8, 40), "faults in")):
            harness = self.file("large.yaml", text)
            out, err, code = run("plan", harness)
            self.assertEqual((out, code), ("", 3), what)
            self.assertRegex(err, rf"({what}).*at most.*\(U322\)")

    def test_what_has_the_largest_number_of_points_is_still_planned_in_that_memory(self):
        self.assertEqual(run("plan", self.file("chain.yaml", chain(60)))[2], 0)

    def test_check_and_expect_take_what_no_search_does(self):
        harness = self.file("chain.yaml", chain(3000))
        self.assertEqual(run("expect", harness, "p0.1", "p2999.2")[2], 0)
        self.assertEqual(run("check", harness)[2], 0)

    @unittest.skipIf(SANITIZED, "its memory has no limit")
    def test_what_takes_more_memory_than_it_may_have_is_refused_with_what_to_leave_out(self):
        harness = self.file("selector.yaml", inputs.selector(40))
        less = "a netlist with fewer switches, positions and parts"
        for words, hint in (
                (["plan", harness], f"ask for less: --depth outside; or a --stage with fewer parts; or {less}"),
                (["plan", harness, "--quick", "--allow-lift"],
                 f"ask for less: no --quick; or no --allow-lift; or --depth outside; or a --stage with fewer parts; or {less}"),
                (["study", harness, "--cases", "10", "--jobs", "3"],
                 f"ask for less: --jobs 1; or a --stage with fewer parts; or {less}"),
                (["study", harness, "--cases", "10", "--jobs", "1"], f"ask for less: a --stage with fewer parts; or {less}"),
                (["simulate", harness, "--plan", "thorough"],
                 f"ask for less: --plan usual; or a --stage with fewer parts; or {less}"),
                (["diagnose", harness], f"ask for less: {less}")):
            out, err, code = run(*words, memory=16_000_000, kind=resource.RLIMIT_DATA)
            self.assertEqual((out, code), ("", 3), err)
            self.assertIn("more memory than a run may have", err)
            self.assertIn(hint, err)

    def test_what_surely_takes_more_memory_than_it_may_have_is_refused_before_it_begins(self):
        # 64 places of six switches by ten of eight knobs, and all in one chain with a long row of metal.
        parts = "".join(f"  s{i}: {{kind: switch, lugs: [a, b], positions: {{p: [[a, b]], q: []}}}}\n" for i in range(6))
        parts += "".join(f"  v{i}: {{kind: pot, track: 250k}}\n" for i in range(8))
        parts += f"  row: {{kind: metal, points: [{', '.join(f'm{i}' for i in range(110))}]}}\n"
        chain = [(f"s{i}.a", f"s{i}.b") for i in range(6)] + [(f"v{i}.1", f"v{i}.2") for i in range(8)] + [("row.m0", "row.m109")]
        joints = "".join(f"  - [{here}, {there}]\n" for (_, here), (there, _) in zip(chain, chain[1:]))
        harness = self.file("many.yaml", f"lugwise: 1\nparts:\n{parts}joints:\n{joints}")
        out, err, code = run("plan", harness, "--quick")
        self.assertEqual((out, code), ("", 3), err)
        self.assertRegex(err, r"error: this would take about \d+ (s|min) and [\d.]+ GB; a run may have 1 GB of memory at most "
                              r"\(U324\) ask for less: no --quick; or --depth outside; or")

    def test_what_takes_long_or_much_is_said_before_it_begins(self):
        harness = self.file("large.yaml", inputs.large())
        for words in (["plan", harness, "--thorough"], ["plan", harness]):
            with subprocess.Popen([PROGRAM, *words], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) as plan:
                first = plan.stderr.readline().decode()
                plan.kill()
            self.assertRegex(first, r"^lugwise: this takes about \d+ s and \d+ MB; Ctrl-C ends it$")
        self.assertEqual(run("plan", ROOT / "harnesses/fernhollow-5.yaml", "--thorough")[1], "")

    @unittest.skipIf(SANITIZED, "its memory has no limit")
    def test_the_program_gives_itself_less_than_a_gigabyte(self):
        with subprocess.Popen([PROGRAM, "guide", ROOT / "harnesses/fernhollow-1.yaml", "-o", self.folder / "r.yaml"],
                              stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as guide:
            guide.stdout.read(1)  # it has begun
            limits = Path(f"/proc/{guide.pid}/limits").read_text()
            guide.communicate(b"stop\n", timeout=60)
        soft = next(line for line in limits.splitlines() if line.startswith("Max data size")).split()[3]
        self.assertNotEqual(soft, "unlimited")
        self.assertLess(int(soft), 1_000_000_000)

    def test_a_study_on_four_threads_takes_little_more_memory_than_on_one(self):
        harness = self.file("selector.yaml", inputs.selector(40))
        most = []
        for jobs in ("1", "4"):
            with subprocess.Popen([PROGRAM, "study", harness, "--cases", "8", "--jobs", jobs], stdout=subprocess.DEVNULL,
                                  stderr=subprocess.DEVNULL) as study:
                most.append(os.wait4(study.pid, 0)[2].ru_maxrss)
                study.returncode = 0
        self.assertLess(most[1], 2 * most[0])

    def test_a_terminal_is_shown_how_far_a_long_plan_is_and_ctrl_c_ends_it_at_once(self):
        harness = self.file("selector.yaml", inputs.selector(100))
        for words in (["plan", harness], ["faults", harness], ["guide", harness, "-o", self.folder / "record.yaml"]):
            ours, theirs = pty.openpty()
            with subprocess.Popen([PROGRAM, *words], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=theirs,
                                  preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL)) as work:
                os.close(theirs)
                seen, begun = b"", time.monotonic()
                how_far = rb", \d+ s so far" if words[0] == "guide" else rb", \d+ of \d+, \d+ s (left|so far)"
                while time.monotonic() < begun + 60 and not re.search(how_far, seen):
                    try:
                        seen += os.read(ours, 1000)
                    except OSError:
                        break
                work.send_signal(signal.SIGINT)
                self.assertEqual(work.wait(timeout=20), -signal.SIGINT, words)
            os.close(ours)
            self.assertRegex(seen.decode(), r"lugwise: (choosing the probes|trying the faults), .*\d+ s (left|so far)")
            self.assertRegex(seen, how_far)

    def test_a_record_of_more_readings_than_can_be_weighed_is_refused(self):
        line = "  - {between: [front.hot, front.ground], reads: 6.20k}\n"
        readings = self.file("readings.yaml", "lugwise-readings: 1\nreadings:\n" + line * 501)
        out, err, code = run("diagnose", "harnesses/fernhollow-2.yaml", readings)
        self.assertEqual((out, code), ("", 3))
        self.assertIn("error: too long a record: 501 readings; at most 500 can be weighed together (U323)", err)

    def test_an_endless_name_is_refused(self):
        for key in ("name", "about"):
            harness = self.file("name.yaml", chain(2).replace("parts:", f"{key}: {'x' * 10_000_000}\nparts:"))
            for command in ("check", "plan"):
                out, err, code = run(command, harness)
                self.assertEqual((out, code), ("", 3))
                self.assertIn("error: a text of 10000000 bytes; at most 2000 can be read (N103)", err)
                self.assertLess(len(err), 1000)

    def test_of_very_many_problems_the_first_are_shown_and_the_others_counted(self):
        warned = run("check", self.file("many.yaml", chain(5000).split("wires:")[0]))[0]
        self.assertEqual(warned.count(": warning: "), 100)
        self.assertRegex(warned, r"\nand \d+ more\n")
        errors = run("check", self.file("bad.yaml", chain(2) + "".join(f"  - [p0.1, x{i}.1]\n" for i in range(5000))))[1]
        self.assertEqual(errors.count(": error: "), 100)
        self.assertIn("and 4900 more", errors)
        whole = json.loads(run("check", self.folder / "bad.yaml", "--json")[0])
        self.assertEqual((len(whole["errors"]), whole["more"]), (100, 4900))
        warned = json.loads(run("check", self.folder / "many.yaml", "--json")[0])
        self.assertEqual((len(warned["warnings"]), warned["more_warnings"] > 1000), (100, True))

    def test_what_its_caller_has_in_memory_is_not_said_of_the_program(self):
        held = bytearray(os.urandom(1 << 20) * 300)  # what the kernel counts from at the start
        out, err, code = run("faults", ROOT / "harnesses/fernhollow-4.yaml")
        self.assertEqual((err, code), ("", 0))
        self.assertEqual(len(held), 300 << 20)


if __name__ == "__main__":
    unittest.main()
