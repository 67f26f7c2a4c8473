"""No room includes, or links to, what the table in rooms.txt does not give it."""

import os
import re
import tempfile
import unittest
from pathlib import Path

from house import files, includes, place, table, written

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))

# A standard header has no folder, and no suffix but the old C ones.
STANDARD = re.compile(r"[a-z_0-9]+")


def include_problems(root):
    rules, problems = table(root), []
    for top in ("lib", "app", "tests"):
        for path in files(root / top):
            parts = path.relative_to(root / top).parts
            room = parts[0] if top == "lib" and len(parts) > 1 else None
            public = room is not None and path.suffix == ".h" and "inside" not in parts
            for line, mark, name in includes(path.read_text()):
                def wrong(why):
                    problems.append(f"{place(path, root)}:{line}: {name}: {why}")
                prefix = max((p for p in rules.outside if name.startswith(p)), key=len, default=None)
                if prefix is not None:
                    homes = rules.outside[prefix]
                    if not (top in homes or room in homes or (room and "*" in homes)):
                        wrong(f"{prefix} is for {' '.join(sorted(homes))} only")
                    elif public:
                        wrong(f"{prefix} may not be seen in a public header")
                elif mark == '"':
                    if not (root / "lib" / name).is_file():
                        if top == "lib":
                            wrong('write "room/file.h", of a file in lib/')
                        continue
                    target, private = name.split("/")[0], "/inside/" in name
                    if room and target != room and target not in rules.rooms.get(room, set()):
                        wrong(f"the table gives {room} no arrow to {target}")
                    home = parts[0] if top == "tests" else room  # a room's tests may look inside it
                    if private and target != home:
                        wrong(f"inside {target} is its own business")
                    if public and private:
                        wrong("a public header may not show what is inside")
                elif top == "lib" and not STANDARD.fullmatch(name):
                    wrong("neither the standard library nor in the table")
                elif top == "lib" and (root / "lib" / name).exists():
                    wrong("our own headers go in quotes")
    return problems


ROOM_CALL = re.compile(r"lugwise_room\(\s*(\w+)((?:[^()]|\n)*)\)")
THIRD_PARTY = {"Boost::headers": "boost/", "Eigen3::Eigen": "Eigen/", "yaml-cpp": "yaml-cpp/",
               "nlohmann_json::nlohmann_json": "nlohmann/"}


def link_problems(root):
    rules, problems = table(root), []
    on_disk = {p.name for p in (root / "lib").iterdir() if p.is_dir()}
    for room in sorted(on_disk ^ set(rules.rooms)):
        problems.append(f"lib/{room}: " + ("not in rooms.txt" if room in on_disk else "in rooms.txt but not on disk"))
    built = re.search(r"set\(rooms ([^)]*)\)", (root / "lib/CMakeLists.txt").read_text())
    for room in sorted(set(built.group(1).split()) ^ on_disk):
        problems.append(f"lib/CMakeLists.txt: {room} is either listed or on disk, not both")
    for room in sorted(on_disk & set(rules.rooms)):
        script = root / "lib" / room / "CMakeLists.txt"
        call = ROOM_CALL.search(script.read_text()) if script.is_file() else None
        if not call or call.group(1) != room:
            problems.append(f"lib/{room}/CMakeLists.txt: no lugwise_room({room} ...)")
            continue
        words = {"DEPENDS": set(), "LINK": set()}
        kind = None
        for word in call.group(2).split():
            if word in words:
                kind = word
            elif kind:
                words[kind].add(word)
        for other in sorted(words["DEPENDS"] ^ rules.rooms[room]):
            problems.append(f"lib/{room}/CMakeLists.txt: link to {other} is in only one of it and rooms.txt")
        for target in sorted(words["LINK"]):
            if room not in rules.outside.get(THIRD_PARTY.get(target, ""), set()):
                problems.append(f"lib/{room}/CMakeLists.txt: {target} is not for this room")
    return problems


def unused_problems(root):
    """Arrows that the table grants and no file of the room uses, by itself or through a header it shows."""
    rules, problems = table(root), []
    for room in sorted(rules.rooms):
        used = {name.split("/")[0] for path in files(root / "lib" / room)
                for _, mark, name in includes(path.read_text()) if mark == '"'}
        for other in sorted(rules.rooms[room] - used):
            problems.append(f"rooms.txt: {room} never uses its arrow to {other}")
    return problems


ROW = re.compile(r"^\| `(\w+)` \|[^|]*\|([^|]*)\|$", re.M)


def map_problems(root):
    """The map of rooms in DEVELOPERS.md tells the same arrows."""
    rules, problems = table(root), []
    told = {room: set(re.findall(r"\w+", arrows)) for room, arrows in ROW.findall((root / "DEVELOPERS.md").read_text())}
    for room in sorted(set(told) ^ set(rules.rooms)):
        problems.append(f"DEVELOPERS.md: {room} is in only one of it and rooms.txt")
    for room in sorted(set(told) & set(rules.rooms)):
        arrows = told[room]
        if {"every", "room", "but"} <= arrows:
            arrows = set(rules.rooms) - {room} - (arrows - {"every", "room", "but"})
        for other in sorted(arrows ^ rules.rooms[room]):
            problems.append(f"DEVELOPERS.md: the arrow from {room} to {other} is in only one of it and rooms.txt")
    return problems


