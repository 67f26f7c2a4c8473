"""The picture of every worked harness, judged from its SVG alone: nothing lies on anything else, all is there once.

Text widths come from the picture; where the font it asks for (or one of the same metrics) is installed, they are held to
the font's own. What must be there comes from the netlist, read here by PyYAML.
"""

import functools
import itertools
import json
import math
import os
import re
import shutil
import stat
import struct
import subprocess
import tempfile
import unittest
import xml.etree.ElementTree as ET
from pathlib import Path

import yaml

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PROGRAM = Path(os.environ.get("LUGWISE_PROGRAM", ROOT / ".build/dev/lugwise"))
HARNESSES = sorted((ROOT / "harnesses").glob("*.yaml")) + sorted((ROOT / "harnesses/parts").glob("*.yaml"))
FONTS = ["/usr/share/fonts/truetype/liberation2/LiberationSans-{}.ttf",
         "/usr/share/fonts/truetype/liberation/LiberationSans-{}.ttf"]
SVG = "{http://www.w3.org/2000/svg}"
BESIDE = 0.3  # of the leads of a pickup that end at one point: how much runs beside another of them
MOST_CROSSINGS = 15  # of one harness; docs/drawing.md has the counts


def draw(*words):
    done = subprocess.run([PROGRAM, "draw", *map(str, words)], cwd=ROOT, capture_output=True, timeout=900)
    return done.stdout.decode(), done.stderr.decode(), done.returncode


@functools.lru_cache(maxsize=None)
def picture(*words):
    out, err, code = draw(*words, "--json")
    assert code == 0, err
    answer = json.loads(out)
    return Picture(answer["svg"], answer)


def points_of(way):
    """The corners of a path of M, L and Q: a rounded corner is the point it is drawn around."""
    steps = [(kind, list(map(float, rest.split()))) for kind, rest in re.findall(r"([MLQ])([^MLQ]*)", way)]
    rounded = lambda i: i + 1 < len(steps) and steps[i][0] == "L" and steps[i + 1][0] == "Q"
    return [(at[0], at[1]) for i, (_, at) in enumerate(steps) if not rounded(i)]


class Picture:
    def __init__(self, text, answer=None):
        self.text = text
        self.answer = answer  # what --json says of it
        self.root = ET.fromstring(text)
        self.texts = []     # (box, words, part or None, class)
        self.outlines = []  # (part, box or circle)
        self.runs = []      # (from, to, wire or None, corners)
        self.probes = []    # (point, corners of the grip, circle at its end)
        self.walk(self.root, (0.0, 0.0), None, None)

    def walk(self, node, shift, part, strand):
        moved = re.match(r"translate\(([-\d.]+) ([-\d.]+)\)", node.get("transform", ""))
        if moved:
            shift = (shift[0] + float(moved[1]), shift[1] + float(moved[2]))
        part = node.get("data-part", part)
        if node.get("class") in ("leg", "lead", "touch"):
            strand = node
        if node.tag == SVG + "text":
            self.take_text(node, shift, part)
        if node.get("class") == "outline":
            if node.tag == SVG + "circle":
                shape = (float(node.get("cx")) + shift[0], float(node.get("cy")) + shift[1], float(node.get("r")))
            else:
                x, y, w, h = (float(node.get(k)) for k in ("x", "y", "width", "height"))
                shape = (x + shift[0], y + shift[1], x + w + shift[0], y + h + shift[1])
            self.outlines.append((part, shape))
        if node.get("data-probe"):
            grip = points_of([each.get("d") for each in node.iter(SVG + "path")][-1].rstrip("Z"))
            end = [[float(each.get(k)) for k in ("cx", "cy", "r")] for each in node.iter(SVG + "circle")][-1]
            self.probes.append((node.get("data-at"), [(x + shift[0], y + shift[1]) for x, y in grip],
                                (end[0] + shift[0], end[1] + shift[1], end[2])))
        if node.get("class") == "run":
            corners = [(x + shift[0], y + shift[1]) for x, y in points_of(node.get("d"))]
            self.runs.append((strand.get("data-from"), strand.get("data-to"), strand.get("data-wire"), corners))
        for child in node:
            self.walk(child, shift, part, strand)

    def take_text(self, node, shift, part):
        size, width = float(node.get("font-size")), node.get("textLength")
        if width is None:
            return  # a letter within a mark of the legend
        x, y, width = float(node.get("x")), float(node.get("y")), float(width)
        back = {"start": 0, "middle": width / 2, "end": width}[node.get("text-anchor")]
        # What letters cover of their size: 0.73 above the base line, 0.21 below it.
        box = (x - back, y - 0.73 * size, x - back + width, y + 0.21 * size)
        if "rotate(-90" in node.get("transform", ""):
            box = (x - 0.73 * size, y + back - width, x + 0.21 * size, y + back)
        box = (box[0] + shift[0], box[1] + shift[1], box[2] + shift[0], box[3] + shift[1])
        words = "".join(t for t in node.itertext())
        title = node.find(SVG + "title")
        if title is not None:
            words = words.replace(title.text or "", "", 1)
        self.texts.append((box, words, part, node.get("class")))

    def all(self, attribute):
        return [node.get(attribute) for node in self.root.iter() if node.get(attribute) is not None]


def overlap(a, b, slack=0.3):
    return a[0] + slack < b[2] and b[0] + slack < a[2] and a[1] + slack < b[3] and b[1] + slack < a[3]


def within(point, shape, slack=1.0):
    if len(shape) == 3:
        return math.dist(point, shape[:2]) < shape[2] - slack
    return shape[0] + slack < point[0] < shape[2] - slack and shape[1] + slack < point[1] < shape[3] - slack


def within_corners(point, corners):
    """Whether a line from the point to the right leaves the shape once more than it enters it."""
    odd = False
    for (x, y), (u, v) in zip(corners, corners[-1:] + corners[:-1]):
        if (y > point[1]) != (v > point[1]):
            odd ^= point[0] < (u - x) * (point[1] - y) / (v - y) + x
    return odd


def covered(drawn):
    """The words that a probe lies on, by more than a hair."""
    for at, corners, end in drawn.probes:
        xs, ys = zip(*corners, (end[0] - end[2], end[1] - end[2]), (end[0] + end[2], end[1] + end[2]))
        for box, words, _, kind in drawn.texts:
            if not overlap(box, (min(xs), min(ys), max(xs), max(ys)), 0):
                continue
            steps = [max(2, round(box[2] - box[0])), max(2, round(box[3] - box[1]))]
            spots = [(box[0] + (box[2] - box[0]) * i / steps[0], box[1] + (box[3] - box[1]) * j / steps[1])
                     for i in range(steps[0] + 1) for j in range(steps[1] + 1)]
            on = sum(within(spot, end, 0) or within_corners(spot, corners) for spot in spots)
            if kind != "probe" and on > 0.01 * len(spots):
                yield at, words


def samples(corners, step=2.0):
    """Points along a run, each with its way from the nearer end."""
    legs = [math.dist(a, b) for a, b in zip(corners, corners[1:])]
    total, gone = sum(legs), 0.0
    for (a, b), leg in zip(zip(corners, corners[1:]), legs):
        at = 0.0
        while at <= leg and leg > 0:
            t = at / leg
            yield (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])), min(gone + at, total - gone - at)
            at += step
        gone += leg


