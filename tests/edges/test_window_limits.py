"""Limits of a bushing's window and guide boss (B05, B06, B12, B14).

A port about an axis that meets the valve axis at s = f and rises by e: at v across it and x outward its edges are
s = f + (x sin e -+ sqrt(r^2 - v^2))/cos e. In the middle (v = 0), on a cylinder of radius R, that is
f + (R sin e -+ r)/cos e; a rising port has its lowest edge on the throat and its highest on the outside, a falling
one the other way round.
"""

from __future__ import annotations

from math import acos, cos, pi, radians, sin, sqrt
from typing import Any

import numpy as np
import pytest

from edges.case import Edge, found
from edges.jobs import UPRIGHT

IN = "stations.intake."
UP = radians(12.0)
THROAT, BODY, PORT, FOOT = 6.0, 8.0, 5.0, 7.0
"""Radii of the intake's throat, body and port, and where the port's axis meets the valve axis."""
FLAT_SEAT = {f"{IN}bushing.seat.angle": 30, f"{IN}bushing.seat.s_outer": 0.3}
"""Inner edge of a seat 1.0 wide at 30 degrees: 0.3 + 1.0 sin 30 = 0.8."""


def window_area(body: float, port: float) -> float:
    """Area of a port square through the axis on one side of a cylinder, radii given [mm2].

    The height 2 sqrt(r^2 - v^2) along the arc R dv/sqrt(R^2 - v^2) with v = r sin t: a sum over equal angles of a smooth
    periodic function, exact to the last digits.
    """
    t = (np.arange(2000) + 0.5) / 2000.0 * pi - pi / 2.0
    return float(
        np.mean(2.0 * port**2 * np.cos(t) ** 2 * body / np.sqrt(body**2 - (port * np.sin(t)) ** 2)) * pi
    )


def segment(depth: float) -> float:
    """Share of a circle beyond a chord at ``depth`` radii from its middle: (acos c - c sqrt(1 - c^2))/pi."""
    return (acos(depth) - depth * sqrt(1.0 - depth**2)) / pi


def root(function: Any, low: float, high: float) -> float:
    """Where a falling function crosses 0, by halving."""
    for _ in range(200):
        middle = (low + high) / 2.0
        low, high = (middle, high) if function(middle) > 0.0 else (low, middle)
    return (low + high) / 2.0


CHORD = root(lambda c: segment(c) - 0.10, 0.0, 1.0) * PORT
"""The chord beyond which a tenth of the port's circle lies: 3.4 from its middle, 7.3 long."""


def edge(
    id_: str,
    quantity: str,
    at: dict[str, float],
    outward: int,
    limit: float,
    severity: str,
    why: str,
    **more: Any,
) -> Edge:
    """An edge of the upright job that its first key leaves, about the intake's bushing."""
    key = next(iter(at))
    return Edge(id_, quantity, "bushing_intake", UPRIGHT, at, key, outward, limit, severity, why, **more)


