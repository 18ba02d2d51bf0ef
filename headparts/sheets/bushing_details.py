"""Enlarged details of the bushing: the three-angle seat, and lead with corner relief at the shoulder."""

from __future__ import annotations

import math
from typing import Any

from headparts.drafting.dimension import lay_angle, lay_linear
from headparts.drafting.tolerance import Tolerance
from headparts.drafting.view import Cluster, View
from headparts.geometry.curves import Arc, Curve, Point
from headparts.sheets.common import Readings, dimension, titled
from headparts.sheets.context import SheetContext

_SCALES = (5.0, 10.0, 20.0, 50.0)
_DEFAULTS = {"seat_width": Tolerance(upper=0.1, lower=-0.1), "seat_angle": Tolerance(upper=0.25, lower=-0.25)}


def seat_ring(readings: Readings) -> tuple[Point, float]:
    """Middle and radius of what the seat's detail shows, on the side away from the window [mm]."""
    outer, inner = readings["seat_outer_edge"], readings["seat_inner_edge"]
    s = (outer.point[2] + inner.point[2]) / 2.0
    r = (outer.radius + inner.radius) / 2.0
    span = math.hypot(outer.point[2] - inner.point[2], outer.radius - inner.radius)
    reach = max(1.15 * span, s - readings.z("gas_face") + 0.55 * span)
    return (s, -r), reach


def shoulder_ring(readings: Readings) -> tuple[Point, float] | None:
    """Middle and radius of what the shoulder's detail shows; None when there is neither lead nor relief."""
    if "body_lead_start" not in readings and "relief" not in readings:
        return None
    end = readings.z("shoulder")
    if "body_lead_start" in readings:
        start = readings.z("body_lead_start")
    else:
        start = readings.z("body_end") - 0.3
    return ((start + end) / 2.0, -readings.radius("body")), 0.72 * (end - start)


def seat_detail(part: Any, context: SheetContext, readings: Readings) -> Cluster:
    """Detail B: seat width along the cone, three angles, depth of the seat's outer edge."""
    centre, reach = seat_ring(readings)
    outer, inner = readings["seat_outer_edge"], readings["seat_inner_edge"]
    width = math.hypot(outer.point[2] - inner.point[2], outer.radius - inner.radius)
    scale = next((k for k in _SCALES if k * width >= 13.5), _SCALES[-1])
    cluster = _detail(part, "detail B", centre, reach, scale)
    p_outer, p_inner = (outer.point[2], -outer.radius), (inner.point[2], -inner.radius)
    face = readings.z("gas_face")
    slope = math.degrees(math.atan2(p_inner[1] - p_outer[1], p_inner[0] - p_outer[0]))
    across = (-math.sin(math.radians(slope)), math.cos(math.radians(slope)))
    size = dimension(
        part, context, "seat_width", "linear", [p_outer, p_inner], slope, _DEFAULTS["seat_width"]
    )
    middle = ((p_outer[0] + p_inner[0]) / 2.0 * scale, (p_outer[1] + p_inner[1]) / 2.0 * scale)
    cluster.put_laid(
        lay_linear(size, scale, (middle[0] + off * across[0], middle[1] + off * across[1]), slot)
        for slot in ("centre", "after", "before")
        for extra in (9.0, 12.0, 16.0)
        for off in (-reach * scale - extra,)
    )
    if "top_cut" in readings:
        mouth = readings["top_cut_edge"]
        m = (mouth.point[2], -mouth.radius)
        back = (2.0 * m[0] - p_outer[0], 2.0 * m[1] - p_outer[1])
        angle = dimension(part, context, "top_cut_angle", "angle", [m, back, (m[0], m[1] - 0.3)])
        cluster.put_laid(
            lay_angle(angle, scale, r, slot)
            for r in (16.0, 14.0, 20.0, 24.0)
            for slot in ("before", "centre", "after")
        )
    if "throat_cut" in readings:
        throat = readings.radius("throat")
        s = p_inner[0] + (inner.radius - throat) / math.tan(math.radians(readings["throat_cut"].half_angle))
        t = (s, -throat)
        on = (2.0 * t[0] - p_inner[0], 2.0 * t[1] - p_inner[1])
        angle = dimension(part, context, "throat_cut_angle", "angle", [t, on, (t[0], t[1] + 0.3)])
        cluster.put_laid(
            lay_angle(angle, scale, r, slot)
            for r in (8.0, 10.0, 12.0, 14.0, 7.5)
            for slot in ("centre", "before", "after")
        )
    up = (p_outer[0], p_outer[1] + 0.04 * width)
    angle = dimension(
        part, context, "seat_angle", "angle", [p_outer, p_inner, up], 0.0, _DEFAULTS["seat_angle"]
    )
    cluster.put_laid(
        lay_angle(angle, scale, width * scale + extra, slot)
        for extra in (-3.0, -5.0, -7.0, 3.0, 8.0, 16.0)
        for slot in ("after", "centre", "before")
    )
    if "top_cut" in readings or abs(p_outer[0] - face) > 1e-9:
        depth = dimension(
            part,
            context,
            "seat_outer_depth",
            "linear",
            [(face, -readings.radius("top_cut_edge") if "top_cut" in readings else -outer.radius), p_outer],
        )
        cluster.put_side([depth], "bottom")
    titled(cluster, "B", -1.0)
    return cluster


