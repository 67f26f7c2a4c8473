"""The tab key: what is offered, and that each shell puts it on the command line as it should."""

import json
import os
import pty
import re
import select
import shutil
import subprocess
import tempfile
import time
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
HARNESS = "harnesses/fernhollow-2.yaml"


def run(*words, cwd=ROOT):
    done = subprocess.run([PROGRAM, *words], cwd=cwd, capture_output=True, timeout=60, stdin=subprocess.DEVNULL)
    return done.stdout.decode(), done.stderr.decode(), done.returncode


def offered(*words):
    """What kind is offered, and the words."""
    out, err, code = run("completion", "words", *words)
    assert (err, code) == ("", 0), err
    kind, *lines = out.splitlines()
    return kind, [line.split("\t")[0] for line in lines]


def commands_in(page):
    found = re.search(r"^commands\n((?:  .*\n)+)", page, re.M)
    return re.findall(r"^  (\S+)", found.group(1), re.M) if found else []


def options_in(page):
    return set(re.findall(r"^  (?:-\w, )?(--[\w-]+)", page, re.M))


class Words(unittest.TestCase):
    def test_every_command_and_option_that_help_shows_is_offered(self):
        def walk(*command):
            page = run(*command, "--help")[0]
            within = commands_in(page)
            if within:
                self.assertEqual(offered(*command, ""), ("words", within))
            longs = {word.split("=")[0] for word in offered(*command, "--")[1]}
            self.assertEqual(longs, options_in(page), command)
            for one in within:
                walk(*command, one)
        walk()

    def test_what_is_begun_is_gone_on_with(self):
        self.assertEqual(offered("pl"), ("words", ["plan"]))
        self.assertEqual(offered("plan", "--de"), ("words", ["--depth"]))
        self.assertEqual(offered("plan", "--depth", ""), ("words", ["outside", "full"]))
        self.assertEqual(offered("plan", "--depth=f"), ("words", ["--depth=full"]))
        self.assertEqual(offered("convert", "t"), ("words", ["temperature"]))
        self.assertEqual(offered("convert", "bands", "red", "vio"), ("words", ["violet"]))
        self.assertEqual(offered("completion", ""), ("words", ["bash", "zsh", "fish"]))
        self.assertEqual(offered("nonsense", ""), ("words", commands_in(run("--help")[0])))

    def test_files_are_left_to_the_shell(self):
        for words in (["plan", ""], ["plan", "har"], ["diagnose", "a.yaml", ""], ["plan", "a.yaml", "--meter", ""],
                      ["plan", "--html", "-o", ""]):
            self.assertEqual(offered(*words), ("files", []), words)

    def test_points_controls_and_stages_are_those_of_the_netlist(self):
        points = offered("expect", HARNESS, "")[1]
        self.assertIn("jack.plug-tip", points)
        self.assertIn("volume.3>tone.1", points)
        self.assertEqual(offered("expect", HARNESS, "jack.tip", "selector.")[1], ["selector.f", "selector.r", "selector.out", "selector.out>volume.3"])
        self.assertEqual(offered("expect", HARNESS, "jack.tip", "volume.1", ""), ("words", []))
        self.assertEqual(offered("expect", HARNESS, "--lifted", "front.")[1], ["front.hot", "front.ground"])
        self.assertEqual(offered("expect", HARNESS, "--set", "")[1],
                         ["selector=rear", "selector=both", "selector=front", "volume=10", "volume=0", "tone=10",
                          "tone=0", "jack=in", "jack=out"])
        self.assertEqual(offered("plan", "harnesses/fernhollow-4.yaml", "--stage", "")[1], ["bench"])
        for option in (["faults", HARNESS, "--at"], ["plan", HARNESS, "--after"]):
            self.assertEqual(offered(*option, "volume")[1][:2], ["volume", "volume.1"])
        self.assertEqual(offered("draw", HARNESS, "--probes", "front.")[1], ["front.hot", "front.ground"])
        self.assertEqual(offered("draw", HARNESS, "--probes", "jack.tip", "front.")[1], ["front.hot", "front.ground"])
        self.assertEqual(offered("draw", HARNESS, "--probes", "jack.tip", "front.hot", ""), ("files", []))
        self.assertEqual(offered("plan", HARNESS, "--walk", "")[1], ["ground"])
        self.assertIn("misplaced", offered("study", HARNESS, "--faults", "")[1])

    def test_each_point_and_place_that_is_offered_is_accepted(self):
        for point in offered("expect", HARNESS, "")[1]:
            other = "volume.case" if point != "volume.case" else "jack.sleeve"
            self.assertEqual(run("expect", HARNESS, point, other)[1:], ("", 0), point)
        for place in offered("expect", HARNESS, "--set", "")[1]:
            self.assertEqual(run("expect", HARNESS, "jack.tip", "jack.sleeve", "--set", place)[1:], ("", 0), place)

    def test_a_netlist_that_cannot_be_read_offers_nothing_and_fails_nothing(self):
        for file in ("none.yaml", "harnesses", "README.md", "/dev/zero", "tests/cases/bad/empty.yaml"):
            self.assertEqual(offered("expect", file, ""), ("words", []), file)

    def test_a_shell_without_a_script_is_named(self):
        out, err, code = run("completion", "tcsh")
        self.assertEqual((out, code), ("", 2))
        self.assertIn("no such shell: 'tcsh'; there are bash, zsh, fish", err)


