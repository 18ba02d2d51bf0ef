"""Repair sleeve in its bore: least wall, gap or press of the limits, hot grip, area left, stud clearance."""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import ANY, NOT_NEGATIVE, POSITIVE, ArrayLike, Result, numbers, plain, require


def least_wall(
    outer_diameter: ArrayLike,
    inner_diameter: ArrayLike,
    outer_lower: ArrayLike = 0.0,
    inner_upper: ArrayLike = 0.0,
) -> Result:
    """Least wall of a sleeve within its tolerances.

        wall = (od + lower - id - upper)/2

    Parameters (scalars or arrays that broadcast):
        outer_diameter [mm]: nominal outside
        inner_diameter [mm]: nominal bore
        outer_lower [mm]: lower deviation of the outside, signed
        inner_upper [mm]: upper deviation of the bore, signed
    Returns:
        [mm] wall, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a bore not below the outside
    Validity: bore and outside concentric.
    Source: arithmetic.

    >>> round(least_wall(15.79, 15.0, -0.01, 0.02), 6)
    0.38
    """
    od, bore, low, up = numbers(
        outer_diameter=(outer_diameter, POSITIVE), inner_diameter=(inner_diameter, POSITIVE),
        outer_lower=(outer_lower, ANY), inner_upper=(inner_upper, ANY),
    )  # fmt: skip
    require(bore < od, "inner_diameter", inner_diameter, "must be below outer_diameter")
    return plain((od + low - bore - up) / 2)


def hot_grip(
    outer_lower_limit: ArrayLike, bore_upper_limit: ArrayLike, hub_cte: ArrayLike, sleeve_cte: ArrayLike,
    temperature: ArrayLike, bore: ArrayLike,
) -> Result:  # fmt: skip
    """Interference left of a pressed sleeve at its loose end when bore and sleeve are hot.

        grip = od lower limit - bore upper limit + bore (alpha_s - alpha_h) (T - 20)

    Parameters (scalars or arrays that broadcast):
        outer_lower_limit [mm]: smallest outside of the sleeve
        bore_upper_limit [mm]: largest bore
        hub_cte [1/K]: alpha_h, of the head
        sleeve_cte [1/K]: alpha_s, of the sleeve
        temperature [degC]: T, of both
        bore [mm]: nominal bore, for the expansion
    Returns:
        [mm] interference on the diameter, negative = loose, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: uniform temperature of both parts.
    Source: thermal expansion, reference temperature ISO 1.

    >>> round(hot_grip(14.32, 14.31, 22.0e-6, 23.4e-6, 170.0, 14.3), 6)
    0.013003
    """
    od, hole, ah, as_, t, d = numbers(
        outer_lower_limit=(outer_lower_limit, POSITIVE), bore_upper_limit=(bore_upper_limit, POSITIVE),
        hub_cte=(hub_cte, NOT_NEGATIVE), sleeve_cte=(sleeve_cte, NOT_NEGATIVE),
        temperature=(temperature, ANY), bore=(bore, POSITIVE),
    )  # fmt: skip
    return plain(od - hole + d * (as_ - ah) * (t - 20.0))


def rod_clearance(axis_gap: ArrayLike, sleeve_outer: ArrayLike, rod_diameter: ArrayLike) -> Result:
    """Clearance between a sleeve and a bolt or moving rod beside it, both endless and centred.

        clearance = gap - od/2 - rod/2

    Parameters (scalars or arrays that broadcast):
        axis_gap [mm]: least distance of the two axes
        sleeve_outer [mm]: outside of the sleeve
        rod_diameter [mm]: of the bolt, or of the moving part plus twice its radial play
    Returns:
        [mm] clearance, negative = they meet, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: the common perpendicular meets both within their lengths; else the distance of the solids
        counts.
    Source: geometry.

    >>> round(rod_clearance(11.34, 15.8, 8.0), 6)
    -0.56
    """
    gap, od, rod = numbers(
        axis_gap=(axis_gap, NOT_NEGATIVE),
        sleeve_outer=(sleeve_outer, POSITIVE),
        rod_diameter=(rod_diameter, POSITIVE),
    )
    return plain(np.asarray(gap - od / 2 - rod / 2))
