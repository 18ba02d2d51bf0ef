"""How far a hub under contact pressure is from yielding: first yield, plastic zone, fully plastic."""

from __future__ import annotations

from typing import Literal

import numpy as np

from headparts.errors import ParameterError
from headparts.mechanics.arrays import POSITIVE, ArrayLike, FloatArray, Result, numbers, plain, require

Criterion = Literal["tresca", "von_mises"]


def _hub(
    yield_strength: ArrayLike, diameter: ArrayLike, hub_outer: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    sy, d, do = numbers(
        yield_strength=(yield_strength, POSITIVE),
        diameter=(diameter, POSITIVE),
        hub_outer=(hub_outer, POSITIVE),
    )
    require(do > d, "hub_outer", hub_outer, "must be above the fit's diameter")
    return sy, np.asarray(d / do)


def first_yield_pressure(
    yield_strength: ArrayLike, diameter: ArrayLike, hub_outer: ArrayLike, criterion: Criterion = "tresca"
) -> Result:
    """Contact pressure at which the hub begins to yield at its bore.

        Tresca:     p = R (1 - Q^2)/2                  with Q = d/D
        von Mises:  p = R (1 - Q^2)/sqrt(3 + Q^4)      free ends (plane stress)

    Parameters (scalars or arrays that broadcast):
        yield_strength [MPa]: R of the hub at its temperature
        diameter [mm]: d, of the fit
        hub_outer [mm]: D, outside of the hub
        criterion [-]: 'tresca' (default) or 'von_mises'
    Returns:
        [MPa] contact pressure, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, D <= d, an unknown criterion
    Validity: plane stress, uniform hub, pressure at the bore only.
    Source: Hearn, Mechanics of Materials 2, ch. 3 (form retrieved, page not noted).

    >>> round(first_yield_pressure(450.0, 100.0, 200.0), 2)
    168.75
    """
    sy, q = _hub(yield_strength, diameter, hub_outer)
    if criterion == "tresca":
        return plain(sy * (1 - q**2) / 2)
    if criterion == "von_mises":
        return plain(sy * (1 - q**2) / np.sqrt(3 + q**4))
    raise ParameterError("criterion", criterion, "must be 'tresca' or 'von_mises'")


def pressure_for_plastic_zone(
    yield_strength: ArrayLike, diameter: ArrayLike, hub_outer: ArrayLike, zone_diameter: ArrayLike
) -> Result:
    """Contact pressure that makes the hub plastic from its bore up to a diameter (Tresca, no hardening).

        p = R [ ln(c/d) + (1 - c^2/D^2)/2 ]     c = diameter of the plastic zone, d <= c <= D

    Parameters (scalars or arrays that broadcast):
        yield_strength [MPa]: R of the hub at its temperature
        diameter [mm]: d, of the fit
        hub_outer [mm]: D, outside of the hub
        zone_diameter [mm]: c, outer end of the plastic zone
    Returns:
        [MPa] contact pressure, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, D <= d, c outside d to D
    Validity: ideal plasticity; c = d is first yield, c = D fully plastic. Up to D = 2.718 d, where p
        reaches R and the axial direction yields first.
    Source: Hearn, Mechanics of Materials 2, ch. 3 (form retrieved, page not noted).

    >>> round(pressure_for_plastic_zone(450.0, 100.0, 200.0, 150.0), 3)
    280.897
    """
    sy, _ratio = _hub(yield_strength, diameter, hub_outer)
    _, d, do, c = numbers(
        yield_strength=(sy, POSITIVE), diameter=(diameter, POSITIVE), hub_outer=(hub_outer, POSITIVE),
        zone_diameter=(zone_diameter, POSITIVE),
    )  # fmt: skip
    require(
        (c >= d) & (c <= do), "zone_diameter", zone_diameter, "must lie between the fit and the hub's outside"
    )
    return plain(sy * (np.log(c / d) + (1 - (c / do) ** 2) / 2))


def fully_plastic_pressure(yield_strength: ArrayLike, diameter: ArrayLike, hub_outer: ArrayLike) -> Result:
    """Contact pressure at which the whole hub is plastic (Tresca, no hardening).

        p = R ln(D/d)

    Parameters (scalars or arrays that broadcast):
        yield_strength [MPa]: R of the hub at its temperature
        diameter [mm]: d, of the fit
        hub_outer [mm]: D, outside of the hub
    Returns:
        [MPa] contact pressure, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive, D <= d
    Validity: as pressure_for_plastic_zone.
    Source: Hearn, Mechanics of Materials 2, ch. 3 (form retrieved, page not noted).

    >>> round(fully_plastic_pressure(450.0, 100.0, 200.0), 3)
    311.916
    """
    sy, q = _hub(yield_strength, diameter, hub_outer)
    return plain(-sy * np.log(q))
