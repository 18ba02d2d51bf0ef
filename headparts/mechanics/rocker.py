"""Rocker geometry after the valve tips have moved: spacer under the post, pushrod, adjuster, pad sweep.

``tip_rise`` is how much higher the valve tip stands than before, along the direction in which the post is
lifted; ``ratio`` R is valve arm over pushrod arm; ``thickness`` t is the spacer under the post.
"""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import (
    ANY,
    NOT_NEGATIVE,
    POSITIVE,
    ArrayLike,
    FloatArray,
    Result,
    numbers,
    plain,
    require,
)


def rocker_ratio(valve_arm: ArrayLike, pushrod_arm: ArrayLike) -> Result:
    """Rocker ratio.

        R = valve arm/pushrod arm

    Parameters (scalars or arrays that broadcast):
        valve_arm [mm]: horizontal distance from pivot to valve tip
        pushrod_arm [mm]: horizontal distance from pivot to pushrod cup
    Returns:
        [-] ratio, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: arms measured square to valve and pushrod at mid lift.
    Source: definition.

    >>> round(rocker_ratio(11.4, 9.5), 6)
    1.2
    """
    valve, pushrod = numbers(valve_arm=(valve_arm, POSITIVE), pushrod_arm=(pushrod_arm, POSITIVE))
    return plain(valve / pushrod)


def spacer_lower_bound(tip_rise: ArrayLike, ratio: ArrayLike) -> Result:
    """Spacer thickness that keeps the lash with the old pushrod.

        t = dh/(1 + R)

    Parameters (scalars or arrays that broadcast):
        tip_rise [mm]: dh, of the valve tip
        ratio [-]: R, rocker ratio
    Returns:
        [mm] thickness, broadcast shape; less than this needs a shorter pushrod
    Raises:
        ParameterError: a value not finite, a ratio not positive
    Validity: small turn of the rocker; straight rocker exact.
    Source: kinematics of a lever on a lifted pivot.

    >>> round(spacer_lower_bound(3.2, 1.2), 4)
    1.4545
    """
    dh, r = numbers(tip_rise=(tip_rise, ANY), ratio=(ratio, POSITIVE))
    return plain(dh / (1 + r))


def lash_change(
    thickness: ArrayLike, tip_rise: ArrayLike, ratio: ArrayLike, pushrod_change: ArrayLike = 0.0
) -> Result:
    """Change of the valve lash by a spacer, a risen tip and a new pushrod, adjuster untouched.

        change = t (1 + R) - dh - R c

    Parameters (scalars or arrays that broadcast):
        thickness [mm]: t, of the spacer, 0 for none
        tip_rise [mm]: dh, of the valve tip
        ratio [-]: R, rocker ratio
        pushrod_change [mm]: c, new pushrod length minus old
    Returns:
        [mm] change of lash at the valve, positive = more lash, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: small turn of the rocker; straight rocker exact.
    Source: kinematics of a lever on a lifted pivot.

    >>> round(lash_change(3.2, 3.2, 1.2), 4)
    3.84
    """
    t, dh, r, c = numbers(
        thickness=(thickness, NOT_NEGATIVE), tip_rise=(tip_rise, ANY), ratio=(ratio, POSITIVE),
        pushrod_change=(pushrod_change, ANY),
    )  # fmt: skip
    return plain(t * (1 + r) - dh - r * c)


def pushrod_change_needed(thickness: ArrayLike, tip_rise: ArrayLike, ratio: ArrayLike) -> Result:
    """Change of pushrod length that keeps the lash with a given spacer.

        c = (t (1 + R) - dh)/R

    Parameters (scalars or arrays that broadcast):
        thickness [mm]: t, of the spacer, 0 for none
        tip_rise [mm]: dh, of the valve tip
        ratio [-]: R, rocker ratio
    Returns:
        [mm] change of length, positive = longer, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: small turn of the rocker; straight rocker exact.
    Source: kinematics of a lever on a lifted pivot.

    >>> round(pushrod_change_needed(2.0, 3.2, 1.2), 4)
    1.0
    """
    (r,) = numbers(ratio=(ratio, POSITIVE))
    return plain(np.asarray(lash_change(thickness, tip_rise, ratio)) / r)


