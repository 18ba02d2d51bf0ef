"""Limits of rocker gear, springs and lash (R, K, L), by hand.

Seat middle at s = 0.25 + 1.0 sin(30)/2 = 0.5. Intake: tip at s = 50, z = 53, 3 above the old one at z = 50; exhaust:
s = 49, z = 52, 2 above. Rocker ratio 12/8 = 1.5. Spring of the intake: 50 - 4 - 27 - 2 = 17 long.
"""

from __future__ import annotations

from math import acos, cos, pi, radians, sqrt
from typing import Any

import pytest

from edges.case import Edge
from edges.jobs import TRAIN

IN, EX = "stations.intake.", "stations.exhaust."
CHANGE, THICK = "rocker.pushrod.change", "rocker.spacer.thick"
LEANING = {f"{IN}axis.tilt": 30.0, f"{IN}old.axis.tilt": 30.0, f"{IN}old.tip_z": None, f"{IN}old.tip_s": 47.0}
"""The intake leaning by 30 degrees: its tip grows by 3 along the axis, 3 cos 30 in z and 3 sin 30 sideways."""
SWEPT = {f"{IN}valve.lift": 5.0, THICK: 0.5, "rocker.arm.valve": 13.0}


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
    """An edge of the train job that its first key leaves; R about the rocker, K and L about the intake."""
    subject = more.pop("subject", "rocker" if id_[0] == "R" else "intake")
    return Edge(id_, quantity, subject, TRAIN, at, next(iter(at)), outward, limit, severity, why, **more)


def lens(first: float, second: float, gap: float) -> float:
    """Share of the smaller of two circles, by diameters, that both have: two segments, each by its own chord."""
    r, q = first / 2.0, second / 2.0
    x = (gap**2 + r**2 - q**2) / (2.0 * gap)
    area = r**2 * acos(x / r) - x * sqrt(r**2 - x**2)
    x = gap - x
    area += q**2 * acos(x / q) - x * sqrt(q**2 - x**2)
    return area / (pi * min(r, q) ** 2)


def apart(first: float, second: float, share: float) -> float:
    """Gap at which two circles share so much, by halving."""
    low, high = abs(first - second) / 2.0 + 1e-9, (first + second) / 2.0
    for _ in range(200):
        gap = (low + high) / 2.0
        low, high = (gap, high) if lens(first, second, gap) > share else (low, gap)
    return low