def part_of(point):
    """The part a point, or a wire's end (`A>B`, `name:A>B`), is on."""
    if ">" in point:
        point = point.split(":")[-1].split(">")[0]
    return point.split(".")[0]


def segments(corners):
    for a, b in zip(corners, corners[1:]):
        yield (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))


# ---- what the netlist says must be there


def expected_points(name, part):
    kind = part["kind"]
    if kind == "pot":
        return {f"{name}.{p}" for p in ("1", "2", "3", *(() if "gang" in part else ("case",)))}
    if kind == "switch":
        return {f"{name}.{p}" for p in part["lugs"]}
    if kind == "jack":
        own = [*part.get("contacts", ["tip", "ring", "sleeve"] if part.get("plug") == "stereo" else ["tip", "sleeve"]), *part.get("rests", {}).values(), "plug-tip", "plug-sleeve"]
        own += ["plug-ring"] if part.get("plug") == "stereo" else []
        return {f"{name}.{p}" for p in own}
    if kind in ("metal", "module"):
        return {f"{name}.{p}" for p in part["points"]}
    if kind == "battery":
        return {f"{name}.plus", f"{name}.minus"}
    if kind != "pickup":
        return {f"{name}.1", f"{name}.2"}
    ends = [f"{coil}-{end}" for coil in part["coils"] for end in ("start", "finish")] if "coils" in part else ["hot", "ground"]
    ends += ["shield"] if part.get("shield") == "true" else []
    called = {end: lead for lead, end in part.get("leads", {}).items()}
    return {f"{name}.{called.get(end, end)}" for end in ends}


def expected_counts(netlist):
    """Legs of wires, and joints, contacts and touches made outside and inside parts."""
    legs = joints = 0
    for wire in netlist.get("wires", []):
        wire = {"run": wire} if isinstance(wire, list) else wire
        legs += len(wire["run"]) - 1
        joints += len(wire["run"]) if wire.get("uncut") == "true" else 2 * (len(wire["run"]) - 1)
        if "braid" in wire:
            legs += 1
            joints += sum(end != "free" for end in wire["braid"])
    for entry in netlist.get("joints", []):
        joints += sum(">" not in lead for lead in entry[1:])
    for touch in netlist.get("touches", []):
        joints += len(touch["points"] if isinstance(touch, dict) else touch) - 1
    for part in netlist["parts"].values():
        joints += sum(len(entry) - 1 for entry in part.get("inside", []))
    return legs, joints


class EveryHarness(unittest.TestCase):
    def each(self):
        for path in HARNESSES:
            with self.subTest(path.name):
                yield path, yaml.load(path.read_text(), yaml.BaseLoader), picture(path)

    def test_every_part_point_wire_and_joint_is_there_once(self):
        for path, netlist, drawn in self.each():
            self.assertEqual(sorted(drawn.all("data-part")), sorted(netlist["parts"]))
            points = set().union(*(expected_points(name, part) for name, part in netlist["parts"].items()))
            self.assertEqual(sorted(drawn.all("data-point")), sorted(points))
            legs, joints = expected_counts(netlist)
            self.assertEqual(len(drawn.all("data-leg")), legs)
            self.assertEqual(len(set(drawn.all("data-leg"))), legs)
            self.assertEqual(len(drawn.all("data-joint")), joints)
            self.assertEqual(len(set(drawn.all("data-joint"))), joints)

    def test_every_point_part_and_wire_can_be_pointed_at(self):
        for path, _, drawn in self.each():
            targets = []
            for group in drawn.root.iter(SVG + "g"):
                if any(group.get(key) for key in ("data-point", "data-part", "data-wire")):
                    self.assertIsNotNone(group.find(SVG + "title"))
                if group.get("data-point"):
                    self.assertEqual(group.find(SVG + "title").text, group.get("data-point"))
                    (circle,) = group.findall(SVG + "circle")
                    targets.append([float(circle.get(key)) for key in ("cx", "cy", "r")])
            for (x, y, r), (u, v, s) in itertools.combinations(targets, 2):
                self.assertGreaterEqual(min(r, s), 6)
                self.assertGreater(math.dist((x, y), (u, v)), max(r, s), path.name)

    def test_no_two_texts_overlap(self):
        for view in ((), ("--set", "jack=in")):
            for path, netlist, _ in self.each():
                if view and path.stem[-1] not in "45":
                    continue
                drawn = picture(path, *view)
                for (a, one, _, _), (b, other, _, _) in itertools.combinations(drawn.texts, 2):
                    self.assertFalse(overlap(a, b), f"'{one}' lies on '{other}'")

    def test_no_text_lies_on_a_part_that_is_not_its_own(self):
        for path, _, drawn in self.each():
            for box, words, part, _ in drawn.texts:
                corners = [(x, y) for x in (box[0], (box[0] + box[2]) / 2, box[2]) for y in (box[1], (box[1] + box[3]) / 2, box[3])]
                for other, shape in drawn.outlines:
                    if other != part:
                        self.assertFalse(any(within(corner, shape) for corner in corners), f"'{words}' lies on {other}")

    def test_no_wire_runs_through_a_part_it_is_not_at(self):
        for path, _, drawn in self.each():
            for start, end, _, corners in drawn.runs:
                own = {part_of(start), part_of(end)}
                for point, way in samples(corners):
                    for part, shape in drawn.outlines:
                        if within(point, shape):
                            self.assertIn(part, own, f"{start} to {end} runs through {part}")
                            self.assertLess(way, 26, f"{start} to {end} runs through its own {part}")

    def test_no_wire_that_passes_touches_an_outline(self):
        # Half of a wire with its dark edge is 3 wide.
        def off(point, shape):
            if len(shape) == 3:
                return math.dist(point, shape[:2]) - shape[2]
            return math.hypot(max(shape[0] - point[0], 0, point[0] - shape[2]), max(shape[1] - point[1], 0, point[1] - shape[3]))
        for _, _, drawn in self.each():
            for start, end, _, corners in drawn.runs:
                for point, from_end in samples(corners):
                    for part, shape in drawn.outlines:
                        if from_end > 16 and off(point, shape) < 3:
                            self.fail(f"{start} to {end} at {part}: {point}")

    def test_no_two_wires_run_on_top_of_each_other(self):
        for path, _, drawn in self.each():
            for (a, _, _, one), (b, _, _, other) in itertools.combinations(drawn.runs, 2):
                for s, t in itertools.product(segments(one), segments(other)):
                    width = min(s[2], t[2]) - max(s[0], t[0])
                    height = min(s[3], t[3]) - max(s[1], t[1])
                    side_by_side = (s[0] == s[2]) == (t[0] == t[2])
                    apart = max(-width, -height)
                    if side_by_side:
                        self.assertFalse(apart < 5 and max(width, height) > 1, f"{a} and {b} share a stretch")

    def test_crossings_are_counted_right_and_few(self):
        for path, _, drawn in self.each():
            crossings = 0
            for (_, _, _, one), (_, _, _, other) in itertools.combinations(drawn.runs, 2):
                for s, t in itertools.product(segments(one), segments(other)):
                    s_down, t_down = s[0] == s[2], t[0] == t[2]
                    if s_down == t_down:
                        continue
                    down, across = (s, t) if s_down else (t, s)
                    crossings += across[0] < down[0] < across[2] and down[1] < across[1] < down[3]
            self.assertEqual(drawn.answer["crossings"], crossings)
            self.assertEqual(drawn.answer["stubs"], 0)
            self.assertLessEqual(crossings, MOST_CROSSINGS)

    def test_ways_are_short_with_few_crossings_and_bends(self):
        # Of the first 17 harnesses: length in units and crossings where parts stood wherever their wires were shortest, 666
        # bends in all. As they lie in the instrument each may be a tenth longer, and cross no more often.
        BEFORE = {1: (1060, 2), 2: (2570, 8), 3: (3300, 8), 4: (5240, 13), 5: (7160, 18), 6: (4110, 9), 7: (3540, 11), 8: (3850, 12), 9: (2420, 6), 10: (3810, 9), 11: (4750, 13), 12: (3470, 4), 13: (2892, 7), 14: (2370, 8), 15: (1200, 3), 16: (3730, 11), 17: (1720, 2)}
        lengths = all_crossings = bends = 0
        for number, (before, before_crossings) in BEFORE.items():
            drawn, length = picture(ROOT / f"harnesses/fernhollow-{number}.yaml"), 0
            for _, _, _, corners in drawn.runs:
                length += sum(abs(x - u) + abs(y - v) for (x, y), (u, v) in zip(corners, corners[1:]))
                bends += len(corners) - 2
            with self.subTest(number):
                self.assertLessEqual(length, before * 1.1 + 1)
                self.assertLessEqual(drawn.answer["crossings"], before_crossings)
            lengths += length
            all_crossings += drawn.answer["crossings"]
        self.assertLessEqual(lengths, 0.96 * sum(length for length, _ in BEFORE.values()))
        self.assertLessEqual(all_crossings, 100)
        self.assertLessEqual(bends, 620)

    def test_the_same_netlist_gives_the_same_bytes(self):
        for path, _, drawn in self.each():
            if path.stem[-1] in "2469":
                self.assertEqual(draw(path)[0], drawn.text)

    def test_every_wire_with_a_name_or_colour_says_so(self):
        for path, netlist, drawn in self.each():
            words = [text for _, text, _, _ in drawn.texts]
            for wire in netlist.get("wires", []):
                if isinstance(wire, dict) and ("name" in wire or "colour" in wire):
                    label = ", ".join(wire[key] for key in ("name", "colour") if key in wire)
                    self.assertIn(label, words)
            self.assertNotIn("–", words)

    def test_nothing_comes_from_outside(self):
        for path, _, drawn in self.each():
            self.assertNotRegex(drawn.text, r"(?i)<script|<image|<foreignObject|href=|url\((?!#)|@import")
            self.assertEqual(drawn.root.find(SVG + "title") is not None, True)
            self.assertEqual(drawn.root.find(SVG + "desc") is not None, True)

    def test_all_lies_on_the_page(self):
        for path, _, drawn in self.each():
            _, _, width, height = map(float, drawn.root.get("viewBox").split())
            for box, words, _, _ in drawn.texts:
                self.assertTrue(box[0] >= 0 and box[1] >= 0 and box[2] <= width and box[3] <= height, words)
            for start, end, _, corners in drawn.runs:
                self.assertTrue(all(0 < x < width and 0 < y < height for x, y in corners), f"{start} to {end}")


