"""Clearance rows of the three jobs again, as distances of solids: V01, V02, V10, V11, K02, R07, S07.

The kernel measures bodies that are made here from the job's numbers, without a void. Two valve heads have a second
route more: their axes lie in one plane in all three jobs, so the least distance is that of two rectangles.
"""

from __future__ import annotations

import math
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.parts.from_plan import wanted_parts
from headparts.plan import plan_job
from headparts.plan.station import axis_of
from headparts.solids.cut import cut, cut_raw
from headparts.solids.distance import least_distance
from headparts.solids.overlap import common
from headparts.solids.primitives import box, cylinder
from headparts.solids.shapes import solids_of

ROOT = Path(__file__).resolve().parents[2]
JOBS = ("pump_26cc", "generator_62cc", "sprayer_10cc")
IDS = ("V01", "V02", "V10", "V11", "K02", "R07", "S07")
UP = (0.0, 0.0, 1.0)
FAR = 60.0


@pytest.fixture(scope="module")
def judged():
    known = {}

    def get(name):
        if name not in known:
            plan = plan_job(read_job(ROOT / "configs" / f"{name}.yaml"))
            found = {f.key: f for f in run_checks(Context(plan), IDS)}
            known[name] = plan, found
        return known[name]

    return get


def land(station, low_lift=0.0, high_lift=0.0):
    """The cylinder of a valve head over some lifts, as a solid; its lower end and direction too."""
    valve, seat = station.inputs.one("valve"), station.inputs.one("bushing.seat")
    rise = (valve.head - seat.outer) / 2.0 * math.tan(math.radians(seat.angle))
    under = seat.s_outer - rise - valve.margin - high_lift
    axis = axis_of(station.inputs.one("axis"))
    start = np.asarray(axis.point) + under * np.asarray(axis.direction)
    length = valve.margin + high_lift - low_lift
    return (
        cylinder(vec(start), axis.direction, valve.head / 2.0, length),
        start,
        np.asarray(axis.direction),
        length,
    )


def vec(array):
    return tuple(float(x) for x in array)


def rectangle(station, lift):
    """Corners of a valve head's land in the plane y = const of its axis, (x, z)."""
    _, start, d, length = land(station, lift, lift)
    assert abs(d[1]) < 1e-12
    radius = station.inputs.one("valve.head") / 2.0
    across = np.array([d[2], -d[0]]) * radius
    foot, along = start[[0, 2]], d[[0, 2]] * length
    return [foot - across, foot + across, foot + across + along, foot - across + along]


def to_segment(p, a, b):
    share = np.clip(np.dot(p - a, b - a) / np.dot(b - a, b - a), 0.0, 1.0)
    return float(np.linalg.norm(p - a - share * (b - a)))


def between(first, second):
    """Least distance of two convex polygons that are apart: corner to side, both ways."""
    return min(
        to_segment(p, other[k - 1], other[k])
        for one, other in ((first, second), (second, first))
        for p in one
        for k in range(len(other))
    )


@pytest.mark.parametrize("name", JOBS)
def test_valve_to_valve(judged, name):
    plan, found = judged(name)
    stations = [plan.stations["exhaust"], plan.stations["intake"]]
    assert len({round(axis_of(s.inputs.one("axis")).point[1], 12) for s in stations}) == 1
    for case in ("closed", "overlap"):
        row = found["V01", "exhaust~intake", case, "head_gap"]
        lifts = [s.inputs.one("valve.lift_tdc") if case == "overlap" else 0.0 for s in stations]
        planar = between(*(rectangle(s, lift) for s, lift in zip(stations, lifts, strict=True)))
        assert row.value == pytest.approx(planar, abs=1e-9)
        solids = [land(s, lift, lift)[0] for s, lift in zip(stations, lifts, strict=True)]
        assert least_distance(*solids).value == pytest.approx(row.value, abs=1e-6)


@pytest.mark.parametrize("name", JOBS)
def test_valve_to_valve_over_both_lifts(judged, name):
    """Lands swept to the lift at the overlap: as near as the nearest of 9 x 9 lifts by the planar formula, no nearer."""
    plan, _ = judged(name)
    stations = [plan.stations["exhaust"], plan.stations["intake"]]
    tops = [float(s.inputs.one("valve.lift_tdc")) for s in stations]
    swept = least_distance(*(land(s, 0.0, top)[0] for s, top in zip(stations, tops, strict=True))).value
    each = [
        between(rectangle(stations[0], one), rectangle(stations[1], other))
        for one, other in product(np.linspace(0, tops[0], 9), np.linspace(0, tops[1], 9))
    ]
    assert min(each) == pytest.approx(swept, abs=1e-6)