EDGES = [
    edge("B05", "ring_to_window", {f"{IN}port.p.on_axis_s": 7.0}, -1, 1.2, "FAIL", "7.0 - 5.0 - (0.3 + 1.0 sin 30) = 1.2",
         change=FLAT_SEAT, drop=f"{IN}bushing.seat.width"),
    edge("B05", "ring_to_window", {f"{IN}port.p.on_axis_s": 2.0 - (THROAT * sin(UP) - PORT) / cos(UP)}, -1, 1.2, "FAIL",
         "rising: f + (6 sin 12 - 5)/cos 12 = 2.0 on the throat, less 0.8",
         change={**FLAT_SEAT, f"{IN}port.elev": 12}),
    edge("B05", "ring_to_window", {f"{IN}port.p.on_axis_s": 2.0 + (BODY * sin(UP) + PORT) / cos(UP)}, -1, 1.2, "FAIL",
         "falling: f + (-8 sin 12 - 5)/cos 12 = 2.0 on the outside, 2.0 - 0.8 = 1.2",
         change={**FLAT_SEAT, f"{IN}port.elev": -12}),
    edge("B06", "bridge_to_shoulder", {f"{IN}bushing.body.len": 13.5}, -1, 1.5, "FAIL", "13.5 - (7 + 5) = 1.5",
         change={f"{IN}bushing.bowl.roof_s": 13.0}, drop=f"{IN}port.elev"),
    edge("B06", "bridge_to_shoulder", {f"{IN}bushing.body.len": 1.5 + FOOT + (BODY * sin(UP) + PORT) / cos(UP)}, -1, 1.5,
         "FAIL", "rising: 7 + (8 sin 12 + 5)/cos 12 on the outside and 1.5", change={f"{IN}port.elev": 12}),
    edge("B06", "bridge_to_shoulder", {f"{IN}bushing.body.len": 1.5 + FOOT + (PORT - THROAT * sin(UP)) / cos(UP)}, -1, 1.5,
         "FAIL", "falling: 7 + (-6 sin 12 + 5)/cos 12 on the throat and 1.5",
         change={f"{IN}port.elev": -12, f"{IN}bushing.bowl.roof_s": 10.0}),
    edge("B12", "boss_blocking", {f"{IN}bushing.bowl.boss_len": 14.0 - FOOT - CHORD}, +1, 0.10, "INFO",
         "a boss 8 across is wider than the chord of 7.3 and ends on it: a tenth of the circle; good to 1e-7 by the sum "
         "over 4000 strips", change={f"{IN}bushing.bowl.boss_dia": 8.0}, step=1e-5, tolerance=1e-7, drop=f"{IN}port.dia"),
    edge("B14", "contact_share", {f"{IN}bushing.body.len": window_area(8.0, 7.0) / (0.25 * pi * 16.0)}, -1, 0.75, "WARN",
         "window of 14 in a body of 16: its area is a quarter of pi 16 len; a share steps by a fiftieth of the length",
         name="contact_share", change={f"{IN}port.dia": 14.0, f"{IN}bushing.bowl.roof_s": 13.0}, step=1e-7,
         drop=f"{IN}port.azim"),
]  # fmt: skip


@pytest.mark.parametrize("each", EDGES, ids=str)
def test_both_sides_of_the_limit(each, tmp_path):
    each.holds(tmp_path)


@pytest.mark.parametrize("each", [each for each in EDGES if each.drop], ids=str)
def test_not_run_without_its_input(each, tmp_path):
    each.is_not_run(tmp_path)


@pytest.mark.parametrize("elevation", [12.0, -12.0])
def test_no_point_of_the_window_lies_beyond_its_edge_in_the_middle(elevation, tmp_path):
    """The port's wall, point by point between throat and outside, on the side to which it is drilled."""
    e, turn = radians(elevation), np.linspace(0.0, 2.0 * pi, 2001)[:, None]
    along = np.linspace(0.0, 14.0, 2001)[None, :]
    x = along * cos(e) - PORT * np.cos(turn) * sin(e)
    s = FOOT + along * sin(e) + PORT * np.cos(turn) * cos(e)
    radius = np.hypot(x, PORT * np.sin(turn))
    window = s[(radius >= THROAT) & (radius <= BODY) & (x > 0.0)]
    change = {f"{IN}port.elev": elevation}
    ring = found(tmp_path, UPRIGHT, {**change, **FLAT_SEAT}, "B05", "bushing_intake", "ring_to_window")
    assert ring.value == pytest.approx(window.min() - 0.8, abs=2e-3)
    assert ring.value <= window.min() - 0.8
    bridge = found(tmp_path, UPRIGHT, change, "B06", "bushing_intake", "bridge_to_shoulder")
    assert bridge.value == pytest.approx(17.0 - window.max(), abs=2e-3)
    assert bridge.value <= 17.0 - window.max()


