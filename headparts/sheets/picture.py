"""A section of a head as a picture (SVG) for the README and reports: hatched metal, named cavities, wall arrows."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from headparts.drafting.blocks import TitleFields
from headparts.drafting.drawing import Drawing
from headparts.drafting.ink import Ink, Item, Layer, Stroke, Text, arrow
from headparts.drafting.metrics import text_width
from headparts.drafting.render import render
from headparts.drafting.sheet import Sheet
from headparts.drafting.tolerance import number
from headparts.drafting.view import Cluster, View
from headparts.errors import GeometryError
from headparts.geometry.curves import Curve, Line, Point
from headparts.sheets.head_bores import Vector, WallMark


def section_picture(
    part: Any,
    origin: Vector,
    normal: Vector,
    x: Vector,
    labels: Mapping[str, Vector] | None = None,
    walls: Sequence[WallMark] = (),
    scale: float = 2.0,
    title: str = "",
) -> bytes:
    """SVG bytes of a plane section, cropped to the picture.

    origin, normal (toward the viewer), x (to the right): the plane in the part's frame. labels: text -> a point in
    the part's frame, projected on the plane. walls: drawn as arrows between their points with the value. scale:
    paper mm to a mm of the part. Raises GeometryError when the plane misses the part.
    """
    from headparts.solids.projection import beyond
    from headparts.solids.section import Plane, section

    plane = Plane(origin, normal, x)
    faces = section(part.shape, plane)
    if not faces:
        raise GeometryError("the section plane misses the part")
    edges = tuple(c for f in faces for c in f.curves)
    layers: tuple[tuple[Layer, tuple[Curve, ...]], ...] = (
        ("NARROW", beyond(part.shape, plane)),
        ("OUTLINE", edges),
    )
    cluster = Cluster(
        View("section", scale, layers, tuple((f.outer, *f.holes) for f in faces), hatch_spacing=3.0)
    )
    for wall in walls:
        cluster.put(Item("symbol", wall.name, _wall(plane.flat(wall.a), plane.flat(wall.b), wall, scale)))
    for text, point in (labels or {}).items():
        at = cluster.paper(plane.flat(point))
        half = text_width(text, 3.0) / 2.0
        spots = [
            (at[0] + dx, at[1] + dy)
            for dx, dy in (
                (0.0, -1.5),
                (0.0, 4.0),
                (0.0, -7.0),
                (half + 4.0, -1.5),
                (-half - 4.0, -1.5),
                (0.0, 9.0),
                (0.0, -12.0),
            )
        ]
        cluster.put_best(Item("label", text, Ink(texts=(Text(p, text, 3.0, "centre"),))) for p in spots)
    if title:
        cluster.title(title)
    return _cropped(cluster, title)


def _wall(a: Point, b: Point, wall: WallMark, scale: float) -> Ink:
    p, q = (a[0] * scale, a[1] * scale), (b[0] * scale, b[1] * scale)
    turn = math.degrees(math.atan2(q[1] - p[1], q[0] - p[0]))
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    start, end = (p[0] - 8.0 * c, p[1] - 8.0 * s), (q[0] + 8.0 * c, q[1] + 8.0 * s)
    return Ink(
        (Stroke(Line(start, p)), Stroke(Line(q, end))),
        (arrow(p, turn), arrow(q, turn + 180.0)),
        (
            Text(
                (end[0] + (1.5 if c >= 0.0 else -1.5), end[1] - 1.5),
                number(wall.value),
                3.5,
                "left" if c >= 0.0 else "right",
            ),
        ),
    )


def _cropped(cluster: Cluster, title: str) -> bytes:
    x0, y0, x1, y1 = cluster.box()
    margin = 4.0
    items = tuple(cluster.placed((margin - x0, margin - y0)))
    sheet = Sheet("picture", (x1 - x0 + 2.0 * margin, y1 - y0 + 2.0 * margin))
    return render(Drawing("section", sheet, TitleFields(title=title), items)).svg
