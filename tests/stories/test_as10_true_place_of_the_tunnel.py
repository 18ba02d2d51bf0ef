"""AS10: a measured opening of 4.6 along the port of 15.0 puts the tunnel 12.003 from its axis, 0.083 nearer.

Both numbers were worked out apart from this package. The other values here are closed forms or a second route.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from headparts.config import read_job
from headparts.errors import GeometryError
from headparts.geometry.axis import Axis
from headparts.geometry.convex import cylinder
from headparts.geometry.opening import Bore, opening
from headparts.geometry.opening_solve import axis_gap_of_opening, opening_length
from headparts.geometry.void import Void
from headparts.plan import plan_job
from headparts.plan.derived import derived

ROOT = Path(__file__).resolve().parents[2]


def values(tmp_path, *changes):
    text = (ROOT / "configs" / "generator_62cc.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1
        text = text.replace(old, new)
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return {
        (subject, quantity): (value, unit)
        for subject, quantity, value, unit in derived(plan_job(read_job(path)))
    }


def test_by_numbers():
    gap = axis_gap_of_opening(4.6, 7.5, 5.0, 78.0)
    assert gap == pytest.approx(12.003, abs=0.002)
    assert 12.0857 - gap == pytest.approx(0.083, abs=0.002)


def test_the_sleeve_bore_by_numbers():
    """The same story's opening of 5.896 in the sleeve's bore of 15.85, at a gap of 12.0857."""
    assert opening_length(12.0857, 7.925, 5.0, 78.0) == pytest.approx(5.896, abs=0.002)
    assert axis_gap_of_opening(5.896, 7.925, 5.0, 78.0) == pytest.approx(12.0857, abs=0.002)


def test_the_job_reports_it(tmp_path):
    found = values(tmp_path)
    assert found["sleeve_intake", "axis_gap_measured"] == (pytest.approx(12.003, abs=0.002), "mm")
    assert found["sleeve_intake", "cavity_shift"] == (pytest.approx(0.083, abs=0.002), "mm")


def test_nothing_is_reported_without_a_measurement(tmp_path):
    found = values(
        tmp_path, ("measured_opening: {along_port: 4.6, around: 5.1}", "measured_opening: {around: 5.1}")
    )
    assert ("sleeve_intake", "length_min") in found
    assert ("sleeve_intake", "axis_gap_measured") not in found
    assert ("sleeve_intake", "cavity_shift") not in found


def test_nothing_is_reported_where_no_gap_explains_it(tmp_path):
    found = values(tmp_path, ("along_port: 4.6", "along_port: 34.0"))
    assert ("sleeve_intake", "length_min") in found
    assert ("sleeve_intake", "axis_gap_measured") not in found


@pytest.mark.parametrize("gap", [5.5, 7.0, 7.9, 7.9999])
def test_square_crossing_by_hand(gap):
    """Square crossing, axis outside the bore: the middle line's chord, 2 sqrt(r^2 - (gap - R)^2)."""
    along = 2 * math.sqrt(9 - (gap - 5) ** 2)
    assert opening_length(gap, 5.0, 3.0, 90.0) == pytest.approx(along, rel=1e-9)
    assert axis_gap_of_opening(along, 5.0, 3.0, 90.0) == pytest.approx(gap, abs=1e-6)


@pytest.mark.parametrize("angle", [90.0, 78.0, 60.0, 35.0])
@pytest.mark.parametrize("gap", [7.9, 7.0, 5.2, 3.0])
def test_against_the_exact_opening_of_solids(angle, gap):
    """Second route: chords of the bore's lines with the cavity's solid."""
    lean = math.radians(angle)
    well = cylinder(
        np.array([0, gap, 0]) - 60 * np.array([math.cos(lean), 0, math.sin(lean)]),
        (math.cos(lean), 0, math.sin(lean)),
        3.0,
        120,
    )
    found = opening(
        Bore(Axis((-60, 0, 0), (1, 0, 0), 120), 5.0), Void("w", "oil", (well,)), with_volume=False
    )
    assert opening_length(gap, 5.0, 3.0, angle) == pytest.approx(found.along, rel=1e-8)


def test_shallow_openings():
    """2e-3 long: depth to leading order along^2 / (8 r), 1.7e-7."""
    gap = axis_gap_of_opening(2e-3, 5.0, 3.0, 90.0)
    assert 8.0 - gap == pytest.approx(4e-6 / 24, rel=1e-3)


def test_no_gap_gives_it():
    with pytest.raises(GeometryError, match=r"at most 6\.000"):
        axis_gap_of_opening(6.01, 5.0, 3.0, 90.0)
    assert axis_gap_of_opening(5.999, 5.0, 3.0, 90.0) == pytest.approx(5 + math.sqrt(9 - 2.9995**2), abs=1e-6)


@pytest.mark.parametrize(
    "bad", [(0.0, 5, 3, 90), (-1, 5, 3, 90), (math.nan, 5, 3, 90), (1, 0, 3, 90), (1, 5, -3, 90)]
)
def test_lengths_are_positive(bad):
    with pytest.raises(GeometryError, match="positive"):
        axis_gap_of_opening(*bad)


def test_parallel_axes_are_refused():
    with pytest.raises(GeometryError, match="cross at"):
        axis_gap_of_opening(3.0, 5.0, 3.0, 0.5)
