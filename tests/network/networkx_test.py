"""Thousands of random networks, read by lugwise and by networkx (an independent implementation by other people).

networkx's resistance_distance wants one connected graph, two different nodes and no zero weights. So it gets the
component of the two probes, with zero-ohm links merged here; probes in different components must read open, and probes
merged by zero ohms must read zero.
"""

import os
import random
import subprocess
import sys
import warnings

try:
    import networkx
    import scipy  # noqa: F401  (networkx needs it for this)
except ImportError as missing:
    sys.exit(f"networkx_test: {missing}; install the Debian packages python3-networkx and python3-scipy")

NETWORKS = 3000
DIGITS = 1e-9
PEER = os.path.join(os.environ["LUGWISE_BUILD"], "tests", "lugwise_network_peer")


def random_network(dice):
    """Points, resistors (a, b, ohms), and up to three pairs of probes."""
    points = dice.randint(2, 16)
    resistors = []
    chance_of_zero = dice.choice([0, 0, 0.1, 0.3])
    for _ in range(dice.randint(0, 2 * points)):
        a, b = dice.randrange(points), dice.randrange(points)
        ohms = 0.0 if dice.random() < chance_of_zero else 10 ** dice.uniform(-1, 3)
        resistors.append((a, b, ohms))
    return points, resistors, [(dice.randrange(points), dice.randrange(points)) for _ in range(3)]


def expected(points, resistors, a, b):
    """What networkx says, or "open"."""
    joined = networkx.Graph()
    joined.add_nodes_from(range(points))
    joined.add_edges_from((x, y) for x, y, ohms in resistors if ohms == 0)
    place = {point: min(group) for group in networkx.connected_components(joined) for point in group}
    graph = networkx.MultiGraph()
    graph.add_nodes_from(place.values())
    for x, y, ohms in resistors:
        if place[x] != place[y]:
            graph.add_edge(place[x], place[y], ohms=ohms)
    a, b = place[a], place[b]
    if a == b:
        return 0.0
    component = networkx.node_connected_component(graph, a)
    if b not in component:
        return "open"
    if len(component) == 2:  # networkx would factor a matrix of no rows
        return 1 / sum(1 / data["ohms"] for _, _, data in graph.subgraph(component).edges(data=True))
    return float(networkx.resistance_distance(graph.subgraph(component), a, b, weight="ohms"))


def main():
    warnings.simplefilter("ignore")  # about the array types it will return one day
    dice = random.Random(8)
    networks = [random_network(dice) for _ in range(NETWORKS)]

    lines = []
    for points, resistors, pairs in networks:
        lines.append(f"points {points}")
        lines += [f"resistor {a} {b} {ohms!r}" for a, b, ohms in resistors]
        lines += [f"pair {a} {b}" for a, b in pairs]
    ran = subprocess.run([PEER], input="\n".join(lines) + "\n", capture_output=True, text=True, check=False)
    if ran.returncode:
        sys.exit(f"networkx_test: {PEER} failed with {ran.returncode}: {ran.stderr}")
    answers = iter(ran.stdout.split())

    kinds = {"open": 0, "zero": 0, "ohms": 0}
    worst = 0.0
    for points, resistors, pairs in networks:
        for a, b in pairs:
            found, truth = next(answers), expected(points, resistors, a, b)
            if truth == "open" or truth == 0:
                kinds["open" if truth == "open" else "zero"] += 1
                agrees = found == "open" if truth == "open" else found != "open" and float(found) == 0
            else:
                kinds["ohms"] += 1
                off = abs(float(found) / truth - 1) if found != "open" else float("inf")
                worst = max(worst, off)
                agrees = off <= DIGITS
            if not agrees:
                sys.exit(f"networkx_test: {points} points, resistors {resistors}, probes {a} {b}: "
                         f"lugwise reads {found}, networkx {truth}")
    if next(answers, None) is not None:
        sys.exit("networkx_test: more answers than questions")
    print(f"{NETWORKS} networks, pairs {kinds}, largest relative difference {worst:.1e}")
    if min(kinds.values()) < NETWORKS / 10:
        sys.exit("networkx_test: the networks no longer cover open, zero and other readings")


main()
