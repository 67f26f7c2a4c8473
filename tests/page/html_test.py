"""The pages that plan and diagnose make: valid, whole in themselves, readable, the same for any name."""

import html
import json
import os
import re
import shutil
import subprocess
import tempfile
import unittest
from pathlib import Path

from markup import Reader, contrast

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
HARNESSES = sorted((ROOT / "harnesses").glob("fernhollow-*.yaml"))
JOBS = sorted((ROOT / "harnesses/jobs").glob("*.yaml"))
HOSTILE = """</title></style><script>alert(1)</script>&amp; "q" 'a' <b>*s* _u_ `c` [l](u) | ~~x~~ # - 1. \\"""


def run(*words, cwd=ROOT):
    done = subprocess.run([PROGRAM, *map(str, words)], cwd=cwd, capture_output=True, timeout=120)
    return done.stdout.decode(), done.stderr.decode(), done.returncode


def harness_of(job):
    return ROOT / "harnesses" / (re.match(r"fernhollow-\d+", job.name).group() + ".yaml")


def pages():
    for harness in HARNESSES:
        yield f"plan {harness.name}", run("plan", harness, "--html")[0]
        yield f"long plan {harness.name}", run("plan", harness, "--html=long")[0]
    for job in JOBS:
        yield f"diagnose {job.name}", run("diagnose", harness_of(job), job, "--html")[0]
        yield f"page {job.name}", run("diagnose", harness_of(job), job, "--html=page")[0]


def style(page):
    return re.search(r"<style>(.*?)</style>", page, re.S).group(1)


def themes(sheet):
    """The colours by name: of the light and the dark theme."""
    found = []
    for body in re.findall(r":root \{(.*?)\}", sheet, re.S):
        colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", body))
        if colours:
            found.append(colours)
    return found


