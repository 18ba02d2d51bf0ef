"""Valve stem in its guide: clearance, closing by the press, the bore to ream before pressing."""

from __future__ import annotations

import numpy as np

from headparts.errors import ParameterError
from headparts.mechanics.arrays import (
    ANY,
    NOT_NEGATIVE,
    POSITIVE,
    ArrayLike,
    Result,
    numbers,
    plain,
    require,
    together,
)
from headparts.mechanics.press_fit import bore_closure, contact_pressure

_STEPS = 200
"""Substitutions allowed; the closure changes by about a hundredth of a change of the bore, so some five do."""


def stem_clearance(guide_bore: ArrayLike, stem: ArrayLike, bore_tolerance: ArrayLike = 0.0) -> Result:
    """Clearance of a stem in its guide, on the diameter.

        least (tolerance 0): bore - stem;   greatest: bore + IT - stem

    Parameters (scalars or arrays that broadcast):
        guide_bore [mm]: lower limit of the bore
        stem [mm]: diameter of the stem
        bore_tolerance [mm]: IT, width of the bore's tolerance; 0 for the least clearance
    Returns:
        [mm] clearance, negative when the stem does not go in, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: 20 degC, reamed after pressing.
    Source: arithmetic.

    >>> round(stem_clearance(4.0, 3.97), 6), round(stem_clearance(4.0, 3.97, 0.012), 6)
    (0.03, 0.042)
    """
    bore, d, it = numbers(
        guide_bore=(guide_bore, POSITIVE),
        stem=(stem, POSITIVE),
        bore_tolerance=(bore_tolerance, NOT_NEGATIVE),
    )
    return plain(bore + it - d)


def clearance_after_press(clearance: ArrayLike, closure: ArrayLike) -> Result:
    """Stem clearance left when the guide was reamed before it was pressed.

        left = clearance - closure

    Parameters (scalars or arrays that broadcast):
        clearance [mm]: before pressing, on the diameter
        closure [mm]: of the bore by the press, on the diameter
    Returns:
        [mm] clearance, negative = seized, broadcast shape
    Raises:
        ParameterError: a value not finite, a negative closure
    Validity: elastic closure, along the pressed length.
    Source: arithmetic on the thick-cylinder closure.

    >>> round(clearance_after_press(0.015, 0.0156), 6)
    -0.0006
    """
    free, shut = numbers(clearance=(clearance, ANY), closure=(closure, NOT_NEGATIVE))
    return plain(free - shut)


def bore_before_press(stem: ArrayLike, wanted_clearance: ArrayLike, closure: ArrayLike) -> Result:
    """Bore to ream before pressing for a wanted clearance afterwards.

        bore = stem + clearance + closure

    Parameters (scalars or arrays that broadcast):
        stem [mm]: diameter of the stem
        wanted_clearance [mm]: after pressing, on the diameter
        closure [mm]: of the bore by the press, on the diameter
    Returns:
        [mm] bore, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: the closure's own change with the bore is small and left out; bore_to_ream takes it in.
    Source: arithmetic on the thick-cylinder closure.

    >>> round(bore_before_press(4.985, 0.025, 0.015643), 4)
    5.0256
    """
    d, left, shut = numbers(
        stem=(stem, POSITIVE),
        wanted_clearance=(wanted_clearance, NOT_NEGATIVE),
        closure=(closure, NOT_NEGATIVE),
    )
    return plain(d + left + shut)


def bore_to_ream(
    stem: ArrayLike, wanted_clearance: ArrayLike, interference: ArrayLike, diameter: ArrayLike,
    hub_outer: ArrayLike, hub_modulus: ArrayLike, hub_poisson: ArrayLike, bush_modulus: ArrayLike,
    bush_poisson: ArrayLike,
) -> Result:  # fmt: skip
    """Bore to ream before pressing, with the closure worked out for that very bore.

        b - closure(b) = stem + clearance,   closure(b) by contact_pressure and bore_closure at the bore b

    Parameters (scalars or arrays that broadcast):
        stem [mm]: diameter of the stem
        wanted_clearance [mm]: after pressing, on the diameter
        interference [mm]: of the shank, on the diameter; a gap closes nothing
        diameter [mm]: d, of the shank's fit
        hub_outer [mm]: D, outside of the hub
        hub_modulus [MPa]: E_h
        hub_poisson [-]: nu_h
        bush_modulus [MPa]: E_b
        bush_poisson [-]: nu_b
    Returns:
        [mm] bore, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a wall too thin for any such bore
    Validity: elastic, plane stress, along the pressed length; above the hub the bore stays as reamed.
    Source: thick-cylinder closure (see bore_closure), solved by repeated substitution.

    >>> round(bore_to_ream(4.985, 0.025, 0.03, 7.0, 18.0, 71e3, 0.33, 120e3, 0.34), 4)
    5.0258
    """
    d, left = numbers(stem=(stem, POSITIVE), wanted_clearance=(wanted_clearance, NOT_NEGATIVE))
    (fit,) = numbers(diameter=(diameter, POSITIVE))
    together(stem=d, wanted_clearance=left, diameter=fit)
    bore = start = d + left
    for _ in range(_STEPS):
        require(bore < fit, "diameter", diameter, "leaves no wall round the bore to ream")
        pressure = contact_pressure(
            interference, fit, bore, hub_outer, hub_modulus, hub_poisson, bush_modulus, bush_poisson
        )
        before, bore = bore, start + np.asarray(bore_closure(pressure, fit, bore, bush_modulus))
        if np.all(np.abs(bore - before) <= 1e-12 * bore):
            return plain(bore)
    raise ParameterError("diameter", diameter, "leaves so thin a wall that no bore before pressing was found")
