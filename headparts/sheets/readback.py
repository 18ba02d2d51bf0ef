"""Reads the dimensions of a sheet back from its DXF and sets them against the solid.

Independent of how the sheet was laid out: a dimension's value is computed from the definition points that stand
in the file, times the scale of its style.
"""

from __future__ import annotations

import io
import math
from collections import Counter
from collections.abc import Iterable
from typing import Any

from headparts.errors import OutputError

_APP = "HEADPARTS"


def dimension_readback(dxf: bytes) -> list[tuple[str, str, float, str]]:
    """(part, size, value, kind) of every DIMENSION in a DXF file, in file order; mm or degrees.

    Raises OutputError when a dimension does not say what it measures, or when the measurement stored with it
    differs from its definition points by more than 1e-6 mm.
    """
    import ezdxf

    found = []
    for entity in ezdxf.read(io.StringIO(dxf.decode("utf-8"))).modelspace().query("DIMENSION"):
        if not entity.has_xdata(_APP):
            raise OutputError("a dimension of the sheet does not name the size it measures")
        part, size, kind = (str(tag.value) for tag in entity.get_xdata(_APP)[:3])
        value, stored = _measured(entity)
        if abs(value - stored) > 1e-6:
            raise OutputError(
                f"{part}.{size}: points give {value:.9g}, the stored measurement is {stored:.9g}"
            )
        found.append((part, size, value, kind))
    return found


def missing_or_doubled(part: Any, dxf: bytes, optional: Iterable[str] = ()) -> tuple[list[str], list[str]]:
    """Sizes of a part that a sheet leaves out, and sizes it shows more than once.

    Of a size in ``optional`` (derived from others) only doubling counts; a size of zero (a square window, a hole in
    line with another) needs no dimension.
    """
    counts = Counter(size for name, size, _, _ in dimension_readback(dxf) if name == part.name)
    free = set(optional) | derived_sizes(part)
    missing = [s for s in part.sizes if counts[s] == 0 and s not in free and not _nothing(part, s)]
    return missing, [s for s, n in counts.items() if n > 1]


def differences(part: Any, dxf: bytes, solid: Any = None) -> dict[str, float]:
    """Sheet minus solid of every dimension of the part [mm or deg], by size; signs of angles are ignored."""
    return {
        size: abs(value) - abs(part.measure(size, solid))
        for name, size, value, _ in dimension_readback(dxf)
        if name == part.name
    }


def derived_sizes(part: Any) -> set[str]:
    """Sizes that follow from others and are bracketed or left to a note."""
    return {"seat_inner_diameter", "top_cut_diameter", "relief_diameter", "shank_length"} & set(part.sizes)


def _nothing(part: Any, size: str) -> bool:
    return bool(part.sizes[size].kind in ("angle", "length") and abs(part.measure(size)) < 1e-9)


def _measured(entity: Any) -> tuple[float, float]:
    """Value from the definition points, and value from the stored measurement."""
    kind, dxf = entity.dxf.dimtype & 15, entity.dxf
    stored = float(dxf.actual_measurement)
    if kind in (2, 5):
        v, a, b = dxf.defpoint4, dxf.defpoint2, dxf.defpoint3
        turn = math.degrees(math.atan2(b.y - v.y, b.x - v.x) - math.atan2(a.y - v.y, a.x - v.x))
        return turn % 360.0, math.degrees(stored)
    factor = float(entity.override().get("dimlfac", 1.0))
    if kind in (3, 4):
        p, q = dxf.defpoint, dxf.defpoint4
        return math.hypot(q.x - p.x, q.y - p.y) * factor, stored * factor
    p, q = dxf.defpoint2, dxf.defpoint3
    c, s = math.cos(math.radians(dxf.angle)), math.sin(math.radians(dxf.angle))
    return abs((q.x - p.x) * c + (q.y - p.y) * s) * factor, stored * factor
