"""Readings entered by the steps of a plan: plain ones, sweeps with their ends, wiggles, and what does not fit a step."""

import json
import os
import subprocess
import tempfile
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
HARNESSES = [ROOT / f"harnesses/fernhollow-{number}.yaml" for number in (2, 7)]


def run(*words):
    done = subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, timeout=120)
    return done.stdout, done.stderr, done.returncode


def plan_of(harness):
    return json.loads(run("plan", harness, "--json")[0])


def diagnose(harness, plan, entries):
    with tempfile.TemporaryDirectory() as folder:
        sheet = Path(folder) / "readings.yaml"
        sheet.write_text(f"lugwise-readings: 1\nplan: {{id: {plan['id']}}}\nreadings:\n"
                         + "".join(f"  - {entry}\n" for entry in entries))
        return run("diagnose", harness, sheet, "--json")


def nominal(shows):
    return "OL" if shows == "OL" else shows["nominal"] or shows["low"]


def sound(step):
    """The entry of a step that reads as it should."""
    if step["do"] == "sweep":
        return f"{{step: {step['step']}, reads: smooth, ends: [{nominal(step['from'])}, {nominal(step['to'])}]}}"
    reads = "steady" if step["do"] == "wiggle" else nominal(step["shows"])
    return f"{{step: {step['step']}, reads: {reads}}}"


class Steps(unittest.TestCase):
    def test_a_whole_plan_read_as_it_should_be_is_sound(self):
        for harness in HARNESSES:
            with self.subTest(harness.name):
                plan = plan_of(harness)
                steps = [step for step in plan["steps"] if step["do"] != "prepare"]
                self.assertLessEqual({"read", "sweep", "wiggle"}, {step["do"] for step in steps})
                out, err, code = diagnose(harness, plan, [sound(step) for step in steps])
                self.assertEqual((err, code), ("", 0), out)
                answer = json.loads(out)
                self.assertEqual(answer["verdict"], "sound")
                self.assertEqual([r["step"] for r in answer["readings"]], [s["step"] for s in steps])
                self.assertEqual([r["do"] for r in answer["readings"]], [s["do"] for s in steps])
                for reading, step in zip(answer["readings"], steps):
                    self.assertTrue(reading["agrees"])
                    self.assertEqual(reading.get("sweep"), step.get("sweep"))
                    self.assertEqual(reading.get("wiggle"), step.get("wiggle"))
                    self.assertEqual(len(reading.get("ends", [])), 2 if step["do"] == "sweep" else 0)

    def test_a_sweep_that_jumps_is_a_fault_of_that_pot(self):
        for harness in HARNESSES:
            plan = plan_of(harness)
            for step in plan["steps"]:
                if step["do"] != "sweep":
                    continue
                entries = [sound(other) if other is not step else f"{{step: {step['step']}, reads: jumps}}"
                           for other in plan["steps"] if other["do"] != "prepare"]
                out, _, code = diagnose(harness, plan, entries)
                self.assertEqual(code, 1)
                answer = json.loads(out)
                self.assertNotEqual(answer["verdict"], "sound")
                of_pot = [s["probability"] for s in answer["suspects"]
                          if s["fault"]["points"][0].startswith(step["sweep"] + ".")]
                self.assertGreater(sum(of_pot), 0.75)
                first = answer["suspects"][0]["fault"]
                self.assertTrue(first["points"][0].startswith(step["sweep"] + "."), first)
                self.assertIn(("high", "track", [step["sweep"] + ".1", step["sweep"] + ".3"]),
                              [(s["fault"]["mode"], s["fault"]["element"], s["fault"]["points"])
                               for s in answer["suspects"] if s["group"] == 1])

    def test_a_plain_value_at_a_sweep_or_a_wiggle_is_the_reading_at_its_start(self):
        for harness in HARNESSES:
            plan = plan_of(harness)
            for step in plan["steps"]:
                if step["do"] not in ("sweep", "wiggle"):
                    continue
                out, err, _ = diagnose(harness, plan, [f"{{step: {step['step']}, reads: {nominal(step['shows'])}}}"])
                self.assertEqual(err, "")
                reading = json.loads(out)["readings"][0]
                self.assertEqual((reading["do"], reading["set"]), ("read", step["set"]))
                self.assertTrue(reading["agrees"])

    def test_what_does_not_fit_a_step_is_refused(self):
        harness = HARNESSES[0]
        plan = plan_of(harness)
        number = {step["do"]: step["step"] for step in plan["steps"]}
        for do, entry, says in (("read", "reads: jumps", "is a plain reading"),
                                ("read", "reads: smooth", "is a plain reading"),
                                ("read", "reads: steady", "is a plain reading"),
                                ("read", "reads: 6.7k, ends: [6.7k, 0.3k]", "it is no sweep"),
                                ("sweep", "reads: unstable", "reads smooth or jumps"),
                                ("sweep", "reads: OL, ends: [OL, OL]", "reads smooth or jumps"),
                                ("wiggle", "reads: smooth", "reads steady or unstable")):
            out, _, code = diagnose(harness, plan, [f"{{step: {number[do]}, {entry}}}"])
            self.assertEqual(code, 3, entry)
            errors = json.loads(out)["errors"]
            self.assertEqual([error["code"] for error in errors], ["U305"], entry)
            self.assertIn(says, errors[0]["message"])

    def test_ends_are_held_to_the_range_of_the_step(self):
        harness = HARNESSES[0]
        plan = plan_of(harness)
        step = next(step for step in plan["steps"] if step["do"] == "sweep")
        out, _, code = diagnose(harness, plan, [f"{{step: {step['step']}, reads: smooth, ends: [6.713k, 0.0k]}}"])
        self.assertEqual(code, 3)
        self.assertEqual([error["code"] for error in json.loads(out)["errors"]], ["R302"])

    def test_an_end_that_is_wrong_is_told_apart_from_the_sweep_itself(self):
        harness = HARNESSES[0]
        plan = plan_of(harness)
        step = next(step for step in plan["steps"] if step["do"] == "sweep")
        entry = f"{{step: {step['step']}, reads: smooth, ends: [{nominal(step['from'])}, {nominal(step['from'])}]}}"
        out, _, code = diagnose(harness, plan, [entry])
        self.assertEqual(code, 1)
        reading = json.loads(out)["readings"][0]
        self.assertFalse(reading["agrees"])
        self.assertEqual([end["agrees"] for end in reading["ends"]], [True, False])


if __name__ == "__main__":
    unittest.main()
