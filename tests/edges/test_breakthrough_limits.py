"""Cuts that enter a cavity (W08) and how much of a cut is too near to one (W10), by closed forms.

Bores are upright and ports level (see ``blocks``): body r 5, shank r 3 and 40 long, port r 3, hole r 3.
"""

from __future__ import annotations

from math import acos, asin, cos, pi, sin, sqrt

import numpy as np
import pytest

from edges.blocks import ONE, PORT, TWO
from edges.case import Told, found, judged

X, Y = "head.cavities.hole.axis.p.0", "head.cavities.hole.axis.p.1"
DIA = "head.cavities.hole.dia"


def told(subject: str, change: dict, tolerance: float, **values: tuple[float, str]) -> list[Told]:
    return [
        Told("W08", quantity, subject, ONE, value, why, change, verdict="fail", tolerance=tolerance)
        for quantity, (value, why) in values.items()
    ]


ACROSS = told(
    "hole~port_intake",
    PORT | {X: 40.0, Y: 0.0},
    1e-5,
    overlap_volume=(
        144.0,
        "two equal cylinders that cross at right angles share 16 r^3/3 (Archimedes): 16 x 27/3",
    ),
    opening_along=(6.0, "2 r"),
    opening_area=(
        72.0,
        "lines of the port at angle q enter 2 r |sin q| far: r x integral of 6 |sin q| = 8 r^2",
    ),
    opening_around=(6.0, "all round: at most 2 r"),
    opening_centre=(20.0, "the hole at x = 40, the valve axis at 20"),
    axis_gap=(0.0, "the axes meet"),
    axis_angle=(90.0, "upright and level"),
)


def beside() -> list[Told]:
    """Hole r 5 at y = 6 beside the port's axis: the port's points with y > 1 lie in it."""
    # Gauss-Legendre in q, y = 3 cos q from 1 to 3: chord of the port 6 sin q, chord of the hole 2 sqrt(25 - (y - 6)^2)
    top = acos(1.0 / 3.0)
    nodes, weights = np.polynomial.legendre.leggauss(200)
    # y = 1 + 2 sin^2(t) takes the root at both ends away
    t = (nodes + 1.0) * pi / 4.0
    y = 1.0 + 2.0 * np.sin(t) ** 2
    chords = 2.0 * np.sqrt(9.0 - y**2) * 2.0 * np.sqrt(25.0 - (y - 6.0) ** 2)
    volume = float(np.sum(weights * chords * 4.0 * np.sin(t) * np.cos(t)) * pi / 4.0)
    q = top * np.sin(nodes * pi / 2.0)
    lengths = 2.0 * np.sqrt(25.0 - (3.0 * np.cos(q) - 6.0) ** 2)
    area = float(np.sum(weights * lengths * 3.0 * top * np.cos(nodes * pi / 2.0)) * pi / 2.0)
    return told(
        "hole~port_intake",
        PORT | {X: 40.0, Y: 6.0, DIA: 10.0},
        1e-5,
        overlap_volume=(
            volume,
            "integral over y from 1 to 3 of both chords, 2 sqrt(9 - y^2) x 2 sqrt(25 - (y-6)^2)",
        ),
        opening_along=(8.0, "at the port's side, y = 3: 2 sqrt(25 - 3^2)"),
        opening_area=(
            area,
            "integral over the angle from the side, up to acos(1/3), of 3 x 2 sqrt(25 - (y-6)^2)",
        ),
        opening_around=(2.0 * 3.0 * sin(top), "y = 3 cos q = 1 at its edges: 6 sqrt(8)/3"),
        opening_centre=(20.0, "the hole at x = 40, the valve axis at 20"),
        axis_gap=(6.0, "6 - 0"),
        axis_angle=(90.0, "upright and level"),
    )


HALF = acos(2.0 / 3.0)
ALONG = told(
    "hole~shank_bore_intake",
    {Y: 4.0},
    3e-5,  # of 248 mm3: volumes are known to 1e-7 of themselves
    overlap_volume=(
        40.0 * (18.0 * HALF - 2.0 * sqrt(36.0 - 16.0)),
        "lens of two circles r 3, 4 apart, 2 r^2 acos(d/2r) - d/2 sqrt(4 r^2 - d^2), over the shank's 40",
    ),
    opening_along=(40.0, "all of the shank, z = 20 to 60"),
    opening_area=(2.0 * HALF * 3.0 * 40.0, "the arc 2 r acos(d/2r) over 40"),
    opening_around=(6.0 * sin(HALF), "the lens's own chord, 2 sqrt(9 - 4)"),
    opening_centre=(40.0, "middle of s = 20 to 60"),
    axis_gap=(4.0, "given"),
    axis_angle=(0.0, "parallel"),
)


