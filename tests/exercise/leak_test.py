"""Exercises as a student and an instructor meet them: nothing leaks, the same seed makes the same bytes, and marking works.

LUGWISE_EXERCISES=N makes so many of each level on each harness; a few on one harness else. LUGWISE_EXERCISES_IN=FOLDER keeps
them there, and takes those that are there already.
"""

import base64
import json
import os
import re
import subprocess
import tempfile
import unittest
import xml.etree.ElementTree as Tree
from pathlib import Path

import yaml

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
OTHER = os.environ.get("LUGWISE_OTHER_PROGRAM")  # built by another compiler: must make the same bytes
COUNT = int(os.environ.get("LUGWISE_EXERCISES", "0"))
HARNESSES = sorted((ROOT / "harnesses").glob("*.yaml")) if COUNT else [ROOT / "harnesses/fernhollow-1.yaml"]
LEVELS = (1, 2, 3, 4)
SEED = 918273645546372819
KEPT = os.environ.get("LUGWISE_EXERCISES_IN")
QTI = "{http://www.imsglobal.org/xsd/imsqti_v2p1}"


def run(*words, cwd=None, program=PROGRAM, text=None):
    done = subprocess.run([program, *map(str, words)], cwd=cwd, capture_output=True, timeout=3600, input=text,
                          text=True)
    return done.stdout, done.stderr, done.returncode


def make(folder, harness, level, *more, count=COUNT or 2, program=PROGRAM, seed=SEED):
    return run("exercise", "make", harness, "--level", level, "--count", count, "--seed", seed, "-o", folder, *more,
               program=program)


def readings(file):
    return yaml.safe_load(file.read_text()).get("readings") or []


