"""How large two valves may be that share a round chamber on one line, with the plug beside them."""

from __future__ import annotations

import math

import numpy as np

from headparts.mechanics.arrays import ANY, NOT_NEGATIVE, POSITIVE, FloatArray, numbers, require

HALVINGS = 60


def largest_valves(
    chamber_radius: float,
    wall: float,
    land: float,
    web: float,
    line_y: float,
    ratio: float,
    plug_diameter: float = 0.0,
    plug_x: float = 0.0,
    plug_y: float = 0.0,
    plug_web: float = 0.0,
) -> FloatArray:
    """Largest pair of valve heads whose upright axes lie on the line y = line_y of a round chamber.

        x = sqrt((R - wall - d/2)^2 - line_y^2), intake to +x, exhaust to -x, each as far out as its wall lets it
        x_in - x_ex - (d_in + d_ex) / 2 - 2 land >= web, and the same from either head to the plug

    Parameters:
        chamber_radius [mm]: radius of the chamber about the bore axis (x = y = 0)
        wall [mm]: least metal or gap from a head's rim to the chamber wall
        land [mm]: what the bushing's body is larger than the head, on the radius
        web [mm]: least metal between the two bodies
        line_y [mm]: the line that both axes lie on
        ratio [-]: exhaust head diameter over intake head diameter
        plug_diameter [mm]: diameter of the plug hole; 0: none
        plug_x [mm]: its place in the roof
        plug_y [mm]: its place in the roof
        plug_web [mm]: least metal from a body to the plug hole
    Returns:
        [mm] array (4,): intake head, exhaust head, x of the intake axis, x of the exhaust axis
    Raises:
        ParameterError: a value not finite or out of range, a line outside the chamber, no valve fits at all
    Validity: scalars; circles in plan, so upright valves and an upright plug hole; bodies on both sides of x = 0.
    Source: plane geometry.

    >>> [round(float(each), 3) for each in largest_valves(16.8, 1.2, 1.0, 1.5, -1.2, 0.86)]
    [14.803, 12.73, 8.11, -9.156]
    """
    numbers(
        chamber_radius=(chamber_radius, POSITIVE),
        wall=(wall, NOT_NEGATIVE),
        land=(land, NOT_NEGATIVE),
        web=(web, NOT_NEGATIVE),
        line_y=(line_y, ANY),
        ratio=(ratio, POSITIVE),
        plug_diameter=(plug_diameter, NOT_NEGATIVE),
        plug_x=(plug_x, ANY),
        plug_y=(plug_y, ANY),
        plug_web=(plug_web, NOT_NEGATIVE),
    )
    room = chamber_radius - wall
    require(abs(line_y) < room, "line_y", line_y, f"must lie within the chamber less its wall ({room:g})")

    def places(intake: float) -> tuple[float, float]:
        inner = [room - intake * share / 2.0 for share in (1.0, ratio)]
        right, left = (math.sqrt(max(each * each - line_y * line_y, 0.0)) for each in inner)
        return right, -left

    def fits(intake: float) -> bool:
        if room - intake * max(1.0, ratio) / 2.0 < abs(line_y):
            return False
        centres = places(intake)
        bodies = [intake * share / 2.0 + land for share in (1.0, ratio)]
        if centres[0] - centres[1] - sum(bodies) < web:
            return False
        clear = [
            math.hypot(x - plug_x, line_y - plug_y) - plug_diameter / 2.0 - body
            for x, body in zip(centres, bodies, strict=True)
        ]
        return plug_diameter == 0.0 or min(clear) >= plug_web

    low, high = 0.0, 2.0 * room
    require(
        fits(low), "web", web, "leaves no room for any valve beside the chamber wall, the web and the plug"
    )
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if fits(middle) else (low, middle)
    right, left = places(low)
    return np.array([low, ratio * low, right, left])