@pytest.mark.parametrize("rows", [ACROSS, beside(), ALONG], ids=["across", "beside", "along"])
def test_breakthrough_by_closed_forms(rows, tmp_path):
    mine = {
        row.quantity: row
        for row in judged(tmp_path, ONE, rows[0].change, "W08")
        if row.subject == rows[0].subject
    }
    assert set(mine) == {row.quantity for row in rows}
    for row in rows:
        on = mine[row.quantity]
        assert on.value == pytest.approx(row.value, rel=0, abs=row.tolerance), row.why
        assert (on.verdict, on.severity) == ("fail", "FAIL")
        assert on.advice


def test_the_centre_counts_from_the_valve_axis_wherever_the_foot_is_given(tmp_path):
    """The port's foot 5 beyond the valve axis: the hole at x = 40 is still 20 from it."""
    changes = PORT | {X: 40.0, Y: 0.0, "stations.intake.port.p": [25.0, 0.0, 10.0]}
    row = found(tmp_path, ONE, changes, "W08", "hole~port_intake", "opening_centre")
    assert row.value == pytest.approx(20.0, rel=0, abs=1e-6)


def test_a_hole_within_the_bore_opens_no_side_of_it(tmp_path):
    """A hole r 1.5 down the middle of the shank r 3: pi 1.5^2 40 are shared, no opening in the curved surface."""
    rows = {
        row.quantity: row
        for row in judged(tmp_path, ONE, {Y: 0.0, DIA: 3.0}, "W08")
        if row.subject == "hole~shank_bore_intake"
    }
    assert rows["overlap_volume"].value == pytest.approx(pi * 1.5**2 * 40.0, rel=1e-6)
    for quantity in ("opening_along", "opening_area", "opening_around", "opening_centre"):
        assert (rows[quantity].value, rows[quantity].verdict) == (None, "fail")
        assert rows[quantity].note.startswith("the cavity enters through the cut's end")
    assert rows["axis_gap"].note == ""


@pytest.mark.parametrize(("kind", "glued"), [("gas", False), ("oil", True), ("moving", True), ("bolt", True)])
def test_what_a_breakthrough_asks_for(kind, glued, tmp_path):
    """Gas is never glued; elsewhere a sleeve may be the way out."""
    changes = {Y: 7.0, "head.cavities.hole.kind": kind}
    row = found(tmp_path, ONE, changes, "W08", "body_bore_intake~hole", "overlap_volume")
    assert ("a repair sleeve" in row.advice) is glued
    assert ("never glue" in row.advice) is not glued
    assert f"kind {kind}" in row.note


def test_what_could_not_be_measured_is_no_pass_for_the_head(tmp_path):
    """Without a port nothing enters the hole, and nothing is said of the port."""
    for changes in ({}, {"stations.intake.bushing.shank": None}):
        rows = judged(tmp_path, ONE, changes, "W08")
        assert rows
        assert {row.verdict for row in rows} == {"not_run"}
        assert "head" not in {row.subject for row in rows}


def test_both_sides_of_touching(tmp_path):
    """8 - 5 - 3 = 0 apart: a touch is no breakthrough, 1e-8 nearer is one, with its gap of axes."""
    (clear,) = judged(tmp_path, ONE, PORT | {Y: 8.0}, "W08")
    assert (clear.subject, clear.quantity, clear.value, clear.verdict) == (
        "head",
        "overlap_volume",
        0.0,
        "pass",
    )
    into = found(tmp_path, ONE, PORT | {Y: 8.0 - 1e-8}, "W08", "body_bore_intake~hole", "axis_gap")
    assert into.value == pytest.approx(8.0 - 1e-8, rel=0, abs=1e-10)
    assert into.severity == "FAIL"
    assert into.verdict == "fail"
    assert into.advice


def test_an_unknown_zone_is_never_called_a_breakthrough(tmp_path):
    """What is in it is not known: W09 warns of it."""
    changes = PORT | {Y: 7.0, "head.cavities.hole.kind": "unknown"}
    assert {row.subject for row in judged(tmp_path, ONE, changes, "W08")} == {"head"}
    zone = found(tmp_path, ONE, changes, "W09", "body_bore_intake~hole", "wall")
    assert zone.value == pytest.approx(7.0 - 8.0 - 0.12, rel=0, abs=1e-9)
    assert zone.verdict == "warn"


def test_breakthrough_not_run_without_the_bore(tmp_path):
    missing = found(
        tmp_path,
        ONE,
        {"stations.intake.bushing.shank.dia": None},
        "W08",
        "hole~shank_bore_intake",
        "overlap_volume",
    )
    assert (missing.verdict, missing.value) == ("not_run", None)
    assert missing.missing == ("stations.intake.bushing.shank.dia",)


def hole_for(area: float) -> dict:
    """A hole 12 from the shank's axis and beyond both its ends, with ``area`` of the shank nearer than 1.5 to it.

    A point of the shank at angle q from the hole is nearer than 1.5 while 9 + 144 - 72 cos q < (r + 1.5)^2: a strip
    2 x 3 q wide and 40 long.
    """
    q = area / (2.0 * 3.0 * 40.0)
    return {Y: 12.0, DIA: 2.0 * (sqrt(153.0 - 72.0 * cos(q)) - 1.5), "head.cavities.hole.len": 80.0}


