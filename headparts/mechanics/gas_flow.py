"""Gas path of a poppet valve: opening by lift in three stages, areas, speeds, Mach index."""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import (
    ANGLE,
    NOT_NEGATIVE,
    POSITIVE,
    ArrayLike,
    FloatArray,
    Result,
    numbers,
    plain,
    require,
    together,
)


def _seat(
    seat_outer: ArrayLike, radial_width: ArrayLike, angle: ArrayLike
) -> tuple[FloatArray, FloatArray, FloatArray]:
    d, w, beta = numbers(
        seat_outer=(seat_outer, POSITIVE), radial_width=(radial_width, POSITIVE), angle=(angle, ANGLE)
    )
    require(2 * w < d, "radial_width", radial_width, "must be below half the seat's outer diameter")
    return d, w, np.radians(beta)


def first_stage_lift(radial_width: ArrayLike, angle: ArrayLike) -> Result:
    """Lift up to which the opening is a cone square to the seat.

        L1 = w/(sin b cos b)

    Parameters (scalars or arrays that broadcast):
        radial_width [mm]: w, width of the seat seen along the valve axis
        angle [deg]: b, of the seat from the plane square to the valve axis
    Returns:
        [mm] lift, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: single-angle seat.
    Source: Heywood, Internal Combustion Engine Fundamentals, sec. 6.3.2 (from memory).

    >>> round(first_stage_lift(0.7, 45.0), 6)
    1.4
    """
    w, beta = numbers(radial_width=(radial_width, POSITIVE), angle=(angle, ANGLE))
    b = np.radians(beta)
    return plain(w / (np.sin(b) * np.cos(b)))


def seat_opening_area(
    lift: ArrayLike, seat_outer: ArrayLike, radial_width: ArrayLike, angle: ArrayLike
) -> Result:
    """Least area between valve and seat, not limited by the throat (stages 1 and 2).

        L <= L1:  A = pi L cos b (D - 2 w + (L/2) sin 2b)
        L >  L1:  A = pi (D - w) sqrt((L - w tan b)^2 + w^2)

    Parameters (scalars or arrays that broadcast):
        lift [mm]: L, 0 or more
        seat_outer [mm]: D, outer diameter of the seat
        radial_width [mm]: w, width of the seat seen along the valve axis (width along the cone times cos b)
        angle [deg]: b, of the seat from the plane square to the valve axis
    Returns:
        [mm2] area, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a seat wider than its radius
    Validity: single-angle seat and face of one angle; geometry, no flow coefficient; both branches meet at
        L1.
    Source: Heywood, Internal Combustion Engine Fundamentals, sec. 6.3.2 (from memory; continuity and a
        numeric search of the least frustum agree, see tests).

    >>> round(seat_opening_area(2.2, 12.6, 0.7, 45.0), 2)
    61.88
    """
    d, w, b = _seat(seat_outer, radial_width, angle)
    (h,) = numbers(lift=(lift, NOT_NEGATIVE))
    together(seat_outer=d, radial_width=w, angle=b, lift=h)
    first = np.pi * h * np.cos(b) * (d - 2 * w + h / 2 * np.sin(2 * b))
    second = np.pi * (d - w) * np.hypot(h - w * np.tan(b), w)
    return plain(np.where(h <= w / (np.sin(b) * np.cos(b)), first, second))


def throat_area(throat: ArrayLike, stem: ArrayLike) -> Result:
    """Free area of the throat round the stem (stage 3).

        A = pi/4 (Dp^2 - Ds^2)

    Parameters (scalars or arrays that broadcast):
        throat [mm]: Dp, diameter of the throat
        stem [mm]: Ds, diameter of the stem, 0 for none
    Returns:
        [mm2] area, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a stem that fills the throat
    Validity: geometry, no flow coefficient.
    Source: Heywood, Internal Combustion Engine Fundamentals, sec. 6.3.2 (from memory).

    >>> round(throat_area(11.0, 4.0), 2)
    82.47
    """
    dp, ds = numbers(throat=(throat, POSITIVE), stem=(stem, NOT_NEGATIVE))
    require(ds < dp, "stem", stem, "must be below the throat's diameter")
    return plain(np.pi / 4 * (dp**2 - ds**2))


