"""Values chosen with --value stay with all that is kept: a batch, a session's record, simulated readings, an exercise and its
key. What was taken with one value is never held against another. And what is handed out is whole, and of one week."""

import json
import os
import re
import shutil
import subprocess
import tempfile
import unittest
from pathlib import Path

import yaml

PROGRAM = os.environ["LUGWISE_PROGRAM"]
ROOT = Path(os.environ["LUGWISE_ROOT"])

TEN = """lugwise: 1
from: harnesses/fernhollow-1.yaml
name: Ten of hotter
values: {track: 500k, dark: 22n}
parts:
  single: {dcr: 7.1k}
  volume: {track: $track}
  bleed: {kind: capacitor, value: $dark}
joints:
  - [volume.3, bleed.1]
  - [volume.2, bleed.2]
"""


class Bench(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)
        (self.folder / "harnesses").mkdir()
        shutil.copy(ROOT / "harnesses/fernhollow-1.yaml", self.folder / "harnesses")
        (self.folder / "ten.yaml").write_text(TEN)

    def ask(self, *words, code=None, typed=None, cwd=None):
        done = subprocess.run([PROGRAM, *map(str, words)], cwd=cwd or self.folder, capture_output=True, text=True,
                              input=typed, timeout=600)
        self.assertIn(done.returncode, (0, 1) if code is None else (code,), done.stdout + done.stderr)
        return done

    def kept(self, name):
        return yaml.load((self.folder / name).read_text(), Loader=yaml.BaseLoader)

    def refused(self, *words, typed=None):
        return self.ask(*words, code=3, typed=typed).stderr

    def simulated(self, name, *words):
        self.ask("simulate", "ten.yaml", "--plan", "thorough", "--stage", "bench", "-o", name, *words)
        return name


