"""The repair sleeve's sheet: section through port axis and valve axis, developed inner edge, table for filing.

Lengths start at the outer face. The developed view unrolls the outside, seen from outside, 0 degrees on the side
toward the rocker; the bore's edge is drawn dashed at the same angles.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from headparts.drafting.blocks import table, table_widths
from headparts.drafting.dimension import Dimension, lay_angle, lay_linear
from headparts.drafting.drawing import Drawing, Piece
from headparts.drafting.ink import Ink, Item, Text
from headparts.drafting.symbols import datum, frame_on_leader, texture_on_leader
from headparts.drafting.tolerance import Tolerance, number
from headparts.drafting.view import Cluster, View
from headparts.geometry.curves import Line, Point, Polyline
from headparts.sheets.common import Readings, build, dimension, scales_written, smaller, text_pieces, titled
from headparts.sheets.context import SheetContext

_BRACKETED = {"wall": Tolerance(bracketed=True), "length_min": Tolerance(bracketed=True)}


def sleeve_sheet(part: Any, context: SheetContext, name: str | None = None) -> Drawing:
    """Sheet of a repair sleeve from ``headparts.parts.sleeve``; KernelError when a feature is not on the solid."""
    from headparts.solids.projection import beyond
    from headparts.solids.section import Plane, section

    readings = Readings(part)
    plane = Plane((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    faces, behind = section(part.shape, plane), beyond(part.shape, plane)
    edge = Edge(readings) if "saddle" in readings else None

    def make(scale: float, variant: int) -> tuple[list[Piece], str]:
        view = View(
            "section",
            scale,
            (("OUTLINE", behind), ("CENTRE", _centres(readings, scale))),
            tuple((f.outer, *f.holes) for f in faces),
            hatch_spacing=1.6,
        )
        main = _main(Cluster(view), part, context, readings)
        titled(main, "Section through port axis and valve axis", scale)
        pieces = [Piece("section", [main], (0.1, 1.0))]
        small = scale if variant == 0 else smaller(scale)
        if edge is not None:
            developed = _developed(part, context, edge, small)
            titled(developed, "Developed outside, seen from outside", scale)
            pieces.append(Piece("developed view", [developed], (0.05, 0.1)))
            pieces.append(Piece("edge table", [_edge_table(edge)], (1.0, 0.6)))
        pieces += text_pieces(context, tuple(_notes(part, readings)), part)
        return pieces, scales_written(scale, [] if edge is None else [small])

    reach = max(readings.z("outer_face"), 2.0 * readings.radius("outside"))
    return build(name or part.name, context, part, reach, make, 2)


class Edge:
    """The saddle's edge on the outside and in the bore, as height along the sleeve over the angle."""

    def __init__(self, readings: Readings) -> None:
        self.saddle = readings["saddle"]
        self.face = readings.z("outer_face")
        self.outer, self.inner = readings.radius("outside"), readings.radius("inside")
        v = self.saddle.direction
        self.sense = 1.0 if v[0] >= 0.0 else -1.0
        self.even = abs(self.saddle.point[1]) < 1e-6 and abs(v[1]) < 1e-9

    def height(self, radius: float, degrees: float) -> float:
        """z where the generator at this radius and angle meets the saddle's cylinder [mm]: the outer root of
        |p - axis| = radius along the generator."""
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        v, point = self.saddle.direction, self.saddle.point
        off = [radius * c - point[0], radius * s - point[1], -point[2]]
        along = sum(o * d for o, d in zip(off, v, strict=True))
        flat = [o - along * d for o, d in zip(off, v, strict=True)]
        rate = [-v[2] * v[0], -v[2] * v[1], 1.0 - v[2] * v[2]]
        a = sum(r * r for r in rate)
        b = sum(f * r for f, r in zip(flat, rate, strict=True))
        rest = sum(f * f for f in flat) - self.saddle.radius**2
        return float((-b + math.sqrt(b * b - a * rest)) / a)

    def length(self, radius: float, degrees: float) -> float:
        """Length of that generator, from the outer face to the edge [mm]."""
        return self.face - self.height(radius, degrees)

    def extreme(self, largest: bool) -> float:
        """Angle of the longest or shortest generator on the outside [deg], by scan and golden section."""
        sign = -1.0 if largest else 1.0

        def value(angle: float) -> float:
            return sign * self.length(self.outer, angle)

        best = min((float(i) for i in range(360)), key=value)
        low, high, ratio = best - 1.0, best + 1.0, (math.sqrt(5.0) - 1.0) / 2.0
        for _ in range(60):
            a, b = high - ratio * (high - low), low + ratio * (high - low)
            low, high = (low, b) if value(a) < value(b) else (a, high)
        return (low + high) / 2.0