def box_by_part(drawn):
    """The rectangle around all outlines of each part; under `NAME name` where the name of one without an outline stands."""
    box = {words + " name": text for text, words, part, _ in drawn.texts if words == part}
    for part, shape in drawn.outlines:
        if len(shape) == 3:
            shape = (shape[0] - shape[2], shape[1] - shape[2], shape[0] + shape[2], shape[1] + shape[2])
        had = box.get(part, shape)
        box[part] = (min(had[0], shape[0]), min(had[1], shape[1]), max(had[2], shape[2]), max(had[3], shape[3]))
    return box


def netlist_of(pickups, pots, *, switch=None, more="", top=""):
    """A harness of that many parts, joined by little; what lies where follows from the parts alone."""
    parts = "".join(f"  {name}: {{kind: pickup, dcr: 6k}}\n" for name in pickups) + "".join(f"  {name}: {{kind: pot, track: 250k}}\n" for name in pots)
    if switch:
        parts += f"  {switch}: {{kind: switch, lugs: [a, b, out], positions: {{one: [[a, out]], two: [[b, out]]}}}}\n"
    parts += "  jack: {kind: jack}\n" + more
    return f"lugwise: 1\n{top}parts:\n{parts}wires:\n  - [{pots[0]}.2, jack.tip]\n  - [{pots[0]}.case, jack.sleeve]\n"


