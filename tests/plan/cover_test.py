"""The least number of readings that a plan gives, against an independent general solver of integer programs.

Every reading that may be taken is a column and every fault that a reading shows a row, as surveyed, before the planner
drops anything. The solver is HiGHS, as SciPy's `milp` calls it: other people's code, which knows nothing of this problem.
"""

import os
import subprocess
import sys
import unittest
from pathlib import Path

try:
    import numpy
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csc_matrix
except ImportError as missing:
    sys.exit(f"cover_test: {missing}; install the Debian package python3-scipy")

ROOT = Path(os.environ.get("LUGWISE_ROOT", Path(__file__).resolve().parents[2]))
PEER = os.path.join(os.environ["LUGWISE_BUILD"], "tests", "lugwise_cover_peer")
SLOW = b"__asan_init" in Path(PEER).read_bytes()  # then only the harnesses with the fewest parts


def problems():
    """(name, what the plan calls the least, whether it calls that exact, the sets of faults of the readings outside and
    inside)."""
    paths = sorted(str(path.relative_to(ROOT)) for path in (ROOT / "harnesses").glob("*.yaml"))
    if SLOW:
        paths = sorted(paths, key=lambda path: (ROOT / path).stat().st_size)[:4]
    answer = subprocess.run([PEER], input="\n".join(paths) + "\n", capture_output=True, text=True,
                            check=True, cwd=ROOT)
    for text in answer.stdout.split("end\n")[:-1]:
        head, plan, *readings = text.splitlines()
        _, least, exact = plan.split()
        outside, inside = set(), set()
        for depth, *faults in map(str.split, readings):
            (outside if depth == "0" else inside).add(frozenset(faults))
        yield head.removeprefix("problem "), int(least), exact == "1", outside, inside


def smallest_cover(sets):
    """How few of the sets hold everything that they hold together."""
    number = {fault: row for row, fault in enumerate(sorted(set().union(*sets)))}
    columns = sorted(sets, key=sorted)
    rows = [number[fault] for column in columns for fault in column]
    ends = numpy.cumsum([0] + [len(column) for column in columns])
    table = csc_matrix((numpy.ones(len(rows)), rows, ends), shape=(len(number), len(columns)))
    found = milp(numpy.ones(len(columns)), integrality=numpy.ones(len(columns)), bounds=Bounds(0, 1),
                 constraints=LinearConstraint(table, lb=1))
    if not found.success:
        raise RuntimeError(found.message)
    # The answer is a cover, so it can't be too small; that it is the smallest is the solver's word.
    taken = [column for column, share in zip(columns, found.x) if share > 0.5]
    assert set().union(*taken) == set(number)
    return len(taken)


class Cover(unittest.TestCase):
    def test_no_cover_has_fewer_readings_than_a_plan_says_and_one_has_as_many(self):
        count = 0
        for name, least, exact, outside, inside in problems():
            with self.subTest(name):
                self.assertTrue(exact)
                # What shows outside is shown outside; only the rest is worth opening for.
                shown = frozenset().union(*outside)
                rest = {left for left in (faults - shown for faults in inside) if left}
                self.assertEqual(sum(smallest_cover(sets) for sets in (outside - {frozenset()}, rest) if sets), least)
            count += 1
        self.assertGreater(count, 4 if SLOW else 30)


if __name__ == "__main__":
    unittest.main()