class Terminal:
    """A shell in a terminal of its own: keys go in, the screen's text comes out."""

    def __init__(self, command, folder):
        self.process, self.terminal = pty.fork()
        if self.process == 0:
            os.chdir(ROOT)
            environment = {"PATH": f"{folder}:/usr/bin:/bin", "TERM": "dumb", "HOME": folder, "PS1": "> ", "LANG": "C.UTF-8",
                           "COLUMNS": "400", "LINES": "40", "INPUTRC": "/dev/null"}
            os.execve(shutil.which(command[0]), command, environment)
        self.seen = ""

    def type(self, keys):
        os.write(self.terminal, keys.encode())

    def wait_for(self, pattern, seconds=20):
        end = time.monotonic() + seconds
        while not re.search(pattern, self.seen, re.S):
            if time.monotonic() > end:
                raise AssertionError(f"{pattern!r} did not come; the screen says {self.seen!r}")
            if select.select([self.terminal], [], [], 0.1)[0]:
                self.seen += os.read(self.terminal, 65536).decode(errors="replace")
        return self.seen

    def answer_to(self, keys, seconds):
        """Types, and reads until the shell has said something and then nothing for a while."""
        self.type(keys)
        end, answered = time.monotonic() + seconds, False
        while time.monotonic() < end:
            if select.select([self.terminal], [], [], 0.2)[0]:
                self.seen += os.read(self.terminal, 65536).decode(errors="replace")
                answered = True
            elif answered:
                return

    def close(self):
        os.close(self.terminal)
        os.waitpid(self.process, 0)


