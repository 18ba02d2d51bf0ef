"""Press fit of a bushing in a hub: two thick rings of two materials, contact pressure, stress, force and
torque.

The hub is the head round the bore, the bush the part pressed in. ``diameter`` is the diameter of the fit,
``interference`` the amount the bush is larger than the bore, on the diameter.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from headparts.errors import ParameterError
from headparts.mechanics.arrays import (
    ANY,
    FRACTION,
    NOT_NEGATIVE,
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

Plane = Literal["stress", "strain"]


def _compliance(
    diameter: ArrayLike, bush_inner: ArrayLike, hub_outer: ArrayLike,
    hub_modulus: ArrayLike, hub_poisson: ArrayLike, bush_modulus: ArrayLike, bush_poisson: ArrayLike,
    plane: Plane,
) -> FloatArray:  # fmt: skip
    """Diametral interference taken up per MPa of contact pressure [mm/MPa]."""
    d, di, do, eh, nh, eb, nb = numbers(
        diameter=(diameter, POSITIVE), bush_inner=(bush_inner, NOT_NEGATIVE), hub_outer=(hub_outer, POSITIVE),
        hub_modulus=(hub_modulus, POSITIVE), hub_poisson=(hub_poisson, POISSON),
        bush_modulus=(bush_modulus, POSITIVE), bush_poisson=(bush_poisson, POISSON),
    )  # fmt: skip
    require(di < d, "bush_inner", bush_inner, "must be below the fit's diameter")
    require(do > d, "hub_outer", hub_outer, "must be above the fit's diameter")
    if plane == "strain":
        eh, nh, eb, nb = eh / (1 - nh**2), nh / (1 - nh), eb / (1 - nb**2), nb / (1 - nb)
    elif plane != "stress":
        raise ParameterError("plane", plane, "must be 'stress' (free ends) or 'strain' (ends held)")
    hub = (do**2 + d**2) / (do**2 - d**2) + nh
    bush = (d**2 + di**2) / (d**2 - di**2) - nb
    return np.asarray(d * (hub / eh + bush / eb))


def contact_pressure(
    interference: ArrayLike, diameter: ArrayLike, bush_inner: ArrayLike, hub_outer: ArrayLike,
    hub_modulus: ArrayLike, hub_poisson: ArrayLike, bush_modulus: ArrayLike, bush_poisson: ArrayLike,
    plane: Plane = "stress",
) -> Result:  # fmt: skip
    """Pressure between a hub and a bush of different materials.

        p = i / (d [ ((D^2 + d^2)/(D^2 - d^2) + nu_h)/E_h + ((d^2 + di^2)/(d^2 - di^2) - nu_b)/E_b ])

    Parameters (scalars or arrays that broadcast):
        interference [mm]: i, on the diameter; a gap (0 or negative) carries no pressure and gives 0
        diameter [mm]: d, of the fit
        bush_inner [mm]: di, bore of the bush, 0 for a solid one
        hub_outer [mm]: D, outside of the hub
        hub_modulus [MPa]: E_h
        hub_poisson [-]: nu_h
        bush_modulus [MPa]: E_b
        bush_poisson [-]: nu_b
        plane [-]: 'stress' for free ends (default), 'strain' for ends held
    Returns:
        [MPa] contact pressure, 0 or more, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, di >= d, D <= d, an unknown plane
    Validity: elastic, long uniform rings, no windows; first_yield_pressure tells when the hub leaves it.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., eq. 3-56 (number from
        memory, formula confirmed on its printed solutions, see tests/published).

    >>> round(contact_pressure(0.03, 7.0, 5.0, 18.0, 71000.0, 0.33, 120000.0, 0.34), 3)
    91.943
    """
    (i,) = numbers(interference=(interference, ANY))
    taken = _compliance(
        diameter, bush_inner, hub_outer, hub_modulus, hub_poisson, bush_modulus, bush_poisson, plane
    )
    together(other_arguments=taken, interference=i)
    return plain(np.maximum(i, 0.0) / taken)


def interference_for_pressure(
    pressure: ArrayLike, diameter: ArrayLike, bush_inner: ArrayLike, hub_outer: ArrayLike,
    hub_modulus: ArrayLike, hub_poisson: ArrayLike, bush_modulus: ArrayLike, bush_poisson: ArrayLike,
    plane: Plane = "stress",
) -> Result:  # fmt: skip
    """Interference that makes a wanted contact pressure: the inverse of contact_pressure.

        i = p d [ ((D^2 + d^2)/(D^2 - d^2) + nu_h)/E_h + ((d^2 + di^2)/(d^2 - di^2) - nu_b)/E_b ]

    Parameters (scalars or arrays that broadcast):
        pressure [MPa]: p, 0 or more
        diameter [mm]: d, of the fit
        bush_inner [mm]: di, bore of the bush, 0 for a solid one
        hub_outer [mm]: D, outside of the hub
        hub_modulus [MPa]: E_h
        hub_poisson [-]: nu_h
        bush_modulus [MPa]: E_b
        bush_poisson [-]: nu_b
        plane [-]: 'stress' for free ends (default), 'strain' for ends held
    Returns:
        [mm] interference on the diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, di >= d, D <= d, an unknown plane
    Validity: as contact_pressure.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., eq. 3-56 (number from
        memory).

    >>> round(interference_for_pressure(91.943, 7.0, 5.0, 18.0, 71000.0, 0.33, 120000.0, 0.34), 5)
    0.03
    """
    (p,) = numbers(pressure=(pressure, NOT_NEGATIVE))
    taken = _compliance(
        diameter, bush_inner, hub_outer, hub_modulus, hub_poisson, bush_modulus, bush_poisson, plane
    )
    together(other_arguments=taken, pressure=p)
    return plain(p * taken)


def _hub(
    pressure: ArrayLike, diameter: ArrayLike, hub_outer: ArrayLike
) -> tuple[FloatArray, FloatArray, FloatArray]:
    p, d, do = numbers(
        pressure=(pressure, NOT_NEGATIVE), diameter=(diameter, POSITIVE), hub_outer=(hub_outer, POSITIVE)
    )
    require(do > d, "hub_outer", hub_outer, "must be above the fit's diameter")
    return p, d, do


def _bush(
    pressure: ArrayLike, diameter: ArrayLike, bush_inner: ArrayLike
) -> tuple[FloatArray, FloatArray, FloatArray]:
    p, d, di = numbers(
        pressure=(pressure, NOT_NEGATIVE),
        diameter=(diameter, POSITIVE),
        bush_inner=(bush_inner, NOT_NEGATIVE),
    )
    require(di < d, "bush_inner", bush_inner, "must be below the fit's diameter")
    return p, d, di


def hub_hoop(pressure: ArrayLike, diameter: ArrayLike, hub_outer: ArrayLike) -> Result:
    """Hoop stress of the hub at its bore, where it is greatest.

        s_t = p (D^2 + d^2)/(D^2 - d^2)

    Parameters (scalars or arrays that broadcast):
        pressure [MPa]: p, contact pressure
        diameter [mm]: d, of the fit
        hub_outer [mm]: D, outside of the hub
    Returns:
        [MPa] hoop stress, tension positive, broadcast shape
    Raises:
        ParameterError: a value not finite or negative, D <= d
    Validity: elastic; the hub's smallest wall used as if it were all round is on the safe side but for the
        load of a neighbour bore.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., eq. 3-58 (number from
        memory).

    >>> round(hub_hoop(13064.0, 1.0, 2.0), 1)
    21773.3
    """
    p, d, do = _hub(pressure, diameter, hub_outer)
    return plain(p * (do**2 + d**2) / (do**2 - d**2))


def hub_tresca(pressure: ArrayLike, diameter: ArrayLike, hub_outer: ArrayLike) -> Result:
    """Tresca stress of the hub at its bore: hoop stress plus contact pressure.

        s = s_t - s_r = 2 p D^2/(D^2 - d^2)

    Parameters (scalars or arrays that broadcast):
        pressure [MPa]: p, contact pressure
        diameter [mm]: d, of the fit
        hub_outer [mm]: D, outside of the hub
    Returns:
        [MPa] equivalent stress, broadcast shape
    Raises:
        ParameterError: a value not finite or negative, D <= d
    Validity: elastic; plane finite elements of three heads with both bushings fitted gave 0 to 10 % more in
        the bridge than this formula with D = d + 2 webs while the fits do not slip, and about twice as much without
        friction (headparts.stress).
    Source: Lame stresses in Tresca's criterion; Budynas and Nisbett, Shigley's Mechanical Engineering Design,
        8th ed., sec. 3-14 and ch. 5 (from memory).

    >>> round(hub_tresca(42.5, 20.0, 30.0), 6)
    153.0
    """
    p, d, do = _hub(pressure, diameter, hub_outer)
    return plain(2 * p * do**2 / (do**2 - d**2))


def bush_hoop(pressure: ArrayLike, diameter: ArrayLike, bush_inner: ArrayLike) -> Result:
    """Hoop stress at the bore of the bush, where it is greatest.

        s_t = -2 p d^2/(d^2 - di^2)     (a solid bush: -p everywhere)

    Parameters (scalars or arrays that broadcast):
        pressure [MPa]: p, contact pressure
        diameter [mm]: d, of the fit
        bush_inner [mm]: di, bore of the bush, 0 for a solid one
    Returns:
        [MPa] hoop stress, negative (compression), broadcast shape
    Raises:
        ParameterError: a value not finite or negative, di >= d
    Validity: elastic, uniform ring.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., sec. 3-14 (from memory).

    >>> round(bush_hoop(3.1427, 14.3, 13.8), 2)
    -91.48
    """
    p, d, di = _bush(pressure, diameter, bush_inner)
    return plain(np.where(di > 0, -2 * p * d**2 / (d**2 - di**2), -p))


def bush_hoop_at_fit(pressure: ArrayLike, diameter: ArrayLike, bush_inner: ArrayLike) -> Result:
    """Hoop stress of the bush at the fit.

        s_t = -p (d^2 + di^2)/(d^2 - di^2)

    Parameters (scalars or arrays that broadcast):
        pressure [MPa]: p, contact pressure
        diameter [mm]: d, of the fit
        bush_inner [mm]: di, bore of the bush, 0 for a solid one
    Returns:
        [MPa] hoop stress, negative (compression), broadcast shape
    Raises:
        ParameterError: a value not finite or negative, di >= d
    Validity: elastic, uniform ring.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 8th ed., eq. 3-58 (number from
        memory, formula confirmed on the printed solution of problem 5-35).

    >>> round(bush_hoop_at_fit(19.41, 50.0, 25.0), 2)
    -32.35
    """
    p, d, di = _bush(pressure, diameter, bush_inner)
    return plain(-p * (d**2 + di**2) / (d**2 - di**2))


def bore_closure(
    pressure: ArrayLike, diameter: ArrayLike, bush_inner: ArrayLike, bush_modulus: ArrayLike
) -> Result:
    """How much the bore of the bush closes, on the diameter, when it is pressed in.

        closure = 2 p d^2 di / (E_b (d^2 - di^2))

    Parameters (scalars or arrays that broadcast):
        pressure [MPa]: p, contact pressure
        diameter [mm]: d, of the fit
        bush_inner [mm]: di, bore of the bush, above 0
        bush_modulus [MPa]: E_b
    Returns:
        [mm] closure on the diameter, positive when it closes, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, di >= d
    Validity: elastic, plane stress, along the pressed length.
    Source: Hooke's law on the Lame stresses at the free bore; common in machine-design texts, page not noted.

    >>> round(bore_closure(91.943, 7.0, 5.0, 120000.0), 6)
    0.015643
    """
    p, d, di = _bush(pressure, diameter, bush_inner)
    (modulus,) = numbers(bush_modulus=(bush_modulus, POSITIVE))
    together(pressure=p, diameter=d, bush_inner=di, bush_modulus=modulus)
    require(di > 0, "bush_inner", bush_inner, "must be above 0: a solid bush has no bore to close")
    return plain(2 * p * d**2 * di / (modulus * (d**2 - di**2)))


def outer_growth(
    pressure: ArrayLike, diameter: ArrayLike, hub_outer: ArrayLike, hub_modulus: ArrayLike
) -> Result:
    """How much the outside of the hub grows, on the diameter.

        growth = 2 p d^2 D / (E_h (D^2 - d^2))

    Parameters (scalars or arrays that broadcast):
        pressure [MPa]: p, contact pressure
        diameter [mm]: d, of the fit
        hub_outer [mm]: D, outside of the hub
        hub_modulus [MPa]: E_h
    Returns:
        [mm] growth on the diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, D <= d
    Validity: elastic, plane stress.
    Source: Hooke's law on the Lame stresses at the free outside; common in machine-design texts, page not
        noted.

    >>> round(outer_growth(56.203, 16.0, 30.0, 72400.0), 6)
    0.018515
    """
    p, d, do = _hub(pressure, diameter, hub_outer)
    (modulus,) = numbers(hub_modulus=(hub_modulus, POSITIVE))
    together(pressure=p, diameter=d, hub_outer=do, hub_modulus=modulus)
    return plain(2 * p * d**2 * do / (modulus * (do**2 - d**2)))


def press_force(pressure: ArrayLike, diameter: ArrayLike, length: ArrayLike, friction: ArrayLike) -> Result:
    """Axial force that moves a press fit over its whole length: the end force of pressing in.

        F = mu p pi d L

    Parameters (scalars or arrays that broadcast):
        pressure [MPa]: p, contact pressure
        diameter [mm]: d, of the fit
        length [mm]: L, contact length
        friction [-]: mu, above 0 up to 1
    Returns:
        [N] axial force, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: uniform pressure; windows and leads are not deducted unless the length says so.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. 7-48.

    >>> round(press_force(19.41, 50.0, 40.0, 0.15), 1)
    18293.5
    """
    p, d, length_, mu = numbers(
        pressure=(pressure, NOT_NEGATIVE), diameter=(diameter, POSITIVE), length=(length, POSITIVE),
        friction=(friction, FRACTION),
    )  # fmt: skip
    return plain(mu * p * np.pi * d * length_)


def holding_torque(
    pressure: ArrayLike, diameter: ArrayLike, length: ArrayLike, friction: ArrayLike
) -> Result:
    """Torque about its own axis that a press fit holds.

        T = mu p pi d^2 L / 2

    Parameters (scalars or arrays that broadcast):
        pressure [MPa]: p, contact pressure
        diameter [mm]: d, of the fit
        length [mm]: L, contact length
        friction [-]: mu, above 0 up to 1
    Returns:
        [N m] torque, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: uniform pressure; windows and leads are not deducted unless the length says so.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. 7-49.

    >>> round(holding_torque(19.41, 50.0, 40.0, 0.15), 2)
    457.34
    """
    force = press_force(pressure, diameter, length, friction)
    return plain(np.asarray(force) * np.asarray(diameter, dtype=float) / 2 / 1000)


def roughness_loss(rz_bore: ArrayLike, rz_bush: ArrayLike, coefficient: ArrayLike = 0.8) -> Result:
    """Interference lost when the roughness of both surfaces is pressed flat.

        loss = k (Rz_bore + Rz_bush)

    Parameters (scalars or arrays that broadcast):
        rz_bore [um]: mean roughness depth Rz of the bore
        rz_bush [um]: mean roughness depth Rz of the bush
        coefficient [-]: k; 0.8 by the common edition, 0.4 is also in use
    Returns:
        [mm] loss on the diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or negative, a coefficient above 1
    Validity: turned or bored metal surfaces, smooth enough for a press fit.
    Source: DIN 7190-1, smoothing term (from memory, not verified; editions differ between 0.8 and 0.4).

    >>> round(roughness_loss(4.0, 3.0), 6)
    0.0056
    """
    bore, bush, k = numbers(
        rz_bore=(rz_bore, NOT_NEGATIVE), rz_bush=(rz_bush, NOT_NEGATIVE), coefficient=(coefficient, FRACTION)
    )
    return plain(k * (bore + bush) / 1000)
