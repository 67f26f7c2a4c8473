"""Whole sessions in a terminal: sound harnesses, ten hidden faults named and mended, and what is typed wrongly."""

import os
import re
import shutil
import subprocess
import tempfile
import unittest
from pathlib import Path

from bench import COLOUR, COLUMNS, LINES, PROGRAM, ROOT, Meter, Session, Technician

# Harness, mode, site, words of the fault, and its size in ohms: opens, cold joints, dirty contacts and shorts, from
# the plug to the inside of the cavity.
HIDDEN = [
    (1, "open", "joint", "", 0),
    (2, "open", "contact", "selector.f and selector.out", 0),
    (2, "open", "coil", "rear.hot", 0),
    (2, "open", "contact", "hardware.bridge and hardware.strings", 0),
    (2, "short", "lugs", "", 0),
    (2, "high", "joint", "volume", 4700),
    (3, "open", "wire", "", 0),
    (5, "open", "contact", "", 0),
    (7, "high", "track", "volume", 0),
    (7, "open", "wiper", "", 0),
]
MOST_ENTRIES = 60


def shown_suspects(screen):
    return [line.split("%", 1)[1].strip() for line in joined(screen) if re.match(r"\s*(under |over )?[\d.]+ %  ", line) and "nothing is wrong" not in line]


def joined(screen):
    """Lines, with what was wrapped put together again."""
    lines = []
    for line in COLOUR.sub("", screen).splitlines():
        if line.startswith(" " * 10) and lines and lines[-1].strip():
            lines[-1] += " " + line.strip()
        else:
            lines.append(line)
    return lines


