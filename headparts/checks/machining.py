"""M: boring and drilling: clean-up of the old bores, step, reach, sweep, spindle, temperature."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from headparts.checks.circles import circle, least_at, to_chamber_wall
from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.handed import between
from headparts.checks.registry import check
from headparts.checks.terms import gather, position_u
from headparts.geometry.axis import Array
from headparts.geometry.convex import box, cylinder
from headparts.geometry.void import Void
from headparts.mechanics.machining import clean_up
from headparts.plan import MissingInput
from headparts.plan.station import StationPlan

TOOL_BEYOND = 5.0
"""Reach of the boring bar beyond the step [mm] (definition of M03)."""
PARALLEL = 1e-9
"""Sine of the angle below which two axes are parallel."""
SPINDLE_LENGTH = 500.0
"""Length of spindle that is looked at behind its nose [mm]."""


@check("M01", per="station")
def cleanup(context: Context, station: StationPlan) -> Iterator[Finding]:
    """New bores clean up the old ones all round, after position errors."""
    length, _, _ = station.inputs("bushing.body.len", "axis", "old.axis")
    for quantity, new_key, old_key, span in (
        ("body_cleanup", "bushing.body.dia", "old.body_bore", lambda: (0.0, length)),
        ("shank_cleanup", "bushing.shank.dia", "old.shank_bore", lambda: _shank_span(context, station)),
    ):
        name = "" if quantity == "body_cleanup" else quantity
        try:
            new, old = station.inputs(new_key, old_key)
            half_widths = gather(
                lambda: position_u(context, station),
                lambda: float(context.inputs.one("process.bore_position_u")),
            )
            offset = station.offset_over(*span())
        except MissingInput as gap:
            yield from context.not_run("M01", station.name, gap, only=quantity)
            continue
        value = float(clean_up(new, old, offset, sum(half_widths)))
        yield context.judge(
            "M01",
            station.name,
            quantity,
            value,
            name=name,
            advice="a larger bore, or the new axis nearer to the old: a crescent of the old bore would stay",
        )


def _shank_span(context: Context, station: StationPlan) -> tuple[float, float]:
    """Where the shank's bore begins and where it leaves the head's top [mm]; any length does for parallel axes."""
    step = float(station.inputs.one("bushing.body.len"))
    if np.linalg.norm(np.cross(station.direction, station.old_axis.direction)) < PARALLEL:
        return step, step
    top = float(context.inputs.one("head.outline").z[1])
    return step, (top - float(station.point(0.0)[2])) / float(station.direction[2])


@check("M02", per="station")
def step(context: Context, station: StationPlan) -> Iterator[Finding]:
    """New step beyond the old one, along the new axis."""
    yield context.judge("M02", station.name, "step_gain", station.step_gain, advice="a longer body")


@check("M03", per="station")
def reach(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Reach of the boring bar over its diameter."""
    length, _ = station.inputs("bushing.body.len", "axis")
    bar = context.inputs.get("process.bar_dia")
    note = ""
    if bar is None:
        bar = 0.8 * float(station.inputs.one("old.body_bore"))
        note = "process.bar_dia not given: 0.8 of the old body bore"
    depth = length - station.joint_face_s + TOOL_BEYOND
    yield context.judge(
        "M03", station.name, "reach_over_bar", depth / bar, note=note, advice="a thicker or a carbide bar (5)"
    )


@check("M05", per="station")
def sweep_to_mouth(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Chamber mouth to the body bore carried on to the joint face."""
    body, _ = station.inputs("bushing.body.dia", "axis")
    context.inputs.one("head.chamber")
    chamber = context.plan.voids.chamber
    d = station.direction

    def carried_on(angles: Array) -> Array:
        edge = circle(station, 0.0, body / 2.0, angles)
        return np.asarray(edge - np.outer(edge[:, 2] / d[2], d))

    gap, where = least_at(lambda angles: chamber.wall_distance(carried_on(angles)))

    yield context.judge(
        "M05",
        station.name,
        "sweep_to_mouth",
        gap,
        terms=to_chamber_wall(chamber, carried_on(where)),
        method="edge points, refined",
        advice="the boring tool would mark the joint face: move the axis inward",
    )


@check("M06", per="station", needs="voids")
def spindle(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Head outline to the spindle nose when the tool cuts the step."""
    length, _ = station.inputs("bushing.body.len", "axis")
    nose, tool = context.inputs("process.spindle.nose_dia", "process.spindle.tool_len")
    outline = context.inputs.one("head.outline")
    spans = (outline.x, outline.y, outline.z)
    casting = Void("head", "outside", (box([span[0] for span in spans], [span[1] for span in spans]),))
    face = station.point(length - tool)
    body = cylinder(face, -station.direction, nose / 2.0, SPINDLE_LENGTH)
    spindle = Void("spindle", "moving", (body,))
    wall = context.walls.one(spindle, casting)
    yield context.judge(
        "M06",
        station.name,
        "spindle_gap",
        wall.value,
        at=wall.at,
        bounds=(wall.lower, wall.upper),
        method=wall.method,
        advice="a longer tool or a slimmer spindle nose",
        **between(wall.value, wall.at, (spindle, casting)),
    )


@check("M07", per="datums")
def temperature(context: Context) -> Iterator[Finding]:
    """Temperature at which the head was measured."""
    yield context.judge(
        "M07",
        "datums",
        "temperature",
        context.inputs.one("datums.temperature"),
        method="as given",
        advice="let head and gauges come to 20 before measuring",
    )
