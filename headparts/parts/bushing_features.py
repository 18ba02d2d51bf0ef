"""Names on a guide bushing: its features and the sizes that are read from them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from headparts.parts.bushing_shape import Shape
from headparts.parts.bushing_sizes import BushingSizes
from headparts.parts.outline import DOWN, UP, flat, turned
from headparts.parts.part import Feature, Hint, Size, Vector

SAME = 1e-9


def features_of(p: BushingSizes, shape: Shape) -> Iterator[Feature]:
    """Every named surface and edge that a bushing of these sizes has."""
    body, shank, guide, throat = (
        size / 2.0 for size in (p.body_diameter, p.shank_diameter, p.guide_bore, p.throat_diameter)
    )
    outer = p.seat_outer_diameter / 2.0
    yield flat("gas_face", (shape.mouth_radius + body) / 2.0, shape.face_s, DOWN)
    yield turned("body", "cylinder", body, (shape.face_s + shape.lead_start_s) / 2.0, "solid")
    if p.body_lead_length > 0.0:
        middle = (shape.lead_start_s + shape.lead_end_s) / 2.0
        yield turned("body_lead", "cone", (body + shape.lead_end_radius) / 2.0, middle, "solid")
        yield turned("body_lead_start", "circle", body, shape.lead_start_s, None)
    if p.relief_width:
        relief = shape.relief_radius
        yield turned("body_end", "circle", shape.lead_end_radius, shape.lead_end_s, None, 0.15)
        middle = (shape.lead_end_s + p.body_length) / 2.0
        yield turned("relief", "cylinder", relief, middle, "solid", 0.15)
    elif p.body_lead_length > 0.0:
        yield turned("body_end", "circle", shape.lead_end_radius, shape.lead_end_s, None)
    step = (shape.relief_radius if p.relief_width else shape.lead_end_radius) + shank
    yield flat("shoulder", step / 2.0, p.body_length, UP, 0.5)
    yield turned("shank", "cylinder", shank, (p.body_length + shape.shank_lead_s) / 2.0, "solid")
    if p.shank_lead_length > 0.0:
        middle = (shape.shank_lead_s + p.top_s) / 2.0
        yield turned("shank_lead", "cone", (shank + shape.shank_top_radius) / 2.0, middle, "solid")
        yield turned("shank_lead_start", "circle", shank, shape.shank_lead_s, None)
    yield flat("shank_top", (guide + shape.shank_top_radius) / 2.0, p.top_s, UP, 1.0)
    yield turned("guide", "cylinder", guide, (shape.boss_end_s + p.top_s) / 2.0, "hollow")
    ring = guide if p.boss_diameter is None else p.boss_diameter / 2.0
    yield flat("roof", (ring + throat) / 2.0, p.roof_s, DOWN, 0.5)
    yield turned("throat", "cylinder", throat, (shape.throat_s + p.roof_s) / 2.0, "hollow")
    if shape.seat_inner_radius - throat > SAME:
        middle = (shape.seat_inner_s + shape.throat_s) / 2.0
        yield turned("throat_cut", "cone", (shape.seat_inner_radius + throat) / 2.0, middle, "hollow", 0.1)
    middle = (shape.seat_inner_s + p.seat_outer_s) / 2.0
    yield turned("seat", "cone", (shape.seat_inner_radius + outer) / 2.0, middle, "hollow", 0.1)
    yield turned("seat_outer_edge", "circle", outer, p.seat_outer_s, None, 0.15)
    yield turned("seat_inner_edge", "circle", shape.seat_inner_radius, shape.seat_inner_s, None, 0.15)
    if p.seat_outer_s - shape.face_s > SAME:
        middle = (p.seat_outer_s + shape.face_s) / 2.0
        yield turned("top_cut", "cone", (outer + shape.mouth_radius) / 2.0, middle, "hollow", 0.1)
        yield turned("top_cut_edge", "circle", shape.mouth_radius, shape.face_s, None, 0.15)
    if p.boss_diameter is not None:
        yield from _boss_features(p, shape)
    if p.window_diameter is not None:
        yield _window_feature(p, shape)
    if p.clock_flat:
        middle = p.top_s - shape.flat_length / 2.0
        at = (shape.flat_depth, 0.0, middle)
        yield Feature("clock_flat", "plane", Hint(at, (1.0, 0.0, 0.0), at))
        at = ((shape.flat_depth + shank) / 2.0, 0.0, p.top_s - shape.flat_length)
        yield Feature("clock_flat_end", "plane", Hint(at, UP, at, None, 0.5))


def _boss_features(p: BushingSizes, shape: Shape) -> Iterator[Feature]:
    boss = (p.boss_diameter or 0.0) / 2.0
    if p.roof_s - shape.boss_cone_s > SAME:
        yield turned("boss", "cylinder", boss, (shape.boss_cone_s + p.roof_s) / 2.0, "solid")
    if shape.boss_cone_s - shape.boss_end_s > SAME:
        middle = (shape.boss_cone_s + shape.boss_end_s) / 2.0
        yield turned("boss_cone", "cone", (boss + shape.boss_end_radius) / 2.0, middle, "solid")
    yield flat("boss_end", (p.guide_bore / 2.0 + shape.boss_end_radius) / 2.0, shape.boss_end_s, DOWN)


def _window_feature(p: BushingSizes, shape: Shape) -> Feature:
    """Looked for on its side generator in the middle of the wall, or on its upper one when it is too wide."""
    foot, direction, _ = shape.window
    radius, middle = (p.window_diameter or 0.0) / 2.0, (p.body_diameter + p.throat_diameter) / 4.0
    beside = radius - abs(p.window_offset)
    if beside < middle:
        sign = -1.0 if p.window_offset > 0.0 else 1.0
        out: Vector = (0.0, sign, 0.0)
        x = math.sqrt(middle * middle - beside * beside)
        along = x / direction[0]
    else:
        out = (-direction[2], 0.0, direction[0])
        along = (middle - radius * out[0]) / direction[0]
    at = tuple(f + radius * o + along * d for f, o, d in zip(foot, out, direction, strict=True))
    hint = Hint(foot, direction, (at[0], at[1], at[2]), "hollow", 0.25)
    return Feature("window", "cylinder", hint)


def sizes_of(p: BushingSizes, shape: Shape) -> Iterator[Size]:
    """Every size that a bushing of these parameters has, read from its features."""
    names = {feature.name for feature in features_of(p, shape)}
    for size in _ALL:
        if names.issuperset(size.of):
            yield size


_ALL = (
    Size("body_diameter", "diameter", ("body",), "radius"),
    Size("shank_diameter", "diameter", ("shank",), "radius"),
    Size("guide_bore", "diameter", ("guide",), "radius"),
    Size("throat_diameter", "diameter", ("throat",), "radius"),
    Size("seat_outer_diameter", "diameter", ("seat_outer_edge",), "radius"),
    Size("seat_inner_diameter", "diameter", ("seat_inner_edge",), "radius"),
    Size("top_cut_diameter", "diameter", ("top_cut_edge",), "radius"),
    Size("seat_angle", "angle", ("seat",), "to_plane"),
    Size("top_cut_angle", "angle", ("top_cut",), "to_plane"),
    Size("throat_cut_angle", "angle", ("throat_cut",), "to_plane"),
    Size("seat_width", "length", ("seat_outer_edge", "seat_inner_edge"), "slant"),
    Size("seat_outer_depth", "length", ("gas_face", "seat_outer_edge"), "between"),
    Size("gas_face_to_shoulder", "length", ("gas_face", "shoulder"), "between"),
    Size("overall_length", "length", ("gas_face", "shank_top"), "between"),
    Size("roof_depth", "length", ("gas_face", "roof"), "between"),
    Size("shank_length", "length", ("shoulder", "shank_top"), "between"),
    Size("body_lead_length", "length", ("body_lead_start", "body_end"), "between"),
    Size("body_lead_angle", "angle", ("body_lead",), "to_axis"),
    Size("shank_lead_length", "length", ("shank_lead_start", "shank_top"), "between"),
    Size("shank_lead_angle", "angle", ("shank_lead",), "to_axis"),
    Size("relief_width", "length", ("body_end", "shoulder"), "between"),
    Size("relief_depth", "length", ("body", "relief"), "step"),
    Size("relief_diameter", "diameter", ("relief",), "radius"),
    Size("window_diameter", "diameter", ("window",), "radius"),
    Size("window_axis_s", "length", ("gas_face", "window", "body"), "crossing"),
    Size("window_angle", "angle", ("window", "body"), "rise"),
    Size("boss_diameter", "diameter", ("boss",), "radius"),
    Size("boss_length", "length", ("boss_end", "roof"), "between"),
    Size("boss_cone_angle", "angle", ("boss_cone",), "to_axis"),
    Size("clock_flat_depth", "length", ("body", "clock_flat"), "from_axis"),
    Size("clock_flat_length", "length", ("clock_flat_end", "shank_top"), "between"),
)