class Records(Bench):
    def test_readings_simulated_with_a_value_say_it_and_are_judged_by_it(self):
        readings = self.simulated("sound.yaml", "--value", "track=250k", "--seed", "5")
        self.assertEqual(self.kept(readings)["values"], {"track": "250k"})
        found = json.loads(self.ask("diagnose", "ten.yaml", readings, "--json", code=0).stdout)
        self.assertEqual(found["verdict"], "sound")
        self.assertEqual(found["harness"]["values"], {"track": "250k"})
        self.assertIn("with track=250k", " ".join(self.ask("diagnose", "ten.yaml", readings).stdout.split()))
        self.ask("diagnose", "ten.yaml", readings, "--value", "track=250k", code=0)
        self.ask("draw", "ten.yaml", "--readings", readings, "-o", "h.svg", code=0)

    def test_a_value_that_contradicts_the_readings_is_refused_where_they_say_theirs(self):
        readings = self.simulated("sound.yaml", "--value", "track=250k")
        told = self.refused("diagnose", "ten.yaml", readings, "--value", "track=500k")
        self.assertRegex(told, r"sound\.yaml:3:17: error: taken with track=250k, and the netlist is read with track=500k \(U306\)")
        self.assertIn("leave --value out", told)
        told = self.refused("guide", "ten.yaml", "--resume", readings, "--value", "track=500k")
        self.assertIn("U306", told)

    def test_a_value_the_netlist_no_longer_has_is_an_error_of_the_file_that_says_it(self):
        readings = self.simulated("sound.yaml", "--value", "track=250k")
        (self.folder / "ten.yaml").write_text(TEN.replace("track: 500k, ", "pots: 500k, ").replace("$track", "$pots"))
        told = self.refused("diagnose", "ten.yaml", readings)
        self.assertRegex(told, r"sound\.yaml:3:17: error: no such value: 'track' \(N503\)")
        (self.folder / readings).write_text("lugwise-readings: 1\nvalues: [track]\nreadings: []\n")
        self.assertRegex(self.refused("diagnose", "ten.yaml", readings), r"sound\.yaml:2:9: error: 'values' must be a map")

    def test_two_values_are_kept_whatever_their_order_and_texts(self):
        first = json.loads(self.ask("plan", "ten.yaml", "--value", "track=250k", "--value", "dark=47 nF", "--json").stdout)
        other = json.loads(self.ask("plan", "ten.yaml", "--value", "dark=33n", "--value", "dark=47 nF", "--value",
                                    "track=250k", "--json").stdout)
        self.assertEqual((first["id"], first["harness"]), (other["id"], other["harness"]))
        self.simulated("two.yaml", "--value", "track=250k", "--value", "dark=47 nF")
        self.assertEqual(self.kept("two.yaml")["values"], {"dark": "47 nF", "track": "250k"})
        self.ask("diagnose", "ten.yaml", "two.yaml", code=0)

    def test_a_value_that_no_file_could_hold_is_refused(self):
        for value in ("track=25\n0k", "track=\x1b[31m250k", "track=\u202e250k", "track=" + "9" * 3000, "=250k", "track"):
            told = self.refused("plan", "ten.yaml", "--value", value)
            self.assertIn("(U310)", told)
            self.assertNotIn("\x1b", told)

    def test_a_session_keeps_its_values_and_goes_on_with_them(self):
        self.ask("guide", "ten.yaml", "-o", "g.yaml", "--value", "track=250k", typed="note begun\nstop\n")
        record = self.kept("g.yaml")
        self.assertEqual(record["values"], {"track": "250k"})
        done = self.ask("guide", "--resume", "g.yaml", typed="note gone on\nstop\n")
        self.assertNotIn("The plan has changed", done.stdout)
        again = self.kept("g.yaml")
        self.assertEqual((again["values"], again["plan"]["id"]), (record["values"], record["plan"]["id"]))
        self.assertIn("U306", self.refused("guide", "--resume", "g.yaml", "--value", "track=1M"))
        self.assertEqual(self.kept("g.yaml"), again)

    def test_a_record_by_hand_without_values_takes_those_of_the_command_line(self):
        (self.folder / "r.yaml").write_text("lugwise-readings: 1\nharness: ten.yaml\nreadings:\n"
                                            "  - {between: [volume.1, volume.3], lifted: [single.hot], reads: 0.247M, range: 2M}\n")
        for value, agrees in (("250k", True), ("500k", False)):
            found = json.loads(self.ask("diagnose", "ten.yaml", "r.yaml", "--value", f"track={value}", "--json").stdout)
            self.assertEqual(found["readings"][0]["agrees"], agrees)
        self.ask("guide", "ten.yaml", "--resume", "r.yaml", "--value", "track=250k", typed="note here\nstop\n")
        self.assertEqual(self.kept("r.yaml")["values"], {"track": "250k"})

    def test_a_printed_sheet_says_the_values_its_readings_will_be_of(self):
        sheet = self.ask("plan", "ten.yaml", "--value", "track=250k", "--html").stdout
        self.assertIn("values: {track: 250k}", sheet)


