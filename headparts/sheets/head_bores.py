"""Head bore plan: joint face with every new bore placed, a section through each valve axis, a table of coordinates.

All numbers are read from the head's own solid. x and y are where a bore's axis passes the joint face (datum A) in
the job's frame (B origin, C azimuth zero); depths run along the bore's axis from the joint face.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from headparts.drafting.blocks import table, table_widths
from headparts.drafting.dimension import Dimension, Laid, Slot, lay_angle, lay_linear
from headparts.drafting.drawing import Drawing, Piece
from headparts.drafting.ink import Ink, Item, Layer, Stroke, Text, arrow
from headparts.drafting.symbols import datum, note_on_leader
from headparts.drafting.tolerance import Tolerance, number
from headparts.drafting.view import Cluster, View
from headparts.geometry.curves import Arc, Curve, Ellipse, Line, Point, circle
from headparts.sheets.common import Readings, build, dimension, scales_written, text_pieces, titled
from headparts.sheets.context import SheetContext
from headparts.sheets.head_table import bore_table, pierced

Vector = tuple[float, float, float]
#: used where the context gives none: what a boring head on a milling machine holds (common practice, no source)
_DEFAULTS = {
    "x": Tolerance(upper=0.03, lower=-0.03),
    "y": Tolerance(upper=0.03, lower=-0.03),
    "tilt": Tolerance(upper=0.05, lower=-0.05),
    "step_depth": Tolerance(upper=0.02, lower=-0.02),
}
#: most cavities named on the plan
NAMED = 30
_SLOTS: tuple[Slot, ...] = ("centre", "after", "before")


@dataclass(frozen=True)
class WallMark:
    """A wall to mark on a plan or picture: its name, value [mm] and its two points in the head's frame."""

    name: str
    value: float
    a: Vector
    b: Vector


def head_bores_sheet(
    part: Any, context: SheetContext, walls: Sequence[WallMark] = (), name: str | None = None
) -> Drawing:
    """Bore plan of a head from ``headparts.parts.head``; stations are found by their body bores.

    walls: least walls to list beside the cavities. Raises KernelError when a feature is not on the solid.
    """
    readings = Readings(part)
    stations = [
        f.removeprefix("body_bore_")
        for f in part.features
        if f.startswith("body_bore_") and not f.endswith("_step")
    ]
    cuts = {s: _station_cut(part, readings, s) for s in stations}
    face = _joint_curves(part, readings)

    def make(scale: float, variant: int) -> tuple[list[Piece], str]:
        plan = _plan(part, context, readings, stations, face, scale)
        unnamed = _names(plan, part, readings, readings["joint_face"].point[2])
        titled(plan, "Joint face A, seen from the chamber side", scale)
        pieces = [Piece("joint face", [plan], (0.1, 1.0))]
        for n, station in enumerate(stations):
            cut = _section(part, context, readings, station, *cuts[station], scale)
            titled(cut, f"Section through the {station} valve axis", scale)
            pieces.append(Piece(f"section {station}", [cut], (0.8, 0.9 - 0.5 * n)))
        pieces.append(Piece("bore table", [bore_table(part, context, readings)], (0.0, 0.0)))
        if walls:
            rows = [(w.name, number(w.value)) for w in walls]
            head = ("Between", "Least wall")
            pieces.append(
                Piece("wall table", [table(head, rows, table_widths(head, rows), "Least walls")], (0.4, 0.0))
            )
        pieces += text_pieces(context, (*_notes(context), *unnamed), part)
        return pieces, scales_written(scale, [])

    (x0, y0, _), (x1, y1, _) = part.box
    return build(name or f"{part.name}_bores", context, part, max(x1 - x0, y1 - y0), make)


def _notes(context: SheetContext) -> tuple[str, ...]:
    corner = (
        ""
        if context.head_corner_radius is None
        else f", corner R {number(context.head_corner_radius)} at most"
    )
    return (
        f"Step square to its bore{corner}; bores and step Ra 0.8.",
        "Bore body and shank of one station in one chucking; both from this sheet's coordinates.",
        "The depth to the step sets the tip height: depth micrometer from the joint face, along the axis.",
        "Tilt is from the joint face's normal; azimuth from +X, counter-clockwise seen from the rocker side.",
    )


def _joint_curves(part: Any, readings: Readings) -> tuple[Curve, ...]:
    """Outline, chamber and holes as they lie in the joint face."""
    from headparts.solids.section import Plane, section

    z = readings["joint_face"].point[2]
    plane = Plane((0.0, 0.0, z + 1e-3), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0))
    return tuple(c for f in section(part.shape, plane) for c in f.curves)


