"""Counts test cases, not programs, in the log ctest leaves behind; a program that died uncounted is one failed case."""

import re
import sys

passed = failed = 0
for block in open(sys.argv[1], errors="replace").read().split("\nCommand: ")[1:]:
    fine = "\nTest Passed.\n" in block
    good = bad = 0
    if match := re.search(r"^All tests passed \(.* in (\d+) test cases?\)", block, re.M):  # Catch2
        good = int(match[1])
    elif match := re.search(r"^test cases: +\d+(.*)", block, re.M):
        good, bad = (sum(map(int, re.findall(rf"(\d+) {word}", match[1]))) for word in ("passed", "failed"))
    elif match := re.search(r"^Ran (\d+) tests? in ", block, re.M):  # unittest
        bad = sum(map(int, re.findall(r"(?:failures|errors)=(\d+)", block)))
        good = int(match[1]) - bad
    elif fine:
        good = 1
    if not fine and not bad:
        bad = 1
    passed, failed = passed + good, failed + bad
print(f"{passed} passed, {failed} failed")
