"""What the pages show is what the program does: every netlist, readings file and command line in README and docs/.

A ```yaml block with `lugwise: 1` is a whole netlist, one with `lugwise-readings: 1` a whole readings file; any other is
put into the first whole netlist of its page. A ```console block holds command lines, `$ app/run ...`, with what they
print; a line `…` stands for any lines, and `$ echo $?` shows the exit code, which is 0 where it isn't shown.
"""

import os
import re
import shutil
import shlex
import subprocess
import tempfile
import textwrap
import unittest
from pathlib import Path

import yaml

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
# Samples of what is refused or looks odd have tests of their own.
SAMPLES = {"errors.md", "warnings.md"}
PAGES = [ROOT / "README.md", *sorted(page for page in (ROOT / "docs").glob("*.md") if page.name not in SAMPLES)]


def blocks(text, language):
    """(line, body) of each fenced block."""
    return [(text.count("\n", 0, m.start()) + 1, m.group(1))
            for m in re.finditer(rf"^```{language}\n(.*?)^```$", text, re.S | re.M)]


def version(body):
    found = re.search(r"^(lugwise(?:-readings|-workshop)?): 1\b", body, re.M)
    return found.group(1) if found else None


def merged(whole, part):
    """The netlist with the keys of a part of one: lists grow, maps are joined."""
    whole, part = yaml.load(whole, yaml.BaseLoader), yaml.load(part, yaml.BaseLoader)
    for key, value in part.items():
        if isinstance(value, list):
            whole[key] = whole.get(key, []) + value
        elif isinstance(value, dict):
            whole[key] = {**whole.get(key, {}), **value}
        else:
            whole[key] = value
    return yaml.safe_dump(whole, sort_keys=False, allow_unicode=True)


def run(*words, cwd=ROOT):
    done = subprocess.run([PROGRAM, *words], cwd=cwd, capture_output=True, timeout=120, stdin=subprocess.DEVNULL)
    return done.stdout.decode(), done.stderr.decode(), done.returncode


def session(body):
    """[(command, expected output, exit code)] of a console block."""
    steps = []
    for line in body.splitlines(True):
        if line == "$ echo $?\n":
            steps[-1][2] = None
        elif line.startswith("$ "):
            steps.append([line[2:].strip(), "", 0])
        elif steps[-1][2] is None:
            steps[-1][2] = int(line)
        else:
            steps[-1][1] += line
    return steps


def same(expected, got):
    pattern = "".join(r"(?:.*\n)*" if line.strip() == "…" else re.escape(line) for line in expected.splitlines(True))
    return re.fullmatch(pattern, got) is not None