@pytest.mark.parametrize("name", JOBS)
def test_valve_to_plug(judged, name):
    plan, found = judged(name)
    for station in plan.stations.values():
        row = found["V02", station.name, "nominal", "plug_gap"]
        if row.value is None:
            continue
        swept, *_ = land(station, 0.0, float(station.inputs.one("valve.lift")))
        noses = []
        for block in plan.job.head.cavities:
            if block.kind == "gas" and block.plug_reach:
                axis = axis_of(block.axis)
                start = np.asarray(axis.point) - block.plug_reach * np.asarray(axis.direction)
                noses.append(cylinder(vec(start), axis.direction, block.dia / 2.0, block.plug_reach))
        assert row.value == pytest.approx(min(least_distance(swept, n).value for n in noses), abs=1e-6)


@pytest.mark.parametrize("name", JOBS)
def test_valve_to_piston(judged, name):
    """The piston's crown stands below the joint face by gasket and deck, each less its half-width."""
    plan, found = judged(name)
    stack = sum(
        plan.inputs.one(key) - plan.inputs.half_width(key)
        for key in ("engine.gasket.compressed", "engine.deck")
    )
    piston = box((-FAR, -FAR, -FAR), (FAR, FAR, -stack))
    for station in plan.stations.values():
        lift = float(station.inputs.one("valve.lift_tdc"))
        row = found["V10", station.name, "nominal", "piston_gap"]
        assert row.value > 0
        gap = least_distance(land(station, lift, lift)[0], piston).value
        assert gap == pytest.approx(row.value, abs=1e-6)


@pytest.mark.parametrize("name", JOBS)
def test_valve_to_cylinder_wall(judged, name):
    """What the swept land has below the joint face, inside a tube as wide as the bore."""
    plan, found = judged(name)
    bore = float(plan.inputs.one("engine.bore")) / 2.0
    tube = cut(cylinder((0, 0, -FAR), UP, bore + 5.0, FAR), [cylinder((0, 0, -FAR - 1), UP, bore, FAR + 2)])
    below = box((-FAR, -FAR, -FAR), (FAR, FAR, 0.0))
    for station in plan.stations.values():
        row = found["V11", station.name, "nominal", "bore_gap"]
        part = common(land(station, 0.0, float(station.inputs.one("valve.lift")))[0], below)
        if row.value is None:
            assert solids_of(part) == []
            continue
        assert least_distance(part, tube).value == pytest.approx(row.value, abs=1e-6)


@pytest.mark.parametrize("name", JOBS)
def test_retainer_to_guide(judged, name):
    """Two discs on the valve's axis: the guide's top with its seal, the retainer's underside at full lift."""
    plan, found = judged(name)
    for station in plan.stations.values():
        row = found["K02", station.name, "nominal", "retainer_gap"]
        spring, axis = station.inputs.one("spring"), axis_of(station.inputs.one("axis"))
        tip = station.tip_s
        under = tip - spring.retainer_below_tip - spring.retainer_depth - station.inputs.one("valve.lift")

        def disc(s, length, axis=axis):
            return cylinder(
                vec(np.asarray(axis.point) + s * np.asarray(axis.direction)), axis.direction, 4.0, length
            )

        guide = disc(station.top_s - 10.0, 10.0 + spring.seal_h)
        assert least_distance(guide, disc(under, 3.0)).value == pytest.approx(row.value, abs=1e-6)


@pytest.mark.parametrize("name", JOBS)
def test_pushrod_in_its_tunnel(judged, name):
    """The rod moved aside by its play, any way, in a block with the tunnel in it."""
    plan, found = judged(name)
    seen = 0
    for block in plan.job.head.cavities:
        if block.moving_dia is None:
            continue
        seen += 1
        row = found["R07", block.name, "nominal", "tunnel_play"]
        tunnel = cut_raw(box((-20, -20, 0), (20, 20, 30)), [cylinder((0, 0, -1), UP, block.dia / 2.0, 32)])
        for turn in (0.0, 1.0, 2.5):
            aside = (block.moving_play * math.cos(turn), block.moving_play * math.sin(turn), -3.0)
            rod = cylinder(aside, UP, block.moving_dia / 2.0, 36.0)
            assert least_distance(tunnel, rod).value == pytest.approx(row.value, abs=1e-6)
    assert seen == 2


@pytest.mark.parametrize("name", [name for name in JOBS if name != "pump_26cc"])
def test_sleeve_to_bolts_and_pushrods(judged, name):
    """The sleeve's own solid with its saddle, and every bolt and pushrod that is near; those farther off by the row."""
    plan, found = judged(name)
    (repair,) = plan.repairs.values()
    sleeve = next(w for w in wanted_parts(plan) if w.name == repair.name).build().placed_shape()
    seen = 0
    for block in plan.job.head.cavities:
        pair = "~".join(sorted((repair.name, block.name)))
        row = found.get(("S07", pair, "nominal", "clearance"))
        if row is None or row.value > 20.0:
            continue
        radius = block.bolt_dia / 2.0 if block.bolt_dia else block.moving_dia / 2.0 + block.moving_play
        axis = axis_of(block.axis)
        rod = cylinder(axis.point, axis.direction, radius, block.len)
        assert row.value > 0
        assert least_distance(sleeve, rod, starts=0).value == pytest.approx(row.value, abs=1e-6)
        seen += 1
    assert seen >= 1
