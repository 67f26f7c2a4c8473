#!/usr/bin/env python3
"""Netlists at the documented limits, and of a large real instrument: inputs.py FOLDER writes them all."""

import itertools
import pathlib
import sys


def partitions(lugs):
    """Every way of joining some of the lugs, as groups of two or more."""
    if not lugs:
        yield []
        return
    first, rest = lugs[0], lugs[1:]
    for count in range(len(rest) + 1):
        for company in itertools.combinations(rest, count):
            left = [lug for lug in rest if lug not in company]
            for others in partitions(left):
                yield ([[first, *company]] if company else []) + others


def selector(positions=380):
    """Three pickups, a volume, a tone, and one selector of very many positions, no two alike."""
    lugs = ["f", "f2", "m", "m2", "r", "r2", "out"]
    places = [groups for groups in partitions(lugs) if groups][:positions]
    lines = ["lugwise: 1", f"name: selector of {positions} positions", "parts:"]
    lines += [f"  {name}: {{kind: pickup, dcr: {6 + n / 10:.1f}k}}" for n, name in enumerate(("front", "middle", "rear"))]
    lines.append(f"  selector:\n    kind: switch\n    lugs: [{', '.join(lugs)}]\n    positions:")
    for n, groups in enumerate(places):
        lines.append(f"      p{n + 1}: [{', '.join('[' + ', '.join(group) + ']' for group in groups)}]")
    lines += [
        "  volume: {kind: pot, track: 250k, taper: audio}", "  tone: {kind: pot, track: 250k, taper: audio}",
        "  cap: {kind: capacitor, value: 47n}", "  jack: {kind: jack}",
        "  hardware: {kind: metal, points: [bridge, strings]}", "joints:",
        *[f"  - [selector.{name[0]}, {name}.hot]" for name in ("front", "middle", "rear")],
        *[f"  - [selector.{name[0]}2, {name}.ground]" for name in ("front", "middle", "rear")],
        "  - [volume.case, volume.1]", "  - [tone.2, cap.1]", "  - [tone.case, cap.2]", "wires:",
        "  - [selector.out, volume.3]", "  - [selector.f2, volume.case]",
        "  - [volume.3, tone.1]", "  - [volume.2, jack.tip]",
        "  - {name: string ground, run: [volume.case, hardware.bridge]}",
        "  - {name: ground chain, run: [volume.case, tone.case, jack.sleeve]}"]
    return "\n".join(lines) + "\n"


def mesh(resistors=67):
    """Each resistor between two of as few nodes as there can be, every node a splice of all that meet there."""
    nodes = 2
    while nodes * (nodes - 1) // 2 < resistors:
        nodes += 1
    ends = {n: [] for n in range(nodes)}
    for r, (a, b) in enumerate(itertools.islice(itertools.combinations(range(nodes), 2), resistors)):
        ends[a].append(f"r{r}.1")
        ends[b].append(f"r{r}.2")
    lines = ["lugwise: 1", f"name: mesh of {resistors} resistors", "parts:"]
    lines += [f"  r{r}: {{kind: resistor, value: {10 + r}k}}" for r in range(resistors)]
    lines += ["joints:"] + [f"  - [{', '.join(each)}]" for each in ends.values() if len(each) > 1]
    return "\n".join(lines) + "\n"


def metal(points=1500, pots=100):
    """A row of metal points, with pots in mid-travel between points far apart: one block of loops."""
    lines = ["lugwise: 1", f"name: {points} metal points and {pots} pots", "parts:"]
    names = ", ".join(f"m{n}" for n in range(points))
    lines.append(f"  row: {{kind: metal, points: [{names}]}}")
    lines += [f"  v{n}: {{kind: pot, track: 250k, taper: audio, normal: 5}}" for n in range(pots)]
    lines.append("wires:")
    step = points // pots
    for n in range(pots):
        lines.append(f"  - [row.m{n * step}, v{n}.1]")
        lines.append(f"  - [v{n}.2, row.m{(n * step + points // 2) % points}]")
        lines.append(f"  - [v{n}.3, row.m{(n * step + points // 3) % points}]")
    return "\n".join(lines) + "\n"