def circles(rules):
    """Rooms that can be reached from themselves."""
    def reach(room):
        seen, ahead = set(), list(rules[room])
        while ahead:
            step = ahead.pop()
            if step not in seen:
                seen.add(step)
                ahead.extend(rules.get(step, ()))
        return seen
    return [room for room in rules if room in reach(room)]


class Arrows(unittest.TestCase):
    def test_every_include_follows_the_table(self):
        self.assertEqual(include_problems(ROOT), [])

    def test_every_link_edge_is_in_the_table_and_the_other_way_round(self):
        self.assertEqual(link_problems(ROOT), [])

    def test_the_developers_map_tells_the_same_arrows(self):
        self.assertEqual(map_problems(ROOT), [])

    def test_no_arrow_is_granted_and_never_used(self):
        self.assertEqual(unused_problems(ROOT), [])

    def test_the_arrows_never_bend_back(self):
        self.assertEqual(circles(table(ROOT).rooms), [])

    def test_each_kind_of_wrong_include_is_found(self):
        wrong = {
            "lib/low/low.h": '#include "high/high.h"\n',
            "lib/low/skin.h": "#include <Eigen/Dense>\n",
            "lib/low/alone.cpp": '#include "alone.h"\n',
            "lib/high/deep.cpp": '#include "low/inside/cell.h"\n',
            "lib/high/maths.cpp": "// fine\n#include <Eigen/Dense>\n",
            "lib/high/odd.cpp": "#include <unistd.h>\n",
            "app/json.cpp": "#include <Eigen/Core>\n",
        }
        right = {
            "tests/house/rooms.txt": "low:\nhigh: low\nEigen/ low\n",
            "lib/low/inside/cell.h": "#include <Eigen/Core>\n",
            "lib/low/cell.cpp": '#include "low/inside/cell.h"\n#include <vector>\n#include <Eigen/Core>\n',
            "lib/high/high.h": '#include "low/low.h"\n// #include <Eigen/Core>\n',
        }
        with tempfile.TemporaryDirectory() as folder:
            written(folder, wrong | right)
            found = include_problems(Path(folder))
        self.assertEqual({problem.split(":")[0] for problem in found}, set(wrong))

    def test_a_link_edge_missing_from_either_side_is_found(self):
        with tempfile.TemporaryDirectory() as folder:
            written(folder, {
                "tests/house/rooms.txt": "low:\nmiddle: low\nhigh: low\nyaml-cpp/ low\n",
                "lib/CMakeLists.txt": "set(rooms low middle high)\n",
                "lib/low/CMakeLists.txt": "lugwise_room(low LINK yaml-cpp)\n",
                "lib/middle/CMakeLists.txt": "lugwise_room(middle LINK yaml-cpp)\n",
                "lib/high/CMakeLists.txt": "lugwise_room(high\n  DEPENDS low middle)\n",
                "lib/stray/CMakeLists.txt": "lugwise_room(stray)\n",
            })
            found = link_problems(Path(folder))
        self.assertEqual([problem.split(":")[0] for problem in found],
                         ["lib/stray", "lib/CMakeLists.txt", "lib/high/CMakeLists.txt", "lib/middle/CMakeLists.txt",
                          "lib/middle/CMakeLists.txt"])

    def test_a_wrong_arrow_on_the_map_is_found(self):
        with tempfile.TemporaryDirectory() as folder:
            written(folder, {
                "tests/house/rooms.txt": "low:\nmiddle: low\nhigh: low middle\nlost:\n",
                "DEVELOPERS.md": "| `low` | a? | |\n| `middle` | b? | high |\n| `high` | c? | every room but lost |\n",
            })
            found = map_problems(Path(folder))
        self.assertEqual([problem.split(": ")[1].split(" is in")[0] for problem in found],
                         ["lost", "the arrow from middle to high", "the arrow from middle to low"])

    def test_an_arrow_that_nothing_uses_is_found(self):
        with tempfile.TemporaryDirectory() as folder:
            written(folder, {
                "tests/house/rooms.txt": "low:\nmiddle: low\nhigh: low middle\n",
                "lib/middle/middle.h": '#include "low/low.h"\n',
                "lib/high/high.cpp": '// #include "low/low.h"\n#include "middle/middle.h"\n',
            })
            found = unused_problems(Path(folder))
        self.assertEqual(found, ["rooms.txt: high never uses its arrow to low"])

    def test_a_circle_of_arrows_is_found(self):
        self.assertEqual(circles({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}}), ["a", "b", "c"])


if __name__ == "__main__":
    unittest.main()