class Batches(Bench):
    def setUp(self):
        super().setUp()
        self.ask("batch", "new", "ten.yaml", "-o", "b", "--stage", "bench", "--thorough", "--value", "track=250k")

    def test_a_batch_goes_by_the_values_it_was_begun_with(self):
        self.assertEqual(self.kept("b/batch.yaml")["values"], {"track": "250k"})
        readings = self.simulated("v5.yaml", "--value", "track=250k", "--seed", "5")
        done = self.ask("batch", "take", "b", "V5", "--readings", readings, code=0)
        self.assertIn("V5: pass", done.stdout)
        self.assertEqual(done.stderr, "")
        self.assertEqual(self.kept("b/V5.yaml")["values"], {"track": "250k"})
        report = json.loads(self.ask("batch", "report", "b", "--json", code=0).stdout)
        self.assertEqual((report["yield"]["pass"], report["warnings"], report["harness"]["values"]),
                         (1, [], {"track": "250k"}))
        self.assertIn("with track=250k", self.ask("batch", "report", "b", "--html").stdout)
        self.ask("diagnose", "ten.yaml", "b/V5.yaml", code=0)

    def test_readings_that_say_no_value_are_of_the_batch(self):
        readings = self.simulated("v5.yaml", "--value", "track=250k", "--seed", "5")
        text = (self.folder / readings).read_text()
        (self.folder / readings).write_text(re.sub(r"values: .*\n", "", text))
        self.assertIn("V5: pass", self.ask("batch", "take", "b", "V5", "--readings", readings).stdout)

    def test_readings_of_another_value_are_not_taken(self):
        told = self.refused("batch", "take", "b", "V6", "--readings", self.simulated("v6.yaml", "--value", "track=1M"))
        self.assertRegex(told, r"v6\.yaml:3:17: error: taken with track=1M, and the netlist is read with track=250k \(U306\)")
        self.assertIn("250k is said at b/batch.yaml:4:17", told)
        self.assertFalse((self.folder / "b/V6.yaml").exists())
        self.ask("batch", "new", "ten.yaml", "-o", "own", "--stage", "bench", "--thorough")
        self.assertNotIn("values", self.kept("own/batch.yaml"))
        told = self.refused("batch", "take", "own", "V6", "--readings", "v6.yaml")
        self.assertIn("the netlist is read with its own track (U306)", told)

    def test_a_unit_s_session_has_them_and_says_how_it_goes_on(self):
        done = self.ask("batch", "take", "b", "V 7", typed="note begun\nstop\n")
        self.assertIn("To go on: lugwise batch take b 'V 7'\n", done.stdout)
        self.assertNotIn("--resume", done.stdout)
        self.assertNotIn("The plan has changed", done.stdout)
        self.assertEqual(self.kept("b/V%207.yaml")["values"], {"track": "250k"})
        done = self.ask("batch", "take", "b", "V 7", typed="note gone on\nstop\n")
        self.assertNotIn("The plan has changed", done.stdout)
        self.assertEqual([entry["note"] for entry in self.kept("b/V%207.yaml")["readings"]], ["begun", "gone on"])

    def test_a_unit_that_somebody_else_takes_is_told_of_without_an_option_that_take_has_not(self):
        with subprocess.Popen([PROGRAM, "batch", "take", "b", "V8", "--json"], cwd=self.folder, stdin=subprocess.PIPE,
                              stdout=subprocess.PIPE, text=True) as session:
            session.stdout.readline()
            session.stdin.write("note mine\n")
            session.stdin.flush()
            session.stdout.readline()
            told = self.refused("batch", "take", "b", "V8", typed="")
            session.stdin.close()
        self.assertIn("U332", told)
        self.assertNotIn("-o", told)
        self.assertIn("take the unit again later", told)


