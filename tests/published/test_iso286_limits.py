"""Limits of holes and shafts against derived columns printed elsewhere, which the package never reads.

Source: ISO 286-2:2010 tables as transcribed by up to three independent public packages and by the
    preferred-fit
table of Budynas and Nisbett, Shigley's Mechanical Engineering Design, table A-12 (column ``transcriptions``
of data/iso286_limits.csv says how many agree, ``differing`` what one of them has instead). Tolerance: none,
they are whole micrometres (halves for JS).
"""

import csv
from pathlib import Path

import pytest

from headparts.tables.iso286 import deviations, fit

DATA = Path(__file__).parent / "data"


def rows(name):
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        lines = list(csv.DictReader(file))
    return lines[1:]


LIMITS = rows("iso286_limits.csv")


def test_the_file_is_complete():
    assert len(LIMITS) == 2370
    assert len({row["class"] for row in LIMITS}) == 230


@pytest.mark.parametrize("tolerance_class", sorted({row["class"] for row in LIMITS}))
def test_limits_at_both_ends_of_each_range(tolerance_class):
    checked = 0
    for row in LIMITS:
        if row["class"] != tolerance_class:
            continue
        over, to = float(row["over"]), float(row["to"])
        expected = (float(row["lower"]) / 1000, float(row["upper"]) / 1000)
        for size in (to, (over + to) / 2, over + 1e-6 if over else 1.001):
            assert deviations(size, tolerance_class) == pytest.approx(expected, abs=1e-9), (size, row)
            checked += 1
    assert checked > 0


@pytest.mark.parametrize("row", rows("iso286_fits.csv"), ids=lambda row: f"{row['size']} {row['fit']}")
def test_printed_interference_of_press_fits(row):
    found = fit(float(row["size"]), row["fit"])
    micrometres = {
        "hole_upper": found.hole_upper, "hole_lower": found.hole_lower,
        "shaft_upper": found.shaft_upper, "shaft_lower": found.shaft_lower,
        "least_interference": found.least_interference, "greatest_interference": found.greatest_interference,
    }  # fmt: skip
    for key, value in micrometres.items():
        assert value * 1000 == pytest.approx(float(row[key]), abs=1e-6), key