def large(push_pulls=3, poles=4, twins=3):
    """Three pickups of two coils, four knobs, a selector of four poles and five positions, push-pulls that split."""
    places = ("front", "middle", "rear")[:twins]
    lines = ["lugwise: 1", f"name: {twins} twin coils, {poles} poles, {push_pulls} push-pulls", "parts:"]
    for n, name in enumerate(places):
        lines.append(f"  {name}: {{kind: pickup, coils: {{slug: {3.7 + n / 10:.1f}k, screw: {3.8 + n / 10:.1f}k}}, "
                     "shield: true}")
    lugs = [f"{pole}{n}" for pole in "abcd"[:poles] for n in (*range(twins), "-out")]
    lines.append(f"  selector:\n    kind: switch\n    lugs: [{', '.join(lugs)}]\n    positions:")
    for position, on in {"p1": [2], "p2": [1, 2], "p3": [1], "p4": [0, 1], "p5": [0]}.items():
        on = [n for n in on if n < twins]
        groups = [f"[{', '.join(f'{pole}{n}' for n in on)}, {pole}-out]" for pole in "abcd"[:poles]]
        lines.append(f"      {position}: [{', '.join(groups)}]")
    for name in ("volume", "blend", "tone", "treble"):
        lines.append(f"  {name}: {{kind: pot, track: 500k, taper: audio}}")
    lines += ["  cap: {kind: capacitor, value: 22n}", "  bright: {kind: capacitor, value: 10n}"]
    for n in range(push_pulls):
        pot = ("volume", "tone", "treble")[n % 3]
        lines.append(f"  split{n}:\n    kind: switch\n    mounted: {pot}\n    lugs: [a-in, a-com, a-out, b-in, b-com, b-out]\n"
                     "    positions:\n      down: [[a-in, a-com], [b-in, b-com]]\n      up: [[a-out, a-com], [b-out, b-com]]")
    lines += ["  jack: {kind: jack}", "  hardware: {kind: metal, points: [claw, springs, bridge, strings]}", "joints:"]
    for n, name in enumerate(places):
        lines.append(f"  - [selector.a{n}, {name}.slug-start]")
        lines.append(f"  - [volume.case, {name}.screw-start, {name}.shield]")
        if n < push_pulls:
            lines.append(f"  - [split{n}.a-com, {name}.slug-finish, {name}.screw-finish]")
        else:
            lines.append(f"  - [{name}.slug-finish, {name}.screw-finish]")
    lines += ["  - [volume.case, volume.1]", "  - [tone.2, cap.1]", "  - [tone.case, cap.2]", "  - [treble.2, bright.1]",
              "  - [treble.case, bright.2]", "wires:"]
    for n in range(min(push_pulls, twins)):
        lines.append(f"  - [split{n}.a-out, volume.case]")
        lines.append(f"  - [split{n}.b-com, selector.b{n}]")
        lines.append(f"  - [split{n}.b-out, blend.case]")
    lines += ["  - [selector.a-out, volume.3]", "  - [selector.b-out, blend.1]"]
    if poles > 2:
        lines += ["  - [selector.c0, tone.1]", "  - [selector.c1, selector.c2]", "  - [selector.c-out, volume.3]"]
    if poles > 3:
        lines += ["  - [selector.d0, treble.1]", "  - [selector.d1, selector.d2]", "  - [selector.d-out, volume.3]"]
    lines += ["  - [volume.3, blend.2]", "  - [volume.2, jack.tip]",
              "  - {name: ground chain, run: [volume.case, blend.case, tone.case, treble.case, jack.sleeve]}",
              "  - {name: claw wire, run: [volume.case, hardware.claw]}",
              "reach: {hardware.claw: springs, hardware.springs: springs}"]
    return "\n".join(lines) + "\n"


def repeated(readings, count=500):
    """A readings file again with so many readings, its own over and over."""
    head, body = readings.split("readings:\n")
    lines = [line for line in body.splitlines() if line.startswith("  - ")]
    return head + "readings:\n" + "".join(f"{lines[n % len(lines)]}\n" for n in range(count))


def lot(pickups=1000):
    """Pickups measured alike, no two quite."""
    lines = ["lugwise-pickups: 1", "pickups:"]
    lines += [f"  p{n}: {6 + n % 97 / 100:.2f}k" for n in range(pickups)]
    return "\n".join(lines) + "\n"


def measured():
    """Those of tests/limits/measured.txt, by their names there."""
    texts = {f"selector{n}": selector(n) for n in (10, 40, 100, 200, 380)}
    texts |= {f"mesh{n}": mesh(n) for n in (10, 28, 45, 67)}
    texts |= {f"large{''.join(map(str, each))}": large(*each)
              for each in ((0, 2, 3), (1, 2, 3), (2, 2, 3), (2, 3, 3), (3, 3, 3), (3, 4, 3))}
    return texts


ALL = {"selector": selector, "mesh": mesh, "metal": metal, "large": large}


def main():
    folder = pathlib.Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for name, make in ALL.items():
        (folder / f"{name}.yaml").write_text(make())


if __name__ == "__main__":
    main()