class Docs(unittest.TestCase):
    maxDiff = None

    def test_every_netlist_on_a_page_is_accepted(self):
        seen = 0
        for page in PAGES:
            whole = None
            for line, body in blocks(page.read_text(), "yaml"):
                if version(body) in ("lugwise-readings", "lugwise-workshop"):
                    continue
                with self.subTest(place=f"{page.name}:{line}"), tempfile.TemporaryDirectory() as folder:
                    whole_one = version(body) == "lugwise"
                    whole = whole or body
                    self.assertEqual(version(whole), "lugwise", "the page shows a part before a whole netlist")
                    shutil.copy(ROOT / "harnesses/fernhollow-2.yaml", folder)  # that one starts from
                    (Path(folder) / "shown.yaml").write_text(body if whole_one else merged(whole, body))
                    out, err, code = run("check", "shown.yaml", cwd=folder)
                    self.assertEqual((code, err), (0, ""))
                    if whole_one:
                        self.assertEqual(out, "shown.yaml: nothing noticed\n")
                seen += 1
        self.assertGreater(seen, 5)

    def test_every_readings_file_on_a_page_is_accepted(self):
        seen = 0
        for page in PAGES:
            for line, body in blocks(page.read_text(), "yaml"):
                if version(body) != "lugwise-readings":
                    continue
                with self.subTest(place=f"{page.name}:{line}"), tempfile.TemporaryDirectory() as folder:
                    for netlist in (ROOT / "harnesses").glob("*.yaml"):
                        (Path(folder) / netlist.name).symlink_to(netlist)
                    (Path(folder) / "shown.yaml").write_text(body)
                    harness = Path(yaml.load(body, yaml.BaseLoader)["harness"]).name
                    _, err, code = run("diagnose", harness, "shown.yaml", cwd=folder)
                    self.assertEqual(err, "")
                    self.assertIn(code, (0, 1))
                seen += 1
        self.assertGreater(seen, 0)

    def test_every_workshop_file_on_a_page_is_accepted(self):
        seen = 0
        for page in PAGES:
            for line, body in blocks(page.read_text(), "yaml"):
                if version(body) != "lugwise-workshop":
                    continue
                with self.subTest(place=f"{page.name}:{line}"), tempfile.TemporaryDirectory() as folder:
                    (Path(folder) / "shown.yaml").write_text(body)
                    harness = ROOT / "harnesses/fernhollow-1.yaml"
                    _, err, code = run("plan", harness, "--workshop", Path(folder) / "shown.yaml")
                    self.assertEqual((code, err), (0, ""))
                seen += 1
        self.assertGreater(seen, 0)

    def test_every_command_line_on_a_page_prints_and_exits_as_shown(self):
        seen = 0
        for page in PAGES:
            for line, body in blocks(page.read_text(), "console"):
                for command, expected, code in session(body):
                    with self.subTest(place=f"{page.name}:{line}", command=command):
                        words = shlex.split(command)
                        self.assertEqual(words[0], "app/run")
                        out, err, got = run(*words[1:])
                        self.assertEqual(got, code)
                        if not same(expected, out + err):
                            self.assertEqual(out + err, expected)
                    seen += 1
        self.assertGreater(seen, 3)

    def test_every_command_of_a_persons_page_and_of_a_lesson_runs(self):
        """In order, in an empty folder with the harnesses in it; a yaml block that begins with `# name` is that file."""
        pages = [ROOT / f"docs/{who}.md" for who in ("technician", "builder", "instructor")]
        lessons = sorted((ROOT / "docs/lessons").glob("[0-9]*.md"))
        self.assertEqual(len(lessons), 8)
        for page in pages + lessons:
            with tempfile.TemporaryDirectory() as folder:
                (Path(folder) / "harnesses").symlink_to(ROOT / "harnesses")
                (Path(folder) / "bin").mkdir()
                (Path(folder) / "bin/lugwise").symlink_to(PROGRAM)
                seen = 0
                shown = ""
                for kind, body in re.findall(r"^ *```(sh|yaml)\n(.*?)^ *```$", page.read_text(), re.S | re.M):
                    body = textwrap.dedent(body)
                    if kind == "yaml":
                        named = re.match(r"# (\S+\.yaml)\n", body)
                        if named:
                            (Path(folder) / named.group(1)).write_text(body)
                        continue
                    for command in body.splitlines():
                        with self.subTest(page=page.name, command=command):
                            done = subprocess.run(["bash", "-c", command], cwd=folder, capture_output=True, timeout=300,
                                                  stdin=subprocess.DEVNULL, text=True,
                                                  env={**os.environ, "PATH": f"{folder}/bin:{os.environ['PATH']}"})
                            self.assertIn(done.returncode, (0, 1), done.stdout + done.stderr)
                            self.assertNotIn("error[", done.stderr)
                        shown += done.stdout
                        seen += 1
                self.assertGreater(seen, 0, page.name)
                # What a lesson says is seen.
                shown = " ".join(shown.split())
                told = re.findall(r"^Seen: (.*?)^$", page.read_text(), re.S | re.M)
                self.assertEqual(len(told), 1 if page in lessons else 0, page.name)
                for text in told:
                    for quoted in re.findall(r"`([^`]*)`", text):
                        self.assertIn(" ".join(quoted.split()), shown, page.name)

    def test_each_lesson_has_its_cautions_jobs_and_exercises(self):
        for page in sorted((ROOT / "docs/lessons").glob("[0-9]*.md")):
            text = page.read_text()
            for heading in ("## Cautions", "## Jobs", "## Exercises"):
                self.assertIn(heading, text, page.name)
            self.assertIn("lugwise exercise make", text, page.name)
            self.assertIn(f"({page.name})", (ROOT / "docs/lessons/README.md").read_text())
            self.assertNotIn("…", text)

    def test_what_a_page_gets_wrong_is_found(self):
        self.assertEqual(session("$ app/run x\na\n$ echo $?\n1\n$ app/run y\n"),
                         [["app/run x", "a\n", 1], ["app/run y", "", 0]])
        self.assertTrue(same("a\n  …\nd\n", "a\nb\nc\nd\n"))
        self.assertFalse(same("a\n…\nd\n", "a\nb\n"))
        self.assertEqual(blocks("x\n```yaml\na: 1\n```\n", "yaml"), [(2, "a: 1\n")])
        self.assertEqual(yaml.safe_load(merged("a: [x]\nb: {c: y}\n", "a: [z]\nb: {d: w}\n")),
                         {"a": ["x", "z"], "b": {"c": "y", "d": "w"}})


if __name__ == "__main__":
    unittest.main()
