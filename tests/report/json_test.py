"""Every JSON output has the shape docs/commands.md gives it, for every worked harness and every worked job."""

import json
import math
import os
import re
import subprocess
import tempfile
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
METER_WITH_CAPACITANCE = "counts: 2000\nleads: 0.3\ncapacitance: [2n, 20n, 200n]\n"
HARNESSES = sorted((ROOT / "harnesses").glob("*.yaml")) + sorted((ROOT / "harnesses/parts").glob("*.yaml"))
ENDS = {"pot": ["volume.1", "volume.3"], "pickup": ["twin.tan", "twin.grey"], "resistor": ["bleed.1", "bleed.2"],
        "capacitor": ["cap.1", "cap.2"]}
JOBS = sorted((ROOT / "harnesses/jobs").glob("*.yaml"))

MODES = {"open", "high", "short", "value", "misplaced"}
ELEMENTS = {"joint", "blob", "wire", "contact", "coil", "track", "wiper", "resistor", "capacitor", "lugs", "braid",
            "nearby"}
COLOURS = {"black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white", "gold", "silver",
           "pink"}
SERIES = ["E3", "E6", "E12", "E24", "E48", "E96", "E192"]
HEADING = ["lugwise", "output", "program", "harness", "meter", "temperature", "warnings"]
ACTIONS = {"read", "sweep", "wiggle", "lift", "refit", "prepare"}


def strict(text):
    """Reads JSON that has no NaN and no Infinity in it, and no key twice."""
    def number(name):
        raise ValueError(f"{name} is no JSON number")

    def pairs(items):
        keys = [key for key, _ in items]
        if len(keys) != len(set(keys)):
            raise ValueError(f"a key is there twice: {keys}")
        return dict(items)
    return json.loads(text, parse_constant=number, object_pairs_hook=pairs)


def answer(*words):
    done = subprocess.run([PROGRAM, *map(str, words), "--json"], capture_output=True, text=True, timeout=120)
    return strict(done.stdout), done.returncode, done.stderr


def harness_of(job):
    return ROOT / "harnesses" / re.search(r"^harness: \.\./(\S+)", job.read_text(), re.M).group(1)


