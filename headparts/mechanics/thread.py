"""ISO metric threads: basic diameters, tensile stress area, engagement."""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import POSITIVE, ArrayLike, FloatArray, Result, numbers, plain, require


def _thread(diameter: ArrayLike, pitch: ArrayLike) -> tuple[FloatArray, FloatArray]:
    d, p = numbers(diameter=(diameter, POSITIVE), pitch=(pitch, POSITIVE))
    require(p < d / 2, "pitch", pitch, "must be below half the diameter")
    return d, p


def pitch_diameter(diameter: ArrayLike, pitch: ArrayLike) -> Result:
    """Basic pitch diameter of an ISO metric thread.

        d2 = d - (3 sqrt(3)/8) P

    Parameters (scalars or arrays that broadcast):
        diameter [mm]: d, nominal
        pitch [mm]: P
    Returns:
        [mm] diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, a pitch of half the diameter or more
    Validity: ISO metric profile.
    Source: ISO 724 (from memory; agrees with a public thread table, see tests/published).

    >>> round(pitch_diameter(6.0, 1.0), 4)
    5.3505
    """
    d, p = _thread(diameter, pitch)
    return plain(d - 3 * np.sqrt(3) / 8 * p)


def minor_diameter(diameter: ArrayLike, pitch: ArrayLike) -> Result:
    """Basic minor diameter of an ISO metric nut thread.

        D1 = d - (5 sqrt(3)/8) P

    Parameters (scalars or arrays that broadcast):
        diameter [mm]: d, nominal
        pitch [mm]: P
    Returns:
        [mm] diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, a pitch of half the diameter or more
    Validity: ISO metric profile.
    Source: ISO 724 (from memory; agrees with a public thread table, see tests/published).

    >>> round(minor_diameter(6.0, 1.0), 4)
    4.9175
    """
    d, p = _thread(diameter, pitch)
    return plain(d - 5 * np.sqrt(3) / 8 * p)


def stress_area(diameter: ArrayLike, pitch: ArrayLike) -> Result:
    """Tensile stress area of an ISO metric bolt thread.

        As = pi/4 ((d2 + d3)/2)^2,   d3 = d - (17 sqrt(3)/24) P

    Parameters (scalars or arrays that broadcast):
        diameter [mm]: d, nominal
        pitch [mm]: P
    Returns:
        [mm2] area, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, a pitch of half the diameter or more
    Validity: ISO metric profile.
    Source: ISO 898-1 (from memory; agrees with a public thread table, see tests/published).

    >>> round(stress_area(6.0, 1.0), 3)
    20.123
    """
    d, p = _thread(diameter, pitch)
    d2, d3 = np.asarray(pitch_diameter(d, p)), d - 17 * np.sqrt(3) / 24 * p
    return plain(np.pi / 4 * ((d2 + d3) / 2) ** 2)


def engagement_over_diameter(engaged_length: ArrayLike, diameter: ArrayLike) -> Result:
    """Engaged length of a thread in diameters.

        ratio = L/d

    Parameters (scalars or arrays that broadcast):
        engaged_length [mm]: L
        diameter [mm]: d, nominal
    Returns:
        [-] ratio, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: in cast aluminium 1.5 is the least and 2 preferred; values of 1.2 to 2.5 are in print.
    Source: definition; limits after VDI 2230 and Roloff/Matek tables (looked up, excerpts).

    >>> engagement_over_diameter(12.0, 6.0)
    2.0
    """
    length, d = numbers(engaged_length=(engaged_length, POSITIVE), diameter=(diameter, POSITIVE))
    return plain(length / d)