def _flat(p: Sequence[float]) -> Point:
    """World x, y on the plan seen from the chamber side: +Y points down."""
    return p[0], -p[1]


def _plan(
    part: Any,
    context: SheetContext,
    readings: Readings,
    stations: Sequence[str],
    face: tuple[Curve, ...],
    scale: float,
) -> Cluster:
    z = readings["joint_face"].point[2]
    (x0, y0, _), (x1, y1, _) = part.box
    over = 3.0 / scale
    centre = [Line((x0 - over, 0.0), (x1 + over, 0.0)), Line((0.0, -y1 - over), (0.0, -y0 + over))]
    bores: list[Curve] = []
    for station in stations:
        for kind in ("body_bore", "shank_bore"):
            if f"{kind}_{station}" in readings:
                bores.append(_mouth(readings[f"{kind}_{station}"], z))
        at = _flat(pierced(readings[f"body_bore_{station}"], z))
        reach = readings.radius(f"body_bore_{station}") + over
        centre += [
            Line((at[0] - reach, at[1]), (at[0] + reach, at[1])),
            Line((at[0], at[1] - reach), (at[0], at[1] + reach)),
        ]
        if f"port_{station}" in readings:
            d = readings[f"port_{station}"].direction
            length = math.hypot(d[0], d[1])
            far = 1.25 * max(x1 - x0, y1 - y0) / 2.0
            sense = 1.0 if d[0] * at[0] - d[1] * at[1] >= 0.0 else -1.0
            centre.append(
                Line(at, (at[0] + sense * far * d[0] / length, at[1] - sense * far * d[1] / length))
            )
    layers: tuple[tuple[Layer, tuple[Curve, ...]], ...] = (
        ("OUTLINE", (*face, *bores)),
        ("HIDDEN", _hidden(part, readings, z, face)),
        ("CENTRE", tuple(centre)),
    )
    cluster = Cluster(View("joint face", scale, layers))
    xs, ys = [], []
    for station in stations:
        axis = pierced(readings[f"body_bore_{station}"], z)
        name = f"body_bore_{station}"
        xs.append(
            dimension(part, context, f"{name}_x", "linear", [(0.0, 0.0), _flat(axis)], 0.0, _DEFAULTS["x"])
        )
        ys.append(
            dimension(part, context, f"{name}_y", "linear", [(0.0, 0.0), _flat(axis)], 90.0, _DEFAULTS["y"])
        )
    cluster.put_side(xs, "bottom")
    cluster.put_side(ys[:1], "left")
    cluster.put_side(ys[1:], "right")
    _axes(cluster, (x0, y0, x1, y1))
    return cluster


def _mouth(reading: Any, z: float) -> Curve:
    """A bore's circle seen along z: a circle, or an ellipse where the bore leans."""
    at = _flat(pierced(reading, z))
    lean = abs(reading.direction[2])
    if lean > 1.0 - 1e-12:
        return circle(at, float(reading.radius))
    d = (reading.direction[0], -reading.direction[1])
    length = math.hypot(*d)
    major = (-d[1] / length * reading.radius, d[0] / length * reading.radius)
    return Ellipse(at, major, lean, 0.0, 360.0)


def _axes(cluster: Cluster, box: tuple[float, float, float, float]) -> None:
    scale = cluster.scale
    at = (box[0] * scale - 14.0, -box[3] * scale + 16.0)
    ink = Ink(
        (Stroke(Line(at, (at[0] + 10.0, at[1]))), Stroke(Line(at, (at[0], at[1] - 10.0)))),
        (arrow((at[0] + 10.0, at[1]), 0.0), arrow((at[0], at[1] - 10.0), -90.0)),
        (Text((at[0] + 6.0, at[1] + 1.2), "+X", 3.0), Text((at[0] - 6.5, at[1] - 9.0), "+Y", 3.0)),
    )
    cluster.put_best(
        Item("symbol", "axes X and Y", ink.moved((0.0, dy))) for dy in (0.0, -10.0, -20.0, 10.0, 20.0, -30.0)
    )