def valve_opening_area(
    lift: ArrayLike, seat_outer: ArrayLike, radial_width: ArrayLike, angle: ArrayLike,
    throat: ArrayLike, stem: ArrayLike,
) -> Result:  # fmt: skip
    """Least area of the way past a lifted valve, all three stages.

        A = min(seat_opening_area, throat_area)

    Parameters (scalars or arrays that broadcast):
        lift [mm]: L, 0 or more
        seat_outer [mm]: D, outer diameter of the seat
        radial_width [mm]: w, width of the seat seen along the valve axis
        angle [deg]: b, of the seat from the plane square to the valve axis
        throat [mm]: Dp, diameter of the throat
        stem [mm]: Ds, diameter of the stem
    Returns:
        [mm2] area, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a seat wider than its radius, a stem that fills
        the throat
    Validity: as seat_opening_area.
    Source: Heywood, Internal Combustion Engine Fundamentals, sec. 6.3.2 (from memory).

    >>> round(valve_opening_area(5.0, 17.0, 1.0, 45.0, 15.0, 4.5), 2)
    160.81
    """
    seat, throat_ = seat_opening_area(lift, seat_outer, radial_width, angle), throat_area(throat, stem)
    together(seat=seat, throat=throat_)
    return plain(np.minimum(seat, throat_))


def throat_ruled_lift(
    seat_outer: ArrayLike, radial_width: ArrayLike, angle: ArrayLike, throat: ArrayLike, stem: ArrayLike
) -> Result:
    """Lift above which the throat, not the seat, is the narrowest place.

        L2 = sqrt(((Dp^2 - Ds^2)/(4 (D - w)))^2 - w^2) + w tan b

    Parameters (scalars or arrays that broadcast):
        seat_outer [mm]: D, outer diameter of the seat
        radial_width [mm]: w, width of the seat seen along the valve axis
        angle [deg]: b, of the seat from the plane square to the valve axis
        throat [mm]: Dp, diameter of the throat
        stem [mm]: Ds, diameter of the stem
    Returns:
        [mm] lift, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, or a throat so small that it rules in stage 1
    Validity: as seat_opening_area; the throat must be wide enough for L2 >= L1.
    Source: Heywood, Internal Combustion Engine Fundamentals, sec. 6.3.2 (from memory).

    >>> round(throat_ruled_lift(17.0, 1.0, 45.0, 15.0, 4.5), 3)
    4.039
    """
    d, w, b = _seat(seat_outer, radial_width, angle)
    area = np.asarray(throat_area(throat, stem))
    together(seat_outer=d, radial_width=w, angle=b, throat=area)
    slant = area / (np.pi * (d - w))
    require(slant >= w / np.sin(b), "throat", throat, "is so small that it rules before the second stage")
    return plain(np.sqrt(slant**2 - w**2) + w * np.tan(b))


def curtain_area(diameter: ArrayLike, lift: ArrayLike) -> Result:
    """Area of the plain cylinder between a flat valve and its seat.

        A = pi D L

    Parameters (scalars or arrays that broadcast):
        diameter [mm]: D, of the valve
        lift [mm]: L, 0 or more
    Returns:
        [mm2] area, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: an upper figure; an angled seat opens less.
    Source: geometry.

    >>> round(curtain_area(17.0, 2.0), 2)
    106.81
    """
    d, h = numbers(diameter=(diameter, POSITIVE), lift=(lift, NOT_NEGATIVE))
    return plain(np.pi * d * h)


def round_area(diameter: ArrayLike) -> Result:
    """Area of a round port.

        A = pi/4 d^2

    Parameters (scalars or arrays that broadcast):
        diameter [mm]: d
    Returns:
        [mm2] area, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: round port without stem in it.
    Source: geometry.

    >>> round(round_area(10.0), 2)
    78.54
    """
    (d,) = numbers(diameter=(diameter, POSITIVE))
    return plain(np.pi / 4 * d**2)


