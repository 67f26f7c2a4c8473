"""What a readings file holds beside what is weighed is told in every form, and weighs nothing."""

import json
import os
import subprocess
import tempfile
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
RECORD = """lugwise-readings: 1
temperature: 20
readings:
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front}, reads: OL, range: 20k, aside: repair 1}
  - {between: [selector.f, selector.out], set: {selector: front}, reads: OL, range: 200, aside: repair 1}
  - {between: [cap.1, cap.2], skipped: no room}
  - {repaired: [selector.f], note: reflowed}
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front}, reads: 6.07k, range: 20k}
"""
HEARD = "heard:\n  - {pickup: front, set: {selector: front}, is: silent%s}\n"


def diagnosed(text, *form):
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "readings.yaml"
        file.write_text(text)
        done = subprocess.run([PROGRAM, "diagnose", "harnesses/fernhollow-2.yaml", file, *form], cwd=ROOT,
                              capture_output=True, timeout=120)
    return done.stdout.decode()


class Record(unittest.TestCase):
    def test_repairs_what_was_skipped_and_what_was_heard_are_told_in_every_form(self):
        for form in ((), ("--markdown",), ("--html",), ("--width", "200")):
            text = " ".join(diagnosed(RECORD + HEARD % ", aside: repair 1", *form).replace("&#39;", "'").split())
            for told in ("repaired selector.f: reflowed", "cap.1 and cap.2 not taken: no room", "put aside, repair 1", "Heard",
                         "front silent, with selector front",
                         "found before the repair: the contact between selector.f and selector.out is open"):
                self.assertIn(told, text, form)
        answer = json.loads(diagnosed(RECORD + HEARD % ", aside: repair 1", "--json"))
        self.assertEqual([each["reading"] for each in answer["record"]], [1, 2, 3, 4])
        self.assertEqual(answer["heard"][0]["is"], "silent")
        self.assertEqual(answer["heard"][0]["aside"], "repair 1")

    def test_what_was_heard_and_put_aside_weighs_nothing(self):
        without = json.loads(diagnosed(RECORD, "--json"))
        aside = json.loads(diagnosed(RECORD + HEARD % ", aside: repair 1", "--json"))
        heard = json.loads(diagnosed(RECORD + HEARD % "", "--json"))
        for key in ("verdict", "sound", "suspects", "next"):
            self.assertEqual(aside[key], without[key], key)
        self.assertNotEqual(heard["sound"], without["sound"])


if __name__ == "__main__":
    unittest.main()