class Sessions(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)

    def begin(self, number, *words, **how):
        netlist = Path(self.folder.name) / f"fernhollow-{number}.yaml"
        shutil.copy(ROOT / "harnesses" / netlist.name, netlist)
        self.record = netlist.with_name(f"fernhollow-{number}.readings.yaml")
        self.record.unlink(missing_ok=True)
        session = Session("guide", netlist.name, *words, cwd=self.folder.name, **how)
        self.addCleanup(session.__exit__)
        meter = Meter(netlist)
        self.addCleanup(meter.close)
        return session, Technician(meter), meter

    def prepared(self, session):
        """Past the opening, the tips together and the cable, to the first step."""
        session.read()
        session.type("")
        screen = session.type("0.3")
        for _ in range(MOST_ENTRIES):
            if not screen.endswith("Enter when done: "):
                return screen
            screen = session.type("")
        self.fail(f"no end of preparations:\n{session.shown}")

    def check_screen(self, screen):
        lines = COLOUR.sub("", screen).split("\n")
        self.assertLess(len(lines), LINES, screen)
        self.assertLessEqual(max(map(len, lines)), COLUMNS, screen)

    def walk(self, session, technician, screen):
        """Follows the screen until no reading is asked for."""
        for _ in range(MOST_ENTRIES):
            self.check_screen(screen)
            if screen.endswith("what now? "):
                return screen
            screen = session.type("" if screen.endswith("begin: ") else technician.follow(screen))
        self.fail(f"no end after {MOST_ENTRIES} entries:\n{session.shown}")

    def diagnosed(self, number):
        done = subprocess.run([PROGRAM, "diagnose", f"fernhollow-{number}.yaml", self.record.name],
                              cwd=self.folder.name, capture_output=True, text=True, check=False)
        self.assertEqual(done.stderr, "")
        return done

    def test_a_sound_harness_is_found_sound_to_the_last_step(self):
        for number in (1, 2, 7):
            with self.subTest(number):
                session, technician, _ = self.begin(number)
                screen = self.walk(session, technician, session.read())
                self.assertIn("SOUND", screen)
                self.assertNotIn("WRONG", session.shown)
                session.type("stop")
                self.assertEqual(session.code, 0)
                self.assertEqual(self.diagnosed(number).returncode, 0)

    def test_each_of_ten_hidden_faults_is_named_then_mended(self):
        for number, mode, site, place, size in HIDDEN:
            with self.subTest(harness=number, mode=mode, site=site, place=place):
                session, technician, meter = self.begin(number)
                fault = next(f for f in meter.faults if f[1] == mode and f[2] == site and place in f[3])
                meter.hide(fault[0], size)
                screen = self.walk(session, technician, session.read())
                self.assertIn("FOUND", screen, session.shown)
                suspects = shown_suspects(screen[screen.rindex("FOUND"):])
                self.assertTrue(any(s.lower().startswith(fault[3].lower()) for s in suspects), (fault, session.shown))
                self.assertEqual(self.diagnosed(number).returncode, 1)

                meter.mend()
                wrong = session.shown.count("WRONG")
                screen = session.type("repaired")
                self.assertRegex(screen, r"AFTER THE REPAIR, 1 of \d+")
                screen = self.walk(session, technician, screen)
                self.assertEqual(session.shown.count("WRONG"), wrong, session.shown)
                self.assertIn("SOUND", screen)
                session.type("stop")
                self.assertEqual(session.code, 0)
                self.assertEqual(self.diagnosed(number).returncode, 0)

    def test_a_repair_that_did_not_help_is_noticed(self):
        session, technician, meter = self.begin(2)
        meter.hide(next(f for f in meter.faults if f[3] == "the contact between selector.f and selector.out is open")[0])
        self.walk(session, technician, session.read())
        screen = session.type("repaired cleaned it")
        # That the contact opens is looked at too, so it may take two.
        first = session.type(technician.follow(screen))
        screen = first if "WRONG" in first else session.type(technician.follow(first))
        self.assertIn("WRONG", screen)

    def test_what_lies_deeper_than_the_session_goes_is_not_promised(self):
        session, technician, meter = self.begin(2, "--depth", "outside")
        meter.hide(next(f for f in meter.faults if f[3] == "the joint of front.hot at selector.f is open")[0])
        screen = self.walk(session, technician, session.read())
        self.assertIn("FOUND", screen)
        self.assertNotIn("Take the next probe", screen)
        self.assertIn("go on with --resume and --depth full", " ".join(screen.split()))

    def test_what_is_opened_and_closed_is_named(self):
        session, technician, meter = self.begin(4)
        meter.hide(next(f for f in meter.faults if f[3] == "the joint of the wire to jack.tip at toggle.out is open")[0])
        self.walk(session, technician, session.read())
        meter.mend()
        self.walk(session, technician, session.type("repaired"))
        shown = [line.split(None, 1) for line in session.shown.splitlines() if re.match(r"  (Open|Close) ", line)]
        for word, what in shown:
            self.assertRegex(what, {"Open": "^(the cavity|toggle-plate|the cavity and toggle-plate); tips on bare metal",
                                    "Close": "^(what was opened|toggle-plate)$"}[word])
        # After the repair at the toggle its plate is closed before the cavity is.
        self.assertLess(shown.index(["Close", "toggle-plate"]), shown.index(["Close", "what was opened"]))

    def test_what_a_repair_loosened_beside_it_is_named(self):
        for number, first, then in ((1, "single.ground at volume.case", "wire to jack.sleeve at volume.case"),
                                    (2, "front.ground at volume.case", "wire to hardware.bridge at volume.case"),
                                    (2, "wire to volume.3 at tone.1", "wire to selector.out at volume.3")):
            with self.subTest(harness=number, then=then):
                session, technician, meter = self.begin(number)
                joint = lambda at: next(f for f in meter.faults if f[1] == "open" and f[2] == "joint" and at in f[3])
                meter.hide(joint(first)[0])
                self.walk(session, technician, session.read())
                meter.mend()
                meter.hide(joint(then)[0])
                screen = self.walk(session, technician, session.type("repaired"))
                self.assertIn(then, shown_suspects(screen[screen.rindex("FOUND"):])[0])
                self.assertEqual(self.diagnosed(number).returncode, 1)

    def test_nonsense_is_answered_and_changes_nothing(self):
        session, technician, _ = self.begin(2)
        screen = self.prepared(session)
        reads = technician.follow(screen)
        screen = session.type(reads)
        self.assertIn("AGREES", screen)
        before = self.record.read_text()
        for typed, says in (("6.71", "'6.71k'"),  # on 20k
                            ("6.7123k", "is finer than"),
                            ("1", "'OL'"),
                            ("4.7m", "4.7M"),
                            ("openn", "not a reading"),
                            ("0.257M", "above the 20k range"),
                            ("0.257M on 3M", "no range '3M'"),
                            ("smooth", "what a sweep reads"),
                            ("steady", "what a wiggle reads"),
                            ("whyy", "nearest is 'why'"),
                            ("unod", "nearest is 'undo'"),
                            ("go 99", "no step '99'"),
                            ("go west", "no step 'west'"),
                            ("undo it", "stands alone"),
                            ("note", "what is to be noted"),
                            ("meter", "which meter"),
                            ("meter nowhere.yaml", "can't be read"),
                            ("range", "ranges are"),
                            ("heard front sillent", "'silent'"),
                            ("heard fromt silent", "'front'"),
                            ("repaired volum.3", "volume.3"),
                            ("6.7k 6.8k", "more than one reading"),
                            ("done", "nothing to be done"),
                            ("47n", "farads"),
                            ("-3", "below zero"),
                            ("6,71,2", "not a reading"),
                            ("x" * 2000, "too long"),
                            ("\x1b[A", "not a reading")):
            with self.subTest(typed[:20]):
                if "\x1b" in typed:
                    # The echo of an arrow key is the terminal's own affair.
                    os.write(session.control, (typed + "\n").encode())
                    screen = session.read()
                else:
                    screen = session.type(typed)
                self.assertIn("NOT TAKEN", screen)
                self.assertIn(says, " ".join(screen.split()))
                self.check_screen(screen)
                self.assertEqual(self.record.read_text(), before)

    def test_what_is_asked_for_is_shown_and_changes_nothing(self):
        session, technician, _ = self.begin(2)
        screen = self.prepared(session)
        before = self.record.read_text()
        for words, says in ((("why", "w", "WHY", "explain"), "Sound"), (("list", "l"), "tips together"),
                            (("suspects", "x"), "Nothing is suspected"), (("help", "h", "?"), "undo (u)"),
                            (("",), "'help' lists")):
            for word in words:
                shown = session.type(word)
                self.assertIn(says, shown)
                self.check_screen(shown)
        self.assertEqual(self.record.read_text(), before)
        self.assertIn("AGREES", session.type(technician.follow(screen)))

    def test_undo_takes_back_one_entry_after_another(self):
        session, technician, _ = self.begin(2)
        steps = [self.prepared(session)]
        for _ in range(3):
            steps.append(session.type(technician.follow(steps[-1])))
        titles = [re.findall(r"STEP \d+", step)[-1] for step in steps]
        first = int(titles[0].split()[1])
        self.assertEqual(titles, [f"STEP {first + i}" for i in range(4)])
        session.type("skip no room")
        session.type("note it crackles")
        self.assertIn("Undone: note it crackles", session.type("undo"))
        self.assertIn(titles[3], session.type("u"))
        self.assertIn(titles[2], session.type("undo"))
        self.assertIn(titles[1], session.type("undo"))
        self.assertIn(titles[0], session.type("undo"))
        for _ in range(MOST_ENTRIES):  # what was done to the cable
            screen = session.type("undo")
            if "Undone: 0.3" in screen:
                break
        self.assertIn("Undone: 0.3", screen)
        self.assertIn("nothing to undo", session.type("undo"))
        self.assertEqual(self.record.read_text().count("aside: undone"), 4)
        session.type("stop")
        self.assertIn("0 readings", self.diagnosed(2).stdout)

    def test_a_reading_on_another_range_is_taken_as_one(self):
        session, _, _ = self.begin(2)
        self.prepared(session)
        session.type("OL")
        self.assertIn("range: 20k", self.record.read_text())
        session.type("undo")
        self.assertIn("Range   2M", session.type("range 2M"))
        self.assertIn("WRONG", session.type("0.257M"))
        self.assertIn("range: 2M", self.record.read_text())

    def test_another_meter_makes_the_plan_anew_and_puts_aside_what_it_could_not_show(self):
        session, technician, _ = self.begin(2)
        meter = ROOT / "harnesses/meters/auto-4000.yaml"
        session.type(technician.follow(self.prepared(session)))
        screen = session.type(f"meter {meter}")
        self.assertIn("4000 counts", screen)
        self.assertIn("1 reading could not have been its own", " ".join(screen.split()))
        self.assertIn("aside: another meter", self.record.read_text())
        self.assertIn("auto: true", self.record.read_text())
        screen = session.type("0.2")
        while screen.endswith("Enter when done: "):
            screen = session.type("")
        self.assertNotIn("Range", screen)
        self.assertIn("AGREES", session.type("6.71k"))

    def test_colour_only_repeats_what_a_word_says(self):
        plain, technician, _ = self.begin(2)
        screen = technician.follow(self.prepared(plain))
        plain.type(screen)
        coloured, technician, _ = self.begin(2, "-o", "coloured.yaml", colour=True)
        coloured.type(technician.follow(self.prepared(coloured)))
        self.assertNotIn("\x1b", plain.shown)
        self.assertIn("\x1b[32mAGREES\x1b[0m", coloured.shown)
        self.assertEqual(COLOUR.sub("", coloured.shown).replace("coloured.yaml", "fernhollow-2.readings.yaml"),
                         plain.shown)

    def test_the_cautions_come_before_the_first_probe(self):
        session, _, _ = self.begin(2)
        screen = session.read()
        for says in ("Unplug", "slacken", "fernhollow-2.readings.yaml", "help"):
            self.assertIn(says, screen)
        self.check_screen(screen)

    def test_what_is_odd_on_the_drawing_is_told_before_the_first_probe_and_once(self):
        netlist = Path(self.folder.name) / "odd.yaml"
        netlist.write_text((ROOT / "harnesses/fernhollow-2.yaml").read_text().replace("value: 47n", "value: 47u", 1))
        session = Session("guide", netlist.name, cwd=self.folder.name)
        self.addCleanup(session.__exit__)
        screen = session.read()
        self.assertIn("1 warning on the drawing; see: lugwise check odd.yaml", screen)
        self.assertTrue(screen.endswith("begin: "))
        session.type("stop")
        self.assertEqual(session.shown.count("on the drawing"), 1)


if __name__ == "__main__":
    unittest.main()
