"""W08: a cut that enters a cavity: how much, how large the opening is, and where."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.handed import axes
from headparts.checks.pairs import Pair, pairs
from headparts.checks.registry import check
from headparts.checks.sleeve_walls import sleeve_pairs
from headparts.geometry.axis import Axis, common_perpendicular
from headparts.geometry.void import Void
from headparts.plan import MissingInput

if TYPE_CHECKING:  # loaded when an opening is measured
    from headparts.geometry.opening import Opening

QUANTITIES = ("opening_along", "opening_area", "opening_around", "opening_centre", "axis_gap", "axis_angle")

MEANING = {
    "gas": "gas passage: never glue it; a bonded sleeve is no repair here",
    "oil": "oil gets into the port, or pressure into the crankcase: whatever closes it must seal and last in hot oil",
    "oil_return": "oil runs into the port: whatever closes it must seal and last in hot oil",
    "moving": "a part moves there: what closes the hole must stay clear of it",
    "bolt": "the bolt's hole: it leaks along the bolt, and the metal that is clamped there is weaker",
    "thread": "a thread: the screw holds in less metal, and it leaks along the screw",
    "outside": "the open air: the port leaks to the outside",
}
"""What a breakthrough into each kind of cavity means at the bench (common practice, no source)."""


def axis_of_void(void: Void) -> Axis:
    """Axis of a round cut or cavity."""
    axis = void.cores[0].axis
    assert axis is not None
    return axis


def offset_of(context: Context, pair: Pair) -> float:
    """What turns a distance along a cut's own axis into one from the valve axis, or into a station length [mm]."""
    station = context.plan.stations[pair.station]
    if pair.role in ("port", "sleeve_bore"):
        return station.port.start - station.port.nearest
    assert pair.voids is not None
    return float(station.axis.parameter_of(axis_of_void(pair.voids[0]).point))


@check("W08", per="job", needs="voids")
def breakthroughs(context: Context) -> Iterator[Finding]:
    """Every cut that enters a cavity, or one pass for the head when none does."""
    mine = [pair for pair in (*pairs(context), *sleeve_pairs(context)) if pair.cavity is not None]
    known = [pair for pair in mine if pair.cavity.kind != "unknown"]
    entered = [pair for pair in known if pair.overlaps]
    for pair in entered:
        yield from _opening_rows(context, pair)
    unmeasured = [pair for pair in known if pair.missing is not None]
    for pair in unmeasured:
        yield from context.not_run("W08", pair.subject, pair.missing, only="overlap_volume")
    if not entered and not unmeasured:
        if known:
            yield context.judge(
                "W08",
                "head",
                "overlap_volume",
                0.0,
                verdict="pass",
                method="walls",
                note="no cut enters a cavity",
                terms={"measured_value": 0.0},
            )
        else:
            yield from _nothing_to_look_at(context)


def _nothing_to_look_at(context: Context) -> Iterator[Finding]:
    lacking = [] if context.plan.stations else ["stations"]
    lacking += [] if context.job.head is not None else ["head.cavities"]
    if lacking:
        yield from context.not_run("W08", "head", MissingInput(*lacking), only="overlap_volume")
    else:
        yield from context.none_here("W08", subject="head")


def _measured(cut: Void, cavity: Void) -> tuple[Opening | None, float]:
    from headparts.geometry.opening import opening, overlap_volume

    found = opening(cut, cavity)
    return found, overlap_volume(cut, cavity)[0] if found is None else found.overlap_volume


def _opening_rows(context: Context, pair: Pair) -> Iterator[Finding]:
    assert pair.voids is not None
    assert pair.wall is not None
    cut, cavity = pair.voids
    found, volume = (None, None) if context.brief else _measured(cut, cavity)
    gap, angle, _, _ = common_perpendicular(axis_of_void(cut), axis_of_void(cavity))
    meaning = MEANING.get(pair.cavity.kind, "")
    if pair.cavity.kind == "gas":
        advice = f"{meaning}: a smaller or a shifted cut, and a leak test"
    else:
        advice = f"{meaning}; a smaller or a shifted cut; if the metal is already gone, a repair sleeve, and a leak test"
    yield context.judge(
        "W08",
        pair.subject,
        "overlap_volume",
        volume,
        verdict="fail",
        at=pair.wall.at,
        method="quadrature over lines parallel to the cut",
        advice=advice,
        note=f"breaks into a cavity of kind {pair.cavity.kind}",
        terms=None if volume is None else {"measured_value": volume},
    )
    values: dict[str, float | None] = dict.fromkeys(QUANTITIES)
    values |= {"axis_gap": gap, "axis_angle": angle}
    if found is not None:
        values |= {
            "opening_along": found.along,
            "opening_area": found.area,
            "opening_around": found.around,
            "opening_centre": found.centre + offset_of(context, pair),
        }
    terms = axes(cut, cavity)
    if found is not None:
        terms |= {"opening_start": found.start, "opening_end": found.end}
        terms |= {"opening_shift": offset_of(context, pair)}
    for quantity, value in values.items():
        note = (
            ""
            if value is not None or context.brief
            else "the cavity enters through the cut's end: no opening in its curved surface"
        )
        yield context.judge(
            "W08",
            pair.subject,
            quantity,
            value,
            verdict="fail",
            method="exact chords",
            advice=advice,
            note=note,
            terms=terms if value is None else terms | {"measured_value": value},
        )
