"""Fits at temperature: interference hot and cold, corners of expansion bands, shrinking in, yield of a hot
head.

All sums count from 20 degC, the reference temperature of ISO 1. An expansion coefficient may be given as a
band (low, high); the functions named least_... take the worst of the corners.
"""

from __future__ import annotations

from itertools import product

import numpy as np

from headparts.errors import ParameterError
from headparts.mechanics.arrays import (
    ANY,
    EXPANSION,
    NOT_NEGATIVE,
    POSITIVE,
    TEMPERATURE,
    ArrayLike,
    FloatArray,
    Result,
    numbers,
    plain,
    require,
)

REFERENCE_TEMPERATURE = 20.0
"""[degC] reference temperature of all sizes. Source: ISO 1."""


def expansion(length: ArrayLike, cte: ArrayLike, rise: ArrayLike) -> Result:
    """Growth of a length by a rise of temperature.

        growth = L alpha dT

    Parameters (scalars or arrays that broadcast):
        length [mm]: L, 0 or more
        cte [1/K]: alpha
        rise [K]: dT, negative on cooling
    Returns:
        [mm] growth, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: mean coefficient over the range of temperature; free part.
    Source: definition of the linear expansion coefficient.

    >>> round(expansion(20.0, 22.2e-6, 300.0), 4)
    0.1332
    """
    size, alpha, dt = numbers(length=(length, NOT_NEGATIVE), cte=(cte, EXPANSION), rise=(rise, ANY))
    return plain(size * alpha * dt)


def interference_at(
    interference: ArrayLike, diameter: ArrayLike, hub_cte: ArrayLike, hub_temperature: ArrayLike,
    bush_cte: ArrayLike, bush_temperature: ArrayLike,
) -> Result:  # fmt: skip
    """Interference of a fit at other temperatures than 20 degC.

        i(T) = i + d (alpha_b (T_b - 20) - alpha_h (T_h - 20))

    Parameters (scalars or arrays that broadcast):
        interference [mm]: i at 20 degC, on the diameter, negative = gap
        diameter [mm]: d, of the fit
        hub_cte [1/K]: alpha_h, mean coefficient of the hub
        hub_temperature [degC]: T_h
        bush_cte [1/K]: alpha_b, mean coefficient of the bush
        bush_temperature [degC]: T_b
    Returns:
        [mm] interference on the diameter, negative when loose, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: each part at one uniform temperature; elastic.
    Source: thermal expansion, reference temperature ISO 1.

    >>> round(interference_at(0.035, 20.0, 22e-6, 220.0, 11e-6, 220.0), 6)
    -0.009
    """
    i, d, ah, th, ab, tb = numbers(
        interference=(interference, ANY), diameter=(diameter, POSITIVE), hub_cte=(hub_cte, EXPANSION),
        hub_temperature=(hub_temperature, TEMPERATURE), bush_cte=(bush_cte, EXPANSION),
        bush_temperature=(bush_temperature, TEMPERATURE),
    )  # fmt: skip
    return plain(i + d * (ab * (tb - REFERENCE_TEMPERATURE) - ah * (th - REFERENCE_TEMPERATURE)))


def cte_band(key: str, band: tuple[float, float]) -> tuple[FloatArray, FloatArray]:
    """Check a band of expansion coefficients and return its two ends.

    Parameters:
        key [-]: name of the argument, for messages
        band [1/K]: pair (low, high), numbers or arrays
    Returns:
        [1/K] pair of arrays (low, high)
    Raises:
        ParameterError: not a pair, a coefficient not finite or outside 0 to 1e-3, a band whose low exceeds its high
    Validity: mean coefficients from 20 degC to the temperature of use.
    Source: definition of the linear expansion coefficient.

    >>> cte_band("hub_cte_band", (21.1e-6, 22.7e-6))
    (array(2.11e-05), array(2.27e-05))
    """
    try:
        first, second = band
    except (TypeError, ValueError) as error:
        raise ParameterError(key, band, "must be a pair (low, high) of expansion coefficients") from error
    low, high = numbers(**{f"{key}[0]": (first, EXPANSION), f"{key}[1]": (second, EXPANSION)})
    require(low <= high, key, band, "low must not exceed high")
    return low, high


