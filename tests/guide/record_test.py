"""Nothing is lost: sessions that are killed, put down, run out of disk, or meet another one on the same record."""

import os
import re
import resource
import shutil
import stat
import subprocess
import tempfile
import unittest
from pathlib import Path

from bench import PROGRAM, ROOT, Session

# What is typed, one line a prompt, on fernhollow-2: agreeing and wrong readings, a slip taken back, a remark, a place out
# of reach, what was heard, a reading taken again, a repair. A tuple is typed as it fits what is asked for.
ANY = ("OL", "smooth", "steady", "note still here")
NUMBER = ("6.71k on 20k", "jumps", "unstable", "note still there")
ENTRIES = ["0.3", "", "", "", "6.71k", "note the customer hears it when the cable is moved", "skip no room for the tip", NUMBER,
           "undo", ANY, "go 6", "OL", NUMBER, "heard front silent selector=front", "again", NUMBER, ANY,
           "repaired selector.f cleaned and bent", NUMBER]


def fitting(entry, screen):
    if isinstance(entry, str):
        return entry
    prompts = ("reads? ", "smooth or jumps? ", "steady or unstable? ", "what now? ")
    return next(text for text, prompt in zip(entry, prompts) if screen.endswith(prompt))


class Records(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)
        self.folder.chmod(0o755)
        shutil.copy(ROOT / "harnesses/fernhollow-2.yaml", self.folder)
        self.record = self.folder / "fernhollow-2.readings.yaml"

    def session(self, *words, **how):
        session = Session("guide", *words, cwd=self.folder, **how)
        self.addCleanup(session.__exit__)
        return session

    def begun(self, *words, **how):
        session = self.session(*words, **how)
        session.read()
        return session, session.type("")

    @staticmethod
    def tips(session):
        """The tips together, and the test cable found good: what comes before the first reading."""
        screen = session.type("0.3")
        for _ in range(3):
            assert screen.endswith("Enter when done: "), screen
            screen = session.type("")
        return screen

    @staticmethod
    def asked(screen):
        """What is asked for, without how to come there from what was before."""
        titles = re.findall(r"^(?:FIRST|STEP|NEXT PROBE|ONCE MORE|AFTER|FOUND|UNSURE|SOUND).*$", screen, re.M)
        return (titles[-1] if titles else None, screen.rstrip().splitlines()[-1])

    def diagnose(self, record=None):
        return subprocess.run([PROGRAM, "diagnose", "fernhollow-2.yaml", record or self.record.name], cwd=self.folder,
                              capture_output=True, text=True, check=False)

    def test_a_kill_at_every_prompt_loses_nothing(self):
        whole, screen = self.begun("fernhollow-2.yaml", "-o", "whole.yaml")
        screens = [screen]
        lines = []
        for entry in ENTRIES:
            lines.append(fitting(entry, screens[-1]))
            screens.append(whole.type(lines[-1]))
            self.assertNotIn("NOT TAKEN", screens[-1])
        whole.type("stop")

        session, screen = self.begun("fernhollow-2.yaml")
        for i, entry in enumerate(lines):
            # To jump to a step is no entry: it is forgotten with the session, and made again.
            if i > 0 and lines[i - 1] == "go 6":
                session.type("go 6")
            elif i > 0 and lines[i - 1] == "again":
                session.type("again")
            elif not entry.startswith(("note", "heard")) and (i == 0 or not lines[i - 1].startswith(("note", "heard"))):
                self.assertEqual(self.asked(screen), self.asked(screens[i]), f"before {entry}")
            session.type(entry)
            session.kill()
            self.assertEqual(self.diagnose().stderr, "")
            session, screen = self.begun("--resume", self.record.name)
        session.kill()
        self.assertEqual(self.record.read_text(), (self.folder / "whole.yaml").read_text())
        self.assertEqual(self.diagnose().stdout, self.diagnose("whole.yaml").stdout)
        self.assertEqual(sorted(path.name for path in self.folder.iterdir()),
                         ["fernhollow-2.readings.yaml", "fernhollow-2.yaml", "whole.yaml"])

    def test_a_draft_that_a_kill_left_half_written_harms_nothing(self):
        session, _ = self.begun("fernhollow-2.yaml")
        self.tips(session)
        session.kill()
        before = self.record.read_text()
        draft = self.folder / ".fernhollow-2.readings.yaml.new"
        draft.write_text(before[: len(before) // 2])
        session, screen = self.begun("--resume", self.record.name)
        self.assertIn("STEP 5", screen)
        self.assertFalse(draft.exists())
        self.assertEqual(self.record.read_text(), before)

    def test_the_end_of_the_input_puts_it_down(self):
        session, _ = self.begun("fernhollow-2.yaml")
        self.tips(session)
        session.type("6.71k")
        text = session.end_of_input()
        self.assertIn("lugwise guide --resume fernhollow-2.readings.yaml", text)
        self.assertEqual(session.code, 1)
        _, screen = self.begun("--resume", self.record.name)
        self.assertIn("STEP 6", screen)

    def test_a_session_without_an_entry_leaves_no_file(self):
        session, _ = self.begun("fernhollow-2.yaml")
        self.assertTrue(self.record.exists())
        session.type("stop")
        self.assertFalse(self.record.exists())

    def test_a_file_of_that_name_is_never_overwritten(self):
        self.record.write_text("mine\n")
        session = self.session("fernhollow-2.yaml")
        text = " ".join(session.read().split())
        self.assertEqual(session.code, 3)
        self.assertIn("U330", text)
        self.assertIn("--resume fernhollow-2.readings.yaml", text)
        self.assertIn("-o fernhollow-2.readings-2.yaml", text)
        self.assertEqual(self.record.read_text(), "mine\n")

    def odd_files(self):
        """What is no plain file, and what it is called."""
        os.mkfifo(self.folder / "pipe")
        (self.folder / "folder").mkdir()
        (self.folder / "nowhere").symlink_to("no-such-file")
        odd = {"pipe": "a pipe", "folder": "a folder", "nowhere": "a link that leads nowhere"}
        try:
            os.mknod(self.folder / "device", 0o666 | stat.S_IFCHR, os.makedev(1, 3))  # as /dev/null
            odd["device"] = "a device"
        except PermissionError:
            pass
        for name in [name for name in ("pipe", "device") if name in odd]:
            (self.folder / f"to-{name}").symlink_to(name)
            odd[f"to-{name}"] = odd[name]
        return odd

    def as_they_are(self):
        return {file.name: (os.lstat(file).st_ino, os.lstat(file).st_mode) for file in self.folder.iterdir()}

    def test_what_is_no_plain_file_is_no_record_and_stays_what_it_is(self):
        odd = self.odd_files()
        before = self.as_they_are()
        for name, called in odd.items():
            with self.subTest(name):
                session = self.session("fernhollow-2.yaml", "-o", name)
                text = " ".join(session.read().split())
                self.assertEqual(session.code, 3)
                self.assertIn("U330", text)
                self.assertIn(f"there is {called} of that name already", text)
                self.assertNotIn("--resume", text)
                session = self.session("fernhollow-2.yaml", "--resume", name)
                text = " ".join(session.read().split())
                self.assertEqual(session.code, 3)
                self.assertIn({"folder": "can't be read: Is a directory",
                               "nowhere": "can't be read: No such file or directory"}.get(name, f"it is {called}"), text)
        self.assertEqual(self.as_they_are(), before)

    def test_a_picture_takes_the_place_of_nothing(self):
        odd = self.odd_files()
        (self.folder / "fernhollow-2.readings.svg").symlink_to("pipe")
        before = self.as_they_are()
        session, _ = self.begun("fernhollow-2.yaml")
        for name, called in odd.items():
            self.assertIn(f"there is {called} '{name}' already", " ".join(session.type(f"picture {name}").split()))
        # Without a name it takes one that is free.
        self.assertIn("fernhollow-2.readings-2.svg", session.type("picture"))
        self.assertIn("fernhollow-2.readings-3.svg", session.type("picture"))
        session.type("stop")
        for number in (2, 3):
            (self.folder / f"fernhollow-2.readings-{number}.svg").unlink()
        self.assertEqual(self.as_they_are(), before)

    def test_a_picture_of_a_record_called_so_is_drawn_elsewhere(self):
        session, _ = self.begun("fernhollow-2.yaml", "-o", "job.svg")
        self.tips(session)
        self.assertIn("job-2.svg", session.type("picture"))
        session.type("stop")
        self.assertIn("reads: 0.3", (self.folder / "job.svg").read_text())

    def test_a_link_to_a_record_stays_a_link(self):
        session, _ = self.begun("fernhollow-2.yaml", "-o", "real.yaml")
        self.tips(session)
        session.kill()
        (self.folder / "elsewhere").mkdir()
        (self.folder / "elsewhere/link.yaml").symlink_to("../real.yaml")
        session, _ = self.begun("--resume", "elsewhere/link.yaml")
        session.type("6.71k")
        session.type("stop")
        self.assertTrue((self.folder / "elsewhere/link.yaml").is_symlink())
        self.assertIn("6.71k", (self.folder / "real.yaml").read_text())
        self.assertEqual(self.diagnose("elsewhere/link.yaml").stderr, "")

    def test_a_record_with_two_names_is_told_and_left(self):
        session, _ = self.begun("fernhollow-2.yaml")
        self.tips(session)
        session.kill()
        os.link(self.record, self.folder / "other.yaml")
        before = self.record.read_text()
        session = self.session("--resume", self.record.name)
        text = " ".join(session.read().split())
        self.assertEqual(session.code, 3)
        self.assertIn("it has 2 names (hard links)", text)
        self.assertIn("U331", text)
        self.assertEqual(self.record.read_text(), before)

    def test_a_link_laid_where_the_draft_goes_is_not_followed(self):
        (self.folder / "mine").write_text("mine\n")
        (self.folder / ".fernhollow-2.readings.yaml.new").symlink_to("mine")
        session, _ = self.begun("fernhollow-2.yaml")
        self.tips(session)
        session.type("stop")
        self.assertEqual((self.folder / "mine").read_text(), "mine\n")
        self.assertFalse(self.record.is_symlink())
        self.assertIn("0.3", self.record.read_text())

    def test_a_folder_that_cannot_be_written_to_is_told_at_once(self):
        how = {}
        if os.geteuid() == 0:
            how["limit"] = lambda: (os.setgid(65534), os.setuid(65534))
        else:
            self.folder.chmod(0o555)
            self.addCleanup(self.folder.chmod, 0o755)
        for words, why in ((("fernhollow-2.yaml",), "Permission denied"),
                           (("fernhollow-2.yaml", "-o", "nowhere/x.yaml"), "No such file or directory"),
                           (("fernhollow-2.yaml", "-o", "/proc/x.yaml"), "No such file or directory")):
            session = self.session(*words, **how)
            text = session.read()
            self.assertEqual(session.code, 3, text)
            self.assertIn("U331", text)
            self.assertIn(why, " ".join(text.split()))
            self.assertIn("-o FILE", text)
        self.assertFalse(self.record.exists())

    def test_two_sessions_do_not_share_a_record(self):
        first, _ = self.begun("fernhollow-2.yaml")
        self.tips(first)
        second = self.session("--resume", self.record.name)
        text = second.read()
        self.assertEqual(second.code, 3)
        self.assertIn("U332", text)
        self.assertIn(f"process {first.process.pid}", text)
        self.assertIn("-o FILE", text)
        self.assertIn("AGREES", first.type("6.71k"))
        # Each entry is another file under the same name; the lock goes with it.
        again = self.session("--resume", self.record.name)
        again.read()
        self.assertEqual(again.code, 3)
        first.type("stop")
        _, screen = self.begun("--resume", self.record.name)
        self.assertIn("STEP 6", screen)

    def test_what_another_program_wrote_meanwhile_is_not_overwritten(self):
        session, _ = self.begun("fernhollow-2.yaml")
        self.tips(session)
        before = self.record.read_text()
        self.record.write_text(before + "# mine\n")
        self.assertIn("NOT KEPT", session.type("6.71k"))
        self.assertEqual(self.record.read_text(), before + "# mine\n")
        self.record.write_text(before)
        self.assertIn("AGREES", session.type(""))
        self.assertIn("6.71k", self.record.read_text())

    def fill_up(self, fill, free):
        """A session whose disk is full at one entry, and has room again at the next try."""
        session, _ = self.begun("fernhollow-2.yaml")
        self.tips(session)
        before = self.record.read_text()
        fill(session)
        for _ in range(2):
            text = session.type("6.71k" if "NOT KEPT" not in session.shown else "")
            self.assertIn("NOT KEPT", text)
            self.assertIn("press Enter to try again", " ".join(text.split()))
            self.assertEqual(self.record.read_text(), before)
            self.assertEqual(self.diagnose().stderr, "")
        free(session)
        text = session.type("")
        self.assertIn("AGREES", text)
        self.assertIn("6.71k", self.record.read_text())
        self.assertIn("STEP 6", text)
        return session

    def test_a_full_disk_keeps_the_entry_until_there_is_room(self):
        on_disk = self.folder / "disk"
        on_disk.mkdir()
        mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", on_disk], capture_output=True,
                                 check=False).returncode == 0
        if not mounted:
            self.skipTest("no small file system can be mounted here")
        self.addCleanup(subprocess.run, ["umount", "-l", on_disk], check=False)
        shutil.copy(self.folder / "fernhollow-2.yaml", on_disk)
        self.folder = on_disk
        self.record = on_disk / self.record.name
        ballast = on_disk / "ballast"

        def fill(_):
            with open(ballast, "wb", buffering=0) as file:
                try:
                    while True:
                        file.write(b"x" * 4096)
                except OSError:
                    pass
        session = self.fill_up(fill, lambda _: ballast.unlink())
        self.assertIn("No space left on device", session.shown)

    def test_a_limit_on_the_size_of_files_is_like_a_full_disk(self):
        none = (resource.RLIM_INFINITY, resource.RLIM_INFINITY)
        session = self.fill_up(lambda s: resource.prlimit(s.process.pid, resource.RLIMIT_FSIZE, (100, none[1])),
                               lambda s: resource.prlimit(s.process.pid, resource.RLIMIT_FSIZE, none))
        self.assertIn("File too large", session.shown)

    def test_an_entry_that_cannot_be_kept_can_be_kept_elsewhere_or_given_up(self):
        for last, code in (("save elsewhere.yaml", None), ("stop", 3)):
            session, _ = self.begun("fernhollow-2.yaml", "-o", f"{last.split()[0]}-record.yaml")
            self.tips(session)
            record = self.folder / f"{last.split()[0]}-record.yaml"
            before = record.read_text()
            record.write_text(before + "# mine\n")
            self.assertIn("NOT KEPT", session.type("6.71k"))
            text = session.type(last)
            self.assertEqual(record.read_text(), before + "# mine\n")
            if code is None:
                self.assertIn("STEP 6", text)
                self.assertIn("6.71k", (self.folder / "elsewhere.yaml").read_text())
            self.assertEqual(session.code, code)

    def test_readings_written_by_hand_can_be_gone_on_with(self):
        self.record.write_text((ROOT / "harnesses/jobs/fernhollow-2-silent-front.yaml").read_text()
                               .replace("../fernhollow-2.yaml", "fernhollow-2.yaml"))
        before = self.diagnose()
        session, screen = self.begun("--resume", self.record.name)
        self.assertIn("FIRST", screen)
        self.assertIn("FOUND", self.tips(session))
        after = self.diagnose()
        self.assertEqual((before.returncode, after.returncode), (1, 1))
        verdict = re.compile(r"The contact between \S+ and \S+ is open")
        self.assertEqual(verdict.findall(before.stdout), verdict.findall(after.stdout))

    def test_a_record_gone_on_with_is_not_written_before_something_is_entered(self):
        text = ("# for Monday's customer\n" + (ROOT / "harnesses/jobs/fernhollow-2-silent-front.yaml").read_text()
                .replace("../fernhollow-2.yaml", "fernhollow-2.yaml"))
        self.record.write_text(text)
        session = self.session("--resume", self.record.name)
        self.assertIn("stays as it is until something is entered", session.read())
        session.type("stop")
        self.assertEqual(self.record.read_text(), text)
        self.assertEqual([each.name for each in self.folder.glob("*.before*")], [])

        session, _ = self.begun("--resume", self.record.name)
        self.tips(session)
        self.assertNotEqual(self.record.read_text(), text)
        self.assertEqual((self.folder / "fernhollow-2.readings.before.yaml").read_text(), text)
        session.kill()

        # Another one is kept under another name, and what lugwise wrote itself is not kept beside.
        self.record.write_text(text)
        session, _ = self.begun("--resume", self.record.name)
        self.tips(session)
        self.assertEqual((self.folder / "fernhollow-2.readings.before-2.yaml").read_text(), text)
        session.kill()
        session = self.session("--resume", self.record.name)
        self.assertNotIn("stays as it is", session.read())
        session.type("note again")
        self.assertEqual(len(list(self.folder.glob("*.before*"))), 2)

    def test_a_record_gone_on_with_is_still_there_when_all_in_it_is_taken_back_or_nothing_was_in_it(self):
        session, _ = self.begun("fernhollow-2.yaml")
        session.type("note once")
        session.type("stop")
        session, _ = self.begun("--resume", self.record.name)
        self.assertIn("Undone", session.type("undo"))
        session.type("stop")
        self.assertTrue(self.record.exists())
        empty = self.folder / "empty.yaml"
        empty.write_text("")
        session = self.session("fernhollow-2.yaml", "--resume", "empty.yaml")
        session.read()
        session.type("stop")
        self.assertEqual(empty.read_text(), "")

    def test_a_netlist_that_changed_since_is_mentioned(self):
        session, _ = self.begun("fernhollow-2.yaml")
        session.type("note once")
        session.type("stop")
        netlist = self.folder / "fernhollow-2.yaml"
        netlist.write_text(netlist.read_text().replace("6.2k", "6.4k"))
        session = self.session("--resume", self.record.name)
        self.assertIn("The plan has changed since this record was begun", session.read())

    def test_a_remark_of_any_characters_comes_back_as_it_was(self):
        remark = 'a "b" \\ c: [d], {e} # f \' ö Ω %'
        session, _ = self.begun("fernhollow-2.yaml")
        session.type("note " + remark)
        session.type("skip : - #")
        session.kill()
        before = self.record.read_text()
        session, _ = self.begun("--resume", self.record.name)
        self.assertIn("Undone", session.type("undo"))
        self.assertIn("note " + remark, session.type("undo"))
        self.assertEqual(self.diagnose().stderr, "")
        self.assertIn("Ω", before)


if __name__ == "__main__":
    unittest.main()
