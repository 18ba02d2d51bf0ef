"""Stack-up of half-widths: the sure worst case and the root of squares."""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import ANY, NOT_NEGATIVE, ArrayLike, Result, numbers, plain, require


def worst_case(nominal: ArrayLike, half_widths: ArrayLike) -> Result:
    """Least value when every half-width goes the wrong way at once.

        worst = nominal - sum of u

    Parameters:
        nominal [mm]: scalar or array
        half_widths [mm]: array (n,) of half-widths, 0 or more, the same for all nominals
    Returns:
        [mm] worst case, shape of nominal
    Raises:
        ParameterError: a value not finite, a negative half-width, half_widths not one row
    Validity: a sure lower bound whatever the shifts have to do with each other.
    Source: arithmetic (triangle inequality).

    >>> round(worst_case(1.30, [0.35, 0.05, 0.10, 0.08, 0.05]), 4)
    0.67
    """
    (value,) = numbers(nominal=(nominal, ANY))
    (u,) = numbers(half_widths=(half_widths, NOT_NEGATIVE))
    require(u.ndim == 1, "half_widths", half_widths, "must be one row of numbers")
    return plain(value - np.sum(u))


def rss_case(nominal: ArrayLike, half_widths: ArrayLike) -> Result:
    """Likely least value when the half-widths have nothing to do with each other.

        rss = nominal - sqrt(sum of u^2)

    Parameters:
        nominal [mm]: scalar or array
        half_widths [mm]: array (n,) of half-widths, 0 or more, the same for all nominals
    Returns:
        [mm] root-sum-square case, shape of nominal
    Raises:
        ParameterError: a value not finite, a negative half-width, half_widths not one row
    Validity: independent shifts only; a core shift common to several cavities is not independent.
    Source: propagation of independent uncertainties; common practice, no source.

    >>> round(rss_case(1.30, [0.35, 0.05, 0.10, 0.08, 0.05]), 4)
    0.9207
    """
    (value,) = numbers(nominal=(nominal, ANY))
    (u,) = numbers(half_widths=(half_widths, NOT_NEGATIVE))
    require(u.ndim == 1, "half_widths", half_widths, "must be one row of numbers")
    return plain(value - np.sqrt(np.sum(u**2)))


def drill_drift(wander: ArrayLike, length: ArrayLike) -> Result:
    """Half-width by which a drill has wandered sideways at a depth.

        u = wander length

    Parameters (scalars or arrays that broadcast):
        wander [mm/mm]: sideways per depth
        length [mm]: depth from the start
    Returns:
        [mm] half-width, broadcast shape
    Raises:
        ParameterError: a value not finite or negative
    Validity: long drills, clear of the start.
    Source: common practice, no source.

    >>> round(drill_drift(0.004, 20.0), 4)
    0.08
    """
    slope, depth = numbers(wander=(wander, NOT_NEGATIVE), length=(length, NOT_NEGATIVE))
    return plain(slope * depth)
