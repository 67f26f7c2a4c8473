"""The rooms stay pure, names stay honest, and nothing lies on disk unbuilt."""

import os
import re
import tempfile
import unittest
from pathlib import Path

from house import bare, files, includes, place, table, types, written

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))

TOP_LEVEL = {"CMakeLists.txt", "README.md", "DEVELOPERS.md", "lib", "app", "harnesses", "tests", "docs"}
TEST_FOLDERS = {"app", "bench", "browser", "cases", "fuzz", "guide", "house", "support"}
VAGUE = {"util", "utils", "common", "misc", "helper", "helpers", "manager", "types", "core", "base"}

# lib/ neither opens a file, nor prints, nor reads a clock, nor ends the program, nor throws dice.
IMPURE_HEADERS = {"iostream", "fstream", "filesystem", "cstdio", "stdio.h", "chrono", "ctime", "time.h", "print",
                  "syncstream", "thread", "csignal", "fmt/os.h", "fmt/chrono.h"}
IMPURE_WORDS = re.compile(
    r"\b(?:std::)?(cout|cerr|clog|cin|printf|fprintf|puts|fopen|getenv|system_clock|steady_clock|random_device"
    r"|exit|abort|terminate|setlocale)\b(?=\s*(?:\(|<<|>>|::|\{))|\bfmt::print\b|\busing namespace std\b")

# Debian 12 builds the page with libc++ 13, which has none of these.
HEADERS_NOT_IN_THE_PAGE = {"memory_resource", "format", "source_location", "syncstream", "execution"}
NOT_IN_THE_PAGE = re.compile(r"\bstd::(ranges|views|pmr|bit_cast|format|source_location|jthread)\b")


def top_level_problems(root):
    names = {p.name for p in root.iterdir() if not p.name.startswith(".") and not p.name.startswith("build")}
    return [f"{name}: not for the top level" for name in sorted(names - TOP_LEVEL)]


def name_problems(root):
    problems = []
    for top in ("lib", "app", "tests"):
        for path in files(root / top, {".cpp", ".h", ".py", ".txt", ".cmake"}):
            for part in path.relative_to(root).parts:
                stem = part.split(".")[0]
                if VAGUE & set(stem.split("_")) and stem not in ("case", "cases"):
                    problems.append(f"{place(path, root)}: {stem} says nothing about what is in it")
            if path.suffix in (".cpp", ".h") and not re.fullmatch(r"[a-z0-9_]+\.(cpp|h)", path.name):
                problems.append(f"{place(path, root)}: files are snake_case")
    return problems


def twin_problems(root):
    """The same file name in two rooms; report excepted, which words each thing in a file of that thing's name."""
    seen, problems = {}, []
    for path in files(root / "lib"):
        if path.relative_to(root / "lib").parts[0] == "report":
            continue
        if path.name in seen:
            problems.append(f"{place(path, root)}: there is already {place(seen[path.name], root)}")
        seen.setdefault(path.name, path)
    return problems


def purity_problems(root):
    problems = []
    for path in files(root / "lib"):
        text = path.read_text()
        for line, _, name in includes(text):
            if name in IMPURE_HEADERS:
                problems.append(f"{place(path, root)}:{line}: <{name}> has no place in lib/")
            if name in HEADERS_NOT_IN_THE_PAGE:
                problems.append(f"{place(path, root)}:{line}: <{name}> is unknown where the page is built")
        code = bare(text)
        for match in IMPURE_WORDS.finditer(code):
            line = code.count("\n", 0, match.start()) + 1
            problems.append(f"{place(path, root)}:{line}: {match.group()} has no place in lib/")
        for match in NOT_IN_THE_PAGE.finditer(code):
            line = code.count("\n", 0, match.start()) + 1
            problems.append(f"{place(path, root)}:{line}: {match.group()} is unknown where the page is built")
    return problems


def header_problems(root):
    problems = []
    for top in ("lib", "app", "tests"):
        for path in files(root / top, {".h"}):
            if "#pragma once" not in path.read_text():
                problems.append(f"{place(path, root)}: no #pragma once")
            elif re.search(r"^using namespace ", bare(path.read_text()), re.M):
                problems.append(f"{place(path, root)}: a header opens a namespace for everyone")
    return problems


