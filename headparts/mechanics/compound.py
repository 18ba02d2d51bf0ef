"""Compound cylinders: any number of rings pressed into one another, each of its own metal and temperature.

Rings are counted from the innermost. ``diameters`` holds one value more than there are rings (bore, every fit,
outside), ``interferences`` one value less (one a fit, on the diameter, at 20 degC). Each entry may itself be an array;
all broadcast together.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

from headparts.errors import ParameterError
from headparts.mechanics.arrays import (
    ANY,
    EXPANSION,
    NOT_NEGATIVE,
    POISSON,
    POSITIVE,
    ArrayLike,
    Bound,
    FloatArray,
    Result,
    numbers,
    plain,
    require,
    together,
)
from headparts.mechanics.thick_cylinder import hoop_stress, radial_stress

Plane = Literal["stress", "strain"]


def _each(key: str, values: Sequence[ArrayLike], bound: Bound, count: int) -> list[FloatArray]:
    try:
        given = list(values)
    except TypeError as error:
        raise ParameterError(key, values, f"must be a sequence of {count}") from error
    if len(given) != count:
        raise ParameterError(key, values, f"must hold {count} values, holds {len(given)}")
    return [numbers(**{f"{key}[{i}]": (value, bound)})[0] for i, value in enumerate(given)]


def _diameters(values: Sequence[ArrayLike]) -> list[FloatArray]:
    try:
        count = len(values)
    except TypeError as error:
        raise ParameterError("diameters", values, "must be a sequence of at least 2") from error
    require(count >= 2, "diameters", values, "must hold at least a bore and an outside")
    found = _each("diameters", values, NOT_NEGATIVE, count)
    together(**{f"diameters[{i}]": value for i, value in enumerate(found)})
    for i in range(1, count):
        require(found[i - 1] < found[i], f"diameters[{i}]", values[i], "must be above the one before it")
    return found


def compound_pressures(
    diameters: Sequence[ArrayLike], moduli: Sequence[ArrayLike], poissons: Sequence[ArrayLike],
    interferences: Sequence[ArrayLike], ctes: Sequence[ArrayLike] | None = None,
    rises: Sequence[ArrayLike] | None = None, bore_pressure: ArrayLike = 0.0, outside_pressure: ArrayLike = 0.0,
    plane: Plane = "stress",
) -> Result:  # fmt: skip
    """Contact pressure at every fit of a compound cylinder, from its interferences and temperatures.

    At each fit the outside of the ring within and the bore of the ring without must meet. With ring k from a to b, p
    inside it and q outside it, its diameters change by

        at b:  b/E [ 2 p a^2/(b^2 - a^2) - q ((b^2 + a^2)/(b^2 - a^2) - nu) ] + b alpha dT
        at a:  a/E [ p ((b^2 + a^2)/(b^2 - a^2) + nu) - 2 q b^2/(b^2 - a^2) ] + a alpha dT

    which is one linear equation a fit; a fit that would have to pull carries nothing, and its neighbours are
    solved without it. In plane strain E, nu and alpha become E/(1 - nu^2), nu/(1 - nu) and (1 + nu) alpha.

    Parameters (sequences; every entry a scalar or an array that broadcasts):
        diameters [mm]: bore (0 for a solid core), each fit, outside; rising
        moduli [MPa]: E of each ring
        poissons [-]: nu of each ring
        interferences [mm]: on the diameter, one a fit, negative for a gap, at 20 degC
        ctes [1/K]: alpha of each ring; not needed without rises
        rises [K]: temperature of each ring above 20 degC; all 0 when not given
        bore_pressure [MPa]: in the bore, 0 or more
        outside_pressure [MPa]: on the outside, 0 or more
        plane [-]: 'stress' for free ends (default), 'strain' for ends held
    Returns:
        [MPa] array, first axis one entry a fit from the innermost, then the broadcast shape; 0 where a fit is open
    Raises:
        ParameterError: a value not finite or out of range, sequences of the wrong length, diameters that do not rise,
            a pressure in the bore of a solid core, rises without ctes, an unknown plane
    Validity: elastic, long round rings, each at one temperature; two rings are contact_pressure exactly.
    Source: Lame stresses and Hooke's law at each fit; Timoshenko, Strength of Materials, Part II, and Hearn, Mechanics
        of Materials 1, treat it for two rings (from memory); more rings are the same equations side by side.

    >>> fits = compound_pressures((8.0, 12.0, 16.0), (30e6, 30e6), (0.3, 0.3), (0.010,))
    >>> [round(float(p), 1) for p in fits]
    [4050.9]
    >>> three = compound_pressures((5.0, 7.0, 10.0, 18.0), (120e3, 110e3, 71e3), (0.34, 0.26, 0.33), (0.01, 0.03))
    >>> [round(float(p), 2) for p in three]
    [82.72, 80.09]
    """
    d = _diameters(diameters)
    rings = len(d) - 1
    e = _each("moduli", moduli, POSITIVE, rings)
    nu = _each("poissons", poissons, POISSON, rings)
    gap = _each("interferences", interferences, ANY, rings - 1)
    if rises is not None and ctes is None:
        raise ParameterError("ctes", ctes, "is needed with rises")
    alpha = [np.zeros(())] * rings if ctes is None else _each("ctes", ctes, EXPANSION, rings)
    rise = [np.zeros(())] * rings if rises is None else _each("rises", rises, ANY, rings)
    p, q = numbers(
        bore_pressure=(bore_pressure, NOT_NEGATIVE), outside_pressure=(outside_pressure, NOT_NEGATIVE)
    )
    require(
        (d[0] > 0) | (p == 0), "bore_pressure", bore_pressure, "must be 0 for a solid core (first diameter 0)"
    )
    if plane == "strain":
        alpha = [(1 + n) * a for n, a in zip(nu, alpha, strict=True)]
        e, nu = [m / (1 - n**2) for m, n in zip(e, nu, strict=True)], [n / (1 - n) for n in nu]
    elif plane != "stress":
        raise ParameterError("plane", plane, "must be 'stress' (free ends) or 'strain' (ends held)")
    together(**{f"value {i}": v for i, v in enumerate((*d, *e, *nu, *gap, *alpha, *rise, p, q))})
    shape = np.broadcast_shapes(*(v.shape for v in (*d, *e, *nu, *gap, *alpha, *rise, p, q)))
    fits = rings - 1
    taken, inward, outward, wanted = (np.zeros((fits, *shape)) for _ in range(4))
    for i in range(fits):
        a, b, c = d[i], d[i + 1], d[i + 2]
        hub = (c**2 + b**2) / (c**2 - b**2) + nu[i + 1]
        bush = (b**2 + a**2) / (b**2 - a**2) - nu[i]
        taken[i] = b * (hub / e[i + 1] + bush / e[i])
        inward[i] = b * 2 * a**2 / (b**2 - a**2) / e[i]
        outward[i] = b * 2 * c**2 / (c**2 - b**2) / e[i + 1]
        wanted[i] = gap[i] + b * (alpha[i] * rise[i] - alpha[i + 1] * rise[i + 1])
    if fits:
        wanted[0] += inward[0] * p
        wanted[-1] += outward[-1] * q
    return _touching(taken, inward, outward, wanted)


def _touching(taken: FloatArray, inward: FloatArray, outward: FloatArray, wanted: FloatArray) -> FloatArray:
    """Pressures p >= 0 with taken p - inward p_before - outward p_after = wanted at closed fits, >= at open ones.

    The matrix has a positive inverse and no positive entry off its diagonal, so choosing in each row the smaller of
    the two (policy iteration) ends after at most one step a fit.
    """
    count = len(taken)
    closed = np.ones(taken.shape, dtype=bool)
    pressure = np.zeros(taken.shape)
    for _ in range(count + 2):
        pressure = _tridiagonal(taken, inward, outward, wanted, closed)
        short = taken * pressure - wanted
        short[1:] -= inward[1:] * pressure[:-1]
        short[:-1] -= outward[:-1] * pressure[1:]
        now = np.where(closed, pressure > 0.0, short < 0.0)
        if np.array_equal(now, closed):
            break
        closed = now
    return np.maximum(pressure, 0.0)


def _tridiagonal(
    middle: FloatArray, before: FloatArray, after: FloatArray, right: FloatArray, closed: np.ndarray
) -> FloatArray:
    """Elimination along the first axis; open rows are p = 0."""
    count = len(middle)
    slope, value = np.zeros(middle.shape), np.zeros(middle.shape)
    for i in range(count):
        pivot, constant = middle[i], right[i]
        if i:
            pivot, constant = pivot - before[i] * slope[i - 1], constant + before[i] * value[i - 1]
        slope[i] = np.where(closed[i], (after[i] if i < count - 1 else 0.0) / pivot, 0.0)
        value[i] = np.where(closed[i], constant / pivot, 0.0)
    found = value.copy()
    for i in range(count - 2, -1, -1):
        found[i] += slope[i] * found[i + 1]
    return found


def _ring_of(
    radius: ArrayLike, diameters: Sequence[ArrayLike], pressures: Sequence[ArrayLike], outer_side: bool
) -> tuple[FloatArray, ...]:
    d = _diameters(diameters)
    p = _each("pressures", pressures, NOT_NEGATIVE, len(d))
    (r,) = numbers(radius=(radius, POSITIVE))
    require((r >= d[0] / 2 * (1 - 1e-12)) & (r <= d[-1] / 2 * (1 + 1e-12)), "radius", radius,
            "must lie in the metal of the rings")  # fmt: skip
    together(radius=r, **{f"pressures[{i}]": v for i, v in enumerate(p)})
    arrays = np.broadcast_arrays(r, *d, *p)
    r, d, p = arrays[0], list(arrays[1 : len(d) + 1]), list(arrays[len(d) + 1 :])
    inner, outer, inside, outside = d[0] / 2, d[1] / 2, p[0], p[1]
    for i in range(1, len(d) - 1):
        beyond = r >= d[i] / 2 if outer_side else r > d[i] / 2
        inner, outer = np.where(beyond, d[i] / 2, inner), np.where(beyond, d[i + 1] / 2, outer)
        inside, outside = np.where(beyond, p[i], inside), np.where(beyond, p[i + 1], outside)
    return r, inner, outer, inside, outside


def compound_hoop(
    radius: ArrayLike,
    diameters: Sequence[ArrayLike],
    pressures: Sequence[ArrayLike],
    outer_side: bool = False,
) -> Result:
    """Hoop stress at any radius of a compound cylinder, tension positive.

    The ring that holds the radius is a thick ring under the pressures at its two sides (hoop_stress).

    Parameters (scalars or arrays that broadcast):
        radius [mm]: where, in the metal
        diameters [mm]: as compound_pressures
        pressures [MPa]: one a diameter: in the bore, at each fit (from compound_pressures), on the outside
        outer_side [-]: at a fit itself, where the stress jumps: True takes the ring without, False the one within
    Returns:
        [MPa] hoop stress, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, sequences of the wrong length, a radius outside the metal
    Validity: as compound_pressures; in plane stress and plane strain.
    Source: as hoop_stress.

    >>> round(compound_hoop(4.0, (8.0, 12.0, 16.0), (30000.0, 4050.93 + 7777.78, 0.0)), 0)
    35417.0
    """
    return hoop_stress(*_ring_of(radius, diameters, pressures, outer_side))


def compound_radial(
    radius: ArrayLike,
    diameters: Sequence[ArrayLike],
    pressures: Sequence[ArrayLike],
    outer_side: bool = False,
) -> Result:
    """Radial stress at any radius of a compound cylinder, tension positive.

    The ring that holds the radius is a thick ring under the pressures at its two sides (radial_stress).

    Parameters (scalars or arrays that broadcast):
        radius [mm]: where, in the metal
        diameters [mm]: as compound_pressures
        pressures [MPa]: one a diameter: in the bore, at each fit (from compound_pressures), on the outside
        outer_side [-]: which ring counts at a fit itself; the radial stress is the same in both
    Returns:
        [MPa] radial stress, minus the pressure at each diameter, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range, sequences of the wrong length, a radius outside the metal
    Validity: as compound_pressures; in plane stress and plane strain.
    Source: as radial_stress.

    >>> round(compound_radial(6.0, (8.0, 12.0, 16.0), (30000.0, 11828.71, 0.0)), 2)
    -11828.71
    """
    return radial_stress(*_ring_of(radius, diameters, pressures, outer_side))


def held_axial_stress(
    hoop: ArrayLike, radial: ArrayLike, poisson: ArrayLike, modulus: ArrayLike = 1.0, cte: ArrayLike = 0.0,
    rise: ArrayLike = 0.0,
) -> Result:  # fmt: skip
    """Axial stress of a ring whose ends are held (plane strain), tension positive.

        s_z = nu (s_t + s_r) - E alpha dT

    Parameters (scalars or arrays that broadcast):
        hoop [MPa]: s_t
        radial [MPa]: s_r
        poisson [-]: nu
        modulus [MPa]: E; needed only with a rise
        cte [1/K]: alpha
        rise [K]: dT above the temperature at which the ends were caught
    Returns:
        [MPa] axial stress, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: elastic, no movement along the axis at all.
    Source: Hooke's law with no axial strain.

    >>> round(held_axial_stress(100.0, -40.0, 0.3), 6)
    18.0
    """
    t, r, nu, e, alpha, dt = numbers(
        hoop=(hoop, ANY), radial=(radial, ANY), poisson=(poisson, POISSON), modulus=(modulus, POSITIVE),
        cte=(cte, EXPANSION), rise=(rise, ANY),
    )  # fmt: skip
    return plain(nu * (t + r) - e * alpha * dt)