class Shells(unittest.TestCase):
    # Typed, and what stands there after the tab key and Enter: the program is a script that shows its words.
    LINES = [
        ("lugwise pl\t", "[plan]"),
        ("lugwise expect harnesses/fernhollow-17.y\t", "[expect][harnesses/fernhollow-17.yaml]"),
        (f"lugwise expect {HARNESS} jack.plug-t\t", f"[expect][{HARNESS}][jack.plug-tip]"),
        (f"lugwise expect {HARNESS} volume.3\\>t\t", f"[expect][{HARNESS}][volume.3>tone.1]"),
        (f"lugwise expect {HARNESS} 'volume.3>t\t", f"[expect][{HARNESS}][volume.3>tone.1]"),
        (f"lugwise expect {HARNESS} --set selector=f\t", f"[expect][{HARNESS}][--set][selector=front]"),
        ("lugwise plan --depth=f\t", "[plan][--depth=full]"),
        ("lugwise plan $(touch ran) --depth o\t", "[plan][--depth][outside]"),
    ]

    def try_lines(self, command, load, lines, prompt=None):
        with tempfile.TemporaryDirectory() as folder:
            shown = Path(folder) / "lugwise"
            shown.write_text(f'#!/bin/sh\n[ "$1" = completion ] && exec {PROGRAM} "$@"\n'
                             'printf "said:"; printf "[%s]" "$@"; echo .\n')
            shown.chmod(0o755)
            terminal = Terminal(command, folder)
            try:
                terminal.type(load + "\n" + "echo rea''dy\n")
                terminal.wait_for(r"ready\r?\n")
                for typed, expected in lines:
                    with self.subTest(typed):
                        terminal.seen = ""
                        before, _, _ = typed.partition("\t")
                        terminal.type(before.replace("$(touch ran) ", ""))
                        time.sleep(0.1)
                        terminal.type("\t")
                        time.sleep(0.6)
                        terminal.type("\n")
                        said = terminal.wait_for(r"said:.*?\.\r?\n")
                        self.assertIn("said:" + expected + ".", said)
            finally:
                terminal.type("\x03exit\n")
                terminal.close()

    # Wires may be called anything: what a shell would run, expand, part or unquote.
    HOSTILE = ["a$(touch ran)", "b`touch ran`", "c;touch ran", "d\\b", "e'q", 'f"q', "g&touch ran", "h|touch ran", "i$HOME",
               "q*", "k~#x", "l<x", "m(x){a,b}", "n [x]?", "o\\$(touch ran)", "p\\\\'q", "r!!x", "u=v", "x  two  y", "2\\'3\\\"4"]

    # Within double quotes nothing keeps a '!' from the history: such a name is not offered there.
    BANG = [('"', "r")]

    def write_hostile(self, folder):
        wires = "".join("  - {name: %s, run: [single.hot, volume.3]}\n" % json.dumps(name) for name in self.HOSTILE)
        (Path(folder) / "x.yaml").write_text("lugwise: 1\nparts:\n  single: {kind: pickup, dcr: 8k}\n"
                                             "  volume: {kind: pot, track: 500k}\n  jack: {kind: jack}\nwires:\n" + wires)

    def try_hostile(self, command, load, quotes, but=()):
        """Each name as a word of its own, begun bare and within quotes: what is typed on, completed and entered is the name."""
        with tempfile.TemporaryDirectory() as folder:
            self.write_hostile(folder)
            lines = [(f"lugwise expect x.yaml {quote}{name[0]}\t", quote, name) for name in self.HOSTILE for quote in quotes
                     if (quote, name[0]) not in but]
            shown = Path(folder) / "lugwise"
            shown.write_text(f'#!/bin/sh\n[ "$1" = completion ] && exec {PROGRAM} "$@"\n'
                             'printf "said:"; printf "[%s]" "$@"; echo .\n')
            shown.chmod(0o755)
            terminal = Terminal(command, folder)
            try:
                terminal.type(f"cd {folder}\n" + load + "\necho rea''dy\n")
                terminal.wait_for(r"ready\r?\n")
                for typed, quote, name in lines:
                    with self.subTest(typed):
                        # A shell that is slow to answer the tab key gets more time, three times in all.
                        wanted = f"said:[expect][x.yaml][{name}:single.hot>volume.3]."
                        for patience in (2, 5, 15):
                            terminal.answer_to("\x03", patience)  # whatever was left open
                            terminal.seen = ""
                            terminal.answer_to(typed[:-1], patience)
                            terminal.answer_to("\t", patience)
                            terminal.answer_to("s", patience)  # of the wire's two ends
                            terminal.answer_to("\t", patience)
                            terminal.type("\n")
                            try:
                                terminal.wait_for(r"said:.*?\.\r?\n", 3)
                            except AssertionError:
                                pass
                            self.assertFalse((Path(folder) / "ran").exists())
                            if wanted in terminal.seen:
                                break
                        self.assertIn(wanted, terminal.seen)
            finally:
                terminal.type("\x03\x03exit\n")
                terminal.close()

    def test_bash_runs_and_loses_nothing_of_a_hostile_name(self):
        self.try_hostile(["bash", "--norc", "--noprofile", "-i"], "source <(lugwise completion bash)", ["", "'", '"'],
                         but=self.BANG)

    @unittest.skipUnless(shutil.which("zsh"), "zsh, of the Debian package of that name, is not installed")
    def test_zsh_runs_and_loses_nothing_of_a_hostile_name(self):
        self.try_hostile(["zsh", "-f", "-i"], "PS1='> '; autoload -U compinit; compinit -u -D; source <(lugwise completion zsh)",
                         ["", "'", '"'], but=self.BANG)

    @unittest.skipUnless(shutil.which("fish"), "fish, of the Debian package of that name, is not installed")
    def test_fish_runs_and_loses_nothing_of_a_hostile_name(self):
        """Asked as its tab key asks, with the name begun and written as fish itself escapes it."""
        with tempfile.TemporaryDirectory() as folder:
            self.write_hostile(folder)
            names = " ".join("'%s'" % name.replace("\\", "\\\\").replace("'", "\\'") for name in self.HOSTILE)
            script = (f"lugwise completion fish | source; for name in {names}; "
                      "complete -C \"lugwise expect x.yaml \"(string escape --no-quoted -- \"$name:s\"); end")
            done = subprocess.run(["fish", "--no-config", "-c", script], cwd=folder, capture_output=True, timeout=60,
                                  env={"PATH": f"{PROGRAM.parent}:/usr/bin:/bin", "HOME": folder})
            self.assertEqual(done.stderr, b"")
            self.assertEqual(done.stdout.decode().splitlines(), [f"{name}:single.hot>volume.3" for name in self.HOSTILE])
            self.assertFalse((Path(folder) / "ran").exists())

    def test_bash_puts_the_word_on_the_line_quoted_where_it_must_be(self):
        self.try_lines(["bash", "--norc", "--noprofile", "-i"], "source <(lugwise completion bash)", self.LINES)

    @unittest.skipUnless(shutil.which("fish"), "fish, of the Debian package of that name, is not installed")
    def test_fish_offers_the_words(self):
        for typed, expected in (("lugwise pl", ["plan"]), (f"lugwise expect {HARNESS} jack.plug-", ["jack.plug-tip", "jack.plug-sleeve"]),
                                (f"lugwise expect {HARNESS} --set selector=", ["selector=rear", "selector=both", "selector=front"]),
                                ("lugwise plan harnesses/fernhollow-17", ["harnesses/fernhollow-17.yaml"])):
            with self.subTest(typed), tempfile.TemporaryDirectory() as folder:
                script = f"lugwise completion fish | source; complete -C '{typed}'"
                done = subprocess.run(["fish", "--no-config", "-c", script], cwd=ROOT, capture_output=True, timeout=60,
                                      env={"PATH": f"{PROGRAM.parent}:/usr/bin:/bin", "HOME": folder})
                self.assertEqual(done.stderr, b"")
                self.assertEqual({line.split("\t")[0] for line in done.stdout.decode().splitlines()}, set(expected))

    @unittest.skipUnless(shutil.which("zsh"), "zsh, of the Debian package of that name, is not installed")
    def test_zsh_puts_the_word_on_the_line_quoted_where_it_must_be(self):
        # -D: it keeps no dump. One kept in /dev/null would be moved to its place, which root may do.
        self.try_lines(["zsh", "-f", "-i"],
                       "PS1='> '; autoload -U compinit; compinit -u -D; source <(lugwise completion zsh)",
                       self.LINES)


if __name__ == "__main__":
    unittest.main()