def shoulder_detail(part: Any, context: SheetContext, readings: Readings) -> Cluster | None:
    """Detail F: lead and corner relief under the shoulder; None when the bushing has neither."""
    ring = shoulder_ring(readings)
    if ring is None:
        return None
    centre, reach = ring
    scale = max((k for k in _SCALES if k * reach <= 24.0), default=_SCALES[0])
    cluster = _detail(part, "detail F", centre, reach, scale)
    body, end = readings.radius("body"), readings.z("shoulder")
    rows = []
    if "body_lead_start" in readings:
        start = (readings.z("body_lead_start"), -body)
        lead_end = (readings.z("body_end"), -readings.radius("body_end"))
        rows.append(dimension(part, context, "body_lead_length", "linear", [start, lead_end]))
        angle = dimension(part, context, "body_lead_angle", "angle", [start, (lead_end[0], -body), lead_end])
        far = (end - start[0]) * scale
        cluster.put_laid(
            lay_angle(angle, scale, far + extra, slot)
            for extra in (6.0, 10.0, 14.0)
            for slot in ("before", "after", "centre")
        )
    if "relief" in readings:
        relief = readings.radius("relief")
        rows.append(
            dimension(
                part,
                context,
                "relief_width",
                "linear",
                [(readings.z("body_end"), -readings.radius("body_end")), (end, -relief)],
            )
        )
        low = (
            readings.z("body_lead_start") if "body_lead_start" in readings else readings.z("body_end"),
            -body,
        )
        depth = dimension(
            part, context, "relief_depth", "linear", [low, (readings.z("body_end"), -relief)], 90.0
        )
        cluster.put_side([depth], "left")
    cluster.put_side(rows, "bottom")
    titled(cluster, "F", -1.0)
    return cluster


def _detail(part: Any, name: str, centre: Point, reach: float, scale: float) -> Cluster:
    from headparts.solids.section import Plane, section

    plane = Plane((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    faces = section(part.shape, plane, (centre, reach))
    edges = [c for face in faces for c in face.curves]
    ring = tuple(c for c in edges if _on_ring(c, centre, reach))
    wide: tuple[Curve, ...] = tuple(c for c in edges if not _on_ring(c, centre, reach))
    return Cluster(
        View(
            name,
            scale,
            (("OUTLINE", wide), ("NARROW", ring)),
            tuple((f.outer, *f.holes) for f in faces),
            hatch_spacing=3.5,
        )
    )


def _on_ring(curve: Curve, centre: Point, reach: float) -> bool:
    return (
        isinstance(curve, Arc) and abs(curve.radius - reach) < 1e-6 and math.dist(curve.centre, centre) < 1e-6
    )