class Cavities(unittest.TestCase):
    """Parts stand as in the usual kinds of cavity, seen from behind; which it is follows from what is there. Common practice, no source."""

    def svg(self, text):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "harness.yaml"
            path.write_text(text)
            out, err, code = draw(path, "--json")
            self.assertEqual(code, 0, err)
            return json.loads(out)["svg"]

    def boxes(self, text):
        return box_by_part(Picture(self.svg(text)))

    def level(self, box, *names):
        return all(box[a][1] < box[b][3] and box[b][1] < box[a][3] for a, b in itertools.combinations(names, 2))

    def in_order(self, box, *names):
        return all(box[a][2] < box[b][0] for a, b in zip(names, names[1:]))

    def test_on_a_control_plate_all_lies_in_one_line(self):
        box = self.boxes(netlist_of(["bridge", "neck"], ["tone", "volume"], switch="selector"))
        self.assertTrue(self.level(box, "selector", "volume", "tone", "jack"), box)
        self.assertTrue(self.in_order(box, "selector", "volume", "tone", "jack"), box)
        self.assertTrue(self.in_order(box, "neck", "bridge"), box)

    def test_on_a_scratchplate_tones_lie_below_the_volume(self):
        three = netlist_of(["neck", "middle", "bridge"], ["volume", "neck-tone", "tone"], switch="lever")
        said = netlist_of(["neck", "bridge"], ["volume", "neck-tone", "tone"], switch="lever", top="opening: scratchplate\n")
        named = netlist_of(["neck", "bridge"], ["volume", "neck-tone", "tone"], switch="lever", more="  scratchplate: {kind: metal, points: [foil]}\n")
        for text in (three, said, named):
            box = self.boxes(text)
            self.assertTrue(self.level(box, "lever", "volume") and self.level(box, "neck-tone", "tone", "jack"), box)
            self.assertTrue(self.in_order(box, "lever", "volume") and self.in_order(box, "neck-tone", "tone", "jack"), box)
            self.assertLess(box["volume"][3], box["tone"][1])
        plate = self.boxes(three.replace("parts:", "opening: control plate\nparts:", 1))
        self.assertTrue(self.level(plate, "lever", "volume", "tone"), plate)

    def test_on_a_scratchplate_rows_lie_aslant_toward_the_jack(self):
        box = self.boxes(netlist_of(["neck", "middle", "bridge"], ["volume", "tone"], switch="lever", more="  split: {kind: switch, lugs: [a, b], positions: {pushed: [], pulled: [[a, b]]}}\n"))
        self.assertTrue(self.level(box, "lever", "split", "volume") and self.in_order(box, "lever", "split", "volume"), box)
        self.assertGreater(box["lever"][0], box["neck"][0] + 60)
        self.assertGreater(box["tone"][0] + box["tone"][2], box["lever"][0] + box["volume"][2])

    def test_a_jack_beside_the_pots_has_its_tip_level_with_their_lugs(self):
        beside = Picture(self.svg(netlist_of(["neck", "bridge"], ["volume", "tone"])))
        below = Picture(self.svg(netlist_of(["bridge"], ["volume"])))
        level = lambda drawn, word: next(box[1] for box, words, part, _ in drawn.texts if (part, words) == ("jack", word))
        self.assertGreater(level(beside, "tip"), level(beside, "sleeve"))
        self.assertLess(level(below, "tip"), level(below, "sleeve"))

    def test_a_resistor_that_stands_for_a_pickup_shows_its_first_end_to_the_controls(self):
        drawn = Picture(self.svg(netlist_of([], ["volume"], more="  front: {kind: resistor, value: 6k}\n  load: {kind: resistor, value: 1k}\n")))
        top = {(part, words): box[1] for box, words, part, _ in drawn.texts}
        self.assertGreater(top["front", "1"], top["front", "2"])
        self.assertLess(top["load", "1"], top["load", "2"])

    def test_what_joins_two_lugs_lies_one_below_the_other(self):
        text = netlist_of(["bridge"], ["volume", "tone"], more="  bleed: {kind: capacitor, value: 680p}\n  slow: {kind: resistor, value: 150k}\n")
        box = self.boxes(text.replace("wires:", "joints:\n  - [volume.3, bleed.1, slow.1]\n  - [volume.2, bleed.2, slow.2]\nwires:"))
        self.assertLess(box["bleed name"][3], box["slow name"][1])
        self.assertAlmostEqual(box["bleed name"][0] + box["bleed name"][2], box["slow name"][0] + box["slow name"][2], delta=15)

    def test_in_a_rear_cavity_four_pots_lie_two_by_two_and_the_toggle_after_them(self):
        box = self.boxes(netlist_of(["neck", "bridge"], ["bridge-tone", "bridge-volume", "neck-tone", "neck-volume"], switch="toggle"))
        self.assertTrue(self.in_order(box, "neck-volume", "bridge-volume") and self.in_order(box, "neck-tone", "bridge-tone"), box)
        self.assertLess(box["neck-volume"][3], box["neck-tone"][1])
        self.assertGreater(box["toggle"][1], box["neck-tone"][3])

    def test_in_a_hollow_body_knobs_lie_in_a_row_at_their_middle(self):
        text = netlist_of(["neck", "bridge"], ["neck-volume", "bridge-volume", "tone"], switch="toggle", top="about: a hollow body\n")
        box = self.boxes(text)
        self.assertTrue(self.in_order(box, "neck-volume", "bridge-volume", "tone", "jack") and self.level(box, "neck-volume", "tone"), box)
        self.assertGreater(box["toggle"][1], box["tone"][3])
        # A name that only sounds like it is none.
        one = netlist_of(["neck", "bridge"], ["volume", "tone"], switch="selector", top="name: Fernhollow\n")
        self.assertEqual(self.boxes(one), self.boxes(one.replace("name: Fernhollow\n", "")))

    def test_a_switch_on_a_shaft_is_drawn_on_its_pot_and_what_ends_on_it_beside_that(self):
        more = ("  notch: {kind: switch, mounted: tone, lugs: [on, common], positions: {down: [], up: [[on, common]]}}\n"
                "  small: {kind: capacitor, value: 22n}\n")
        text = netlist_of(["neck", "bridge"], ["volume", "tone"], more=more).replace("wires:", "joints:\n  - [notch.on, small.1]\nwires:")
        box = self.boxes(text)
        self.assertLess(box["notch"][3], box["tone"][1])
        self.assertTrue(box["notch"][0] < (box["tone"][0] + box["tone"][2]) / 2 < box["notch"][2], box)
        self.assertTrue(box["tone"][2] < box["small name"][0] < box["tone"][2] + 60, box)


class Bundles(unittest.TestCase):
    def beside(self, one, other):
        """How much of a run lies side by side with another, a cell of 10 units apart."""
        total = 0
        for s in segments(one):
            for t in segments(other):
                if (s[0] == s[2]) != (t[0] == t[2]):
                    continue
                width, height = min(s[2], t[2]) - max(s[0], t[0]), min(s[3], t[3]) - max(s[1], t[1])
                if max(-width, -height) <= 10.5:
                    total += max(0, width, height)
        return total

    def test_the_leads_of_one_pickup_go_side_by_side_where_they_go_the_same_way(self):
        length = together = 0
        for path in HARNESSES:
            netlist = yaml.load(path.read_text(), yaml.BaseLoader)
            by_way = {}
            for start, end, wire, corners in picture(path).runs:
                if wire is None and netlist["parts"].get(part_of(start), {}).get("kind") == "pickup" and part_of(start) != part_of(end):
                    by_way.setdefault((part_of(start), end), []).append(corners)
            for runs in by_way.values():
                for one in runs:
                    if len(runs) > 1:
                        length += sum(abs(x - u) + abs(y - v) for (x, y), (u, v) in zip(one, one[1:]))
                        together += max(self.beside(one, other) for other in runs if other is not one)
        self.assertGreater(length, 1000)
        self.assertGreater(together / length, BESIDE)


