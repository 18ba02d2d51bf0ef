"""End views of the bushing: C on the gas face with the cutting plane, D from the rocker side with the clock mark."""

from __future__ import annotations

import math
from typing import Any

from headparts.drafting.dimension import lay_radius
from headparts.drafting.ink import HEIGHT, Ink, Item, Stroke
from headparts.drafting.symbols import (
    cutting_plane,
    datum,
    frame_on_leader,
    frame_width,
    note_on_leader,
    texture,
    texture_on_leader,
    tolerance_frame,
)
from headparts.drafting.tolerance import number
from headparts.drafting.view import Cluster, View
from headparts.geometry.curves import Curve, Line
from headparts.sheets.common import Readings, dimension
from headparts.sheets.context import SheetContext


def gas_face(context: SheetContext, readings: Readings, curves: tuple[Curve, ...], scale: float) -> Cluster:
    body = readings.radius("body")
    over = body + 4.0 / scale
    centre = (Line((-over, 0.0), (over, 0.0)),)
    cluster = Cluster(View("gas face C", scale, (("OUTLINE", curves), ("CENTRE", centre))))
    tall = body * scale + 2.0
    cluster.put(Item("symbol", "cutting plane A-A", cutting_plane((0.0, -tall), (0.0, tall), "A", 180.0)))
    edges = readings["seat_outer_edge"].radius, readings["seat_inner_edge"].radius
    ring = (edges[0] + edges[1]) / 2.0 * scale
    for name, angle, ink in (
        ("texture of the seat", -60.0, "texture"),
        ("run-out of the seat", -40.0, "frame"),
    ):
        choices = []
        for turn in (angle, angle - 12.0, angle + 12.0, angle + 24.0):
            c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
            tip = (ring * c, ring * s)
            for reach in (12.0, 18.0, 24.0, 30.0):
                elbow = ((body * scale + reach * 0.6) * c, (body * scale + reach) * s)
                made = (
                    texture_on_leader(tip, (elbow[0], elbow[1] - 8.0), context.textures.get("seat", "Ra 0.4"))
                    if ink == "texture"
                    else frame_on_leader(tip, elbow, "run-out", "0.02", ("G",))
                )
                choices.append(Item("symbol", name, made))
        cluster.put_best(choices)
    return cluster


def from_above(
    part: Any, context: SheetContext, readings: Readings, curves: tuple[Curve, ...], scale: float
) -> Cluster:
    body = readings.radius("body")
    over = body + 4.0 / scale
    centre: list[Curve] = [Line((-over, 0.0), (over, 0.0)), Line((0.0, -over), (0.0, over))]
    cluster = Cluster(View("view D", scale, (("OUTLINE", curves), ("CENTRE", tuple(centre)))))
    if "clock_flat" in readings:
        flat = readings["clock_flat"].point[0]
        half = math.sqrt(max(readings.radius("shank") ** 2 - flat * flat, 0.0))
        d = dimension(
            part, context, "clock_flat_depth", "linear", [(half * 0.9, 0.0), (half * 0.9, flat)], 90.0
        )
        cluster.put_side([d], "right")
    guide = readings.radius("guide")
    c, s = math.cos(math.radians(-150.0)), math.sin(math.radians(-150.0))
    bore = dimension(
        part, context, "guide_bore", "circle", [(-guide * c, -guide * s), (guide * c, guide * s)]
    )
    elbow = ((body * scale + 4.0) * c, (body * scale + 8.0) * s)
    laid = lay_radius(bore, scale, elbow, right=False)
    cluster.put(Item("dimension", f"{part.name}.guide_bore", laid.ink, dimension=laid))
    right = max(p[0] for t in laid.ink.texts for p in t.corners())
    left = right - frame_width("Ø0.01", 1) - 1.0
    hook = tolerance_frame((left, elbow[1] - 5.0), "coaxiality", "Ø0.01", ("D",))
    hook += datum((left + 5.0, elbow[1] - 5.0 - HEIGHT), "G", -90.0, 4.0)
    cluster.put(Item("symbol", "coaxiality of the guide", hook))
    rough = texture((left + 16.0, elbow[1] - 21.5), context.textures.get("guide", "Ra 0.8"))
    cluster.put(Item("symbol", "texture of the guide", rough))
    if context.clock_azimuth is not None:
        angle = 90.0 - context.clock_azimuth
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        r0, r1 = body * scale + 1.0, body * scale + 12.0
        mark = Ink((Stroke(Line((r0 * c, r0 * s), (r1 * c, r1 * s)), "PHANTOM"),))
        cluster.put(Item("symbol", "azimuth zero", mark))
        cluster.put_best(
            Item(
                "label",
                "azimuth zero text",
                note_on_leader((r1 * c, r1 * s), (r1 * c + dx, r1 * s + dy), ("C: azimuth 0",), right),
            )
            for dy in (6.0, -8.0, 12.0, -14.0)
            for dx, right in ((5.0, True), (-5.0, False))
        )
        window = (0.0, body * scale)
        lines = ("window and clock flat", f"at azimuth {number(context.clock_azimuth)}°")
        cluster.put_best(
            Item("label", "window azimuth", note_on_leader(window, (dx, window[1] + dy), lines, right))
            for dy in (9.0, 14.0, 20.0)
            for dx, right in ((6.0, True), (-6.0, False), (14.0, True), (-14.0, False))
        )
    return cluster
