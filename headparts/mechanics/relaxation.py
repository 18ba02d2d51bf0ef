"""What a fit has left when its hub has yielded: elastic-plastic hub against an elastic bush."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headparts.mechanics.arrays import (
    ANY,
    POISSON,
    POSITIVE,
    ArrayLike,
    FloatArray,
    Result,
    numbers,
    plain,
    require,
    together,
)
from headparts.mechanics.press_fit import contact_pressure, interference_for_pressure
from headparts.mechanics.yielding import fully_plastic_pressure, pressure_for_plastic_zone

_STEPS = 200
"""Halvings allowed in the search for the plastic zone; 60 use up a double's digits."""


def _check_hub(
    pressure: ArrayLike, zone: ArrayLike, diameter: ArrayLike, hub_outer: ArrayLike, modulus: ArrayLike,
    poisson: ArrayLike, yield_strength: ArrayLike,
) -> tuple[FloatArray, ...]:  # fmt: skip
    found = numbers(
        pressure=(pressure, ANY), zone_diameter=(zone, POSITIVE), diameter=(diameter, POSITIVE),
        hub_outer=(hub_outer, POSITIVE), hub_modulus=(modulus, POSITIVE), hub_poisson=(poisson, POISSON),
        yield_strength=(yield_strength, POSITIVE),
    )  # fmt: skip
    _short_hub(found[2], found[3], hub_outer)
    return found


def _short_hub(d: FloatArray, do: FloatArray, given: ArrayLike) -> None:
    require(do > d, "hub_outer", given, "must be above the fit's diameter")
    require(
        do < np.e * d, "hub_outer", given, "must be below 2.718 times the fit's diameter (another yield mode)"
    )


def yielded_bore_growth(
    zone_diameter: ArrayLike, diameter: ArrayLike, hub_outer: ArrayLike, hub_modulus: ArrayLike,
    hub_poisson: ArrayLike, yield_strength: ArrayLike,
) -> Result:  # fmt: skip
    """Growth of a hub's bore, under load, when the hub is plastic from its bore up to a diameter.

        growth = d/E [ R (c/d)^2 - (1 - nu) p(c) ]     p(c) = R [ ln(c/d) + (1 - c^2/D^2)/2 ]

    because r u = (1 - nu) r^2 s_r/E + const holds through both zones (plastic flow of Tresca's law takes nothing from
    s_r + s_t), and the elastic zone sets the constant to R c^2/E.

    Parameters (scalars or arrays that broadcast):
        zone_diameter [mm]: c, outer end of the plastic zone, d <= c <= D
        diameter [mm]: d, of the fit
        hub_outer [mm]: D, outside of the hub, below 2.718 d
        hub_modulus [MPa]: E
        hub_poisson [-]: nu
        yield_strength [MPa]: R of the hub at its temperature
    Returns:
        [mm] growth on the diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, D <= d or D >= 2.718 d, c outside d to D
    Validity: plane stress, ideal plasticity, Tresca with its flow rule, small strains; above D = 2.718 d the axial
        direction yields first and the formula ends.
    Source: derived here from equilibrium and the flow rule; the stresses are those of Hearn, Mechanics of Materials 2,
        ch. 3 (form retrieved); checked against a step-by-step numeric solution in the tests.

    >>> round(yielded_bore_growth(100.0, 100.0, 200.0, 200e3, 0.3, 450.0), 6)
    0.165938
    """
    p = pressure_for_plastic_zone(yield_strength, diameter, hub_outer, zone_diameter)
    p_, c, d, _, e, nu, sy = _check_hub(
        p, zone_diameter, diameter, hub_outer, hub_modulus, hub_poisson, yield_strength
    )
    return plain(d / e * (sy * (c / d) ** 2 - (1 - nu) * p_))


def bore_growth_left(
    zone_diameter: ArrayLike, diameter: ArrayLike, hub_outer: ArrayLike, hub_modulus: ArrayLike,
    yield_strength: ArrayLike,
) -> Result:  # fmt: skip
    """Growth of a hub's bore that stays when it is unloaded after having been plastic up to a diameter.

        left = d/E [ R (c/d)^2 - 2 p(c)/(1 - (d/D)^2) ]     p(c) = R [ ln(c/d) + (1 - c^2/D^2)/2 ]

    the growth under load (yielded_bore_growth) less what p gives elastically. It is the interference lost.

    Parameters (scalars or arrays that broadcast):
        zone_diameter [mm]: c, outer end of the plastic zone, d <= c <= D
        diameter [mm]: d, of the fit
        hub_outer [mm]: D, outside of the hub, below 2.718 d
        hub_modulus [MPa]: E
        yield_strength [MPa]: R of the hub at its temperature
    Returns:
        [mm] growth on the diameter, 0 at first yield (c = d), broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, D <= d or D >= 2.718 d, c outside d to D
    Validity: as yielded_bore_growth, and no reverse yielding on unloading, which needs D above 2.2 d (from memory).
    Source: as yielded_bore_growth, less the Lame growth under the same pressure.

    >>> bore_growth_left(100.0, 100.0, 200.0, 200e3, 450.0)
    0.0
    >>> round(bore_growth_left(150.0, 100.0, 200.0, 200e3, 450.0), 6)
    0.131721
    """
    p = pressure_for_plastic_zone(yield_strength, diameter, hub_outer, zone_diameter)
    p_, c, d, do, e, _, sy = _check_hub(
        p, zone_diameter, diameter, hub_outer, hub_modulus, 0.0, yield_strength
    )
    return plain(d / e * (sy * (c / d) ** 2 - 2 * p_ / (1 - (d / do) ** 2)))


