"""What the engine of the page answers is, byte for byte, what the program answers.

LUGWISE_ENGINE is .build/browser/engine_node.js, LUGWISE_PROGRAM an optimised lugwise. Sizes and times are printed. Run by
tests/run --page; skipped without an engine.
"""

import gzip
import json
import os
import re
import subprocess
import tempfile
import time
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/release/lugwise"))
ENGINE = Path(os.environ.get("LUGWISE_ENGINE", "none"))

WORKED = sorted(path.name for path in (ROOT / "harnesses").glob("*.yaml"))


def texts_below(folder):
    """Every YAML file under a folder, by its path there."""
    return {path.relative_to(folder).as_posix(): path.read_text() for path in sorted(folder.rglob("*.yaml"))}


class Engine:
    def __init__(self):
        self.process = subprocess.Popen(["node", str(ROOT / "tests/browser/engine.js"), str(ENGINE)],
                                        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def ask(self, **request):
        self.process.stdin.write(json.dumps(request) + "\n")
        self.process.stdin.flush()
        said = json.loads(self.process.stdout.readline())
        return said["answer"], said["seconds"]

    def close(self):
        self.process.stdin.close()
        self.process.wait(10)
        self.process.stdout.close()


def program(arguments, files, typed=""):
    """The same of the program: its exit, outputs, and the files it wrote, and the seconds."""
    with tempfile.TemporaryDirectory() as folder:
        for name, text in files.items():
            path = Path(folder) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text)
        begun = time.perf_counter()
        ran = subprocess.run([str(PROGRAM), *arguments], cwd=folder, input=typed.encode(), capture_output=True)
        seconds = time.perf_counter() - begun
        written = {}
        for path in sorted(p for p in Path(folder).rglob("*") if p.is_file()):
            name, text = path.relative_to(folder).as_posix(), path.read_text()
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

    @classmethod
    def tearDownClass(cls):
        cls.engine.close()

    def same(self, arguments, files=None, typed=""):
        files = self.files if files is None else files
        wanted, slow = program(arguments, files, typed)
        got, quick = self.engine.ask(do="run", arguments=arguments, files=files, input=typed)
        with self.subTest(arguments=arguments):
            self.assertEqual(got.pop("files", None), wanted.pop("files"))
            self.assertEqual(got, wanted)
        return wanted, slow, quick

    def test_every_command_on_every_worked_harness(self):
        native = page = 0
        for name in WORKED:
            points = [point["name"] for point in self.engine.ask(
                do="describe", files=self.files, harness=name)[0]["points"]]
            a, b = points[0], points[-1]
            for words in (["check", name], ["faults", name], ["expect", name, a, b], ["draw", name],
                          ["simulate", name, "--seed", "7"]):
                self.same(words)
                self.same(words + ["--json"])
            _, slow, quick = self.same(["plan", name, "--json"])
            native, page = native + slow, page + quick
            self.same(["plan", name, "--quick", "-o", "plan.txt"])
        print(f"\nplans: native {native:.2f} s, engine {page:.2f} s, ratio {page / native:.2f}")

    def test_every_job(self):
        native = page = 0
        for path in sorted((ROOT / "harnesses/jobs").rglob("*.yaml")):
            named = re.search(r"^harness:\s*(\S+)", path.read_text(), re.M)
            if not named:
                continue
            job = path.relative_to(ROOT / "harnesses").as_posix()
            harness = os.path.normpath(os.path.join(os.path.dirname(job), named[1]))
            for form in ([], ["--json"], ["--markdown"]):
                _, slow, quick = self.same(["diagnose", harness, job, *form])
                native, page = native + slow, page + quick
        print(f"\ndiagnoses: native {native:.2f} s, engine {page:.2f} s, ratio {page / native:.2f}")

    def test_every_bad_file(self):
        for path in sorted((ROOT / "tests/cases/bad").glob("*.yaml")):
            try:
                text = path.read_text()
            except UnicodeDecodeError:
                continue  # no text that a page could have
            for form in ([], ["--json"]):
                self.same(["check", path.name, *form], {path.name: text})

    def test_words_that_make_no_sense(self):
        for words in ([], ["--help"], ["plan"], ["plam"], ["expect", "none.yaml", "a", "b"],
                      ["expect", WORKED[0], "a", "b", "--json"], ["convert", "value", "4k7"]):
            self.same(words)

    def test_a_study_and_exercises(self):
        self.same(["study", WORKED[0], "--cases", "20", "--jobs", "1", "--json"])
        self.same(["exercise", "make", WORKED[0], "--level", "2", "--count", "2", "--seed", "3", "-o", "class"])

    def test_a_session_that_is_typed(self):
        typed = "\n0.3\n\n6.71k\nOL\nwhy\nundo\nlist\nbeep\nstop\n"
        for form in ([], ["--json"]):
            self.same(["guide", WORKED[0], *form], typed=typed)

    def test_a_session_that_is_asked_for_is_the_one_that_is_typed(self):
        for name in WORKED[:5]:
            lines = ["", "0.3", "", "6.71k", "OL", "undo", "skip", "beep", "note: dull"]
            wanted, _ = program(["guide", name, "--json", "-o", "kept.yaml"], self.files, "\n".join(lines) + "\n")
            said = [json.loads(line) for line in wanted["out"].splitlines()]
            got = [self.engine.ask(do="open", files=self.files, harness=name, record="kept.yaml")[0]]
            got += [self.engine.ask(do="say", line=line)[0] for line in lines]
            self.assertEqual([each["session"] for each in got], said[:len(got)])
            self.assertEqual(got[-1]["record"], wanted["files"].get("kept.yaml", got[-1]["record"]))
            again, _ = self.engine.ask(do="open", files={**self.files, "kept.yaml": got[-1]["record"]},
                                       harness=name, record="kept.yaml")
            self.assertEqual(again["session"]["suspects"], got[-1]["session"]["suspects"])

    def test_what_is_no_request_is_answered(self):
        for request in ({"do": "dance"}, {"do": "run"}, {"do": "run", "arguments": [], "files": {"../x": ""}},
                        {"do": "say", "line": 7}):
            self.assertTrue(set(self.engine.ask(**request)[0]) & {"failure", "session"}, request)

    def test_its_size(self):
        wasm = ENGINE.with_name("engine.wasm")
        packed = len(gzip.compress(wasm.read_bytes(), 9))
        print(f"\nengine.wasm: {wasm.stat().st_size} bytes, {packed} gzipped, {packed * 4 // 3} as base64")
        self.assertLess(packed, 1_500_000)


if __name__ == "__main__":
    unittest.main()
