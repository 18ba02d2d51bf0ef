"""The guide bushing's sheet: section A-A through valve axis and port axis, gas face, view from above, details.

Every dimension is taken from the part's features; lengths start at the gas face, D = body diameter, E = shoulder,
G = guide bore. Tolerances that a fit does not give are the ones usual for such a part (common practice).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from headparts.drafting.dimension import Dimension, Laid, Side, lay_angle, lay_linear
from headparts.drafting.drawing import Drawing, Piece
from headparts.drafting.tolerance import Tolerance, number
from headparts.drafting.view import Cluster, View
from headparts.geometry.curves import Curve, Line, Point, circle
from headparts.sheets.bushing_details import seat_detail, shoulder_detail
from headparts.sheets.bushing_ends import from_above, gas_face
from headparts.sheets.bushing_marks import lead_start, put_marks
from headparts.sheets.common import Readings, build, dimension, scales_written, smaller, text_pieces, titled
from headparts.sheets.context import SheetContext

#: used where the context gives none; common practice, no source
DEFAULTS = {
    "gas_face_to_shoulder": Tolerance(upper=0.0, lower=-0.02),
    "shank_length": Tolerance(bracketed=True),
}
#: sizes that follow from others: shown in brackets, in a note, or not at all
DERIVED = frozenset({"seat_inner_diameter", "top_cut_diameter", "relief_diameter", "shank_length"})


def bushing_sheet(part: Any, context: SheetContext, name: str | None = None) -> Drawing:
    """Sheet of a guide bushing.

    part: from ``headparts.parts.bushing``. Raises KernelError when a feature is not on the solid.
    """
    readings = Readings(part)
    geometry = _Geometry(part, readings)

    mains: dict[float, Cluster] = {}
    details = [
        d for d in (seat_detail(part, context, readings), shoulder_detail(part, context, readings)) if d
    ]

    def make(scale: float, variant: int) -> tuple[list[Piece], str]:
        if scale not in mains:
            mains[scale] = _main(part, context, readings, geometry, scale)
        gas_scale = smaller(scale) if variant in (1, 3) else scale
        top_scale = smaller(scale) if variant in (2, 3) else scale
        gas = gas_face(context, readings, geometry.gas, gas_scale)
        above = from_above(part, context, readings, geometry.above, top_scale)
        titled(gas, "C, gas side", scale)
        titled(above, "D, rocker side", scale)
        pieces = [
            Piece("section A-A", [mains[scale]], (0.0, 1.0)),
            Piece("gas face C", [gas], (0.72, 0.85), "section A-A"),
            Piece("view D", [above], (0.9, 0.5)),
        ]
        pieces += [Piece(d.view.name, [d], (0.0 + 0.3 * i, 0.1)) for i, d in enumerate(details)]
        pieces += text_pieces(context, tuple(_notes(part, context, readings)), part)
        return pieces, scales_written(scale, [d.scale for d in details])

    length = readings.z("shank_top") - readings.z("gas_face")
    return build(name or part.name, context, part, length, make, 4)


class _Geometry:
    """Curves of the views, computed once for all scales."""

    def __init__(self, part: Any, readings: Readings) -> None:
        from headparts.solids.projection import beyond, projection, slab
        from headparts.solids.section import Plane, section

        self.plane = Plane((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
        self.faces = section(part.shape, self.plane)
        self.behind = beyond(part.shape, self.plane)
        face, top = readings.z("gas_face"), readings.z("shank_top")
        self.low, self.high = _window_reach(readings)
        below = min(self.low, readings.z("roof")) - 0.01
        up = (0.0, 0.0, 1.0)
        from_gas = Plane((0.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0))
        gas: list[Curve] = []
        if below > face:
            gas += projection(slab(part.shape, (0.0, 0.0, 0.0), up, face - 1.0, below), from_gas)
        gas.append(circle((0.0, 0.0), readings.radius("guide")))
        if "boss" in readings:
            gas.append(circle((0.0, 0.0), readings.radius("boss")))
        self.gas = _distinct(gas)
        from_above = Plane((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
        start = (
            readings.z("body_lead_start") if "body_lead_start" in readings else readings.z("shoulder") - 0.01
        )
        cut = (
            min(start - 0.01, readings.z("shoulder") - 0.01)
            if start > self.high
            else readings.z("shoulder") - 0.01
        )
        above = list(projection(slab(part.shape, (0.0, 0.0, 0.0), up, cut, top + 1.0), from_above))
        above.append(circle((0.0, 0.0), readings.radius("body")))
        self.above = _distinct(above)


def _window_reach(readings: Readings) -> tuple[float, float]:
    """Lowest and highest place of the window on the body's outside [mm along the axis]."""
    if "window" not in readings:
        return math.inf, -math.inf
    axis, slope, body = _port(readings)
    radius = readings.radius("window")
    rise = [axis + d * slope * 1.0 for d in (0.0, body)]
    half = radius * math.hypot(1.0, slope)
    return min(rise) - half, max(rise) + half


