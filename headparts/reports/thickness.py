"""The thickness field of a solid: in plain lines, as JSON, and point by point as CSV."""

from __future__ import annotations

import textwrap
from collections import Counter
from typing import Any

import numpy as np

from headparts.geometry.thickness import UNPROVEN, Thickness, Thin
from headparts.reports.numbers import number, point
from headparts.reports.terminal import Terminal

ROWS = 8
_COLUMNS = "x_mm,y_mm,z_mm,normal_x,normal_y,normal_z,thickness_mm,face,exit_face,counted"


def print_thickness(found: Thickness, limit: float | None, terminal: Terminal) -> None:
    """The least thickness with its place, the thin places, what was left out, and what is not proven."""
    for text in lines(found, limit):
        for line in textwrap.wrap(text, terminal.width, subsequent_indent="  ") or [""]:
            terminal.line(line)


def lines(found: Thickness, limit: float | None = None) -> list[str]:
    """What was found, one sentence a line; ``limit`` [mm]: places below it are listed and their area is told."""
    size = " x ".join(number(b - a, "mm") for a, b in zip(*found.box, strict=True))
    made = [f"{found.kind} solid, {found.face_count} faces, box {size} mm, {number(found.volume, 'mm3')} mm3"]
    least = found.least
    made.append("no ray found a thickness" if least is None else f"least thickness {_thin(least)}")
    if limit is None:
        made += _once([f"next {_thin(thin)}" for thin in found.pairs[1:ROWS]])
    else:
        below = found.below(limit)
        area = number(found.area_below(limit), "mm2")
        pairs = f"{len(below)} pair{'' if len(below) == 1 else 's'} of faces"
        made.append(f"below {limit:g}: {pairs}, {area} mm2 of surface (as sampled, both sides count)")
        made += _once([f"below {limit:g}: {_thin(thin)}" for thin in below[:ROWS]])
        if len(below) > ROWS:
            made.append(f"below {limit:g}: {len(below) - ROWS} more; --json lists all")
    made += [f"not counted, the faces meet there: {_thin(thin)}" for thin in found.edges[:3]]
    if len(found.edges) > 3:
        made.append(f"not counted, the faces meet there: {len(found.edges) - 3} more pairs of faces")
    made.append(
        f"{len(found.points)} places measured, {int(found.adjacent.sum())} of them toward a face that "
        f"meets their own and not counted, {found.lost} without a sound exit"
    )
    if found.untried:
        made.append(f"{found.untried} pairs of faces are told by their shortest ray alone, being too many")
    made.append(f"{UNPROVEN}{'; ' + found.remark if found.remark else ''}")
    return made


def as_json(found: Thickness, file: str, limit: float | None = None) -> dict[str, Any]:
    """The same as plain data: mm, mm2, mm3; null where there is none."""
    low, high = found.box
    return {
        "format": 1,
        "file": file,
        "kind": found.kind,
        "volume": found.volume,
        "box": [list(low), list(high)],
        "faces": found.face_count,
        "least": None if found.least is None else _plain(found.least),
        "below": None
        if limit is None
        else {
            "limit": limit,
            "area": found.area_below(limit),
            "pairs": [_plain(thin) for thin in found.below(limit)],
        },
        "pairs": [_plain(thin) for thin in found.pairs],
        "not_counted": [_plain(thin) for thin in found.edges],
        "points": len(found.points),
        "points_adjacent": int(found.adjacent.sum()),
        "points_lost": found.lost,
        "pairs_untried": found.untried,
        "lower_bound": None,
        "note": f"{UNPROVEN}{'; ' + found.remark if found.remark else ''}",
    }


def as_csv(found: Thickness) -> str:
    """One line a place: point, outward normal, thickness (empty: none), face, exit face (-1: none), counted."""
    made = [_COLUMNS]
    for place, normal, value, face, leaves, counts in zip(
        found.points.tolist(),
        found.normals.tolist(),
        found.values.tolist(),
        found.faces.tolist(),
        found.exits.tolist(),
        found.counted.tolist(),
        strict=True,
    ):
        cells = [f"{each + 0.0:.6f}" for each in (*place, *normal)]
        cells += [f"{value:.6f}" if np.isfinite(value) else "", str(face), str(leaves), str(int(counts))]
        made.append(",".join(cells))
    return "\n".join(made) + "\n"


def _once(said: list[str]) -> list[str]:
    """Each line once: faces that share an edge may have the same least place."""
    return [
        text if count == 1 else f"{text} ({count} pairs of faces)" for text, count in Counter(said).items()
    ]


def _thin(thin: Thin) -> str:
    how = "exact distance of two faces" if thin.how == "face pair" else "shortest ray"
    own = " of one face" if thin.faces[0] == thin.faces[1] else ""
    return f"{number(thin.value, 'mm')} mm from {point(thin.at[0])} to {point(thin.at[1])}, {how}{own}"


def _plain(thin: Thin) -> dict[str, Any]:
    return {
        "value": thin.value,
        "at": [list(place) for place in thin.at],
        "faces": list(thin.faces),
        "how": thin.how,
        "shortest_ray": thin.seen,
    }
