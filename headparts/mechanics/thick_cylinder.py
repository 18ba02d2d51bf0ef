"""Stresses and movements of one thick ring under pressure at its bore and its outside (Lame)."""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import (
    ANY,
    NOT_NEGATIVE,
    POISSON,
    POSITIVE,
    ArrayLike,
    FloatArray,
    Result,
    numbers,
    plain,
    require,
)


def _ring(
    radius: ArrayLike,
    inner: ArrayLike,
    outer: ArrayLike,
    bore_pressure: ArrayLike,
    outside_pressure: ArrayLike,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    r, a, b, p, q = numbers(
        radius=(radius, POSITIVE), inner_radius=(inner, NOT_NEGATIVE), outer_radius=(outer, POSITIVE),
        bore_pressure=(bore_pressure, ANY), outside_pressure=(outside_pressure, ANY),
    )  # fmt: skip
    require(a < b, "inner_radius", inner, "must be below outer_radius")
    require((r >= a * (1 - 1e-12)) & (r <= b * (1 + 1e-12)), "radius", radius, "must lie in the ring's metal")
    require(
        (a > 0) | (p == 0), "bore_pressure", bore_pressure, "must be 0 for a solid shaft (inner_radius 0)"
    )
    wall = b**2 - a**2
    return r, (p * a**2 - q * b**2) / wall, (p - q) * a**2 * b**2 / wall


def hoop_stress(
    radius: ArrayLike, inner_radius: ArrayLike, outer_radius: ArrayLike,
    bore_pressure: ArrayLike = 0.0, outside_pressure: ArrayLike = 0.0,
) -> Result:  # fmt: skip
    """Hoop (tangential) stress in a thick ring at a radius, tension positive.

        s_t = (p a^2 - q b^2)/(b^2 - a^2) + (p - q) a^2 b^2 / ((b^2 - a^2) r^2)

    Parameters (scalars or arrays that broadcast):
        radius [mm]: where, inner_radius <= radius <= outer_radius, above 0
        inner_radius [mm]: a, 0 for a solid shaft
        outer_radius [mm]: b, above a
        bore_pressure [MPa]: p, on the bore, pressing positive
        outside_pressure [MPa]: q, on the outside, pressing positive
    Returns:
        [MPa] hoop stress, broadcast shape
    Raises:
        ParameterError: a value not finite, a ring without wall, a radius outside the metal
    Validity: elastic, round, uniform ring; the same in plane stress and plane strain.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., eq. 3-49 (number from
        memory, formula confirmed on its printed solutions, see tests/published).

    >>> round(hoop_stress(0.5, 0.5, 1.0, bore_pressure=22500.0), 3)
    37500.0
    """
    r, mean, swing = _ring(radius, inner_radius, outer_radius, bore_pressure, outside_pressure)
    return plain(mean + swing / r**2)


def radial_stress(
    radius: ArrayLike, inner_radius: ArrayLike, outer_radius: ArrayLike,
    bore_pressure: ArrayLike = 0.0, outside_pressure: ArrayLike = 0.0,
) -> Result:  # fmt: skip
    """Radial stress in a thick ring at a radius, tension positive.

        s_r = (p a^2 - q b^2)/(b^2 - a^2) - (p - q) a^2 b^2 / ((b^2 - a^2) r^2)

    Parameters (scalars or arrays that broadcast):
        radius [mm]: where, inner_radius <= radius <= outer_radius, above 0
        inner_radius [mm]: a, 0 for a solid shaft
        outer_radius [mm]: b, above a
        bore_pressure [MPa]: p, on the bore, pressing positive
        outside_pressure [MPa]: q, on the outside, pressing positive
    Returns:
        [MPa] radial stress, minus the pressure at a loaded surface, broadcast shape
    Raises:
        ParameterError: a value not finite, a ring without wall, a radius outside the metal
    Validity: elastic, round, uniform ring; the same in plane stress and plane strain.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., eq. 3-49 (number from
        memory, formula confirmed on its printed solutions, see tests/published).

    >>> radial_stress(10.0, 10.0, 20.0, bore_pressure=30.0)
    -30.0
    """
    r, mean, swing = _ring(radius, inner_radius, outer_radius, bore_pressure, outside_pressure)
    return plain(mean - swing / r**2)


def tresca_stress(first: ArrayLike, second: ArrayLike, third: ArrayLike = 0.0) -> Result:
    """Tresca equivalent stress: the greatest difference of the three principal stresses.

        s = max(s1, s2, s3) - min(s1, s2, s3)

    Parameters (scalars or arrays that broadcast):
        first [MPa]: principal stress, tension positive
        second [MPa]: principal stress
        third [MPa]: principal stress; 0 (free ends) when not given
    Returns:
        [MPa] equivalent stress, never negative, broadcast shape
    Raises:
        ParameterError: a value that is not finite
    Validity: ductile metal; shear stresses between the three directions are zero.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., ch. 5 (from memory).

    >>> tresca_stress(100.0, -40.0)
    140.0
    """
    parts = np.broadcast_arrays(*numbers(first=(first, ANY), second=(second, ANY), third=(third, ANY)))
    return plain(np.maximum.reduce(parts) - np.minimum.reduce(parts))


def von_mises_stress(first: ArrayLike, second: ArrayLike, third: ArrayLike = 0.0) -> Result:
    """Von Mises equivalent stress of three principal stresses.

        s = sqrt(((s1 - s2)^2 + (s2 - s3)^2 + (s3 - s1)^2) / 2)

    Parameters (scalars or arrays that broadcast):
        first [MPa]: principal stress, tension positive
        second [MPa]: principal stress
        third [MPa]: principal stress; 0 (free ends) when not given
    Returns:
        [MPa] equivalent stress, never negative, broadcast shape
    Raises:
        ParameterError: a value that is not finite
    Validity: ductile metal; shear stresses between the three directions are zero.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., ch. 5 (from memory;
        confirmed on the printed solution of problem 5-35, see tests/published).

    >>> round(von_mises_stress(100.0, -100.0), 3)
    173.205
    """
    s1, s2, s3 = numbers(first=(first, ANY), second=(second, ANY), third=(third, ANY))
    return plain(np.sqrt(((s1 - s2) ** 2 + (s2 - s3) ** 2 + (s3 - s1) ** 2) / 2))


def diameter_change(
    diameter: ArrayLike, inner_diameter: ArrayLike, outer_diameter: ArrayLike, modulus: ArrayLike,
    poisson: ArrayLike, bore_pressure: ArrayLike = 0.0, outside_pressure: ArrayLike = 0.0,
) -> Result:  # fmt: skip
    """Change of any diameter of a thick ring with free ends, growth positive.

        change = diameter (s_t - nu s_r) / E     with the stresses at that diameter

    Parameters (scalars or arrays that broadcast):
        diameter [mm]: where, in the metal of the ring
        inner_diameter [mm]: bore of the ring, 0 for a solid shaft
        outer_diameter [mm]: outside of the ring
        modulus [MPa]: E of the ring
        poisson [-]: nu of the ring
        bore_pressure [MPa]: on the bore, pressing positive
        outside_pressure [MPa]: on the outside, pressing positive
    Returns:
        [mm] change on the diameter, negative where it closes, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a ring without wall, a diameter outside the metal
    Validity: elastic, plane stress (free ends).
    Source: Hooke's law on the Lame stresses; Budynas and Nisbett, Shigley's Mechanical Engineering Design,
        8th ed., sec. 3-14 to 3-16 (from memory).

    >>> round(diameter_change(5.0, 5.0, 7.0, 120000.0, 0.34, outside_pressure=91.943), 6)
    -0.015643
    """
    d, di, do, e, nu, p, q = numbers(
        diameter=(diameter, POSITIVE), inner_diameter=(inner_diameter, NOT_NEGATIVE),
        outer_diameter=(outer_diameter, POSITIVE), modulus=(modulus, POSITIVE), poisson=(poisson, POISSON),
        bore_pressure=(bore_pressure, ANY), outside_pressure=(outside_pressure, ANY),
    )  # fmt: skip
    hoop = hoop_stress(d / 2, di / 2, do / 2, p, q)
    radial = radial_stress(d / 2, di / 2, do / 2, p, q)
    return plain(d * (hoop - nu * radial) / e)
