"""Places along the valve axis that follow from seat and valve: seat edges, head underside, tip, gap to the
piston.

``s`` counts along the valve axis from the gas face of the bushing, positive towards the rocker; the seat's
angle is measured from the plane square to the axis.
"""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import (
    ANGLE,
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

_TILT = Bound(0.0, 90.0, high_included=False, words="must be an angle from 0 to below 90 degrees")


def seat_inner_diameter(seat_outer: ArrayLike, width: ArrayLike, angle: ArrayLike) -> Result:
    """Inner diameter of a seat.

        di = outer - 2 width cos(angle)

    Parameters (scalars or arrays that broadcast):
        seat_outer [mm]: outer diameter of the seat
        width [mm]: along the cone
        angle [deg]: of the seat, from the plane square to the valve axis
    Returns:
        [mm] diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a seat that leaves no hole
    Validity: geometry.
    Source: geometry.

    >>> round(seat_inner_diameter(14.1, 1.0, 45.0), 6)
    12.685786
    """
    do, w, a = numbers(seat_outer=(seat_outer, POSITIVE), width=(width, POSITIVE), angle=(angle, ANGLE))
    inner = do - 2 * w * np.cos(np.radians(a))
    require(inner > 0, "width", width, "leaves no hole inside the seat")
    return plain(inner)


def seat_inner_edge(s_outer: ArrayLike, width: ArrayLike, angle: ArrayLike) -> Result:
    """Place of the seat's inner edge along the valve axis.

        s_in = s_outer + width sin(angle)

    Parameters (scalars or arrays that broadcast):
        s_outer [mm]: place of the outer edge
        width [mm]: along the cone
        angle [deg]: of the seat, from the plane square to the valve axis
    Returns:
        [mm] place, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: geometry.
    Source: geometry.

    >>> round(seat_inner_edge(0.3, 1.0, 45.0), 6)
    1.007107
    """
    s, w, a = numbers(s_outer=(s_outer, ANY), width=(width, POSITIVE), angle=(angle, ANGLE))
    return plain(s + w * np.sin(np.radians(a)))


def head_underside(
    s_outer: ArrayLike, head: ArrayLike, seat_outer: ArrayLike, angle: ArrayLike, margin: ArrayLike
) -> Result:
    """Place of the closed valve head's lower face along the valve axis.

        s_under = s_outer - (head - outer)/2 tan(angle) - margin

    Parameters (scalars or arrays that broadcast):
        s_outer [mm]: place of the seat's outer edge
        head [mm]: diameter of the valve head
        seat_outer [mm]: outer diameter of the seat
        angle [deg]: of the seat, from the plane square to the valve axis
        margin [mm]: height of the head's cylindrical edge
    Returns:
        [mm] place, negative = below the bushing's gas face, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a head smaller than its seat
    Validity: face of the valve at the seat's angle.
    Source: geometry.

    >>> round(head_underside(0.3, 14.5, 14.1, 45.0, 0.9), 6)
    -0.8
    """
    s, d, do, a, m = numbers(
        s_outer=(s_outer, ANY), head=(head, POSITIVE), seat_outer=(seat_outer, POSITIVE),
        angle=(angle, ANGLE), margin=(margin, NOT_NEGATIVE),
    )  # fmt: skip
    require(d >= do, "head", head, "must not be smaller than the seat's outer diameter")
    return plain(s - (d - do) / 2 * np.tan(np.radians(a)) - m)


def tip_place(s_outer: ArrayLike, width: ArrayLike, angle: ArrayLike, gauge_to_tip: ArrayLike) -> Result:
    """Place of the valve tip along the valve axis, counted from the seat's mid diameter.

        tip = s_outer + width sin(angle)/2 + gauge to tip

    Parameters (scalars or arrays that broadcast):
        s_outer [mm]: place of the seat's outer edge
        width [mm]: along the cone
        angle [deg]: of the seat, from the plane square to the valve axis
        gauge_to_tip [mm]: from the seat's mid diameter to the stem's tip
    Returns:
        [mm] place, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: valve and seat touch at the middle of the seat.
    Source: geometry.

    >>> round(tip_place(0.3, 1.0, 45.0, 49.25), 6)
    49.903553
    """
    s, w, a, g = numbers(
        s_outer=(s_outer, ANY), width=(width, POSITIVE), angle=(angle, ANGLE),
        gauge_to_tip=(gauge_to_tip, POSITIVE),
    )  # fmt: skip
    return plain(s + w * np.sin(np.radians(a)) / 2 + g)


def lowest_edge(seat_height: ArrayLike, s_under: ArrayLike, tilt: ArrayLike, head: ArrayLike) -> Result:
    """Height of the lowest edge of a closed, tilted valve head above the joint face.

        z = z0 + s_under cos(tilt) - head/2 sin(tilt)

    Parameters (scalars or arrays that broadcast):
        seat_height [mm]: z0, height of the point s = 0 of the valve axis above the joint face
        s_under [mm]: place of the head's lower face along the valve axis
        tilt [deg]: of the valve axis from the joint face's normal
        head [mm]: diameter of the valve head
    Returns:
        [mm] height, negative = below the joint face, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: flat underside; the middle of the head lies higher than this and is no measure of the gap.
    Source: geometry.

    >>> round(lowest_edge(4.6, -0.8, 15.0, 19.5), 4)
    1.3038
    """
    z, s, t, d = numbers(
        seat_height=(seat_height, ANY), s_under=(s_under, ANY), tilt=(tilt, _TILT), head=(head, POSITIVE)
    )
    a = np.radians(t)
    return plain(z + s * np.cos(a) - d / 2 * np.sin(a))


def piston_gap(
    lowest_edge_height: ArrayLike, gasket: ArrayLike, deck: ArrayLike, lift_at_tdc: ArrayLike,
    tilt: ArrayLike, gasket_u: ArrayLike = 0.0, deck_u: ArrayLike = 0.0,
) -> Result:  # fmt: skip
    """Gap between the lowest edge of the valve head and a flat piston at top dead centre.

        gap = edge + gasket - u + deck - u - lift cos(tilt)

    Parameters (scalars or arrays that broadcast):
        lowest_edge_height [mm]: of the closed valve above the joint face
        gasket [mm]: compressed thickness
        deck [mm]: piston below the cylinder's top at dead centre, negative = above
        lift_at_tdc [mm]: of the valve at top dead centre, along its axis
        tilt [deg]: of the valve axis from the joint face's normal
        gasket_u [mm]: half-width of the gasket's thickness
        deck_u [mm]: half-width of the deck
    Returns:
        [mm] gap, negative when they meet, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: flat piston, no pockets, no stretch of rod and bearings.
    Source: geometry.

    >>> round(piston_gap(1.3037768, 1.0, 0.4, 1.3, 15.0), 3)
    1.448
    """
    z, g, k, up, t, gu, ku = numbers(
        lowest_edge_height=(lowest_edge_height, ANY), gasket=(gasket, NOT_NEGATIVE), deck=(deck, ANY),
        lift_at_tdc=(lift_at_tdc, NOT_NEGATIVE), tilt=(tilt, _TILT), gasket_u=(gasket_u, NOT_NEGATIVE),
        deck_u=(deck_u, NOT_NEGATIVE),
    )  # fmt: skip
    return plain(z + g - gu + k - ku - up * np.cos(np.radians(t)))