def unbuilt_problems(root):
    """Files that no glob picks up: in folders nobody builds, or too deep."""
    problems = []
    rooms = set(table(root).rooms)
    for path in files(root / "tests", {".cpp", ".h"}):
        parts = path.relative_to(root / "tests").parts
        outside = parts[:2] == ("house", "outside")
        if parts[0] not in rooms | TEST_FOLDERS:
            problems.append(f"{place(path, root)}: tests/{parts[0]} is neither a room nor known to tests/CMakeLists.txt")
        elif len(parts) != 2 and not (len(parts) == 3 and parts[1] == "peer") and not outside:
            problems.append(f"{place(path, root)}: only tests/{parts[0]}/ and tests/{parts[0]}/peer/ are built")
        elif parts[0] == "bench" and path.suffix == ".cpp" and not path.name.startswith("bench_"):
            problems.append(f"{place(path, root)}: benches are named bench_*.cpp")
    for path in files(root / "tests", {".py"}):
        if "unittest.main" in path.read_text() and not path.name.endswith("_test.py"):
            problems.append(f"{place(path, root)}: only *_test.py is run")
    for path in files(root / "lib"):
        parts = path.relative_to(root / "lib").parts
        if not (len(parts) == 2 or (len(parts) == 3 and parts[1] == "inside")):
            problems.append(f"{place(path, root)}: only lib/<room>/ and lib/<room>/inside/ are built")
    for path in files(root / "app"):
        parts = path.relative_to(root / "app").parts
        if not (len(parts) == 1 or (len(parts) == 2 and parts[0] == "browser")):
            problems.append(f"{place(path, root)}: only the files directly in app/ and app/browser/ are built")
    return problems


def namesake_problems(root):
    """Two types of one full name: undefined behaviour as soon as one program uses both."""
    seen, problems = {}, []
    for top in ("lib", "app"):
        for path in files(root / top):
            for line, name in types(path.read_text()):
                here = f"{place(path, root)}:{line}"
                if name in seen:
                    problems.append(f"{here}: {name} is also defined at {seen[name]}")
                seen.setdefault(name, here)
    return problems


def private_problems(root):
    """What is private to a room has a name of that room: lugwise::<room>::inside."""
    problems = []
    for path in files(root / "lib", {".cpp", ".h"}):
        parts = path.relative_to(root / "lib").parts
        if len(parts) != 3:
            continue
        code = bare(path.read_text())
        names = re.findall(r"^namespace (lugwise[\w:]*) \{", re.sub(r" \{\ninline namespace ", "::", code), re.M)
        for name in names or ["nothing"]:
            if name != f"lugwise::{parts[0]}::inside":
                problems.append(f"{place(path, root)}: {name} is not lugwise::{parts[0]}::inside")
    return problems


# What conducts, what is soldered and what hands do is for lib/: app/ hands over what was typed and prints what comes back.
TRADE = re.compile(r"\b(ElementKind|PointRole|EntryKind|Joint|joints|Lug|lugs|Wiper|wiper\w*|track\w*|solder\w*|swept"
                   r"|wiggled|tips_together)\b")


def trade_problems(root):
    problems = []
    for path in files(root / "app"):
        code = bare(path.read_text())
        for match in TRADE.finditer(code):
            line = code.count("\n", 0, match.start()) + 1
            problems.append(f"{place(path, root)}:{line}: {match.group()} belongs in a room of lib/")
    return problems


LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)]*)?\)")


def page_problems(root):
    """Links between our pages, and the paths DEVELOPERS.md points at, lead somewhere."""
    problems = []
    pages = sorted(root.glob("*.md")) + files(root / "docs", {".md"}) + files(root / "harnesses", {".md"})
    for page in pages:
        text = page.read_text()
        for target in LINK.findall(text):
            if "://" not in target and not target.startswith("mailto:") and not (page.parent / target).exists():
                problems.append(f"{place(page, root)}: link to {target} leads nowhere")
    guide = root / "DEVELOPERS.md"
    if guide.is_file():
        for path in re.findall(r"`((?:lib|app|tests|docs|harnesses|\.ci)/[\w./-]*)`", guide.read_text()):
            if not (root / path).exists():
                problems.append(f"DEVELOPERS.md: {path} does not exist")
    return problems


def one_sided_problems(root):
    """A comparison that scales its margin by one side only; its maintainers advise against it."""
    return [f"{place(path, root)}: compare with WithinRel and WithinAbs" for path in files(root / "tests")
            if re.search(r"\bApprox\b", bare(path.read_text()))]