def useful_port_diameter(opening_area: ArrayLike) -> Result:
    """Port diameter of the same area as the valve's opening; a larger port gains nothing at that lift.

        d = sqrt(4 A/pi)

    Parameters (scalars or arrays that broadcast):
        opening_area [mm2]: A, least opening of the valve
    Returns:
        [mm] diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: compares areas only; flow coefficients differ a little.
    Source: continuity; common practice, no source.

    >>> round(useful_port_diameter(61.883), 3)
    8.876
    """
    (area,) = numbers(opening_area=(opening_area, POSITIVE))
    return plain(np.sqrt(4 * area / np.pi))


def mean_piston_speed(stroke: ArrayLike, speed: ArrayLike) -> Result:
    """Mean piston speed.

        Sp = 2 S n

    Parameters (scalars or arrays that broadcast):
        stroke [mm]: S
        speed [1/min]: n, of the crankshaft
    Returns:
        [m/s] mean piston speed, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: definition.
    Source: definition; Heywood, Internal Combustion Engine Fundamentals, ch. 2 (from memory).

    >>> round(mean_piston_speed(41.4, 8000.0), 3)
    11.04
    """
    s, n = numbers(stroke=(stroke, POSITIVE), speed=(speed, POSITIVE))
    return plain(2 * s / 1000 * n / 60)


def port_speed(bore: ArrayLike, port_diameter: ArrayLike, piston_speed: ArrayLike) -> Result:
    """Mean gas speed in a round port from the mean piston speed.

        v = Sp (bore/port)^2

    Parameters (scalars or arrays that broadcast):
        bore [mm]: of the cylinder
        port_diameter [mm]: of the port
        piston_speed [m/s]: Sp, mean piston speed
    Returns:
        [m/s] mean speed, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: incompressible continuity, one port, no overlap.
    Source: continuity.

    >>> round(port_speed(34.0, 10.5, mean_piston_speed(28.6, 7000.0)), 4)
    69.9716
    """
    b, d, v = numbers(
        bore=(bore, POSITIVE), port_diameter=(port_diameter, POSITIVE), piston_speed=(piston_speed, POSITIVE)
    )
    return plain(v * (b / d) ** 2)


def mach_index(
    bore: ArrayLike, valve_head: ArrayLike, piston_speed: ArrayLike,
    flow_coefficient: ArrayLike = 0.35, sound_speed: ArrayLike = 340.0,
) -> Result:  # fmt: skip
    """Inlet Mach index Z: mean gas speed at the valve as a share of the speed of sound.

        Z = (bore/head)^2 Sp/(Ci a)

    Parameters (scalars or arrays that broadcast):
        bore [mm]: of the cylinder
        valve_head [mm]: diameter of the valve head
        piston_speed [m/s]: Sp, mean piston speed
        flow_coefficient [-]: Ci, mean over the opening; 0.35 when not measured
        sound_speed [m/s]: a, at the inlet
    Returns:
        [-] index; filling falls off above about 0.5 to 0.6, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: four-stroke inlet valves of usual lift and timing.
    Source: Taylor, The Internal-Combustion Engine in Theory and Practice, vol. 1 ch. 6 (from memory; form
        also seen on a public formula page).

    >>> round(mach_index(39.0, 17.0, 11.04, 0.32, 343.0), 4)
    0.5294
    """
    b, d, v, ci, a = numbers(
        bore=(bore, POSITIVE), valve_head=(valve_head, POSITIVE), piston_speed=(piston_speed, POSITIVE),
        flow_coefficient=(flow_coefficient, POSITIVE), sound_speed=(sound_speed, POSITIVE),
    )  # fmt: skip
    return plain((b / d) ** 2 * v / (ci * a))


def area_gain(new_diameter: ArrayLike, old_diameter: ArrayLike) -> Result:
    """Area gained by opening a round port, as a share of the old area.

        gain = (new/old)^2 - 1

    Parameters (scalars or arrays that broadcast):
        new_diameter [mm]: of the port as opened
        old_diameter [mm]: of the port before
    Returns:
        [-] gain, negative when narrower, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: round ports.
    Source: geometry.

    >>> round(area_gain(6.8, 5.5), 4)
    0.5286
    """
    new, old = numbers(new_diameter=(new_diameter, POSITIVE), old_diameter=(old_diameter, POSITIVE))
    return plain((new / old) ** 2 - 1)