def adjuster_need(
    thickness: ArrayLike, tip_rise: ArrayLike, ratio: ArrayLike, pushrod_change: ArrayLike,
    *, at_valve_end: bool = False,
) -> Result:  # fmt: skip
    """How far the adjuster must be turned from its old place to bring the lash back.

        need = |(t (1 + R) - dh)/R - c|,   times R when the adjuster sits at the valve end

    Parameters (scalars or arrays that broadcast):
        thickness [mm]: t, of the spacer, 0 for none
        tip_rise [mm]: dh, of the valve tip
        ratio [-]: R, rocker ratio
        pushrod_change [mm]: c, new pushrod length minus old
        at_valve_end [-]: True when the adjuster sits at the valve end of the rocker
    Returns:
        [mm] travel, 0 or more, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: small turn of the rocker; straight rocker exact.
    Source: kinematics of a lever on a lifted pivot.

    >>> round(adjuster_need(2.0, 3.203553, 1.2, 1.0), 6)
    0.002961
    """
    need = np.abs(np.asarray(lash_change(thickness, tip_rise, ratio, pushrod_change)))
    return plain(need if at_valve_end else need / np.asarray(ratio, dtype=np.float64))


def _heights(
    arm: ArrayLike, lowest: ArrayLike, highest: ArrayLike
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Arm, and the distances nearest to and farthest from the pivot's height between two heights."""
    b, low, high = numbers(arm=(arm, POSITIVE), lowest=(lowest, ANY), highest=(highest, ANY))
    require(low <= high, "lowest", lowest, "must not exceed highest")
    require(
        (np.abs(low) < b) & (np.abs(high) < b), "highest", highest, "both heights must stay within the arm"
    )
    return b, np.clip(0.0, low, high), np.maximum(np.abs(low), np.abs(high))


def pad_sweep(arm: ArrayLike, lowest: ArrayLike, highest: ArrayLike) -> Result:
    """Sideways travel of a point on a turning arm between two heights above or below the pivot.

        sweep = max - min of sqrt(b^2 - h^2) for h from lowest to highest

    Parameters (scalars or arrays that broadcast):
        arm [mm]: b, length from pivot to the point
        lowest [mm]: height of the point at one end of its travel, above the pivot positive
        highest [mm]: height at the other end, not below lowest
    Returns:
        [mm] travel square to the valve, 0 or more, broadcast shape
    Raises:
        ParameterError: a value not finite, lowest above highest, a height beyond the arm
    Validity: true turning of the arm, no small-angle formula; pad taken as a point on the arm.
    Source: geometry of the circle.

    >>> round(pad_sweep(11.4, -1.6, 1.6), 4), round(pad_sweep(11.4, -0.4, 2.8), 4)
    (0.1128, 0.3492)
    """
    b, nearest, farthest = _heights(arm, lowest, highest)
    return plain(np.sqrt(b**2 - nearest**2) - np.sqrt(b**2 - farthest**2))


def small_angle_sweep(arm: ArrayLike, lowest: ArrayLike, highest: ArrayLike) -> Result:
    """Sideways travel by the small-angle formula, for comparison with pad_sweep.

        sweep = (f^2 - n^2)/(2 b)     f, n = heights farthest from and nearest to the pivot, n = 0 when between

    Parameters (scalars or arrays that broadcast):
        arm [mm]: b, length from pivot to the point
        lowest [mm]: height of the point at one end of its travel, above the pivot positive
        highest [mm]: height at the other end, not below lowest
    Returns:
        [mm] travel square to the valve, 0 or more, broadcast shape
    Raises:
        ParameterError: a value not finite, lowest above highest, a height beyond the arm
    Validity: reads low: by 1 % at heights of 0.2 arms, 5 % at 0.43; pad_sweep is exact.
    Source: first term of the series of sqrt(b^2 - h^2).

    >>> round(small_angle_sweep(11.4, -1.6, 1.6), 4), round(small_angle_sweep(11.4, 1.6, 4.8), 4)
    (0.1123, 0.8982)
    """
    b, nearest, farthest = _heights(arm, lowest, highest)
    return plain((farthest**2 - nearest**2) / (2 * b))


def pad_path(arm: ArrayLike, closed_height: ArrayLike, lift: ArrayLike) -> Result:
    """Where the pad stands over the valve tip at a lift, by the true turning of the arm.

        x = sqrt(b^2 - (h - L)^2) - sqrt(b^2 - h^2)

    Parameters (scalars or arrays that broadcast):
        arm [mm]: b, from the pivot to the pad's point of contact; for a round pad to the middle of its arc
        closed_height [mm]: h, of that point above the pivot with the valve closed
        lift [mm]: L, of the valve, 0 or more: the point goes down by it
    Returns:
        [mm] shift square to the valve from where it stood closed, away from the pivot positive, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a height beyond the arm
    Validity: flat tip square to the valve; under a round pad the contact stays below the middle of the arc.
    Source: geometry of the circle.

    >>> [round(float(x), 4) for x in pad_path(11.4, 1.6, [0.0, 1.6, 3.2])]
    [0.0, 0.1128, 0.0]
    """
    b, h, up = numbers(arm=(arm, POSITIVE), closed_height=(closed_height, ANY), lift=(lift, NOT_NEGATIVE))
    inside = (np.abs(h) < b) & (np.abs(h - up) < b)
    require(inside, "closed_height", closed_height, "must stay within the arm, closed and lifted")
    return plain(np.sqrt(b**2 - (h - up) ** 2) - np.sqrt(b**2 - h**2))


def half_sweep(arm: ArrayLike, lift: ArrayLike, tip_rise: ArrayLike, thickness: ArrayLike) -> Result:
    """Half of the pad's sideways travel over the valve tip when the tip has risen more than the post.

        heights from -L/2 + (dh - t) to L/2 + (dh - t);   half = pad_sweep/2

    Parameters (scalars or arrays that broadcast):
        arm [mm]: b, from pivot to valve tip
        lift [mm]: L, of the valve
        tip_rise [mm]: dh, of the valve tip
        thickness [mm]: t, of the spacer under the post
    Returns:
        [mm] half of the travel, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a height beyond the arm
    Validity: the old geometry is taken as square to the valve at mid lift.
    Source: geometry of the circle.

    >>> round(half_sweep(11.4, 3.2, 3.203553, 2.0) / 3.97, 6)
    0.044094
    """
    b, h, dh, t = numbers(
        arm=(arm, POSITIVE),
        lift=(lift, POSITIVE),
        tip_rise=(tip_rise, ANY),
        thickness=(thickness, NOT_NEGATIVE),
    )
    return plain(np.asarray(pad_sweep(b, -h / 2 + (dh - t), h / 2 + (dh - t))) / 2)


def past_nut(
    stud_projection: ArrayLike,
    thickness: ArrayLike,
    post_height: ArrayLike,
    washer: ArrayLike,
    nut: ArrayLike,
) -> Result:
    """Thread of the post's stud that stands out above its nut.

        rest = projection - spacer - post - washer - nut

    Parameters (scalars or arrays that broadcast):
        stud_projection [mm]: of the stud above the head
        thickness [mm]: of the spacer, 0 for none
        post_height [mm]: of the rocker post
        washer [mm]: thickness, 0 for none
        nut [mm]: height
    Returns:
        [mm] thread past the nut, negative when the nut is not filled, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: one pitch or more should stand out.
    Source: arithmetic; common practice, no source.

    >>> round(past_nut(24.0, 2.0, 14.0, 1.2, 5.0), 6), round(past_nut(24.0, 3.2, 14.0, 1.2, 5.0), 6)
    (1.8, 0.6)
    """
    out, t, post, w, n = numbers(
        stud_projection=(stud_projection, POSITIVE), thickness=(thickness, NOT_NEGATIVE),
        post_height=(post_height, POSITIVE), washer=(washer, NOT_NEGATIVE), nut=(nut, POSITIVE),
    )  # fmt: skip
    return plain(out - t - post - w - n)


def circle_overlap(first_diameter: ArrayLike, second_diameter: ArrayLike, distance: ArrayLike) -> Result:
    """Common area of two oil holes as a share of the smaller one.

        area of the lens of two circles / area of the smaller circle

    Parameters (scalars or arrays that broadcast):
        first_diameter [mm]: of one hole
        second_diameter [mm]: of the other hole
        distance [mm]: between their centres
    Returns:
        [-] share, 0 when apart, 1 when the smaller lies inside the larger, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: holes square to the joint.
    Source: geometry of two circles.

    >>> round(circle_overlap(2.5, 2.5, 0.2), 5)
    0.89825
    """
    d1, d2, c = numbers(
        first_diameter=(first_diameter, POSITIVE), second_diameter=(second_diameter, POSITIVE),
        distance=(distance, NOT_NEGATIVE),
    )  # fmt: skip
    r, s = np.minimum(d1, d2) / 2, np.maximum(d1, d2) / 2
    gap = np.clip(c, s - r, s + r)
    gap = np.where(gap > 0, gap, 1.0)  # concentric equal circles: any value, the result is set below
    small = 2 * np.arccos(np.clip((gap**2 + r**2 - s**2) / (2 * gap * r), -1, 1))
    large = 2 * np.arccos(np.clip((gap**2 + s**2 - r**2) / (2 * gap * s), -1, 1))
    lens = (r**2 * (small - np.sin(small)) + s**2 * (large - np.sin(large))) / 2
    return plain(np.where(c <= s - r, 1.0, np.where(c >= r + s, 0.0, lens / (np.pi * r**2))))