class Habits(unittest.TestCase):
    def test_what_many_tests_go_through_is_there(self):
        """They go through all files of a folder, and of an empty one all would be well."""
        for pattern, least in (("fernhollow-*.yaml", 20), ("jobs/*.yaml", 9), ("meters/*.yaml", 3), ("parts/*.yaml", 4)):
            self.assertGreaterEqual(len(list((ROOT / "harnesses").glob(pattern))), least, pattern)
        for pattern, least in (("*.case", 50), ("bad/*.yaml", 250)):
            self.assertGreaterEqual(len(list((ROOT / "tests/cases").glob(pattern))), least, pattern)

    def test_numbers_are_compared_with_a_margin_on_both_sides(self):
        self.assertEqual(one_sided_problems(ROOT), [])

    def test_the_top_level_holds_only_what_belongs_there(self):
        self.assertEqual(top_level_problems(ROOT), [])

    def test_no_file_or_folder_has_a_name_that_says_nothing(self):
        self.assertEqual(name_problems(ROOT), [])

    def test_no_two_rooms_have_a_file_of_the_same_name(self):
        self.assertEqual(twin_problems(ROOT), [])

    def test_the_rooms_touch_no_file_stream_clock_or_exit(self):
        self.assertEqual(purity_problems(ROOT), [])

    def test_headers_guard_themselves_and_open_no_namespace(self):
        self.assertEqual(header_problems(ROOT), [])

    def test_every_source_on_disk_is_built(self):
        self.assertEqual(unbuilt_problems(ROOT), [])

    def test_no_two_types_have_one_name(self):
        self.assertEqual(namesake_problems(ROOT), [])

    def test_what_is_private_to_a_room_is_named_so(self):
        self.assertEqual(private_problems(ROOT), [])

    def test_the_program_leaves_the_trade_to_the_rooms(self):
        self.assertEqual(trade_problems(ROOT), [])

    def test_links_in_our_pages_lead_somewhere(self):
        self.assertEqual(page_problems(ROOT), [])

    def test_each_broken_habit_is_found(self):
        with tempfile.TemporaryDirectory() as folder:
            root = Path(folder)
            written(root, {
                "tests/house/rooms.txt": "low:\nhigh:\n",
                "scripts/x.sh": "",
                "README.md": "[a](docs/none.md) [b](https://example.org)",
                "DEVELOPERS.md": "see `lib/none/` and `lib/low/`",
                "lib/low/misc.h": "#pragma once\n",
                "lib/low/twin.h": "#pragma once\n",
                "lib/high/twin.h": "int unguarded();\n",
                "lib/low/deep/er/x.cpp": "",
                "lib/low/clock.cpp": '#include <chrono>\nauto t = "std::cout << 1";  // std::cerr << 2\n',
                "lib/low/loud.cpp": "void f() {\n  std::cout << 1;\n}\n",
                "lib/low/new.cpp": "#include <memory_resource>\nvoid f() {\n  std::ranges::sort(a);\n}\n",
                "lib/low/quiet.cpp": "auto a = circuit.exit; int abort_count = 1'000; char c = 'x'; // exit()\n",
                "lib/low/two.h": "#pragma once\nnamespace lugwise {\nstruct Effort {\n  struct In {};\n};\n}\n",
                "lib/low/three.cpp": "namespace lugwise {\nnamespace {\nstruct Effort {};\n}\nvoid f() { struct In {}; }\n}\n",
                "lib/high/two_more.h": "#pragma once\nnamespace lugwise::high::inside {\nclass Effort {};\n}\n",
                "lib/high/again.h": "#pragma once\nnamespace lugwise {\nenum class Effort : int { Low };\n}\n",
                "lib/high/inside/own.h": "#pragma once\nnamespace lugwise {\nstruct Own {};\n}\n",
                "app/solder.cpp": "// a coil\nint wiggled = 0;\nauto text = \"lug\";\n",
                "tests/elsewhere/x.cpp": "",
                "tests/low/near_test.cpp": "CHECK(x == Approx(1));\n",
                "tests/low/speed_run.py": "unittest.main()\n",
            })
            def first(problems):
                return [problem.split(": ")[0] for problem in problems]
            self.assertEqual(first(top_level_problems(root)), ["scripts"])
            self.assertEqual(first(name_problems(root)), ["lib/low/misc.h"])
            self.assertEqual(first(twin_problems(root)), ["lib/low/twin.h"])
            self.assertEqual(first(header_problems(root)), ["lib/high/twin.h"])
            self.assertEqual(first(one_sided_problems(root)), ["tests/low/near_test.cpp"])
            self.assertEqual(first(purity_problems(root)), ["lib/low/clock.cpp:1", "lib/low/loud.cpp:2", "lib/low/new.cpp:1", "lib/low/new.cpp:3"])
            self.assertEqual(first(unbuilt_problems(root)),
                             ["tests/elsewhere/x.cpp", "tests/low/speed_run.py", "lib/low/deep/er/x.cpp"])
            self.assertEqual(first(namesake_problems(root)), ["lib/low/two.h:3"])
            self.assertEqual(first(private_problems(root)), ["lib/high/inside/own.h"])
            self.assertEqual(first(trade_problems(root)), ["app/solder.cpp:2"])
            self.assertEqual(first(page_problems(root)), ["README.md", "DEVELOPERS.md"])


if __name__ == "__main__":
    unittest.main()
