"""The pages as a browser shows and prints them. Skipped where there is no Chromium: with what it needs, that is 360 MB."""

import json
import os
import re
import subprocess
import tempfile
import unittest
from pathlib import Path

import yaml

import browser

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
PAGES = {
    "sheet": ["plan", "harnesses/fernhollow-2.yaml", "--html"],
    # The worked harness with the longest names and the most steps.
    "wide-sheet": ["plan", "harnesses/fernhollow-5.yaml", "--html"],
    "long-sheet": ["plan", "harnesses/fernhollow-5.yaml", "--html=long"],
    "report": ["diagnose", "harnesses/fernhollow-2.yaml", "harnesses/jobs/fernhollow-2-silent-front.yaml", "--html"],
    "sound-report": ["diagnose", "harnesses/fernhollow-1.yaml", "harnesses/jobs/fernhollow-1-sound.yaml", "--html"],
}
JOBS = sorted((ROOT / "harnesses/jobs").glob("*.yaml"))
PAPERS = {"A4": (210 / 25.4, 297 / 25.4), "Letter": (8.5, 11)}

# What sticks out to the right of the page, but for what scrolls within itself or is for the ear only.
STICKS_OUT = """[...document.body.querySelectorAll("*")].filter(each => !each.closest("svg svg, svg *, pre, .hidden, thead")
    && each.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5).map(each => each.outerHTML.slice(0, 80))"""

# A link that takes no room at the head and at the foot of each step, at each line that leads to what stands under it, and
# at the head of that: in the PDF a link says on which page it lies.
MARK = """(() => {
    const mark = (each, name, end) => {
        const link = document.createElement("a");
        link.href = "https://example.org/" + name;
        link.textContent = ".";
        link.style.cssText = `position:absolute;left:0;${end}:0;width:4px;height:4px;font-size:4px;line-height:1;opacity:0.01`;
        each.style.position = "relative";
        each.append(link);
    };
    const pairs = [];
    const pair = (first, second, name) => {
        mark(first, name + "/first", "top");
        mark(second, name + "/second", first === second ? "bottom" : "top");
        pairs.push(name);
    };
    document.querySelectorAll("div.step").forEach((each, i) => pair(each, each, "step-" + i));
    document.querySelectorAll("tr.step").forEach((each, i) => pair(each.cells[1], each.cells[1], "step-" + i));
    document.querySelectorAll("h2, h2 + .soft:not(:last-child), .before, .setting, .cover").forEach((each, i) => {
        const next = each.nextElementSibling;
        const row = next.matches("tr") ? next : next.querySelector(":scope > tbody > tr");
        const cell = row && (row.cells[1] ?? row.cells[0]);
        pair(each.matches("tr") ? each.firstElementChild : each, cell ?? next, "lead-" + i);
    });
    return pairs;
})()"""


def links_by_page(pdf):
    """Of each page, what the links on it lead to. Chromium writes its objects in the clear."""
    objects = {int(number): body for number, body in re.findall(rb"(?s)(?:^|\n)(\d+) 0 obj\n(.*?)\nendobj", pdf)}
    pages = []

    def walk(number):
        body = objects[number]
        if b"/Type /Pages" in body:
            for kid in re.findall(rb"(\d+) 0 R", re.search(rb"(?s)/Kids \[(.*?)\]", body)[1]):
                walk(int(kid))
            return
        found = []
        annotations = re.search(rb"(?s)/Annots \[(.*?)\]", body)
        for each in re.findall(rb"(\d+) 0 R", annotations[1]) if annotations else []:
            link = objects[int(each)]
            if uri := re.search(rb"/URI \(https://example.org/(.*?)\)", link):
                found.append(uri[1].decode())
        pages.append(found)

    root = int(re.search(rb"/Root (\d+) 0 R", pdf)[1])
    walk(int(re.search(rb"/Pages (\d+) 0 R", objects[root])[1]))
    return pages


