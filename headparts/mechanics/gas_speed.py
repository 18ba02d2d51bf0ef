"""Gas speed through any opening, the stage an opening is in, and how large valves are for their bore."""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import POSITIVE, ArrayLike, Result, numbers, plain
from headparts.mechanics.gas_flow import first_stage_lift, seat_opening_area, throat_area


def opening_stage(
    lift: ArrayLike, seat_outer: ArrayLike, radial_width: ArrayLike, angle: ArrayLike,
    throat: ArrayLike, stem: ArrayLike,
) -> Result:  # fmt: skip
    """Which of the three stages rules the opening at a lift: 1 and 2 between valve and seat, 3 the throat.

        3 where throat_area <= seat_opening_area, else 1 up to first_stage_lift, else 2

    Parameters (scalars or arrays that broadcast):
        lift [mm]: L, 0 or more
        seat_outer [mm]: D, outer diameter of the seat
        radial_width [mm]: w, width of the seat seen along the valve axis
        angle [deg]: b, of the seat from the plane square to the valve axis
        throat [mm]: Dp, diameter of the throat
        stem [mm]: Ds, diameter of the stem
    Returns:
        [-] 1, 2 or 3, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a seat wider than its radius, a stem that fills
        the throat
    Validity: as seat_opening_area.
    Source: Heywood, Internal Combustion Engine Fundamentals, sec. 6.3.2 (from memory).

    >>> opening_stage([0.5, 2.2, 3.2], 12.6, 0.7, 45.0, 11.0, 4.0)
    array([1., 2., 3.])
    """
    seat, annulus = seat_opening_area(lift, seat_outer, radial_width, angle), throat_area(throat, stem)
    early = np.asarray(lift) <= first_stage_lift(radial_width, angle)
    return plain(np.where(np.asarray(annulus) <= seat, 3.0, np.where(early, 1.0, 2.0)))


def speed_through(bore: ArrayLike, area: ArrayLike, piston_speed: ArrayLike) -> Result:
    """Mean gas speed through an opening of any shape from the mean piston speed.

        v = Sp (pi/4 bore^2)/A

    Parameters (scalars or arrays that broadcast):
        bore [mm]: of the cylinder
        area [mm2]: A, of the opening: curtain, throat, port
        piston_speed [m/s]: Sp, mean piston speed
    Returns:
        [m/s] mean speed, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: incompressible continuity, the opening as large all the time; compares, does not measure.
    Source: continuity.

    >>> round(speed_through(34.0, 61.88, 6.673), 2)
    97.91
    """
    b, a, v = numbers(
        bore=(bore, POSITIVE), area=(area, POSITIVE), piston_speed=(piston_speed, POSITIVE)
    )  # fmt: skip
    return plain(v * (np.pi / 4 * b**2) / a)


def opening_gain(new_area: ArrayLike, old_area: ArrayLike) -> Result:
    """Area gained over the old opening, as a share of it, at one lift or over a row of lifts.

        gain = new/old - 1

    Parameters (scalars or arrays that broadcast):
        new_area [mm2]: of the opening as changed
        old_area [mm2]: of the opening before, at the same lift
    Returns:
        [-] gain, negative where narrower, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: areas only; flow coefficients differ a little.
    Source: definition.

    >>> round(opening_gain(36.3168, 23.7583), 3)
    0.529
    """
    new, old = numbers(new_area=(new_area, POSITIVE), old_area=(old_area, POSITIVE))
    return plain(new / old - 1)


def head_over_bore(valve_head: ArrayLike, bore: ArrayLike) -> Result:
    """Valve head over cylinder bore.

        ratio = head/bore

    Parameters (scalars or arrays that broadcast):
        valve_head [mm]: diameter of the valve's head
        bore [mm]: of the cylinder
    Returns:
        [-] ratio, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: inlet, two valves: 0.42 to 0.46 wedge chamber, 0.50 to 0.53 at most in a hemispherical one (from
        memory, not verified).
    Source: definition; Heywood, Internal Combustion Engine Fundamentals, table 6.1 (from memory).

    >>> round(head_over_bore(14.5, 34.0), 3)
    0.426
    """
    d, b = numbers(valve_head=(valve_head, POSITIVE), bore=(bore, POSITIVE))
    return plain(d / b)


def exhaust_over_intake(exhaust_head: ArrayLike, intake_head: ArrayLike) -> Result:
    """Exhaust valve head over intake valve head.

        ratio = exhaust/intake

    Parameters (scalars or arrays that broadcast):
        exhaust_head [mm]: diameter of the exhaust valve's head
        intake_head [mm]: diameter of the intake valve's head
    Returns:
        [-] ratio, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: 0.83 to 0.87 is usual (common practice, no source; two workshop manuals give 0.844 and 0.824).
    Source: definition.

    >>> round(exhaust_over_intake(27.0, 32.0), 3)
    0.844
    """
    out, into = numbers(exhaust_head=(exhaust_head, POSITIVE), intake_head=(intake_head, POSITIVE))
    return plain(out / into)
