"""A bathtub chamber under a valve that leans aslant: the same figures by plain sampling of circles."""

from __future__ import annotations

from math import cos, radians, sin, tan

import numpy as np
import pytest

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.plan import plan_job

HALF_X, HALF_Y, CORNER, ROOF = 17.0, 10.5, 6.0, 4.5
POINT = np.array([7.6, -1.1, 4.2])
TILT, AZIM, BODY, HEAD, LIFT = 6.0, 35.0, 16.5, 14.5, 5.6
JOB = f"""
schema: 1
job: {{id: tub, status: proposal}}
head:
  material: alloy
  chamber: {{type: bathtub, length: {2 * HALF_X}, width: {2 * HALF_Y}, depth: {ROOF}, corner: {CORNER}}}
stations:
  intake:
    axis: {{p: [{POINT[0]}, {POINT[1]}, {POINT[2]}], tilt: {TILT}, azim: {AZIM}}}
    valve: {{head: {HEAD}, margin: 0.9, lift: {LIFT}}}
    bushing:
      body: {{dia: {BODY}, len: 17, face_above_roof: 0.1}}
      seat: {{outer: 14.1, width: 1.0, angle: 45, top_cut: 30, throat_cut: 60, s_outer: 0.3}}
materials: {{alloy: {{E: 71000, nu: 0.33}}}}
"""  # fmt: skip
UP = np.array(
    [sin(radians(TILT)) * cos(radians(AZIM)), sin(radians(TILT)) * sin(radians(AZIM)), cos(radians(TILT))]
)


def ring(s: float, radius: float, count: int = 200_000) -> np.ndarray:
    first = np.cross(UP, [1.0, 0.0, 0.0])
    first /= np.linalg.norm(first)
    second = np.cross(UP, first)
    angle = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False)[:, None]
    return POINT + s * UP + radius * (np.cos(angle) * first + np.sin(angle) * second)


def inward(points: np.ndarray) -> np.ndarray:
    """Signed distance to the rounded rectangle, plus inside: corner circles, else the nearer side."""
    x, y = np.abs(points[:, 0]) - (HALF_X - CORNER), np.abs(points[:, 1]) - (HALF_Y - CORNER)
    in_corner = (x > 0) & (y > 0)
    return np.where(in_corner, CORNER - np.hypot(x, y), np.minimum(CORNER - x, CORNER - y))


@pytest.fixture(scope="module")
def found(tmp_path_factory):
    path = tmp_path_factory.mktemp("tub") / "job.yaml"
    path.write_text(JOB, encoding="utf-8")
    return {each.key: each for each in run_checks(Context(plan_job(read_job(path))), ("V03", "M05", "B17"))}


UNDERSIDE = 0.3 - (HEAD - 14.1) / 2.0 * tan(radians(45.0)) - 0.9
"""s of the head's combustion side: seat edge less overhang times tan of the seat angle less margin."""


def test_rim_gap_and_shroud(found):
    closed = inward(ring(UNDERSIDE, HEAD / 2.0)).min()
    assert found["V03", "intake", "nominal", "rim_gap"].value == pytest.approx(closed, abs=1e-6)
    share = np.mean(inward(ring(UNDERSIDE - LIFT / 2.0, HEAD / 2.0)) < LIFT / 2.0)
    assert found["V03", "intake", "nominal", "shrouded_share"].value == pytest.approx(share, abs=1 / 720)
    assert 0.0 < share < 1.0


def test_sweep_of_the_boring_tool_at_the_mouth(found):
    edge = ring(0.0, BODY / 2.0)
    mouth = edge - np.outer(edge[:, 2] / UP[2], UP)
    assert found["M05", "intake", "nominal", "sweep_to_mouth"].value == pytest.approx(
        inward(mouth).min(), abs=1e-6
    )


def test_face_against_a_flat_roof(found):
    """Every line from the body's edge leaves through the flat roof: the way up is (roof - z)/cos tilt."""
    edge = ring(0.0, BODY / 2.0)
    way = (ROOF - edge[:, 2]) / UP[2]
    assert inward(edge + way[:, None] * UP).min() > 0.0
    assert found["B17", "bushing_intake", "nominal", "face_proud"].value == pytest.approx(
        way.max() - 0.1, abs=1e-6
    )
    assert found["B17", "bushing_intake", "nominal", "face_buried"].value == pytest.approx(
        0.1 - way.min(), abs=1e-6
    )
