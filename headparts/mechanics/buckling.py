"""Thin sleeves under outside pressure: free ring, ring held by its bore, ratio to the contact pressure."""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import (
    NOT_NEGATIVE,
    POISSON,
    POSITIVE,
    ArrayLike,
    Result,
    numbers,
    plain,
    require,
)


def free_ring_pressure(
    wall: ArrayLike, mean_radius: ArrayLike, modulus: ArrayLike, poisson: ArrayLike
) -> Result:
    """Outside pressure that buckles a long free tube.

        p = E/(4 (1 - nu^2)) (t/r)^3

    Parameters (scalars or arrays that broadcast):
        wall [mm]: t
        mean_radius [mm]: r, to the middle of the wall
        modulus [MPa]: E of the sleeve
        poisson [-]: nu of the sleeve
    Returns:
        [MPa] pressure, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a wall of two mean radii or more
    Validity: thin wall (about t < r/10), long tube, elastic; a sleeve inside a bore is better held than that.
    Source: Roark's Formulas for Stress and Strain, table 35 case 19a (looked up; edition not noted).

    >>> round(free_ring_pressure(0.26, 7.03, 70000.0, 0.33), 4)
    0.9935
    """
    t, r, e, nu = numbers(
        wall=(wall, POSITIVE), mean_radius=(mean_radius, POSITIVE), modulus=(modulus, POSITIVE),
        poisson=(poisson, POISSON),
    )  # fmt: skip
    require(t < 2 * r, "wall", wall, "must be below twice the mean radius")
    return plain(e / (4 * (1 - nu**2)) * (t / r) ** 3)


def backed_ring_pressure(
    wall: ArrayLike, outer_diameter: ArrayLike, modulus: ArrayLike, poisson: ArrayLike
) -> Result:
    """Outside pressure that buckles a thin ring inwards although a rigid bore holds it.

        p = E/(1 - nu^2) (t/D)^2.2

    Parameters (scalars or arrays that broadcast):
        wall [mm]: t
        outer_diameter [mm]: D, outside of the ring
        modulus [MPa]: E of the sleeve
        poisson [-]: nu of the sleeve
    Returns:
        [MPa] pressure, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a wall of half the diameter or more
    Validity: thin ring without gap in a rigid bore.
    Source: Glock's formula as usually quoted for liners (from memory, not verified).

    >>> round(backed_ring_pressure(0.26, 14.32, 70000.0, 0.33), 1)
    11.6
    """
    t, do, e, nu = numbers(
        wall=(wall, POSITIVE), outer_diameter=(outer_diameter, POSITIVE), modulus=(modulus, POSITIVE),
        poisson=(poisson, POISSON),
    )  # fmt: skip
    require(t < do / 2, "wall", wall, "must be below half the outer diameter")
    return plain(e / (1 - nu**2) * (t / do) ** 2.2)


def pressure_over_buckling(pressure: ArrayLike, buckling_pressure: ArrayLike) -> Result:
    """Contact pressure as a share of the pressure that buckles the sleeve.

        ratio = p / p_buckling

    Parameters (scalars or arrays that broadcast):
        pressure [MPa]: p, contact pressure; 0 for a bonded sleeve
        buckling_pressure [MPa]: of free_ring_pressure or backed_ring_pressure
    Returns:
        [-] ratio, above 1 = buckles, broadcast shape
    Raises:
        ParameterError: a value not finite or negative, a buckling pressure of 0
    Validity: as the buckling formula used.
    Source: definition.

    >>> round(pressure_over_buckling(3.1427, 0.9935), 2)
    3.16
    """
    p, limit = numbers(pressure=(pressure, NOT_NEGATIVE), buckling_pressure=(buckling_pressure, POSITIVE))
    return plain(np.asarray(p / limit))