def _port(readings: Readings) -> tuple[float, float, float]:
    """Place where the port axis passes the valve axis, its slope ds/dx, and the body's radius [mm]."""
    window = readings["window"]
    (px, _, pz), (dx, _, dz) = window.point, window.direction
    return pz - px * dz / dx, dz / dx, readings.radius("body")


def _distinct(curves: list[Curve]) -> tuple[Curve, ...]:
    from headparts.solids.projection import united

    return united(curves)


def _main(part: Any, context: SheetContext, readings: Readings, geometry: _Geometry, scale: float) -> Cluster:
    face, top = readings.z("gas_face"), readings.z("shank_top")
    body = readings.radius("body")
    over = 2.5 / scale
    centre: list[Curve] = [Line((face - over, 0.0), (top + over, 0.0))]
    port_end: Point | None = None
    if "window" in readings:
        s, slope, _ = _port(readings)
        tall = body + 26.0 / scale
        port_end = (s + slope * tall, tall)
        centre.append(Line((s - slope * over, -over), port_end))
    view = View(
        "section A-A",
        scale,
        (("OUTLINE", geometry.behind), ("CENTRE", tuple(centre))),
        tuple((f.outer, *f.holes) for f in geometry.faces),
    )
    cluster = Cluster(view)
    dims = {d.size: d for d in _main_dimensions(part, context, readings)}
    lead = dims.get("shank_lead_angle")
    if lead is not None:
        reach = (lead.points[1][0] - lead.points[0][0]) * scale
        cluster.put_laid(
            lay_angle(lead, scale, reach + extra, slot)
            for extra in (8.0, 12.0, 18.0)
            for slot in ("before", "after")
        )

    def side(where: Side, *names: str) -> None:
        cluster.put_side([dims[k] for k in names if k in dims], where)

    side(
        "bottom",
        "window_axis_s",
        "roof_depth",
        "gas_face_to_shoulder",
        "overall_length",
        "shank_length",
        "shank_lead_length",
        "boss_length",
    )
    _put_window(cluster, context, readings, scale)
    side("top", "clock_flat_length")
    side("left", "body_diameter", "seat_outer_diameter", "throat_diameter", "boss_diameter")
    side("right", "shank_diameter")
    if "boss_cone" in readings:
        cluster.put_laid(
            lay_angle(_boss_cone(part, context, readings, geometry), scale, r, slot)
            for r in (20.0, 24.0, 28.0, 16.0, 12.0, 34.0)
            for slot in ("centre", "after", "before")
        )
    put_marks(cluster, context, readings, scale)
    titled(cluster, "A-A", scale)
    return cluster


def _main_dimensions(part: Any, context: SheetContext, readings: Readings) -> Iterator[Dimension]:
    face, top, shoulder = readings.z("gas_face"), readings.z("shank_top"), readings.z("shoulder")
    body, shank = readings.radius("body"), readings.radius("shank")
    low = (face, -body)

    def across(size: str, radius: float, z: float) -> Dimension:
        return dimension(
            part, context, size, "diameter", [(z, -radius), (z, radius)], 90.0, DEFAULTS.get(size)
        )

    def along(size: str, a: Point, b: Point) -> Dimension:
        return dimension(part, context, size, "linear", [a, b], 0.0, DEFAULTS.get(size))

    yield across("body_diameter", body, face)
    yield across("seat_outer_diameter", readings.radius("seat_outer_edge"), readings.z("seat_outer_edge"))
    yield across("throat_diameter", readings.radius("throat"), _throat_start(readings))
    shank_end = lead_start(readings)
    yield across("shank_diameter", shank, shank_end)
    if "boss" in readings:
        yield across("boss_diameter", readings.radius("boss"), readings.z("boss_end"))
        yield along(
            "boss_length",
            (readings.z("boss_end"), -readings.radius("guide")),
            (readings.z("roof"), -readings.radius("boss")),
        )
    if "window" in readings:
        s, _, _ = _port(readings)
        yield along("window_axis_s", low, (s, 0.0))
    yield along("roof_depth", low, (readings.z("roof"), -readings.radius("throat")))
    outer = readings.radius("relief") if "relief" in readings else body
    yield along("gas_face_to_shoulder", low, (shoulder, -outer))
    end = _shank_top_radius(readings)
    yield along("overall_length", low, (top, -end))
    yield along("shank_length", (shoulder, -outer), (top, -end))
    if "shank_lead_start" in readings:
        start = (shank_end, -shank)
        yield along("shank_lead_length", start, (top, -end))
        yield dimension(part, context, "shank_lead_angle", "angle", [start, (top, -shank), (top, -end)])
    if "clock_flat" in readings:
        flat = readings["clock_flat"].point[0]
        yield along("clock_flat_length", (readings.z("clock_flat_end"), flat), (top, flat))