@dataclass(frozen=True)
class Yielded:
    """A fit whose hub may have yielded; floats or arrays.

    ``pressure`` [MPa]: contact pressure; ``zone_diameter`` [mm]: outer end of the plastic zone, the fit's diameter
    while the hub is elastic; ``kept`` [mm]: interference that would give this pressure elastically; ``lost`` [mm]:
    interference gone for good, by which the bore is larger when it is unloaded; ``fully_plastic``: the whole hub flows.
    """

    pressure: Result
    zone_diameter: Result
    kept: Result
    lost: Result
    fully_plastic: Result


def yielded_fit(
    interference: ArrayLike, diameter: ArrayLike, bush_inner: ArrayLike, hub_outer: ArrayLike,
    hub_modulus: ArrayLike, hub_poisson: ArrayLike, bush_modulus: ArrayLike, bush_poisson: ArrayLike,
    yield_strength: ArrayLike,
) -> Yielded:  # fmt: skip
    """Pressure of a fit, and interference lost for good, when the hub may yield.

    Up to first yield contact_pressure. Beyond it the plastic zone c solves

        i = p(c) / (contact pressure per mm) + left(c)

    with left(c) of bore_growth_left. When even c = D takes up less than i the hub is fully plastic: p stays
    R ln(D/d) and the rest of i is flow. Unloading is elastic, so of i there remains what p takes elastically:
    kept = p / contact pressure per mm, lost = i - kept.

    Parameters (scalars or arrays that broadcast):
        interference [mm]: i, on the diameter, at the temperature of the yield strength; a gap gives 0
        diameter [mm]: d, of the fit
        bush_inner [mm]: di, bore of the bush, 0 for a solid one
        hub_outer [mm]: D, outside of the hub, below 2.718 d
        hub_modulus [MPa]: E_h
        hub_poisson [-]: nu_h
        bush_modulus [MPa]: E_b
        bush_poisson [-]: nu_b
        yield_strength [MPa]: R of the hub at its temperature
    Returns:
        Yielded [MPa, mm]: pressure, zone_diameter, kept, lost, fully_plastic, each of the broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, di >= d, D <= d or D >= 2.718 d
    Validity: plane stress, ideal plasticity (no hardening), Tresca, an elastic bush, one loading; creep is not in it.
        No reverse yielding on unloading, as bore_growth_left.
    Source: as bore_growth_left; contact_pressure for the elastic part.

    >>> fit = yielded_fit(0.040, 16.5, 12.6, 19.9, 71e3, 0.33, 125e3, 0.30, 105.0)
    >>> round(fit.pressure, 3), round(fit.kept, 6), round(fit.lost, 6), fit.fully_plastic
    (19.625, 0.035192, 0.004808, False)
    """
    (i, d, do, sy) = numbers(
        interference=(interference, ANY), diameter=(diameter, POSITIVE), hub_outer=(hub_outer, POSITIVE),
        yield_strength=(yield_strength, POSITIVE),
    )  # fmt: skip
    _short_hub(d, do, hub_outer)
    elastic = (hub_modulus, hub_poisson, bush_modulus, bush_poisson)
    per_pressure = np.asarray(interference_for_pressure(1.0, diameter, bush_inner, hub_outer, *elastic))
    together(interference=i, diameter=d, hub_outer=do, yield_strength=sy, other_arguments=per_pressure)
    wanted = np.maximum(i, 0.0)

    def taken(zone: FloatArray) -> FloatArray:
        p = np.asarray(pressure_for_plastic_zone(sy, d, do, zone))
        return np.asarray(p * per_pressure + bore_growth_left(zone, d, do, hub_modulus, sy))

    shape = np.broadcast_shapes(wanted.shape, sy.shape, per_pressure.shape)
    low, high = np.broadcast_to(d, shape).copy(), np.broadcast_to(do, shape).copy()
    full = wanted > taken(high)
    yields = wanted > taken(low)
    for _ in range(_STEPS):
        middle = (low + high) / 2
        if np.all((middle <= low) | (middle >= high)):
            break
        more = taken(middle) < wanted
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    zone = np.where(full, do, np.where(yields, high, d))
    soft = np.where(full, fully_plastic_pressure(sy, d, do), pressure_for_plastic_zone(sy, d, do, zone))
    hard = contact_pressure(interference, diameter, bush_inner, hub_outer, *elastic)
    pressure = np.where(yields, soft, hard)
    kept = np.where(yields, pressure * per_pressure, wanted)
    flat = full.astype(bool) if full.ndim else bool(full)
    return Yielded(plain(pressure), plain(zone), plain(kept), plain(np.maximum(wanted - kept, 0.0)), flat)