def _centres(readings: Readings, scale: float) -> tuple[Line, ...]:
    over = 2.0 / scale
    lines = [Line((-over, 0.0), (readings.z("outer_face") + over, 0.0))]
    if "saddle" in readings:
        c, s = _valve_axis(readings)
        half = readings.radius("outside") + 10.0 / scale
        tall = half + float(readings["saddle"].radius) * abs(c)
        lines.append(Line((-half * c, -half * s), (tall * c, tall * s)))
    return tuple(lines)


def _valve_axis(readings: Readings) -> Point:
    """Direction of the valve axis on the sheet, pointing up."""
    v = readings["saddle"].direction
    length = math.hypot(v[2], v[0])
    sense = 1.0 if v[0] >= 0.0 else -1.0
    return sense * v[2] / length, sense * v[0] / length


def _main(cluster: Cluster, part: Any, context: SheetContext, readings: Readings) -> Cluster:
    scale = cluster.scale
    face, outer, inner = readings.z("outer_face"), readings.radius("outside"), readings.radius("inside")
    edge = readings.radius("flange") if "flange" in readings else outer

    def add(size: str, kind: Any, points: list[Point], direction: float = 0.0) -> Dimension:
        return dimension(part, context, size, kind, points, direction, _BRACKETED.get(size))

    across = [add("inner_diameter", "diameter", [(face, -inner), (face, inner)], 90.0)]
    start = face if "flange" not in readings else readings.z("flange_back")
    across.append(add("outer_diameter", "diameter", [(start, -outer), (start, outer)], 90.0))
    if "flange" in readings:
        across.append(add("flange_diameter", "diameter", [(face, -edge), (face, edge)], 90.0))
    if "saddle" in readings:
        _saddle_sizes(cluster, part, context, readings)
    cluster.put_side(across, "right")
    low: list[Dimension] = []
    high: list[Dimension] = []
    if "flange" in readings:
        high.append(add("flange_thickness", "linear", [(readings.z("flange_back"), edge), (face, edge)]))
    if "inner_end" in readings:
        end = readings.z("inner_end")
        low.append(add("length", "linear", [(end, -inner), (face, -edge)]))
        if "inner_chamfer" in readings:
            top = readings["inner_chamfer_edge"]
            leg = top.point[2] - end
            tip = outer - leg * math.tan(math.radians(readings["inner_chamfer"].half_angle))
            high.append(add("inner_chamfer", "linear", [(end, tip), (top.point[2], outer)]))
            angle = add(
                "inner_chamfer_angle",
                "angle",
                [(top.point[2], -outer), (top.point[2] - leg, -outer), (end, -tip)],
            )
            if angle.value > 180.0:
                angle = add(
                    "inner_chamfer_angle",
                    "angle",
                    [(top.point[2], -outer), (end, -tip), (top.point[2] - leg, -outer)],
                )
            cluster.put_laid(
                lay_angle(angle, scale, r, slot)
                for r in (10.0, 14.0, 18.0)
                for slot in ("before", "after", "centre")
            )
    cluster.put_side(high, "top")
    cluster.put_side(low, "bottom")
    _wall(cluster, add("wall", "linear", [(face, inner), (face, outer)], 90.0), face, scale)
    middle = (face * 0.6) * scale
    cluster.put_best(
        Item(
            "symbol",
            "texture of the outside",
            texture_on_leader(
                (middle + dx, outer * scale),
                (middle + dx + 4.0, outer * scale + up),
                context.textures.get("outside", "Ra 1.6"),
            ),
        )
        for up in (6.0, 12.0, 18.0, 24.0)
        for dx in (0.0, 10.0, -10.0)
    )
    cluster.put_best(
        Item(
            "symbol",
            "roundness",
            frame_on_leader(
                (middle + dx, -outer * scale), (middle + dx + 6.0, -outer * scale - down), "roundness", "0.01"
            ),
        )
        for down in (14.0, 20.0, 26.0)
        for dx in (0.0, 10.0, -10.0, -20.0)
    )
    cluster.put_best(
        Item("symbol", "datum P", datum((middle + dx, -outer * scale), "P", -90.0, reach))
        for dx in (-14.0, -24.0, 18.0)
        for reach in (6.0, 10.0)
    )
    return cluster


def _wall(cluster: Cluster, size: Dimension, face: float, scale: float) -> None:
    cluster.put_laid(
        lay_linear(size, scale, (face * scale + off, 0.0), slot)
        for off in (8.0, 40.0, 48.0, 56.0, 30.0, 20.0)
        for slot in ("after", "before")
    )


