"""Marks on the bushing's section: datums, run-out, surface texture, detail rings, viewing directions."""

from __future__ import annotations

from collections.abc import Iterator

from headparts.drafting.dimension import Laid
from headparts.drafting.ink import Item
from headparts.drafting.symbols import datum, detail_ring, frame_on_leader, texture_on_leader, view_arrow
from headparts.drafting.view import Cluster
from headparts.geometry.curves import Point
from headparts.sheets.bushing_details import seat_ring, shoulder_ring
from headparts.sheets.common import Readings
from headparts.sheets.context import SheetContext


def put_marks(cluster: Cluster, context: SheetContext, readings: Readings, scale: float) -> None:
    face, top, shoulder = readings.z("gas_face"), readings.z("shank_top"), readings.z("shoulder")
    body, shank = readings.radius("body"), readings.radius("shank")
    laid = {i.dimension.dimension.size: i.dimension for i in cluster.items if isinstance(i.dimension, Laid)}
    # datums stand in line with the dimension lines of their diameters, E on the shoulder face
    at = laid["body_diameter"].line_at[0]
    cluster.put(Item("symbol", "datum D", datum((at, body * scale), "D", 90.0)))
    outer = readings.radius("relief") if "relief" in readings else body
    cluster.put_best(
        Item(
            "symbol",
            "datum E",
            datum((shoulder * scale, f * (outer - shank) * scale + shank * scale), "E", 0.0, reach),
        )
        for f in (0.5, 0.75, 0.3)
        for reach in (6.0, 10.0)
    )
    shank_y = shank * scale
    end = readings.z("clock_flat_end") if "clock_flat_end" in readings else lead_start(readings)
    spots = [(shoulder + f * (end - shoulder)) * scale for f in (0.5, 0.7, 0.85, 0.35, 0.95, 0.2, 0.1)]
    cluster.put_best(
        Item(
            "symbol",
            "run-out of the shank",
            frame_on_leader((x, shank_y), (x + dx, shank_y + up), "run-out", "0.01", ("D",)),
        )
        for up in (14.0, 18.0, 23.0, 28.0, 34.0)
        for x in spots
        for dx in (5.0, 10.0, 16.0, 24.0)
    )
    rough = context.textures
    cluster.put_best(
        Item(
            "symbol",
            "texture of the shank",
            texture_on_leader((x, -shank_y), (x + 4.0, -shank_y - down), rough.get("shank", "Ra 0.8")),
        )
        for down in (19.0, 16.0, 13.5, 23.0, 28.0, 34.0)
        for x in spots
    )
    cluster.put_best(
        Item(
            "symbol",
            "texture of the body",
            texture_on_leader(
                (x * scale, body * scale),
                (x * scale + dx, body * scale + up),
                rough.get("body", "Ra 0.4"),
                right,
            ),
        )
        for up in (8.0, 14.0, 20.0, 26.0, 32.0, 38.0)
        for x, dx, right in (
            (face + 0.8, -5.0, False),
            (face + 0.8, 3.0, True),
            (shoulder - 2.6, 6.0, True),
            (shoulder - 2.6, -3.0, False),
            (shoulder - 2.6, 14.0, True),
        )
    )
    for letter, centre, reach in _rings(readings):
        middle_at = (centre[0] * scale, centre[1] * scale)
        cluster.put_best(
            Item("symbol", f"ring of detail {letter}", detail_ring(middle_at, reach * scale, letter, angle))
            for angle in (225.0, 135.0, 180.0, 45.0, 315.0, 0.0, 90.0, 270.0, 60.0, 30.0, 120.0, 150.0)
        )
    cluster.put_best(
        Item("symbol", "view arrow C", view_arrow((face * scale - 2.0 - d, y), 0.0, "C"))
        for d in (28.0, 34.0, 40.0, 20.0, 46.0)
        for y in (0.0, 0.3 * body * scale, -0.3 * body * scale)
    )
    cluster.put_best(
        Item("symbol", "view arrow D", view_arrow((top * scale + 6.0 + d, y), 180.0, "D"))
        for d in (0.0, 14.0, 20.0, 26.0, 34.0)
        for y in (0.0, 0.6 * shank_y, -0.6 * shank_y)
    )


def lead_start(readings: Readings) -> float:
    """Where the shank's full diameter ends, toward the rocker."""
    return readings.z("shank_lead_start" if "shank_lead_start" in readings else "shank_top")


def _rings(readings: Readings) -> Iterator[tuple[str, Point, float]]:
    yield ("B", *seat_ring(readings))
    ring = shoulder_ring(readings)
    if ring is not None:
        yield ("F", *ring)