class Stability(unittest.TestCase):
    """Placement depends on the parts, not on the wires: pictures before and after a change can be laid over each other."""

    def places(self, text, folder):
        path = folder / "harness.yaml"
        path.write_text(text)
        out, err, code = draw(path, "--json")
        if code == 3:
            return None  # nothing can be soldered there
        self.assertEqual(code, 0, err)
        drawn = Picture(json.loads(out)["svg"])
        self.assertEqual(json.loads(out)["stubs"], 0)
        return sorted(drawn.outlines)

    def test_one_wire_more_moves_no_part(self):
        tried = 0
        with tempfile.TemporaryDirectory() as folder:
            for path in sorted((ROOT / "harnesses").glob("*.yaml")):
                text = path.read_text()
                points = sorted(p for p in picture(path).all("data-point") if "plug-" not in p)
                before = self.places(text, Path(folder))
                # A few of all pairs, other ones for each harness.
                for k in range(1, 6):
                    a, b = points[(7 * k) % len(points)], points[(7 * k + 3 * k + len(points) // 2) % len(points)]
                    if a == b:
                        continue
                    with self.subTest(path.name, wire=(a, b)):
                        more = re.sub(r"(?m)^wires:.*\n", lambda found: found[0] + f"  - [{a}, {b}]\n", text)
                        after = self.places(more, Path(folder))
                        tried += after is not None
                        self.assertIn(after, (None, before))
            self.assertGreater(tried, 60)

    def test_another_value_moves_no_part(self):
        with tempfile.TemporaryDirectory() as folder:
            text = (ROOT / "harnesses/fernhollow-2.yaml").read_text()
            other = text.replace("dcr: 6.2k", "dcr: 12.75k").replace("track: 250k", "track: 1M").replace("47n", "4.7n")
            self.assertNotEqual(text, other)
            self.assertEqual(self.places(text, Path(folder)), self.places(other, Path(folder)))

    def boxes(self, text):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "harness.yaml"
            path.write_text(text)
            out, err, code = draw(path, "--json")
            self.assertEqual((code, json.loads(out)["stubs"]), (0, 0), err)
            drawn = Picture(json.loads(out)["svg"])
            return drawn, box_by_part(drawn)

    def test_what_sits_on_a_pot_is_drawn_at_it(self):
        drawn, box = self.boxes((ROOT / "harnesses/fernhollow-19.yaml").read_text())
        # The switch on the tone's shaft stands over that pot and says so; the pots stand level.
        notch, tone = box["notch"], box["tone"]
        self.assertTrue(notch[0] < (tone[0] + tone[2]) / 2 < notch[2] and notch[3] < tone[1] < notch[3] + 40, box)
        self.assertIn("on tone's shaft", [words for _, words, _, _ in drawn.texts])
        self.assertEqual(box["volume"][1], tone[1])
        # What joins two lugs lies below them, and what ends on a case stands at its right.
        drawn, box = self.boxes((ROOT / "harnesses/fernhollow-9.yaml").read_text())
        name_of = {words: text for text, words, _, _ in drawn.texts}
        for name in ("bleed-cap", "bleed-res"):
            self.assertGreater(name_of[name][1], box["volume"][3])
            self.assertTrue(box["volume"][0] - 60 < name_of[name][0] and name_of[name][2] < box["volume"][2] + 60, name)
        self.assertTrue(box["tone"][2] < name_of["cap"][0] < box["tone"][2] + 60)

    def test_a_switch_stands_where_its_signal_comes_from(self):
        # Before one volume, behind two: common practice, no source.
        _, box = self.boxes((ROOT / "harnesses/fernhollow-2.yaml").read_text())
        self.assertLess(box["selector"][2], box["volume"][0])
        _, box = self.boxes((ROOT / "harnesses/fernhollow-13.yaml").read_text())
        self.assertGreater(box["toggle"][1], box["rear-volume"][3])

    def test_pickups_stand_from_the_neck_to_the_bridge_and_controls_below(self):
        seen = 0
        for path in sorted((ROOT / "harnesses").glob("*.yaml")):
            netlist = yaml.load(path.read_text(), yaml.BaseLoader)
            box = {}
            for part, shape in picture(path).outlines:
                box.setdefault(part, shape if len(shape) == 4 else (shape[0] - shape[2], shape[1] - shape[2], shape[0] + shape[2], shape[1] + shape[2]))
            kinds = {name: part["kind"] for name, part in netlist["parts"].items()}
            pickups = [name for name in ("front", "middle", "rear") if kinds.get(name) == "pickup"]
            lefts = [box[name][0] for name in pickups]
            self.assertEqual(lefts, sorted(lefts), path.name)
            low = max((box[name][3] for name in box if kinds[name] == "pickup"), default=0)
            controls = [name for name in box if kinds[name] in ("pot", "switch", "jack")]
            for name in controls:
                self.assertGreater(box[name][1], low, (path.name, name))
            jack = box["jack"]
            row = [box[name] for name in controls if name != "jack" and box[name][1] < jack[3] and jack[1] < box[name][3]]
            self.assertTrue(all(other[2] < jack[0] for other in row), path.name)
            seen += len(pickups)
        self.assertGreater(seen, 20)


class Probes(unittest.TestCase):
    def test_no_probe_of_a_sheet_covers_a_word(self):
        for path in HARNESSES:
            page = subprocess.run([PROGRAM, "plan", path, "--html=long"], cwd=ROOT, capture_output=True, timeout=900).stdout.decode()
            drawn = [Picture(text) for text in re.findall(r"(?s)<svg.*?</svg>", page)]
            for number, one in enumerate(drawn):
                with self.subTest(path.name, picture=number):
                    self.assertEqual(len(one.probes), 2)
                    self.assertEqual(list(covered(one)), [])
            self.assertGreater(len(drawn), 0)

    def test_no_probe_covers_a_word_of_the_whole_picture(self):
        for path in HARNESSES:
            points = [point for point in picture(path).all("data-point") if "jack" not in point]
            for point in ("jack.plug-tip", points[len(points) // 2]):
                if "jack.plug-sleeve" not in picture(path).all("data-point"):
                    continue
                with self.subTest(path.name, point=point):
                    self.assertEqual(list(covered(picture(path, "--probes", "jack.plug-sleeve", point))), [])

    def test_a_covered_word_is_noticed(self):
        drawn = picture(ROOT / "harnesses/fernhollow-2.yaml", "--probes", "jack.plug-tip", "jack.plug-sleeve")
        at, corners, end = drawn.probes[0]
        box, words, _, _ = next(text for text in drawn.texts if text[1] == "plug-tip")
        by = (box[0] - end[0], box[1] - end[1])
        moved = Picture(drawn.text)
        moved.probes = [(at, [(x + by[0], y + by[1]) for x, y in corners], (box[0], box[1], end[2]))]
        self.assertIn((at, "plug-tip"), covered(moved))


class Fonts(unittest.TestCase):
    def test_widths_are_those_of_the_font(self):
        for weight, bold in (("Regular", False), ("Bold", True)):
            font = next((Path(f.format(weight)) for f in FONTS if Path(f.format(weight)).exists()), None)
            if not font:
                self.skipTest("no font of these metrics is installed")
            advance = advances(font.read_bytes())
            for path in HARNESSES:
                for node in picture(path).root.iter(SVG + "text"):
                    if node.get("textLength") is None or (node.get("font-weight") == "bold") != bold:
                        continue
                    words = "".join(node.itertext())
                    if any(ord(c) not in advance for c in words) or node.find(SVG + "title") is not None:
                        continue
                    width = sum(advance[ord(c)] for c in words) * float(node.get("font-size"))
                    self.assertAlmostEqual(width, float(node.get("textLength")), delta=0.02 * width + 3, msg=words)


def advances(data):
    """Advance of each character below 127, in sizes, out of a TrueType file."""
    tables = {data[12 + 16 * i:16 + 16 * i]: struct.unpack(">II", data[20 + 16 * i:28 + 16 * i])
              for i in range(struct.unpack(">H", data[4:6])[0])}
    at = lambda tag: tables[tag][0]
    units = struct.unpack(">H", data[at(b"head") + 18:at(b"head") + 20])[0]
    metrics = struct.unpack(">H", data[at(b"hhea") + 34:at(b"hhea") + 36])[0]
    cmap, found = at(b"cmap"), {}
    for i in range(struct.unpack(">H", data[cmap + 2:cmap + 4])[0]):
        start = cmap + struct.unpack(">I", data[cmap + 8 + 8 * i:cmap + 12 + 8 * i])[0]
        if struct.unpack(">H", data[start:start + 2])[0] != 4:
            continue
        count = struct.unpack(">H", data[start + 6:start + 8])[0] // 2
        words = lambda offset: struct.unpack(f">{count}H", data[start + offset:start + offset + 2 * count])
        ends, starts = words(14), words(16 + 2 * count)
        deltas, ranges = words(16 + 4 * count), words(16 + 6 * count)
        for k in range(count):
            for code in range(starts[k], min(ends[k], 126) + 1):
                if ranges[k]:
                    place = start + 16 + 6 * count + 2 * k + ranges[k] + 2 * (code - starts[k])
                    glyph = struct.unpack(">H", data[place:place + 2])[0]
                else:
                    glyph = (code + deltas[k]) & 0xffff
                entry = at(b"hmtx") + 4 * min(glyph, metrics - 1)
                found[code] = struct.unpack(">H", data[entry:entry + 2])[0] / units
    return found


HOSTILE = """lugwise: 1
name: "<script>alert('1')</script> & \\"friends\\" ]]> <!--"
about: "%s"
parts:
  volume-with-a-name-that-goes-on-and-on-and-on: {kind: pot, track: 250k}
  jack: {kind: jack}
  lever:
    kind: switch
    lugs: [an-unreasonably-long-name-of-a-lug, b]
    positions: {"one-position-with-quite-a-long-name": [[an-unreasonably-long-name-of-a-lug, b]]}
wires:
  - {name: "</title <svg onload='x'", colour: "\\"red\\" & <b>blue</b>", run: [jack.tip, volume-with-a-name-that-goes-on-and-on-and-on.2]}
  - {name: "%s", run: [jack.sleeve, volume-with-a-name-that-goes-on-and-on-and-on.case]}
""" % ("long " * 60, "ä" * 40)


class OneHarness(unittest.TestCase):
    two = ROOT / "harnesses/fernhollow-2.yaml"

    def folder(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        return Path(folder.name)

    def netlist(self, text):
        path = self.folder() / "harness.yaml"
        path.write_text(text)
        return path

    def test_hostile_names_stay_text(self):
        drawn = picture(self.netlist(HOSTILE))
        self.assertNotIn("<script", drawn.text)
        self.assertNotIn("<svg onload", drawn.text)
        self.assertTrue(any(words.startswith("<script>alert('1')") for _, words, _, _ in drawn.texts))
        for (a, one, _, _), (b, other, _, _) in itertools.combinations(drawn.texts, 2):
            self.assertFalse(overlap(a, b), f"'{one}' lies on '{other}'")

    def test_contacts_are_closed_as_the_switch_stands(self):
        def contacts(*words):
            classes = picture(self.two, *words).all("class")
            return classes.count("closed"), classes.count("open")
        # The selector has two contacts, the jack two: with the plug in both are closed.
        self.assertEqual(contacts("--set", "selector=both"), (4, 0))
        self.assertEqual(contacts("--set", "selector=front"), (3, 1))
        self.assertEqual(contacts("--set", "selector=front", "--set", "jack=out"), (1, 3))
        # Not said: as they rest, the selector in its first place. No switch is drawn as none can stand.
        self.assertEqual(contacts(), contacts("--set", "selector=rear"))
        self.assertEqual(contacts(), (3, 1))
        self.assertIn("rear", [text for _, text, _, kind in picture(self.two).texts if kind == "place"])

    def test_the_wiper_stands_where_its_taper_puts_it(self):
        def wiper(*words):
            part = next(n for n in picture(self.two, *words).root.iter() if n.get("data-part") == "volume")
            way = next(n for n in part.iter() if n.get("class") == "wiper").get("d")
            return float(re.match(r"M([\d.]+)", way)[1])
        at = {knob: wiper("--set", f"volume={knob}") for knob in (0, 5, 10)}
        # Seen from behind lug 1 is on the right, and knob 0 puts the wiper there; an audio taper has 15 % of the track at 5.
        self.assertGreater(at[0], at[5])
        self.assertAlmostEqual((at[0] - at[5]) / (at[0] - at[10]), 0.15, places=2)

    def test_what_is_live_is_told_apart(self):
        def live(*words):
            found = picture(self.two, *words).all("data-live")
            return found.count("hot"), found.count("ground")
        # At 10 the hot side reaches the front pickup: jack wire, selector wire, tone wire, the pickup's hot.
        self.assertEqual(live("--set", "selector=front")[0], 4)
        # At 0 the volume's wiper is on ground: tip and sleeve are one.
        hot, ground = live("--set", "volume=0")
        self.assertEqual(hot, ground)
        # With the selector off the front pickup, its hot lead hangs on nothing but its coil.
        self.assertEqual(live("--set", "selector=rear")[0], 4)

    def test_what_leads_nowhere_in_a_setting_is_faint(self):
        def faint(harness, *words):
            drawn = picture(harness, *words)
            return {(group.get("data-part") or f"{group.get('data-from')} {group.get('data-to')}")
                    for group in drawn.root.iter() if group.get("opacity") == "0.4" and group.get("class") in ("part", "lead")}
        for place, other in (("front", "rear"), ("rear", "front")):
            found = faint(self.two, "--set", f"selector={place}")
            self.assertIn(other, found)
            self.assertTrue(any(f"{other}.hot" in each for each in found), found)
            self.assertFalse(any(place in each.split(" ")[0] for each in found), found)
            # What only a capacitor leads on is heard.
            self.assertNotIn("cap", found)
        self.assertEqual(faint(self.two, "--set", "selector=both"), set())

    def test_probes_stand_at_their_points_and_the_way_between_them_is_marked(self):
        drawn = picture(self.two, "--set", "selector=front", "--probes", "jack.plug-tip", "jack.plug-sleeve")
        self.assertEqual(drawn.all("data-probe"), ["A", "B"])
        self.assertEqual(drawn.all("data-at"), ["jack.plug-tip", "jack.plug-sleeve"])
        words = [text for _, text, _, _ in drawn.texts]
        self.assertIn("the current's way", words)
        unplugged = picture(self.two, "--probes", "volume.3", "cap.1", "--set", "tone=0")
        self.assertIn("the current's way", [text for _, text, _, _ in unplugged.texts])

    def test_a_capacitor_leaves_no_way_for_the_current(self):
        drawn = picture(ROOT / "harnesses/parts/capacitor.yaml", "--probes", "cap.1", "cap.2")
        self.assertIn("no way between the probes in this setting", [text for _, text, _, _ in drawn.texts])

    def test_suspects_of_the_readings_are_marked_and_named(self):
        drawn = picture(self.two, "--readings", ROOT / "harnesses/jobs/fernhollow-2-silent-front.yaml")
        marks = [text for _, text, _, kind in drawn.texts if kind == "suspect"]
        self.assertTrue(marks and marks == [str(i + 1) for i in range(len(marks))])
        self.assertTrue(any("front" in text for _, text, _, _ in drawn.texts))

    def test_a_ring_around_a_suspect_hides_no_word(self):
        for job in sorted((ROOT / "harnesses/jobs").glob("*.yaml")):
            harness = ROOT / "harnesses" / (re.match(r"fernhollow-\d+", job.name).group() + ".yaml")
            drawn = picture(harness, "--readings", job)
            rings = [node for group in drawn.root.iter() if group.get("class") == "suspects" for node in group]
            badges = [box for box, _, _, kind in drawn.texts if kind == "suspect"]
            for box, words, _, kind in drawn.texts:
                if kind == "suspect":
                    continue
                for badge in badges:
                    self.assertFalse(overlap(box, badge), f"a badge lies on '{words}' of {job.name}")
            # Open rings, without a white edge that would cut what lies below.
            for node in rings:
                if node.tag == SVG + "circle" and float(node.get("r")) > 8:
                    self.assertEqual(node.get("fill"), "none")
                    self.assertNotEqual(node.get("stroke"), "#fff")

    def test_a_lead_joined_to_nothing_is_marked(self):
        text = self.two.read_text().replace("  - [selector.f, front.hot]\n", "")
        drawn = picture(self.netlist(text))
        self.assertEqual(drawn.all("class").count("free"), 1)
        self.assertIn("lead or end left free", [words for _, words, _, _ in drawn.texts])
        self.assertEqual(picture(self.two).all("class").count("free"), 0)

    def test_only_crossings_interrupt_what_lies_below(self):
        for path in HARNESSES:
            drawn = picture(path)
            for node in drawn.root.iter(SVG + "path"):
                if node.get("stroke") != "#fff" or node.get("stroke-width") != "7.6":
                    continue
                for x, y, kind, to in re.findall(r"M([-\d.]+) ([-\d.]+)([HV])([-\d.]+)", node.get("d")):
                    self.assertLessEqual(abs(float(to) - float(x if kind == "H" else y)), 14.01)

    def test_another_kind_of_file_by_its_ending(self):
        folder = self.folder()
        if shutil.which("rsvg-convert"):
            for name, magic in (("a.png", b"\x89PNG"), ("a.PDF", b"%PDF")):
                out, err, code = draw(self.two, "-o", folder / name)
                self.assertEqual((out, code), ("", 0), err)
                self.assertEqual((folder / name).read_bytes()[:4], magic)
        for words in (("-o", folder / "a.jpg"), ("-o", folder / "a.png", "--format", "svg"), ("--format", "gif"), ("--format", "png", "--json")):
            out, err, code = draw(self.two, *words)
            self.assertEqual(code, 2, words)
            self.assertFalse((folder / "a.jpg").exists())
        done = subprocess.run([PROGRAM, "draw", self.two, "-o", folder / "b.png"], cwd=ROOT, capture_output=True, env={"PATH": "/nowhere"})
        self.assertEqual(done.returncode, 3)
        self.assertIn(b"U336", done.stderr)
        self.assertIn(b"librsvg2-bin", done.stderr)
        self.assertFalse((folder / "b.png").exists())

    def test_what_changed_is_marked_and_told(self):
        text = self.two.read_text()
        new = text.replace("  - [volume.2, jack.tip]\n", "  - [volume.3, jack.tip]\n  - [tone.case, hardware.bridge]\n")
        new = new.replace("  - [selector.r, rear.hot]\n", "  - [selector.f, rear.hot]\n").replace("  - [volume.3, tone.1]\n", "")
        self.assertNotEqual(new.count("\n"), 0)
        drawn = picture(self.two, self.netlist(new))
        words = sorted(text for _, text, _, _ in drawn.texts if re.match("added|moved|taken", text))
        self.assertEqual(words, ["added: wire from tone.case to hardware.bridge",
                                 "moved: lead from rear.hot to selector.f; it was lead from rear.hot to selector.r",
                                 "moved: wire from volume.3 to jack.tip; it was wire from volume.3 to tone.1",
                                 "taken off: wire from volume.2 to jack.tip"])
        self.assertEqual(sorted(drawn.all("data-change")), ["added", "moved", "moved", "taken off"])
        self.assertEqual(picture(self.two, self.two).all("data-change"), [])
        part = picture(self.two, self.netlist(text.replace("  cap: ", "  spare: {kind: resistor, value: 1k}\n  cap: ")))
        self.assertEqual(part.all("data-change"), ["added"])

    def test_long_ways_to_ground_become_its_symbol(self):
        wires, symbols = picture(self.two), picture(self.two, "--ground", "symbol")
        words = [text for _, text, _, _ in symbols.texts]
        self.assertIn("joined to ground by a wire", words)
        self.assertEqual(sorted(symbols.all("data-leg")), sorted(wires.all("data-leg")))
        # A wire that the symbol stands for is still named, by no empty number.
        named = [text for _, text, _, _ in picture(ROOT / "harnesses/fernhollow-4.yaml", "--ground", "symbol").texts]
        self.assertIn("toggle ground, black", named)
        self.assertNotIn("–", subprocess.run([PROGRAM, "draw", ROOT / "harnesses/fernhollow-4.yaml", "--ground", "symbol"],
                                             capture_output=True).stdout.decode())
        # Nothing hot is taken for ground.
        def joined(drawn):
            return {frozenset((start, end)) for start, end, _, corners in drawn.runs if len(corners) > 2 or math.dist(*corners) > 20}
        for pair in (("volume.2>jack.tip", "jack.tip>volume.2"), ("selector.out>volume.3", "volume.3>selector.out")):
            self.assertIn(frozenset(pair), joined(symbols))

    def test_a_stage_draws_missing_parts_faint_and_their_leads_not_at_all(self):
        drawn = picture(ROOT / "harnesses/fernhollow-3.yaml", "--stage", "no-pickups")
        faint = [n.get("data-part") for n in drawn.root.iter() if n.get("data-part") and n.get("opacity")]
        self.assertEqual(sorted(faint), ["front", "hardware", "rear"])
        self.assertFalse([run for run in drawn.runs if run[0].startswith(("front.", "rear."))])

    def test_a_small_picture_is_cropped_and_captioned(self):
        whole = picture(self.two)
        small = picture(self.two, "--small", "--probes", "volume.1", "volume.3")
        size = lambda p: [float(x) for x in p.root.get("viewBox").split()[2:]]
        self.assertLess(size(small)[0], size(whole)[0])
        captions = [text for _, text, _, kind in small.texts if kind == "caption"]
        self.assertEqual(captions, ["volume.1", "volume.3"])
        # Readable at 8 cm, which is 302 units at 96 to the inch: no caption below 8 points.
        for node in small.root.iter(SVG + "text"):
            if node.get("class") == "caption":
                self.assertGreaterEqual(float(node.get("font-size")) * 302 / size(small)[0], 8 * 96 / 72)

    def test_place_says_row_and_order(self):
        text = self.two.read_text()
        for name, place in (("jack", "[0, 0]"), ("hardware", "[1, 0]"), ("front", "[0, 3]")):
            text = re.sub(rf"(?m)^(  {name}: +\{{kind: \w+)", rf"\1, place: {place}", text)
        drawn = picture(self.netlist(text))
        box = {part: next(shape for owner, shape in drawn.outlines if owner == part) for part in ("jack", "hardware", "front")}
        self.assertLess(box["jack"][2], box["hardware"][0])
        self.assertTrue(box["jack"][1] < box["hardware"][3] and box["hardware"][1] < box["jack"][3])
        self.assertLess(max(box["jack"][3], box["hardware"][3]), box["front"][1])

    def boxes_with(self, places, text=None):
        text = text or self.two.read_text()
        for name, place in places.items():
            text = re.sub(rf"(?m)^(  {name}: +\{{kind: [\w-]+)", rf"\1, place: {place}", text)
            self.assertIn(f"place: {place}", text)
        drawn = picture(self.netlist(text))
        self.assertEqual(drawn.answer["stubs"], 0)
        return box_by_part(drawn)

    def test_place_says_the_middle_in_millimetres(self):
        box = self.boxes_with({"volume": "[60 mm, 40 mm]", "tone": "[12 cm, 80 mm]", "jack": "[210 mm, 40 mm]", "front": "[10 mm, 0 mm]"})
        middle = {name: ((box[name][0] + box[name][2]) / 2, (box[name][1] + box[name][3]) / 2) for name in box}
        # To scale, and the same scale both ways; a pot's outline is not as high above its middle as below.
        across = {name: (middle[name][0] - middle["volume"][0]) for name in ("tone", "front")}
        self.assertAlmostEqual(across["tone"] / across["front"], 60 / -50, delta=0.25)
        self.assertAlmostEqual((middle["tone"][1] - middle["volume"][1]) / across["tone"], 40 / 60, delta=0.1)
        # Volume and jack at one height; what goes with a pot goes with it; what says nothing stands in its row.
        self.assertAlmostEqual(middle["jack"][1], middle["volume"][1], delta=40)
        self.assertTrue(box["tone"][2] < box["cap name"][0] < box["tone"][2] + 60)
        self.assertLess(box["rear"][3], box["front"][1])
        self.assertGreater(box["selector"][1], box["tone"][3])

    def test_what_is_measured_too_close_lies_apart(self):
        for same in ("[50 mm, 50 mm]", "[0 mm, 0 mm]"):
            self.boxes_with({name: same for name in ("volume", "tone", "jack", "front", "rear", "selector")})
        self.boxes_with({"volume": "[0 mm, 0 mm]", "tone": "[2000 mm, 2000 mm]", "jack": "[1 mm, 0 mm]"})

    def test_a_place_that_is_none_is_refused_with_the_nearest_right_spelling(self):
        text = self.two.read_text()
        for wrong, meant in (("[120, 45]", "[120 mm, 45 mm]"), ("[12.5, 3]", "[12.5 mm, 3 mm]"), ("[120 mm, 45]", "[120 mm, 45 mm]"),
                             ("[120MM, 4 inch]", "[120 mm, 4 in]"), ("\"1, 2\"", "[1, 2]"), ("{x: 1, y: 2}", "[1, 2]"), ("{x: 30 mm, y: 8 mm}", "[30 mm, 8 mm]"),
                             ("[left, 2]", None), ("[1, 2, 3]", None), ("[-1, 2]", None), ("[3000 mm, 2 mm]", None), ("[]", None), ("[[1], 2]", None),
                             ("[1 V, 2 V]", None), ("{}", None), ("[.nan, 1]", None), ("[1e9 mm, 1 mm]", None)):
            out, err, code = draw(self.netlist(text.replace("front:    {kind: pickup,", f"front:    {{kind: pickup, place: {wrong},")))
            err = " ".join(err.split())
            self.assertEqual((out, code), ("", 3), wrong)
            self.assertIn("not a place on the picture (N310)" if "]" in wrong or "," in wrong or "{" in wrong else "N310", err)
            if meant:
                self.assertIn(f"did you mean '{meant}'?", err)
            else:
                self.assertNotIn("did you mean", err, wrong)
            self.assertIn("'[120 mm, 45 mm]'", err)

    def test_a_file_is_written_whole_or_not_at_all(self):
        folder = self.folder()
        target = folder / "picture.svg"
        self.assertEqual(draw(self.two, "-o", target), ("", "", 0))
        self.assertEqual(target.read_text(), picture(self.two).text)
        self.assertEqual(os.listdir(folder), ["picture.svg"])
        answer = json.loads(draw(self.two, "-o", target, "--json")[0])
        self.assertEqual((answer["output"], answer["file"]), ("draw", str(target)))
        self.assertNotIn("svg", answer)
        for bad in (folder / "no-such-folder/picture.svg", folder):
            out, err, code = draw(self.two, "-o", bad)
            self.assertEqual((out, code), ("", 3))
            self.assertIn("U320", err)

    def test_what_is_no_plain_file_is_written_to_or_refused_but_never_replaced(self):
        folder = self.folder()
        (folder / "link.svg").symlink_to("real.svg")
        _, err, code = draw(self.two, "-o", folder / "link.svg")
        self.assertEqual(code, 3)
        self.assertIn("it is a link that leads nowhere", " ".join(err.split()))
        (folder / "real.svg").write_text("old")
        self.assertEqual(draw(self.two, "-o", folder / "link.svg")[2], 0)
        self.assertTrue((folder / "link.svg").is_symlink())
        self.assertEqual((folder / "real.svg").read_text(), picture(self.two).text)
        # A pipe takes the picture and stays a pipe.
        os.mkfifo(folder / "pipe")
        reader = subprocess.Popen(["cat", folder / "pipe"], stdout=subprocess.PIPE)
        self.assertEqual(draw(self.two, "-o", folder / "pipe")[2], 0)
        self.assertEqual(reader.communicate(timeout=60)[0].decode(), picture(self.two).text)
        kinds = [("device", stat.S_IFCHR, os.makedev(1, 3), 0), ("disk", stat.S_IFBLK, os.makedev(7, 250), 3)]
        for name, kind, number, expected in kinds:
            try:
                os.mknod(folder / name, 0o666 | kind, number)  # as /dev/null; a loop device that nobody made
            except PermissionError:
                continue
            _, err, code = draw(self.two, "-o", folder / name)
            self.assertEqual(code, expected, err)
            self.assertEqual("it is a device" in " ".join(err.split()), expected == 3)
            self.assertEqual(stat.S_IFMT(os.lstat(folder / name).st_mode), kind)
        self.assertTrue(stat.S_ISFIFO(os.lstat(folder / "pipe").st_mode))
        self.assertEqual([name for name in os.listdir(folder) if name.endswith(".part")], [])

    def test_the_netlist_is_not_overwritten_by_its_picture(self):
        path = self.netlist(self.two.read_text())
        _, err, code = draw(path, "-o", path)
        self.assertEqual(code, 2, err)
        self.assertEqual(path.read_text(), self.two.read_text())

    def test_a_harness_nobody_could_read_is_refused(self):
        parts = "".join(f"  m{i}: {{kind: metal, points: [a, b]}}\n" for i in range(101))
        out, err, code = draw(self.netlist("lugwise: 1\nparts:\n" + parts))
        self.assertEqual((out, code), ("", 3))
        self.assertIn("U321", err)
        self.assertIn("101 parts; at most 100", " ".join(err.split()))

    def test_a_large_tangle_is_drawn_with_every_wire(self):
        parts = "".join(f"  m{i}: {{kind: metal, points: [a, b, c]}}\n" for i in range(80))
        wires = "".join(f"  - [m{i}.{'abc'[k]}, m{(i * 37 + 11 * k + 1) % 80}.{'cab'[k]}]\n" for i in range(80) for k in range(3)
                        if (i * 37 + 11 * k + 1) % 80 != i)
        out, err, code = draw(self.netlist("lugwise: 1\nparts:\n" + parts + "wires:\n" + wires))
        self.assertEqual(code, 0, err)
        drawn = Picture(out)
        self.assertEqual(len(drawn.all("data-leg")), wires.count("\n"))

    def test_probes_at_one_point_and_small_without_probes_are_wrong_usage(self):
        self.assertEqual(draw(self.two, "--probes", "jack.tip", "jack.tip")[2], 2)
        self.assertEqual(draw(self.two, "--small")[2], 2)
        self.assertEqual(draw(self.two, "--probes", "jack.tip")[2], 2)


if __name__ == "__main__":
    unittest.main()