EDGES = [
    edge("R01", "above_lower", {THICK: 1.0}, -1, 0.0, "WARN", "mean rise (3 + 2)/2 = 2.5; 1.0 - 2.5/(1 + 1.5) = 0",
         drop=f"{IN}valve.gauge_to_tip"),
    edge("R01", "below_upper", {THICK: 2.5}, +1, 0.0, "WARN", "2.5 - 2.5", name="below_upper",
         drop=f"{EX}valve.gauge_to_tip"),
    edge("R01", "below_upper", {THICK: (3.0 * cos(radians(30.0)) + 2.0) / 2.0}, +1, 0.0, "WARN",
         "the leaning tip rises by 3 cos 30 in z", name="below_upper", change=LEANING),
    edge("R02", "adjuster_need", {CHANGE: 0.25, THICK: 1.8}, -1, 0.75, "FAIL",
         "(1.8 x 2.5 - 3)/1.5 - 0.25 = 0.75, half of 1.5", subject="intake", drop=CHANGE),
    edge("R02", "adjuster_need", {CHANGE: 1.75, THICK: 1.8}, +1, 0.75, "FAIL", "1.0 - 1.75 = -0.75: the other way",
         subject="intake"),
    edge("R02", "adjuster_need", {CHANGE: (1.8 * 2.5 - 2.0) / 1.5 - 0.75, THICK: 1.8}, -1, 0.75, "FAIL",
         "the exhaust by its own rise: (4.5 - 2)/1.5 - 0.75", subject="exhaust"),
    edge("R02", "adjuster_need", {CHANGE: 0.5, THICK: 1.8}, -1, 0.75, "FAIL", "at the valve's end: 1.5 x (1 - 0.5)",
         subject="intake", change={"rocker.adjuster.where": "valve end"}),
    edge("R02", "adjuster_need", {"rocker.adjuster.range": 1.0, THICK: 1.8, CHANGE: 0.5}, -1, 0.5, "FAIL",
         "the limit is half the range: 1.0 - 0.5 = 1.0/2", subject="intake"),
    edge("R03", "half_sweep_over_stem", {f"{IN}valve.stem": 5.0, **SWEPT}, -1, 0.10, "WARN",
         "from -2.5 + (3 - 0.5) = 0 to 5: 13 - sqrt(13^2 - 5^2) = 1; 1/2/5 = 0.10", step=1e-7, subject="intake",
         drop=f"{IN}valve.lift"),
    edge("R03", "half_sweep_over_stem", {f"{IN}valve.stem": 5.0, **SWEPT, f"{IN}valve.lift": 8.0, THICK: 2.0}, -1, 0.10,
         "WARN", "from -4 + 1 = -3 through 0 to 5: still 13 - 12", step=1e-7, subject="intake"),
    edge("R03", "half_sweep_over_stem",
         {f"{IN}valve.stem": (sqrt(160.0) - 12.0) / 0.2, **SWEPT, f"{IN}valve.lift": 2.0, THICK: 7.0}, -1, 0.10, "WARN",
         "from -1 - 4 = -5 to -3: sqrt(169 - 9) - 12", step=1e-7, subject="intake"),
    edge("R04", "past_nut", {"rocker.post.stud_projection": 23.2}, -1, 1.0, "FAIL",
         "23.2 - 2.0 - 14.0 - 1.2 - 5.0 = 1.0, the pitch", drop="rocker.post.nut_h"),
    edge("R04", "past_nut", {"rocker.post.pitch": 1.8}, +1, 1.8, "FAIL", "24.0 - 22.2 = 1.8: the limit is the pitch"),
    edge("R05", "thread_over_d", {"rocker.post.thread_in_head": 9.0}, -1, 1.5, "FAIL", "9/6; a sixth of the step", step=2e-8,
         drop="rocker.post.stud_dia"),
    edge("R06", "cover_left", {"rocker.cover_clearance": 4.1}, -1, 0.8, "FAIL", "4.1 - 0.3 - 3.0, the larger rise",
         drop="rocker.cover_clearance"),
    edge("R06", "cover_left", {"rocker.cover_clearance": 1.1 + 3.0 * cos(radians(30.0))}, -1, 0.8, "FAIL",
         "0.3 + 0.8 and 3 cos 30", change=LEANING),
    edge("R06", "cover_left", {"datums.faced_off": 0.9}, +1, 0.8, "FAIL",
         "the old tip stood at 50 - 0.9 after lapping: 5.0 - 0.3 - 3.9", change={"datums": {"position_u": 0.05}}),
    edge("R07", "tunnel_play", {"head.cavities.tunnel.dia": 6.2}, -1, 0.5, "FAIL", "(6.2 - 4.0)/2 - 0.6", subject="tunnel",
         drop="head.cavities.tunnel.moving_play"),
    edge("R08", "parallel", {"rocker.spacer.parallel": 0.01}, +1, 0.01, "WARN", "as given", subject="spacer",
         drop="rocker.spacer.parallel"),
    edge("R09", "oil_hole_overlap", {"rocker.post.oil_hole.at.1": 0.3 + apart(2.5, 2.5, 0.80)}, +1, 0.80,
         "FAIL", "the lens of two circles of 2.5 so far apart is 0.8 of one", subject="spacer", drop="rocker.post.oil_hole",
         change={"rocker.spacer.oil_hole.at": [8.0, 0.3]}),
    edge("R09", "oil_hole_overlap", {"rocker.post.oil_hole.at.1": -apart(4.0, 2.5, 0.80), "rocker.post.oil_hole.dia": 4.0},
         -1, 0.80, "FAIL", "of the smaller one, 2.5, beside a wider one", subject="spacer"),
    edge("R10", "tip_offset_over_stem", {f"{IN}old.axis.p.1": 1.2, f"{IN}old.axis.p.0": 8.9}, +1, 0.30, "WARN",
         "sqrt(0.9^2 + 1.2^2)/5 = 0.30", step=2e-8, subject="intake", drop=f"{IN}valve.stem"),
    edge("R10", "tip_offset_over_stem", {f"{IN}old.tip_s": 47.0}, -1, 0.30, "WARN", "it grew by 3: 3 sin 30/5",
         step=2e-8, change=LEANING, subject="intake"),
    edge("K01", "coil_bind", {f"{IN}spring.solid": 12.8}, +1, 1.0, "FAIL", "17 - 3.2 - 12.8", drop=f"{IN}spring.shim"),
    edge("K02", "retainer_gap", {f"{IN}bushing.shank.top_s": 37.0}, +1, 0.8, "FAIL",
         "50 - 4 - 3.5 - 3.2 - 37 - 1.5 = 0.8", drop=f"{IN}spring.seal_h"),
    edge("K03", "seat_force_ratio", {f"{IN}spring.shim": 2.0}, -1, 0.9, "WARN",
         "old 47 - 4 - 27 = 16 without shim, new 17: (26 - 17)/(26 - 16)", step=2e-8, drop=f"{IN}spring.free"),
    edge("K03", "seat_force_ratio", {f"{IN}spring.shim": 6.0}, +1, 1.3, "WARN", "new 13: (26 - 13)/(26 - 16)", step=2e-8),
    edge("K04", "groove_to_retainer", {f"{IN}valve.groove_below_tip": 4.0}, +1, 0.0, "WARN", "4.0 - 4.0: 0 does not pass",
         drop=f"{IN}valve.groove_below_tip"),
    edge("L01", "lash_warm", {"rocker.lash_cold.intake": 0.07}, -1, 0.0, "INFO",
         "pivot 0.10 + 0.01, pushrod 0.07 + 0.01, valve 0.225: 0.07 + 2.5 x 0.11 - 1.5 x 0.08 - 0.225 = 0, does not pass",
         drop="rocker.warm.pivot"),
]  # fmt: skip


@pytest.mark.parametrize("each", EDGES, ids=str)
def test_both_sides_of_the_limit(each, tmp_path):
    each.holds(tmp_path)


@pytest.mark.parametrize("each", [each for each in EDGES if each.drop], ids=str)
def test_not_run_without_its_input(each, tmp_path):
    each.is_not_run(tmp_path)