def least_interference_at(
    interference: ArrayLike, diameter: ArrayLike, hub_cte_band: tuple[float, float],
    hub_temperature: ArrayLike, bush_cte_band: tuple[float, float], bush_temperature: ArrayLike,
) -> Result:  # fmt: skip
    """Least interference at temperature over the four corners of both expansion bands.

        min over alpha_h, alpha_b of i + d (alpha_b (T_b - 20) - alpha_h (T_h - 20))

    Parameters (scalars or arrays that broadcast):
        interference [mm]: i at 20 degC, on the diameter
        diameter [mm]: d, of the fit
        hub_cte_band [1/K]: pair (low, high) of the hub
        hub_temperature [degC]: T_h
        bush_cte_band [1/K]: pair (low, high) of the bush
        bush_temperature [degC]: T_b
    Returns:
        [mm] least interference on the diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a band whose low exceeds its high
    Validity: as interference_at; linear in both coefficients, so the least lies on a corner.
    Source: thermal expansion, reference temperature ISO 1.

    >>> round(least_interference_at(0.0254, 16.5, (21.1e-6, 22.7e-6), 220.0, (17.0e-6, 17.8e-6), 220.0), 5)
    0.00659
    """
    corners = [
        interference_at(interference, diameter, ah, hub_temperature, ab, bush_temperature)
        for ah, ab in product(
            cte_band("hub_cte_band", hub_cte_band), cte_band("bush_cte_band", bush_cte_band)
        )
    ]
    return plain(np.minimum.reduce(corners))


def assembly_slip(
    tight_interference: ArrayLike, diameter: ArrayLike, hub_cte: ArrayLike, hub_temperature: ArrayLike,
    bush_cte: ArrayLike, bush_temperature: ArrayLike,
) -> Result:  # fmt: skip
    """Free play while a cold bush drops into a hot head.

        slip = d (alpha_h (T_h - 20) - alpha_b (T_b - 20)) - i

    Parameters (scalars or arrays that broadcast):
        tight_interference [mm]: i, greatest interference at 20 degC, on the diameter
        diameter [mm]: d, of the fit
        hub_cte [1/K]: alpha_h
        hub_temperature [degC]: T_h, of the heated head
        bush_cte [1/K]: alpha_b
        bush_temperature [degC]: T_b, of the cooled bush
    Returns:
        [mm] play on the diameter, negative when it would still stick, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: temperatures at the moment of contact; a thin bush warms within seconds.
    Source: thermal expansion, reference temperature ISO 1.

    >>> round(assembly_slip(0.037, 16.5, 22e-6, 180.0, 17.5e-6, -18.0), 4)
    0.0321
    """
    (i,) = numbers(tight_interference=(tight_interference, ANY))
    left = interference_at(i, diameter, hub_cte, hub_temperature, bush_cte, bush_temperature)
    return plain(-np.asarray(left))


def least_assembly_slip(
    tight_interference: ArrayLike, diameter: ArrayLike, hub_cte_band: tuple[float, float],
    hub_temperature: ArrayLike, bush_cte_band: tuple[float, float], bush_temperature: ArrayLike,
) -> Result:  # fmt: skip
    """Least free play of assembly over the four corners of both expansion bands.

        min over alpha_h, alpha_b of d (alpha_h (T_h - 20) - alpha_b (T_b - 20)) - i

    Parameters (scalars or arrays that broadcast):
        tight_interference [mm]: i, greatest interference at 20 degC, on the diameter
        diameter [mm]: d, of the fit
        hub_cte_band [1/K]: pair (low, high) of the hub
        hub_temperature [degC]: T_h, of the heated head
        bush_cte_band [1/K]: pair (low, high) of the bush
        bush_temperature [degC]: T_b, of the cooled bush
    Returns:
        [mm] least play on the diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a band whose low exceeds its high
    Validity: as assembly_slip.
    Source: thermal expansion, reference temperature ISO 1.

    >>> round(least_assembly_slip(0.037, 16.5, (21.1e-6, 22.7e-6), 180.0, (17.0e-6, 17.8e-6), -18.0), 6)
    0.029363
    """
    corners = [
        assembly_slip(tight_interference, diameter, ah, hub_temperature, ab, bush_temperature)
        for ah, ab in product(
            cte_band("hub_cte_band", hub_cte_band), cte_band("bush_cte_band", bush_cte_band)
        )
    ]
    return plain(np.minimum.reduce(corners))