def _saddle_sizes(cluster: Cluster, part: Any, context: SheetContext, readings: Readings) -> None:
    scale, saddle = cluster.scale, readings["saddle"]
    c, s = _valve_axis(readings)
    out = (s, -c)  # square to the valve axis, toward the sleeve
    outer = readings.radius("outside")
    radius = float(saddle.radius)
    # from the valve axis to the trimmed end at the top: radius along ``out``, as far up the axis as the end is
    up = (outer - radius * out[1]) / s
    axis, end = (up * c, up * s), (up * c + radius * out[0], outer)
    size = Dimension(
        part.name,
        "saddle_radius",
        "linear",
        (axis, end),
        math.degrees(math.atan2(out[1], out[0])),
        context.tolerance("saddle_radius"),
        "R",
    )
    reach = up * scale

    def rows() -> Iterator[Any]:
        for off in (reach + 10.0, reach + 14.0, reach + 18.0, reach + 24.0):
            for slot in ("centre", "after", "before"):
                yield lay_linear(size, scale, (off * c, off * s), slot)

    cluster.put_laid(rows())
    angle = dimension(part, context, "axis_angle", "angle", [(0.0, 0.0), (1.0, 0.0), (c, s)])
    cluster.put_laid(
        lay_angle(angle, scale, r, slot)
        for r in (14.0, 18.0, 22.0, 11.0)
        for slot in ("centre", "after", "before")
    )
    far = outer * scale + 10.0
    cluster.put_best(
        Item(
            "label",
            "valve axis",
            Ink(texts=(Text((-far * c + dx, -far * s - dy), "valve axis", 3.0, "centre"),)),
        )
        for dx in (0.0, 14.0, -14.0)
        for dy in (5.0, 2.0)
    )


def _developed(part: Any, context: SheetContext, edge: Edge, scale: float) -> Cluster:
    whole = 2.0 * math.pi * edge.outer

    def at(angle: float, z: float) -> Point:
        return angle / 360.0 * whole, z

    steps = [float(a) for a in range(0, 361, 3)]
    outer = Polyline(tuple(at(a, edge.height(edge.outer, a)) for a in steps))
    inner = Polyline(tuple(at(a, edge.height(edge.inner, a)) for a in steps))
    top = Line((0.0, edge.face), (whole, edge.face))
    sides = [Line(at(a, edge.height(edge.outer, a)), at(a, edge.face)) for a in (0.0, 360.0)]
    grid = [Line(at(a, edge.height(edge.outer, a)), at(a, edge.face)) for a in range(30, 360, 30)]
    cluster = Cluster(
        View(
            "developed view",
            scale,
            (("OUTLINE", (top, outer, *sides)), ("HIDDEN", (inner,)), ("NARROW", tuple(grid))),
        )
    )
    labels = tuple(
        Text((at(a, 0.0)[0] * scale, edge.face * scale + 1.5), f"{a:g}°", 2.5, "centre")
        for a in range(0, 361, 30)
    )
    cluster.put(Item("label", "angles", Ink(texts=labels)))
    sizes = []
    for size, largest in (("length_max", True), ("length_min", False)):
        angle = edge.extreme(largest) % 360.0
        ends = [at(angle, edge.face), at(angle, edge.height(edge.outer, angle))]
        sizes.append(dimension(part, context, size, "linear", ends, 90.0, _BRACKETED.get(size)))
    cluster.put_side(sizes[:1], "right")
    cluster.put_side(sizes[1:], "left")
    return cluster


def _edge_table(edge: Edge) -> Ink:
    last = 180 if edge.even else 330
    head = ("Angle", "Outside: face to edge", "Bore: face to edge")
    rows = [
        (f"{a}°", number(edge.length(edge.outer, a), 2), number(edge.length(edge.inner, a), 2))
        for a in range(0, last + 1, 15 if edge.even else 30)
    ]
    return table(
        head, rows, table_widths(head, rows), "Inner edge" + (", both sides alike" if edge.even else "")
    )


def _notes(part: Any, readings: Readings) -> Iterator[str]:
    yield "Turn on a mandrel, bore last; part off with 0.3 left, then trim the inner end to the developed edge."
    if "saddle" in readings:
        yield (
            "0° is the side toward the rocker: scribe a clock line there on the outer face. "
            "Angles run counter-clockwise seen on that face."
        )
        off = float(readings["saddle"].point[1])
        if abs(off) > 1e-6:
            yield f"The port axis passes {number(abs(off))} beside the valve axis."
        yield "P = outside diameter = port axis."
