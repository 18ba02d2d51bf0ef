"""ISO 286 limits against two general reference packages of the package registry, which the package never reads.

data/iso286_first_package.csv: package isofits 1.0 (MIT), whose table of finished limits covers 74 classes from 3 to 80
mm and beyond; all its 592 limits to 80 mm. One of them is wrong: K6 over 6 to 10 mm is given as +2/-6, while the width
of IT6 there is 9 um and every other transcription has +2/-7.
data/iso286_second_package.csv: package pressfit 0.1.0 (MIT), which adds grades IT5 to IT11 to its own table of
deviations; its 728 limits to 80 mm (H, and shafts c to u without t), taken by running it, neighbours of equal limits
joined. None differs.
Tolerance: none, they are whole micrometres (halves for js).
"""

import csv
from pathlib import Path

import pytest

from headparts.tables.iso286 import deviations, it_grade

DATA = Path(__file__).parent / "data"
WRONG = {("K6", "6", "10"): (2.0, -6.0)}
"""Known errors of the first package: class, over, to: upper and lower as it gives them."""


def rows(number):
    with (DATA / f"iso286_{number}_package.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))[1:]


def differing(row):
    over, to = float(row["over"]), float(row["to"])
    given = (float(row["lower"]), float(row["upper"]))
    sizes = (to, (over + to) / 2, over + 1e-6 if over else 1.001)
    return [
        size
        for size in sizes
        if deviations(size, row["class"]) != pytest.approx([v / 1000 for v in given], abs=1e-9)
    ]


@pytest.mark.parametrize(("number", "count", "classes"), [("first", 592, 74), ("second", 728, 98)])
def test_the_files_are_complete(number, count, classes):
    assert len(rows(number)) == count
    assert len({row["class"] for row in rows(number)}) == classes


@pytest.mark.parametrize("number", ["first", "second"])
def test_every_limit_but_the_known_errors(number):
    known = WRONG if number == "first" else {}
    found = {
        (row["class"], row["over"], row["to"]): (float(row["upper"]), float(row["lower"]))
        for row in rows(number)
        if differing(row)
    }
    assert found == known


def test_the_known_error_is_the_package_s():
    # IT6 over 6 to 10 mm is 9 um by this table and by both packages' own K6 neighbours: +2/-7 is 9 wide, +2/-6 is not
    assert it_grade(8.0, 6) == 0.009
    assert deviations(8.0, "K6") == pytest.approx((-0.007, 0.002), abs=1e-12)
    widths = {
        float(row["upper"]) - float(row["lower"])
        for row in rows("first")
        if row["class"] in ("H6", "JS6", "M6", "N6", "P6", "R6", "S6")
        and (row["over"], row["to"]) == ("6", "10")
    }
    assert widths == {9.0}
