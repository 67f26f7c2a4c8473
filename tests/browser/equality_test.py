"""What the engine of the page answers is, byte for byte, what the program answers.

LUGWISE_ENGINE is .build/browser/engine_node.js, LUGWISE_PROGRAM an optimised lugwise. Sizes and the processor's times are
printed. Run by tests/run --page; skipped without an engine.
"""

import gzip
import json
import os
import re
import resource
import shlex
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/release/lugwise"))
ENGINE = Path(os.environ.get("LUGWISE_ENGINE", "none"))
sys.path.insert(0, str(ROOT / "tests/cases"))

WORKED = sorted((path.name for path in (ROOT / "harnesses").glob("*.yaml")), key=lambda name: (len(name), name))


def texts_below(folder, prefix=""):
    """Every YAML file under a folder, by its path there."""
    return {prefix + path.relative_to(folder).as_posix(): path.read_text() for path in sorted(folder.rglob("*.yaml"))}


class Engine:
    def __init__(self):
        self.process = subprocess.Popen(["node", str(ROOT / "tests/browser/engine.js"), str(ENGINE)],
                                        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def ask(self, **request):
        """What it answers, the seconds it took, and how much memory it has now."""
        self.process.stdin.write(json.dumps(request) + "\n")
        self.process.stdin.flush()
        said = json.loads(self.process.stdout.readline())
        self.memory = said["memory"]
        return said["answer"], said["seconds"]

    def close(self):
        self.process.stdin.close()
        self.process.wait(10)
        self.process.stdout.close()


def spent():
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def program(arguments, files, typed=""):
    """The same of the program: its exit, outputs, and the files it wrote, and the seconds."""
    with tempfile.TemporaryDirectory() as folder:
        for name, text in files.items():
            path = Path(folder) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(text.encode())
        begun = spent()
        ran = subprocess.run([str(PROGRAM), *arguments], cwd=folder, input=typed.encode(), capture_output=True)
        seconds = spent() - begun
        written = {}
        for path in sorted(p for p in Path(folder).rglob("*") if p.is_file()):
            name, text = path.relative_to(folder).as_posix(), path.read_bytes().decode()
            if files.get(name) != text:
                written[name] = text
        return {"exit": ran.returncode, "out": ran.stdout.decode(errors="replace"),
                "err": ran.stderr.decode(errors="replace"), "files": written}, seconds


@unittest.skipUnless(ENGINE.exists(), "the page is tested by tests/run --page")
class Equality(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.engine = Engine()
        cls.files = texts_below(ROOT / "harnesses")
        cls.compared = 0

    @classmethod
    def tearDownClass(cls):
        cls.engine.close()
        print(f"\ncommands compared: {cls.compared}", file=sys.stderr)

    def same(self, arguments, files=None, typed=""):
        files = self.files if files is None else files
        wanted, slow = program(arguments, files, typed)
        got, quick = self.engine.ask(do="run", arguments=arguments, files=files, input=typed)
        type(self).compared += 1
        with self.subTest(arguments=arguments):
            self.assertEqual(got.pop("files", None), wanted.pop("files"))
            self.assertEqual(got, wanted)
        return wanted, slow, quick

    def test_every_command_on_every_worked_harness(self):
        for name in WORKED:
            told = self.engine.ask(do="describe", files=self.files, harness=name)[0]
            a, b = told["points"][0]["name"], told["points"][-1]["name"]
            place = told["parts"][0]["name"]
            sets = [f"--set={control['name']}={(control['places'] or ['0'])[-1]}" for control in told["controls"]]
            for words in (["check", name], ["faults", name], ["faults", name, "--at", place], ["expect", name, a, b],
                          ["expect", name, b, a, *sets], ["draw", name], ["draw", name, "--ground", "symbol", *sets],
                          ["draw", name, "--probes", a, b], ["simulate", name, "--seed", "7"],
                          ["diagnose", name, "--heard", "silent"], ["plan", name, "--depth", "outside"]):
                self.same(words)
                self.same(words + ["--json"])
            for form in ([], ["--markdown"], ["--html"]):
                self.same(["plan", name, *form])

    def test_every_plan_and_how_long_it_takes(self):
        native = page = 0
        for name in WORKED:
            for words in (["plan", name, "--json"], ["plan", name, "--thorough", "--json"]):
                _, slow, quick = self.same(words)
                native, page = native + slow, page + quick
        print(f"\nplans: native {native:.2f} s, engine {page:.2f} s, ratio {page / native:.2f}", file=sys.stderr)

    def test_every_job_and_how_long_the_next_probe_takes(self):
        native = page = 0
        for path in sorted((ROOT / "harnesses/jobs").rglob("*.yaml")):
            named = re.search(r"^harness:\s*(\S+)", path.read_text(), re.M)
            job = path.relative_to(ROOT / "harnesses").as_posix()
            harness = os.path.normpath(os.path.join(os.path.dirname(job), named[1]))
            for form in ([], ["--json"], ["--markdown"], ["--html"]):
                _, slow, quick = self.same(["diagnose", harness, job, *form])
                native, page = native + slow, page + quick
            self.same(["draw", harness, "--readings", job])
        print(f"\ndiagnoses: native {native:.2f} s, engine {page:.2f} s, ratio {page / native:.2f}", file=sys.stderr)

    def test_every_bad_file(self):
        for path in sorted((ROOT / "tests/cases/bad").rglob("*.yaml")):
            try:
                text = path.read_bytes().decode()
            except UnicodeDecodeError:
                continue  # no text that a page could have
            for words in (["check", path.name], ["diagnose", WORKED[0], path.name], ["match", path.name],
                          ["plan", WORKED[0], "--meter", path.name]):
                self.same(words, {path.name: text, WORKED[0]: self.files[WORKED[0]]})
            self.same(["check", path.name, "--json"], {path.name: text})

    def test_every_case_of_the_program(self):
        from cases_test import Case
        below = texts_below(ROOT / "harnesses", "harnesses/")
        for path in sorted((ROOT / "tests/cases").glob("*.case")):
            case = Case(path.read_text())
            if re.search(r"png|pdf", case.command):
                continue  # another program makes these
            self.same(shlex.split(case.command)[1:], {**below, **case.files})

    def test_words_that_make_no_sense(self):
        for words in ([], ["--help"], ["--version"], ["plan"], ["plam"], ["plan", "--help"], ["manual"],
                      ["expect", "none.yaml", "a", "b"], ["expect", WORKED[0], "a", "b", "--json"], ["check", "parts"],
                      ["completion", "bash"], ["completion", "words", "pl"], ["draw", WORKED[0], "-o", WORKED[0]],
                      ["convert", "value", "4k7"], ["convert", "bands", "yellow", "violet", "red", "gold"],
                      ["guide"], ["guide", "--resume", "none.yaml"], ["batch", "report", "none"]):
            self.same(words)

    def test_studies_lots_and_batches(self):
        self.same(["study", WORKED[0], "--cases", "20", "--json"])
        self.same(["study", WORKED[1], "--cases", "10", "--jobs", "2", "--slips", "5%", "--plot", "plot.svg"])
        self.same(["match", "pickups/lot.yaml"])
        made, _, _ = self.same(["batch", "new", WORKED[1], "-o", "made"])
        folder = dict(self.files)
        for words in (["batch", "new", WORKED[1], "-o", "made"], ["simulate", WORKED[1], "--seed", "3", "-o", "one.yaml"],
                      ["batch", "take", "made", "FH-1", "--readings", "one.yaml"], ["batch", "report", "made"],
                      ["batch", "report", "made", "--json"]):
            self.same(words, folder)
            folder.update(program(words, folder)[0]["files"])

    def test_exercises_are_made_worked_and_marked(self):
        make = ["exercise", "make", WORKED[1], "--level", "2", "--count", "2", "--seed", "3", "-o", "class"]
        self.same(make)
        folder = {**self.files, **program(make, self.files)[0]["files"]}
        work = ["exercise", "work", "class/01.yaml", "--by", "pupil 1", "-o", "class/one.yaml"]
        typed = "help\nfront.hot front.ground\nlist\nanswer nothing\nstop\n"
        self.same(work, folder, typed)
        folder.update(program(work, folder, typed)[0]["files"])
        for form in ([], ["--json"], ["--csv"]):
            self.same(["exercise", "mark", "class/one.yaml", "--key", "class-keys", *form], folder)

    def test_a_session_that_is_typed(self):
        typed = "\n0.3\n\n\n\n6.71k\nOL\nwhy\nundo\nlist\nbeep\nheard front silent\nnote cold\npicture\nstop\n"
        for name in WORKED[:6]:
            for form in ([], ["--json"]):
                self.same(["guide", name, *form], typed=typed)
        begun = {**self.files, "kept.yaml": program(["guide", WORKED[1], "-o", "kept.yaml"], self.files, typed)[0]["files"]["kept.yaml"]}
        self.same(["guide", "--resume", "kept.yaml"], begun, "undo\nOL\nstop\n")

    def test_a_session_that_is_asked_for_is_the_one_that_is_typed(self):
        for name in WORKED:
            lines = ["", "0.3", "", "", "", "6.71k", "OL", "undo", "skip", "beep", "note dull", "OL"]
            wanted, _ = program(["guide", name, "--json", "-o", "kept.yaml"], self.files, "\n".join(lines) + "\n")
            said = [json.loads(line) for line in wanted["out"].splitlines()]
            got = [self.engine.ask(do="open", files=self.files, harness=name, record="kept.yaml")[0]]
            got += [self.engine.ask(do="say", line=line)[0] for line in lines]
            type(self).compared += len(got)
            with self.subTest(harness=name):
                self.assertEqual([each["session"] for each in got], said[:len(got)])
                self.assertEqual(got[-1]["record"], wanted["files"]["kept.yaml"])

    def test_a_request_for_more_memory_than_there_is_fails_and_the_next_is_answered(self):
        wanted = self.engine.ask(do="run", arguments=["check", WORKED[0]], files=self.files)[0]
        self.engine.ask(do="open", files=self.files, harness=WORKED[0], record="kept.yaml")
        before = self.engine.ask(do="say", line="0.3")[0]
        for size in (100, 240):
            got = self.engine.ask(do="run", arguments=["check", "large.yaml"], files={"large.yaml": "a" * (size << 20)})[0]
            self.assertTrue("failure" in got or got["exit"] in (3, 4), str(got)[:300])
            self.assertEqual(self.engine.ask(do="run", arguments=["check", WORKED[0]], files=self.files)[0], wanted)
        self.assertLessEqual(self.engine.memory, 1 << 30)
        after = self.engine.ask(do="say", line="undo")[0]
        self.assertEqual(after["session"]["harness"], before["session"]["harness"])

    def test_netlists_nested_deeply_are_refused_as_by_the_program(self):
        for text in ("[" * 100000, "a: " * 50000, "parts: " + "{a: " * 20000, "- " * 50000, "&a [*a, " * 20000):
            self.same(["check", "deep.yaml"], {"deep.yaml": text})

    def test_the_files_of_one_request_are_not_there_in_the_next(self):
        names = [f"{folder}{number}.yaml" for folder in ("", "a/", "a/b/", "c/") for number in range(9)]
        self.engine.ask(do="run", arguments=["check"], files={name: "" for name in names})
        for name in names:
            self.same(["check", name], {})

    def test_what_is_no_request_is_answered(self):
        for request in ({"do": "dance"}, {"do": "run"}, {"do": "run", "arguments": [], "files": {"../x": ""}},
                        {"do": "say", "line": 7}):
            self.assertTrue(set(self.engine.ask(**request)[0]) & {"failure", "session"}, request)

    def test_its_size(self):
        wasm = ENGINE.with_name("engine.wasm")
        packed = len(gzip.compress(wasm.read_bytes(), 9))
        print(f"\nengine.wasm: {wasm.stat().st_size} bytes, {packed} gzipped, {packed * 4 // 3} as base64", file=sys.stderr)
        self.assertLess(packed, 1_500_000)


if __name__ == "__main__":
    unittest.main()
