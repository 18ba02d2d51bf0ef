"""The rocker-post spacer's sheet: plan and side view; K = bottom face. Holes are placed from the sides and from the
stud hole."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from headparts.drafting.dimension import Dimension, lay_radius
from headparts.drafting.drawing import Drawing, Piece
from headparts.drafting.ink import Item
from headparts.drafting.symbols import datum, frame_on_leader, texture_on_leader
from headparts.drafting.tolerance import Tolerance
from headparts.drafting.view import Cluster, View
from headparts.geometry.curves import Line
from headparts.sheets.common import Readings, build, dimension, scales_written, text_pieces, titled
from headparts.sheets.context import SheetContext

_DEFAULTS = {"thickness": Tolerance(upper=0.01, lower=-0.01)}


def spacer_sheet(
    part: Any, context: SheetContext, parallel: float = 0.01, name: str | None = None
) -> Drawing:
    """Sheet of a spacer from ``headparts.parts.spacer``; ``parallel``: tolerance of the top to the bottom [mm].

    Raises KernelError when a feature is not on the solid.
    """
    from headparts.solids.projection import projection
    from headparts.solids.section import Plane

    readings = Readings(part)
    seen = projection(part.shape, Plane((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)))
    front = Plane((0.0, 0.0, 0.0), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
    side, hidden = projection(part.shape, front), projection(part.shape, front, hidden=True)
    low, high = readings["side_minus_x"].point[0], readings["side_plus_x"].point[0]

    def make(scale: float, variant: int) -> tuple[list[Piece], str]:
        plan = _plan(
            Cluster(View("plan", scale, (("OUTLINE", seen), ("CENTRE", _centres(readings, scale))))),
            part,
            context,
            readings,
        )
        edge = Cluster(
            View(
                "side view",
                scale,
                (("OUTLINE", side), ("HIDDEN", hidden), ("CENTRE", _upright(readings, scale))),
            )
        )
        _side(edge, part, context, readings, parallel)
        titled(plan, "Plan (from the rocker side)", scale)
        first = context.projection == "first_angle"
        pieces = [
            Piece("plan", [plan], (0.25, 0.75)),
            Piece("side view", [edge], (0.25, 0.2 if first else 1.0), "", "plan"),
        ]
        if not first:
            pieces[0].wish = (0.25, 0.3)
        pieces += text_pieces(
            context,
            (
                "Both faces lapped flat, square to the stud hole, no burr.",
                "Bottom face K lies on the rocker deck.",
            ),
            part,
        )
        return pieces, scales_written(scale, [])

    return build(name or part.name, context, part, high - low, make)


def _holes(readings: Readings) -> list[tuple[str, float, float, float]]:
    names = [n for n in ("hole", "oil_hole") if n in readings]
    return [(n, readings[n].point[0], readings[n].point[1], readings.radius(n)) for n in names]


def _centres(readings: Readings, scale: float) -> tuple[Line, ...]:
    over = 3.0 / scale
    return tuple(
        line
        for _, x, y, r in _holes(readings)
        for line in (Line((x - r - over, y), (x + r + over, y)), Line((x, y - r - over), (x, y + r + over)))
    )


def _upright(readings: Readings, scale: float) -> tuple[Line, ...]:
    over = 3.0 / scale
    top = readings.z("top")
    return tuple(Line((x, -over), (x, top + over)) for _, x, _, _ in _holes(readings))


def _plan(cluster: Cluster, part: Any, context: SheetContext, readings: Readings) -> Cluster:
    scale = cluster.scale
    left, right = readings["side_minus_x"].point[0], readings["side_plus_x"].point[0]
    low, high = readings["side_minus_y"].point[1], readings["side_plus_y"].point[1]
    hole = readings["hole"].point
    up = [
        dimension(part, context, "length", "linear", [(left, low), (right, low)]),
        dimension(part, context, "hole_x", "linear", [(left, low), (hole[0], hole[1])]),
    ]
    wide = [
        dimension(part, context, "width", "linear", [(left, low), (left, high)], 90.0),
        dimension(part, context, "hole_y", "linear", [(left, low), (hole[0], hole[1])], 90.0),
    ]
    over: list[Dimension] = []
    away: list[Dimension] = []
    if "oil_hole" in readings:
        oil = readings["oil_hole"].point
        over.append(dimension(part, context, "oil_hole_x", "linear", [(hole[0], hole[1]), (oil[0], oil[1])]))
        if abs(oil[1] - hole[1]) > 1e-9:
            away.append(
                dimension(part, context, "oil_hole_y", "linear", [(hole[0], hole[1]), (oil[0], oil[1])], 90.0)
            )
    cluster.put_side(over, "top")
    cluster.put_side(away, "right")
    cluster.put_side(wide, "left")
    cluster.put_side(up, "bottom")
    for name, x, y, r in _holes(readings):
        cluster.put_laid(
            _leaders(
                dimension(part, context, f"{name}_diameter", "circle", [(x - r, y), (x + r, y)]),
                (x, y),
                r,
                scale,
                cluster.view.outline(),
            )
        )
    return cluster


def _leaders(
    size: Dimension,
    centre: tuple[float, float],
    radius: float,
    scale: float,
    outline: tuple[float, float, float, float],
) -> Iterator[Any]:
    x, y = centre
    for turn in (55.0, 40.0, 125.0, 140.0, 70.0, 110.0, -55.0, -125.0):
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        ends = ((x - radius * c, y - radius * s), (x + radius * c, y + radius * s))
        placed = Dimension(size.part, size.size, "circle", ends, 0.0, size.tolerance)
        for clear in (7.0, 12.0, 17.0, 22.0, 28.0):
            height = (outline[3] + clear if s > 0 else outline[1] - clear) - y * scale
            yield lay_radius(placed, scale, (x * scale + height / s * c, y * scale + height), c >= 0.0)


def _side(cluster: Cluster, part: Any, context: SheetContext, readings: Readings, parallel: float) -> None:
    scale = cluster.scale
    left, right, top = readings["side_minus_x"].point[0], readings["side_plus_x"].point[0], readings.z("top")
    bevel = _bevel(readings)
    cluster.put_side(
        [
            dimension(
                part,
                context,
                "thickness",
                "linear",
                [(right - bevel, readings.z("bottom")), (right - bevel, top)],
                90.0,
                _DEFAULTS["thickness"],
            )
        ],
        "right",
    )
    if bevel:
        corner = [(left, top - bevel), (left + bevel, top)]
        size = dimension(part, context, "chamfer", "linear", corner, 90.0, Tolerance(note="× 45°"))
        cluster.put_side([size], "left")
    foot = left * 0.45 * scale
    cluster.put_best(
        Item("symbol", "datum K", datum((foot + dx, 0.0), "K", -90.0, 6.0)) for dx in (0.0, 8.0, -8.0)
    )
    cluster.put_best(
        Item(
            "symbol",
            "parallelism",
            frame_on_leader(
                (foot + dx, top * scale),
                (foot + dx - 6.0, top * scale + up),
                "parallelism",
                f"{parallel:g}",
                ("K",),
                False,
            ),
        )
        for up in (12.0, 16.0, 20.0)
        for dx in (0.0, 8.0, -8.0)
    )
    cluster.put_best(
        Item(
            "symbol",
            "texture of the top",
            texture_on_leader(
                (-foot + dx, top * scale),
                (-foot + dx + 4.0, top * scale + up),
                context.textures.get("faces", "Ra 1.6"),
            ),
        )
        for up in (5.0, 9.0, 14.0)
        for dx in (0.0, 8.0, -8.0)
    )
    cluster.put_best(
        Item(
            "symbol",
            "texture of the bottom",
            texture_on_leader(
                (-foot + dx, 0.0), (-foot + dx + 4.0, -down), context.textures.get("faces", "Ra 1.6")
            ),
        )
        for down in (16.0, 20.0, 24.0)
        for dx in (0.0, 8.0, -8.0)
    )


def _bevel(readings: Readings) -> float:
    """Leg of the edge's chamfer [mm], 0 without one: where the chamfer's plane meets side and top."""
    if "chamfer" not in readings:
        return 0.0
    chamfer, side, top = readings["chamfer"], readings["side_plus_x"], readings["top"]
    x, z = side.point[0], top.point[2]
    n, p = chamfer.direction, chamfer.point
    return float(((x - p[0]) * n[0] + (0.0 - p[1]) * n[1] + (z - p[2]) * n[2]) / n[2])