def _names(cluster: Cluster, part: Any, readings: Readings, z: float) -> tuple[str, ...]:
    """Name the upright and leaning cavities beside their holes, NAMED at most, those nearest to the valve axes
    first. Returns a note on what is left without a name."""
    scale = cluster.scale
    outline = cluster.view.outline()
    names = [
        n
        for n, f in part.features.items()
        if f.kind == "cylinder" and _upright(readings, n) and not n.startswith(("shank", "pocket"))
    ]
    valves = [pierced(readings[n], z) for n in names if n.startswith("body_bore")]
    names.sort(
        key=lambda n: (
            not n.startswith("body_bore"),
            min(math.dist(readings[n].point[:2], v[:2]) for v in valves),
        )
    )
    for name in names[:NAMED]:
        reading = readings[name]
        x, y = cluster.paper(
            _flat(pierced(reading, z) if name.startswith("body_bore") else _seen_at(reading, z))
        )
        r = float(reading.radius) * scale
        shown = name.removeprefix("body_bore_").replace("_", " ")
        places = [
            ((x, y + r + 1.5), "centre"),
            ((x, y - r - 4.0), "centre"),
            ((x + r + 1.5, y - 1.2), "left"),
            ((x - r - 1.5, y - 1.2), "right"),
            ((x, y + r + 5.0), "centre"),
            ((x, y - r - 8.0), "centre"),
        ]
        choices = [Ink(texts=(Text(p, shown, 2.5, across),)) for p, across in places]  # type: ignore[arg-type]
        if name.startswith("body_bore"):
            choices = []
        outward = math.degrees(math.atan2(y, x))
        for turn in sorted(
            range(0, 360, 20), key=lambda t: (abs(abs((t - outward + 180.0) % 360.0 - 180.0) - 40.0), t)
        ):
            c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
            for reach in (r + 7.0, r + 12.0, r + 18.0, r + 26.0):
                choices.append(
                    note_on_leader((x + r * c, y + r * s), (x + reach * c, y + reach * s), (shown,), c >= 0.0)
                )
            side = outline[2] + 6.0 if c >= 0.0 else outline[0] - 6.0
            choices.append(
                note_on_leader((x + r * c, y + r * s), (side, y + (side - x) * 0.2 * s), (shown,), c >= 0.0)
            )
        cluster.put_best(Item("label", f"name of {name}", ink) for ink in choices)
    left = len(names) - NAMED
    return (f"{left} cavities farther from the valves are drawn without a name.",) if left > 0 else ()


def _upright(readings: Readings, name: str) -> bool:
    """True for a round cavity that shows as a circle or ellipse on the plan."""
    return (
        name != "chamber"
        and not name.startswith(("port", "sleeve"))
        and abs(readings[name].direction[2]) > 0.5
    )


def _seen_at(reading: Any, z: float) -> Vector:
    """Where the plan shows a bore: where its axis passes the joint face, or its own place when that is far off."""
    at = pierced(reading, z)
    x, y, w = reading.point
    return at if abs(reading.direction[2]) > 1.0 - 1e-9 else (x, y, w)


def _hidden(part: Any, readings: Readings, z: float, face: tuple[Curve, ...]) -> tuple[Curve, ...]:
    """Cavities that do not reach the joint face, dashed."""
    drawn = [c for c in face if isinstance(c, Arc)]
    found = []
    for name, feature in part.features.items():
        if (
            feature.kind != "cylinder"
            or not _upright(readings, name)
            or name.startswith(("shank", "body", "pocket"))
        ):
            continue
        reading = readings[name]
        at = _flat(_seen_at(reading, z))
        if not any(math.dist(at, c.centre) < 1e-3 and abs(c.radius - reading.radius) < 1e-3 for c in drawn):
            found.append(_mouth(reading, reading.point[2]))
    return tuple(found)


def _station_cut(part: Any, readings: Readings, station: str) -> tuple[Any, Any, tuple[Curve, ...]]:
    """Plane through the valve axis: upright, along the tilt, or along the port where the axis does not lean."""
    from headparts.solids.projection import beyond
    from headparts.solids.section import Plane, section

    axis = readings[f"body_bore_{station}"]
    v = axis.direction
    across = (v[0], v[1])
    if math.hypot(*across) < 1e-9:
        port = readings[f"port_{station}"].direction if f"port_{station}" in readings else (1.0, 0.0, 0.0)
        across = (port[0], port[1])
    length = math.hypot(*across)
    x = (across[0] / length, across[1] / length, 0.0)
    if x[0] < 0.0:
        x = (-x[0], -x[1], 0.0)
    origin = pierced(axis, readings["joint_face"].point[2])
    plane = Plane(origin, (x[1], -x[0], 0.0), x)
    return plane, section(part.shape, plane), beyond(part.shape, plane)


