"""Walls to a head and to a chamber that are given as triangles: both sides of their limits, worked out by hand.

Boxes of flat sides at numbers that STL holds exactly, so that a wall is a difference of heights or of a side and a
radius; nothing is known of it from below. The second of the points that place a head may be written too far out along
the line from the first: the head lies where it lay and they miss by that much.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import pytest
import trimesh

from edges.blocks import ONE, SLEEVED
from edges.case import Edge, found
from edges.test_port_limits import JOB as PORT_JOB

X, Y, FOOT = (f"stations.intake.{key}" for key in ("axis.p.0", "axis.p.1", "port.p.on_axis_s"))
BORE = "sleeve_bore_tube"


def placed(off: float) -> dict[str, object]:
    """The head of a file, its second point ``off`` too far out."""
    points = [[[0, 0, 0], [0, 0, 0]], [[40 + off, 0, 0], [40, 0, 0]], [[0, 40, 0], [0, 40, 0]]]
    return {"head.solid": {"file": "box.stl", "place": points}, "head.outline": None}


MESH = {"head.chamber": {"type": "mesh", "file": "box.stl"}}


@dataclass(frozen=True)
class Boxed:
    """An edge of a job that reads a box from ``low`` to ``high``."""

    low: tuple[float, float, float]
    high: tuple[float, float, float]
    edge: Edge

    def __str__(self) -> str:
        return str(self.edge)


def edge(
    check: str,
    subject: str,
    quantity: str,
    job: str,
    at: dict[str, float],
    outward: int,
    limit: float,
    why: str,
    name: str = "",
    severity: str = "FAIL",
    change: dict | None = None,
    label: str = "",
) -> Edge:
    """The first number of ``at`` leaves the limit."""
    return Edge(check, quantity, subject, job, at, next(iter(at)), outward, limit, severity, why, name,
                change=change or {}, step=1e-6, tolerance=1e-7, label=label)  # fmt: skip


BODY, TUBE = "body_bore_intake~outside", f"outside~{BORE}"
AWAY = {"head.cavities.hole.axis.p.1": 50.0}
OFF = 0.05
CASES = [
    Boxed((-60, -60, 0), (60, 6.5, 60), edge(
        "W05", BODY, "wall", ONE, {Y: 0.0}, 1, 1.5, "the head's side 6.5 - 0 - 5", change=placed(0.0))),
    Boxed((-60, -60, 0), (60, 6.5, 60), edge(
        "W07", BODY, "worst_case", ONE, {Y: 0.13}, 1, 0.9, "6.5 - 0.13 - 5 - (0.03 + 0.04 + cast 0.40)",
        change=placed(0.0))),
    Boxed((-60, -60, 0), (60, 6.5, 60), edge(
        "W07", BODY, "worst_case", ONE, {Y: 0.08}, 1, 0.9, "6.5 - 0.08 - 5 - (0.03 + 0.04 + 0.40 + 0.05 that they miss)",
        change=placed(OFF), label="points that miss")),
    Boxed((-60, -60, 0), (60, 6.5, 60), edge(
        "W07r", BODY, "rss_case", ONE, {Y: 0.3 - sqrt(0.03**2 + 0.04**2 + 0.12**2 + OFF**2)}, 1, 1.2,
        "6.5 - (0.3 - r) - 5 - r, r = sqrt(0.03^2 + 0.04^2 + cast 0.12^2 + 0.05^2)", severity="WARN",
        change=placed(OFF) | {"datums.cast_u": 0.12})),
    Boxed((-80, -7.5, 0), (80, 80, 60), edge(
        "S08", TUBE, "wall", SLEEVED, {Y: 0.0}, -1, 1.5, "7.5 - 6", change=placed(0.0) | AWAY)),
    Boxed((-80, -8, 0), (80, 80, 60), edge(
        "S08", TUBE, "worst_case", SLEEVED, {Y: -0.33}, -1, 0.9,
        "8 - 0.33 - 6 - (0.03 + 0.10 + 0.004 x 60 + cast 0.40)", "worst_case", change=placed(0.0) | AWAY)),
    Boxed((-80, -8, 0), (80, 80, 60), edge(
        "S08", TUBE, "worst_case", SLEEVED, {Y: -0.28}, -1, 0.9, "8 - 0.28 - 6 - (0.77 + 0.05 that they miss)",
        "worst_case", change=placed(OFF) | AWAY, label="points that miss")),
    Boxed((-20, -20, -2), (20, 20, 7), edge(
        "S08", f"chamber~{BORE}", "wall", SLEEVED, {FOOT: 15.0}, -1, 2.0, "15 - 6 - the roof at 7", change=MESH)),
    Boxed((-20, -20, -2), (20, 20, 7), edge(
        "S08", f"chamber~{BORE}", "worst_case", SLEEVED, {FOOT: 14.97}, -1, 1.2, "14.97 - 6 - 7 - 0.77",
        "worst_case", change=MESH)),
    Boxed((-20, -20, -2), (20, 20, 3), edge(
        "P03", "port_intake", "wall", PORT_JOB, {FOOT: 7.0}, -1, 2.0, "3 + 7 - 5 - the roof at 3", change=MESH)),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=str)
def test_both_sides_of_the_limit(case, tmp_path):
    trimesh.creation.box(bounds=[case.low, case.high]).export(tmp_path / "box.stl")
    case.edge.holds(tmp_path)
    edge = case.edge
    row = edge.judge(tmp_path, 0)
    assert row.bounds is None
    if edge.quantity == "wall":
        assert "unproven: a " in row.note  # scan, mesh chamber


def test_points_that_miss_are_said(tmp_path):
    trimesh.creation.box(bounds=[(-60, -60, 0), (60, 6.5, 60)]).export(tmp_path / "box.stl")
    for off, said in ((0.0, False), (OFF, True)):
        row = found(tmp_path, ONE, placed(off), "W05", BODY, "wall")
        assert ("three points fit within 0.050" in row.note) is said