class Exercises(Bench):
    def made(self, folder, *words, harness="ten.yaml", count=2, seed=8, level=1):
        self.ask("exercise", "make", harness, "--level", level, "--count", count, "--seed", seed, "-o", folder, *words)
        return self.folder / folder

    def worked(self, file, *lines):
        done = self.ask("exercise", "work", file, "--by", "Ada", "--json", typed="\n".join(lines) + "\n", cwd="/")
        return [json.loads(line) for line in done.stdout.splitlines()]

    def answers(self, key):
        return yaml.safe_load(key.read_text())["is"][0]["fault"]["id"]

    def marked(self, log, keys, code=0):
        return self.ask("exercise", "mark", log, "--key", keys, "--json", code=code)

    def test_of_a_variant_whole_folders_are_handed_out(self):
        """Moved to another place, with nothing beside them, the exercises can be worked on and the answers marked."""
        made = self.made("week")
        self.assertEqual(sorted(path.name for path in made.rglob("*") if path.is_file()),
                         ["01.html", "01.md", "01.yaml", "02.html", "02.md", "02.yaml", "ten.yaml"])
        with tempfile.TemporaryDirectory() as elsewhere:
            for name in ("week", "week-keys"):
                shutil.move(self.folder / name, Path(elsewhere) / name)
            (self.folder / "ten.yaml").unlink()
            week = Path(elsewhere) / "week"
            said = self.worked(week / "01.yaml", "volume.3 volume.1",
                               f"is {self.answers(Path(elsewhere) / 'week-keys/01.yaml')}", "stop")
            self.assertIn("named", [one["reply"] for one in said])
            mark = json.loads(self.marked(week / "01-Ada.yaml", Path(elsewhere) / "week-keys").stdout)["marks"][0]
            self.assertEqual(mark["place"], 60)

    def test_the_netlist_handed_out_says_the_same_as_the_files_it_is_made_of(self):
        made = self.made("week")
        whole = made / "netlist/ten.yaml"
        self.assertNotIn("from", yaml.safe_load(whole.read_text()))
        for words in (["faults"], ["plan", "--thorough"], ["check"], ["draw"]):
            said = []
            for file in ("ten.yaml", whole):
                text = self.ask(*words[:1], file, *words[1:], "--json", "--value", "track=250k").stdout
                answer = json.loads(text)
                for known in (answer["harness"]["id"], answer.get("id"), str(file)):
                    text = text.replace(json.dumps(known), '"?"') if known else text
                said.append(re.sub(r'"line": *\d+', '"line":0', text))
            self.assertEqual(said[0], said[1], words)

    def test_wherever_the_files_lie_nothing_is_written_outside_the_folder(self):
        deep = self.folder / "a/b"
        deep.mkdir(parents=True)
        (self.folder / "base.yaml").write_text(TEN)
        (deep / "up.yaml").write_text("lugwise: 1\nfrom: ../../base.yaml\nname: Up and up\n")
        (deep / "far.yaml").write_text(f"lugwise: 1\nfrom: {self.folder}/base.yaml\nname: Far away\n")
        for name in ("up", "far"):
            before = {path for path in self.folder.rglob("*")}
            made = self.made(f"x/{name}", harness=f"a/b/{name}.yaml", count=1)
            new = {path for path in self.folder.rglob("*")} - before - {self.folder / "x"}
            keys = Path(f"{made}-keys")
            self.assertTrue(all(path in (made, keys) or {made, keys} & set(path.parents) for path in new), new)
            self.assertEqual(self.kept(f"x/{name}/01.yaml")["harness"], f"netlist/{name}.yaml")
            self.assertNotIn("base.yaml", (made / "netlist" / f"{name}.yaml").read_text())
            self.worked(made / "01.yaml", "stop")

    def test_an_exercise_is_worked_on_and_marked_with_the_values_it_was_made_with(self):
        made = self.made("week", "--value", "track=250k", "--fault", "the wire from volume.case to jack.sleeve (sleeve wire) is open", count=1)
        self.assertEqual(self.kept("week/01.yaml")["values"], {"track": "250k"})
        self.assertEqual(self.kept("week-keys/01.yaml")["values"], {"track": "250k"})
        reading = next(one["reading"] for one in self.worked(made / "01.yaml", "lift single.hot", "volume.1 volume.3", "stop")
                       if one["reply"] == "read")
        self.assertRegex(reading["reads"], r"^0\.2[0-9]+M$")
        self.marked(made / "01-Ada.yaml", "week-keys")

    def test_an_answer_of_another_week_is_not_marked_with_these_keys(self):
        one, other = self.made("week-1", seed=1), self.made("week-2", seed=2)
        self.worked(other / "01.yaml", "volume.3 volume.1", "stop")
        self.marked(other / "01-Ada.yaml", "week-2-keys")
        told = self.ask("exercise", "mark", other / "01-Ada.yaml", "--key", "week-1-keys", code=3).stderr
        self.assertIn("U345", told)
        self.assertIn("week-1-keys", told)
        # What is written from paper has no seal, and is taken at its word.
        (self.folder / "bo.yaml").write_text(f"lugwise-readings: 1\nharness: {one}/netlist/ten.yaml\n"
                                             "exercise: {number: 01, by: Bo}\nclaims: [the track of volume is open]\n")
        self.marked("bo.yaml", "week-1-keys")


class Codes(unittest.TestCase):
    def test_the_codes_of_the_command_line_are_those_on_its_page(self):
        page = (ROOT / "docs/commands.md").read_text()
        listed = re.findall(r"^\| (U\d{3}) \|", page, flags=re.M)
        self.assertEqual(len(listed), len(set(listed)))
        used = set()
        for folder in ("app", "lib"):
            for file in (ROOT / folder).rglob("*.cpp"):
                used |= set(re.findall(r'"(U\d{3})"', file.read_text()))
        self.assertEqual(set(listed), used)


if __name__ == "__main__":
    unittest.main()