def _section(
    part: Any,
    context: SheetContext,
    readings: Readings,
    station: str,
    plane: Any,
    faces: Any,
    behind: tuple[Curve, ...],
    scale: float,
) -> Cluster:
    bore, shank = f"body_bore_{station}", f"shank_bore_{station}"
    v = readings[bore].direction
    up = 1.0 if v[2] > 0.0 else -1.0
    d = (up * sum(a * b for a, b in zip(v, plane.x, strict=True)), up * v[2])
    top = readings["top"].point[2] - readings["joint_face"].point[2]
    over = 5.0 / scale
    centre: list[Curve] = [Line((-over * d[0], -over * d[1]), (d[0] / d[1] * (top + over), top + over))]
    if abs(d[0]) > 1e-9:
        centre.append(Line((0.0, -over), (0.0, 0.55 * top)))
    cluster = Cluster(
        View(
            f"section {station}",
            scale,
            (("OUTLINE", behind), ("CENTRE", tuple(centre))),
            tuple((f.outer, *f.holes) for f in faces),
            hatch_spacing=3.0,
        )
    )
    lean = math.degrees(math.atan2(d[1], d[0])) - 90.0
    n = (d[1], -d[0])

    def across(size: str, radius: float, s: float) -> Dimension:
        a = (s * d[0] - radius * n[0], s * d[1] - radius * n[1])
        b = (s * d[0] + radius * n[0], s * d[1] + radius * n[1])
        return dimension(part, context, size, "diameter", [a, b], lean)

    step = math.dist(pierced(readings[bore], readings["joint_face"].point[2]), _step(readings, bore))
    low = across(f"{bore}_diameter", readings.radius(bore), 0.0)
    cluster.put_laid(
        lay_linear(low, scale, (-off * d[0], -off * d[1]), slot)
        for off in (9.0, 12.0, 16.0, 20.0)
        for slot in ("centre", "after", "before")
    )
    if shank in readings:
        high = across(f"{shank}_diameter", readings.radius(shank), top / d[1])
        out = top / d[1] * scale
        cluster.put_laid(
            lay_linear(high, scale, ((out + off) * d[0], (out + off) * d[1]), slot)
            for off in (9.0, 12.0, 16.0, 20.0)
            for slot in ("after", "before", "centre")
        )
    depth = dimension(
        part,
        context,
        f"{bore}_step_depth",
        "linear",
        [(0.0, 0.0), (step * d[0], step * d[1])],
        lean + 90.0,
        _DEFAULTS["step_depth"],
    )
    outline = cluster.view.outline()
    near = sorted((outline[2], outline[0]), key=abs)
    cluster.put_laid(
        lay_linear(depth, scale, (edge + math.copysign(off, edge), 0.0), slot)
        for edge in near
        for off in (10.0, 14.0, 20.0, 28.0, 36.0)
        for slot in ("centre", "after", "before")
    )
    if abs(d[0]) > 1e-9:
        cluster.put_laid(_tilts(part, context, f"{bore}_tilt", d, top * scale, scale))
    x = outline[2] - 8.0
    cluster.put_best(
        Item("symbol", "datum A", datum((at, 0.0), "A", -90.0, 6.0))
        for at in (x, x - 8.0, outline[0] + 8.0, outline[0] + 16.0, x - 16.0)
    )
    return cluster


def _tilts(
    part: Any, context: SheetContext, size: str, d: Point, reach: float, scale: float
) -> Iterator[Laid]:
    """The tilt beyond the casting's top, its legs only stubs there (the axis itself is drawn)."""
    for off in (14.0, 20.0, 26.0, 32.0, 40.0):
        long = (reach + off - 6.0) / scale
        axis, upright = (long * d[0], long * d[1]), (0.0, long)
        legs = (upright, axis) if d[0] < 0.0 else (axis, upright)
        tilt = dimension(part, context, size, "angle", [(0.0, 0.0), *legs], 0.0, _DEFAULTS["tilt"])
        for slot in _SLOTS:
            yield lay_angle(tilt, scale, reach + off, slot)


def _step(readings: Readings, bore: str) -> Vector:
    axis, step = readings[bore], readings[f"{bore}_step"]
    gap = sum((q - p) * n for p, q, n in zip(axis.point, step.point, step.direction, strict=True))
    rate = sum(a * b for a, b in zip(axis.direction, step.direction, strict=True))
    x, y, z = (p + gap / rate * d for p, d in zip(axis.point, axis.direction, strict=True))
    return x, y, z
