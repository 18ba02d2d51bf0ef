"""Does the new cut clean up the old one, and how much may a bushing be turned out of its place?"""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import (
    ANY,
    NOT_NEGATIVE,
    POSITIVE,
    ArrayLike,
    Bound,
    Result,
    numbers,
    plain,
    require,
)

_TURN = Bound(-90.0, 90.0, words="must be an angle from -90 to 90 degrees")


def clean_up(
    new_diameter: ArrayLike, old_diameter: ArrayLike, offset: ArrayLike, half_width: ArrayLike = 0.0
) -> Result:
    """Least metal a new bore takes off an old one that lies off its axis.

        left = (new - old)/2 - offset - u

    Parameters (scalars or arrays that broadcast):
        new_diameter [mm]: of the new bore
        old_diameter [mm]: of the old bore
        offset [mm]: greatest distance of old and new axis over the bore's length
        half_width [mm]: u, sum of the half-widths of position
    Returns:
        [mm] radial stock at the worst side, negative = a crescent of the old bore stays, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: round bores.
    Source: geometry; common practice, no source.

    >>> round(clean_up(15.6, 15.0, 0.35), 6)
    -0.05
    """
    new, old, off, u = numbers(
        new_diameter=(new_diameter, POSITIVE), old_diameter=(old_diameter, POSITIVE),
        offset=(offset, NOT_NEGATIVE), half_width=(half_width, NOT_NEGATIVE),
    )  # fmt: skip
    return plain((new - old) / 2 - off - u)


def smallest_new_diameter(
    old_diameter: ArrayLike, offset: ArrayLike, half_width: ArrayLike, allowance: ArrayLike
) -> Result:
    """Smallest new bore that still takes an allowance off the old one all round.

        new = old + 2 (offset + u + allowance)

    Parameters (scalars or arrays that broadcast):
        old_diameter [mm]: of the old bore
        offset [mm]: greatest distance of old and new axis over the bore's length
        half_width [mm]: u, sum of the half-widths of position
        allowance [mm]: radial metal to take at the worst side
    Returns:
        [mm] diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: round bores.
    Source: geometry; common practice, no source.

    >>> round(smallest_new_diameter(15.0, 0.35, 0.08, 0.10), 6)
    16.06
    """
    old, off, u, more = numbers(
        old_diameter=(old_diameter, POSITIVE), offset=(offset, NOT_NEGATIVE),
        half_width=(half_width, NOT_NEGATIVE), allowance=(allowance, NOT_NEGATIVE),
    )  # fmt: skip
    return plain(old + 2 * (off + u + more))


def clock_step(radius: ArrayLike, turn: ArrayLike) -> Result:
    """Step between a window in a bushing and its port when the bushing sits turned.

        step = r sin(turn)

    Parameters (scalars or arrays that broadcast):
        radius [mm]: r, of the bushing's body
        turn [deg]: out of its place
    Returns:
        [mm] sideways step at the bushing's outside, sign of the turn, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: window in line with the port when the turn is 0.
    Source: geometry.

    >>> round(clock_step(8.25, 2.0), 4)
    0.2879
    """
    r, a = numbers(radius=(radius, POSITIVE), turn=(turn, _TURN))
    return plain(r * np.sin(np.radians(a)))


def clock_tolerance(radius: ArrayLike, stock: ArrayLike, other_error: ArrayLike = 0.0) -> Result:
    """Turn out of place that the finishing cut of a pre-drilled window still cleans up.

        turn = asin((stock - other)/r)

    Parameters (scalars or arrays that broadcast):
        radius [mm]: r, of the bushing's body
        stock [mm]: radial, (finish - pilot)/2
        other_error [mm]: sideways, taken off the stock first
    Returns:
        [deg] turn to either side, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, an error above the stock, a stock above the radius
    Validity: as clock_step.
    Source: geometry.

    >>> round(clock_tolerance(8.25, 0.5), 3), round(clock_tolerance(8.25, 0.5, 0.2), 3)
    (3.475, 2.084)
    """
    r, stock_, other = numbers(
        radius=(radius, POSITIVE), stock=(stock, NOT_NEGATIVE), other_error=(other_error, NOT_NEGATIVE)
    )
    require(
        other <= stock_, "other_error", other_error, "must not exceed the stock: nothing is left for a turn"
    )
    require(stock_ <= r, "stock", stock, "must not exceed the radius")
    return plain(np.degrees(np.arcsin((stock_ - other) / r)))


def stock_left(
    finish_diameter: ArrayLike, pilot_diameter: ArrayLike, start_error: ArrayLike, body_diameter: ArrayLike,
    turn: ArrayLike,
) -> Result:  # fmt: skip
    """Radial metal the finishing cut of a port still finds at the worst side of a pre-drilled window.

        left = (finish - pilot)/2 - start - body/2 sin(turn)

    Parameters (scalars or arrays that broadcast):
        finish_diameter [mm]: of the port
        pilot_diameter [mm]: of the window drilled before pressing
        start_error [mm]: half-width of the drill's start
        body_diameter [mm]: of the bushing
        turn [deg]: half-width of the bushing's clocking, 0 or more
    Returns:
        [mm] radial stock, 0 or less = the pilot may stay visible, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: as clock_step.
    Source: geometry.

    >>> round(stock_left(10.5, 9.5, 0.1, 16.5, 1.0), 6)
    0.256018
    """
    finish, pilot, start, body, a = numbers(
        finish_diameter=(finish_diameter, POSITIVE), pilot_diameter=(pilot_diameter, POSITIVE),
        start_error=(start_error, NOT_NEGATIVE), body_diameter=(body_diameter, POSITIVE),
        turn=(turn, Bound(0.0, 90.0, words="must be an angle from 0 to 90 degrees")),
    )  # fmt: skip
    return plain((finish - pilot) / 2 - start - body / 2 * np.sin(np.radians(a)))


def joint_lip(
    upstream_diameter: ArrayLike, downstream_diameter: ArrayLike, position_error: ArrayLike
) -> Result:
    """Edge that stands into the flow where two round channels meet.

        lip = position error - (r_downstream - r_upstream)

    Parameters (scalars or arrays that broadcast):
        upstream_diameter [mm]: of the channel the gas comes from
        downstream_diameter [mm]: of the channel it goes into
        position_error [mm]: half-width of the two centres' offset
    Returns:
        [mm] height of the lip at the worst side, 0 or less = none, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: round channels in one line.
    Source: geometry; common practice, no source.

    >>> round(joint_lip(10.5, 10.5, 0.15), 6), round(joint_lip(9.0, 9.5, 0.2), 6)
    (0.15, -0.05)
    """
    up, down, error = numbers(
        upstream_diameter=(upstream_diameter, POSITIVE), downstream_diameter=(downstream_diameter, POSITIVE),
        position_error=(position_error, ANY),
    )  # fmt: skip
    return plain(error - (down - up) / 2)
