"""The bushing's turned outline and the places along it, by arithmetic alone."""

from __future__ import annotations

import math
from dataclasses import dataclass

from headparts.parts.bushing_sizes import BushingSizes
from headparts.parts.outline import Point
from headparts.parts.part import Vector

END_WALL = 0.8
"""Least wall at the free end of the guide boss [mm]; common practice, no source (0.8 to 1.0)."""
FLAT_DEPTH, FLAT_LENGTH = 0.45, 0.25
"""Clock flat: distance from the axis and length, in shank diameters; common practice, no source."""


@dataclass(frozen=True)
class Shape:
    """Radii and s of the corners of a bushing [mm]; ``outline`` is closed, (radius, s), once round."""

    outline: tuple[Point, ...]
    face_s: float
    mouth_radius: float
    seat_inner_radius: float
    seat_inner_s: float
    throat_s: float
    lead_start_s: float
    lead_end_s: float
    lead_end_radius: float
    relief_radius: float
    shank_lead_s: float
    shank_top_radius: float
    boss_end_s: float
    boss_end_radius: float
    boss_cone_s: float
    flat_depth: float
    flat_length: float
    window: tuple[Vector, Vector, float]


def shape_of(p: BushingSizes) -> Shape:
    """Corners of the outline of a bushing; see BushingSizes for what each size means."""
    body, shank, guide, throat = (
        size / 2.0 for size in (p.body_diameter, p.shank_diameter, p.guide_bore, p.throat_diameter)
    )
    face, roof, outer = p.face_above_datum, p.roof_s, p.seat_outer_diameter / 2.0

    # seat, top cut, throat cut: a throat wider than the seat's inner edge ends the seat early
    slope = math.radians(p.seat_angle)
    inner = max(outer - p.seat_width * math.cos(slope), throat)
    inner_s = p.seat_outer_s + (outer - inner) * math.tan(slope)
    throat_s = inner_s + (inner - throat) * math.tan(math.radians(p.throat_cut_angle))
    mouth = outer + (p.seat_outer_s - face) / math.tan(math.radians(p.top_cut_angle))

    # outside: land, lead, relief, shoulder, shank, lead
    lead_end_s = p.body_length - (p.relief_width or 0.0)
    lead_start_s = lead_end_s - p.body_lead_length
    lead_end = body - p.body_lead_length * math.tan(math.radians(p.body_lead_angle))
    relief = min(body - (p.relief_depth or 0.0), lead_end)
    shank_top = shank - p.shank_lead_length * math.tan(math.radians(p.shank_lead_angle))
    shank_lead_s = p.top_s - p.shank_lead_length

    outline: list[Point] = [(mouth, face), (body, face), (body, lead_start_s), (lead_end, lead_end_s)]
    if p.relief_width:
        outline += [(relief, lead_end_s), (relief, p.body_length)]
    outline += [(shank, p.body_length), (shank, shank_lead_s), (shank_top, p.top_s), (guide, p.top_s)]

    boss_end_s, boss_end, boss_cone_s = roof, 0.0, roof
    if p.boss_diameter is not None and p.boss_length is not None:
        boss = p.boss_diameter / 2.0
        boss_end_s, boss_cone_s = roof - p.boss_length, roof - p.boss_length
        boss_end = boss
        if p.boss_cone_angle is not None:
            tangent = math.tan(math.radians(p.boss_cone_angle))
            boss_end = min(boss, max(guide + END_WALL, boss - p.boss_length * tangent))
            boss_cone_s = boss_end_s + (boss - boss_end) / tangent
            boss_cone_s = min(boss_cone_s, roof)
        outline += [(guide, boss_end_s), (boss_end, boss_end_s), (boss, boss_cone_s), (boss, roof)]
    else:
        outline += [(guide, roof)]
    outline += [(throat, roof), (throat, throat_s), (inner, inner_s), (outer, p.seat_outer_s)]

    rise = math.radians(p.window_elevation)
    foot = (0.0, p.window_offset, p.window_s or 0.0)
    reach = (body + (p.window_diameter or 0.0) / 2.0) / math.cos(rise) + body
    return Shape(
        outline=_without_repeats(outline),
        face_s=face,
        mouth_radius=mouth,
        seat_inner_radius=inner,
        seat_inner_s=inner_s,
        throat_s=throat_s,
        lead_start_s=lead_start_s,
        lead_end_s=lead_end_s,
        lead_end_radius=lead_end,
        relief_radius=relief,
        shank_lead_s=shank_lead_s,
        shank_top_radius=shank_top,
        boss_end_s=boss_end_s,
        boss_end_radius=boss_end,
        boss_cone_s=boss_cone_s,
        flat_depth=FLAT_DEPTH * p.shank_diameter if p.clock_flat_depth is None else p.clock_flat_depth,
        flat_length=FLAT_LENGTH * p.shank_diameter if p.clock_flat_length is None else p.clock_flat_length,
        window=(foot, (math.cos(rise), 0.0, math.sin(rise)), reach),
    )


def flat_volume(p: BushingSizes, shape: Shape) -> float:
    """What the clock flat takes off the shank [mm3]: circular segments along s, Gauss points a stretch.

    Segment area r^2 acos(d/r) - d sqrt(r^2 - d^2), d the flat's distance from the axis.
    """
    import numpy as np

    depth, start, full = shape.flat_depth, p.top_s - shape.flat_length, p.shank_diameter / 2.0
    nodes, weights = np.polynomial.legendre.leggauss(48)
    total = 0.0
    for low, high in ((start, max(start, shape.shank_lead_s)), (max(start, shape.shank_lead_s), p.top_s)):
        s = low + (high - low) * (nodes + 1.0) / 2.0
        drop = np.maximum(s - shape.shank_lead_s, 0.0) * math.tan(math.radians(p.shank_lead_angle))
        r = full - (drop if p.shank_lead_length > 0.0 else 0.0 * s)
        area = r * r * np.arccos(depth / r) - depth * np.sqrt(r * r - depth * depth)
        total += float(weights @ area) * (high - low) / 2.0
    return total


def _without_repeats(points: list[Point]) -> tuple[Point, ...]:
    """The outline without sides of no length (a missing lead, a seat that ends at the throat)."""
    kept: list[Point] = []
    for point in points:
        if not kept or math.dist(point, kept[-1]) > 1e-9:
            kept.append(point)
    if math.dist(kept[0], kept[-1]) <= 1e-9:
        kept.pop()
    return tuple(kept)