def side_for(area: float) -> dict:
    """The side of the casting with ``area`` of the shank nearer than 1.5 to it: points at height 3 cos q."""
    q = area / (2.0 * 3.0 * 40.0)
    return {"head.outline.y.1": 3.0 * cos(q) + 1.5, "head.cavities": []}


SURE = 0.01
"""An area is told to within this [mm2] at best: the smallest step that its verdict can tell."""


@pytest.mark.parametrize(
    ("subject", "job_for", "limit", "limits"),
    [
        ("hole~shank_bore_intake", hole_for, 10.0, {}),
        ("hole~shank_bore_intake", hole_for, 40.0, {"limits": {"W10": 40.0}}),
        ("outside~shank_bore_intake", side_for, 10.0, {}),
    ],
)
def test_both_sides_of_the_thin_area(subject, job_for, limit, limits, tmp_path):
    for area, verdict in ((limit - 2 * SURE, "pass"), (limit + 2 * SURE, "info")):
        row = found(tmp_path, ONE, job_for(area) | limits, "W10", subject, "thin_area")
        assert row.value == pytest.approx(area, rel=0, abs=SURE)
        assert (row.verdict, row.limit, row.severity) == (verdict, limit, "INFO")


def test_a_shoulder_under_the_deck_is_thin_all_over(tmp_path):
    """Deck at 21.4 over the body's end at 20: the ring between r 3 and r 5 and 0.1 of the bore below it, 16 pi + pi."""
    changes = {"head.outline.z.1": 21.4, "head.cavities": []}
    row = found(tmp_path, ONE, changes, "W10", "body_bore_intake~outside", "thin_area")
    assert row.value == pytest.approx(17.0 * pi, rel=1e-3)
    assert row.verdict == "info"


def test_a_pockets_floor_over_a_level_hole(tmp_path):
    """Floor r 8 at z = 14 without the shank r 3, hole r 3 along X at z = 10: nearer than 1.5 while y^2 + 16 < 4.5^2.

    On the floor a strip |y| < h of a circle R holds 2 (h sqrt(R^2 - h^2) + R^2 asin(h/R)); on the pocket's side, at
    both ends of the strip, heights of sqrt(4.5^2 - y^2) - 4 over arcs 8 dy/sqrt(64 - y^2).
    """
    h = sqrt(4.5**2 - 16.0)
    floor = sum(
        sign * 2.0 * (h * sqrt(r**2 - h**2) + r**2 * asin(h / r)) for sign, r in ((1.0, 8.0), (-1.0, 3.0))
    )
    nodes, weights = np.polynomial.legendre.leggauss(60)
    y = h * nodes
    side = 2.0 * h * float(np.sum(weights * (np.sqrt(4.5**2 - y**2) - 4.0) * 8.0 / np.sqrt(64.0 - y**2)))
    level = {"p": [-60.0, 0.0, 10.0], "tilt": 90.0, "azim": 0.0}
    changes = {"head.cavities.hole.axis": level, "head.cavities.hole.len": 120.0}
    changes |= {"stations.intake.spring": {"pocket": {"dia": 16.0, "floor_s": 14.0}}}
    row = found(tmp_path, ONE, changes, "W10", "hole~pocket_intake", "thin_area")
    assert row.value == pytest.approx(floor + side, rel=2e-3)


def test_between_two_cuts_the_area_is_on_the_first_by_name(tmp_path):
    """Shanks r 3 (exhaust) and r 4, 8 apart: 9 + 64 - 48 cos q < (4 + 1.5)^2 on the exhaust's, 40 long."""
    changes = {
        "stations.intake.axis.p.0": -12.0,
        "stations.intake.bushing.shank.dia": 8.0,
        "head.cavities": [],
    }
    row = found(tmp_path, TWO, changes, "W10", "shank_bore_exhaust~shank_bore_intake", "thin_area")
    assert row.value == pytest.approx(2.0 * 3.0 * acos((73.0 - 5.5**2) / 48.0) * 40.0, rel=1e-3)


def test_no_thin_area_is_one_pass(tmp_path):
    """On the limit of every wall nothing is nearer than it; half a step nearer the pair has a row of its own."""
    (none,) = judged(tmp_path, ONE, PORT | {Y: 9.5}, "W10")
    assert (none.subject, none.value, none.verdict) == ("head", 0.0, "pass")
    found(tmp_path, ONE, PORT | {Y: 9.5 - 1e-8}, "W10", "body_bore_intake~hole", "thin_area")


def test_thin_area_not_run_where_a_wall_could_not_be_measured(tmp_path):
    """What was not measured may be thin: it names what it lacks, and the head does not pass."""
    changes = PORT | {Y: 20.0, "stations.intake.bushing.shank": None}
    rows = {row.subject: row for row in judged(tmp_path, ONE, changes, "W10")}
    assert set(rows) == {"hole~shank_bore_intake", "outside~shank_bore_intake"}
    for row in rows.values():
        assert (row.verdict, row.value, row.missing) == (
            "not_run", None, ("stations.intake.bushing.shank.dia",)
        )  # fmt: skip
