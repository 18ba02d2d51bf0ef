"""B: the guide bushing itself: lands, walls, window, guide, fit surface, corner, face."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from headparts.checks.circles import circle, least_at, place_of
from headparts.checks.context import Context
from headparts.checks.finding import Finding, Value
from headparts.checks.registry import check
from headparts.geometry.axis import Array
from headparts.geometry.boss import boss_blocking
from headparts.geometry.window import extreme_of_window
from headparts.plan import MissingInput
from headparts.plan.derived import window_area_od, window_of
from headparts.plan.station import StationPlan
from headparts.tables.iso286 import it_grade


def subject(station: StationPlan) -> str:
    """Name of the station's bushing."""
    return f"bushing_{station.name}"


@check("B01", per="bushing")
def body_minus_head(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Body bore less valve head."""
    body, head = station.inputs("bushing.body.dia", "valve.head")
    yield context.judge("B01", subject(station), "body_minus_head", body - head, advice="a larger body bore")


@check("B02", per="bushing")
def land(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Bushing left outside the seat, on the radius."""
    body, outer = station.inputs("bushing.body.dia", "bushing.seat.outer")
    yield context.judge("B02", subject(station), "land", (body - outer) / 2.0, advice="a larger body bore")


@check("B03", per="bushing")
def wall_at_throat(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Wall of the bushing at the throat."""
    body, throat = station.inputs("bushing.body.dia", "bushing.bowl.throat")
    yield context.judge(
        "B03",
        subject(station),
        "wall_at_throat",
        (body - throat) / 2.0,
        advice="a larger body bore or a smaller throat",
    )


@check("B04", per="bushing")
def seat_width(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Seat width along the cone."""
    name = "exhaust" if station.name == "exhaust" else ""
    yield context.judge(
        "B04",
        subject(station),
        "seat_width",
        station.inputs.one("bushing.seat.width"),
        name=name,
        method="as given",
        advice="recut the seat with the top and the throat cutter",
    )


@check("B05", per="bushing")
def ring_to_window(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Ring left between the seat's inner edge and the window's lowest edge."""
    station.inputs("bushing.body.dia", "bushing.bowl.throat", "axis")
    low, _high = _window_ends(context, station)
    ring = low - station.seat_inner_edge_s
    short = _limit(context, "B05", "ring_to_window") - ring
    advice = f"raise the port by {max(0.0, short):.2f} along the valve axis, or drill it smaller"
    yield context.judge(
        "B05",
        subject(station),
        "ring_to_window",
        ring,
        advice=advice,
        method="exact edge curve",
        terms={"window_low": low},
    )


def _limit(context: Context, check_id: str, quantity: str) -> float:
    """The one-sided limit of a row as this job uses it."""
    value = context.limits.use(check_id, quantity).value
    assert isinstance(value, float)
    return value


def _window_ends(context: Context, station: StationPlan) -> tuple[float, float]:
    """Lowest and highest s of the window between throat and body [mm], worked out once."""

    def made() -> tuple[float, float]:
        body, throat = station.inputs("bushing.body.dia", "bushing.bowl.throat")
        return extreme_of_window(window_of(station), throat / 2.0, body / 2.0)

    return context.remember(f"window_ends_{station.name}", made)  # type: ignore[no-any-return]


@check("B06", per="bushing")
def bridge_to_shoulder(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Bushing left between the window's highest edge and the shoulder."""
    _, _, length, _ = station.inputs("bushing.body.dia", "bushing.bowl.throat", "bushing.body.len", "axis")
    _low, high = _window_ends(context, station)
    yield context.judge(
        "B06",
        subject(station),
        "bridge_to_shoulder",
        length - high,
        terms={"window_high": high},
        method="exact edge curve",
        advice="a longer body",
    )


@check("B07", per="bushing")
def window_over_body(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Window over body diameter."""
    body, port = station.inputs("bushing.body.dia", "port.dia")
    yield context.judge(
        "B07",
        subject(station),
        "window_over_body",
        port / body,
        advice="drill the port smaller, or a larger body bore",
    )


@check("B08", per="bushing")
def half_chord(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Bushing left beside the window, on each side."""
    body, port = station.inputs("bushing.body.dia", "port.dia")
    yield context.judge(
        "B08", subject(station), "half_chord", (body - port) / 2.0, advice="drill the port smaller"
    )


@check("B09", per="bushing")
def guide_over_stem(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Guide length over stem diameter."""
    roof, stem = station.inputs("bushing.bowl.roof_s", "valve.stem")
    boss = float(station.inputs.get("bushing.bowl.boss_len", 0.0))
    yield context.judge(
        "B09",
        subject(station),
        "guide_over_stem",
        (station.top_s - roof + boss) / stem,
        advice="a higher top of the shank, a lower bowl roof or a guide boss",
    )


@check("B10", per="bushing")
def stem_clearance(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Stem clearance, least and greatest: of the bore to its IT7, or of the finished bore as measured."""
    bore, stem = station.inputs("bushing.guide.bore", "valve.stem")
    made = station.inputs.get("measured.guide_bore")
    ends = (made,) if isinstance(made, float) else made
    least, greatest = (bore, bore + it_grade(bore, "IT7")) if ends is None else (min(ends), max(ends))
    how = "closed form" if ends is None else "as measured"
    exhaust = station.name == "exhaust"
    advice = "ream to the stem as measured"
    yield context.judge(
        "B10",
        subject(station),
        "clearance_min",
        least - stem,
        name="exhaust_min" if exhaust else "",
        variant=how,
        method=how,
        advice=advice,
    )
    yield context.judge(
        "B10",
        subject(station),
        "clearance_max",
        greatest - stem,
        terms={"guide_it": it_grade(bore, "IT7")},
        variant=how,
        name="exhaust_max" if exhaust else "clearance_max",
        method=how,
        advice=advice,
    )


@check("B11", per="bushing")
def guide_wall(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Wall of the guide in the shank."""
    shank, bore = station.inputs("bushing.shank.dia", "bushing.guide.bore")
    yield context.judge(
        "B11", subject(station), "guide_wall", (shank - bore) / 2.0, advice="a larger shank bore"
    )


@check("B12", per="bushing")
def blocking(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Share of the port circle that the guide boss covers, seen along the port."""
    diameter, length = (
        station.inputs.get("bushing.bowl.boss_dia"),
        station.inputs.get("bushing.bowl.boss_len"),
    )
    if diameter is None and length is None:
        station.inputs("bushing.bowl")
        yield context.judge("B12", subject(station), "boss_blocking", 0.0, note="no boss", variant="no boss")
        return
    diameter, length, roof, _ = station.inputs(
        "bushing.bowl.boss_dia", "bushing.bowl.boss_len", "bushing.bowl.roof_s", "axis"
    )
    share = boss_blocking(window_of(station), diameter / 2.0, roof - length, roof)
    yield context.judge(
        "B12",
        subject(station),
        "boss_blocking",
        share,
        terms={"blocked": share},
        method="quadrature",
        advice="a shorter or a slimmer guide boss",
    )


@check("B13", per="bushing")
def seat_runout(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Run-out of the seat as measured."""
    runout = station.inputs.one("measured.seat_runout")
    yield context.judge(
        "B13", subject(station), "seat_runout", runout, method="as measured", advice="recut the seat"
    )


@check("B14", per="bushing")
def fit_surface(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Length over diameter of the body, and the share of its surface that the window leaves."""
    body, length = station.inputs("bushing.body.dia", "bushing.body.len")
    yield context.judge(
        "B14", subject(station), "length_over_diameter", length / body, advice="a longer body"
    )
    try:
        area = window_area_od(station)
    except MissingInput as gap:
        yield from context.not_run("B14", subject(station), gap, only="contact_share")
        return
    yield context.judge(
        "B14",
        subject(station),
        "contact_share",
        1.0 - area / (pi * body * length),
        terms={"window_area": area},
        name="contact_share",
        method="exact window area",
        advice="a longer body, or drill the port smaller",
    )


@check("B15", per="bushing")
def lead(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Lead of the body: length and angle."""
    length, angle = station.inputs("bushing.body.lead.len", "bushing.body.lead.angle")
    yield context.judge(
        "B15", subject(station), "lead_length", length, method="as given", advice="a longer lead"
    )
    yield context.judge(
        "B15",
        subject(station),
        "lead_angle",
        angle,
        name="lead_angle",
        method="as given",
        advice="a slimmer lead: it cuts into the bore",
    )


@check("B16", per="bushing")
def corner_spare(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Relief at the bushing's corner beyond the radius in the head's corner, in both directions."""
    relief, corner = station.inputs("bushing.shoulder.relief", "bushing.shoulder.head_corner_r")
    if relief:
        width, depth = station.inputs("bushing.body.undercut.w", "bushing.body.undercut.d")
        spare = min(width, depth) - corner
    else:
        spare = -corner
    yield context.judge(
        "B16",
        subject(station),
        "corner_spare",
        spare,
        variant="" if relief else "no relief",
        advice=f"a relief of at least {corner + _limit(context, 'B16', 'corner_spare'):.2f} both ways",
    )


@check("B17", per="bushing")
def face_to_roof(context: Context, station: StationPlan) -> Iterator[Finding]:
    """How the bushing's gas face stands to the chamber roof, round its edge."""
    body, above, _ = station.inputs("bushing.body.dia", "bushing.body.face_above_roof", "axis")
    context.inputs.one("head.chamber")
    chamber = context.plan.voids.chamber

    def heights(angles: Array) -> Array:
        return chamber.roof_along(circle(station, 0.0, body / 2.0, angles), station.direction)

    def points(angle: Array) -> dict[str, Value]:
        edge = circle(station, 0.0, body / 2.0, angle)
        return {
            "edge_point": place_of(edge),
            "roof_point": place_of(edge + heights(angle)[:, None] * station.direction),
        }

    most, proud = least_at(lambda a: -heights(a))
    yield context.judge(
        "B17",
        subject(station),
        "face_proud",
        -most - above,
        terms=points(proud),
        method="edge points, refined",
        advice="sink the face into the roof: proud edges glow and may meet the piston",
    )
    lowest, buried = (None, None) if context.brief else least_at(heights)
    yield context.judge(
        "B17",
        subject(station),
        "face_buried",
        None if lowest is None else above - lowest,
        name="face_buried",
        terms=None if buried is None else points(buried),
        method="edge points, refined",
    )