class Shape(unittest.TestCase):
    def number(self, value):
        self.assertIsInstance(value, (int, float))
        self.assertNotIsInstance(value, bool)
        self.assertTrue(math.isfinite(value))

    def heading(self, out, command):
        self.assertEqual(list(out)[:len(HEADING)], HEADING)
        self.assertEqual((out["lugwise"], out["output"]), (1, command))
        self.assertTrue(out["program"].startswith("lugwise "))
        self.assertEqual(list(out["harness"]), ["name", "file", "id"])
        if out["temperature"] is not None:
            self.number(out["temperature"])
        for problem in out["warnings"] + out.get("errors", []):
            self.assertLessEqual({"code", "message", "file", "line", "column"}, set(problem))

    def points(self, points):
        self.assertIsInstance(points, list)
        for point in points:
            self.assertIsInstance(point, str)
            self.assertTrue("." in point or ">" in point, point)

    def fault(self, fault):
        self.assertEqual(list(fault)[:4], ["mode", "element", "points", "id"])
        self.assertRegex(fault["id"], "^[a-z][a-z2-9]{6}$")
        if fault["mode"] == "misplaced":  # [lead, where it is, where it belongs], and the same of the other one
            self.assertEqual(len(fault["points"]), 3, fault)
            self.points(fault["points"])
            if "also" in fault:
                self.assertEqual(list(fault["also"]), ["mode", "element", "points", "id"])
                self.assertEqual(fault["also"]["id"], fault["id"])
                self.assertEqual(fault["also"]["points"][1:], fault["points"][:0:-1], fault)
            return
        self.assertLessEqual(set(fault), {"mode", "element", "points", "id", "in"})
        self.assertIn(fault["mode"], MODES)
        self.assertIn(fault["element"], ELEMENTS)
        self.points(fault["points"])
        self.assertTrue(fault["points"])
        if fault["element"] == "joint":  # [A, "A>B"] or [surface, lead]
            a, b = fault["points"]
            if ">" in b and not b.startswith("free"):
                self.assertTrue(b.split(":")[-1].startswith(a + ">"), fault)
        if fault["element"] in ("wire", "track", "contact", "coil", "lugs"):
            self.assertEqual(len(fault["points"]), 2, fault)
        if fault["element"] == "wiper":
            self.assertEqual(len(fault["points"]), 1, fault)

    def expect(self, expect):
        self.assertEqual(list(expect), ["known", "open", "low", "nominal", "high"])
        values = [expect["low"], expect["nominal"], expect["high"]]
        if expect["open"]:
            self.assertTrue(expect["known"])
            self.assertEqual(values, [None] * 3)
            return
        self.number(expect["low"])
        self.assertGreaterEqual(expect["low"], 0)
        if expect["known"]:
            self.number(expect["nominal"])
            self.assertLessEqual(expect["low"], expect["nominal"])
            self.assertLessEqual(expect["nominal"], expect["high"])
        else:
            self.assertIsNone(expect["nominal"])
            if expect["high"] is not None:
                self.assertLessEqual(expect["low"], expect["high"])

    def shows(self, shows, expect):
        if shows == "OL":
            return
        self.assertFalse(expect["open"])
        self.assertEqual(list(shows), ["low", "nominal", "high", "range"])
        display = re.compile(r"\d+(\.\d+)?[kM]?|OL")
        for key in ("low", "high") + (("nominal",) if expect["known"] else ()):
            self.assertRegex(shows[key], display)
        if not expect["known"]:
            self.assertIsNone(shows["nominal"])

    def setting(self, places):
        self.assertIsInstance(places, dict)
        for place in places.values():
            if isinstance(place, str):
                self.assertTrue(place)
            else:
                self.number(place)
                self.assertTrue(0 <= place <= 10)

    def step(self, step, planned=True):
        self.assertLessEqual({"step", "do", "set", "cover", "lifted", "proves", "say"}, set(step))
        self.assertIn(step["do"], ACTIONS)
        self.setting(step["set"])
        self.assertIsInstance(step["cover"], str)
        self.points(step["lifted"])
        for fault in step["proves"]:
            self.fault(fault)
        self.assertTrue(step["say"])
        if step["do"] == "prepare":
            self.assertNotIn("between", step)
        else:
            self.points(step["between"])
            self.assertEqual(len(step["between"]), 2)
            self.expect(step["expect"])
            self.shows(step["shows"], step["expect"])
            self.assertIsInstance(step["range"], str)
        for note in step.get("notes", []):
            self.assertTrue(note)
        self.assertEqual(step["do"] == "sweep", "sweep" in step)
        if step["do"] == "sweep":
            self.assertEqual(step["from"], step["shows"])
            self.assertIn(step["sweep"], step["set"])
            self.assertEqual(step["turn"]["from"], step["set"][step["sweep"]])
            self.assertEqual(step["turn"]["from"] + step["turn"]["to"], 10)
            if planned:
                self.assertTrue(step["to"] == "OL" or step["to"]["range"] == step["range"])
                self.assertTrue(all(fault["element"] in ("track", "wiper") for fault in step["proves"]))
                self.assertTrue(step["proves"])
        self.assertEqual(step["do"] == "wiggle", "wiggle" in step)
        if step["do"] == "wiggle":
            self.points(step["wiggle"])
            self.assertTrue(step["wiggle"])
            self.assertEqual(step["proves"], [])

    def test_faults(self):
        for path in HARNESSES[::3]:
            with self.subTest(path.name):
                out, code, err = answer("faults", path)
                self.assertEqual((code, err), (0, ""))
                self.heading(out, "faults")
                self.assertEqual(list(out)[len(HEADING):], ["stage", "at", "of", "faults"])
                self.assertEqual(out["of"], len(out["faults"]))
                self.assertAlmostEqual(sum(one["share"] for one in out["faults"]), 1, 6)
                for one in out["faults"]:
                    self.assertEqual(list(one), ["fault", "say", "line", "weight", "share", "size", "reading", "heard",
                                                  "heard_known"])
                    self.assertIsInstance(one["heard_known"], bool)
                    self.fault(one["fault"])
                    self.assertTrue(one["say"])
                    self.assertEqual(one["size"] is not None, one["fault"]["mode"] in ("high", "value") and
                                     one["say"][-4:] != "worn")
                    if one["reading"]:
                        reading = one["reading"]
                        self.assertEqual(list(reading), ["set", "cover", "between", "sound", "faulty"])
                        self.setting(reading["set"])
                        self.points(reading["between"])
                        self.assertNotEqual(reading["sound"], reading["faulty"])
                    for heard in one["heard"]:
                        self.assertEqual(list(heard), ["is", "pickup", "control", "in"])
                        self.assertTrue(heard["in"])
                        for setting in heard["in"]:
                            self.setting(setting)

    def test_check(self):
        for path in HARNESSES:
            with self.subTest(path.name):
                out, code, _ = answer("check", path)
                self.assertEqual(code, 0)
                self.heading(out, "check")

    def test_expect_and_its_shares_add_up_to_one_reading(self):
        for path in HARNESSES:
            with self.subTest(path.name):
                ends = ENDS.get(path.stem, ["jack.plug-tip", "jack.plug-sleeve"])
                out, code, _ = answer("expect", path, *ends)
                self.assertEqual(code, 0)
                self.heading(out, "expect")
                self.assertEqual(out["between"], ends)
                self.setting(out["set"])
                self.expect(out["expect"])
                self.shows(out["shows"], out["expect"])
                for part in out["through"]:
                    self.assertIn(part["element"], ELEMENTS)
                    self.points(part["points"])
                    for key in ("ohms", "own", "share", "spread"):
                        self.number(part[key])
                if out["expect"]["known"] and not out["expect"]["open"]:
                    self.assertAlmostEqual(sum(part["share"] for part in out["through"]), 1, places=6)
                    total = sum(part["ohms"] for part in out["through"])
                    self.assertAlmostEqual(total / out["expect"]["nominal"], 1, places=6)

    def test_what_makes_a_reading_uncertain_adds_up_to_one(self):
        for path in HARNESSES:
            if path.parent.name == "parts":
                continue  # no plug
            for more in ([], ["--temperature", "31"], ["--meter", ROOT / "harnesses/meters/auto-6000.yaml"]):
                with self.subTest(path.name, more=more):
                    out, _, _ = answer("expect", path, "jack.plug-tip", "jack.plug-sleeve", *more)
                    if not out["through"]:
                        self.assertIsNone(out["uncertainty"])
                        continue
                    other = out["uncertainty"]
                    self.assertEqual(list(other), ["temperature", "places", "module", "leads", "accuracy"])
                    shares = [part["spread"] for part in out["through"]]
                    shares += [place["spread"] for place in other["places"]]
                    shares += [other[key] for key in ("temperature", "module", "leads", "accuracy")]
                    self.assertTrue(all(share >= 0 for share in shares))
                    self.assertAlmostEqual(sum(shares), 1, places=6)
                    if "--temperature" in more:
                        self.assertEqual(other["temperature"], 0)
                    if out["measure"]:
                        self.assertEqual(list(out["measure"]), ["part", "expect", "shows"])
                        self.expect(out["measure"]["expect"])
                        self.shows(out["measure"]["shows"], out["measure"]["expect"])
                        was, left = out["expect"], out["measure"]["expect"]
                        self.assertLess(left["high"] - left["low"], was["high"] - was["low"])

    def test_farads_are_there_only_where_a_capacitance_range_says_something(self):
        with tempfile.TemporaryDirectory() as folder:
            meter = Path(folder) / "meter.yaml"
            meter.write_text(METER_WITH_CAPACITANCE)
            for stem, there in (("capacitor", True), ("resistor", False)):
                path = ROOT / f"harnesses/parts/{stem}.yaml"
                self.assertNotIn("farads", answer("expect", path, *ENDS[stem])[0])
                out, code, _ = answer("expect", path, *ENDS[stem], "--meter", meter)
                self.assertEqual(code, 0)
                self.assertEqual(out["meter"]["capacitance"], [2e-9, 20e-9, 200e-9])
                self.assertEqual("farads" in out, there)
                if there:
                    farads = out["farads"]
                    self.assertEqual(list(farads), ["low", "nominal", "high", "range", "shows"])
                    self.assertTrue(farads["low"] <= farads["nominal"] <= farads["high"])
                    self.assertRegex(farads["shows"]["nominal"], r"^\d+(\.\d+)?[pnum]$")

    def test_plan(self):
        for path in HARNESSES:
            for depth in ("outside", "full"):
                with self.subTest(path.name, depth=depth):
                    out, code, _ = answer("plan", path, "--depth", depth)
                    self.assertEqual(code, 0)
                    self.heading(out, "plan")
                    self.assertRegex(out["id"], r"^[0-9a-f]{6}$")
                    self.assertIsNone(out["stage"])
                    self.assertEqual(out["depth"], depth)
                    alone = path.parent.name == "parts"
                    if not alone:
                        self.assertIn("amplifier", out["before"][0])
                    self.assertEqual([step["step"] for step in out["steps"]], list(range(1, len(out["steps"]) + 1)))
                    for step in out["steps"]:
                        self.step(step)
                        self.assertEqual(list(step["set"]), list(out["steps"][0]["set"]))
                        if alone or depth == "outside":
                            self.assertEqual(step["cover"], "bench" if alone else "outside")
                    reads = sum(step["do"] == "read" for step in out["steps"])
                    self.assertLessEqual(out["lower_bound"]["steps"], reads)
                    self.assertLessEqual(out["lower_bound"]["seconds"], out["seconds"])
                    coverage = out["coverage"]
                    self.assertEqual(list(coverage), ["seen", "of", "unseen", "smallest", "from"])
                    self.assertEqual(coverage["seen"] + len(coverage["unseen"]), coverage["of"])
                    for unseen in coverage["unseen"]:
                        self.assertEqual(list(unseen), ["fault", "why", "would"])
                        self.fault(unseen["fault"])
                        self.assertTrue(unseen["why"] and unseen["would"])
                    proved = {json.dumps(fault) for step in out["steps"] for fault in step["proves"]}
                    self.assertGreaterEqual(len(proved), 1)
                    self.assertFalse(proved & {json.dumps(unseen["fault"]) for unseen in coverage["unseen"]})

    def test_diagnose(self):
        for job in JOBS:
            with self.subTest(job.name):
                out, code, err = answer("diagnose", harness_of(job), job)
                self.assertEqual(err, "")
                self.heading(out, "diagnose")
                self.assertIn(out["verdict"], {"sound", "fault", "unsure", "unfinished"})
                self.assertEqual(code, 0 if out["verdict"] == "sound" else 1)
                total = out["sound"]
                for suspect in out["suspects"]:
                    self.fault(suspect["fault"])
                    self.number(suspect["probability"])
                    total += suspect["probability"]
                    self.assertIsInstance(suspect["group"], int)
                    if suspect["size"] is not None:
                        size = suspect["size"]
                        self.assertEqual(list(size), ["low", "nominal", "high"])
                        self.assertTrue(size["low"] <= size["nominal"] <= size["high"])
                self.assertLessEqual(total, 1 + 1e-6)
                self.assertLessEqual(out["shown"]["seen"], out["shown"]["of"])
                self.assertEqual(out["next"] is None, out["verdict"] == "sound")
                if out["suspects"]:
                    self.assertEqual(out["suspects"][0]["group"], 1)
                written = len(re.findall(r"^ +reads:|[{,] *reads:", job.read_text(), re.M))
                self.assertEqual([reading["reading"] for reading in out["readings"]], list(range(1, written + 1)))
                for reading in out["readings"]:
                    self.expect(reading["expect"])
                    self.shows(reading["shows"], reading["expect"])
                    self.assertIsInstance(reading["agrees"], bool)
                    self.assertIsInstance(reading["doubtful"], bool)
                    if reading["at_20"] is not None:
                        self.number(reading["at_20"])
                        self.assertIsNotNone(out["temperature"])
                for step in out["separate"] + ([out["next"]] if out["next"] else []):
                    self.step(step, planned=False)

    def marking(self, found):
        self.number(found["ohms"])
        for key in ("tolerance", "drift"):
            if found[key] is not None:
                self.number(found[key])
        self.assertIsInstance(found["disputed"], bool)

    def resistor(self, found):
        self.marking(found)
        self.assertEqual(found["allowed"] is None, found["tolerance"] is None)
        if found["allowed"] is not None:
            self.assertTrue(found["allowed"]["low"] <= found["ohms"] <= found["allowed"]["high"])
        for key in ("four_bands", "five_bands"):
            for name in found[key] or []:
                self.assertIn(name, COLOURS)
        self.assertEqual([near["series"] for near in found["preferred"]], SERIES if found["ohms"] else [])
        for near in found["preferred"]:
            self.assertEqual(list(near), ["series", "ohms", "off", "usual", "fits"])
            self.assertAlmostEqual(near["ohms"] * (1 + near["off"]) / found["ohms"], 1, places=8)
            self.assertEqual(near["fits"], near["usual"] is not None and abs(near["off"]) <= near["usual"])

    def conversion(self, *words):
        out, code, err = answer("convert", *words)
        self.assertEqual((code, err), (0, ""))
        self.heading(out, "convert")
        self.assertEqual(list(out)[len(HEADING):], ["conversion", "given", "found"])
        self.assertEqual(out["conversion"], words[0])
        return out["given"], out["found"]

    def test_convert_resistors(self):
        for bands in ("yellow violet orange gold", "white violet black", "orange orange black brown violet",
                      "brown black black red brown red", "brown black red orange", "black black black"):
            given, found = self.conversion("bands", *bands.split())
            self.assertEqual(given, {"bands": bands.split()})
            self.resistor(found)
            if found["other_end"] is not None:
                self.marking(found["other_end"])
        for value in ("47k", "8.01k", "4K7J", "4K7E", "0.001", "1000G", "12345.678"):
            given, found = self.conversion("value", value)
            self.assertEqual(list(given), ["value", "tolerance"])
            self.assertEqual(given["value"], value)
            self.resistor(found)

    def test_convert_coils(self):
        for family in ("nominal", "formula"):
            given, found = self.conversion("coil", "6.43k", "--gauge", "42", "--turn", "15cm", "--temperature", "29",
                                           "--diameters", family)
            self.assertEqual(given, {"ohms": 6430, "temperature": 29, "gauge": 42, "turn": 150, "diameters": family})
            self.assertEqual(list(found), ["ohms", "diameters", "diameter", "length", "turns", "other", "law"])
            for winding in (found, found["other"]):
                # One turn is 0.15 m; a metre of copper is 1 / (58 x area) ohms, IEC 60028.
                self.assertAlmostEqual(winding["turns"] * 0.15 / winding["length"], 1, places=8)
                area = math.pi / 4 * winding["diameter"] ** 2
                self.assertAlmostEqual(winding["length"] / (58 * area) / found["ohms"], 1, places=7)
            self.assertEqual({found["diameters"], found["other"]["diameters"]}, {"nominal", "formula"})

    def test_convert_temperatures(self):
        given, found = self.conversion("temperature", "6.2k", "--from", "20", "--to", "35")
        self.assertEqual(given, {"ohms": 6200, "from": 20, "to": 35})
        self.assertEqual(found, {"ohms": 6565.49, "law": {"rise": 0.00393, "at": 20, "source": "IEC 60028"}})

    def test_the_same_question_has_the_same_answer_to_the_letter(self):
        for words in (["plan", HARNESSES[0]], ["diagnose", harness_of(JOBS[0]), JOBS[0]]):
            texts = {subprocess.run([PROGRAM, *map(str, words), "--json"], capture_output=True).stdout for _ in range(3)}
            self.assertEqual(len(texts), 1)

    def test_errors_have_the_shape_of_warnings(self):
        for words, code in ((["check", "no-such.yaml"], 3), (["plan", HARNESSES[0], "--stage", "none"], 3),
                            (["plan", HARNESSES[0], "--depth", "half"], 2), (["expct"], 2),
                            (["convert"], 2), (["convert", "bands", "yelow"], 2)):
            out, got, err = answer(*words)
            self.assertEqual((got, err), (code, ""))
            self.assertEqual(list(out)[:len(HEADING)], HEADING)
            self.assertEqual(out["lugwise"], 1)
            self.assertTrue(out["errors"])
            for problem in out["errors"]:
                self.assertLessEqual({"code", "message", "file", "line", "column"}, set(problem))


