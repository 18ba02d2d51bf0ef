"""Back from a measured opening: how far apart the axes of a bore and of the cavity that it broke into really lie.

On the bore's line at the angle theta from the common perpendicular a point at the height t lies in the cavity
when (R cos(theta) - gap)^2 + (R sin(theta) cos(a) - t sin(a))^2 <= r^2, with R and r the radii and a the angle
between the axes. The opening's length along the bore is the span of these t over all angles: exact for round
holes that run past the opening on both sides. Lengths in mm.
"""

from __future__ import annotations

import math

import numpy as np

from headparts.errors import GeometryError

CELLS = 400
ZOOMS = 6
HALVINGS = 60
SQUARE_ENOUGH = 1.0
"""Axes that cross at less than this angle (degrees) are refused: their opening has no end to measure."""


def opening_length(gap: float, bore_radius: float, cavity_radius: float, angle: float) -> float:
    """Length along the bore of its opening into a round cavity (mm), 0 where they only touch or are apart.

    ``gap``: distance of the two axes; ``angle`` between them in degrees. Both run on past the opening.
    """
    _check(bore_radius, cavity_radius, angle)
    if gap >= bore_radius + cavity_radius:
        return 0.0
    lean, rise = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    widest = math.acos(max((gap - cavity_radius) / bore_radius, -1.0))
    low, high, best = 0.0, widest, 0.0
    for _ in range(ZOOMS):
        theta = np.linspace(low, high, CELLS + 1)
        room = cavity_radius**2 - (gap - bore_radius * np.cos(theta)) ** 2
        reach = bore_radius * np.sin(theta) * abs(lean) + np.sqrt(np.maximum(room, 0.0))
        reach = np.where(room >= -1e-12 * cavity_radius**2, reach, 0.0)
        k = int(np.argmax(reach))
        best = max(best, float(reach[k]))
        low, high = float(theta[max(k - 1, 0)]), float(theta[min(k + 1, CELLS)])
    return 2.0 * best / rise


def axis_gap_of_width(around: float, bore_radius: float, cavity_radius: float, angle: float) -> float:
    """Distance of the axes (mm) at which the opening is ``around`` mm wide, a chord across the bore.

    The outermost line of the bore that meets the cavity lies at gap - r from the bore's axis, whatever the angle:
    gap = r + sqrt(R^2 - (around / 2)^2), with the cavity's axis outside the chord. Raises GeometryError for a
    width that is not positive or wider than the bore, and for axes that are nearly parallel.
    """
    _check(bore_radius, cavity_radius, angle)
    if not 0.0 < around <= 2.0 * bore_radius:
        raise GeometryError(f"an opening in a bore of {2 * bore_radius:g} is not {around:g} wide")
    return cavity_radius + math.sqrt(bore_radius**2 - around**2 / 4.0)


def axis_gap_of_opening(along: float, bore_radius: float, cavity_radius: float, angle: float) -> float:
    """Distance of the axes (mm) at which the opening is ``along`` mm long, to 1e-6 mm.

    Where several distances give it the greatest is returned: the shallowest breakthrough, with the cavity's
    axis outside. Raises GeometryError when none gives it, for lengths that are not positive, and for axes
    that are nearly parallel.
    """
    _check(bore_radius, cavity_radius, angle)
    if not (math.isfinite(along) and along > 0):
        raise GeometryError(f"a measured opening must be a positive length in mm, got {along!r}")
    touch = bore_radius + cavity_radius
    gaps = touch * (1.0 - np.linspace(0.0, 1.0, CELLS + 1))
    lengths = [opening_length(float(gap), bore_radius, cavity_radius, angle) for gap in gaps]
    enough = [k for k, length in enumerate(lengths) if length >= along * (1.0 - 1e-12)]
    if not enough:
        raise GeometryError(
            f"no distance of the axes gives an opening of {along:g}: at most {max(lengths):.3f} is possible"
        )
    near, far = float(gaps[enough[0]]), float(gaps[enough[0] - 1])
    for _ in range(HALVINGS):
        middle = (near + far) / 2
        if opening_length(middle, bore_radius, cavity_radius, angle) >= along * (1.0 - 1e-12):
            near = middle
        else:
            far = middle
    return near


def _check(bore_radius: float, cavity_radius: float, angle: float) -> None:
    for name, value in (("bore's radius", bore_radius), ("cavity's radius", cavity_radius)):
        if not (math.isfinite(value) and value > 0):
            raise GeometryError(f"the {name} must be a positive length in mm, got {value!r}")
    if not SQUARE_ENOUGH <= angle <= 90.0:
        raise GeometryError(f"the axes must cross at {SQUARE_ENOUGH:g} to 90 degrees, got {angle!r}")