class Pages(unittest.TestCase):
    maxDiff = None

    def test_every_page_is_valid_needs_nothing_from_outside_and_has_its_headings_in_order(self):
        seen = 0
        for name, page in pages():
            with self.subTest(name):
                self.assertEqual(Reader(page).problems, [])
                self.assertNotIn("@import", style(page))
                self.assertNotIn("url(", style(page))
                self.assertEqual(re.findall(r"https?://(?!www\.w3\.org/)", page), [])
            seen += 1
        self.assertGreater(seen, 20)

    @unittest.skipUnless(shutil.which("tidy"), "tidy, of the Debian package of that name, is not installed")
    def test_tidy_has_nothing_to_say_of_any_page(self):
        for name, page in pages():
            with self.subTest(name):
                done = subprocess.run(["tidy", "-q", "-e", "--mute", "PROPRIETARY_ATTRIBUTE"], input=page.encode(),
                                      capture_output=True)
                complaints = [line for line in done.stderr.decode().splitlines() if "svg" not in line]
                # 1 is for warnings, the muted ones too.
                self.assertEqual((complaints, done.returncode > 1), ([], False))

    def test_what_the_reader_of_pages_must_find_is_found(self):
        policy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
        head = f'<!DOCTYPE html>\n<html lang="en"><head><meta http-equiv="Content-Security-Policy" content="{policy}"></head>'
        start, end = head + "<body><main><h1>a</h1>", "</main></body></html>"
        self.assertEqual(Reader(start + end).problems, [])
        for wrong in ("<p>a", "<p>a</b></p>", '<p id="x">a</p><p id="x">b</p>', '<p class="a" class="b">c</p>', "<h3>a</h3>",
                      "<h1>b</h1>", "<ul><p>a</p></ul>", '<input type="text">', "<script>a</script>", "<blink>a</blink>",
                      '<p onclick="a">b</p>', '<svg><image href="a.png"/></svg>', "<p><div>a</div></p>", "<ul>a</ul>",
                      '<p style="a">b</p>', '<div id="a"/>', '<svg><use href="#none"/></svg>'):
            with self.subTest(wrong):
                self.assertNotEqual(Reader(start + wrong + end).problems, [])

    def test_every_text_has_the_contrast_of_level_AA_in_light_and_dark(self):
        # W3C, Web Content Accessibility Guidelines 2.1, 1.4.3: 4.5 for text; 1.4.11: 3 for what is no text. From memory.
        sheet = style(run("plan", HARNESSES[0], "--html")[0])
        light, dark = themes(sheet)
        self.assertEqual(light.keys(), dark.keys())
        texts = {"ink", "soft", "good", "bad", "unsure"}
        grounds = {"paper", "faint"}
        self.assertEqual(set(light), texts | grounds | {"line"})
        for colours in (light, dark):
            for ground in grounds:
                for text in texts:
                    self.assertGreaterEqual(contrast(colours[text], colours[ground]), 4.5, (text, ground))
                self.assertGreaterEqual(contrast(colours["line"], colours[ground]), 3, ("line", ground))
        # No colour or ground is used that is not among these; pictures bring a white one of their own.
        used = re.findall(r"(?<![-\w])(?:color|background): ([^;}]+)", sheet)
        self.assertGreater(len(used), 10)
        self.assertLessEqual(set(used), {f"var(--{name})" for name in texts | grounds} | {"#ffffff"})

    def test_contrast_is_worked_out_as_published(self):
        # From memory: black on white is 21 to 1, and #767676 the lightest grey that has 4.5 on white.
        self.assertAlmostEqual(contrast("#000000", "#ffffff"), 21)
        self.assertGreaterEqual(contrast("#767676", "#ffffff"), 4.5)
        self.assertLess(contrast("#777777", "#ffffff"), 4.5)

    def test_a_page_says_whose_it_is_and_takes_what_is_read(self):
        page = run("plan", "harnesses/fernhollow-2.yaml", "--html")[0]
        text = Reader(page).text()
        for said in ("Instrument", "Job number", "Date", "Technician", "Before the first probe", "Not shown by any step",
                     "check sum 0cd291007ea5", "harnesses/fernhollow-2.yaml"):
            self.assertIn(said, text)
        # Each step that takes a reading has a field or a box; the one with the tips together is taken twice.
        for form in (page, run("plan", "harnesses/fernhollow-2.yaml", "--html=long")[0]):
            steps = re.split(r'id="step-\d+"', form)[1:]
            self.assertEqual(len(steps), len(json.loads(run("plan", "harnesses/fernhollow-2.yaml", "--json")[0])["steps"]))
            for step in steps:
                self.assertIn("<input", step)

    def test_the_sheet_says_of_every_step_what_the_plan_says(self):
        for harness in HARNESSES:
            page = run("plan", harness, "--html")[0]
            plan = json.loads(run("plan", harness, "--json")[0])
            rows = dict(re.findall(r'(?s)<tr class="step" id="step-(\d+)"(.*?)</tr>', page))
            self.assertEqual(sorted(map(int, rows)), [step["step"] for step in plan["steps"]])
            letters = dict(re.findall(r'data-tag="(\w+)" data-at="([^"]+)"', page))
            for step in plan["steps"]:
                row = rows[str(step["step"])]
                if step["do"] in ("prepare", "lift", "refit"):
                    continue
                with self.subTest(harness.name, step=step["step"]):
                    places = re.findall(r'class="place"><b>(\w+)</b> ([^<]+)<', row)
                    self.assertEqual([html.unescape(point) for _, point in places], step["between"])
                    # The letter is in the picture, at that point.
                    for letter, point in places:
                        self.assertEqual(letters[letter], point)
                    if step["do"] == "read":
                        shows = step["shows"]
                        limits = ("OL", "OL") if shows == "OL" else (shows["low"], shows["high"])
                        self.assertEqual(re.findall(r'data-low="([^"]+)" data-high="([^"]+)"', row), [limits, limits])
                        self.assertEqual(row.count('<input type="text"'), 2)

    def test_no_form_of_page_but_these_two(self):
        self.assertNotIn("<tr class=\"step\"", run("plan", HARNESSES[0], "--html=long")[0])
        for wrong in ("--html=short", "--html=LONG"):
            out, err, code = run("plan", HARNESSES[0], wrong)
            self.assertEqual((out, code), ("", 2), wrong)

    def test_a_report_says_what_was_found_and_what_to_probe_again(self):
        page = run("diagnose", "harnesses/fernhollow-2.yaml", "harnesses/jobs/fernhollow-2-silent-front.yaml", "--html")[0]
        text = Reader(page).text()
        for said in ("Verdict: a fault", "The contact between selector.f and selector.out is open", "What was done",
                     "After the repair, probe again", "check sum 0cd291007ea5"):
            self.assertIn(said, text)
        again = page[page.index("After the repair"):]
        # Readings 2, 3, 4 and 7 were wrong.
        self.assertEqual(re.findall(r'id="step-(\d+)"', again), ["2", "3", "4", "7"])

    def test_the_page_of_an_instrument_says_what_was_found_what_was_done_and_whether_it_helped(self):
        page = run("diagnose", "harnesses/fernhollow-2.yaml", "harnesses/jobs/fernhollow-2-silent-front.yaml", "--html=page")[0]
        text = Reader(page).text()
        for said in ("Verdict: a fault", "34 of the 60 faults that the plan shows are ruled out", "Not looked for",
                     "The contact between selector.f and selector.out is open", "What was done", "Re-check", "Signature",
                     "check sum 0cd291007ea5", " other readings: all agree"):
            self.assertIn(said, text)
        # A blank for each of the readings 2, 3, 4 and 7, which were wrong, and the picture with the suspect ringed.
        self.assertEqual(re.findall(r"Reading (\d+) after the repair</span><input", page), ["2", "3", "4", "7"])
        self.assertEqual(page.count("<svg "), 1)
        record = """lugwise-readings: 1
unit: {serial: "FH-0031", date: 2026-11-28, by: "somebody", meter: "bench 3"}
temperature: 20
readings:
  - {note: "Job number: 77"}
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front}, reads: OL, range: 20k, aside: repair 1}
  - {between: [selector.f, selector.out], set: {selector: front}, reads: OL, range: 200, aside: repair 1}
  - {repaired: [selector.f], note: reflowed}
  - {note: "the strings were old"}
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front}, reads: 6.07k, range: 20k}
"""
        with tempfile.TemporaryDirectory() as folder:
            (Path(folder) / "record.yaml").write_text(record)
            page = run("diagnose", ROOT / "harnesses/fernhollow-2.yaml", Path(folder) / "record.yaml", "--html=page")[0]
        text = Reader(page).text()
        for said in ("FH-0031", "somebody", "bench 3", "77", "Repaired selector.f: reflowed", "Note: the strings were old",
                     "Found before the repair: the contact between selector.f and selector.out is open",
                     "Marked: what was found before the repair."):
            self.assertIn(said, text)
        # One that was wrong was taken again, one was not.
        again = page[page.index("<h2>Re-check"):]
        self.assertRegex(again, r"<td[^>]*>OL</td><td[^>]*>6\.07k</td>")
        self.assertIn("selector.f and selector.out", again[again.index("Still to be probed again"):])

    def test_a_hostile_name_stays_a_name_in_every_form(self):
        with tempfile.TemporaryDirectory() as folder:
            netlist = (ROOT / "harnesses/fernhollow-2.yaml").read_text()
            quoted = "'" + HOSTILE.replace("'", "''") + "'"
            netlist = re.sub(r"^name: .*$", lambda _: "name: " + quoted, netlist, flags=re.M)
            file = Path(folder) / "<i>&_*[x](y).yaml"
            file.write_text(netlist)
            job = (ROOT / "harnesses/jobs/fernhollow-2-silent-front.yaml").read_text()
            (Path(folder) / "job.yaml").write_text(job.replace("../fernhollow-2.yaml", '"<i>&_*[x](y).yaml"'))
            for words in (["plan"], ["diagnose", "job.yaml"]):
                command = [words[0], file.name, *words[1:]]
                for form in ("--html", "--html=page")[:1 if words[0] == "plan" else 2]:
                    reader = Reader(run(*command, form, cwd=folder)[0])
                    self.assertEqual(reader.problems, [])
                    self.assertIn(HOSTILE, reader.text())
                    self.assertIn(file.name, reader.text())
                markdown = run(*command, "--markdown", cwd=folder)[0]
                self.assertNotIn("<script>", markdown.replace("\\<", ""))
                heading = markdown.splitlines()[0]
                # Taking the escapes away again gives the name, and none of what means something stands without one.
                self.assertIn(HOSTILE, re.sub(r"\\(.)", r"\1", heading))
                self.assertEqual(re.findall(r"(?<!\\)(?:\\\\)*[*`\[\]<|~]", heading), [])
                self.assertIn(HOSTILE, run(*command, "--width", "1000", cwd=folder)[0])


if __name__ == "__main__":
    unittest.main()
