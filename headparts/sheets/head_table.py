"""Table of the new bores of a head: where each axis lies, how it leans, diameter and depth, all read from the solid."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from headparts.drafting.blocks import table, table_widths
from headparts.drafting.ink import Ink
from headparts.drafting.tolerance import label, number
from headparts.sheets.common import Readings
from headparts.sheets.context import SheetContext

Vector = tuple[float, float, float]
_KINDS = ("body_bore", "shank_bore", "pocket", "port", "sleeve_bore")


def pierced(reading: Any, z: float) -> Vector:
    """Where a bore's axis passes the height z [mm]."""
    way = (z - reading.point[2]) / reading.direction[2]
    x, y, w = (p + way * d for p, d in zip(reading.point, reading.direction, strict=True))
    return x, y, w


def bore_table(part: Any, context: SheetContext, readings: Readings) -> Ink:
    """The ruled table, its lower left corner at the origin."""
    head = ("Bore", "x", "y", "z", "tilt", "azimuth", "diameter", "depth")
    rows = list(_rows(part, context, readings))
    return table(
        head,
        rows,
        table_widths(head, rows),
        "New bores (x, y, z on the axis: at the joint face, of a port at its face)",
    )


def _rows(part: Any, context: SheetContext, readings: Readings) -> Iterator[tuple[str, ...]]:
    z = readings["joint_face"].point[2]
    for name, feature in part.features.items():
        if feature.kind != "cylinder" or not name.startswith(_KINDS):
            continue
        reading = readings[name]
        d = reading.direction
        if name.startswith(("port", "sleeve")):
            face = f"port_{name.removeprefix('port_')}_face"
            if face not in readings:
                face = next(
                    (
                        f
                        for f in part.features
                        if f.startswith("port_") and f.endswith("_face") and _on_axis(readings, f, reading)
                    ),
                    "",
                )
            at = _through(reading, readings[face]) if face else tuple(reading.point)
            tilt = math.degrees(math.acos(max(-1.0, min(1.0, d[2]))))
            depth = f"{name}_length"
        else:
            if d[2] < 0.0:
                d = (-d[0], -d[1], -d[2])
            at, tilt = pierced(reading, z), math.degrees(math.acos(min(1.0, d[2])))
            depth = f"{name}_step_depth" if f"{name}_step_depth" in part.sizes else f"{name}_floor_depth"
        azimuth = math.degrees(math.atan2(d[1], d[0])) if math.hypot(d[0], d[1]) > 1e-9 else None
        size = f"{name}_diameter"
        text = label(2.0 * float(reading.radius), context.tolerance(size), "Ø").plain
        yield (
            name.replace("_", " "),
            *(number(v) for v in at),
            f"{number(tilt, 2)}°",
            "-" if azimuth is None else f"{number(azimuth, 2)}°",
            text,
            number(part.measure(depth)) if depth in part.sizes else "-",
        )


def _through(axis: Any, face: Any) -> Vector:
    gap = sum((q - p) * n for p, q, n in zip(axis.point, face.point, face.direction, strict=True))
    rate = sum(a * b for a, b in zip(axis.direction, face.direction, strict=True))
    x, y, z = (p + gap / rate * d for p, d in zip(axis.point, axis.direction, strict=True))
    return x, y, z


def _on_axis(readings: Readings, face: str, axis: Any) -> bool:
    port = face.removesuffix("_face")
    if port not in readings:
        return bool(
            abs(sum(a * b for a, b in zip(readings[face].direction, axis.direction, strict=True))) > 0.9
        )
    other = readings[port]
    return math.dist(_through(axis, readings[face]), _through(other, readings[face])) < 1e-3
