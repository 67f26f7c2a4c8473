"""Exercises as a student and an instructor meet them: nothing leaks, the same seed makes the same bytes, and marking works.

LUGWISE_EXERCISES=N makes so many of each level on each harness; a few on two harnesses else.
"""

import json
import os
import re
import subprocess
import tempfile
import unittest
from pathlib import Path

import yaml

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
OTHER = os.environ.get("LUGWISE_OTHER_PROGRAM")  # built by another compiler: must make the same bytes
COUNT = int(os.environ.get("LUGWISE_EXERCISES", "0"))
HARNESSES = sorted((ROOT / "harnesses").glob("*.yaml")) if COUNT else [ROOT / "harnesses/fernhollow-1.yaml"]
LEVELS = (1, 2, 3, 4)
SEED = 918273645546372819


def run(*words, cwd=None, program=PROGRAM, text=None):
    done = subprocess.run([program, *map(str, words)], cwd=cwd, capture_output=True, timeout=3600, input=text,
                          text=True)
    return done.stdout, done.stderr, done.returncode


def make(folder, harness, level, *more, count=COUNT or 2, program=PROGRAM, seed=SEED):
    return run("exercise", "make", harness, "--level", level, "--count", count, "--seed", seed, "-o", folder, *more,
               program=program)


def readings(file):
    return yaml.safe_load(file.read_text()).get("readings") or []


class Exercises(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.place = tempfile.TemporaryDirectory()
        cls.made = []
        for harness in HARNESSES:
            for level in LEVELS:
                folder = Path(cls.place.name) / f"{harness.stem}-{level}"
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
        for _, _, folder, key, answer in self.exercises():
            sheets = list(folder.rglob(key.stem + ".*"))
            self.assertEqual(sorted(s.suffix for s in sheets), [".html", ".md", ".yaml"])
            secrets = [str(SEED), f"{SEED:x}", f"{SEED:X}"]
            for one in answer["is"]:
                secrets += [one["say"], one["fault"]["id"]]
                secrets += [json.dumps(one["fault"]["points"])]
            for fault in answer["answer"]:
                secrets.append(fault["id"])
            for sheet in sheets:
                data = sheet.read_bytes()
                for secret in secrets:
                    for form in (secret, secret.encode().hex(), secret[::-1]):
                        self.assertNotIn(form.encode(), data, f"{sheet}: {secret}")

    def test_sheets_of_one_level_differ_only_in_complaint_readings_number_and_seal(self):
        for harness, level, folder in self.made:
            if level < 3:
                continue
            texts = set()
            for sheet in sorted(folder.glob("[0-9]*.yaml")):
                text = sheet.read_text()
                self.assertRegex(text, r'seal: "[0-9a-f]{114}"')
                text = re.sub(r'seal: "[0-9a-f]*"|number: "\d+"', "", text)
                texts.add(re.sub(r"heard:\n(  - .*\n)+", "", text))
            self.assertEqual(len(texts), 1, folder)
            # The pictures are those of the sound harness.
            pictures = {re.search(r"<svg.*?</svg>", page.read_text(), re.S).group() for page in folder.glob("*.html")}
            self.assertEqual(len(pictures), 1, folder)

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
        self.assertEqual(len(marks["Ada"]["taken"]), 2)
        self.assertIn("the same as probe 1", str(marks["Ada"]["taken"][1]["wasted"]))
        rule = folder / "rule.yaml"
        rule.write_text("lugwise-marks: 1\nplace: 100\nprobes: 0\nhands: 0\nwrong: 0\n")
        out, _, _ = run("exercise", "mark", log, "--key", f"{folder}-keys", "--rule", rule, "--json")
        self.assertEqual(json.loads(out)["marks"][0]["total"], 100)
        for made in (log, paper, rule):
            made.unlink()

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

    def test_the_final_question_has_the_structure_of_qti(self):
        """By structure: the schema is not part of Debian, and may not be copied here."""
        import xml.etree.ElementTree as Tree
        space = "{http://www.imsglobal.org/xsd/imsqti_v2p1}"
        for _, _, _, key, answer in self.exercises():
            root = Tree.parse(key.with_suffix(".xml")).getroot()
            self.assertEqual(root.tag, space + "assessmentItem")
            self.assertLessEqual({"identifier", "title", "adaptive", "timeDependent"}, set(root.attrib))
            self.assertEqual([child.tag.removeprefix(space) for child in root],
                             ["responseDeclaration", "outcomeDeclaration", "itemBody", "responseProcessing"])
            right = [v.text for v in root.find(f"{space}responseDeclaration/{space}correctResponse")]
            choice = root.find(f".//{space}choiceInteraction")
            self.assertEqual(choice[0].tag, space + "prompt")
            names = [c.attrib["identifier"] for c in choice if c.tag == space + "simpleChoice"]
            self.assertEqual(len(names), len(set(names)))
            self.assertLessEqual(set(right), set(names))
            self.assertEqual(len(right), len(answer["groups"]))
            self.assertEqual(choice.attrib["maxChoices"], str(len(right)))


if __name__ == "__main__":
    unittest.main()
