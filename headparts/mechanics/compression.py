"""Volumes of cylinder and chamber, and the compression ratio."""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import NOT_NEGATIVE, POSITIVE, ArrayLike, Result, numbers, plain, require


def disc_volume(diameter: ArrayLike, depth: ArrayLike) -> Result:
    """Volume of a round slice: swept volume, disc chamber, gasket, deck, recess of a bushing.

        V = pi/4 d^2 h

    Parameters (scalars or arrays that broadcast):
        diameter [mm]: d
        depth [mm]: h, 0 or more
    Returns:
        [cm3] volume, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: geometry.
    Source: geometry.

    >>> round(disc_volume(34.0, 28.6), 5)
    25.96652
    """
    d, h = numbers(diameter=(diameter, POSITIVE), depth=(depth, NOT_NEGATIVE))
    return plain(np.pi / 4 * d**2 * h / 1000)


def dome_volume(base_radius: ArrayLike, depth: ArrayLike) -> Result:
    """Volume of a dome (part of a ball) over a round mouth.

        V = pi h/6 (3 a^2 + h^2)

    Parameters (scalars or arrays that broadcast):
        base_radius [mm]: a, of the mouth
        depth [mm]: h
    Returns:
        [cm3] volume, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, a dome deeper than its mouth's radius
    Validity: up to a half ball.
    Source: geometry.

    >>> round(dome_volume(23.0, 7.2), 5)
    6.17828
    """
    a, h = numbers(base_radius=(base_radius, POSITIVE), depth=(depth, POSITIVE))
    require(h <= a * (1 + 1e-12), "depth", depth, "must not exceed base_radius")
    return plain(np.pi * h / 6 * (3 * a**2 + h**2) / 1000)


def bathtub_volume(length: ArrayLike, width: ArrayLike, depth: ArrayLike, corner: ArrayLike) -> Result:
    """Volume of a bathtub chamber: rounded rectangle with upright walls and a flat roof.

        V = (l w - (4 - pi) c^2) h

    Parameters (scalars or arrays that broadcast):
        length [mm]: l
        width [mm]: w
        depth [mm]: h
        corner [mm]: c, radius of the upright corners, 0 to half the smaller side
    Returns:
        [cm3] volume, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a corner above half the smaller side
    Validity: geometry.
    Source: geometry.

    >>> round(bathtub_volume(20.0, 20.0, 5.0, 10.0), 6) == round(disc_volume(20.0, 5.0), 6)
    True
    """
    x, y, h, c = numbers(
        length=(length, POSITIVE),
        width=(width, POSITIVE),
        depth=(depth, POSITIVE),
        corner=(corner, NOT_NEGATIVE),
    )
    require(
        c <= np.minimum(x, y) / 2 * (1 + 1e-12), "corner", corner, "must not exceed half the smaller side"
    )
    return plain((x * y - (4 - np.pi) * c**2) * h / 1000)


def compression_ratio(swept_volume: ArrayLike, clearance_volume: ArrayLike) -> Result:
    """Geometric compression ratio.

        e = (Vs + Vc)/Vc

    Parameters (scalars or arrays that broadcast):
        swept_volume [cm3]: Vs
        clearance_volume [cm3]: Vc, all that is left at top dead centre
    Returns:
        [-] ratio, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: geometric; closing time of the valves is left out.
    Source: definition; Heywood, Internal Combustion Engine Fundamentals, ch. 2 (from memory).

    >>> compression_ratio(70.0, 10.0)
    8.0
    """
    vs, vc = numbers(swept_volume=(swept_volume, POSITIVE), clearance_volume=(clearance_volume, POSITIVE))
    return plain((vs + vc) / vc)