def head_temperature_for_slip(
    slip: ArrayLike, tight_interference: ArrayLike, diameter: ArrayLike, hub_cte: ArrayLike,
    bush_cte: ArrayLike, bush_temperature: ArrayLike,
) -> Result:  # fmt: skip
    """Temperature the head needs for a wanted free play of assembly.

        T_h = 20 + ((slip + i)/d + alpha_b (T_b - 20)) / alpha_h

    Parameters (scalars or arrays that broadcast):
        slip [mm]: wanted play on the diameter
        tight_interference [mm]: i, greatest interference at 20 degC, on the diameter
        diameter [mm]: d, of the fit
        hub_cte [1/K]: alpha_h, above 0
        bush_cte [1/K]: alpha_b
        bush_temperature [degC]: T_b, of the cooled bush
    Returns:
        [degC] temperature of the head, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: as assembly_slip.
    Source: thermal expansion, reference temperature ISO 1.

    >>> round(head_temperature_for_slip(0.015, 0.037, 16.5, 22e-6, 17.5e-6, -18.0), 1)
    133.0
    """
    s, i, d, ah, ab, tb = numbers(
        slip=(slip, ANY), tight_interference=(tight_interference, ANY), diameter=(diameter, POSITIVE),
        hub_cte=(hub_cte, EXPANSION), bush_cte=(bush_cte, EXPANSION), bush_temperature=(bush_temperature, TEMPERATURE),
    )  # fmt: skip
    require(ah > 0, "hub_cte", hub_cte, "must be above 0")
    return plain(REFERENCE_TEMPERATURE + ((s + i) / d + ab * (tb - REFERENCE_TEMPERATURE)) / ah)


def yield_at(temperature: ArrayLike, yield20: ArrayLike, yield200: ArrayLike) -> Result:
    """Yield strength at a temperature, straight line between two known points and held outside them.

        R(T) = R20 + (R200 - R20) (T - 20)/180,   R20 below 20 degC, R200 above 200 degC

    Parameters (scalars or arrays that broadcast):
        temperature [degC]: T
        yield20 [MPa]: yield at 20 degC
        yield200 [MPa]: yield at 200 degC
    Returns:
        [MPa] yield strength, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: an interpolation, not a law; above 200 degC the true value is lower than the one held.
    Source: common practice, no source.

    >>> round(yield_at(180.0, 155.0, 105.0), 3)
    110.556
    """
    t, cold, hot = numbers(
        temperature=(temperature, TEMPERATURE), yield20=(yield20, POSITIVE), yield200=(yield200, POSITIVE)
    )
    share = np.clip((t - 20.0) / 180.0, 0.0, 1.0)
    return plain(cold + (hot - cold) * share)


def gap_change(
    diameter: ArrayLike, hub_cte: ArrayLike, sleeve_cte: ArrayLike, temperature: ArrayLike
) -> Result:
    """Growth of the gap round a sleeve when bore and sleeve are at one temperature.

        change = d (alpha_h - alpha_s) (T - 20)

    Parameters (scalars or arrays that broadcast):
        diameter [mm]: d, of the bore
        hub_cte [1/K]: alpha_h, of the head
        sleeve_cte [1/K]: alpha_s, of the sleeve
        temperature [degC]: T, of both
    Returns:
        [mm] change of the gap on the diameter, positive = opens, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: uniform temperature of both parts.
    Source: thermal expansion, reference temperature ISO 1.

    >>> round(gap_change(15.85, 22.0e-6, 23.4e-6, 170.0), 6)
    -0.003329
    """
    d, ah, as_, t = numbers(
        diameter=(diameter, POSITIVE), hub_cte=(hub_cte, EXPANSION), sleeve_cte=(sleeve_cte, EXPANSION),
        temperature=(temperature, TEMPERATURE),
    )  # fmt: skip
    return plain(d * (ah - as_) * (t - REFERENCE_TEMPERATURE))
