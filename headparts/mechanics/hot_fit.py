"""A fit at any temperatures, with bands: range of interference and pressure, where it lets go, heat or cold for
assembly.

Sums count from 20 degC, the reference temperature of ISO 1. A range is a pair (least, greatest) over the four corners
of both expansion bands and both ends of the interference: linear in each, so the ends lie on corners.
"""

from __future__ import annotations

from itertools import product

import numpy as np

from headparts.mechanics.arrays import (
    ANY,
    EXPANSION,
    POSITIVE,
    TEMPERATURE,
    ArrayLike,
    Result,
    numbers,
    plain,
    require,
)
from headparts.mechanics.press_fit import contact_pressure
from headparts.mechanics.thermal import (
    REFERENCE_TEMPERATURE,
    cte_band,
    head_temperature_for_slip,
    interference_at,
)


def interference_range_at(
    least: ArrayLike, greatest: ArrayLike, diameter: ArrayLike, hub_cte_band: tuple[float, float],
    hub_temperature: ArrayLike, bush_cte_band: tuple[float, float], bush_temperature: ArrayLike,
) -> tuple[Result, Result]:  # fmt: skip
    """Least and greatest interference at temperature over a band of interference and both expansion bands.

        i(T) = i + d (alpha_b (T_b - 20) - alpha_h (T_h - 20))   at the corners

    Parameters (scalars or arrays that broadcast):
        least [mm]: interference at 20 degC of the loosest pair, on the diameter, negative = gap
        greatest [mm]: of the tightest pair, not below least
        diameter [mm]: d, of the fit
        hub_cte_band [1/K]: pair (low, high) of the hub
        hub_temperature [degC]: T_h
        bush_cte_band [1/K]: pair (low, high) of the bush
        bush_temperature [degC]: T_b
    Returns:
        [mm] pair (least, greatest), each of the broadcast shape, negative where loose
    Raises:
        ParameterError: a value not finite or out of range, least above greatest, a band whose low exceeds its high
    Validity: each part at one uniform temperature; elastic.
    Source: thermal expansion, reference temperature ISO 1.

    >>> low, high = interference_range_at(0.010, 0.039, 16.5, (22e-6, 22e-6), 220.0, (17.5e-6, 17.5e-6), 220.0)
    >>> round(low, 5), round(high, 5)
    (-0.00485, 0.02415)
    """
    small, large = numbers(least=(least, ANY), greatest=(greatest, ANY))
    require(small <= large, "least", least, "must not exceed greatest")
    bands = product(cte_band("hub_cte_band", hub_cte_band), cte_band("bush_cte_band", bush_cte_band))
    moved = [
        [interference_at(end, diameter, ah, hub_temperature, ab, bush_temperature) for end in (small, large)]
        for ah, ab in bands
    ]
    lows, highs = zip(*moved, strict=True)
    low, high = np.broadcast_arrays(np.minimum.reduce(lows), np.maximum.reduce(highs))
    return plain(low), plain(high)


def pressure_range_at(
    least: ArrayLike, greatest: ArrayLike, diameter: ArrayLike, bush_inner: ArrayLike, hub_outer: ArrayLike,
    hub_modulus: ArrayLike, hub_poisson: ArrayLike, bush_modulus: ArrayLike, bush_poisson: ArrayLike,
    hub_cte_band: tuple[float, float], hub_temperature: ArrayLike, bush_cte_band: tuple[float, float],
    bush_temperature: ArrayLike,
) -> tuple[Result, Result]:  # fmt: skip
    """Least and greatest contact pressure at temperature: contact_pressure at the ends of interference_range_at.

        p = i(T) / compliance of both rings, 0 where loose

    Parameters (scalars or arrays that broadcast):
        least [mm]: interference at 20 degC of the loosest pair, on the diameter
        greatest [mm]: of the tightest pair, not below least
        diameter [mm]: d, of the fit
        bush_inner [mm]: di, bore of the bush, 0 for a solid one
        hub_outer [mm]: D, outside of the hub
        hub_modulus [MPa]: E_h, at its temperature
        hub_poisson [-]: nu_h
        bush_modulus [MPa]: E_b, at its temperature
        bush_poisson [-]: nu_b
        hub_cte_band [1/K]: pair (low, high) of the hub
        hub_temperature [degC]: T_h
        bush_cte_band [1/K]: pair (low, high) of the bush
        bush_temperature [degC]: T_b
    Returns:
        [MPa] pair (least, greatest), each 0 or more, of the broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, least above greatest, a band whose low exceeds its high,
            di >= d, D <= d
    Validity: elastic, free ends, each part at one uniform temperature; moduli as given, not changed by heat.
    Source: contact_pressure and interference_at, sources there.

    >>> steel, brass = (11e-6, 11e-6), (19e-6, 19e-6)
    >>> rings = (20.0, 10.0, 40.0, 200e3, 0.3, 100e3, 0.3)
    >>> [round(p, 2) for p in pressure_range_at(0.01, 0.02, *rings, steel, 120.0, brass, 120.0)]
    [55.32, 76.6]
    """
    ends = interference_range_at(
        least, greatest, diameter, hub_cte_band, hub_temperature, bush_cte_band, bush_temperature
    )
    rings = (diameter, bush_inner, hub_outer, hub_modulus, hub_poisson, bush_modulus, bush_poisson)
    low, high = (contact_pressure(end, *rings) for end in ends)
    return low, high