def test_a_port_beside_the_valve_axis_has_its_window_there(tmp_path):
    """Square and 1.5 beside the axis: the edges are foot -+ 5 wherever the middle of the port runs."""
    beside = {f"{IN}port.p": [8.0, 1.5, 10.0], **FLAT_SEAT}
    ring = found(tmp_path, UPRIGHT, beside, "B05", "bushing_intake", "ring_to_window")
    assert ring.value == pytest.approx(7.0 - 5.0 - 0.8, abs=1e-9)
    t = (
        np.arange(200000) + 0.5
    ) / 200000.0 * pi - pi / 2.0  # v = 1.5 + 5 sin t, all of it inside the body's 8
    v = 1.5 + PORT * np.sin(t)
    area = float(np.mean(2.0 * (PORT * np.cos(t)) ** 2 * BODY / np.sqrt(BODY**2 - v**2)) * pi)
    share = found(tmp_path, UPRIGHT, beside, "B14", "bushing_intake", "contact_share")
    assert share.value == pytest.approx(1.0 - area / (pi * 16.0 * 17.0), abs=1e-10)


def test_no_boss_covers_nothing(tmp_path):
    finding = found(tmp_path, UPRIGHT, {}, "B12", "bushing_intake", "boss_blocking")
    assert (finding.value, finding.verdict, finding.note) == (0.0, "pass", "no boss")


@pytest.mark.parametrize("key", ["boss_dia", "boss_len"])
def test_half_a_boss_is_not_run(key, tmp_path):
    other = {"boss_dia": "boss_len", "boss_len": "boss_dia"}[key]
    half = found(
        tmp_path, UPRIGHT, {f"{IN}bushing.bowl.{key}": 5.0}, "B12", "bushing_intake", "boss_blocking"
    )
    assert (half.verdict, half.missing) == ("not_run", (f"{IN}bushing.bowl.{other}",))


def test_the_shadow_of_a_boss_along_a_rising_port(tmp_path):
    """Rays along the port, 1200 x 1200 over its circle, against the cylinder of the boss: 3.5 round, s 9 to 14."""
    e, n = radians(20.0), 1200
    grid = ((np.arange(n) + 0.5) / n * 2.0 - 1.0) * PORT
    v, w = np.meshgrid(grid, grid)
    # a ray passes s = 7 + w/cos e + x tan e over the valve axis; it meets the boss where |x| <= sqrt(3.5^2 - v^2)
    half = np.sqrt(np.maximum(3.5**2 - v**2, 0.0))
    middle, slope = FOOT + w / cos(e), abs(sin(e) / cos(e))
    shaded = (np.abs(v) < 3.5) & (middle - half * slope <= 14.0) & (middle + half * slope >= 9.0)
    circle = v**2 + w**2 <= PORT**2
    boss = {f"{IN}port.elev": 20.0, f"{IN}bushing.bowl.boss_dia": 7.0, f"{IN}bushing.bowl.boss_len": 5.0}
    finding = found(tmp_path, UPRIGHT, boss, "B12", "bushing_intake", "boss_blocking")
    assert finding.value == pytest.approx(np.sum(shaded & circle) / np.sum(circle), abs=2e-4)
    assert finding.verdict == "info"


def test_the_length_alone_still_gives_length_over_diameter(tmp_path):
    finding = found(tmp_path, UPRIGHT, {f"{IN}port": None}, "B14", "bushing_intake", "length_over_diameter")
    assert finding.value == 17.0 / 16.0


def test_the_advice_of_a_narrow_ring_speaks_of_the_limit_in_use(tmp_path):
    """A ring of 7 - 5 - 0.8 = 1.2 where the job asks for 2.0: 0.80 higher, not 0.00."""
    asked = {**FLAT_SEAT, "limits.B05": 2.0}
    finding = found(tmp_path, UPRIGHT, asked, "B05", "bushing_intake", "ring_to_window")
    assert finding.verdict == "fail"
    assert "by 0.80 along" in finding.advice
