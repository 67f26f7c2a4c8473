"""Counts test cases, not programs, in the log that ctest or tests/browser/run leaves; a program that died uncounted is one
failed case.

What was skipped, for want of a program that is none of the test packages, is neither passed nor failed.
"""

import re
import sys

passed = failed = skipped = 0
reasons = set()
for block in ("\n" + open(sys.argv[1], errors="replace").read()).split("\nCommand: ")[1:]:
    fine = "\nTest Passed.\n" in block + "\n"
    good = bad = left = 0
    if match := re.search(r"^All tests passed \(.* in (\d+) test cases?\)", block, re.M):  # Catch2
        good = int(match[1])
    elif match := re.search(r"^test cases: +\d+(.*)", block, re.M):
        good, bad = (sum(map(int, re.findall(rf"(\d+) {word}", match[1]))) for word in ("passed", "failed"))
    elif match := re.search(r"^Ran (\d+) tests? in ", block, re.M):  # unittest
        bad = sum(map(int, re.findall(r"(?:failures|errors)=(\d+)", block)))
        left = sum(map(int, re.findall(r"^(?:OK|FAILED) \(.*?skipped=(\d+)", block, re.M)))
        good = max(0, int(match[1]) - bad - left)  # a class that is skipped whole runs none
        reasons.update(re.findall(r"\.\.\. skipped ['\"](.*)['\"]$", block, re.M))
    elif match := re.search(r"^\S+ pass (\d+)\n\S+ fail (\d+)$", re.sub(r"\n\S+ (?:cancelled|skipped|todo) \d+", "", block), re.M):
        good, bad = int(match[1]), int(match[2])  # Node's
    elif fine:
        good = 1
    if not fine and not bad:
        bad = 1
    passed, failed, skipped = passed + good, failed + bad, skipped + left
for reason in sorted(reasons):
    print(f"skipped: {reason}")
if skipped:
    print(f"{skipped} skipped")
print(f"{passed} passed, {failed} failed")