def letting_go_temperature(
    interference: ArrayLike, diameter: ArrayLike, hub_cte: ArrayLike, bush_cte: ArrayLike
) -> Result:
    """Temperature at which a fit has lost its interference, hub and bush at one temperature.

        T = 20 + i/(d (alpha_h - alpha_b))

    Parameters (scalars or arrays that broadcast):
        interference [mm]: i at 20 degC, on the diameter
        diameter [mm]: d, of the fit
        hub_cte [1/K]: alpha_h
        bush_cte [1/K]: alpha_b, below alpha_h
    Returns:
        [degC] temperature, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a bush that grows as much as its hub or more
    Validity: heating; a bush that grows more than its hub lets go in the cold instead.
    Source: thermal expansion, reference temperature ISO 1.

    >>> round(letting_go_temperature(0.04, 20.0, 22e-6, 11e-6), 1)
    201.8
    """
    i, d, ah, ab = numbers(
        interference=(interference, ANY), diameter=(diameter, POSITIVE), hub_cte=(hub_cte, EXPANSION),
        bush_cte=(bush_cte, EXPANSION),
    )  # fmt: skip
    require(ab < ah, "bush_cte", bush_cte, "must be below hub_cte: this fit does not let go when heated")
    return plain(REFERENCE_TEMPERATURE + i / (d * (ah - ab)))


def bush_temperature_for_slip(
    slip: ArrayLike, tight_interference: ArrayLike, diameter: ArrayLike, hub_cte: ArrayLike,
    hub_temperature: ArrayLike, bush_cte: ArrayLike,
) -> Result:  # fmt: skip
    """Temperature the bush must be cooled to for a wanted free play of assembly.

        T_b = 20 + (alpha_h (T_h - 20) - (slip + i)/d)/alpha_b

    Parameters (scalars or arrays that broadcast):
        slip [mm]: wanted play on the diameter
        tight_interference [mm]: i, greatest interference at 20 degC, on the diameter
        diameter [mm]: d, of the fit
        hub_cte [1/K]: alpha_h
        hub_temperature [degC]: T_h, of the head
        bush_cte [1/K]: alpha_b, above 0, mean coefficient of the cooling
    Returns:
        [degC] temperature of the bush, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a play that would need less than absolute zero
    Validity: expansion shrinks in the cold: below about -100 degC take the mean coefficient of that range.
    Source: thermal expansion, reference temperature ISO 1.

    >>> round(bush_temperature_for_slip(0.015, 0.037, 16.5, 22e-6, 133.0, 17.5e-6), 1)
    -18.0
    """
    s, i, d, ah, th, ab = numbers(
        slip=(slip, ANY), tight_interference=(tight_interference, ANY), diameter=(diameter, POSITIVE),
        hub_cte=(hub_cte, EXPANSION), hub_temperature=(hub_temperature, TEMPERATURE), bush_cte=(bush_cte, EXPANSION),
    )  # fmt: skip
    require(ab > 0, "bush_cte", bush_cte, "must be above 0")
    found = REFERENCE_TEMPERATURE + (ah * (th - REFERENCE_TEMPERATURE) - (s + i) / d) / ab
    require(found >= TEMPERATURE.low, "slip", slip, "cannot be reached by cold alone: heat the head")
    return plain(found)


def sure_head_temperature_for_slip(
    slip: ArrayLike, tight_interference: ArrayLike, diameter: ArrayLike, hub_cte_band: tuple[float, float],
    bush_cte_band: tuple[float, float], bush_temperature: ArrayLike,
) -> Result:  # fmt: skip
    """Temperature of the head that gives the wanted free play at every corner of both expansion bands.

        T_h = greatest over the corners of 20 + ((slip + i)/d + alpha_b (T_b - 20))/alpha_h

    Parameters (scalars or arrays that broadcast):
        slip [mm]: wanted play on the diameter
        tight_interference [mm]: i, greatest interference at 20 degC, on the diameter
        diameter [mm]: d, of the fit
        hub_cte_band [1/K]: pair (low, high) of the hub, low above 0
        bush_cte_band [1/K]: pair (low, high) of the bush
        bush_temperature [degC]: T_b, of the cooled bush
    Returns:
        [degC] temperature of the head, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, a band whose low exceeds its high
    Validity: as assembly_slip; above about 200 degC an aged casting begins to soften (common practice).
    Source: thermal expansion, reference temperature ISO 1.

    >>> round(sure_head_temperature_for_slip(0.015, 0.037, 16.5, (21.1e-6, 22.7e-6), (17e-6, 17.8e-6), -18.0), 1)
    138.7
    """
    bands = product(cte_band("hub_cte_band", hub_cte_band), cte_band("bush_cte_band", bush_cte_band))
    corners = [
        head_temperature_for_slip(slip, tight_interference, diameter, ah, ab, bush_temperature)
        for ah, ab in bands
    ]
    return plain(np.maximum.reduce(corners))