@unittest.skipUnless(browser.FOUND, "there is no Chromium here: apt-get install chromium")
class InABrowser(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.addClassCleanup(cls.folder.cleanup)
        try:
            cls.browser = browser.Browser()
        except (AssertionError, OSError) as error:  # as in a container that lets it make no sandbox
            raise unittest.SkipTest(f"Chromium does not run here: {error}") from error
        cls.addClassCleanup(cls.browser.close)
        cls.files = {}
        for name, words in PAGES.items():
            cls.files[name] = Path(cls.folder.name) / f"{name}.html"
            done = subprocess.run([PROGRAM, *words], cwd=ROOT, capture_output=True, timeout=120)
            cls.files[name].write_bytes(done.stdout)

    def test_a_page_fits_a_phone_a_tablet_and_a_desk_and_asks_for_nothing(self):
        for name, file in self.files.items():
            for width in (320, 360, 768, 1280):
                for dark in (False, True):
                    with self.subTest(page=name, width=width, dark=dark):
                        self.browser.show(file, width, dark=dark)
                        self.assertEqual(self.browser.told, [])
                        self.assertEqual(self.browser.fetched, [file.resolve().as_uri()])
                        self.assertEqual(self.browser.value("document.documentElement.scrollWidth"), width)
                        self.assertEqual(self.browser.value(STICKS_OUT), [])

    def test_what_is_too_wide_or_asks_for_something_is_noticed(self):
        bad = Path(self.folder.name) / "bad.html"
        bad.write_text('<!DOCTYPE html><meta name="viewport" content="width=device-width"><title>a</title>'
                       '<p style="width: 500px">a<img src="no-such.png">'
                       "<script>console.log('said'); nothing.here;</script>")
        self.browser.show(bad, 360)
        self.assertNotEqual(self.browser.value(STICKS_OUT), [])
        self.assertTrue(any("no-such.png" in url for url in self.browser.fetched))
        self.assertIn("said", self.browser.told)
        self.assertGreater(len(self.browser.told), 1)

    def test_a_dark_screen_gets_a_dark_page_and_paper_stays_white(self):
        ground = "getComputedStyle(document.body).backgroundColor"
        self.browser.show(self.files["sheet"])
        self.assertEqual(self.browser.value(ground), "rgb(255, 255, 255)")
        self.browser.show(self.files["sheet"], dark=True)
        self.assertEqual(self.browser.value(ground), "rgb(23, 23, 23)")
        self.browser.ask("Emulation.setEmulatedMedia", media="print",
                         features=[{"name": "prefers-color-scheme", "value": "dark"}])
        self.assertEqual(self.browser.value(ground), "rgb(255, 255, 255)")
        self.browser.ask("Emulation.setEmulatedMedia", media="")

    def test_every_field_is_reached_by_the_tab_key_in_the_order_of_the_page(self):
        self.browser.show(self.files["sheet"])
        count = self.browser.value("document.querySelectorAll('input, textarea, button').length")
        self.assertGreater(count, 10)
        for expected in range(count):
            for kind in ("keyDown", "keyUp"):
                self.browser.ask("Input.dispatchKeyEvent", type=kind, key="Tab", code="Tab", windowsVirtualKeyCode=9)
            at = self.browser.value(
                "[...document.querySelectorAll('input, textarea, button')].indexOf(document.activeElement)")
            self.assertEqual(at, expected)

    def pages_of_marks(self, paper):
        """The names of what was marked, how many pages there are, and on which each mark is."""
        names = self.browser.value(MARK)
        pages = links_by_page(self.browser.printed(*PAPERS[paper]))
        where = {to: page for page, links in enumerate(pages) for to in links}
        self.assertEqual(len(where), 2 * len(names))
        return names, len(pages), where

    def test_on_paper_no_step_is_split_and_no_heading_stands_alone(self):
        for page, file in self.files.items():
            for paper in PAPERS:
                with self.subTest(page=page, paper=paper):
                    self.browser.show(file)
                    names, pages, where = self.pages_of_marks(paper)
                    for name in names:
                        self.assertEqual(where[name + "/first"], where[name + "/second"], name)
                    # Two steps a page or more, a page each for what stands before and after.
                    self.assertLessEqual(pages, 3 + sum(name.startswith("step") for name in names) / 2)

    def test_a_plan_of_twenty_five_steps_takes_three_pages_at_most(self):
        file = Path(self.folder.name) / "harness.html"
        for number in range(1, 21):
            done = subprocess.run([PROGRAM, "plan", f"harnesses/fernhollow-{number}.yaml", "--html"], cwd=ROOT,
                                  capture_output=True, timeout=120)
            file.write_bytes(done.stdout)
            steps = done.stdout.count(b'<tr class="step"')
            self.browser.show(file)
            for paper in PAPERS:
                with self.subTest(number, paper=paper, steps=steps):
                    self.assertLessEqual(len(links_by_page(self.browser.printed(*PAPERS[paper]))), 3 if steps <= 25 else 5)

    def crowded_record(self):
        """As much as a record may hold of everything, in long words."""
        long = "</p><script>alert(1)</script> " + "words " * 120
        wrong = [f"  - {{between: [{a}, {b}], set: {{selector: {at}}}, reads: OL, range: 20k{aside}}}"
                 for aside in (", aside: repair 1", "") for at in ("front", "rear", "both")
                 for a, b in (("jack.plug-tip", "jack.plug-sleeve"), ("selector.f", "selector.out"),
                              ("front.hot", "front.ground"), ("volume.case", "hardware.bridge"), ("rear.hot", "rear.ground"))]
        repairs = [f"  - {{repaired: [selector.f, volume.case, jack.tip], note: {json.dumps(long)}}}"] * 10
        notes = [f"  - {{note: {json.dumps(label + long)}}}" for label in ("Instrument: ", "Job number: ", "Date: ", "") * 5]
        heard = ["  - {pickup: front, set: {selector: front, volume: 10, tone: 10}, is: buzzes-until-touched}"] * 10
        unit = {**{key: long for key in ("serial", "by", "meter")}, "date": "2026-11-28", "calibration-due": "2027-01-01"}
        return "\n".join(["lugwise-readings: 1", "unit: " + json.dumps(unit), "temperature: 20", "readings:", *notes, *wrong[:15],
                          *repairs, *wrong[15:], "heard:", *heard, ""])

    def test_the_page_of_an_instrument_is_one_page(self):
        folder = Path(self.folder.name)
        netlist = (ROOT / "harnesses/fernhollow-2.yaml").read_text()
        (folder / "long.yaml").write_text(re.sub(r"^name: .*$", "name: " + "Fernhollow <b>2</b> " * 40, netlist, flags=re.M))
        (folder / "crowded.yaml").write_text(self.crowded_record())
        jobs = [(ROOT / "harnesses" / (re.match(r"fernhollow-\d+", job.name).group() + ".yaml"), [job]) for job in JOBS]
        jobs += [(folder / "long.yaml", [folder / "crowded.yaml"]), (ROOT / "harnesses/fernhollow-6.yaml", []),
                 (ROOT / "harnesses/fernhollow-2.yaml", ["--heard", "shock"])]
        for number in (5, 12):
            slips = folder / f"slips-{number}.readings.yaml"
            subprocess.run([PROGRAM, "simulate", f"harnesses/fernhollow-{number}.yaml", "--seed", "3", "--slips", "30%", "-o", slips],
                           cwd=ROOT, check=True)
            jobs.append((ROOT / f"harnesses/fernhollow-{number}.yaml", [slips]))
        file = folder / "instrument.html"
        for harness, words in jobs:
            done = subprocess.run([PROGRAM, "diagnose", harness, *words, "--html=page"], cwd=ROOT, capture_output=True, timeout=120)
            file.write_bytes(done.stdout)
            self.assertIn(b"<svg", done.stdout, done.stderr)
            self.browser.show(file)
            self.assertEqual(self.browser.told, [])
            self.assertEqual(self.browser.value(STICKS_OUT), [])
            for paper in PAPERS:
                with self.subTest(harness.name, words=words, paper=paper):
                    self.assertEqual(len(links_by_page(self.browser.printed(*PAPERS[paper]))), 1)

    # What the page does with what is typed; the file it would save, in place of saving it.
    TYPE = """(async () => {
        let saved = null;
        URL.createObjectURL = blob => { saved = blob.text(); return "blob:a"; };
        HTMLAnchorElement.prototype.click = function() { this.dataset.clicked = this.download; };
        for (const [id, texts, box] of %s) {
            const row = document.getElementById("step-" + id);
            const into = [...row.querySelectorAll("input[type=text]")];
            texts.forEach((text, i) => { into[i].value = text; into[i].dispatchEvent(new Event("input", {bubbles: true})); });
            const tick = [...row.querySelectorAll("input[type=checkbox]")].find(each => each.dataset.says === box);
            if (tick) tick.click();
        }
        document.querySelector(".job input").value = 'FH-7 "left": \\\\ {x}';
        document.getElementById("save").click();
        return {words: [...document.querySelectorAll("tr.step")].map(row => row.querySelector(".judged")?.textContent ?? null),
                kept: document.getElementById("kept").textContent, file: await saved};
    })()"""

    def ask_page(self, expression):
        answer = self.browser.ask("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        self.assertNotIn("exceptionDetails", answer)
        return answer["result"].get("value")

    def test_what_is_typed_is_judged_saved_diagnosed_and_taken_back(self):
        plan = json.loads(subprocess.run([PROGRAM, "plan", "harnesses/fernhollow-2.yaml", "--json"], cwd=ROOT,
                                         capture_output=True).stdout)
        reads = [step for step in plan["steps"] if step["do"] == "read"]
        typed, expected = [["1", ["0.3"], None]], {}
        for i, step in enumerate(reads):
            shows = step["shows"]
            right = "OL" if shows == "OL" else shows["nominal"]
            typed.append([str(step["step"]), ["1" + right if i == 0 and right != "OL" else right], None])
            expected[step["step"]] = "wrong" if i == 0 else "agrees"
        # One that was mistyped, and taken again.
        typed[2][1] = ["OL" if typed[2][1] != ["OL"] else "0.5", typed[2][1][0]]
        watched = [step for step in plan["steps"] if step["do"] == "wiggle"]
        typed.append([str(watched[0]["step"]), [], "unstable"])
        expected[watched[0]["step"]] = "wrong"
        self.browser.show(self.files["sheet"])
        done = self.ask_page(self.TYPE % json.dumps(typed))
        for step, word in zip(plan["steps"], done["words"]):
            self.assertEqual(word or "", expected.get(step["step"], ""), step["step"])
        self.assertEqual(done["kept"], "Saved as fernhollow-2-readings.yaml.")
        saved = yaml.load(done["file"], yaml.BaseLoader)
        entries = saved["readings"]
        self.assertEqual(entries[0], {"note": 'Instrument: FH-7 "left": \\ {x}'})
        self.assertEqual(sum(entry.get("aside") == "taken again" for entry in entries), 1)
        file = Path(self.folder.name) / "fernhollow-2-readings.yaml"
        file.write_text(done["file"])
        found = subprocess.run([PROGRAM, "diagnose", "harnesses/fernhollow-2.yaml", file, "--json"], cwd=ROOT, capture_output=True)
        answer = json.loads(found.stdout)
        self.assertEqual(found.returncode, 1, found.stdout)
        # The program judges each as the page did.
        judged = {each["step"]: each["agrees"] for each in answer["readings"]}
        for step, word in expected.items():
            self.assertEqual(judged[step], word == "agrees", step)
        # Taken back into an empty page it is there again, word for word.
        again = """(async () => {
            const text = %s, pass = new DataTransfer();
            pass.items.add(new File([text], "mine.yaml"));
            const into = document.getElementById("open");
            into.files = pass.files;
            into.dispatchEvent(new Event("change"));
            for (let i = 0; i < 100 && !document.getElementById("kept").textContent; ++i)
                await new Promise(done => setTimeout(done, 20));
            return document.getElementById("kept").textContent;
        })()"""
        self.browser.show(self.files["sheet"])
        self.assertRegex(self.ask_page(again % json.dumps(done["file"])), r"^\d+ entries taken from mine.yaml\.$")
        self.assertEqual(self.ask_page(self.TYPE.replace("document.querySelector(\".job input\").value", "let unused")
                                       % "[]"), done)
        other = done["file"].replace(plan["id"], "abcdef")
        self.browser.show(self.files["sheet"])
        self.assertIn("is not of this plan", self.ask_page(again % json.dumps(other)))

    def test_without_its_script_the_sheet_is_the_same_sheet(self):
        bare = Path(self.folder.name) / "bare.html"
        bare.write_text(re.sub(r"(?s)<script>.*?</script>", "", self.files["sheet"].read_text()))
        self.browser.show(bare)
        self.assertFalse(self.browser.value("document.getElementById('save').checkVisibility()"))
        self.assertEqual(self.browser.value(STICKS_OUT), [])

    def test_a_split_step_and_a_lone_heading_are_noticed(self):
        bad = Path(self.folder.name) / "split.html"
        bad.write_text('<!DOCTYPE html><title>a</title><div class="step" style="height: 1500px">a</div>'
                       '<h2 style="break-after: page">b</h2><p>c</p>')
        self.browser.show(bad)
        names, pages, where = self.pages_of_marks("A4")
        self.assertEqual((len(names), pages), (2, 3))
        for name in names:
            self.assertLess(where[name + "/first"], where[name + "/second"], name)


if __name__ == "__main__":
    unittest.main(verbosity=2)  # says why it is skipped