class Text(unittest.TestCase):
    def test_no_line_of_any_output_is_wider_than_80_columns_unless_a_name_is(self):
        commands = [["plan", path] for path in HARNESSES] + [["diagnose", harness_of(job), job] for job in JOBS]
        commands += [["expect", path, "jack.plug-tip", "jack.plug-sleeve"] for path in HARNESSES]
        commands += [["convert", *words.split()] for words in (
            "bands brown black black yellow yellow brown", "value 1234.56789M --tolerance 7%", "value 4K7E",
            "coil 1234567.89 --gauge 42 --turn 123.456mm --temperature -12.345 --diameters formula",
            "temperature 1234567.89 --from -12.3456 --to 45.6789")]
        for words in commands:
            done = subprocess.run([PROGRAM, *(os.path.relpath(w, ROOT) if isinstance(w, Path) else w for w in words)],
                                  cwd=ROOT, capture_output=True, text=True, timeout=120)
            for line in done.stdout.splitlines():
                if len(line) > 80:
                    self.assertLessEqual(len(line.split()), 2, line)

    def test_the_plan_in_words_has_the_same_steps_as_in_json(self):
        for path in HARNESSES[:4]:
            words = subprocess.run([PROGRAM, "plan", path], capture_output=True, text=True).stdout
            steps = [int(number) for number in re.findall(r"^ {1,3}(\d+)  \S", words, re.M)]
            out, _, _ = answer("plan", path)
            self.assertEqual(steps, [step["step"] for step in out["steps"]])
            for step in out["steps"]:
                if step["do"] == "read" and step["shows"] != "OL" and step["expect"]["known"]:
                    self.assertIn(f"Range {step['range']}: {step['shows']['nominal']}", words)

    def test_cautions_come_before_the_first_probe(self):
        for path in HARNESSES:
            if path.parent.name == "parts":
                continue  # nothing to unplug
            words = subprocess.run([PROGRAM, "plan", path], capture_output=True, text=True).stdout
            self.assertLess(words.index("Unplug"), words.index("With nothing opened"))


if __name__ == "__main__":
    unittest.main()
