"""Stripping of a screw thread: shear areas of bolt and nut thread, the force that strips them, the engagement that
breaks the bolt first.

The areas are the geometric least of the tolerance limits. Real ones are a little smaller: a thin boss widens and the
first turns carry most (VDI 2230 has factors for it, not used here).
"""

from __future__ import annotations

import numpy as np

from headparts.mechanics.arrays import FRACTION, POSITIVE, ArrayLike, Result, numbers, plain, require

SHEAR_OVER_TENSILE = float(1 / np.sqrt(3))
"""[-] shear strength over tensile strength by von Mises; 0.5 (Tresca) is on the safe side."""


def nut_shear_area(
    engaged_length: ArrayLike, bolt_major_least: ArrayLike, nut_pitch_greatest: ArrayLike, pitch: ArrayLike
) -> Result:
    """Least area over which the nut thread (the tapped hole) shears, at the bolt's outside.

        A = pi (L/P) d_min [P/2 + (d_min - D2_max)/sqrt 3]

    Parameters (scalars or arrays that broadcast):
        engaged_length [mm]: L
        bolt_major_least [mm]: d_min, least outside diameter of the bolt
        nut_pitch_greatest [mm]: D2_max, greatest pitch diameter of the nut thread
        pitch [mm]: P
    Returns:
        [mm2] area, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, threads that do not overlap
    Validity: 60 degree thread, whole turns, geometric area.
    Source: ASME B1.1 / FED-STD-H28 form (looked up on a public page); printed areas agree, see tests/published.

    >>> round(nut_shear_area(6.0, 5.794, 5.5005, 1.0), 2)
    73.11
    """
    length, d, d2, p = numbers(
        engaged_length=(engaged_length, POSITIVE), bolt_major_least=(bolt_major_least, POSITIVE),
        nut_pitch_greatest=(nut_pitch_greatest, POSITIVE), pitch=(pitch, POSITIVE),
    )  # fmt: skip
    width = p / 2 + (d - d2) / np.sqrt(3)
    require(
        width > 0, "nut_pitch_greatest", nut_pitch_greatest, "is so large that the threads do not overlap"
    )
    return plain(np.pi * length / p * d * width)


def bolt_shear_area(
    engaged_length: ArrayLike, nut_minor_greatest: ArrayLike, bolt_pitch_least: ArrayLike, pitch: ArrayLike
) -> Result:
    """Least area over which the bolt thread shears, at the nut's inside.

        A = pi (L/P) D1_max [P/2 + (d2_min - D1_max)/sqrt 3]

    Parameters (scalars or arrays that broadcast):
        engaged_length [mm]: L
        nut_minor_greatest [mm]: D1_max, greatest inside diameter of the nut thread
        bolt_pitch_least [mm]: d2_min, least pitch diameter of the bolt
        pitch [mm]: P
    Returns:
        [mm2] area, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, threads that do not overlap
    Validity: 60 degree thread, whole turns, geometric area.
    Source: ASME B1.1 / FED-STD-H28 form (looked up on a public page); printed areas agree, see tests/published.

    >>> round(bolt_shear_area(6.0, 5.1535, 5.2125, 1.0), 2)
    51.88
    """
    length, d1, d2, p = numbers(
        engaged_length=(engaged_length, POSITIVE), nut_minor_greatest=(nut_minor_greatest, POSITIVE),
        bolt_pitch_least=(bolt_pitch_least, POSITIVE), pitch=(pitch, POSITIVE),
    )  # fmt: skip
    width = p / 2 + (d2 - d1) / np.sqrt(3)
    require(
        width > 0, "nut_minor_greatest", nut_minor_greatest, "is so large that the threads do not overlap"
    )
    return plain(np.pi * length / p * d1 * width)


def stripping_force(
    shear_area: ArrayLike, tensile_strength: ArrayLike, shear_share: ArrayLike = SHEAR_OVER_TENSILE
) -> Result:
    """Axial force at which a thread shears off.

        F = k Rm A

    Parameters (scalars or arrays that broadcast):
        shear_area [mm2]: A, of nut_shear_area or bolt_shear_area
        tensile_strength [MPa]: Rm of the metal that shears, at its temperature
        shear_share [-]: k, shear over tensile strength; 1/sqrt 3 when not given
    Returns:
        [N] force, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: an upper figure: all turns alike, no widening of the boss.
    Source: strength of materials; k by von Mises.

    >>> round(stripping_force(73.11, 234.0))
    9877
    """
    a, rm, k = numbers(
        shear_area=(shear_area, POSITIVE), tensile_strength=(tensile_strength, POSITIVE),
        shear_share=(shear_share, FRACTION),
    )  # fmt: skip
    return plain(k * rm * a)


def engagement_for_bolt(
    bolt_force: ArrayLike, area_per_length: ArrayLike, tensile_strength: ArrayLike,
    shear_share: ArrayLike = SHEAR_OVER_TENSILE,
) -> Result:  # fmt: skip
    """Engaged length at which the thread strips just as the bolt breaks; with more the bolt breaks first.

        L = F/(k Rm a)

    Parameters (scalars or arrays that broadcast):
        bolt_force [N]: F, breaking force of the bolt: stress area times its tensile strength
        area_per_length [mm2/mm]: a, shear area of the weaker thread for 1 mm of engagement
        tensile_strength [MPa]: Rm of the metal that shears
        shear_share [-]: k, shear over tensile strength; 1/sqrt 3 when not given
    Returns:
        [mm] length, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: as stripping_force; cast aluminium wants 1.5 to 2 diameters in practice.
    Source: balance of forces.

    >>> round(engagement_for_bolt(20.123 * 800.0, nut_shear_area(1.0, 5.794, 5.5005, 1.0), 234.0), 2)
    9.78
    """
    f, a, rm, k = numbers(
        bolt_force=(bolt_force, POSITIVE), area_per_length=(area_per_length, POSITIVE),
        tensile_strength=(tensile_strength, POSITIVE), shear_share=(shear_share, FRACTION),
    )  # fmt: skip
    return plain(f / (k * rm * a))