def _boss_cone(part: Any, context: SheetContext, readings: Readings, geometry: _Geometry) -> Dimension:
    """Half angle of the boss's cone: from its free end, the cone carried on into the bowl against the axis."""
    slope = math.tan(math.radians(readings["boss_cone"].half_angle))
    end = readings.z("boss_end")
    corners = [p for face in geometry.faces for c in face.curves for p in (c.at(0.0), c.at(1.0))]
    low = min(y for x, y in corners if abs(x - end) < 1e-6 and -y < readings.radius("throat") - 1e-6)
    return dimension(
        part,
        context,
        "boss_cone_angle",
        "angle",
        [(end, low), (end - 0.1, low + 0.1 * slope), (end - 0.1, low)],
    )


def _throat_start(readings: Readings) -> float:
    """Where the throat cylinder begins, on the gas side."""
    edge = readings["seat_inner_edge"]
    if "throat_cut" not in readings:
        return float(edge.point[2])
    step = float(edge.radius) - readings.radius("throat")
    return float(edge.point[2]) + step / math.tan(math.radians(readings["throat_cut"].half_angle))


def _shank_top_radius(readings: Readings) -> float:
    shank = readings.radius("shank")
    if "shank_lead" not in readings:
        return shank
    lead = readings.z("shank_top") - readings.z("shank_lead_start")
    return shank - lead * math.tan(math.radians(readings["shank_lead"].half_angle))


def _put_window(cluster: Cluster, context: SheetContext, readings: Readings, scale: float) -> None:
    if "window" not in readings:
        return
    s, slope, body = _port(readings)
    radius = readings.radius("window")
    rise = math.atan(slope)
    # along the axis on the sheet: (sin rise, cos rise); across it: (cos rise, -sin rise)
    a, c = (math.sin(rise), math.cos(rise)), (math.cos(rise), -math.sin(rise))

    def side(sign: float) -> Point:
        foot = (s + sign * radius * c[0], sign * radius * c[1])
        t = (body - foot[1]) / a[1]
        return foot[0] + t * a[0], body

    across = Dimension(
        readings.part.name,
        "window_diameter",
        "diameter",
        (side(-1.0), side(1.0)),
        math.degrees(math.atan2(c[1], c[0])),
        context.tolerance("window_diameter"),
    )
    cluster.put_laid(_window_rows(across, scale, s, a, body))
    if abs(math.degrees(rise)) > 1e-6:
        cluster.put_laid(_window_angles(readings, context, scale, s, rise, body))


def _window_angles(
    readings: Readings, context: SheetContext, scale: float, s: float, rise: float, body: float
) -> Iterator[Laid]:
    """The port's rise: above the window, else in the lower half of the bowl, else beyond the window's diameter."""
    outside = [body * scale + extra for extra in (7.0, 9.0, 11.0, 5.0)]
    room = readings.radius("throat") * scale
    above = [body * scale + extra for extra in (28.0, 32.0, 36.0)]
    groups = [(1.0, body, outside), (-1.0, 0.05 * body, [0.75 * room, 0.55 * room, 0.4 * room, 0.9 * room])]
    groups += [(1.0, (r - 6.0) / scale, [r]) for r in above]
    for sign, long, radii in groups:
        upright, port = (s, sign * long), (s + sign * long * math.tan(rise), sign * long)
        legs = (port, upright) if rise > 0.0 else (upright, port)
        angle = dimension(readings.part, context, "window_angle", "angle", ((s, 0.0), *legs))
        for radius in radii:
            for slot in ("before", "after", "centre"):
                yield lay_angle(angle, scale, radius, slot)


def _window_rows(size: Dimension, scale: float, s: float, a: Point, body: float) -> Iterator[Laid]:
    for off in (18.0, 21.0, 24.0, 27.0, 14.0):
        through = (s * scale + a[0] * (body * scale + off), a[1] * (body * scale + off))
        for slot in ("after", "before", "centre"):
            yield lay_linear(size, scale, through, slot)


def _notes(part: Any, context: SheetContext, readings: Readings) -> Iterator[str]:
    yield "Sizes are those to be turned, before pressing; body and shank carry their interference (on the diameter)."
    if "body_diameter" not in context.tolerances and not any(n.startswith("Body:") for n in context.notes):
        yield "Body diameter: no fit is given; turn to the measured bore and agree the interference first."
    if context.pre_bore is not None:
        yield (
            f"Bore the guide Ø{number(context.pre_bore)} before pressing; ream to the size drawn after pressing."
        )
    outer, inner = readings.radius("seat_outer_edge"), readings.radius("seat_inner_edge")
    yield (
        f"Seat width is along the cone; radial width ({number(outer - inner)}), inner edge (Ø{number(2.0 * inner)}). "
        "Finish the seat after pressing, piloted in the guide."
    )
    if context.corner_radius_max is not None:
        head = (
            f"; the head's step has R {number(context.head_corner_radius)} at most"
            if context.head_corner_radius is not None
            else ""
        )
        yield f"Corner of shoulder and shank: R {number(context.corner_radius_max)} at most{head}."
    yield "Turn body, shank and guide pilot in one chucking; body last."
    if "window" in readings:
        yield "Lengths start at the gas face; the window's axis height is taken on the valve axis."
        offset = readings["window"].point[1]
        if abs(offset) > 1e-6:
            yield f"The window's axis passes {number(abs(offset))} beside the valve axis."
