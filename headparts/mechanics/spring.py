"""Valve spring in its new place: installed length, forces, coil bind, retainer against guide."""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import ANY, NOT_NEGATIVE, POSITIVE, ArrayLike, Result, numbers, plain, require


def installed_length(
    tip: ArrayLike, retainer_below_tip: ArrayLike, seat: ArrayLike, shim: ArrayLike = 0.0
) -> Result:
    """Length of the spring with the valve closed.

        H = tip - retainer below tip - seat - shim

    Parameters (scalars or arrays that broadcast):
        tip [mm]: place of the valve tip along the valve axis
        retainer_below_tip [mm]: from tip down to the retainer's spring seat
        seat [mm]: place of the spring seat in the head along the valve axis
        shim [mm]: under the spring, 0 for none
    Returns:
        [mm] installed length, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, no room left for the spring
    Validity: both places counted along the same axis from the same zero.
    Source: arithmetic; common practice, no source.

    >>> round(installed_length(49.903553, 4.0, 26.7, 2.7), 6)
    16.503553
    """
    top, drop, low, pack = numbers(
        tip=(tip, ANY), retainer_below_tip=(retainer_below_tip, NOT_NEGATIVE), seat=(seat, ANY),
        shim=(shim, NOT_NEGATIVE),
    )  # fmt: skip
    length = top - drop - low - pack
    require(length > 0, "seat", seat, "leaves no room for the spring below the retainer")
    return plain(length)


def spring_force(free_length: ArrayLike, rate: ArrayLike, length: ArrayLike) -> Result:
    """Force of a spring pressed to a length.

        F = c (free - length)

    Parameters (scalars or arrays that broadcast):
        free_length [mm]: of the unloaded spring
        rate [N/mm]: c
        length [mm]: as fitted
    Returns:
        [N] force, 0 or more, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, a length above the free length
    Validity: straight-line spring, above coil bind.
    Source: definition of the spring rate.

    >>> round(spring_force(22.5, 6.5, 16.5), 3)
    39.0
    """
    free, c, h = numbers(
        free_length=(free_length, POSITIVE), rate=(rate, POSITIVE), length=(length, POSITIVE)
    )
    require(h <= free, "length", length, "must not exceed the free length: the spring would be loose")
    return plain(c * (free - h))


def coil_bind_reserve(installed: ArrayLike, lift: ArrayLike, solid_length: ArrayLike) -> Result:
    """Travel left at full lift before the coils touch.

        reserve = installed - lift - solid

    Parameters (scalars or arrays that broadcast):
        installed [mm]: length with the valve closed
        lift [mm]: of the valve
        solid_length [mm]: with all coils touching
    Returns:
        [mm] reserve, negative when it binds, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: no overshoot of the valve.
    Source: arithmetic; common practice, no source.

    >>> round(coil_bind_reserve(16.503553, 3.2, 10.8), 6)
    2.503553
    """
    h, up, solid = numbers(
        installed=(installed, POSITIVE), lift=(lift, POSITIVE), solid_length=(solid_length, POSITIVE)
    )
    return plain(h - up - solid)


def retainer_gap(
    tip: ArrayLike, retainer_below_tip: ArrayLike, retainer_depth: ArrayLike, lift: ArrayLike,
    guide_top: ArrayLike, seal_height: ArrayLike,
) -> Result:  # fmt: skip
    """Gap between the retainer's underside and the seal on the guide at full lift.

        gap = tip - retainer below tip - depth - lift - guide top - seal

    Parameters (scalars or arrays that broadcast):
        tip [mm]: place of the valve tip along the valve axis
        retainer_below_tip [mm]: from tip down to the retainer's spring seat
        retainer_depth [mm]: how far the retainer reaches below its spring seat
        lift [mm]: of the valve
        guide_top [mm]: place of the guide's top along the valve axis
        seal_height [mm]: of the seal above the guide's top, 0 for none
    Returns:
        [mm] gap, negative when they meet, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: places counted along the same axis from the same zero.
    Source: arithmetic; common practice, no source.

    >>> round(retainer_gap(49.903553, 4.0, 3.5, 3.2, 34.7, 1.5), 6)
    3.003553
    """
    top, drop, depth, up, guide, seal = numbers(
        tip=(tip, ANY), retainer_below_tip=(retainer_below_tip, NOT_NEGATIVE),
        retainer_depth=(retainer_depth, NOT_NEGATIVE), lift=(lift, POSITIVE), guide_top=(guide_top, ANY),
        seal_height=(seal_height, NOT_NEGATIVE),
    )  # fmt: skip
    return plain(np.asarray(top - drop - depth - up - guide - seal))


def force_ratio(new_force: ArrayLike, old_force: ArrayLike) -> Result:
    """Closed spring force as a share of what it was.

        ratio = new/old

    Parameters (scalars or arrays that broadcast):
        new_force [N]: with the valve closed, now
        old_force [N]: with the valve closed, before
    Returns:
        [-] ratio, broadcast shape
    Raises:
        ParameterError: a value not finite, negative, or an old force of 0
    Validity: the same valve mass and cam.
    Source: definition.

    >>> round(force_ratio(38.976903, 42.25), 5)
    0.92253
    """
    new, old = numbers(new_force=(new_force, NOT_NEGATIVE), old_force=(old_force, POSITIVE))
    return plain(new / old)