def forms(secret):
    """A text as it stands, backwards, and in what texts are wrapped in: hexadecimal digits, and base64 at each of the three
    places where it may begin, without what depends on its neighbours."""
    data = secret.encode()
    wrapped = []
    for before in range(3):
        whole = base64.b64encode(b"\0" * before + data).decode().rstrip("=")
        inner = whole[(before * 8 + 5) // 6:len(whole) - (1 if (before + len(data)) % 3 else 0)]
        wrapped += [inner, inner.replace("+", "-").replace("/", "_")]
    return {secret, secret[::-1], data.hex(), data.hex().upper(), *wrapped}


class Exercises(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.place = tempfile.TemporaryDirectory()
        home = Path(KEPT or cls.place.name)
        cls.made = []
        for harness in HARNESSES:
            for level in LEVELS:
                folder = home / f"{harness.stem}-{level}"
                if Path(f"{folder}-keys").exists():
                    cls.made.append((harness, level, folder))
                    continue
                out, err, code = make(folder, harness, level)
                if code == 3 and "U342" in err and COUNT:
                    print(f"{harness.name}: level {level} can't be made")
                    continue
                if code != 0:
                    raise AssertionError(f"{harness} {level}: {out}{err}")
                cls.made.append((harness, level, folder))

    @classmethod
    def tearDownClass(cls):
        cls.place.cleanup()

    def exercises(self):
        for harness, level, folder in self.made:
            for key in sorted(Path(f"{folder}-keys").glob("[0-9]*.yaml")):
                yield harness, level, folder, key, yaml.safe_load(key.read_text())

    def test_no_byte_of_a_sheet_tells_the_answer_nor_the_seed(self):
        searched = 0
        for _, _, folder, key, answer in self.exercises():
            sheets = list(folder.rglob(key.stem + ".*"))
            self.assertEqual(sorted(s.suffix for s in sheets), [".html", ".md", ".yaml"])
            secrets = {str(SEED), f"{SEED:x}"}
            for fault in answer["answer"] + [one["fault"] for one in answer["is"]]:
                secrets |= {fault["id"], json.dumps(fault["points"]), f"{fault['mode']} {fault['element']}",
                            f"{fault['element']} {fault['mode']}"}
            for one in answer["is"]:
                secrets |= {one["say"], one["say"].split(",")[0]}
                if one["size"] and not float(one["size"]).is_integer():
                    secrets.add(str(one["size"]))  # drawn, of many digits
            for sheet in sheets:
                data = sheet.read_text()
                # The netlist's own file stands beside, and a picture has every point: a name alone tells nothing.
                for secret in secrets:
                    for form in forms(secret):
                        self.assertNotIn(form, data, f"{sheet}: {secret}")
                searched += len(data)
        print(f"{searched} bytes of sheets hold no answer")
        self.assertGreater(searched, 0)

    def test_without_a_seed_nobody_can_make_the_key_again(self):
        with tempfile.TemporaryDirectory() as place:
            seals = set()
            for name in ("one", "two"):
                out, err, code = run("exercise", "make", HARNESSES[0], "--level", 1, "--count", 1, "-o", Path(place) / name)
                self.assertEqual((err, code), ("", 0))
                seals.add(yaml.safe_load((Path(place) / name / "01.yaml").read_text())["exercise"]["seal"])
            self.assertEqual(len(seals), 2)

    def test_the_search_finds_what_is_hidden(self):
        for text in ("the track of tone is worn, by 3.1 kΩ", "3pxlq7a"):
            for before in range(3):
                hidden = base64.b64encode(b"x" * before + text.encode() + b"more").decode()
                self.assertTrue(any(form in hidden for form in forms(text)), (text, before))
            self.assertTrue(any(form in f"ab{text.encode().hex()}cd" for form in forms(text)))

    def test_sheets_of_one_level_differ_only_in_complaint_readings_number_and_seal(self):
        for harness, level, folder in self.made:
            texts, pages = set(), set()
            for sheet in sorted(folder.glob("[0-9]*.yaml")):
                text = sheet.read_text()
                self.assertRegex(text, r'seal: "[0-9a-f]{114}"')
                text = re.sub(r'seal: "[0-9a-f]*"|number: "\d+"', "", text)
                text = re.sub(r"heard:\n(  - .*\n)+", "", text)
                texts.add(re.sub(r"reads: [^,}]*|ends: \[[^]]*\]|, range: \w+", "", text))
            self.assertEqual(len(texts), 1, folder)
            for page in sorted(folder.glob("[0-9]*.html")):
                text = page.read_text().replace(f"xercise {page.stem}", "").replace(f"{page.stem}.yaml", "")
                text = re.sub(r"(complaint</\w+>).*?(<\w+>meter)", r"\1\2", text, flags=re.S)
                pages.add(re.sub(r"<section[^>]*>\s*<h2[^>]*>Readings<.*?</section>", "", text, flags=re.S))
            self.assertEqual(len(pages), 1, folder)

    def test_the_paper_sheet_shows_all_that_the_file_has_of_a_reading(self):
        ends = 0
        for _, level, folder in self.made:
            if level > 2:
                continue
            for sheet in sorted(folder.glob("[0-9]*.md")):
                rows = re.findall(r"^\| \d+ \| ([^|]*) \|", sheet.read_text(), re.M)
                given = readings(sheet.with_suffix(".yaml"))
                self.assertEqual(len(rows), len(given), sheet)
                for row, reading in zip(rows, given):
                    self.assertTrue(row.startswith(str(reading["reads"])), (row, reading))
                    for end in reading.get("ends", []):
                        self.assertIn(str(end).split(" on ")[0], row)
                        ends += 1
        self.assertGreater(ends, 1)

    def test_all_files_of_a_sheet_are_as_old_as_each_other(self):
        for _, _, folder in self.made:
            times = [page.stat().st_mtime for page in sorted(folder.glob("[0-9]*"))]
            self.assertLess(max(times) - min(times), 600)

    def test_the_same_seed_makes_the_same_bytes_and_another_other_ones(self):
        for harness, level, folder in self.made[:8] if not OTHER else self.made:
            with tempfile.TemporaryDirectory() as again:
                folders = [Path(again) / "one", Path(again) / "two"]
                make(folders[0], harness, level, program=OTHER or PROGRAM)
                for ending in ("", "-keys"):
                    for file in Path(f"{folder}{ending}").rglob("*"):
                        if file.is_file():
                            other = Path(f"{folders[0]}{ending}") / file.relative_to(f"{folder}{ending}")
                            self.assertEqual(file.read_bytes(), other.read_bytes(), file)
                if OTHER:
                    continue
                make(folders[1], harness, level, seed=1)
                self.assertNotEqual((folder / "01.yaml").read_bytes(), (folders[1] / "01.yaml").read_bytes())

    def test_the_key_agrees_with_what_diagnose_says_of_the_readings_on_the_sheet(self):
        seen = 0
        for harness, level, folder, key, answer in self.exercises():
            if level > 2:
                continue
            out, err, code = run("diagnose", harness, folder / f"{key.stem}.yaml", "--json")
            self.assertEqual((code, err), (1, ""))
            found = json.loads(out)
            self.assertEqual(found["verdict"], "fault", key)
            first = sorted({s["fault"]["id"] for s in found["suspects"] if s["group"] == 1})
            self.assertEqual(first, sorted(f["id"] for f in answer["answer"]), key)
            self.assertIn(answer["is"][0]["fault"]["id"], first)
            seen += 1
        self.assertGreater(seen, 1)

    def test_a_student_works_answers_and_is_marked(self):
        harness, level, folder = next(one for one in self.made if one[1] == 3)
        key = yaml.safe_load((Path(f"{folder}-keys") / "01.yaml").read_text())
        probes = [re.sub(r" with | and ", " ", step["probe"].split(",")[0]) for step in key["path"]]
        lines = ["help", "jack.plug-tip jack.plug-sleeve", "nonsense", "list",
                 f"is {key['answer'][0]['id']}", "stop"]
        self.assertTrue(probes)
        out, err, code = run("exercise", "work", folder / "01.yaml", "--by", "Ada", text="\n".join(lines) + "\n")
        self.assertEqual((code, err), (0, ""))
        self.assertIn("display", out)
        log = folder / "01-Ada.yaml"
        self.assertIn("claims:", log.read_text())
        # What is interrupted goes on.
        out, err, code = run("exercise", "work", folder / "01.yaml", "--by", "Ada",
                             text="jack.plug-tip jack.plug-sleeve\nlist\n")
        self.assertEqual((code, err), (0, ""))
        self.assertEqual(log.read_text().count("between:"), 2)
        self.assertIn("Going on with", out)
        # Two names may be one in a file's: nobody goes on with another's log.
        answer = run("exercise", "work", folder / "01.yaml", "--by", "Ada/B", text="jack.plug-tip jack.plug-sleeve\n")
        self.assertEqual(answer[2], 0)
        other = folder / "01-Ada-B.yaml"
        kept = other.read_text()
        out, err, code = run("exercise", "work", folder / "01.yaml", "--by", "Ada B", text="is the moon\n")
        self.assertEqual(code, 3)
        self.assertIn("is the log of Ada/B (U341)", err)
        self.assertEqual(other.read_text(), kept)
        other.unlink()
        # What a sheet of cells would take for a formula it doesn't, in quotes or not.
        formula = folder / "formula.yaml"
        formula.write_text(f"lugwise-readings: 1\nharness: netlist/{harness.name}\n"
                           "exercise: {number: 1, by: '=1+1,2'}\nclaims: ['@SUM(1)']\n")
        out, err, code = run("exercise", "mark", formula, "--key", f"{folder}-keys", "--csv")
        self.assertEqual((err, code), ("", 0))
        self.assertTrue(out.splitlines()[1].startswith("\"'=1+1,2\",01,"), out)
        self.assertTrue(out.splitlines()[1].endswith(",'@SUM(1)"), out)
        formula.unlink()
        # And no two at once write one log; nor does what a killed one left empty stand in the way.
        first = subprocess.Popen([PROGRAM, "exercise", "work", folder / "01.yaml", "--by", "Eve", "--json"], text=True,
                                 stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        first.stdin.write("jack.plug-tip jack.plug-sleeve\n")
        first.stdin.flush()
        self.assertEqual([json.loads(first.stdout.readline())["reply"] for _ in range(2)], ["opened", "read"])
        out, err, code = run("exercise", "work", folder / "01.yaml", "--by", "Eve", text="jack.tip jack.sleeve\n")
        self.assertEqual(code, 3)
        self.assertIn("(U332)", err)
        first.kill()
        first.communicate()
        eve = folder / "01-Eve.yaml"
        self.assertEqual(eve.read_text().count("between:"), 1)
        eve.write_text("")
        answer = run("exercise", "work", folder / "01.yaml", "--by", "Eve", text="jack.tip jack.sleeve\n")
        self.assertEqual(answer[1:], ("", 0))
        self.assertEqual(eve.read_text().count("between:"), 1)
        eve.unlink()
        # A name of any length has a log.
        long = "é" * 300
        answer = run("exercise", "work", folder / "01.yaml", "--by", long, text="jack.plug-tip jack.plug-sleeve\n")
        self.assertEqual(answer[1:], ("", 0))
        log_of_long = folder / f"01-{'é' * 40}.yaml"
        self.assertIn(long, log_of_long.read_text())
        log_of_long.unlink()
        paper = folder / "paper.yaml"
        paper.write_text(f"lugwise-readings: 1\nharness: netlist/{harness.name}\n"
                         "exercise: {number: 1, by: Bo}\nclaims: [the moon is open]\n")
        for form in ([], ["--html"], ["--markdown"], ["--csv"], ["--json"]):
            out, err, code = run("exercise", "mark", log, paper, "--key", f"{folder}-keys", *form)
            self.assertEqual((code, err), (0, ""), form)
            self.assertIn("Ada", out)
            self.assertIn("Bo", out)
        marks = {m["by"]: m for m in json.loads(out)["marks"]}
        self.assertEqual(marks["Ada"]["place"], 60)
        self.assertEqual(marks["Ada"]["wrong"], 0)
        self.assertEqual(marks["Bo"]["place"], 0)
        self.assertEqual(marks["Bo"]["wrong"], 5)
        # Whoever wrote nothing has nought, and is in the class.
        blank = folder / "blank.yaml"
        blank.write_text(f"lugwise-readings: 1\nharness: netlist/{harness.name}\nexercise: {{number: 1, by: Cy}}\n")
        out, err, code = run("exercise", "mark", blank, "--key", f"{folder}-keys", "--json")
        self.assertEqual((code, err), (0, ""))
        self.assertEqual(json.loads(out)["marks"][0]["total"], 0)
        # `claims:` with nothing behind it is as blank.
        blank.write_text(blank.read_text() + "claims:\n")
        self.assertEqual(run("exercise", "mark", blank, "--key", f"{folder}-keys", "--json"), (out, err, code))
        blank.unlink()
        # Whoever marks is told of an answer that names no fault: it may be a right one badly copied.
        self.assertEqual([one["claim"] for one in marks["Bo"]["unknown"]], ["the moon is open"])
        self.assertEqual(marks["Ada"]["unknown"], [])
        out = run("exercise", "mark", log, paper, "--key", f"{folder}-keys")[0]
        self.assertRegex(out, r"the moon is open:\s+names no fault")
        self.assertEqual(len(marks["Ada"]["taken"]), 2)
        self.assertIn("the same as probe 1", str(marks["Ada"]["taken"][1]["wasted"]))
        # In whatever order the files come, the class stands by its names, and a row begins with one.
        out, _, _ = run("exercise", "mark", paper, log, "--key", f"{folder}-keys")
        rows = out[out.index("student"):].splitlines()
        self.assertEqual([row.split()[0] for row in rows[:3]], ["student", "Ada", "Bo"])
        rule = folder / "rule.yaml"
        rule.write_text("lugwise-marks: 1\nplace: 100\nprobes: 0\nhands: 0\nwrong: 0\n")
        out, _, _ = run("exercise", "mark", log, "--key", f"{folder}-keys", "--rule", rule, "--json")
        self.assertEqual(json.loads(out)["marks"][0]["total"], 100)
        for made in (log, paper, rule):
            made.unlink()

    def test_work_answers_a_program_in_json_line_by_line(self):
        harness, _, folder = next(one for one in self.made if one[1] == 1)
        log = folder / "program.yaml"
        typed = ["", "help", "list", "set volume=0", "range 2M", "range auto", "jack.plug-tip jack.plug-sleeve volume=10",
                 "sweep volume volume.2 volume.1", "wiggle volume.case volume.case jack.sleeve", "nonsense",
                 "faults volume", "is the track of volume is open", "is the moon", "list", "stop"]
        out, err, code = run("exercise", "work", folder / "01.yaml", "-o", log, "--json", text="\n".join(typed) + "\n")
        self.assertEqual((code, err), (0, ""))
        answers = [json.loads(line) for line in out.splitlines()]
        self.assertEqual([each["reply"] for each in answers],
                         ["opened", "nothing", "help", "list", "set", "range", "range", "read", "read", "read", "refused",
                          "faults", "named", "refused", "list", "stopped"])
        for each in answers:
            self.assertEqual((each["lugwise"], each["output"], each["log"]), (1, "exercise", str(log)))
            self.assertEqual(each["exercise"]["number"], "01")
            self.assertEqual(each["harness"]["name"], "Fernhollow 1")
            self.assertEqual(each["problem"] is None, each["reply"] != "refused")
        self.assertEqual(len(answers[0]["given"]), len(readings(folder / "01.yaml")))
        self.assertEqual((answers[0]["readings"], answers[0]["named"]), ([], []))
        self.assertEqual(answers[4]["set"]["volume"], 0)
        self.assertEqual((answers[5]["range"], answers[6]["range"]), ("2M", None))
        self.assertEqual(answers[7]["reading"]["between"], ["jack.plug-tip", "jack.plug-sleeve"])
        self.assertEqual([answers[i]["reading"]["do"] for i in (7, 8, 9)], ["read", "sweep", "wiggle"])
        self.assertTrue(all("volume" in each["say"] for each in answers[11]["faults"]))
        self.assertEqual(answers[12]["named"][0]["say"], "the track of volume is open")
        self.assertEqual(len(answers[14]["readings"]), 3)
        self.assertEqual([each["say"] for each in answers[14]["named"]], ["the track of volume is open"])
        # Begun again it tells what was done before.
        out, _, _ = run("exercise", "work", folder / "01.yaml", "-o", log, "--json", text="")
        self.assertEqual(len(json.loads(out)["readings"]), 3)
        log.unlink()

    def test_a_log_that_is_named_is_gone_on_with_and_nothing_else_is_written_over(self):
        _, _, folder = self.made[0]
        exercise, log = folder / "01.yaml", folder / "mine.yaml"
        for times in (1, 2):
            out, err, code = run("exercise", "work", exercise, "-o", log,
                                 text="jack.plug-tip jack.plug-sleeve\nstop\n")
            self.assertEqual((code, err), (0, ""))
            self.assertEqual(len(readings(log)), len(readings(exercise)) + times)
        log.unlink()
        for other in (exercise, folder / "02.yaml", folder / "netlist" / self.made[0][0].name):
            before = other.read_text()
            out, err, code = run("exercise", "work", exercise, "-o", other,
                                 text="jack.plug-tip jack.plug-sleeve\nstop\n")
            self.assertIn(code, (2, 3), err)
            self.assertEqual(other.read_text(), before)

    def test_bad_files_are_refused(self):
        _, _, folder = self.made[0]
        with tempfile.TemporaryDirectory() as place:
            broken = Path(place) / "01.yaml"
            text = (folder / "01.yaml").read_text()
            netlist = re.search(r"harness: (\S+)", text).group(1)
            text = text.replace(netlist, str(folder / netlist))
            broken.write_text(re.sub(r'seal: "..', 'seal: "zz', text))
            self.assertEqual(run("exercise", "work", broken)[2], 3)
            broken.write_text(re.sub(r"  seal: .*\n", "", text))
            self.assertEqual(run("exercise", "work", broken)[2], 3)
            broken.write_text("lugwise-readings: 1\nreadings: []\n")
            self.assertEqual(run("exercise", "work", broken)[2], 3)
            self.assertEqual(run("exercise", "mark", broken, "--key", place)[2], 3)
            _, err, code = make(Path(place) / "x", ROOT / "harnesses/fernhollow-1.yaml", 1, "--fault", "the moon is open")
            self.assertEqual(code, 3)
            self.assertIn("U316", err)
            self.assertFalse((Path(place) / "x").exists())

    def test_the_final_question_is_an_item_of_qti(self):
        """By a schema of the parts used, in our own words (qti.xsd), and by what no schema says."""
        items = [key.with_suffix(".xml") for _, _, _, key, _ in self.exercises()]
        self.assertGreater(len(items), 3)
        for at in range(0, len(items), 500):
            done = subprocess.run(["xmllint", "--noout", "--nonet", "--schema", Path(__file__).with_name("qti.xsd"),
                                   *items[at:at + 500]], capture_output=True, text=True)
            self.assertEqual(done.returncode, 0, done.stderr[:2000])
        for _, _, _, key, answer in self.exercises():
            item = Tree.parse(key.with_suffix(".xml")).getroot()
            declared = item.find(f"{QTI}responseDeclaration")
            choice = item.find(f".//{QTI}choiceInteraction")
            self.assertEqual(choice.get("responseIdentifier"), declared.get("identifier"))
            self.assertEqual(declared.get("baseType"), "identifier")
            right = [value.text for value in declared.find(f"{QTI}correctResponse")]
            names = [each.get("identifier") for each in choice.findall(f"{QTI}simpleChoice")]
            self.assertLessEqual(set(right), set(names))
            self.assertEqual(len(set(right)), len(answer["groups"]))
            self.assertEqual(declared.get("cardinality"), "single" if len(right) == 1 else "multiple")
            self.assertEqual(choice.get("maxChoices"), str(len(right)))
            # match_correct, the template it names, sets SCORE, a single float.
            scored = item.find(f"{QTI}outcomeDeclaration")
            self.assertEqual([scored.get(name) for name in ("identifier", "cardinality", "baseType")],
                             ["SCORE", "single", "float"])
            texts = [each.text for each in choice.findall(f"{QTI}simpleChoice")]
            self.assertEqual(len(set(texts)), len(texts))
            # A chain of alternatives would be the longest choice, and give it away.
            self.assertEqual([text for text in texts if ", or " in text], [])
            for one in answer["is"]:
                said = [name for name, text in zip(names, texts) if one["say"].split(",")[0] in text]
                self.assertTrue(set(said) & set(right) or one["comes_and_goes"], key)

    def test_an_item_that_breaks_the_rules_is_refused(self):
        _, _, _, key, _ = next(self.exercises())
        text = key.with_suffix(".xml").read_text()
        breaks = [('shuffle="false" ', ""), ("<prompt>", "<p>x</p><prompt>"), ("choice-2", "choice-1"), ("choice-1", "1"),
                  ('cardinality="single"', 'cardinality="one"'), ("<itemBody>", '<itemBody wide="yes">'),
                  ('timeDependent="false"', ""), ("responseProcessing", "responseProcess"), ("imsqti_v2p1", "imsqti_v3")]
        with tempfile.TemporaryDirectory() as place:
            for old, new in breaks:
                broken = Path(place) / "01.xml"
                self.assertIn(old, text)
                broken.write_text(text.replace(old, new))
                done = subprocess.run(["xmllint", "--noout", "--nonet", "--schema", Path(__file__).with_name("qti.xsd"),
                                       broken], capture_output=True, text=True)
                self.assertNotEqual(done.returncode, 0, old)


if __name__ == "__main__":
    unittest.main()
