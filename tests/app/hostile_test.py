"""Names that would run as a script or forge a page: every HTML and SVG output as a browser shows it, and as an XML reader reads it."""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
sys.path.insert(0, str(ROOT / "tests/page"))
import browser  # noqa: E402

NAMES = ["<script>window.ran=1</script>", "\"><img src=x onerror=window.ran=1>", "' onload='window.ran=1' x='",
         "</title></style></svg><script>window.ran=1</script>", "]]><script>window.ran=1</script>", "--><svg onload=window.ran=1>",
         "&lt;script&gt;window.ran=1&lt;/script&gt;", "javascript:window.ran=1", "${window.ran=1}", "a\u202eb\u009b2Jc\u2028d\ufffe"]
PLAIN = "a plain name"
SCRIPTED = """[...document.querySelectorAll("*")].filter(each => [...each.attributes].some(one => one.name.startsWith("on")
    || /^\\s*javascript:/i.test(one.value) && one.name !== "title")).length"""


class Hostile(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        folder = tempfile.TemporaryDirectory()
        cls.addClassCleanup(folder.cleanup)
        cls.folder = Path(folder.name)
        cls.made = {number: cls.make(number, name) for number, name in enumerate([PLAIN, *NAMES])}

    @classmethod
    def make(cls, number, name):
        """The name wherever one may stand: in the netlist, the record, the files' names; every page that comes of it."""
        there = cls.folder / str(number)
        there.mkdir()
        quoted = json.dumps(name)

        def run(*words):
            done = subprocess.run([PROGRAM, *words], cwd=there, capture_output=True, timeout=120, stdin=subprocess.DEVNULL)
            return done.stdout

        harness = (name.replace("/", "_") if "\u009b" not in name else "n") + ".yaml"
        text = (ROOT / "harnesses/fernhollow-2.yaml").read_text()
        wire = quoted if not set(":>") & set(name) else json.dumps(name.replace(":", ";").replace(">", "<"))
        (there / harness).write_text(text.replace("name: Fernhollow 2", "name: " + quoted)
                                     .replace("name: string ground", "name: " + wire)
                                     .replace("colour: black", "colour: " + quoted))
        (there / "r.yaml").write_bytes(run("simulate", "./" + harness, "--seed", "3"))
        if not (there / "r.yaml").read_bytes():  # a name that is refused
            (there / harness).write_text(text)
            (there / "r.yaml").write_bytes(run("simulate", "./" + harness, "--seed", "3"))
        # Where a text is refused for what it holds, there is no page.
        said = json.dumps(PLAIN) if set("\u202e\u009b") & set(name) else quoted
        with open(there / "r.yaml", "a") as record:
            record.write(f"unit: {{serial: {said}, by: {said}, meter: {said}}}\n")
        (there / "lot.yaml").write_text("lugwise-pickups: 1\npickups:\n" + "".join(
            f"  P{n}: {{reads: {n}.00k, group: {said}}}\n" for n in (6, 7, 8)))
        h = "./" + harness
        pages = {"sheet.html": ["plan", h, "--html"], "long.html": ["plan", h, "--html=long"],
                 "report.html": ["diagnose", h, "r.yaml", "--html"], "page.html": ["diagnose", h, "r.yaml", "--html=page"],
                 "match.html": ["match", "lot.yaml", "--html"], "picture.svg": ["draw", h],
                 "probes.svg": ["draw", h, "--probes", "jack.plug-tip", "jack.plug-sleeve"],
                 "suspects.svg": ["draw", h, "--readings", "r.yaml"]}
        for page, words in pages.items():
            (there / page).write_bytes(run(*words))
        run("study", h, "--cases", "2", "--jobs", "1", "--plot", "plot.svg")
        run("batch", "new", h, "-o", "batch", "--by", name, "--instrument", name)
        run("batch", "take", "batch", "A1", "--readings", "r.yaml", "--by", name)
        (there / "batch.html").write_bytes(run("batch", "report", "batch", "--html"))
        run("exercise", "make", h, "--level", "1", "--count", "1", "-o", "class")
        for made in ("class/01.html", "class-keys/01.xml"):
            if (there / made).exists():
                shutil.copy(there / made, there / made.replace("/", "-"))
        return there

    def files(self, *ends):
        for number, name in enumerate([PLAIN, *NAMES]):
            for file in sorted(self.made[number].iterdir()):
                if file.name.endswith(ends):
                    yield name, file

    def test_every_picture_and_key_is_well_formed(self):
        read = 0
        for name, file in self.files(".svg", ".xml"):
            with self.subTest(name=name, file=file.name):
                self.assertGreater(file.stat().st_size, 100)
                if shutil.which("xmllint"):
                    done = subprocess.run(["xmllint", "--noout", "--nonet", file], capture_output=True, timeout=60)
                    self.assertEqual((done.stderr, done.returncode), (b"", 0))
                else:
                    import xml.etree.ElementTree
                    xml.etree.ElementTree.parse(file)
                read += 1
        self.assertGreaterEqual(read, 5 * len(NAMES))

    @unittest.skipUnless(browser.FOUND, "there is no Chromium")
    def test_no_page_runs_what_a_name_says_or_is_forged_by_it(self):
        try:
            window = browser.Browser()
        except (AssertionError, OSError) as error:
            raise unittest.SkipTest(f"Chromium does not run here: {error}") from error
        self.addCleanup(window.close)
        plain, shown = {}, 0
        for name, file in self.files(".html", ".svg"):
            with self.subTest(name=name, file=file.name):
                self.assertGreater(file.stat().st_size, 100)
                window.show(file)
                self.assertEqual(window.told, [])
                self.assertEqual(window.fetched, [file.resolve().as_uri()])
                self.assertIsNone(window.value("window.ran"))
                self.assertEqual(window.value(SCRIPTED), 0)
                forms = window.value("[...new Set([...document.querySelectorAll('*')].map(each => each.localName))]")
                counts = window.value("['script', 'style', 'title', 'img', 'iframe', 'form', 'meta', 'link', 'base']"
                                      ".map(each => document.querySelectorAll(each + ':not(svg *)').length)")
                if name == PLAIN:
                    plain[file.name] = counts, set(forms)
                    if file.name.endswith(".html"):
                        self.assertEqual(window.value("document.querySelectorAll('meta[http-equiv=Content-Security-Policy]').length"), 1)
                self.assertEqual(counts, plain[file.name][0])
                self.assertLessEqual(set(forms) - plain[file.name][1], {"circle", "rect", "line", "path", "tr", "td", "g", "tspan"})
                shown += 1
        self.assertGreaterEqual(shown, 10 * len(NAMES))


if __name__ == "__main__":
    unittest.main()
